"""Take-off and landing: rolls, distances over an obstacle, the published factors beside them, and a strip's margins.

Every distance is computed for several ways at once, along a leading axis: as stated, the other way along the strip
(slope and wind turned round), and on a level, dry, paved runway in calm air, to which the published factors apply.
"""

from dataclasses import dataclass

import numpy as np

from climbwright.air.standard import GRAVITY
from climbwright.answers.flying import Landing, Strip, TakeOff
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.stacking import along
from climbwright.arrays import Floats, Number
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.runway import (
    Roll,
    accelerate_stop_distance,
    airborne_distance,
    approach_distance,
    landing_roll,
    roll_terms,
    takeoff_roll,
)
from climbwright.flight.runway_factors import SAFETY, SURFACE_FACTORS, landing_factor, takeoff_factor
from climbwright.flight.surfaces import SURFACES

__all__ = ["FITTED", "landing", "strip", "takeoff"]

_PAVED = SURFACES["paved-dry"]
_FORWARD, _REVERSED, _CALM = range(3)
_TURNED = np.array([1.0, -1.0, 0.0]).reshape(3, 1, 1, 1, 1)  # what slope and wind are of their own in each way
FITTED = 0.8  # of the lift-off speed


@dataclass(frozen=True, slots=True)
class _Ways:
    """Headwind, slope and friction of each way along a leading axis."""

    headwind: Floats
    slope: Floats
    rolling: Floats
    braking: Floats
    surface: str


def _ways(flight: Flight, runway: Strip) -> _Ways:
    paved = _PAVED.rolling_friction.value, _PAVED.braking_friction.value
    return _Ways(
        headwind=_TURNED * flight.runway_wind,
        slope=_TURNED * runway.slope,
        rolling=along(runway.rolling_friction, runway.rolling_friction, paved[0]),
        braking=along(runway.braking_friction, runway.braking_friction, paved[1]),
        surface=runway.surface or "paved-dry",
    )


def _strip(flight: Flight) -> Strip:
    runway = flight.flying.strip
    if runway is None:
        raise AssertionError("a take-off or a landing is completed with a strip")
    return runway


def _braking(flight: Flight, ways: _Ways, lift_coefficient: Number) -> Roll:
    """Rolling with the throttle closed and brakes on."""
    wing = flight.aircraft.wing
    return roll_terms(
        flight.airframe, wing.area, lift_coefficient, wing.height, flight.air.density, ways.braking, ways.slope
    )


def takeoff(flight: Flight, answer: Evaluation) -> None:
    """Roll, distance over the obstacle, checkpoint and accelerate-stop distance."""
    asked, runway = flight.flying.takeoff or TakeOff(), _strip(flight)
    flown, ways = flight.configured(asked.configuration), _ways(flight, runway)
    stall = flown.true(flown.stall)
    lift_off = np.multiply(asked.lift_off_factor, stall)
    over = np.multiply(asked.obstacle_factor, stall)
    mean = 0.5 * (lift_off + over)
    static_thrust, change, climbing = _thrusts(flown, lift_off, mean)
    wing, rho = flown.aircraft.wing, flown.air.density
    roll = roll_terms(
        flown.airframe,
        wing.area,
        asked.rolling_lift_coefficient,
        wing.height,
        rho,
        ways.rolling,
        ways.slope,
        static_thrust,
        change,
    )
    speeds = along(lift_off, np.multiply(asked.checkpoint, lift_off))[:, None]
    rolled, reached = takeoff_roll(roll, speeds, ways.headwind)
    ground = np.multiply(asked.technique_factor, rolled)
    excess = climbing - flown.airframe.drag(mean, rho)
    air = airborne_distance(
        excess,
        flown.airframe.weight,
        lift_off,
        over,
        runway.obstacle_height,
        ways.headwind,
        ways.slope,
        asked.rotation_time,
    )
    distance = ground + np.multiply(asked.technique_factor, air)
    published = distance[_CALM] * takeoff_factor(
        SURFACE_FACTORS[ways.surface].takeoff, ways.slope[:2], ways.headwind[:2] / lift_off
    )
    measures = answer.measures
    answer.speeds["lift_off_speed"] = lift_off
    measures["takeoff_roll"], measures["takeoff_distance"] = ground[_FORWARD], distance[_FORWARD]
    measures["takeoff_distance_published"] = published[_FORWARD]
    required = SAFETY.takeoff * _greater(flight, distance[:2], published)
    measures["takeoff_distance_required"] = required[_FORWARD]
    answer.checks["takeoff_reversed"], answer.checks["takeoff_required_reversed"] = distance[_REVERSED], required[1]
    measures["takeoff_checkpoint"] = np.multiply(asked.technique_factor, reached[_FORWARD])
    braking = _braking(flown, ways, asked.rolling_lift_coefficient)
    stopping = accelerate_stop_distance(rolled, braking, lift_off, asked.reaction_time, ways.headwind)[_FORWARD]
    measures["accelerate_stop_distance"] = np.multiply(asked.technique_factor, stopping)
    still = np.minimum(ways.headwind[_FORWARD], lift_off)
    answer.checks["start_acceleration"] = roll.acceleration(still)[_FORWARD] / GRAVITY
    answer.checks["lift_off_acceleration"] = roll.acceleration(lift_off)[_FORWARD] / GRAVITY


