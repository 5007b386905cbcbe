"""Rows that are wrong keep their place, say why, and change nothing of the rows beside them."""

import copy

import numpy as np
import pytest

from .asking import PROPELLERS, columns, fleet, numbers, shared

ROWS = 20_000  # more than a block
BAD = {
    "a gap": (None, "empty"),
    "another unit": ("80 furlong", "is not a plain number"),
    "far below": (-1e9, "must be"),
    "far above": (1e15, "must be"),
    "no number": ("n/a", "is not a plain number"),
    "a truth": (True, "is not a plain number"),
    "a list": ([1.0], "is not a plain number"),
}


@pytest.mark.parametrize("propeller", PROPELLERS)
def test_one_percent_of_wrong_rows_leaves_the_others_as_they_are_to_the_bit(client, propeller):
    common, table = shared(propeller), columns(ROWS, propeller, seed=11)
    right = fleet(client, {"shared": common, "columns": table, "measures": ["all"]})["columns"]
    assert set(right.pop("status")) == {"ok"}
    spoilt, random = copy.deepcopy(table), np.random.default_rng(12)
    rows = random.choice(ROWS, ROWS // 100, replace=False)
    for turn, row in enumerate(rows.tolist()):
        name = list(spoilt)[turn % len(spoilt)]
        spoilt[name]["value"][row] = list(BAD.values())[turn % len(BAD)][0]
    wrong = fleet(client, {"shared": common, "columns": spoilt, "measures": ["all"]})["columns"]
    status = wrong.pop("status")
    assert {row for row, word in enumerate(status) if word != "ok"} == set(rows.tolist())
    good = np.ones(ROWS, dtype=bool)
    good[rows] = False
    for name, column in right.items():
        before, after = numbers(column), numbers(wrong[name])
        np.testing.assert_array_equal(after[good].view(np.uint64), before[good].view(np.uint64), err_msg=name)
        assert np.isnan(after[rows]).all()


@pytest.mark.parametrize("fault", BAD)
def test_a_wrong_row_says_which_field_and_why(client, fault):
    table = columns(4, seed=13)
    table["aircraft.engine.power"]["value"][2], word = BAD[fault]
    status = fleet(client, {"shared": shared(), "columns": table, "measures": ["weight"]})["columns"]["status"]
    assert status[:2] + status[3:] == ["ok"] * 3
    assert status[2].startswith("aircraft.engine.power: ")
    assert word in status[2]


CONTRADICTIONS = {
    "the dew point is above": {"condition.dew_point": (35.0, "C"), "condition.oat": (20.0, "C")},
    "more than the capacity": {"loading.stations.fuel": (500.0, "L")},
    "would turn faster than its rated speed": {"aircraft.propeller.static_speed": (2900.0, "rpm")},
    "must not lie above never_exceed": {
        "aircraft.speed_limits.smooth_air": (140.0, "kt"),
        "aircraft.speed_limits.never_exceed": (120.0, "kt"),
    },
    "the aft limit must lie behind": {"aircraft.limits.forward": (2.0, "m"), "aircraft.limits.aft": (1.9, "m")},
    "the tail would carry it": {"aircraft.empty.arm": (40.0, "m")},
    "outside the standard atmosphere": {
        "condition.station_pressure": (1200.0, "hPa"),
        "condition.oat": (-89.0, "C"),
    },
    "must not lie below the speed of the rated power": {"aircraft.engine.greatest_speed": (1500.0, "rpm")},
}
RIGHT = {
    "condition.dew_point": 5.0,
    "condition.oat": 20.0,
    "loading.stations.fuel": 40.0,
    "aircraft.propeller.static_speed": 2400.0,
    "aircraft.speed_limits.smooth_air": 90.0,
    "aircraft.speed_limits.never_exceed": 130.0,
    "aircraft.limits.forward": 1.84,
    "aircraft.limits.aft": 2.03,
    "aircraft.empty.arm": 1.86,
    "condition.station_pressure": 830.0,
    "aircraft.engine.greatest_speed": 2900.0,
}


def contradicting(client, word):
    """A fleet whose second row has numbers that are right one by one and wrong together."""
    common = shared()
    common["aircraft"].pop("envelope", None)
    common["aircraft"]["limits"] = {"maximum_weight": "620 kg"}
    common["loading"] = {"stations": {"seats": "150 kg", "fuel": "40 L"}}
    common["condition"] = {"pressure_altitude": "6000 ft", "oat": "20 C"}
    table = {}
    for name, (value, unit) in CONTRADICTIONS[word].items():
        table[name] = {"value": [RIGHT[name], value, RIGHT[name]], "unit": unit}
        part, *way = name.split(".")
        if part == "condition":
            common["condition"].pop(way[0], None)
        if part == "loading":
            common["loading"]["stations"].pop(way[1])
    if "condition.station_pressure" in table:
        common["condition"].pop("pressure_altitude")
    return fleet(client, {"shared": common, "columns": table, "measures": ["aeroplane"]})


@pytest.mark.parametrize("word", CONTRADICTIONS)
def test_numbers_that_contradict_each_other_are_told_of_their_row_alone(client, word):
    answer = contradicting(client, word)
    status = answer["columns"]["status"]
    assert status[0] == status[2] == "ok"
    assert word in status[1]
    assert status[1].split(": ")[0].split(".")[0] in ("aircraft", "loading", "condition")
    weight = answer["columns"]["weight"]["value"]
    assert weight[1] is None
    assert weight[0] == weight[2]


def test_all_rows_wrong_is_still_an_answer(client):
    table = columns(3, seed=14)
    table["condition.oat"]["value"] = [None, "x", 1e9]
    answer = fleet(client, {"shared": shared(), "columns": table, "measures": ["weight", "best_climb_rate"]})
    assert answer["rows"] == 3
    assert answer["right"] == 0
    assert all(word.startswith("condition.oat: ") for word in answer["columns"]["status"])
    assert answer["columns"]["weight"]["value"] == [None] * 3


def test_no_rows_are_an_answer_too(client):
    empty = {name: column | {"value": []} for name, column in columns(1, seed=15).items()}
    answer = fleet(client, {"shared": shared(), "columns": empty, "measures": ["weight"]})
    assert answer["columns"] == {"weight": {"value": [], "unit": "kg"}, "status": []}


def test_no_rows_are_refused_as_rows_are_where_something_is_missing(client):
    common = {name: part for name, part in shared().items() if name != "aircraft"}
    told = []
    for count in (1, 0):
        table = {name: column | {"value": column["value"][:count]} for name, column in columns(1, seed=15).items()}
        told.append(client.post("/v1/fleet", json={"shared": common, "columns": table}))
    assert [response.status_code for response in told] == [422, 422]
    assert told[0].json == told[1].json


@pytest.mark.parametrize("first", ["n/a", " ", None, {"value": 30}])
def test_a_wrong_first_cell_does_not_say_what_the_others_are(client, first):
    common = shared()
    common["condition"] = {"density_altitude": "5000 ft"}
    common["loading"] = {"stations": {"seats": "150 kg"}}
    table = {"loading.stations.fuel": [first, "30 L", "20 L"]}
    status = fleet(client, {"shared": common, "columns": table, "measures": ["weight"]})["columns"]["status"]
    assert status[0].startswith("loading.stations.fuel: ")
    assert status[1:] == ["ok", "ok"]


def test_numbers_are_no_words(client):
    common = shared()
    common["condition"] = {"density_altitude": "5000 ft"}
    table = {"aircraft.propeller.pitch_class": ["cruise", 16, True]}
    status = fleet(client, {"shared": common, "columns": table, "measures": ["weight"]})["columns"]["status"]
    assert status[0] == "ok"
    assert status[1] == status[2] == "aircraft.propeller.pitch_class: must be a text, in quotes where it is JSON"


def test_air_whose_dry_part_lies_beyond_the_atmosphere_is_refused(client):
    common = shared("constant speed")
    common["condition"] = {"relative_humidity": "57.48 %"}
    table = {
        "condition.pressure_altitude": {"value": [28590.97, 2000.0], "unit": "m"},
        "condition.oat": {"value": [7.44, 7.44], "unit": "C"},
    }
    status = fleet(client, {"shared": common, "columns": table, "measures": ["weight"]})["columns"]["status"]
    assert "outside the standard atmosphere" in status[0]
    assert status[1] == "ok"
