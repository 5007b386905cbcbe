"""The question turned round: what is found, put into the question by hand, makes the measure meet its target again.

By default a hundred seeded aeroplanes are asked of every unknown; CLIMBWRIGHT_REQUIREMENT_CASES=1000 asks more.
"""

import math
import os
from dataclasses import dataclass, replace

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.description import (
    Aircraft,
    Drag,
    Engine,
    EnvelopePoint,
    Limits,
    Mass,
    Propeller,
    Stall,
    Station,
    Wing,
)
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers import crossings as looked_for
from climbwright.answers.comparison import perform
from climbwright.answers.flying import Climb, Cruise, Flying, Landing, Strip, TakeOff
from climbwright.answers.requirement import Impossible, require
from climbwright.answers.targets import Target
from climbwright.answers.unknowns import UNKNOWNS, Unknown
from climbwright.arrays import Measured
from climbwright.refusal import Refusal

CASES = int(os.environ.get("CLIMBWRIGHT_REQUIREMENT_CASES", "100"))
RPM = math.pi / 30.0
FUEL_DENSITY = 720.0


@dataclass(frozen=True)
class Scene:
    """What a question holds beside its unknown and target."""

    aircraft: Aircraft
    loading: Loading
    condition: Condition
    flying: Flying

    def with_parts(self, **parts):
        return replace(self, aircraft=replace(self.aircraft, **parts))

    def with_part(self, name, **numbers):
        return self.with_parts(**{name: replace(getattr(self.aircraft, name), **numbers)})


def random_scene(rng):
    """A light aeroplane of which every number is known and certain, loaded, in some air; arms from its datum."""
    mass, wing_area = rng.uniform(220.0, 480.0), rng.uniform(9.0, 18.0)
    empty_arm = rng.uniform(0.25, 0.4)
    power, reference = rng.uniform(35e3, 110e3), rng.uniform(30.0, 50.0)
    stall = rng.uniform(16.0, 25.0)
    propellers = (
        {"kind": "fixed-pitch", "best_efficiency": rng.uniform(0.62, 0.76), "best_efficiency_speed": reference},
        {"kind": "constant-efficiency", "efficiency": rng.uniform(0.6, 0.8)},
        {"kind": "constant-speed", "quality": 0.85, "static_quality": rng.uniform(0.55, 0.7), "quality_speed": 25.0},
    )
    aircraft = Aircraft(
        name="an invented aeroplane",
        wing=Wing(wing_area, rng.uniform(8.0, 12.0), chord=1.3, leading_edge_arm=0.0, height=rng.uniform(0.6, 2.0)),
        empty=Mass(mass, empty_arm),
        limits=Limits(maximum_mass=900.0, forward=0.2, aft=0.55),
        stations=(
            Station("seats", rng.uniform(0.5, 0.7)),
            Station("fuel", rng.uniform(0.75, 1.0), density=FUEL_DENSITY),
        ),
        engine=Engine(
            power,
            speed=2700.0 * RPM,
            reduction=1.0,
            aspiration="natural",
            lapse_constant=rng.uniform(0.1, 0.16),
            power_margin=rng.uniform(0.85, 1.0),
            specific_consumption=rng.uniform(7.5e-8, 1.2e-7),
        ),
        propeller=Propeller(diameter=rng.uniform(1.5, 1.9), **propellers[rng.integers(3)]),
        drag=Drag(rng.uniform(0.25, 0.9), rng.uniform(0.65, 0.85), idle_propeller_area=0.1),
        items=(Mass(5.0, -0.8, "oil"), Mass(rng.uniform(8.0, 20.0), rng.uniform(-0.5, 2.0), "battery")),
        stalls=(
            Stall("clean", speed=stall, mass=480.0, arm=0.36),
            Stall("flap", speed=0.9 * stall, mass=480.0, arm=0.36, parasite_area_gain=0.1),
        ),
        tail_arm=rng.uniform(3.5, 4.5),
    )
    altitude = rng.uniform(0.0, 2500.0)
    condition = Condition(
        "here",
        pressure_altitude=altitude,
        oat=rng.uniform(265.0, 305.0),
        relative_humidity=float(rng.choice([0.0, 0.5])),
        headwind=rng.uniform(-3.0, 8.0),
    )
    loading = Loading("one", {"seats": Amount(mass=rng.uniform(70.0, 170.0)), "fuel": Amount(volume=0.03)})
    flying = Flying(
        climb=Climb(speed=1.35 * stall, to_altitude=altitude + 300.0),
        cruise=Cruise(power_fraction=0.6, reserve=0.0),
        takeoff=TakeOff(configuration="clean", rolling_lift_coefficient=0.4),
        landing=Landing(configuration="flap", rolling_lift_coefficient=0.4),
        strip=Strip(
            length=500.0,
            slope=rng.uniform(-0.02, 0.02),
            surface="hard-turf",
            obstacle_height=15.0,
            rolling_friction=0.06,
            braking_friction=0.25,
        ),
    )
    return Scene(aircraft, loading, condition, flying)


