"""What the package's own functions say that observations should have read.

All observations are flown at once: numbers have the axes case, aircraft (one), loading (one), observation, or fewer
that broadcast to them, so that the cases of a fit are one more axis of the same call.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.air.airspeed import read_correction
from climbwright.air.airspeed_error import calibrated_from_reading, reading_from_calibrated
from climbwright.air.condition import air_of
from climbwright.air.state import Air
from climbwright.aircraft.balance import combine
from climbwright.aircraft.changes import weighed
from climbwright.aircraft.description import Aircraft, Mass
from climbwright.aircraft.loading import loaded_mass
from climbwright.answers.calibration.observation import Observation, Shared
from climbwright.answers.evaluation import lapse_of, propulsion_of
from climbwright.answers.flying import AS_USUAL
from climbwright.answers.phases.flight import Flight
from climbwright.answers.phases.runway import FITTED
from climbwright.answers.phases.stalls import equivalent_stalls
from climbwright.answers.stacking import stack
from climbwright.arrays import Floats, Number
from climbwright.flight.climb import acceleration_factor
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.glide import sink_rate
from climbwright.flight.runway import roll_terms, takeoff_roll

__all__ = ["LIFT_OFF_FACTOR", "ROLLING_LIFT", "Flown", "Prediction", "flown", "predict"]

LIFT_OFF_FACTOR = 1.2  # lift-off over the stall speed where none was read; common practice, no source
ROLLING_LIFT = 0.4  # lift coefficient while rolling; common practice, no source
_LEAST_EXCESS = 1e-3  # thrust over weight, of an aeroplane that does not speed up
_NEVER = 5000.0  # ground roll of an aeroplane that does not lift off [m]
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)


@dataclass(frozen=True, slots=True)
class Flown:
    """Observations as they were flown, stacked along the last axis: loads, air, and the numbers of their kinds.

    `stated` marks those whose whole mass was given, of which `loads` has the mass above the empty one as weighed.
    `corrected` are airspeeds after the owner's table, nan where none was read.
    """

    kinds: tuple[str, ...]
    measured: tuple[str, ...]
    readings: tuple[str, ...]
    configurations: tuple[str | None, ...]
    days: tuple[int, ...]
    loads: Mass
    air: Air
    corrected: Floats
    end: Floats
    power_fraction: Floats
    full_throttle: Floats
    by_altimeter: Floats
    slope: Floats
    friction: Floats
    headwind: Floats


@dataclass(frozen=True, slots=True)
class Prediction:
    """What each observation should have read, and what it was flown with: mass, air, calibrated and true airspeed, and
    the calibrated stall speed of its configuration.
    """

    value: Floats
    mass: Floats
    air: Air
    calibrated: Floats
    true: Floats
    stall: Floats
    flight: Flight


def flown(observations: Sequence[Observation], aircraft: Aircraft) -> Flown:
    """Stack observations.

    Parameters
    ----------
    observations : sequence of Observation
        Their numbers are floats or laid out along a leading axis.
    aircraft : Aircraft
        Weighed, its numbers central: loads are above its empty mass.

    Returns
    -------
    Flown
        In the order of the observations.

    Raises
    ------
    Refusal
        The air lies outside the formulas.
    """
    days = list(dict.fromkeys(one.day for one in observations))
    table = aircraft.airspeed_correction

    def along(pick: Callable[[Observation], Number], missing: float = np.nan) -> Floats:
        values = [missing if (value := pick(one)) is None else value for one in observations]
        return np.asarray(stack([np.asarray(value, dtype=float) for value in values], axis=3))

    def corrected(one: Observation, airspeed: Number) -> Number:
        if airspeed is None or one.reading != "indicated" or not table:
            return airspeed
        return read_correction(airspeed, [p.indicated for p in table], [p.calibrated for p in table])

    return Flown(
        kinds=tuple(one.kind for one in observations),
        measured=tuple(one.measured for one in observations),
        readings=tuple(one.reading for one in observations),
        configurations=tuple(one.configuration for one in observations),
        days=tuple(days.index(one.day) for one in observations),
        loads=stack([_loads(one, aircraft) for one in observations], axis=3),
        air=stack(
            [air_of(one.condition, f"/observations/{i}/condition") for i, one in enumerate(observations)], axis=3
        ),
        corrected=along(lambda one: corrected(one, one.airspeed)),
        end=along(lambda one: corrected(one, one.end_airspeed)),
        power_fraction=along(lambda one: one.power_fraction),
        full_throttle=along(lambda one: float(one.full_throttle)),
        by_altimeter=along(lambda one: float(one.by_altimeter)),
        slope=along(lambda one: one.slope, 0.0),
        friction=along(lambda one: one.rolling_friction),
        headwind=along(lambda one: one.headwind, 0.0),
    )


def _loads(one: Observation, aircraft: Aircraft) -> Mass:
    """What an observation carried above the empty aeroplane and its items, less half of the fuel burned on the way."""
    burned = 0.0 if one.fuel_used is None else np.multiply(0.5, one.fuel_used)
    if one.mass is not None:
        bare = combine([weighed(aircraft), *aircraft.items])
        mass = np.subtract(one.mass, burned) - bare.mass
        # where the arm is not known the mass stands so that the whole keeps the arm of the stall as flown
        arm = one.arm if one.arm is not None else _reference_arm(aircraft, bare)
        return Mass(mass, (np.multiply(one.mass - burned, arm) - bare.mass * bare.arm) / mass)
    amounts = one.stations or {}
    held = [Mass(loaded_mass(amounts.get(place.name), place), place.arm) for place in aircraft.stations]
    total = combine(held)
    return Mass(total.mass - burned, np.where(np.isnan(total.arm), 0.0, total.arm))


def _reference_arm(aircraft: Aircraft, bare: Mass) -> Number:
    arm = aircraft.stalls[0].arm if aircraft.stalls else None
    return bare.arm if arm is None else arm


def predict(aircraft: Aircraft, observed: Flown, shared: Shared) -> Prediction:
    """What observations should have read.

    Parameters
    ----------
    aircraft : Aircraft
        Completed, weighed and settled; its numbers are floats or have the four axes.
    observed : Flown
        The observations.
    shared : Shared
        Errors of the days.

    Returns
    -------
    Prediction
        In SI; a level speed that cannot be held is the stall speed.
    """
    with np.errstate(invalid="ignore", divide="ignore"):  # what was not read is nan
        return _predicted(aircraft, observed, shared)


def _predicted(aircraft: Aircraft, observed: Flown, shared: Shared) -> Prediction:
    days = list(observed.days)
    height, warmth = (np.concatenate([_four(x) for x in errors], axis=-1)[..., days] for errors in _by_day(shared))
    air = _other_air(observed.air, height, warmth)
    empty = weighed(aircraft)
    bare = Mass(np.multiply(empty.mass, np.add(1.0, shared.empty_mass)), empty.arm)
    loaded = combine([bare, *aircraft.items, observed.loads])
    flight = _flight(aircraft, loaded, air, observed)
    calibrated, true = _airspeeds(flight, observed, observed.corrected)
    shown = np.full(np.broadcast_shapes(true.shape, (1, 1, 1, len(days))), np.nan)
    for kind in dict.fromkeys(zip(observed.kinds, observed.measured, strict=True)):
        here = [each == kind for each in zip(observed.kinds, observed.measured, strict=True)]
        shown = np.where(here, _KINDS[kind](flight, observed, true), shown)
    return Prediction(shown, loaded.mass, air, calibrated, true, _stall(flight, observed), flight)


def _by_day(shared: Shared) -> tuple[Sequence[Number], Sequence[Number]]:
    return shared.altitude, shared.temperature


def _four(value: Number) -> Floats:
    value = np.asarray(value, dtype=float)
    return value.reshape((1,) * (4 - value.ndim) + value.shape)


def _other_air(air: Air, height: Floats, warmth: Floats) -> Air:
    """The air at a pressure altitude and temperature that were read wrong by so much."""
    pressure = air.pressure * np.exp(-height * standard.GRAVITY * air.density / air.pressure)  # hydrostatic
    return Air(pressure, np.add(air.temperature, warmth), air.vapour_pressure)


def _flight(aircraft: Aircraft, loaded: Mass, air: Air, observed: Flown) -> Flight:
    lapse, drag = lapse_of(aircraft), aircraft.drag
    area = drag.parasite_area
    gains = {stall.configuration: stall.parasite_area_gain for stall in aircraft.stalls[1:]}
    if any(name in gains for name in observed.configurations):
        area = np.add(area, sum(_where(observed, name, gain) for name, gain in gains.items()))
    if "glide" in observed.kinds and drag.idle_propeller_area is not None:
        gliding = np.array([kind == "glide" for kind in observed.kinds])
        area = np.add(area, gliding * np.asarray(drag.idle_propeller_area))
    return Flight(
        aircraft=aircraft,
        loaded=loaded,
        airframe=Airframe(loaded.mass * standard.GRAVITY, area, aircraft.wing.span, drag.span_efficiency),
        propulsion=propulsion_of(aircraft),
        lapse=lapse,
        air=air,
        power_ratio=lapse.ratio(air),
        stalls=equivalent_stalls(aircraft, loaded),
        headwind=observed.headwind,
        runway_wind=observed.headwind,
        crosswind=None,
        flying=AS_USUAL,
    )


def _where(observed: Flown, name: str, gain: Number) -> Floats:
    if gain is None:
        return np.float64(0.0)
    return np.array([each == name for each in observed.configurations]) * np.asarray(gain)


def _stall(flight: Flight, observed: Flown) -> Floats:
    """Calibrated stall speed of each observation's configuration."""
    stalls = flight.stalls
    first = next(iter(stalls))
    equivalent = stalls[first]
    for name in stalls:
        here = [(chosen or first) == name for chosen in observed.configurations]
        equivalent = np.where(here, stalls[name], equivalent)
    return flight.calibrated(flight.true(equivalent))


