"""Level flight: the greatest speed, cruise at a setting or a speed, fuel flow, range and endurance."""

from dataclasses import replace

import numpy as np

from climbwright.aircraft.description import Mass
from climbwright.answers.flying import Cruise
from climbwright.answers.instruments import calibrated_of_reading
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.phases.fuel import fuel_density, usable_fuel
from climbwright.arrays import Floats, Number
from climbwright.flight.level import fuel_flow

__all__ = ["cruise", "greatest_level", "ruled"]

_SIMPSON = np.array([1.0, 4.0, 1.0]).reshape(3, 1, 1, 1, 1) / 6.0
_BURNED = np.array([0.0, 0.5, 1.0]).reshape(3, 1, 1, 1, 1)  # fractions of the fuel at which a flight is evaluated


def greatest_level(flight: Flight, answer: Evaluation) -> None:
    """Greatest level speed; none where it lies below the stall."""
    speed = _flyable(flight, flight.propulsion.greatest_level_speed(*flight.here))
    answer.measures["greatest_level_speed_true"] = answer.speeds["greatest_level_speed"] = speed


def ruled(flight: Flight, answer: Evaluation) -> None:
    """Stall and level speed at sea level, for the caps that the owner gave."""
    rules = flight.aircraft.rules
    if rules is not None:
        configuration = rules.configuration or flight.aircraft.stalls[0].configuration
        answer.checks["stall_at_sea_level"] = flight.stalls[configuration]  # equivalent equals calibrated there
        rated = flight.lapse.standard(1.0)
        answer.checks["level_at_sea_level"] = flight.propulsion.greatest_level_speed(flight.airframe, rated, 1.0)


def _flyable(flight: Flight, speed: Floats) -> Floats:
    """A level speed, nan below the stall."""
    with np.errstate(invalid="ignore"):
        below = speed < flight.true_stall
    if np.shape(below) == np.shape(speed) and not np.count_nonzero(below):
        return speed
    return np.where(below, np.nan, speed)


def _shaft_power(flight: Flight, true: Floats) -> Floats:
    """Shaft power of level flight at a speed."""
    drag = flight.airframe.drag(true, flight.air.density)
    return flight.propulsion.power_for(drag, true, flight.air.density_ratio)


def cruise(flight: Flight, answer: Evaluation) -> None:
    """Cruise as asked, and the speeds of the longest range and endurance."""
    asked = flight.flying.cruise
    if asked is None:
        return
    delivered = flight.propulsion.delivered(flight.power_ratio, flight.air.density_ratio)
    speed, power = _flown(flight, asked, delivered)
    answer.measures["cruise_speed_true"] = answer.speeds["cruise_speed"] = speed
    answer.checks["cruise_over_stall"] = speed / flight.true(flight.stall)
    answer.measures["cruise_power_fraction"] = power / flight.aircraft.engine.power
    if asked.power_fraction is not None:
        wished = np.multiply(asked.power_fraction, flight.aircraft.engine.power)
        answer.checks["setting_beyond"] = wished - delivered
        answer.checks["setting"] = np.asarray(asked.power_fraction, dtype=float)
    if flight.aircraft.engine.specific_consumption is None:
        far, long = _economy(flight)
    else:
        far, long = _burn(flight, answer, asked, power)
    answer.speeds["best_range_speed"], answer.speeds["best_endurance_speed"] = far, long


def _flown(flight: Flight, asked: Cruise, delivered: Floats) -> tuple[Floats, Floats]:
    """True airspeed and shaft power of the cruise; nan where it cannot be flown."""
    given = _asked_speed(flight, asked)
    if given is None:
        rated = flight.aircraft.engine.power
        setting = delivered if asked.full_throttle else np.minimum(np.multiply(asked.power_fraction, rated), delivered)
        speed = _flyable(flight, flight.propulsion.level_speed(flight.airframe, setting, *flight.here[1:]))
        return speed, np.where(np.isnan(speed), np.nan, setting)
    power = _shaft_power(flight, given)
    fastest = flight.propulsion.greatest_level_speed(*flight.here)
    can = (given <= fastest * (1.0 + 1e-12)) & (given >= flight.true(flight.stall))
    return np.where(can, given, np.nan), np.where(can, power, np.nan)