# By hand: what the unknown stands for is worked out here another way than the service puts it in.


def totals(scene):
    """Mass and moment as loaded, summed by hand."""
    one = scene.aircraft
    parts = [(one.empty.mass, one.empty.arm), *((item.mass, item.arm) for item in one.items)]
    for station in one.stations:
        amount = scene.loading.stations.get(station.name, Amount(mass=0.0))
        mass = amount.mass if amount.volume is None else amount.volume * station.density
        parts.append((mass, station.arm))
    return sum(mass for mass, _ in parts), sum(mass * arm for mass, arm in parts)


def with_more(scene, mass, arm):
    """The same aeroplane with a mass bolted on before it was weighed."""
    empty = scene.aircraft.empty
    new = empty.mass + mass
    return scene.with_parts(empty=Mass(new, (empty.mass * empty.arm + mass * arm) / new))


def weighing(scene, value, _):
    mass, moment = totals(scene)
    return with_more(scene, value - mass, moment / mass)


def holding(station, factor):
    def put(scene, value, _):
        stations = scene.loading.stations | {station: Amount(mass=value * factor)}
        return replace(scene, loading=replace(scene.loading, stations=stations))

    return put


def with_item_at(scene, value, unknown):
    (item,) = [item for item in scene.aircraft.items if item.name == unknown.item]
    others = tuple(other for other in scene.aircraft.items if other is not item)
    return with_more(scene.with_parts(items=others), item.mass, value)


def lifted(scene, value, _):
    """A stall speed falls with the root of the lift that is gained."""
    stalls = scene.aircraft.stalls
    return scene.with_parts(stalls=tuple(replace(s, speed=s.speed / math.sqrt(1.0 + value)) for s in stalls))


def in_standard_air(scene, value, _):
    """A density altitude alone is standard air at that pressure altitude."""
    air = Condition("here", pressure_altitude=value, temperature_offset=0.0, headwind=scene.condition.headwind)
    return replace(scene, condition=air)


def as_warm(scene, value, _):
    """The temperature as its distance from the standard one, ISO 2533 below 11 km."""
    standard = 288.15 - 0.0065 * scene.condition.pressure_altitude
    return replace(scene, condition=replace(scene.condition, oat=None, temperature_offset=value - standard))


def on_a_strip(scene, value, _):
    strip = replace(scene.flying.strip, length=value)
    return replace(scene, flying=replace(scene.flying, strip=strip))


BY_HAND = {
    "power": lambda scene, value, _: scene.with_part("engine", power=value),
    "weight": weighing,
    "fuel": holding("fuel", FUEL_DENSITY),
    "payload": holding("seats", 1.0),
    "ballast_weight": lambda scene, value, unknown: with_more(scene, value, unknown.arm),
    "ballast_arm": lambda scene, value, unknown: with_more(scene, unknown.mass, value),
    "item_arm": with_item_at,
    "parasite_area": lambda scene, value, _: scene.with_part("drag", parasite_area=value),
    "lift_gain": lifted,
    "density_altitude": in_standard_air,
    "runway_length": on_a_strip,
    "temperature": as_warm,
}


