"""Take-off and landing through HTTP: the forces integrated in time, and the obstacle's share by formula."""

import math
from dataclasses import dataclass, field

import pytest
from scipy.integrate import solve_ivp

from .asking import near, pointers, refused
from .plainly import (
    AEROPLANE,
    CONSTANT_SPEED,
    FOOT,
    KNOT,
    LOADING,
    MASS,
    G,
    Machine,
    aeroplane,
    codes,
    fly,
    measures,
    numbers,
    standard,
)


@dataclass(frozen=True)
class Run:
    """One take-off or landing: what is asked, and the same in SI."""

    condition: dict = field(default_factory=lambda: {"density_altitude": "0 m"})
    strip: dict = field(default_factory=dict)
    machine: Machine = field(default_factory=Machine)
    altitude: float = 0.0
    warmer: float = 0.0
    wind: float = 0.0
    slope: float = 0.0
    rolling: float = 0.03
    braking: float = 0.30
    lift: float = 0.4
    propeller: dict | None = None

    @property
    def air(self):
        return standard(self.altitude, self.warmer)

    @property
    def stated(self):
        condition = self.condition | ({"headwind": f"{self.wind!r} m/s"} if self.wind else {})
        strip = {"slope": self.slope, "rolling_friction": self.rolling, "braking_friction": self.braking} | self.strip
        aircraft = AEROPLANE if self.propeller is None else AEROPLANE | {"propeller": self.propeller}
        return aircraft, condition, {"strip": strip, "measures": ["takeoff", "landing"]}


RUNS = {
    "calm, paved, sea level": Run(),
    "headwind": Run(wind=6.0),
    "tailwind": Run(wind=-4.0),
    "uphill": Run(slope=0.03),
    "downhill": Run(slope=-0.03),
    "grass": Run(rolling=0.08, braking=0.22),
    "8,000 ft": Run({"density_altitude": "8000 ft"}, altitude=8000.0 * FOOT),
    "hot": Run({"pressure_altitude": "5000 ft", "temperature_offset": "20 K"}, altitude=5000.0 * FOOT, warmer=20.0),
    "all at once": Run(
        {"pressure_altitude": "4000 ft", "temperature_offset": "15 K"},
        altitude=4000.0 * FOOT,
        warmer=15.0,
        wind=-3.0,
        slope=0.02,
        rolling=0.10,
        braking=0.20,
        lift=0.7,
    ),
    "constant speed": Run(propeller=CONSTANT_SPEED, machine=Machine(kind="constant-speed"), wind=5.0, slope=0.01),
}
runs = pytest.mark.parametrize("run", RUNS.values(), ids=RUNS)


def net(run, machine, friction, thrust):
    """Acceleration as a function of airspeed: thrust, drag near the ground, friction and slope."""
    near_ground = (16.0 * machine.wing_height / machine.span) ** 2
    induced = (machine.wing_area * run.lift) ** 2 / (math.pi * machine.efficiency * machine.span**2)
    drag_area = machine.area + induced * near_ground / (1.0 + near_ground)

    def acceleration(u):
        q = 0.5 * run.air.density * u * abs(u)
        on_wheels = machine.weight - q * machine.wing_area * run.lift
        force = thrust(u) - q * drag_area - friction * on_wheels - machine.weight * run.slope
        return force / machine.mass

    return acceleration


def integrated(acceleration, start, end, headwind):
    """Distance over the ground from one airspeed to another, by integration in time."""

    def arrives(_, y):
        return y[0] - end

    arrives.terminal = True
    if start == end:
        return 0.0
    done = solve_ivp(
        lambda _, y: [acceleration(y[0]), y[0] - headwind],
        (0.0, 300.0),
        [start, 0.0],
        method="DOP853",
        events=arrives,
        rtol=1e-10,
        atol=1e-10,
    )
    return done.y_events[0][0][1]


def quadratic(machine, air, lift_off):
    """Full throttle while rolling; a curve that is none by nature goes through standing and 0.8 of lift-off."""
    part = 0.8 * lift_off
    standing, rolling = machine.thrust(0.0, air), machine.thrust(part, air)
    return lambda u: standing + (rolling - standing) * u * abs(u) / part**2


def obstacle(run, machine, lift_off, over, height, rotation):
    """Rotation at lift-off speed, then a climb by energy with the excess thrust at the mean speed."""
    mean = 0.5 * (lift_off + over)
    excess = (machine.thrust(mean, run.air) - machine.drag(mean, run.air)) / machine.weight
    along = 1.0 - run.wind / mean
    through_air = (height + (over**2 - lift_off**2) / (2.0 * G)) / (excess - run.slope * along)
    return (lift_off - run.wind) * rotation + through_air * along