def _errors(flight: Flight) -> tuple[Number, Number]:
    errors = flight.aircraft.airspeed_errors
    return (1.0, 1.0) if errors is None else (errors.near_stall, errors.cruise)


def _airspeeds(flight: Flight, observed: Flown, corrected: Floats) -> tuple[Floats, Floats]:
    """Calibrated and true airspeeds of what was read; nan where nothing was."""
    indicated = np.array([reading == "indicated" for reading in observed.readings])
    given_true = np.array([reading == "true" for reading in observed.readings])
    by_error = calibrated_from_reading(corrected, _stall(flight, observed), *_errors(flight))
    calibrated = np.where(indicated, by_error, corrected)
    true = np.where(given_true, corrected, flight.true_of_calibrated(calibrated))
    return np.where(given_true, flight.calibrated(true), calibrated), true


def _read(flight: Flight, observed: Flown, true: Floats) -> Floats:
    """A true airspeed as it would have been read."""
    calibrated = flight.calibrated(true)
    reading = reading_from_calibrated(calibrated, _stall(flight, observed), *_errors(flight))
    readings = np.array(observed.readings)
    return np.where(readings == "indicated", reading, np.where(readings == "true", true, calibrated))


def _vertical(flight: Flight, observed: Flown, rate: Floats, true: Floats) -> Floats:
    """A rate as it is flown at one indicated airspeed, and as the altimeter shows it."""
    steady = rate / acceleration_factor(true, flight.air.temperature)
    usual = standard.temperature(flight.air.pressure_altitude)
    return steady * np.where(observed.by_altimeter > 0.0, usual / flight.air.temperature, 1.0)


