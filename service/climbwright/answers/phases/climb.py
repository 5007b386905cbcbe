"""Climb: the best rate and angle, the ceilings, a climb as it was asked for, and the time to climb.

References
----------
.. [1] Gauss-Legendre quadrature of the time for each layer of height.
"""

from functools import cache
from itertools import pairwise

import numpy as np

from climbwright.air import standard
from climbwright.air.state import Air
from climbwright.answers.phases.flight import Evaluation, Flight, Layers
from climbwright.answers.phases.fuel import fuel_density
from climbwright.answers.stacking import along
from climbwright.arrays import Floats
from climbwright.flight.ceilings import standard_ceiling
from climbwright.flight.climb import acceleration_factor, altimeter_rate, climb_angle, climb_gradient
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.level import fuel_flow

__all__ = [
    "SERVICE_RATE",
    "altimeter",
    "best_angle",
    "best_angle_speed",
    "best_rate",
    "bound_at_sea_level",
    "ceilings",
    "climb_as_asked",
    "layers_of",
]

SERVICE_RATE = 100.0 * 0.3048 / 60.0  # rate of climb left at the service ceiling, 100 ft/min [m/s]
_LAYERS = 6  # heights of each panel at which a timed climb is evaluated
_PANELS = (0.0, 0.6, 0.88, 0.97, 1.0)  # closer towards the top, where a ceiling may be near


def best_rate(flight: Flight, answer: Evaluation) -> None:
    """Best rate and its speed, held above the stall."""
    floor, unheld = flight.true_floor, flight.propulsion.best_rate_speed(*flight.here)
    answer.speeds["best_climb_speed"] = speed = np.maximum(unheld, floor)
    answer.measures["best_climb_rate"] = flight.rate(speed)
    answer.checks["rate_held"] = floor - unheld


def best_angle_speed(flight: Flight, answer: Evaluation) -> None:
    """Speed of the best angle, held above the stall."""
    floor, unheld = flight.true_floor, flight.propulsion.best_angle_speed(*flight.here)
    answer.speeds["best_angle_speed"] = np.maximum(unheld, floor)
    answer.checks["angle_held"] = floor - unheld


def best_angle(flight: Flight, answer: Evaluation) -> None:
    """Best angle through the air, and the gradient at its speed over the ground."""
    speed = answer.speeds["best_angle_speed"]
    rate = flight.rate(speed)
    answer.measures["best_angle"] = climb_angle(rate, speed)
    answer.measures["climb_gradient"] = climb_gradient(rate, speed, flight.headwind)


def ceilings(flight: Flight, answer: Evaluation) -> None:
    """Ceilings of the standard atmosphere, whatever the condition."""
    propulsion, airframe, lapse = flight.propulsion, flight.airframe, flight.lapse
    if lapse.aspiration == "natural" and not isinstance(propulsion, ConstantSpeed):
        absolute = propulsion.absolute_ceiling(airframe, lapse.constant, flight.floor)
        service = propulsion.service_ceiling(airframe, lapse.constant, flight.floor, SERVICE_RATE)
        bound = bound_at_sea_level(flight)
        if np.count_nonzero(bound):  # there alone, so that no aeroplane's ceiling depends on what stands beside it
            absolute, service = np.where(bound, _searched(flight), along(absolute, service))
    else:
        absolute, service = _searched(flight)
    for name, ratio in (("absolute_ceiling", absolute), ("service_ceiling", service)):
        answer.measures[name] = standard.density_altitude(ratio * standard.SEA_LEVEL_DENSITY)


def bound_at_sea_level(flight: Flight) -> Floats:
    """Where the momentum bound takes thrust from a climb at sea level, where it is nearest."""
    propulsion = flight.propulsion
    if not isinstance(propulsion, FixedPitch) or not propulsion.may_be_bound:
        return np.False_
    speed = np.maximum(flight.floor, propulsion.best_angle_speed(flight.airframe, 1.0, 1.0))
    return propulsion.is_bound(speed, 1.0, 1.0)


def _searched(flight: Flight) -> Floats:
    """Density ratios of both ceilings along a leading axis, where no closed form knows the engine's lapse."""
    propulsion, airframe, lapse = flight.propulsion, flight.airframe, flight.lapse

    def best_rate(sigma: Floats) -> Floats:
        phi, rho = lapse.standard(sigma), sigma * standard.SEA_LEVEL_DENSITY
        speed = np.maximum(propulsion.best_rate_speed(airframe, phi, sigma), flight.floor / np.sqrt(sigma))
        return speed * (propulsion.thrust(speed, phi, sigma) - airframe.drag(speed, rho)) / airframe.weight

    return standard_ceiling(best_rate, along(0.0, SERVICE_RATE))


