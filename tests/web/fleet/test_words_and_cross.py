"""Columns of words, coded reports, and every configuration with every condition."""

import io

import numpy as np
import pytest

from ..asking import refused, send
from .asking import columns, fleet, numbers, parts, request_of, shared

REPORTS = [
    "METAR XXXX 241200Z 24008KT 9999 FEW030 31/09 Q1017",
    "METAR XXXX 241300Z 00000KT 9999 FEW030 29/11 Q1016",
    "METAR XXXX 241400Z VRB03KT CAVOK 24/12 A3003",
]


def test_words_make_groups_that_are_answered_as_one_by_one(client):
    rows = 60
    table = columns(rows, seed=31)
    table.pop("aircraft.propeller.diameter")
    classes, cycles = ["climb", "middle", "cruise"], ["four-stroke", "two-stroke"]
    words = {
        "aircraft.propeller.pitch_class": [classes[i % 3] for i in range(rows)],
        "aircraft.engine.cycle": [cycles[i % 2] for i in range(rows)],
    }
    words["aircraft.propeller.pitch_class"][7] = "steep"
    words["aircraft.engine.cycle"][8] = None
    names = {"aircraft.name": [f"number {i}" for i in range(rows)]}
    common = shared()
    common["aircraft"]["propeller"].pop("pitch_class")
    common["aircraft"]["engine"].pop("cycle")
    answer = fleet(client, {"shared": common, "columns": {**table, **words, **names}, "measures": ["aeroplane"]})
    found = answer["columns"]
    assert found["aircraft.name"] == names["aircraft.name"]
    wrong = {row: word for row, word in enumerate(found["status"]) if word != "ok"}
    assert wrong.keys() == {7, 8}
    assert wrong[7].startswith("aircraft.propeller.pitch_class: must be one of climb")
    assert wrong[8].startswith("aircraft.engine.cycle: the cell is empty")
    for row in (0, 1, 2, 3, 4, 5, 30, 59):
        body = request_of(common, table, row, ["aeroplane"])
        body["aircraft"]["propeller"]["pitch_class"] = classes[row % 3]
        body["aircraft"]["engine"]["cycle"] = cycles[row % 2]
        single = send(client, "performance", body, spread="linear")["results"][0]["measures"]
        for name in ("weight", "best_climb_rate", "service_ceiling", "greatest_level_speed_true"):
            got, expected = found[name]["value"][row], single[name]["value"]
            assert got == expected or np.isclose(got, expected, rtol=1e-12), (row, name)


def test_kinds_of_propeller_that_lack_a_number_are_told_so(client):
    common = shared()
    common["condition"] = {"density_altitude": "6000 ft"}
    common["loading"] = {"stations": {"seats": "150 kg"}}
    kinds = ["fixed-pitch", "constant-efficiency", "fixed-pitch"]
    answer = fleet(client, {"shared": common, "columns": {"aircraft.propeller.kind": kinds}, "measures": ["weight"]})
    status = answer["columns"]["status"]
    assert [status[0], status[2]] == ["ok", "ok"]
    assert "aircraft.propeller" in status[1]


def test_coded_reports_are_a_column(client):
    common = shared()
    common["condition"] = {"elevation": "5400 ft"}
    common["strip"]["heading"] = "210 deg"
    common["loading"] = {"stations": {"seats": "150 kg", "fuel": "40 L"}}
    reports = [*REPORTS, "METAR XXXX NIL", ""]
    body = {"shared": common, "columns": {"condition.metar": reports}, "measures": ["best_climb_rate", "headwind"]}
    found = fleet(client, body)["columns"]
    assert found["status"][:3] == ["ok"] * 3
    assert all(word.startswith("condition.metar: ") for word in found["status"][3:])
    for row, report in enumerate(REPORTS):
        single = {
            "aircraft": common["aircraft"],
            "loadings": [{"name": "so", **common["loading"]}],
            "conditions": [{"name": "here", "elevation": "5400 ft", "metar": report}],
            "measures": ["best_climb_rate", "headwind"],
            **{name: common[name] for name in ("climb", "cruise", "turn", "strip")},
        }
        measures = send(client, "performance", single, spread="linear")["results"][0]["measures"]
        for name in ("best_climb_rate", "headwind"):
            assert np.isclose(found[name]["value"][row], measures[name]["value"], rtol=1e-12), (row, name)