def _climb(flight: Flight, observed: Flown, true: Floats) -> Floats:
    speed = np.where(np.isnan(true), flight.best_rate_speed(), true)
    return _vertical(flight, observed, flight.rate(speed), speed)


def _glide(flight: Flight, observed: Flown, true: Floats) -> Floats:
    return _vertical(flight, observed, sink_rate(flight.airframe, flight.air.density, true), true)


def _level(flight: Flight, observed: Flown, true: Floats) -> Floats:
    delivered = flight.propulsion.delivered(flight.power_ratio, flight.air.density_ratio)
    wished = np.multiply(observed.power_fraction, flight.aircraft.engine.power)
    power = np.where(observed.full_throttle > 0.0, delivered, np.minimum(wished, delivered))
    speed = flight.propulsion.level_speed(flight.airframe, power, *flight.here[1:])
    stall = flight.true(flight.stall)
    return _read(flight, observed, np.where(speed > stall, speed, stall))


def _stalling(flight: Flight, observed: Flown, true: Floats) -> Floats:
    slow = flight.true_of_calibrated(_stall(flight, observed))
    return _read(flight, observed, slow)


def _ground_roll(flight: Flight, observed: Flown, true: Floats) -> Floats:
    wing = flight.aircraft.wing
    stall = flight.true_of_calibrated(_stall(flight, observed))
    lift_off = np.where(np.isnan(true), LIFT_OFF_FACTOR * stall, true)
    part = FITTED * lift_off
    if isinstance(flight.propulsion, ConstantEfficiency):
        static, change = flight.thrust(0.7 * lift_off), 0.0
    else:
        static = flight.thrust(np.zeros_like(part))
        change = (flight.thrust(part) - static) / part**2
    roll = roll_terms(
        flight.airframe, wing.area, ROLLING_LIFT, wing.height, flight.air.density, observed.friction, observed.slope,
        static, change,
    )  # fmt: skip
    rolled = takeoff_roll(roll, lift_off, observed.headwind)
    return np.where(np.isnan(rolled), _NEVER, rolled)