def taken_off(run, lift_off_factor=1.2, over_factor=1.3, height=15.24, rotation=1.0, part=1.0):
    """Roll, and distance over the obstacle."""
    machine = run.machine
    stall = machine.stall / math.sqrt(run.air.sigma)
    lift_off, over = lift_off_factor * stall, over_factor * stall
    forces = net(run, machine, run.rolling, quadratic(machine, run.air, lift_off))
    roll = integrated(forces, run.wind, part * lift_off, run.wind)
    return roll, roll + obstacle(run, machine, lift_off, over, height, rotation)


def stopped(run, machine, speed, free):
    """Free roll, then the brakes with the throttle closed."""
    forces = net(run, machine, run.braking, lambda u: 0.0)
    return (speed - run.wind) * free + integrated(forces, speed, run.wind, run.wind)


def descended(run, approach, touchdown, angle, load, height):
    """Straight descent to the flare, and the flare along an arc at the mean speed."""
    mean = 0.5 * (approach + touchdown)
    gradient = math.tan(angle) + run.slope * (1.0 - run.wind / approach)
    radius = mean**2 / (G * (load - 1.0))
    in_flare = radius * (1.0 - math.cos(math.atan(gradient)))
    arc = radius * math.sin(math.atan(gradient)) * (1.0 - run.wind / mean)
    return (height - in_flare) / gradient * (1.0 - run.wind / approach) + arc


def landed(run, approach_factor=1.3, touchdown_factor=1.15, angle=3.0, load=1.2, free=2.0, height=15.24):
    machine = run.machine.flapped()
    stall = machine.stall / math.sqrt(run.air.sigma)
    approach, touchdown = approach_factor * stall, touchdown_factor * stall
    roll = stopped(run, machine, touchdown, free)
    return roll, roll + descended(run, approach, touchdown, math.radians(angle), load, height)


@runs
def test_take_off_by_integration(client, run):
    aircraft, condition, more = run.stated
    found = numbers(client, aircraft, condition, takeoff={"rolling_lift_coefficient": run.lift}, **more)
    roll, distance = taken_off(run)
    assert found["takeoff_roll"] == pytest.approx(roll, rel=1e-6)
    assert found["takeoff_distance"] == pytest.approx(distance, rel=1e-6)
    assert found["takeoff_checkpoint"] == pytest.approx(taken_off(run, part=0.7)[0], rel=1e-6)
    lift_off = 1.2 * run.machine.stall / math.sqrt(run.air.sigma)
    assert found["lift_off_speed_calibrated"] == pytest.approx(run.air.calibrated(lift_off), rel=1e-6)
    given_up = roll + stopped(run, run.machine, lift_off, 2.0)
    assert found["accelerate_stop_distance"] == pytest.approx(given_up, rel=1e-6)


@runs
def test_landing_by_integration(client, run):
    aircraft, condition, more = run.stated
    found = numbers(client, aircraft, condition, landing={"rolling_lift_coefficient": run.lift}, **more)
    roll, distance = landed(run)
    assert found["landing_roll"] == pytest.approx(roll, rel=1e-6)
    assert found["landing_distance"] == pytest.approx(distance, rel=1e-6)


def test_a_take_off_flown_otherwise(client):
    run = Run(wind=3.0, rolling=0.06)
    aircraft, condition, more = run.stated
    asked = {
        "lift_off_factor": 1.1,
        "obstacle_factor": 1.25,
        "rotation_time": "2.5 s",
        "rolling_lift_coefficient": 0.4,
        "checkpoint": 0.5,
        "reaction_time": "4 s",
    }
    more["strip"] |= {"obstacle_height": "10 m"}
    found = numbers(client, aircraft, condition, takeoff=asked, **more)
    roll, distance = taken_off(run, 1.1, 1.25, 10.0, 2.5)
    assert found["takeoff_roll"] == pytest.approx(roll, rel=1e-6)
    assert found["takeoff_distance"] == pytest.approx(distance, rel=1e-6)
    assert found["takeoff_checkpoint"] == pytest.approx(taken_off(run, 1.1, part=0.5)[0], rel=1e-6)
    given_up = roll + stopped(run, run.machine, 1.1 * run.machine.stall, 4.0)
    assert found["accelerate_stop_distance"] == pytest.approx(given_up, rel=1e-6)


