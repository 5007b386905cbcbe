"""Gliding, turning and the speeds that follow from a stall, through HTTP, against search and the definitions."""

import itertools
import math

import pytest

from .asking import pointers, refused
from .plainly import (
    AEROPLANE,
    FOOT,
    KNOT,
    LOADING,
    MASS,
    G,
    Machine,
    aeroplane,
    codes,
    fly,
    greatest,
    measures,
    numbers,
    standard,
)

AIRS = {
    "sea level": ({"density_altitude": "0 ft"}, standard(0.0)),
    "hot": ({"pressure_altitude": "5000 ft", "temperature_offset": "18 K"}, standard(5000.0 * FOOT, 18.0)),
}
# stalls slow enough not to hold any speed, and fast enough to hold them all
STALLS = {"free": 20.0, "held": 52.0}


def stalling(speed):
    return aeroplane(stalls=[{"configuration": "clean", "speed": f"{speed} kt", "weight": "480 kg"}])


@pytest.mark.parametrize("wind", [0.0, 14.0, 30.0, -14.0])
@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("stall", STALLS)
def test_glide_by_search(client, stall, where, wind):
    condition, air = AIRS[where]
    gliding = Machine(stall_at_480=STALLS[stall] * KNOT).gliding()
    found = numbers(client, stalling(STALLS[stall]), condition | {"headwind": f"{wind} kt"}, measures=["glide"])
    floor = gliding.floor(air)
    speed, ratio = greatest(lambda v: v / gliding.sink(v, air), floor, 120.0)
    assert found["best_glide_ratio"] == pytest.approx(ratio, rel=1e-9)
    assert found["best_glide_speed_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-6)
    speed, ratio = greatest(lambda v: (v - wind * KNOT) / gliding.sink(v, air), floor, 120.0)
    assert found["glide_ratio_in_wind"] == pytest.approx(ratio, rel=1e-9)
    assert found["glide_speed_in_wind_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-6)
    speed, sink = greatest(lambda v: -gliding.sink(v, air), floor, 120.0)
    assert found["least_sink"] == pytest.approx(-sink, rel=1e-9)
    assert found["least_sink_speed_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-6)
    assert (found["least_sink_speed_calibrated"] == pytest.approx(air.calibrated(floor), rel=1e-9)) == (stall == "held")


def test_best_glide_is_that_of_the_polar(client):
    # Anderson, Introduction to Flight, ch. 6: (L/D)max = sqrt(pi e b²/(4 f)); least sink is flown at 3^(-1/4) of it
    for idle in ("0 m2", "0.10 m2", "0.25 m2"):
        aircraft = stalling(20.0)
        aircraft["drag"] |= {"idle_propeller_area": idle}
        found = numbers(client, aircraft, measures=["glide"])
        area = 0.60 + float(idle.split()[0])
        assert found["best_glide_ratio"] == pytest.approx(math.sqrt(math.pi * 0.75 * 9.9**2 / (4.0 * area)), rel=1e-9)
        slower = found["least_sink_speed_calibrated"] / found["best_glide_speed_calibrated"]
        assert slower == pytest.approx(3.0**-0.25, rel=1e-9)


def test_the_air_changes_the_speed_of_a_glide_and_not_its_angle(client):
    low, high = (
        numbers(client, stalling(20.0), {"density_altitude": altitude}, measures=["glide"])
        for altitude in ("0 ft", "10000 ft")
    )
    sigma = standard(10_000.0 * FOOT).sigma
    assert high["best_glide_ratio"] == pytest.approx(low["best_glide_ratio"], rel=1e-12)
    assert high["best_glide_speed_calibrated"] == pytest.approx(low["best_glide_speed_calibrated"], rel=1e-3)
    assert high["least_sink"] == pytest.approx(low["least_sink"] / math.sqrt(sigma), rel=1e-6)


def test_a_headwind_that_leaves_no_way_is_outglided_by_diving(client):
    answer = fly(client, stalling(39.0), {"density_altitude": "0 m", "headwind": "39 m/s"}, measures=["glide"])
    found = answer["results"][0]["measures"]
    assert found["glide_speed_in_wind_calibrated"]["value"] > 39.0
    assert 0.0 < found["glide_ratio_in_wind"]["value"] < found["best_glide_ratio"]["value"] / 5.0
    assert "glide-idle-propeller" in codes(answer)


def test_an_idling_propeller_that_nobody_knows(client):
    # 0.10 ± 0.06 m2, common practice, no source: dln(L/D)/df = -1/(2 f)
    aircraft = stalling(20.0)
    del aircraft["drag"]["idle_propeller_area"]
    answer = fly(client, aircraft, measures=["glide"])
    (item,) = [item for item in answer["assumed"] if item["where"] == "/aircraft/drag/idle_propeller_area"]
    assert (item["value"]["value"], item["value"]["plus_minus"]) == (0.10, 0.06)
    assert item["source"]
    found = answer["results"][0]["measures"]["best_glide_ratio"]
    assert found["plus_minus"] == pytest.approx(found["value"] * 0.06 / (2.0 * 0.70), rel=0.01)


@pytest.mark.parametrize("bank", [15.0, 30.0, 45.0, 60.0])
@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("stall", STALLS)
def test_a_turn(client, stall, where, bank):
    condition, air = AIRS[where]
    asked = {"bank": f"{bank} deg", "reversal": "210 deg"}
    found = numbers(client, stalling(STALLS[stall]), condition, measures=["turn", "stall_speed_true"], turn=asked)
    phi = math.radians(bank)
    n = 1.0 / math.cos(phi)
    assert found["load_factor_in_turn"] == pytest.approx(n, rel=1e-12)
    stalls = found["stall_speed_true"] * math.sqrt(n)
    assert found["stall_speed_in_turn_calibrated"] == pytest.approx(air.calibrated(stalls), rel=1e-9)
    banked = Machine(stall_at_480=STALLS[stall] * KNOT, lift=n)
    assert found["climb_rate_in_turn"] == pytest.approx(banked.best_rate(air)[1], rel=1e-6, abs=1e-9)
    # the turn back glides at the flattest angle of that load factor, 1.2 times above its stall or faster
    gliding = banked.gliding()
    speed = greatest(lambda v: v / gliding.sink(v, air), gliding.floor(air), 160.0)[0]
    radius = speed**2 / (G * math.tan(phi))
    assert found["turn_radius"] == pytest.approx(radius, rel=1e-5)
    time = math.radians(210.0) * radius / speed
    assert found["reversal_height_lost"] == pytest.approx(gliding.sink(speed, air) * time, rel=1e-5)


def test_a_published_turn(client):
    # FAA-H-8083-25, ch. 5: R = V²/(11.26 tan bank) in feet and knots (memory; rounded, exactly it is 11.29)
    found = numbers(client, turn={"bank": "35 deg"}, measures=["turn", "glide"], units="us,speed:kt")
    speed = math.sqrt(found["turn_radius"] * 11.26 * math.tan(math.radians(35.0)))
    # the flattest glide at n g is flown sqrt(n) times as fast, the stall rises as much
    assert speed == pytest.approx(
        found["best_glide_speed_calibrated"] / math.sqrt(math.cos(math.radians(35.0))), rel=2e-3
    )


def test_the_usual_turn_is_listed(client):
    answer = fly(client, turn={})
    listed = {item["where"]: item["value"]["value"] for item in answer["assumed"] if item["where"].startswith("/turn")}
    assert listed == pytest.approx({"/turn/bank": math.radians(30.0), "/turn/reversal": math.pi})
    stated = fly(client, turn={"bank": "30 deg", "reversal": "180 deg"})
    assert not [item for item in stated["assumed"] if item["where"].startswith("/turn")]
    for name, leaf in answer["results"][0]["measures"].items():
        if name != "stall_speeds" and leaf["value"] is not None:
            assert stated["results"][0]["measures"][name]["value"] == pytest.approx(leaf["value"], rel=1e-12)
    assert "turn-back" in codes(answer)
    assert "turn-back" not in codes(fly(client))


def test_a_steeper_turn_costs_less_height_until_it_stalls(client):
    # height lost over half a circle goes with n²/tan(bank) at one lift coefficient: least at 45 degrees
    lost = {
        bank: numbers(client, stalling(52.0), measures=["turn"], turn={"bank": f"{bank} deg"})["reversal_height_lost"]
        for bank in (20, 30, 40, 45, 50, 60)
    }
    assert min(lost, key=lost.get) == 45
    assert lost[30] / lost[45] == pytest.approx(math.sin(math.radians(90.0)) / math.sin(math.radians(60.0)), rel=1e-9)


def test_turning_both_ways_of_a_circle(client):
    half, whole = (
        numbers(client, measures=["turn"], turn={"bank": "30 deg", "reversal": angle})
        for angle in ("180 deg", "360 deg")
    )
    assert whole["reversal_height_lost"] == pytest.approx(2.0 * half["reversal_height_lost"], rel=1e-12)
    assert whole["turn_radius"] == half["turn_radius"]


@pytest.mark.parametrize(
    ("turn", "where"),
    [
        ({"bank": "0 deg"}, "/turn/bank"),
        ({"bank": "80 deg"}, "/turn/bank"),
        ({"bank": 30}, "/turn/bank"),
        ({"reversal": "-90 deg"}, "/turn/reversal"),
        ({"rate": "3 deg"}, "/turn/rate"),
    ],
)
def test_a_turn_that_is_not_understood(client, turn, where):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        "turn": turn,
    }
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == [where]


# Va = Vs sqrt(n); the structure's load goes as n W, never above the factor shown (14 CFR 23.335 as of 1996, memory)
@pytest.mark.parametrize(("pilot", "allowed"), [(60.0, 3.8), (94.0, 3.8), (150.0, 3.8 * 480.0 / 536.0)])
def test_manoeuvring_speed(client, pilot, allowed):
    answer = fly(client, None, None, {"pilot": f"{pilot} kg", "fuel": "50 L"}, measures=["manoeuvre", "stall_speeds"])
    found = answer["results"][0]["measures"]
    mass = 350.0 + pilot + 36.0
    assert found["allowed_load_factor"]["value"] == pytest.approx(allowed, rel=1e-12)
    stall = 39.0 * KNOT * math.sqrt(mass / 480.0)
    assert found["manoeuvring_speed_calibrated"]["value"] == pytest.approx(stall * math.sqrt(allowed), rel=1e-9)
    # heavier than shown, n falls as the stall speed squared rises: the speed stays
    if mass > 480.0:
        assert found["manoeuvring_speed_calibrated"]["value"] == pytest.approx(39.0 * KNOT * math.sqrt(3.8), rel=1e-9)
    assert ("load-factor-reduced" in codes(answer)) == (mass > 480.0)
    flap = 35.0 * KNOT * math.sqrt(mass / 480.0)
    assert found["stall_speeds"]["flap"]["value"] == pytest.approx(flap, rel=1e-9)
    assert found["approach_speed_calibrated"]["value"] == pytest.approx(1.3 * flap, rel=1e-9)


def test_without_a_load_factor_there_is_no_manoeuvring_speed(client):
    found = measures(
        client, aeroplane(limits={"load_factor": None, "load_factor_weight": None}), measures=["manoeuvre"]
    )
    for name in ("allowed_load_factor", "manoeuvring_speed_calibrated"):
        assert found[name]["value"] is None
        assert "load_factor" in found[name]["reason"]
    assert found["approach_speed_calibrated"]["value"] > 0.0


TABLE = [(36.0, 41.0), (45.0, 48.0), (70.0, 70.0), (83.0, 80.0)]


def test_what_the_airspeed_indicator_reads(client):
    # linear between the lines of the owner's table, never beyond
    lines = [{"indicated": f"{i} kt", "calibrated": f"{c} kt"} for i, c in TABLE]
    wanted = ["instruments", "aeroplane", "manoeuvre"]
    found = measures(client, AEROPLANE | {"airspeed_correction": lines}, measures=wanted, units="us,speed:kt")
    for name in ("best_climb_speed", "best_angle_speed", "greatest_level_speed", "stall_speed", "approach_speed"):
        calibrated, read = found[f"{name}_calibrated"]["value"], found[f"{name}_indicated"]
        if not 41.0 <= calibrated <= 80.0:
            assert read["value"] is None
            assert "outside the correction table" in read["reason"]
            continue
        (i0, c0), (i1, c1) = next(pair for pair in itertools.pairwise(TABLE) if pair[1][1] >= calibrated)
        assert read["value"] == pytest.approx(i0 + (i1 - i0) * (calibrated - c0) / (c1 - c0), rel=1e-9)
    outside = [name for name, leaf in found.items() if name.endswith("_indicated") and leaf["value"] is None]
    assert outside == ["greatest_level_speed_indicated", "stall_speed_indicated"]
    plain = measures(client, measures=wanted)
    for name in ("best_climb_speed", "stall_speed", "approach_speed"):
        assert plain[f"{name}_indicated"]["value"] == plain[f"{name}_calibrated"]["value"]


def test_the_stall_that_the_speeds_rest_on(client):
    # equivalent speed with the root of the weight; calibrated and true through the air
    for condition, air in AIRS.values():
        found = numbers(client, None, condition)
        equivalent = 39.0 * KNOT * math.sqrt(MASS / 480.0)
        assert found["stall_speed_true"] == pytest.approx(equivalent / math.sqrt(air.sigma), rel=1e-6)
        assert found["stall_speed_calibrated"] == pytest.approx(
            air.calibrated(equivalent / math.sqrt(air.sigma)), rel=1e-6
        )