def _asked_speed(flight: Flight, asked: Cruise) -> Number:
    """True airspeed of a cruise that states one; None where it states a power."""
    if asked.true is not None:
        return np.add(asked.true, 0.0 * flight.air.density)
    calibrated = asked.calibrated
    if asked.indicated is not None:
        stall = flight.calibrated(flight.true(flight.stall))
        calibrated = calibrated_of_reading(asked.indicated, stall, flight.aircraft)
    return None if calibrated is None else flight.true_of_calibrated(calibrated)


def _economy(flight: Flight) -> tuple[Floats, Floats]:
    """Speeds of the longest range and of the longest endurance, held above the stall; nan where none is level."""
    propulsion, airframe, sigma = flight.propulsion, flight.airframe, flight.air.density_ratio
    slowest, fastest = flight.true(flight.floor), propulsion.greatest_level_speed(*flight.here)
    far = propulsion.longest_range_speed(airframe, sigma, flight.headwind)
    long = propulsion.longest_endurance_speed(airframe, sigma)
    return np.minimum(np.maximum(far, slowest), fastest), np.minimum(np.maximum(long, slowest), fastest)


def _burn(flight: Flight, answer: Evaluation, asked: Cruise, power: Floats) -> tuple[Floats, Floats]:
    """Fuel flow, and how far and how long the fuel of the loading lasts before the reserve; the speeds for both."""
    measures, consumption = answer.measures, flight.aircraft.engine.specific_consumption
    flow = fuel_flow(power, consumption)
    measures["fuel_flow"] = flow / fuel_density(flight)
    fuel, reserve = usable_fuel(answer), 0.0 if asked.reserve is None else asked.reserve
    left = np.maximum(fuel - np.multiply(reserve, flow), 0.0)
    answer.checks["reserve_missing"] = np.multiply(reserve, flow) - fuel
    lighter = _lighter(flight, left)
    given = _asked_speed(lighter, asked)
    speed = given if given is not None else lighter.propulsion.level_speed(lighter.airframe, power, *lighter.here[1:])
    burning = fuel_flow(_shaft_power(lighter, speed), consumption) if given is not None else flow
    measures["endurance"], measures["range"] = _lasting(left, burning, speed, flight.headwind)
    far, long = _economy(lighter)
    least = fuel_flow(_shaft_power(lighter, far), consumption)
    measures["greatest_range"] = _lasting(left, least, far, flight.headwind)[1]
    least = fuel_flow(_shaft_power(lighter, long), consumption)
    measures["greatest_endurance"] = _lasting(left, least, long, flight.headwind)[0]
    return far[0], long[0]  # before any of it has burned


def _lighter(flight: Flight, fuel: Floats) -> Flight:
    """The aeroplane as the fuel burns, along a leading axis; its stall speeds fall with the root of its weight."""
    # an aeroplane that weighs less than its fuel is none
    ratio = np.where(fuel < flight.loaded.mass, 1.0 - fuel * _BURNED / flight.loaded.mass, np.nan)
    stalls = {name: speed * np.sqrt(ratio) for name, speed in flight.stalls.items()}
    loaded = Mass(flight.loaded.mass * ratio, flight.loaded.arm)
    airframe = replace(flight.airframe, weight=flight.airframe.weight * ratio)
    return replace(flight, airframe=airframe, loaded=loaded, stalls=stalls)


def _lasting(fuel: Floats, flow: Floats, speed: Floats, headwind: Number) -> tuple[Floats, Floats]:
    """Time and distance over the ground, by Simpson's rule over the mass burned; nan where the wind is stronger."""
    time = (fuel / flow * _SIMPSON).sum(axis=0)
    with np.errstate(invalid="ignore"):
        way = np.subtract(speed, headwind)
        distance = np.where((way > 0.0).all(axis=0), (fuel * way / flow * _SIMPSON).sum(axis=0), np.nan)
    return time, distance