def test_a_take_off_with_flaps(client):
    run = Run(machine=Machine().flapped())
    aircraft, condition, more = run.stated
    asked = {"configuration": "flap", "rolling_lift_coefficient": 0.4}
    found = numbers(client, aircraft, condition, takeoff=asked, **more)
    roll, distance = taken_off(run)
    assert found["takeoff_roll"] == pytest.approx(roll, rel=1e-6)
    assert found["takeoff_distance"] == pytest.approx(distance, rel=1e-6)
    assert roll < taken_off(Run())[0]


def test_a_landing_flown_otherwise(client):
    run = Run(wind=-2.0, slope=-0.01, machine=Machine())
    aircraft, condition, more = run.stated
    asked = {
        "approach_factor": 1.4,
        "touchdown_factor": 1.05,
        "approach_angle": "6 deg",
        "flare_load_factor": 1.1,
        "free_roll_time": "0.5 s",
        "rolling_lift_coefficient": 0.4,
    }
    more["strip"] |= {"obstacle_height": "20 m"}
    found = numbers(client, aircraft, condition, landing=asked, **more)
    roll, distance = landed(run, 1.4, 1.05, 6.0, 1.1, 0.5, 20.0)
    assert found["landing_roll"] == pytest.approx(roll, rel=1e-6)
    assert found["landing_distance"] == pytest.approx(distance, rel=1e-6)
    clean = numbers(client, aircraft, condition, landing=asked | {"configuration": "clean"}, **more)
    assert clean["landing_roll"] > found["landing_roll"]


def test_the_pilots_technique_stretches_every_distance(client):
    aircraft, condition, more = Run().stated
    more["measures"] = ["takeoff", "landing"]
    plain = numbers(client, aircraft, condition, **more)
    tired = numbers(
        client, aircraft, condition, takeoff={"technique_factor": 1.15}, landing={"technique_factor": 1.25}, **more
    )
    for name in plain:
        if name != "lift_off_speed_calibrated" and name != "accelerate_stop_distance":
            factor = 1.15 if name.startswith("takeoff") else 1.25
            assert tired[name] == pytest.approx(factor * plain[name], rel=1e-12), name


def test_the_pilots_technique_stretches_a_rejected_take_off(client):
    aircraft, condition, more = Run().stated
    plain = numbers(client, aircraft, condition, **more)
    tired = numbers(client, aircraft, condition, takeoff={"technique_factor": 1.5}, **more)
    longer = tired["accelerate_stop_distance"] - plain["accelerate_stop_distance"]
    assert longer >= 0.5 * plain["takeoff_roll"] * (1.0 - 1e-9)


# Published figures for what one thing does, and what the physics answers beside it
def test_wind_of_a_tenth_of_the_speed(client):
    # TOL-09, FAA-H-8083-25, ch. 10 (memory): -19 % and +21 % of the roll, (1 -/+ Vw/V)², which holds at a steady
    # acceleration: hard brakes, hardly any drag or lift
    slick = aeroplane(drag={"parasite_area": "0.021 m2"})
    slick["stalls"] = AEROPLANE["stalls"][:1]
    speed = 1.15 * Machine().stall

    def rolled(share):
        return numbers(
            client,
            slick,
            {"density_altitude": "0 m", "headwind": f"{share * speed!r} m/s"},
            measures=["landing_roll"],
            landing={"rolling_lift_coefficient": 0, "free_roll_time": "0 s"},
            strip={"braking_friction": 0.9},
        )["landing_roll"]

    still = rolled(0.0)
    for share, percent in ((0.1, -19.0), (-0.1, 21.0), (0.5, -75.0)):
        assert near(100.0 * (rolled(share) / still - 1.0), percent, 0.5)


def test_a_landing_roll_at_5000_ft(client):
    # TOL-10, FAA-H-8083-25 and the naval aerodynamics handbook (memory): +16 %, one over the density ratio
    low, high = (
        numbers(
            client, None, {"density_altitude": altitude}, measures=["landing_roll"], landing={"free_roll_time": "0 s"}
        )["landing_roll"]
        for altitude in ("0 ft", "5000 ft")
    )
    assert near(100.0 * (high / low - 1.0), 16.0, 0.5)
    assert high / low == pytest.approx(1.0 / standard(5000.0 * FOOT).sigma, rel=1e-9)


