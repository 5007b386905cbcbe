"""The airspeed indicator of an aeroplane whose airspeed system was learned: readings, a cruise, marked limits."""

import copy

import pytest

from .asking import send
from .plainly import LOADING, aeroplane
from .reworking import agrees

NEAR, CRUISE = 0.94, 1.05
TABLE = [{"indicated": "30 kt", "calibrated": "32 kt"}, {"indicated": "120 kt", "calibrated": "117 kt"}]
SCENES = {
    "loadings": [{"name": "one", "stations": LOADING}, {"name": "light", "stations": {"pilot": "60 kg"}}],
    "conditions": [{"name": "here", "pressure_altitude": "4000 ft", "oat": "15 C"}],
}


def learned(table, **more):
    found = aeroplane(**more) | {"airspeed_errors": {"near_stall": NEAR, "cruise": CRUISE}}
    return found | ({"airspeed_correction": TABLE} if table else {})


def by_hand(calibrated, stall):
    """One factor up to the stall speed, one from twice that on, a line between: as the description says it."""
    if calibrated <= stall:
        return NEAR * calibrated
    if calibrated >= 2.0 * stall:
        return CRUISE * calibrated
    return calibrated * (NEAR + (CRUISE - NEAR) * (calibrated / stall - 1.0))


def through(table, calibrated):
    return 30.0 + (calibrated - 32.0) * 90.0 / 85.0 if table else calibrated


def fly(client, aircraft, working="false", **more):
    return send(client, "performance", {"aircraft": aircraft} | SCENES | more, working=working)


@pytest.mark.parametrize("table", [False, True])
def test_readings_have_the_error_and_then_the_table(client, table):
    names = ["best_climb_speed", "stall_speed", "greatest_level_speed", "approach_speed"]
    wanted = [f"{name}_{how}" for name in names for how in ("calibrated", "indicated")]
    for result in fly(client, learned(table), measures=wanted)["results"]:
        value = {name: leaf["value"] for name, leaf in result["measures"].items()}
        for name in names:
            read = through(table, by_hand(value[f"{name}_calibrated"], value["stall_speed_calibrated"]))
            assert value[f"{name}_indicated"] == pytest.approx(read, rel=1e-9), name


@pytest.mark.parametrize("table", [False, True])
@pytest.mark.parametrize("indicated", [55.0, 70.0, 85.0])
def test_a_cruise_as_read_is_flown_at_what_that_means(client, table, indicated):
    wanted = ["cruise_speed_calibrated", "cruise_speed_indicated", "stall_speed_calibrated"]
    for result in fly(client, learned(table), measures=wanted, cruise={"indicated": f"{indicated} kt"})["results"]:
        value = {name: leaf["value"] for name, leaf in result["measures"].items()}
        if value["cruise_speed_calibrated"] is None:
            continue
        read = through(table, by_hand(value["cruise_speed_calibrated"], value["stall_speed_calibrated"]))
        assert read == pytest.approx(indicated, rel=1e-9)
        assert value["cruise_speed_indicated"] == pytest.approx(indicated, rel=1e-9)


@pytest.mark.parametrize("table", [False, True])
def test_the_working_says_so(client, table):
    body = {"measures": ["all"], "cruise": {"indicated": "62 kt"}}
    answer = fly(client, learned(table), working="true", **body)
    for result in answer["results"]:
        blocks = [b for b in answer["working"] if b.get("loading", result["loading"]) == result["loading"]]
        steps = [step for block in blocks for step in block["steps"]]
        shown = [float(step["reader"].split()[0]) for step in steps if step.get("reader", "").endswith(" kt")]
        for step in steps:
            if "with_numbers" in step:
                agrees(step)
        for name, leaf in result["measures"].items():
            if name.endswith("_indicated") and leaf["value"] is not None:
                assert any(abs(x - leaf["value"]) <= 0.0501 for x in shown), name


def test_a_limit_is_compared_as_it_is_marked(client):
    """Where the indicator reads 5 % high, a limit just above the greatest level speed is one that is flown past."""
    plain, off = aeroplane(), learned(False)
    level = fly(client, plain)["results"][0]["measures"]["greatest_level_speed_calibrated"]["value"]
    between = copy.deepcopy(off), copy.deepcopy(plain)
    for aircraft in between:
        aircraft["speed_limits"] = {"never_exceed": f"{level * (1.0 + CRUISE) / 2.0} kt"}  # between both
    codes = [{caution["code"] for caution in fly(client, aircraft)["cautions"]} for aircraft in between]
    assert "faster-than-never-exceed" in codes[0]
    assert "faster-than-never-exceed" not in codes[1]