def crossing():
    common = shared()
    common["condition"] = {}
    common["loading"] = {"stations": {"seats": "150 kg", "fuel": "40 L"}}
    machines = {
        "registration": ["AB-1", "AB-2", "AB-3"],
        "aircraft.engine.power": {"value": [80.0, None, 100.0], "unit": "hp"},
    }
    hours = {
        "hour": ["06", "12"],
        "condition.density_altitude": {"value": [4000.0, 8000.0], "unit": "ft"},
    }
    return {"shared": common, "columns": {**machines, **hours}, "measures": ["best_climb_rate"]}


def test_every_configuration_meets_every_condition(client):
    body = crossing()
    found = fleet(client, body, combine="cross")["columns"]
    assert found["registration"] == ["AB-1", "AB-1", "AB-2", "AB-2", "AB-3", "AB-3"]
    assert found["hour"] == ["06", "12"] * 3
    assert found["configuration row"] == [1, 1, 2, 2, 3, 3]
    assert found["condition row"] == [1, 2] * 3
    assert [word == "ok" for word in found["status"]] == [True, True, False, False, True, True]
    flat = {
        "aircraft.engine.power": {"value": [80.0, 80.0, 100.0, 100.0], "unit": "hp"},
        "condition.density_altitude": {"value": [4000.0, 8000.0, 4000.0, 8000.0], "unit": "ft"},
    }
    expected = numbers(fleet(client, body | {"columns": flat})["columns"]["best_climb_rate"])
    crossed = numbers(found["best_climb_rate"])
    np.testing.assert_array_equal(crossed[[0, 1, 4, 5]], expected)


def test_two_tables_cross_too(client):
    body = crossing()
    machines = b"registration,aircraft.engine.power [hp]\nAB-1,80\nAB-2,\nAB-3,100\n"
    hours = b"hour,condition.density_altitude [ft]\n06,4000\n12,8000\n"

    def ask(query="?combine=cross&measures=best_climb_rate&format=json", machines=machines, hours=hours):
        conditions = {"conditions": (io.BytesIO(hours), "c", "text/csv")}
        return client.post(f"/v1/fleet{query}", data=parts(body["shared"], machines) | conditions)

    found, expected = ask().get_json()["columns"], fleet(client, body, combine="cross")["columns"]
    assert found == expected
    assert "combine=cross" in refused(ask("?measures=weight"), 422)["detail"]
    assert "send it with the conditions" in refused(ask(machines=hours), 422)["detail"]
    assert "send it with the configurations" in refused(ask(hours=machines), 422)["detail"]
    taken = machines.replace(b"registration", b"condition row")
    assert "another name" in refused(ask(machines=taken), 422)["detail"]
    twice = machines.replace(b"registration", b"hour")
    assert "another name" in refused(ask(machines=twice), 422)["detail"]


def test_a_gap_at_the_end_of_a_side_is_a_row_of_its_own(client):
    body = crossing()
    body["columns"] = {
        "registration": ["AB-1", "AB-2"],
        "aircraft.engine.power": {"value": [80.0, None], "unit": "hp"},
        "condition.density_altitude": {"value": [4000.0, 8000.0], "unit": "ft"},
    }
    found = fleet(client, body, combine="cross")["columns"]
    assert found["registration"] == ["AB-1", "AB-1", "AB-2", "AB-2"]
    assert [word == "ok" for word in found["status"]] == [True, True, False, False]


@pytest.mark.parametrize(
    ("spoil", "word"),
    [
        (lambda c: c.pop("condition.density_altitude"), "needs columns of both sides"),
        (lambda c: c.update({"other": ["a", "b", "c", "d"]}), "3 configurations and 2 conditions"),
        (lambda c: c.update({"condition.headwind": {"value": [1.0], "unit": "kt"}}), "has 1 values where another"),
    ],
)
def test_a_cross_that_cannot_be_is_refused(client, spoil, word):
    body = crossing()
    spoil(body["columns"])
    document = refused(client.post("/v1/fleet?combine=cross", json=body), 422)
    assert word in document["detail"]


def test_a_cross_too_large_is_refused_with_the_limit(client):
    body = crossing()
    body["columns"]["condition.density_altitude"]["value"] = [4000.0] * 2
    body["columns"]["condition.density_altitude"]["value"] *= 100_000
    body["columns"].pop("hour")
    document = refused(client.post("/v1/fleet?combine=cross", json=body), 413)
    assert "600000 rows" in document["detail"]
    assert "250000" in document["detail"]