def test_a_tenth_more_weight(client):
    # TOL-08, FAA-H-8083-25, ch. 10 (seen): speed +5 % (0.5), take-off distance at least +21 %
    light, heavy = (
        numbers(client, None, None, {"pilot": f"{pilot} kg", "fuel": "50 L"}, measures=["takeoff"])
        for pilot in (85.0, 85.0 + 0.1 * MASS)
    )
    faster = heavy["lift_off_speed_calibrated"] / light["lift_off_speed_calibrated"]
    assert near(100.0 * (faster - 1.0), 5.0, 0.5)
    assert heavy["takeoff_roll"] / light["takeoff_roll"] > 1.21
    # TOL-01, UK CAA Safety Sense Leaflet 7 (seen): 1.20 to 50 ft, a planning factor that the physics comes near
    assert heavy["takeoff_distance"] / light["takeoff_distance"] == pytest.approx(1.20, abs=0.05)


def test_it_does_not_move(client):
    weak = aeroplane(engine={"power": "18 hp"})
    answer = fly(client, weak, None, measures=["takeoff"], strip={"surface": "soft"})
    found = answer["results"][0]["measures"]
    for name, leaf in found.items():
        if name != "lift_off_speed_calibrated":
            assert leaf["value"] is None, name
            assert leaf["reason"]
    assert "does-not-move" in codes(answer)
    assert "does-not-lift-off" not in codes(answer)
    # standing thrust over weight, less friction: what is missing
    machine = Machine(power=18.0 * 745.699872 * 0.95)
    missing = machine.thrust(0.0, standard(0.0)) / (MASS * G) - 0.20
    assert missing < 0.0
    (text,) = [caution["text"] for caution in answer["cautions"] if caution["code"] == "does-not-move"]
    assert f"{abs(missing):.3f} of its weight" in text


def test_what_is_missing_to_move_is_not_negative(client):
    answer = fly(client, aeroplane(engine={"power": "18 hp"}), measures=["takeoff"], strip={"surface": "soft"})
    (text,) = [caution["text"] for caution in answer["cautions"] if caution["code"] == "does-not-move"]
    assert "(-" not in text


def test_it_rolls_and_does_not_lift_off(client):
    heavy = aeroplane(engine={"power": "30 hp"}, drag={"parasite_area": "3 m2"})
    run = Run(
        machine=Machine(power=30.0 * 745.699872 * 0.95, area=3.0),
        rolling=0.08,
    )
    stall = run.machine.stall
    forces = net(run, run.machine, 0.08, quadratic(run.machine, run.air, 1.2 * stall))
    assert forces(0.0) > 0.0 > forces(1.2 * stall)  # otherwise the test shows nothing
    answer = fly(client, heavy, measures=["takeoff"], strip={"rolling_friction": 0.08})
    found = answer["results"][0]["measures"]
    for name in ("takeoff_roll", "takeoff_distance", "takeoff_distance_required", "accelerate_stop_distance"):
        assert found[name]["value"] is None
        assert "lift-off speed" in found[name]["reason"]
    assert "does-not-lift-off" in codes(answer)
    assert "does-not-move" not in codes(answer)


def test_it_lifts_off_and_does_not_clear_the_obstacle(client):
    strip = {"length": "1000 m", "slope": 0.11}
    answer = fly(client, None, {"density_altitude": "9000 ft"}, measures=["takeoff", "strip"], strip=strip)
    found = answer["results"][0]["measures"]
    assert found["takeoff_roll"]["value"] > 0.0
    assert found["takeoff_distance"]["value"] is None
    assert any("take-off" in caution["text"] for caution in answer["cautions"] if caution["severity"] == "warning")


def test_it_does_not_stop(client):
    answer = fly(client, measures=["landing"], strip={"length": "1000 m", "slope": -0.25, "surface": "paved-wet"})
    assert answer["results"][0]["measures"]["landing_roll"]["value"] is None
    assert any("landing" in caution["text"] for caution in answer["cautions"] if caution["severity"] == "warning")


def test_a_headwind_as_fast_as_lift_off(client):
    gale = {"density_altitude": "0 m", "headwind": f"{1.2 * Machine().stall + 0.1!r} m/s"}
    found = numbers(client, None, gale, measures=["takeoff_roll", "takeoff_checkpoint", "accelerate_stop_distance"])
    assert found == {"takeoff_roll": 0.0, "takeoff_checkpoint": 0.0, "accelerate_stop_distance": 0.0}


