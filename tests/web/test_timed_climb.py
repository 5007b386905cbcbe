"""A climb as it is asked for, through HTTP: rate, time, fuel and distance, against integration over the height."""

import math

import pytest
from scipy.integrate import quad

from .asking import pointers, refused
from .plainly import (
    AEROPLANE,
    CONSTANT_SPEED,
    FOOT,
    FUEL_DENSITY,
    KNOT,
    LOADING,
    G,
    Machine,
    R,
    aeroplane,
    fly,
    measures,
    numbers,
    standard,
)

CLIMB = ["climb"]


def climbed(machine, low, high, warmer=0.0, headwind=0.0, speed=None):
    """Time, distance over the ground and fuel between two pressure altitudes, layers as thick as they are warm."""

    def layer(altitude):
        air = standard(altitude, warmer)
        v = machine.best_rate(air)[0] if speed is None else air.true(speed)
        rate = machine.rate(v, air)
        time = air.temperature / standard(altitude).temperature / rate  # tapeline height for each of the altimeter's
        phi = machine.power_ratio(air)
        turning = math.sqrt(phi / air.sigma) if machine.kind == "fixed-pitch" else 1.0
        flow = machine.power * phi * turning * machine.consumption / FUEL_DENSITY
        return time, time * (math.sqrt(v**2 - rate**2) - headwind), time * flow

    return [quad(lambda h, i=i: layer(h)[i], low, high, epsabs=0.0, epsrel=1e-8)[0] for i in range(3)]


@pytest.mark.parametrize("speed", [None, 60.0 * KNOT])
@pytest.mark.parametrize(("warmer", "wind"), [(0.0, 0.0), (22.0, 10.0), (-15.0, -8.0)])
def test_a_timed_climb_by_integration(client, warmer, wind, speed):
    asked = {"from_altitude": "500 m", "to_altitude": "3200 m"}
    if speed is not None:
        asked["speed"] = f"{speed!r} m/s"
    condition = {"pressure_altitude": "500 m", "temperature_offset": f"{warmer} K", "headwind": f"{wind} kt"}
    found = numbers(client, None, condition, measures=CLIMB, climb=asked)
    time, way, fuel = climbed(Machine(), 500.0, 3200.0, warmer, wind * KNOT, speed)
    assert found["time_to_climb"] == pytest.approx(time, rel=1e-6)
    assert found["distance_to_climb"] == pytest.approx(way, rel=1e-6)
    assert found["fuel_to_climb"] == pytest.approx(fuel, rel=1e-6)
    air = standard(500.0, warmer)
    flown = Machine().best_rate(air)[0] if speed is None else air.true(speed)
    assert found["climb_rate_at_speed"] == pytest.approx(Machine().rate(flown, air), rel=1e-6)


def test_a_timed_climb_with_a_constant_speed_propeller(client):
    aircraft = AEROPLANE | {"propeller": CONSTANT_SPEED}
    found = numbers(client, aircraft, measures=CLIMB, climb={"from_altitude": "0 ft", "to_altitude": "8000 ft"})
    time, way, fuel = climbed(Machine(kind="constant-speed"), 0.0, 8000.0 * FOOT)
    assert found["time_to_climb"] == pytest.approx(time, rel=1e-6)
    assert found["distance_to_climb"] == pytest.approx(way, rel=1e-6)
    assert found["fuel_to_climb"] == pytest.approx(fuel, rel=1e-6)


@pytest.mark.parametrize("high", [4000.0, 5000.0, 6000.0])
def test_a_climb_through_the_critical_altitude(client, high):
    # the rate bends there, which costs a quadrature of few points some digits: 3e-4 is 0.3 s on a quarter of an hour
    engine = {"aspiration": "turbocharged", "critical_altitude": "2743.2 m"}
    machine = Machine(aspiration="turbocharged", critical=2743.2)
    asked = {"from_altitude": "0 m", "to_altitude": f"{high} m"}
    found = numbers(client, aeroplane(engine=engine), measures=CLIMB, climb=asked)
    halves = [climbed(machine, low, top)[0] for low, top in ((0.0, 2743.2), (2743.2, high))]
    assert found["time_to_climb"] == pytest.approx(sum(halves), rel=3e-4)