def measured(scene, measure):
    """The forward answer."""
    found = perform(scene.aircraft, [scene.loading], [scene.condition], scene.flying, [measure])
    return float(found.values.value[found.names.index(measure), 0, 0, 0])


def forward(scene, unknown, value, measure):
    return measured(BY_HAND[unknown.field](scene, value, unknown), measure)


def asked(scene, unknown, measure, goal, value):
    return require(
        scene.aircraft, [scene.loading], [scene.condition], scene.flying, unknown, Target(measure, goal, value)
    )


# Measures that go one way with the unknown, then those that turn round somewhere
MONOTONIC = {
    "power": ("best_climb_rate", "power_to_weight", "service_ceiling", "greatest_level_speed_true", "takeoff_distance"),
    "weight": ("weight", "best_climb_rate", "stall_speed_calibrated", "takeoff_roll", "time_to_climb"),
    "fuel": ("weight", "cg_arm", "endurance", "range", "best_climb_rate"),
    "payload": ("weight", "cg_arm", "stall_speed_true", "landing_distance", "absolute_ceiling"),
    "ballast_weight": ("weight", "cg_arm", "best_climb_rate", "stall_speed_calibrated"),
    "ballast_arm": ("cg_arm", "cg_chord_fraction", "stall_speed_calibrated", "landing_roll"),
    "item_arm": ("cg_arm", "cg_chord_fraction", "stall_speed_true"),
    "parasite_area": ("best_climb_rate", "greatest_level_speed_true", "best_glide_ratio", "climb_rate_at_speed"),
    "lift_gain": ("stall_speed_calibrated", "lift_off_speed_calibrated", "takeoff_roll", "landing_distance"),
    "density_altitude": ("best_climb_rate", "power_available", "stall_speed_true", "takeoff_distance"),
    "runway_length": ("takeoff_margin", "landing_margin", "takeoff_margin_reversed", "landing_margin_reversed"),
    "temperature": ("best_climb_rate", "power_available", "stall_speed_true", "takeoff_distance"),
}
TURNING = {
    "power": ("cruise_power_fraction", "tip_mach"),
    "weight": ("greatest_range", "glide_ratio_in_wind"),
    "fuel": ("cg_margin",),
    "payload": ("cg_margin",),
    "ballast_weight": ("cg_margin",),
    "ballast_arm": ("cg_margin",),
    "item_arm": ("cg_margin",),
    "parasite_area": ("best_angle",),
    "lift_gain": ("best_angle", "climb_gradient"),
    "density_altitude": ("cruise_speed_true",),
    "runway_length": (),
    "temperature": ("cruise_speed_calibrated",),
}


def usual_range(scene, field):
    """The range that is searched where the request gives none: no aeroplane weighs less than it does empty."""
    usual = UNKNOWNS[field]
    if field != "weight":
        return usual.least, usual.greatest
    return sum(part.mass for part in (scene.aircraft.empty, *scene.aircraft.items)), usual.greatest


def random_unknown(rng, field, scene):
    """An unknown with what it needs, and a value that it has in truth; in its own narrow range every other time."""
    needs = {
        "fuel": {"station": "fuel"},
        "item_arm": {"item": "battery"},
        "ballast_weight": {"arm": float(rng.choice([-1.0, 4.0]))},
        "ballast_arm": {"mass": rng.uniform(2.0, 30.0)},
    }.get(field, {})
    least, greatest = usual_range(scene, field)
    narrow = bool(rng.integers(2))
    if narrow:
        middle, half = rng.uniform(least, greatest), rng.uniform(0.05, 0.4) * (greatest - least)
        least, greatest = max(least, middle - half), min(greatest, middle + half)
    true = rng.uniform(least, greatest)
    ends = {"least": least, "greatest": greatest} if narrow else {}
    return Unknown(field, **ends, **needs), true, greatest - least