def test_surfaces_bring_their_friction(client):
    # TOL-11 and TOL-12 (seen): 0.02 to 0.05 paved, 0.05 to 0.10 short grass, 0.10 to 0.30 soft; with their spreads
    ranges = {
        "paved-dry": (0.02, 0.05),
        "short-dry-grass": (0.05, 0.10),
        "long-grass": (0.05, 0.10),
        "soft": (0.1, 0.3),
    }
    rolls = {}
    for surface, (low, high) in ranges.items():
        answer = fly(client, measures=["takeoff"], strip={"surface": surface})
        (item,) = [item for item in answer["assumed"] if item["where"] == "/strip/rolling_friction"]
        assert low <= item["value"]["value"] <= high
        assert item["value"]["plus_minus"] > 0.0
        stated = numbers(client, measures=["takeoff"], strip={"rolling_friction": item["value"]["value"]})
        rolls[surface] = answer["results"][0]["measures"]["takeoff_roll"]["value"]
        assert stated["takeoff_roll"] == pytest.approx(rolls[surface], rel=1e-12)
    assert sorted(rolls, key=rolls.get) == list(ranges)


def test_what_is_usual_is_listed_and_may_be_sent_back(client):
    answer = fly(client, measures=["takeoff", "landing"])
    body = {"takeoff": {}, "landing": {}, "strip": {}}
    for item in answer["assumed"]:
        _, part, *name = item["where"].split("/")
        if part in body and "value" in item:
            body[part][name[0]] = item["value"]
    assert {len(fields) for fields in body.values()} == {7, 4}
    again = measures(client, measures=["takeoff", "landing"], **body)
    for name, leaf in answer["results"][0]["measures"].items():
        assert again[name]["value"] == pytest.approx(leaf["value"], rel=1e-12), name
        assert again[name]["plus_minus"] == pytest.approx(leaf["plus_minus"], rel=1e-9), name


@pytest.mark.parametrize(
    ("part", "fields", "where"),
    [
        ("takeoff", {"lift_off_factor": 1.35}, "/takeoff/lift_off_factor"),
        ("takeoff", {"lift_off_factor": 1.3, "obstacle_factor": 1.2}, "/takeoff/lift_off_factor"),
        ("takeoff", {"obstacle_factor": 1.15}, "/takeoff/obstacle_factor"),
        ("takeoff", {"lift_off_factor": 1.0}, "/takeoff/lift_off_factor"),
        ("takeoff", {"rotation_time": 1}, "/takeoff/rotation_time"),
        ("takeoff", {"configuration": "gear up"}, "/takeoff/configuration"),
        ("takeoff", {"technique_factor": 0.9}, "/takeoff/technique_factor"),
        ("takeoff", {"checkpoint": 1.1}, "/takeoff/checkpoint"),
        ("landing", {"touchdown_factor": 1.35}, "/landing/touchdown_factor"),
        ("landing", {"approach_factor": 1.1}, "/landing/approach_factor"),
        ("landing", {"approach_angle": "0 deg"}, "/landing/approach_angle"),
        ("landing", {"flare_load_factor": 1.0}, "/landing/flare_load_factor"),
        ("landing", {"configuration": "gear up"}, "/landing/configuration"),
        ("landing", {"flaps": "full"}, "/landing/flaps"),
        ("strip", {"surface": "mud"}, "/strip/surface"),
        ("strip", {"slope": 0.31}, "/strip/slope"),
        ("strip", {"length": 400}, "/strip/length"),
        ("strip", {"length": {"value": 400, "unit": "m", "plus_minus": 10}}, "/strip/length"),
        ("strip", {"braking_friction": 0.01}, "/strip/braking_friction"),
        ("strip", {"obstacle_height": "-1 m"}, "/strip/obstacle_height"),
        ("strip", {"one_way": "no"}, "/strip/one_way"),
    ],
)
def test_a_runway_that_is_not_understood(client, part, fields, where):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        part: fields,
    }
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == [where]


def test_knots_and_feet_are_read_alike(client):
    one = numbers(client, None, {"density_altitude": "0 m", "headwind": "8 kt"}, strip={"obstacle_height": "50 ft"})
    wind = f"{8.0 * KNOT!r} m/s"
    other = numbers(client, None, {"density_altitude": "0 m", "headwind": wind}, strip={"obstacle_height": "15.24 m"})
    assert one["takeoff_distance"] == pytest.approx(other["takeoff_distance"], rel=1e-12)