def test_a_climb_begins_at_the_conditions_altitude(client):
    condition = {"elevation": "5400 ft", "qnh": "1003 hPa", "oat": "25 C"}
    found = numbers(client, None, condition, measures=CLIMB, climb={"to_altitude": "9000 ft"})
    begins = (1.0 - (1003.0 / 1013.25) ** (R * 0.0065 / G)) * 288.15 / 0.0065  # of QNH, by ISO 2533
    # pressure at an elevation by QNH: the altimeter's scale moves in pressure, not in height
    pressure = 101325.0 * ((1003.0 / 1013.25) ** (R * 0.0065 / G) - 0.0065 * 5400.0 * FOOT / 288.15) ** (
        G / (R * 0.0065)
    )
    low = 288.15 / 0.0065 * (1.0 - (pressure / 101325.0) ** (R * 0.0065 / G))
    assert low == pytest.approx(5400.0 * FOOT + begins, rel=0.01)
    warmer = 298.15 - standard(low).temperature
    assert found["time_to_climb"] == pytest.approx(climbed(Machine(), low, 9000.0 * FOOT, warmer)[0], rel=1e-6)


def test_time_adds_up(client):
    def time(low, high):
        return numbers(client, measures=CLIMB, climb={"from_altitude": low, "to_altitude": high})["time_to_climb"]

    whole = time("0 ft", "9000 ft")
    assert time("0 ft", "4000 ft") + time("4000 ft", "9000 ft") == pytest.approx(whole, rel=1e-9)
    assert time("4000 ft", "4000 ft") == 0.0


def test_tapeline_and_altimeter_on_a_warm_day(client):
    # the altimeter counts layers that are T/Tstd as thick: the true rate is the greater by that on a warm day. It
    # climbs at one indicated airspeed, which takes 1 + (V/g) dV/dh (FTD-05) for speeding up. The service takes the
    # standard lapse for that on warm days too, which is worth less than 1e-4 of the rate.
    for warmer in (-20.0, 0.0, 25.0):
        condition = {"pressure_altitude": "5000 ft", "temperature_offset": f"{warmer} K"}
        found = numbers(client, None, condition, measures=["best_climb_rate", "altimeter_climb_rate"])
        air, machine = standard(5000.0 * FOOT, warmer), Machine()
        v, rate = machine.best_rate(air)
        # calibrated airspeed held: dV/dh by differences in air as warm above standard
        step, calibrated = 10.0, air.calibrated(v)
        low, high = (standard(5000.0 * FOOT + way * step, warmer).true(calibrated) for way in (-1.0, 1.0))
        thickness = air.temperature / standard(5000.0 * FOOT).temperature
        faster = (high - low) / (2.0 * step * thickness)
        expected = rate / (1.0 + v / G * faster) / thickness
        assert found["best_climb_rate"] == pytest.approx(rate, rel=1e-6)
        assert found["altimeter_climb_rate"] == pytest.approx(expected, rel=1e-4 if warmer else 1e-6)
        if warmer > 0.0:
            assert found["altimeter_climb_rate"] < found["best_climb_rate"] / 1.08


def test_warm_air_takes_longer_than_its_power_alone(client):
    # the same air twice, once as a density altitude: the layers of the warm day are thicker by T/Tstd
    thin = {"from_altitude": "5000 ft", "to_altitude": "5010 ft"}
    warm = numbers(
        client,
        None,
        {"pressure_altitude": "5005 ft", "temperature_offset": "25 K"},
        measures=["climb", "best_climb_rate"],
        climb=thin,
    )
    usual = standard(5005.0 * FOOT).temperature
    assert warm["time_to_climb"] == pytest.approx(
        10.0 * FOOT * (usual + 25.0) / usual / warm["best_climb_rate"], rel=1e-5
    )


@pytest.mark.parametrize("flaps", ["clean", "flap"])
def test_climbing_with_flaps(client, flaps):
    machine, air = Machine() if flaps == "clean" else Machine().flapped(), standard(0.0)
    asked = {"speed": "55 kt", "configuration": flaps, "to_altitude": "2000 ft"}
    found = numbers(client, measures=CLIMB, climb=asked)
    assert found["climb_rate_at_speed"] == pytest.approx(machine.rate(55.0 * KNOT, air), rel=1e-9)
    assert found["time_to_climb"] == pytest.approx(climbed(machine, 0.0, 2000.0 * FOOT, speed=55.0 * KNOT)[0], rel=1e-6)
    best = numbers(client, measures=CLIMB, climb={"configuration": flaps})["climb_rate_at_speed"]
    assert best == pytest.approx(machine.best_rate(air)[1], rel=1e-6)  # its floor is that configuration's stall


