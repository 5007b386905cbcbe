"""Cruise through HTTP: settings and speeds, fuel, range and endurance, against search and integration over the fuel."""

import math

import pytest
from scipy.integrate import quad

from .asking import pointers, refused
from .plainly import (
    AEROPLANE,
    CONSTANT_SPEED,
    FOOT,
    FUEL,
    FUEL_DENSITY,
    HORSEPOWER,
    KNOT,
    LOADING,
    MASS,
    Machine,
    aeroplane,
    codes,
    fly,
    greatest,
    measures,
    numbers,
    said,
    standard,
)

RATED = 80.0 * HORSEPOWER
STEADY = {"kind": "constant-efficiency", "efficiency": 0.71}
KINDS = {
    "fixed pitch": (AEROPLANE, Machine()),
    "constant speed": (AEROPLANE | {"propeller": CONSTANT_SPEED}, Machine(kind="constant-speed")),
    "constant efficiency": (AEROPLANE | {"propeller": STEADY}, Machine(kind="constant-efficiency")),
}
AIRS = {
    "sea level": ({"density_altitude": "0 ft"}, standard(0.0)),
    "hot": ({"pressure_altitude": "5000 ft", "temperature_offset": "18 K"}, standard(5000.0 * FOOT, 18.0)),
}
TABLE = [
    {"indicated": "40 kt", "calibrated": "44 kt"},
    {"indicated": "60 kt", "calibrated": "61 kt"},
    {"indicated": "100 kt", "calibrated": "97 kt"},
]


def lasting(machine, air, fuel, headwind, flown):
    """Time and distance over the ground, integrated over the mass burned; `flown` gives speed and shaft power."""

    def each(burned):
        speed, power = flown(machine.changed(mass=machine.mass - burned))
        return 1.0 / (power * machine.consumption), (speed - headwind)

    time = quad(lambda burned: each(burned)[0], 0.0, fuel, epsabs=0.0, epsrel=1e-10)[0]
    way = quad(lambda burned: math.prod(each(burned)), 0.0, fuel, epsabs=0.0, epsrel=1e-10)[0]
    return time, way


