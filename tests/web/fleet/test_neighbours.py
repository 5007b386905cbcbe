"""What a row is answered does not depend on the rows beside it, nor on where it stands in a block."""

import numpy as np
import pytest

from climbwright.arrays import BLOCK

from .asking import EXAMPLE, columns, fleet, numbers, shared


def alone(client, common, table, row, measures):
    one = {name: column | {"value": [column["value"][row]] * 2} for name, column in table.items()}
    return fleet(client, {"shared": common, "columns": one, "measures": measures}, units="si")["columns"]


def alike(found, expected, row):
    for name in expected.keys() - {"status"}:
        got, wanted = numbers(found[name])[row], numbers(expected[name])[0]
        assert got.tobytes() == wanted.tobytes(), name


@pytest.mark.parametrize("rows", [2, 3, BLOCK - 1, BLOCK, BLOCK + 1, BLOCK + 2])
def test_rows_at_the_ends_of_blocks(client, rows):
    common, table = shared("fixed pitch"), columns(rows, "fixed pitch", seed=rows)
    whole = fleet(client, {"shared": common, "columns": table, "measures": ["all"]}, units="si")["columns"]
    assert set(whole["status"]) == {"ok"}
    for row in {0, 1, rows - 2, rows - 1}:
        alike(whole, alone(client, common, table, row, ["all"]), row)


def test_a_propeller_that_may_be_bound_changes_nothing_of_its_neighbour(client):
    """A timed climb that begins far below the condition, in air where momentum limits what it does not limit here."""
    common = shared()
    common["aircraft"] |= {
        "propeller": {"kind": "fixed-pitch", "best_efficiency": 0.85, "best_efficiency_speed": "85 kt"},
        "engine": {"power": "95 hp", "power_margin": 0.95, "lapse_constant": 0.3},
    }
    common["climb"] = {"from_altitude": "-500 m", "to_altitude": "9500 ft", "speed": "70 kt"}
    common["condition"] = {"pressure_altitude": "2000 m", "temperature_offset": "79 K"}
    common["loading"] = EXAMPLE["loadings"][0]
    table = {"aircraft.propeller.diameter": {"value": [1.9079, 0.6], "unit": "m"}}
    measures = ["time_to_climb", "fuel_to_climb", "distance_to_climb"]
    both = fleet(client, {"shared": common, "columns": table, "measures": measures}, units="si")["columns"]
    alike(both, alone(client, common, table, 0, measures), 0)


def test_turbocharged_and_bound_and_enveloped_neighbours(client):
    """Rows drawn over all that a block decides for itself: each alone gives the same numbers to the bit."""
    rows, random = 400, np.random.default_rng(51)
    common, table = shared("fixed pitch"), columns(400, "fixed pitch", seed=51)
    common["aircraft"]["engine"] |= {"aspiration": "turbocharged"}
    table["aircraft.engine.critical_altitude"] = {"value": random.uniform(0.0, 8000.0, rows).tolist(), "unit": "ft"}
    for name in ("condition.elevation", "condition.qnh"):
        table.pop(name)
    table["condition.pressure_altitude"] = {"value": random.uniform(-2000.0, 60000.0, rows).tolist(), "unit": "ft"}
    whole = fleet(client, {"shared": common, "columns": table, "measures": ["all"]}, units="si")["columns"]
    right = [row for row, word in enumerate(whole["status"]) if word == "ok"]
    assert len(right) > rows // 2
    for row in right[:: len(right) // 25]:
        alike(whole, alone(client, common, table, row, ["all"]), row)


def test_the_words_of_a_refusal_are_the_rows_own(client):
    """A row that is wrong by its own number, beside rows that are right: not said to be so within a spread."""
    common = shared()
    common["condition"] = {"oat": {"value": 50, "unit": "C", "plus_minus": 5}, "relative_humidity": "100 %"}
    common["loading"] = EXAMPLE["loadings"][0]
    told = []
    for pressures in ([240.0, 260.0, 900.0], [260.0, 900.0, 240.0]):
        table = {"condition.station_pressure": {"value": pressures, "unit": "hPa"}}
        body = {"shared": common, "columns": table, "measures": ["weight"]}
        status = fleet(client, body, spread="linear")["columns"]["status"]
        told.append(dict(zip(pressures, status, strict=True)))
    assert told[0] == told[1]
    assert told[0][900.0] == "ok"
    assert told[0][240.0].endswith("mostly vapour")
    assert "within a plus_minus" in told[0][260.0]
