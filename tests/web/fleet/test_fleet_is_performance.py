"""Every row of a fleet is answered as `performance` answers the same aeroplane, asked for alone."""

import numpy as np
import pytest

from ..asking import refused, send
from .asking import PROPELLERS, columns, fleet, numbers, request_of, shared

ROWS = 500  # of each kind of propeller: 2,000 in all
SAME = 1e-12


def differences(found, expected):
    """Difference over the greater of the number and the terms that it is a difference of."""
    scale = np.maximum(np.abs(expected), 1.0)
    return np.abs(found - expected) / scale


@pytest.mark.parametrize("propeller", PROPELLERS)
def test_rows_are_the_answers_of_performance(client, propeller):
    common, table = shared(propeller), columns(ROWS, propeller, seed=len(propeller))
    answer = fleet(client, {"shared": common, "columns": table, "measures": ["all"]}, units="si")
    found, status = answer["columns"], answer["columns"]["status"]
    answered = 0
    for row in range(ROWS):
        response = client.post("/v1/performance?units=si&spread=linear", json=request_of(common, table, row, ["all"]))
        if status[row] != "ok":
            assert refused(response, 422)["errors"][0]["detail"] in status[row]
            continue
        measures = response.get_json()["results"][0]["measures"]
        measures |= {f"stall_speeds.{name}": value for name, value in measures.pop("stall_speeds").items()}
        assert measures.keys() | {"status"} == found.keys()
        for name, quantity in measures.items():
            got = found[name]["value"][row]
            assert (got is None) == (quantity["value"] is None), (name, row)
            if got is not None:
                assert found[name]["unit"] == quantity["unit"]
                assert differences(got, quantity["value"]) < SAME, (name, row)
        answered += 1
    assert answered > 0.9 * ROWS


def test_spreads_are_those_of_performance(client):
    common, table = shared(), columns(40, seed=3)
    answer = fleet(client, {"shared": common, "columns": table, "measures": ["all"]}, units="si", spread="linear")
    assert set(answer["columns"]["status"]) == {"ok"}
    told = 0
    for row in range(40):
        body = request_of(common, table, row, ["all"])
        measures = send(client, "performance", body, units="si", spread="linear")["results"][0]["measures"]
        measures |= {f"stall_speeds.{name}": value for name, value in measures.pop("stall_speeds").items()}
        for name, quantity in measures.items():
            spread = answer["columns"][name]["plus_minus"][row]
            if "plus_minus" in quantity:
                assert np.isclose(spread, quantity["plus_minus"], rtol=1e-9, atol=1e-12), (name, row)
                told += 1
            elif quantity["value"] is not None:
                assert not spread, (name, row)
    assert told > 1000


def test_cautions_are_those_of_performance(client):
    common, table = shared(), columns(120, seed=4)
    answer = fleet(client, {"shared": common, "columns": table, "measures": ["all"]}, cautions="true")
    always = {"estimate", "stall-power-off"}
    assert {caution["code"] for caution in answer["cautions"]} == always
    seen = set()
    for row in range(120):
        body = request_of(common, table, row, ["all"])
        single = send(client, "performance", body, spread="linear")["cautions"]
        codes = {caution["code"] for caution in single} - always
        assert set(answer["columns"]["cautions"][row]) == codes - {"strip-elsewhere"}, row
        seen |= codes
    assert len(seen) > 12


def test_what_stood_in_is_listed(client):
    common, table = shared(), columns(5, seed=5)
    answer = fleet(client, {"shared": common, "columns": table})
    single = send(client, "performance", request_of(common, table, 0, ["aeroplane"]), spread="linear")
    texts = {entry["text"] for entry in answer["assumed"]}
    assert {entry["text"] for entry in single["assumed"]} <= texts
    for entry in answer["assumed"]:
        assert entry["where"].startswith("/shared/")


def test_a_measure_that_is_not_there_is_null_with_a_reason(client):
    common = shared()
    table = columns(3, seed=6)
    table["aircraft.engine.power"]["value"] = [20.0, 100.0, 100.0]
    answer = fleet(client, {"shared": common, "columns": table, "measures": ["greatest_level_speed_true"]})
    column = answer["columns"]["greatest_level_speed_true"]
    assert answer["columns"]["status"] == ["ok"] * 3
    assert column["value"][0] is None
    assert "level" in column["reason"]
    assert np.isfinite(numbers(column)[1:]).all()