def _static_thrust(flight: Flight, observed: Flown, true: Floats) -> Floats:
    return flight.thrust(np.zeros_like(true))


def _static_speed(flight: Flight, observed: Flown, true: Floats) -> Floats:
    at_sea_level = flight.aircraft.propeller.static_speed
    if at_sea_level is None or not isinstance(flight.propulsion, FixedPitch):
        return np.full_like(true, np.nan)
    torque = flight.propulsion.thrust_ratio(flight.power_ratio, flight.air.density_ratio)
    return at_sea_level * np.sqrt(torque / flight.air.density_ratio)


def _acceleration(flight: Flight, observed: Flown, true: Floats) -> Floats:
    """Time from one airspeed to another, level and at full throttle, by Gauss-Legendre quadrature."""
    end = _airspeeds(flight, observed, observed.end)[1]
    middle, half = 0.5 * (true + end), 0.5 * (end - true)
    time: Any = 0.0
    for node, weight in zip(_NODES, _WEIGHTS, strict=True):
        speed = middle + half * node
        excess = flight.thrust(speed) - flight.airframe.drag(speed, flight.air.density)
        # one that does not get there takes very long, so that the fit finds its way back
        time = time + weight * flight.loaded.mass / np.maximum(excess, _LEAST_EXCESS * flight.airframe.weight)
    return half * time


_KINDS: dict[tuple[str, str], Callable[[Flight, Flown, Floats], Floats]] = {
    ("climb", "rate"): _climb,
    ("level", "speed"): _level,
    ("stall", "speed"): _stalling,
    ("glide", "sink"): _glide,
    ("ground-roll", "distance"): _ground_roll,
    ("static-thrust", "thrust"): _static_thrust,
    ("static-thrust", "static_speed"): _static_speed,
    ("acceleration", "duration"): _acceleration,
}