def random_case(rng, field, measures):
    """A scene, an unknown, its true value, and a measure that exists there."""
    for _ in range(200):
        scene = random_scene(rng)
        unknown, true, width = random_unknown(rng, field, scene)
        measure = str(rng.choice(measures))
        value = forward(scene, unknown, true, measure)
        if np.isfinite(value):
            return scene, unknown, true, width, measure, value
    raise AssertionError("no such measure exists anywhere")


def disagreements(field, measures, cases, seed, monotonic):
    """Cases that are refused, in which the measure is not the target, or the true value is not among those found.

    Where the measure turns round, one refusal in ten is left to the tests of what hides between values of the grid.
    """
    rng = np.random.default_rng([seed, list(UNKNOWNS).index(field)])
    wrong, refused = [], []
    for k in range(cases):
        scene, unknown, true, width, measure, value = random_case(rng, field, measures)
        try:
            found = asked(scene, unknown, measure, "equals", value)
        except Refusal as refusal:
            refused.append((k, measure, true, str(refusal)))
            continue
        again = forward(scene, unknown, found.value, measure)
        if again != pytest.approx(value, rel=1e-6, abs=1e-9):
            wrong.append((k, measure, true, found.value, value, again))
        elif monotonic and not any(x == pytest.approx(true, rel=1e-5, abs=1e-7 * width) for x in values_of(found)):
            wrong.append((k, measure, true, values_of(found)))
    return wrong + refused if monotonic or len(refused) > 0.1 * cases else wrong


def values_of(found):
    return [found.value, *found.others]


def fields(*, without=()):
    return [field for field in UNKNOWNS if field not in without]


@pytest.mark.parametrize("field", fields())
def test_the_value_found_meets_the_target_and_is_the_true_one(field):
    wrong = disagreements(field, MONOTONIC[field], CASES, 20261201, monotonic=True)
    assert not wrong, (len(wrong), wrong[:5])