@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("setting", [0.45, 0.65])
def test_cruise_at_a_power_setting(client, kind, where, setting):
    (aircraft, machine), (condition, air) = KINDS[kind], AIRS[where]
    asked = {"power_fraction": setting, "reserve": "20 min"}
    found = numbers(client, aircraft, condition | {"headwind": "9 kt"}, measures=["cruise"], cruise=asked)
    shaft = setting * RATED
    speed = machine.at_power(shaft, air)
    assert found["cruise_speed_true"] == pytest.approx(speed, rel=1e-6)
    assert found["cruise_speed_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-6)
    assert found["cruise_speed_indicated"] == found["cruise_speed_calibrated"]
    assert found["cruise_power_fraction"] == pytest.approx(setting, rel=1e-12)
    flow = shaft * machine.consumption
    assert found["fuel_flow"] == pytest.approx(flow / FUEL_DENSITY, rel=1e-12)
    left = FUEL - 20.0 * 60.0 * flow
    time, way = lasting(machine, air, left, 9.0 * KNOT, lambda m: (m.at_power(shaft, air), shaft))
    assert found["endurance"] == pytest.approx(time, rel=1e-9)
    assert found["endurance"] == pytest.approx(left / flow, rel=1e-12)
    assert found["range"] == pytest.approx(way, rel=1e-6)


@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("kind", KINDS)
def test_cruise_at_full_throttle(client, kind, where):
    (aircraft, machine), (condition, air) = KINDS[kind], AIRS[where]
    found = numbers(client, aircraft, condition, measures=["cruise", "aeroplane"], cruise={"full_throttle": True})
    assert found["cruise_speed_true"] == pytest.approx(machine.level(air), rel=1e-6)
    assert found["cruise_speed_true"] == pytest.approx(found["greatest_level_speed_true"], rel=1e-12)
    phi = machine.power_ratio(air)
    # a fixed pitch with a torque that falls as phi turns as fast as the root of phi over sigma
    turning = math.sqrt(phi / air.sigma) if kind == "fixed pitch" else 1.0
    assert found["cruise_power_fraction"] == pytest.approx(0.95 * phi * turning, rel=1e-6)


@pytest.mark.parametrize("way", ["true", "calibrated", "indicated"])
@pytest.mark.parametrize("kind", KINDS)
def test_cruise_at_a_speed(client, kind, way):
    (aircraft, machine), (condition, air) = KINDS[kind], AIRS["hot"]
    aircraft = aircraft | {"airspeed_correction": TABLE}
    asked = {way: "75 kt", "reserve": "0 min"}
    found = numbers(client, aircraft, condition, measures=["cruise"], cruise=asked)
    calibrated = {"calibrated": 75.0, "indicated": 61.0 + 36.0 * 15.0 / 40.0}.get(way, 0.0) * KNOT
    speed = 75.0 * KNOT if way == "true" else air.true(calibrated)
    assert found["cruise_speed_true"] == pytest.approx(speed, rel=1e-9)
    shown = air.calibrated(speed) / KNOT
    assert found["cruise_speed_calibrated"] == pytest.approx(shown * KNOT, rel=1e-9)
    assert found["cruise_speed_indicated"] == pytest.approx((60.0 + 40.0 * (shown - 61.0) / 36.0) * KNOT, rel=1e-9)
    shaft = machine.shaft_power(speed, air)
    assert found["cruise_power_fraction"] == pytest.approx(shaft / RATED, rel=1e-6)
    assert found["fuel_flow"] == pytest.approx(shaft * machine.consumption / FUEL_DENSITY, rel=1e-6)
    time, range_ = lasting(machine, air, FUEL, 0.0, lambda m: (speed, m.shaft_power(speed, air)))
    assert found["endurance"] == pytest.approx(time, rel=1e-6)
    assert found["range"] == pytest.approx(range_, rel=1e-6)
    assert found["range"] == pytest.approx(found["endurance"] * speed, rel=1e-9)


def test_a_speed_and_the_setting_that_makes_it_are_one_cruise(client):
    by_power = numbers(client, measures=["cruise"], cruise={"power_fraction": 0.6})
    by_speed = numbers(client, measures=["cruise"], cruise={"true": f"{by_power['cruise_speed_true']!r} m/s"})
    for name in ("cruise_speed_true", "cruise_power_fraction", "fuel_flow"):
        assert by_speed[name] == pytest.approx(by_power[name], rel=1e-10)
    # lighter as fuel burns: at one power it flies faster, at one speed it burns less
    assert by_speed["endurance"] > by_power["endurance"]


def test_the_correction_table_is_never_extended(client):
    aircraft = AEROPLANE | {"airspeed_correction": TABLE[:2]}
    found = measures(client, aircraft, measures=["cruise"], cruise={"indicated": "60.1 kt"})
    assert found["cruise_speed_true"]["value"] is None
    assert found["cruise_speed_true"]["reason"]
    assert found["range"]["value"] is None
    found = measures(client, aircraft, measures=["cruise"], cruise={"calibrated": "62 kt"})
    assert found["cruise_speed_true"]["value"] == pytest.approx(62.0 * KNOT, rel=1e-9)
    assert found["cruise_speed_indicated"]["value"] is None
    assert "correction table" in found["cruise_speed_indicated"]["reason"]


def test_a_speed_that_cannot_be_flown_level(client):
    level = numbers(client)["greatest_level_speed_true"]
    stall = Machine().stall
    for speed, flies in ((level * 0.9999, True), (level * 1.001, False), (stall * 1.001, True), (stall * 0.999, False)):
        found = measures(client, measures=["cruise"], cruise={"true": f"{speed!r} m/s"})
        assert (found["cruise_speed_true"]["value"] is not None) == flies
        for name in ("cruise_speed_true", "cruise_power_fraction"):
            assert flies or "cannot be flown" in found[name]["reason"]


@pytest.mark.parametrize("kind", KINDS)
def test_more_power_than_full_throttle_gives(client, kind):
    aircraft, machine = KINDS[kind]
    condition, air = {"density_altitude": "9000 ft"}, standard(9000.0 * FOOT)
    answer = fly(client, aircraft, condition, measures=["cruise", "greatest_level_speed_true"], cruise={})
    found = {name: leaf["value"] for name, leaf in answer["results"][0]["measures"].items()}
    assert found["cruise_speed_true"] == pytest.approx(found["greatest_level_speed_true"], rel=1e-12)
    assert found["cruise_power_fraction"] < 0.75
    assert found["cruise_power_fraction"] == pytest.approx(
        machine.shaft_power(machine.level(air), air) / RATED, rel=1e-5
    )
    assert "0.750" in said(answer, "setting-beyond-full-throttle")
    assert any(item["where"] == "/cruise/power_fraction" for item in answer["assumed"])
    inside = fly(client, aircraft, condition, measures=["cruise"], cruise={"power_fraction": 0.6})
    assert "setting-beyond-full-throttle" not in codes(inside)


def test_the_reserve_is_not_carried(client):
    # 80 hp at 0.75 burns 13.42 kg/h: half an hour takes 6.71 kg, and 5.6 of the 7.2 kg on board can be burned
    loading = {"pilot": "85 kg", "fuel": "10 L"}
    needed = 0.5 * 0.75 * RATED / 1000.0 * 0.30
    answer = fly(client, None, None, loading, measures=["cruise"])
    found = answer["results"][0]["measures"]
    for name in ("range", "endurance", "greatest_range", "greatest_endurance"):
        assert found[name]["value"] == 0.0, name
    assert f"{needed - 0.72 * 8.0:.1f} kg" in said(answer, "reserve-not-carried")
    enough = f"{2.0 + needed / 0.72 + 0.01!r} L"
    answer = fly(client, None, None, {"pilot": "85 kg", "fuel": enough}, measures=["cruise"])
    assert "reserve-not-carried" not in codes(answer)
    assert 0.0 < answer["results"][0]["measures"]["endurance"]["value"] < 5.0


def test_a_reserve_shortens_endurance_by_itself(client):
    without, with_it = (
        numbers(client, measures=["cruise"], cruise={"power_fraction": 0.55, "reserve": f"{minutes} min"})
        for minutes in (0, 45)
    )
    assert without["endurance"] - with_it["endurance"] == pytest.approx(45.0 * 60.0, rel=1e-9)


def test_wind_takes_from_the_range_what_it_takes_in_time(client):
    still, against, behind = (
        numbers(client, None, {"density_altitude": "0 m", "headwind": wind}, measures=["cruise"])
        for wind in ("0 kt", "15 kt", "-15 kt")
    )
    for windy, wind in ((against, 15.0), (behind, -15.0)):
        assert windy["endurance"] == still["endurance"]
        assert windy["range"] == pytest.approx(still["range"] - wind * KNOT * still["endurance"], rel=1e-9)
        assert windy["greatest_endurance"] == still["greatest_endurance"]
    assert against["best_range_speed_calibrated"] > still["best_range_speed_calibrated"]
    assert behind["best_range_speed_calibrated"] < still["best_range_speed_calibrated"]


def test_a_wind_stronger_than_the_cruise(client):
    gale = {"density_altitude": "0 m", "headwind": "39 m/s"}
    found = measures(client, None, gale, measures=["cruise"], cruise={"true": "38 m/s"})
    assert found["endurance"]["value"] > 0.0
    assert found["range"]["value"] is None
    assert "wind" in found["range"]["reason"]


@pytest.mark.parametrize("wind", [0.0, 20.0, -20.0])
@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("kind", KINDS)
def test_the_longest_range_and_endurance(client, kind, where, wind):
    (aircraft, machine), (condition, air) = KINDS[kind], AIRS[where]
    # lighter, so that the floor at 1.2 stall speeds does not hold what is searched for
    aircraft = aircraft | {"stalls": [{"configuration": "clean", "speed": "20 kt", "weight": "480 kg"}]}
    machine = machine.changed(stall_at_480=20.0 * KNOT)
    asked = {"power_fraction": 0.5, "reserve": "0 min"}
    found = numbers(client, aircraft, condition | {"headwind": f"{wind} kt"}, measures=["cruise"], cruise=asked)

    def far(m):
        speed = greatest(lambda v: (v - wind * KNOT) / m.shaft_power(v, air), m.floor(air), 120.0)[0]
        return speed, m.shaft_power(speed, air)

    def long(m):
        speed = greatest(lambda v: -m.shaft_power(v, air), m.floor(air), 120.0)[0]
        return speed, m.shaft_power(speed, air)

    assert found["best_range_speed_calibrated"] == pytest.approx(air.calibrated(far(machine)[0]), rel=1e-5)
    assert found["best_endurance_speed_calibrated"] == pytest.approx(air.calibrated(long(machine)[0]), rel=1e-5)
    assert found["greatest_range"] == pytest.approx(_by_points(machine, air, wind * KNOT, far)[1], rel=1e-5)
    assert found["greatest_endurance"] == pytest.approx(_by_points(machine, air, wind * KNOT, long)[0], rel=1e-5)


def _by_points(machine, air, headwind, flown):
    """As `lasting`, by Boole's rule: a search at each point is slow, and fuel is a tenth of the weight."""
    shares, weights = (0.0, 0.25, 0.5, 0.75, 1.0), (7.0, 32.0, 12.0, 32.0, 7.0)
    time = way = 0.0
    for share, weight in zip(shares, weights, strict=True):
        speed, power = flown(machine.changed(mass=machine.mass - share * FUEL))
        part = FUEL * weight / 90.0 / (power * machine.consumption)
        time, way = time + part, way + part * (speed - headwind)
    return time, way


def test_the_speeds_of_range_and_endurance_are_held_above_the_stall(client):
    machine, air = Machine(), standard(0.0)
    found = numbers(client, measures=["cruise"])
    assert found["best_endurance_speed_calibrated"] == pytest.approx(machine.floor(air), rel=1e-9)
    free = greatest(lambda v: -machine.shaft_power(v, air), 5.0, 120.0)[0]
    assert free < machine.floor(air)  # otherwise the test shows nothing


def test_breguets_range_and_endurance(client):
    # Anderson, Introduction to Flight, ch. 6: R = eta/c L/D ln(W0/W1) and
    # E = eta/c CL^1.5/CD sqrt(2 rho S) (W1^-0.5 - W0^-0.5)
    aircraft, machine = KINDS["constant efficiency"]
    aircraft = aircraft | {"stalls": [{"configuration": "clean", "speed": "15 kt", "weight": "480 kg"}]}
    found = numbers(client, aircraft, measures=["cruise"], cruise={"reserve": "0 min", "power_fraction": 0.4})
    air, c = standard(0.0), machine.consumption * 9.80665  # weight of fuel for each shaft energy [1/m]
    lift_over_drag = math.sqrt(math.pi * 0.75 * 9.9**2 / (4.0 * 0.60))
    ratio = MASS / (MASS - FUEL)
    assert found["greatest_range"] == pytest.approx(0.71 / c * lift_over_drag * math.log(ratio), rel=1e-5)
    # at least power parasite drag is a quarter: CD0 S = f, CL² S² = 3 f pi e b²
    k = math.pi * 0.75 * 9.9**2
    lift_area, drag_area = math.sqrt(3.0 * 0.60 * k), 4.0 * 0.60
    roots = 1.0 / math.sqrt((MASS - FUEL) * 9.80665) - 1.0 / math.sqrt(MASS * 9.80665)
    endurance = 0.71 / c * lift_area**1.5 / drag_area * math.sqrt(2.0 * air.density) * roots
    assert found["greatest_endurance"] == pytest.approx(endurance, rel=1e-5)


def test_fuel_that_no_tank_says(client):
    # 0.72 kg/L stands in for the flow as a volume, common practice, no source; no fuel, no range
    aircraft = aeroplane(stations=[{"name": "pilot", "arm": "0.4 m"}])
    answer = fly(client, aircraft, None, {"pilot": "85 kg"}, measures=["cruise"], cruise={"power_fraction": 0.5})
    found = answer["results"][0]["measures"]
    burned = 0.5 * RATED * 0.30 / 3.6e6
    assert found["fuel_flow"]["value"] == pytest.approx(burned / 720.0, rel=1e-9)
    assert found["range"]["value"] == 0.0
    assert "reserve-not-carried" in codes(answer)


def test_the_density_that_stood_in_is_listed(client):
    aircraft = aeroplane(stations=[{"name": "pilot", "arm": "0.4 m"}])
    answer = fly(client, aircraft, None, {"pilot": "85 kg"}, measures=["cruise"])
    assert any("petrol" in item["text"] for item in answer["assumed"])


def test_the_fuel_flow_of_an_option_without_the_first_tank(client):
    tanks = [
        {"name": "left", "arm": "0.4 m", "density": "0.72 kg/L"},
        {"name": "right", "arm": "0.4 m", "density": "0.84 kg/L"},
    ]
    baseline = aeroplane(stations=[*tanks, {"name": "pilot", "arm": "0.4 m"}])
    dry = {"kind": "station", "name": "no left tank", "station": {"name": "left", "arm": "0.4 m"}}
    body = {
        "baseline": baseline,
        "options": [{"name": "one tank", "changes": [dry]}],
        "loadings": [{"name": "one", "stations": {"pilot": "85 kg", "right": "20 L"}}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        "measures": ["fuel_flow"],
        "cruise": {"power_fraction": 0.5},
    }
    response = client.post("/v1/comparison", query_string={"units": "si"}, json=body)
    flow = response.json["options"][0]["results"][0]["measures"]["fuel_flow"]
    assert flow["after"]["value"] == pytest.approx(0.5 * RATED * 0.30 / 3.6e6 / 840.0, rel=1e-9)


@pytest.mark.parametrize(
    ("cruise", "where"),
    [
        ({"power_fraction": 0.6, "true": "80 kt"}, "/cruise/true"),
        ({"full_throttle": True, "power_fraction": 0.6}, "/cruise/full_throttle"),
        ({"calibrated": "70 kt", "indicated": "70 kt"}, "/cruise/indicated"),
        ({"power_fraction": 0.04}, "/cruise/power_fraction"),
        ({"power_fraction": "65"}, "/cruise/power_fraction"),
        ({"reserve": 45}, "/cruise/reserve"),
        ({"reserve": "-5 min"}, "/cruise/reserve"),
        ({"true": 80}, "/cruise/true"),
        ({"speed": "80 kt"}, "/cruise/speed"),
        ({"full_throttle": "yes"}, "/cruise/full_throttle"),
        ([], "/cruise"),
    ],
)
def test_a_cruise_that_is_not_understood(client, cruise, where):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        "cruise": cruise,
    }
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == [where]


def test_no_full_throttle_is_no_setting(client):
    usual = fly(client, cruise={})
    assert fly(client, cruise={"full_throttle": False})["results"] == usual["results"]
    assert any(item["where"] == "/cruise/power_fraction" for item in usual["assumed"])
