"""A crowd of invented aeroplanes whose truth is drawn from the starting values, and flights that they would have flown.

The truth is what the fit is to find: every uncertain number of the aeroplane and of its days is drawn from its own
spread, the package's functions say what would have been read, and each reading is drawn from its own spread.
"""

from dataclasses import dataclass, replace

import numpy as np

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Station, Wing
from climbwright.answers.calibration.calibrate import completed_for, shared_by
from climbwright.answers.calibration.observation import KINDS, Observation
from climbwright.answers.calibration.prediction import flown, predict
from climbwright.answers.question import weighed_and_settled
from climbwright.answers.spread import central, placed, uncertain
from climbwright.arrays import Measured

HORSEPOWER, FOOT, KNOT = 745.69987158, 0.3048, 1852.0 / 3600.0
FRAMES = ("wire-braced-open", "strut-braced-fabric", "strut-braced-metal", "cantilever-metal", "composite")


@dataclass(frozen=True)
class Case:
    """An aeroplane with gaps, the true numbers in the order of the unknowns, and its flights."""

    aircraft: Aircraft
    truth: np.ndarray
    true_aircraft: Aircraft
    observations: tuple[Observation, ...]


def aeroplane(rng) -> Aircraft:
    """A light two-seater with a fixed pitch, of which its owner knows what a ruler, a scale and a plate say."""
    two_stroke = rng.random() < 0.3
    return Aircraft(
        name="invented",
        wing=Wing(area=rng.uniform(10.0, 15.5), span=rng.uniform(8.6, 10.8), height=1.5),
        empty=Mass(rng.uniform(240.0, 360.0), 0.3),
        limits=Limits(),
        stations=(Station("seats", 0.3),),
        engine=Engine(
            power=rng.uniform(80.0, 120.0) * HORSEPOWER,
            speed=rng.uniform(240.0, 330.0),
            reduction=2.0 if two_stroke else 1.5,
            cycle="two-stroke" if two_stroke else "four-stroke",
        ),
        propeller=Propeller(
            kind="fixed-pitch",
            diameter=rng.uniform(1.55, 1.8),
            pitch_class=str(rng.choice(["climb", "middle", "cruise"])),
        ),
        drag=Drag(airframe_class=str(rng.choice(FRAMES))),
    )


def condition(rng, low, high) -> Condition:
    return Condition(pressure_altitude=rng.uniform(low, high) * FOOT, temperature_offset=rng.uniform(-8.0, 25.0))


def plan(aircraft: Aircraft, rng, count: int) -> list[Observation]:
    """What is flown: six kinds of flight, or twice as many, on two days; values are still to come."""
    solo, two = (aircraft.empty.mass + load for load in (rng.uniform(95.0, 120.0), rng.uniform(175.0, 210.0)))
    field = condition(rng, 0.0, 4000.0)
    high = Condition(pressure_altitude=field.pressure_altitude + 900.0, temperature_offset=field.temperature_offset)

    def one(name, kind, measured, mass, air, day="first", **more):
        return Observation(name, kind, measured, 0.0, 1.0, air, day, mass=mass, **more)

    flights = [
        one("climb solo", "climb", "rate", solo, field),
        one("climb two-up", "climb", "rate", two, field),
        one("fast", "level", "speed", solo, high, full_throttle=True),
        one("cruise", "level", "speed", two, high, power_fraction=Measured(0.7, 0.03)),
        one("stall", "stall", "speed", solo, high),
        one("glide", "glide", "sink", solo, high, airspeed=rng.uniform(28.0, 33.0)),
    ]
    if count == 6:
        return flights
    warm = condition(rng, 500.0, 3500.0)
    return [
        *flights,
        one("climb in the heat", "climb", "rate", two, warm, "second"),
        one("climb high", "climb", "rate", solo, high, "second"),
        one("slow cruise", "level", "speed", two, warm, "second", power_fraction=Measured(0.6, 0.03)),
        one("stall two-up", "stall", "speed", two, warm, "second"),
        one("standing", "static-thrust", "thrust", solo, warm, "second"),
        one("speeding up", "acceleration", "duration", solo, high, "second", airspeed=23.0, end_airspeed=27.0),
    ]


def case(rng, count: int, wider: float = 1.0) -> Case:
    """An aeroplane and its flights; with `wider` the truth strays so much further than the starting values say."""
    while True:
        aircraft = aeroplane(rng)
        flights = plan(aircraft, rng, count)
        made = _flown(aircraft, flights, rng, wider)
        if made is not None:
            return made


def _flown(aircraft, flights, rng, wider):
    completed, _ = completed_for(aircraft, flights, "/aircraft")
    tree = completed, shared_by(completed, flights)[0]
    numbers = uncertain(tree)
    start = np.array([number.value for number in numbers])
    spread = np.array([number.plus_minus for number in numbers])
    truth = start + wider * spread * rng.standard_normal(len(numbers))
    positive = start > 2.0 * spread
    if np.any(truth[positive] <= 0.05 * start[positive]):  # no aeroplane has such a number
        return None
    true_aircraft, true_shared = placed(tree, list(truth))
    settled = weighed_and_settled(true_aircraft, "/aircraft")
    really = [
        one if one.power_fraction is None else replace(one, power_fraction=rng.normal(*_of(one.power_fraction)))
        for one in flights
    ]
    observed = flown(really, settled_as_weighed(completed))
    value = predict(settled, observed, true_shared).value[0, 0, 0]
    if not np.isfinite(value).all():
        return None
    climbs = [i for i, one in enumerate(flights) if one.kind == "climb"]
    if value[climbs].min() < 0.3:  # an aeroplane that hardly climbs is not tested in flight
        return None
    shown = []
    for one, true in zip(flights, value, strict=True):
        known = next(quantity for quantity in KINDS[one.kind] if quantity.field == one.measured)
        sigma = known.usual(true)
        shown.append(replace(one, value=float(rng.normal(true, sigma)), spread=sigma))
    settings = [one.power_fraction for one in really if one.power_fraction is not None]
    return Case(aircraft, np.array([*truth, *settings]), true_aircraft, tuple(shown))


def settled_as_weighed(completed):
    """The aeroplane as its owner knows it."""
    return weighed_and_settled(central(completed), "/aircraft")


def _of(number):
    return number.value, number.plus_minus
