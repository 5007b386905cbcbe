"""Answers about the air alone: standard atmosphere, density altitude, airspeeds."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from climbwright.air import airspeed, standard
from climbwright.air.condition import AIR_FIELDS, Condition, air_of, check_condition, refuse_beyond
from climbwright.air.state import Air
from climbwright.aircraft.description import CorrectionPoint
from climbwright.answers.single import Single, answer_with_spread
from climbwright.arrays import Floats, Number
from climbwright.refusal import refuse_where

__all__ = ["airspeeds", "atmosphere", "density_altitude"]


def atmosphere(altitude: Number, geometric_altitude: Number, temperature_offset: Number) -> dict[str, Single]:
    """The standard atmosphere at an altitude, warmer or colder by an offset at the same pressure.

    Parameters
    ----------
    altitude, geometric_altitude : float, numpy.ndarray, Measured or None
        One of the two. [m]
    temperature_offset : float, numpy.ndarray or Measured
        Above the standard temperature. [K]

    Returns
    -------
    dict of str to Single
        Altitude, temperature, pressure, density, their ratios, speed of sound, viscosity, density altitude.

    Raises
    ------
    Refusal
        Outside -5 to 32 km, or no air that cold.
    """

    def evaluate(given: Mapping[str, Number]) -> dict[str, Floats]:
        height, where = given["altitude"], "/altitude"
        if height is None:
            height, where = standard.geopotential_altitude(given["geometric_altitude"]), "/geometric_altitude"
        pressure = standard.pressure(height)
        refuse_where(~np.isfinite(pressure), where, "the altitude is outside the standard atmosphere, -5 to 32 km")
        air = Air(pressure, np.add(standard.temperature(height), given["temperature_offset"]))
        refuse_beyond(air, [Condition(temperature_offset=0.0)], "")
        return {
            "altitude": np.asarray(height, dtype=float)[()],
            "temperature": air.temperature,
            "pressure": air.pressure,
            "density": air.density,
            "temperature_ratio": air.temperature / standard.SEA_LEVEL_TEMPERATURE,
            "pressure_ratio": air.pressure / standard.SEA_LEVEL_PRESSURE,
            "density_ratio": air.density_ratio,
            "speed_of_sound": air.speed_of_sound,
            "dynamic_viscosity": standard.dynamic_viscosity(air.temperature),
            "density_altitude": air.density_altitude,
        }

    given = {"altitude": altitude, "geometric_altitude": geometric_altitude, "temperature_offset": temperature_offset}
    return answer_with_spread(evaluate, given)


def _air_inputs(condition: Condition) -> dict[str, Number]:
    return {name: getattr(condition, name) for name in AIR_FIELDS}


def density_altitude(condition: Condition) -> dict[str, Single]:
    """Pressure altitude, density altitude with and without humidity, density and what goes with them.

    Parameters
    ----------
    condition : Condition
        In exactly one form; numbers may be arrays of one length.

    Returns
    -------
    dict of str to Single
        By field name.

    Raises
    ------
    Refusal
        As `air_of`.
    """

    def evaluate(given: Mapping[str, Number]) -> dict[str, Floats]:
        air = air_of(Condition(**given))
        refuse_beyond(air, [condition], "")
        return {
            "pressure_altitude": air.pressure_altitude,
            "density_altitude": air.density_altitude,
            "density_altitude_dry": air.dry_density_altitude,
            "station_pressure": air.pressure,
            "temperature": air.temperature,
            "density": air.density,
            "density_ratio": air.density_ratio,
            "isa_deviation": air.isa_deviation,
            "vapour_pressure": np.add(air.vapour_pressure, 0.0),
        }

    check_condition(condition)
    return answer_with_spread(evaluate, _air_inputs(condition))


def airspeeds(
    speeds: Mapping[str, Any], condition: Condition, correction: tuple[CorrectionPoint, ...]
) -> dict[str, Single]:
    """All five airspeeds and the dynamic pressure from one of them.

    Parameters
    ----------
    speeds : mapping
        Exactly one of indicated, calibrated, equivalent, true [m/s] or mach [-].
    condition : Condition
        The air; numbers may be arrays of one length.
    correction : tuple of CorrectionPoint
        The owner's table; empty takes indicated for calibrated.

    Returns
    -------
    dict of str to Single
        Indicated is nan where the table does not reach.

    Raises
    ------
    Refusal
        The indicated speed is outside the table, or the flow is not subsonic.
    """
    (stated,) = speeds
    marks, trues = [p.indicated for p in correction], [p.calibrated for p in correction]

    def evaluate(given: Mapping[str, Number]) -> dict[str, Floats]:
        air = air_of(Condition(**{name: given[name] for name in AIR_FIELDS}))
        refuse_beyond(air, [condition], "")
        speed = given["speed"]
        calibrated = speed
        if stated == "indicated" and correction:
            calibrated = airspeed.read_correction(speed, marks, trues)
            beyond = "the speed is outside the correction table, which is never extended"
            refuse_where(np.isnan(calibrated), "/indicated", beyond)
        if stated == "mach":
            mach = speed
        elif stated == "true":
            mach = airspeed.mach_from_true(speed, air.temperature)
        elif stated == "equivalent":
            mach = airspeed.mach_from_true(airspeed.true_from_equivalent(speed, air.density), air.temperature)
        else:
            mach = airspeed.mach_from_calibrated(calibrated, air.pressure)
        refuse_where(np.greater_equal(mach, 1.0), f"/{stated}", "the speed is not subsonic, which these formulas need")
        true = speed if stated == "true" else airspeed.true_from_mach(mach, air.temperature)
        if stated not in ("indicated", "calibrated"):
            calibrated = airspeed.calibrated_from_mach(mach, air.pressure)
        indicated = airspeed.read_correction(calibrated, trues, marks) if correction else calibrated
        return {
            "indicated": speed if stated == "indicated" else indicated,
            "calibrated": calibrated,
            "equivalent": airspeed.equivalent_from_true(true, air.density),
            "true": true,
            "mach": mach,
            "dynamic_pressure": airspeed.dynamic_pressure(true, air.density),
            "impact_pressure": airspeed.impact_pressure(calibrated),
        }

    check_condition(condition)
    return answer_with_spread(evaluate, {**_air_inputs(condition), "speed": speeds[stated]})