def test_the_drag_of_flaps_that_nobody_knows_is_listed_and_spreads(client):
    stalls = [dict(stall) for stall in AEROPLANE["stalls"]]
    del stalls[1]["parasite_area_gain"]
    aircraft = AEROPLANE | {"stalls": stalls}
    asked = {"speed": "55 kt", "configuration": "flap"}
    answer = fly(client, aircraft, measures=CLIMB, climb=asked)
    (item,) = [item for item in answer["assumed"] if item["where"] == "/aircraft/stalls/1/parasite_area_gain"]
    found = answer["results"][0]["measures"]["climb_rate_at_speed"]
    # dRC = V q df / W
    machine, v = Machine(area=0.60 + item["value"]["value"]), 55.0 * KNOT
    assert found["value"] == pytest.approx(machine.rate(v, standard(0.0)), rel=1e-9)
    slope = 0.5 * standard(0.0).density * v**3 / machine.weight
    assert found["plus_minus"] == pytest.approx(slope * item["value"]["plus_minus"], rel=1e-9)


def test_a_climb_that_does_not_get_there(client):
    ceiling = numbers(client)["absolute_ceiling"]
    for high, there in ((0.9 * ceiling, True), (1.001 * ceiling, False), (1.2 * ceiling, False)):
        asked = {"from_altitude": "0 m", "to_altitude": f"{high!r} m"}
        found = measures(client, measures=CLIMB, climb=asked)
        for name in ("time_to_climb", "distance_to_climb", "fuel_to_climb"):
            assert (found[name]["value"] is not None) == there
            assert there or "does not climb that far" in found[name]["reason"]
        assert found["climb_rate_at_speed"]["value"] > 0.0
    # too fast to climb at all
    fast = {"speed": "99 kt", "to_altitude": "2000 ft"}
    found = measures(client, measures=CLIMB, climb=fast)
    assert found["climb_rate_at_speed"]["value"] < 0.0
    assert found["time_to_climb"]["value"] is None


def test_a_climb_that_is_not_asked_for(client):
    found = measures(client, measures=CLIMB)
    assert {leaf["value"] for leaf in found.values()} == {None}
    assert "no climb was given" in found["climb_rate_at_speed"]["reason"]
    found = measures(client, measures=["climb", "best_climb_rate"], climb={})
    assert found["climb_rate_at_speed"]["value"] == pytest.approx(found["best_climb_rate"]["value"], rel=1e-12)
    assert "to_altitude" in found["time_to_climb"]["reason"]


@pytest.mark.parametrize(("speed", "near"), [("1.19", True), ("1.21", False)])
def test_a_climb_slower_than_it_should_be_flown(client, speed, near):
    asked = {"speed": f"{float(speed) * Machine().stall!r} m/s"}
    answer = fly(client, climb=asked)
    texts = [caution["text"] for caution in answer["cautions"] if caution["code"] == "climb-speed-near-stall"]
    assert (len(texts) == 1) == near
    assert not near or "1.190 times the stall speed" in texts[0]


@pytest.mark.parametrize(
    ("climb", "where"),
    [
        ({"from_altitude": "2000 ft"}, "/climb/to_altitude"),
        ({"configuration": "gear up"}, "/climb/configuration"),
        ({"speed": 60}, "/climb/speed"),
        ({"speed": "4 kt"}, "/climb/speed"),
        ({"to_altitude": "60000 ft"}, "/climb/to_altitude"),
        ({"to": "6000 ft"}, "/climb/to"),
        ("60 kt", "/climb"),
    ],
)
def test_a_climb_that_is_not_understood(client, climb, where):
    assert pointers(refused(_posted(client, climb), 422)) == [where]


def _posted(client, climb):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        "climb": climb,
    }
    return client.post("/v1/performance", json=body)


def test_a_climb_goes_up(client):
    response = _posted(client, {"from_altitude": "8000 ft", "to_altitude": "6000 ft"})
    assert pointers(refused(response, 422)) == ["/climb/to_altitude"]


def test_a_wind_that_leaves_no_way(client):
    gale = {"density_altitude": "0 m", "headwind": "35 m/s"}
    found = measures(client, None, gale, measures=["climb", "climb_gradient"], climb={"to_altitude": "1000 m"})
    assert found["climb_gradient"]["value"] is None
    assert found["time_to_climb"]["value"] > 0.0
    assert found["distance_to_climb"]["value"] is None
    assert "wind" in found["distance_to_climb"]["reason"]
