"""Fleets as the tests ask for them: invented aeroplanes whose numbers are drawn at random, as JSON columns."""

import copy
import io
import json

import numpy as np

from ..asking import EXAMPLES

FLOWN = ("climb", "cruise", "turn", "strip")
EXAMPLE = json.loads((EXAMPLES / "performance.json").read_text("utf-8"))
PROPELLERS = {
    "pitch class": {"kind": "fixed-pitch", "diameter": "1.68 m", "pitch_class": "cruise"},
    "fixed pitch": {"kind": "fixed-pitch"},
    "constant speed": {"kind": "constant-speed", "diameter": "1.68 m"},
    "constant efficiency": {"kind": "constant-efficiency"},
}
_OF_PROPELLERS = {
    "pitch class": {"aircraft.propeller.diameter": (1.3, 1.9, "m")},
    "fixed pitch": {
        "aircraft.propeller.best_efficiency": (0.5, 0.9, "1"),
        "aircraft.propeller.best_efficiency_speed": (50.0, 110.0, "kt"),
        "aircraft.propeller.diameter": (1.2, 1.9, "m"),  # some of them too small for their power
        "aircraft.propeller.static_speed": (2000.0, 2700.0, "rpm"),
    },
    "constant speed": {
        "aircraft.propeller.quality": (0.7, 0.9, "1"),
        "aircraft.propeller.diameter": (1.3, 1.9, "m"),
    },
    "constant efficiency": {"aircraft.propeller.efficiency": (0.5, 0.85, "1")},
}
_OF_ALL = {
    "aircraft.engine.power": (30.0, 140.0, "hp"),  # some too weak to climb, some even to fly level
    "aircraft.empty.weight": (300.0, 450.0, "kg"),
    "aircraft.empty.arm": (1.8, 2.0, "m"),
    "aircraft.stations.seats.arm": (1.9, 2.2, "m"),
    "aircraft.wing.area": (9.0, 16.0, "m2"),
    "aircraft.wing.span": (7.0, 11.0, "m"),
    "aircraft.drag.parasite_area": (0.2, 0.9, "m2"),
    "aircraft.stalls.clean.speed": (36.0, 56.0, "kt"),
    "aircraft.tail_arm": (3.0, 6.0, "m"),
    "loading.stations.seats": (60.0, 200.0, "kg"),
    "loading.stations.fuel": (5.0, 80.0, "L"),
    "condition.elevation": (0.0, 8000.0, "ft"),
    "condition.qnh": (990.0, 1035.0, "hPa"),
    "condition.oat": (-10.0, 42.0, "C"),
    "condition.relative_humidity": (5.0, 95.0, "%"),
    "condition.headwind": (-5.0, 20.0, "kt"),
}


def shared(propeller="pitch class"):
    """What the rows have in common: an invented aeroplane without what their columns say."""
    aircraft = copy.deepcopy(EXAMPLE["aircraft"]) | {"propeller": dict(PROPELLERS[propeller])}
    flown = {name: copy.deepcopy(EXAMPLE[name]) for name in FLOWN}
    flown["strip"].pop("heading", None)
    return {"aircraft": aircraft, "loading": {}, "condition": {}, **flown}


def columns(rows, propeller="pitch class", seed=1):
    """Columns of random numbers."""
    random = np.random.default_rng(seed)
    drawn = {**_OF_ALL, **_OF_PROPELLERS[propeller]}
    return {
        name: {"value": random.uniform(low, high, rows).round(6).tolist(), "unit": unit}
        for name, (low, high, unit) in drawn.items()
    }


def cell(column, row):
    """A cell as a quantity."""
    return {"value": column["value"][row], "unit": column["unit"]}


def request_of(common, table, row, measures):
    """The request of `performance` that a row is, put together field by field."""
    given = copy.deepcopy(common)
    aircraft, stations, condition = given.pop("aircraft"), {}, {"name": "here"}
    given.pop("loading")
    given.pop("condition")
    for name, column in table.items():
        part, *way = name.split(".")
        value = cell(column, row)
        if part == "loading":
            stations[way[1]] = value
        elif part == "condition":
            condition[way[0]] = value
        elif way[0] == "stations":
            next(one for one in aircraft["stations"] if one["name"] == way[1])[way[2]] = value
        elif way[0] == "stalls":
            next(one for one in aircraft["stalls"] if one["configuration"] == way[1])[way[2]] = value
        elif len(way) == 1:
            aircraft[way[0]] = value
        else:
            aircraft.setdefault(way[0], {})[way[1]] = value
    loading = {"name": "so", "stations": stations}
    return {"aircraft": aircraft, "loadings": [loading], "conditions": [condition], "measures": measures, **given}


def fleet(client, body, **query):
    """The answer to a fleet as JSON."""
    response = client.post("/v1/fleet", json=body, query_string=query)
    assert response.status_code == 200, response.text[:800]
    return json.loads(response.text)


def parts(common, table, kind="text/csv"):
    """A multipart body of what is shared and a table."""
    return {
        "shared": (io.BytesIO(json.dumps(common).encode()), "shared.json", "application/json"),
        "table": (io.BytesIO(table), "table", kind),
    }


def numbers(column):
    """A column of an answer as an array, nan where there is null."""
    return np.array(column["value"], dtype=float)