@pytest.mark.parametrize("field", fields(without=("runway_length",)))
def test_the_value_found_meets_the_target_where_the_measure_turns_round(field):
    wrong = disagreements(field, TURNING[field], max(CASES // 5, 10), 20261202, monotonic=False)
    assert not wrong, (len(wrong), wrong[:5])


@pytest.mark.parametrize("field", fields())
def test_the_slope_is_that_of_the_forward_answer(field):
    rng = np.random.default_rng([20261203, list(UNKNOWNS).index(field)])
    for _ in range(8):
        scene, unknown, _, width, measure, value = random_case(rng, field, MONOTONIC[field][:2])
        found = asked(scene, unknown, measure, "equals", value)
        step = 3e-5 * width
        ends = [forward(scene, unknown, found.value + side * step, measure) for side in (1.0, -1.0)]
        slope = (ends[0] - ends[1]) / (2.0 * step)
        assert found.slope == pytest.approx(slope, rel=1e-3), (measure, found.value)


# One aeroplane, whose ranges, ends and crossings are looked at one by one


def one_scene(**numbers):
    """An aeroplane that does not depend on the seed; numbers of its engine, drag or limits laid over it."""
    scene = random_scene(np.random.default_rng(7))
    propeller = Propeller("fixed-pitch", diameter=1.75, best_efficiency=0.72, best_efficiency_speed=42.0)
    usual = {"power": 60e3, "lapse_constant": 0.117, "power_margin": 0.95}
    scene = scene.with_part("engine", **usual).with_parts(propeller=propeller)
    scene = scene.with_part("drag", parasite_area=0.6, span_efficiency=0.75)
    return scene.with_parts(empty=Mass(330.0, 0.32), **numbers)


def scan(scene, unknown, measure, count=101):
    """Values of the whole range, and the measure at each, by the forward answer."""
    least, greatest = usual_range(scene, unknown.field)
    least = least if unknown.least is None else unknown.least
    greatest = greatest if unknown.greatest is None else unknown.greatest
    values = np.linspace(least, greatest, count)
    return values, np.array([forward(scene, unknown, value, measure) for value in values])


def crossings(values, gaps):
    """Where a scan crosses nothing, by a straight line between neighbours."""
    places = np.flatnonzero(gaps[:-1] * gaps[1:] < 0.0)
    return [values[i] - gaps[i] * (values[i + 1] - values[i]) / (gaps[i + 1] - gaps[i]) for i in places]


BATTERY, BALLAST = Unknown("item_arm", item="battery"), Unknown("ballast_arm", mass=20.0)
IMPOSSIBLE = [
    (Unknown("power"), "best_climb_rate", "at_least", 60.0),
    (Unknown("power"), "takeoff_roll", "at_most", 1.0),
    (Unknown("fuel", station="fuel"), "endurance", "at_least", 3.6e5),
    (Unknown("payload", station="seats"), "cg_margin", "at_least", 0.5),
    (BATTERY, "cg_margin", "equals", 0.5),
    (Unknown("parasite_area"), "greatest_level_speed_true", "at_least", 400.0),
    (Unknown("parasite_area"), "best_glide_ratio", "at_most", 2.0),
    (Unknown("density_altitude"), "stall_speed_true", "at_most", 10.0),
    (Unknown("temperature"), "best_climb_rate", "equals", 40.0),
    (Unknown("runway_length"), "takeoff_margin", "at_least", 1e5),
    (Unknown("weight"), "stall_speed_calibrated", "at_most", 2.0),
    (Unknown("ballast_weight", arm=3.0), "cg_arm", "at_least", 4.0),
    (BALLAST, "cg_margin", "at_least", 0.5),
    (Unknown("lift_gain"), "stall_speed_calibrated", "at_most", 5.0),
]


def cases(table):
    return [pytest.param(*row, id=f"{row[0].field} {row[1]} {row[2]}") for row in table]


@pytest.mark.parametrize(("unknown", "measure", "goal", "target"), cases(IMPOSSIBLE))
def test_an_impossible_target_is_refused_with_the_nearest_that_can_be_had(unknown, measure, goal, target):
    scene = one_scene()
    with pytest.raises(Impossible) as caught:
        asked(scene, unknown, measure, goal, target)
    refusal = caught.value
    assert refusal.where == "/target"
    values, measures = scan(scene, unknown, measure, count=201 if measure == "cg_margin" else 101)
    nearest = np.nanargmin(np.abs(measures - target))
    assert refusal.reached[0] == pytest.approx(measures[nearest], rel=0.01)
    assert forward(scene, unknown, refusal.value[0], measure) == pytest.approx(refusal.reached[0], rel=1e-6)
    assert abs(refusal.value[0] - values[nearest]) <= 0.01 * (values[-1] - values[0])


THROUGHOUT = [
    (Unknown("power", least=60e3), "best_climb_rate", "at_least", 0.2),
    (Unknown("power"), "power_to_weight", "at_most", 1e4),
    (Unknown("fuel", station="fuel"), "weight", "at_least", 100.0),
    (Unknown("payload", station="seats", greatest=120.0), "best_climb_rate", "at_least", 0.1),
    (Unknown("item_arm", item="battery", least=0.0, greatest=0.5), "cg_arm", "at_most", 5.0),
    (Unknown("parasite_area", greatest=1.0), "greatest_level_speed_true", "at_least", 20.0),
    (Unknown("density_altitude", greatest=3000.0), "best_climb_rate", "at_most", 30.0),
    (Unknown("temperature"), "stall_speed_true", "at_least", 5.0),
    (Unknown("runway_length"), "landing_margin", "at_least", -1e5),
    (Unknown("weight", least=360.0, greatest=600.0), "stall_speed_calibrated", "at_least", 2.0),
    (Unknown("ballast_weight", arm=1.0), "weight", "at_most", 5000.0),
    (Unknown("ballast_arm", mass=2.0), "cg_arm", "at_least", -2.0),
    (Unknown("lift_gain", least=0.0), "takeoff_roll", "at_most", 4000.0),
]


@pytest.mark.parametrize(
    ("unknown", "measure", "goal", "target"), THROUGHOUT, ids=lambda part: getattr(part, "field", str(part))
)
def test_a_target_met_throughout_is_answered_with_the_end_that_meets_it_most_narrowly(unknown, measure, goal, target):
    scene = one_scene()
    values, measures = scan(scene, unknown, measure, count=33)
    sign = 1.0 if goal == "at_least" else -1.0
    assert np.all(sign * (measures - target) > 0.0)
    found = asked(scene, unknown, measure, goal, target)
    assert found.met_throughout
    assert found.others == []
    end = np.argmin(np.abs(measures - target))
    assert end in (0, len(values) - 1)
    assert found.value == pytest.approx(values[end], rel=1e-12)
    assert forward(scene, unknown, found.value, measure) == pytest.approx(measures[end], rel=1e-9)


@pytest.mark.parametrize("goal", ["at_least", "at_most", "equals"])
def test_a_target_that_is_crossed_is_met_just_whatever_the_goal(goal):
    scene = one_scene()
    found = asked(scene, Unknown("power"), "best_climb_rate", goal, 3.0)
    assert not found.met_throughout
    assert forward(scene, Unknown("power"), found.value, "best_climb_rate") == pytest.approx(3.0, rel=1e-9)


def test_one_value_of_the_range_is_enough_for_an_end():
    # a crossing in the last sliver of the range, and one exactly at its end
    scene = one_scene()
    edge = forward(scene, Unknown("power"), 80e3, "best_climb_rate")
    for least, greatest in ((79.999e3, 90e3), (70e3, 80.001e3), (80e3, 90e3), (70e3, 80e3)):
        found = asked(scene, Unknown("power", least, greatest), "best_climb_rate", "equals", edge)
        assert found.value == pytest.approx(80e3, rel=1e-9)


# Measures that do not exist in part of the range


def beginning(scene, unknown, measure, low, high):
    """Where a measure begins to exist between two values, by bisection."""
    assert np.isnan(forward(scene, unknown, low, measure))
    for _ in range(60):
        middle = 0.5 * (low + high)
        if np.isnan(forward(scene, unknown, middle, measure)):
            low = middle
        else:
            high = middle
    return high


@pytest.mark.parametrize(
    ("measure", "target"),
    [
        ("service_ceiling", 3000.0),
        ("absolute_ceiling", 500.0),
        ("takeoff_distance", 700.0),
        ("takeoff_roll", 900.0),
        ("greatest_level_speed_true", 45.0),
        ("cruise_speed_true", 40.0),
        ("time_to_climb", 1000.0),
    ],
)
def test_a_measure_that_begins_to_exist_within_the_range(measure, target):
    scene, unknown = one_scene(), Unknown("power", 5e3, 100e3)
    values, measures = scan(scene, unknown, measure, count=161)
    assert np.isnan(measures).any()
    expected = crossings(values, measures - target)
    found = asked(scene, unknown, measure, "equals", target)
    assert sorted(values_of(found)) == pytest.approx(expected, rel=1e-2)
    for value in values_of(found):
        assert forward(scene, unknown, value, measure) == pytest.approx(target, rel=1e-6)


@pytest.mark.parametrize("measure", ["greatest_level_speed_true", "takeoff_distance"])
def test_a_value_close_beside_the_first_at_which_the_measure_exists(measure):
    scene, unknown = one_scene(), Unknown("power", 5e3, 100e3)
    first = beginning(scene, unknown, measure, 5e3, 60e3)
    target = forward(scene, unknown, first + 2.0, measure)  # two watts more
    found = asked(scene, unknown, measure, "equals", target)
    assert forward(scene, unknown, found.value, measure) == pytest.approx(target, rel=1e-6)


ENVELOPE = tuple(EnvelopePoint(*p) for p in ((420.0, 0.1), (800.0, 0.1), (800.0, 0.7), (420.0, 0.7)))


@pytest.mark.parametrize(
    ("unknown", "measure", "goal", "target"),
    [
        (Unknown("payload", station="seats"), "cg_margin", "at_least", -1.0),  # too light for the envelope at first
        (Unknown("power", 5e3, 100e3), "greatest_level_speed_true", "at_most", 200.0),
        (Unknown("power", 5e3, 100e3), "time_to_climb", "at_least", 1.0),
    ],
)
def test_a_target_met_wherever_the_measure_exists_is_not_refused(unknown, measure, goal, target):
    scene = one_scene(limits=Limits(envelope=ENVELOPE))
    _, measures = scan(scene, unknown, measure, count=51)
    sign = 1.0 if goal == "at_least" else -1.0
    assert 0 < np.isnan(measures).sum() < 50
    assert np.all(sign * (measures[np.isfinite(measures)] - target) > 0.0)
    found = asked(scene, unknown, measure, goal, target)
    assert sign * (forward(scene, unknown, found.value, measure) - target) > 0.0


def test_a_measure_that_exists_nowhere_is_refused():
    scene = one_scene()
    electric = scene.with_part("engine", aspiration="electric", specific_consumption=None, lapse_constant=None)
    for unanswerable, measure in (
        (electric, "fuel_flow"),
        (electric, "range"),
        (scene.with_parts(limits=Limits()), "cg_margin"),
        (replace(scene, flying=replace(scene.flying, climb=None)), "climb_rate_at_speed"),
        (scene.with_part("wing", chord=None), "cg_chord_fraction"),
    ):
        with pytest.raises(Refusal, match=f"{measure} does not exist") as caught:
            asked(unanswerable, Unknown("power"), measure, "equals", 1.0)
        assert not isinstance(caught.value, Impossible)


@pytest.mark.parametrize("measure", ["takeoff_distance_required", "takeoff_margin"])
def test_a_distance_required_by_physics_at_one_end_and_by_the_published_factors_at_the_other(measure):
    scene, unknown = one_scene(), Unknown("power", 30e3, 100e3)
    physical, published = (scan(scene, unknown, f"takeoff_distance{name}", count=21)[1] for name in ("", "_published"))
    assert physical[0] > published[0]
    assert physical[-1] < published[-1]
    for power in (31e3, 40e3, 60e3, 90e3):
        target = forward(scene, unknown, power, measure)
        found = asked(scene, unknown, measure, "equals", target)
        assert found.value == pytest.approx(power, rel=1e-6)
        assert forward(scene, unknown, found.value, measure) == pytest.approx(target, rel=1e-6)


# Several values that meet the target


@pytest.mark.parametrize(
    ("unknown", "measure", "target"),
    [
        (BATTERY, "cg_margin", 0.0),
        (BATTERY, "cg_margin", 0.1),
        (Unknown("fuel", station="fuel"), "cg_margin", 0.09),
        (Unknown("power", 20e3, 200e3), "tip_mach", None),
    ],
)
def test_every_crossing_is_listed(unknown, measure, target):
    scene = one_scene()
    if unknown.field == "fuel":  # which moves the CG from ahead of the middle of these limits to behind it
        scene = scene.with_parts(limits=Limits(forward=0.3, aft=0.55))
    values, measures = scan(scene, unknown, measure, count=201)
    if target is None:
        target = measures[0] if np.isfinite(measures[0]) else measures[np.isfinite(measures)][0]
        target = 0.5 * (target + np.nanmax(measures))
    expected = crossings(values, measures - target)
    found = asked(scene, unknown, measure, "equals", target)
    assert sorted(values_of(found)) == pytest.approx(expected, rel=1e-4, abs=1e-4 * (values[-1] - values[0]))
    for value in values_of(found):
        assert forward(scene, unknown, value, measure) == pytest.approx(target, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("power", [30e3, 150e3])
def test_the_value_nearest_to_what_the_aeroplane_has_comes_first(power):
    scene, unknown = one_scene().with_part("propeller", static_speed=250.0), Unknown("power", 23e3, 200e3)
    _, measures = scan(scene, unknown, "tip_mach")  # which falls at first and then rises
    target = 0.5 * (measures.min() + measures[0])
    found = asked(scene.with_part("engine", power=power), unknown, "tip_mach", "equals", target)
    assert len(found.others) == 1
    assert abs(found.value - power) < abs(found.others[0] - power)


def at_arm(arm):
    return one_scene(items=(Mass(5.0, -0.8, "oil"), Mass(12.0, arm, "battery")))


def with_fuel(volume):
    scene = one_scene(limits=Limits(forward=0.3, aft=0.55))
    stations = scene.loading.stations | {"fuel": Amount(volume=volume)}
    return replace(scene, loading=replace(scene.loading, stations=stations))


@pytest.mark.parametrize(
    ("scene", "unknown", "target", "now"),
    [
        (at_arm(9.0), BATTERY, 0.0, 9.0),
        (with_fuel(0.29), Unknown("fuel", station="fuel"), 0.09, 0.29),
    ],
    ids=["item_arm", "fuel"],
)
def test_the_nearest_of_several_is_nearest_to_the_request(scene, unknown, target, now):
    found = asked(scene, unknown, "cg_margin", "equals", target)
    assert len(found.others) == 1
    assert abs(found.value - now) < abs(found.others[0] - now)


@pytest.mark.parametrize("target", [0.14, 0.15, 0.16])
def test_a_peak_between_two_neighbours_of_the_grid_is_found(target):
    # 100 kg that move 1 m move the CG by some 0.17 m, and half of the width of the limits is 0.175 m
    scene = one_scene(items=(Mass(100.0, 0.3, "battery"),))
    best = forward(scene, BATTERY, 0.25, "cg_margin")
    assert best > target
    found = asked(scene, BATTERY, "cg_margin", "at_least", target)
    assert forward(scene, BATTERY, found.value, "cg_margin") == pytest.approx(target, rel=1e-6)


@pytest.mark.parametrize("value", [0.5, 2.0])
def test_a_jump_across_the_target_does_not_meet_it(value):
    def step(x):
        return np.where(x < 0.3, 0.0, 1.0) + np.where(x > 0.7, 4.0 * (x - 0.7), 0.0)

    found = looked_for.crossings(step, *looked_for.scan(step, 0.0, 1.0, value), value)
    assert found == ([] if value == 0.5 else pytest.approx([0.95], rel=1e-9))


# A measure that does not depend on the unknown


def test_a_measure_that_the_unknown_does_not_move_is_met_throughout_or_nowhere():
    scene, unknown = one_scene(), Unknown("power")
    weight = forward(scene, unknown, 50e3, "weight")
    assert asked(scene, unknown, "weight", "equals", weight).others == []


def test_no_spread_where_the_measure_does_not_move():
    scene = one_scene()
    found = asked(
        scene.with_part("drag", span_efficiency=Measured(0.75, 0.05)), Unknown("power"), "weight", "at_least", 9.0
    )
    assert found.met_throughout
    assert found.slope == 0.0
    assert found.spread is None


def test_no_spread_from_what_rounding_leaves_of_a_slope():
    scene = one_scene().with_part("drag", span_efficiency=Measured(0.75, 0.05))
    found = asked(scene, Unknown("density_altitude"), "best_glide_ratio", "at_least", 1.0)
    assert found.spread is None or found.spread < 1e5


def test_the_spread_is_that_of_the_measure_over_the_slope():
    scene = one_scene().with_part("drag", parasite_area=Measured(0.6, 0.06))
    found = asked(scene, Unknown("power"), "best_climb_rate", "equals", 3.0)
    spread = found.answer.values.spread[found.answer.names.index("best_climb_rate"), 0, 0, 0]
    at = [forward(scene, Unknown("power"), found.value * (1.0 + side), "best_climb_rate") for side in (1e-4, -1e-4)]
    slope = (at[0] - at[1]) / (2e-4 * found.value)
    assert found.spread == pytest.approx(spread / slope, rel=1e-5)


def test_what_is_certain_has_no_spread():
    assert asked(one_scene(), Unknown("power"), "best_climb_rate", "equals", 3.0).spread is None