def _greater(flight: Flight, physical: Floats, published: Floats) -> Floats:
    """The distance that is the greater in the central case, in every case, so that a tie keeps the whole spread."""
    if flight.alternatives:
        return np.maximum(physical, published)
    return np.where(physical[:, :1] >= published[:, :1], physical, np.where(np.isnan(physical), np.nan, published))


def _thrusts(flight: Flight, lift_off: Floats, mean: Floats) -> tuple[Floats, Floats, Floats]:
    """E and F of E + F u² through standstill and 0.8 of lift-off, which keeps the roll closed; then thrust at `mean`.

    A fixed pitch within its momentum bound is that curve. The bound, and a constant speed, fall from standstill more
    steeply: through lift-off itself the roll would come out too short, by up to 9 %; through 0.8 it does not by more
    than 0.3 % (200 propellers drawn at random). With one efficiency at every speed, which means nothing at standstill,
    thrust is what it is at 0.7, as the textbook takes it.
    """
    part = FITTED * lift_off
    if isinstance(flight.propulsion, ConstantEfficiency):
        steady, climbing = flight.thrust(along(0.7 * lift_off, mean))
        return steady, 0.0 * steady, climbing
    static, rolling, climbing = flight.thrust(along(0.0, part, mean))
    return static, (rolling - static) / part**2, climbing


def landing(flight: Flight, answer: Evaluation) -> None:
    """Distance from the obstacle to a stop, and the roll; against the take-off direction on a one-way strip."""
    asked, runway = flight.flying.landing or Landing(), _strip(flight)
    flown, ways = flight.configured(asked.configuration), _ways(flight, runway)
    stall = flown.true(flown.stall)
    approach, touchdown = np.multiply(asked.approach_factor, stall), np.multiply(asked.touchdown_factor, stall)
    braking = _braking(flown, ways, asked.rolling_lift_coefficient)
    technique = asked.technique_factor
    ground = np.multiply(technique, landing_roll(braking, touchdown, asked.free_roll_time, ways.headwind))
    air = approach_distance(
        runway.obstacle_height,
        approach,
        touchdown,
        asked.approach_angle,
        np.subtract(asked.flare_load_factor, 1.0),
        ways.headwind,
        ways.slope,
    )
    distance = ground + np.multiply(technique, air)
    published = distance[_CALM] * landing_factor(
        SURFACE_FACTORS[ways.surface].landing, ways.slope[:2], ways.headwind[:2] / touchdown
    )
    required = SAFETY.landing * _greater(flight, distance[:2], published)
    way = _REVERSED if runway.one_way else _FORWARD
    measures = answer.measures
    answer.checks["touchdown"] = touchdown
    measures["landing_roll"], measures["landing_distance"] = ground[way], distance[way]
    measures["landing_distance_published"], measures["landing_distance_required"] = published[way], required[way]
    answer.checks["landing_reversed"], answer.checks["landing_required_reversed"] = distance[_REVERSED], required[1]


def strip(flight: Flight, answer: Evaluation) -> None:
    """What is left of the strip beyond the distances required, in both directions unless it has only one."""
    runway, measures, checks = _strip(flight), answer.measures, answer.checks
    measures["headwind"] = np.add(flight.runway_wind, 0.0 * flight.air.density)
    if runway.one_way:
        checks["one_way_slope"] = np.asarray(runway.slope, dtype=float)
    if flight.crosswind is not None:
        measures["crosswind"] = np.add(flight.crosswind, 0.0 * flight.air.density)
    if not runway.one_way:
        measures["takeoff_distance_reversed"] = checks["takeoff_reversed"]
        measures["landing_distance_reversed"] = checks["landing_reversed"]
    if runway.length is None:
        return
    checks["strip_length"] = np.asarray(runway.length, dtype=float)
    measures["takeoff_margin"] = runway.length - measures["takeoff_distance_required"]
    measures["landing_margin"] = runway.length - measures["landing_distance_required"]
    if not runway.one_way:
        measures["takeoff_margin_reversed"] = runway.length - checks["takeoff_required_reversed"]
        measures["landing_margin_reversed"] = runway.length - checks["landing_required_reversed"]
