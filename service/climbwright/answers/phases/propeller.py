"""Engine and propeller as they turn: power delivered, engine speeds, tip speed, and thrust standing still."""

import numpy as np

from climbwright.aircraft.description import Aircraft, Engine
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.stacking import along
from climbwright.arrays import Floats, Number
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.rotation import helical_tip_mach, ideal_static_thrust, rotational_speed

__all__ = ["power", "turning"]

OVERSPEED = 1.05  # over rated speed, where its owner gives no greatest; common practice, no source


def power(flight: Flight, answer: Evaluation) -> None:
    """Power of the engine in this air, and over weight."""
    available = np.multiply(flight.propulsion.power, flight.power_ratio)
    answer.measures["power_available"] = available
    answer.measures["power_to_weight"] = available / flight.loaded.mass
    answer.measures["installed_power_to_weight"] = np.divide(flight.aircraft.engine.power, flight.loaded.mass)
    answer.checks["power_ratio"] = flight.power_ratio
    answer.checks["sea_level_power"] = flight.propulsion.power + 0.0 * flight.loaded.mass


def turning(flight: Flight, answer: Evaluation) -> None:
    """Engine speeds, the power they leave, tip Mach number, and static thrust beside the ideal."""
    propulsion, engine, propeller = flight.propulsion, flight.aircraft.engine, flight.aircraft.propeller
    available = answer.measures["power_available"]
    rate_speed, level_speed = answer.speeds["best_climb_speed"], answer.speeds["greatest_level_speed"]
    fastest = np.where(np.isnan(level_speed), rate_speed, level_speed)
    if not isinstance(propulsion, ConstantEfficiency):
        _static_thrust(flight, answer)
    static = _static_speed(flight.aircraft)
    turns: Number = engine.speed
    if isinstance(propulsion, FixedPitch) and static is not None:
        turns = _fixed_pitch(flight, answer, propulsion, static, fastest)
    elif not isinstance(propulsion, FixedPitch):
        answer.measures["power_delivered"] = available
    if turns is not None:
        level = 0.0 * level_speed  # nothing turns in a level flight that there is not
        answer.measures["engine_speed_level"] = np.add(turns, level)
        if isinstance(propulsion, ConstantSpeed):
            answer.measures["static_engine_speed"] = answer.measures["engine_speed_in_climb"] = np.add(
                turns, 0.0 * level
            )
        if propeller.diameter is not None:
            geared = np.divide(turns, _reduction(engine))
            mach = helical_tip_mach(fastest, geared, propeller.diameter, flight.air.speed_of_sound)
            answer.checks["tip_mach"], answer.measures["tip_mach"] = mach, mach + level
    if propeller.hub_height is not None and propeller.diameter is not None:
        answer.checks["clearance"] = np.subtract(propeller.hub_height, np.multiply(0.5, propeller.diameter))


def _static_thrust(flight: Flight, answer: Evaluation) -> None:
    """Thrust standing still, and what the description says over the ideal; nothing is answered above the ideal."""
    propulsion, diameter = flight.propulsion, flight.aircraft.propeller.diameter
    answer.measures["static_thrust"] = flight.thrust(np.float64(0.0))
    if diameter is None:
        return
    ideal = ideal_static_thrust(answer.measures["power_available"], diameter, flight.air.density)
    described = answer.measures["static_thrust"]
    if isinstance(propulsion, FixedPitch):
        described = propulsion.E0 * propulsion.thrust_ratio(flight.power_ratio, flight.air.density_ratio)
    with np.errstate(invalid="ignore"):  # no power, no thrust, no ratio
        answer.checks["static_thrust_ratio"] = described / ideal
        answer.measures["static_thrust_fraction"] = answer.measures["static_thrust"] / ideal


def _fixed_pitch(flight: Flight, answer: Evaluation, propulsion: FixedPitch, static: Number, fastest: Floats) -> Floats:
    """Engine speeds with a fixed pitch and the power delivered in the climb; returns the speed when level."""
    engine, rated = flight.aircraft.engine, flight.aircraft.engine.speed
    sigma = flight.air.density_ratio
    torque = propulsion.thrust_ratio(flight.power_ratio, sigma)
    at_sea_level = propulsion.greatest_level_speed(flight.airframe, 1.0, 1.0)
    slow = answer.speeds["best_climb_speed"]
    speeds = along(0.0, slow, fastest)
    standing, climbing, level = np.asarray(rotational_speed(speeds, static, rated, at_sea_level, torque, sigma))
    answer.measures["static_engine_speed"], answer.measures["engine_speed_in_climb"] = standing, climbing
    available = answer.measures["power_available"]
    limited = propulsion.limited_by == "power"
    answer.measures["power_delivered"] = available + 0.0 * climbing if limited else available * climbing / rated
    usual = OVERSPEED * rated
    most = usual if engine.greatest_speed is None else engine.greatest_speed
    answer.checks["engine_speed_over_greatest"] = level / np.where(np.isnan(most), usual, most)
    answer.checks["static_speed_over_rated"] = standing / rated
    return np.where(np.isnan(standing), rated, level)  # beside others of which more is known


def _reduction(engine: Engine) -> Number:
    """Engine speed over propeller speed; 1 where it is not given, beside others that give it too."""
    if engine.reduction is None:
        return 1.0
    return np.where(np.isnan(engine.reduction), 1.0, engine.reduction)


def _static_speed(aircraft: Aircraft) -> Number:
    """Engine speed standing still at sea level, None where nothing tells it."""
    propeller, engine = aircraft.propeller, aircraft.engine
    if engine.speed is None:
        return None
    by_class = None if propeller.static_fraction is None else np.multiply(propeller.static_fraction, engine.speed)
    if propeller.static_speed is None or by_class is None:
        return by_class if propeller.static_speed is None else propeller.static_speed
    return np.where(np.isnan(propeller.static_speed), by_class, propeller.static_speed)