def altimeter(flight: Flight, answer: Evaluation) -> None:
    """The best rate as the altimeter shows it, in a climb at one indicated airspeed."""
    air = flight.air
    slowed = acceleration_factor(answer.speeds["best_climb_speed"], air.temperature)
    usual = standard.temperature(air.pressure_altitude)
    answer.measures["altimeter_climb_rate"] = altimeter_rate(
        answer.measures["best_climb_rate"] / slowed, air.temperature, usual
    )


def climb_as_asked(flight: Flight, answer: Evaluation) -> None:
    """Rate at the speed and with the flaps asked for; time, fuel and distance between two altitudes."""
    asked = flight.flying.climb
    if asked is None:
        return
    flown = flight.configured(asked.configuration)
    speed = _climb_speed(flown)
    answer.measures["climb_rate_at_speed"] = flown.rate(speed)
    answer.checks["climb_speed_over_stall"] = speed / flown.true(flown.stall)
    if asked.to_altitude is not None:
        _timed(flown, answer)


def _climb_speed(flight: Flight) -> Floats:
    """True airspeed of the climb asked for; that of the best rate where no speed was."""
    asked = flight.flying.climb
    if asked is None or asked.speed is None:
        return flight.best_rate_speed()
    return flight.true_of_calibrated(asked.speed)


@cache
def _nodes() -> tuple[Floats, Floats]:
    """Places between 0 and 1 and their weights, along a leading axis."""
    x, w = np.polynomial.legendre.leggauss(_LAYERS)
    low, high = np.array(_PANELS[:-1])[:, None], np.array(_PANELS[1:])[:, None]
    shape = (-1, 1, 1, 1, 1)
    return (low + 0.5 * (high - low) * (x + 1.0)).reshape(shape), (0.5 * (high - low) * w).reshape(shape)


def layers_of(flight: Flight, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Pressure altitudes within a climb and the heights they stand for, along a leading axis.

    A turbocharged engine's power bends at its critical altitude, where the climb is divided.
    """
    places, weights = _nodes()
    critical = flight.aircraft.engine.critical_altitude
    if critical is None:
        return low + (high - low) * places, (high - low) * weights
    edges = np.broadcast_arrays(low, np.minimum(np.maximum(critical, low), high), high)
    stretches = [(a, b - a) for a, b in pairwise(edges)]
    return (
        np.concatenate([start + thick * places for start, thick in stretches]),
        np.concatenate([thick * weights for _, thick in stretches]),
    )


def _warm(flight: Flight, altitude: Floats, usual: Floats) -> Flight:
    """The aeroplane at a pressure altitude, in air as warm above the usual as it is here, dry."""
    return flight.in_air(Air(standard.pressure(altitude), usual + flight.air.isa_deviation))


def _timed(flight: Flight, answer: Evaluation) -> None:
    """Time, fuel and distance of a climb at full throttle; nan where the aeroplane does not get there."""
    asked, here = flight.flying.climb, flight.air.pressure_altitude
    low = here if asked is None or asked.from_altitude is None else asked.from_altitude
    high = None if asked is None else asked.to_altitude
    low, high = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    altitudes, heights = layers_of(flight, low, high)
    # the top is a layer of no thickness, where the aeroplane still has to climb
    altitudes = np.concatenate([altitudes, np.broadcast_to(high, (1, *altitudes.shape[1:]))])
    heights = np.concatenate([heights, np.zeros((1, *heights.shape[1:]))])
    usual = standard.temperature(altitudes)
    layers = _warm(flight, altitudes, usual)
    speed = _climb_speed(layers)
    rate = layers.rate(speed)
    arrives = (rate > 0.0).all(axis=0) & (high >= low)
    thickness = layers.air.temperature / usual
    with np.errstate(divide="ignore", invalid="ignore"):
        time = np.where(arrives, heights * thickness / rate, np.nan)  # of each layer [1]
        forward = np.sqrt(np.maximum(speed**2 - rate**2, 0.0)) - flight.headwind
    forward = np.where((forward > 0.0).all(axis=0), forward, np.nan)
    distance, fuel = time * forward, None
    answer.measures["time_to_climb"] = time.sum(axis=0)
    answer.measures["distance_to_climb"] = distance.sum(axis=0)
    consumption = flight.aircraft.engine.specific_consumption
    if consumption is not None:
        fuel = time * fuel_flow(layers.propulsion.delivered(layers.power_ratio, layers.air.density_ratio), consumption)
        answer.measures["fuel_to_climb"] = fuel.sum(axis=0) / fuel_density(flight)
    answer.layers = Layers(altitudes[:-1], heights[:-1], time[:-1], distance[:-1], fuel if fuel is None else fuel[:-1])
