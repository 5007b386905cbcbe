"""A condition: how an owner states the air, in exactly one of the forms that are understood."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from climbwright.air import standard
from climbwright.air.altimetry import station_pressure
from climbwright.air.moist import saturation_vapour_pressure, vapour_pressure
from climbwright.air.state import Air, standard_air
from climbwright.arrays import Floats, Number, field_names, stated
from climbwright.refusal import Refusal, refuse_where

__all__ = ["AIR_FIELDS", "Condition", "air_of", "check_condition", "refuse_beyond"]


@dataclass(frozen=True, slots=True)
class Condition:
    """The air as stated; None where nothing was said. SI: [m], [Pa], [K], [-], [m/s], [rad].

    A coded report has already been decoded into `qnh`, `oat`, `dew_point` and its wind, which `reported` marks: it is
    used where a strip's heading makes head- and crosswind of it.
    """

    name: str = ""
    elevation: Number = None
    qnh: Number = None
    pressure_altitude: Number = None
    station_pressure: Number = None
    density_altitude: Number = None
    oat: Number = None
    temperature_offset: Number = None
    dew_point: Number = None
    relative_humidity: Number = None
    headwind: Number = None
    wind_direction: Number = None
    wind_speed: Number = None
    reported: bool = False


_NOT_AIR = ("name", "headwind", "wind_direction", "wind_speed", "reported")
AIR_FIELDS = tuple(name for name in field_names(Condition) if name not in _NOT_AIR)


def air_of(condition: Condition, where: str = "") -> Air:
    """The state of the air that a condition states.

    Parameters
    ----------
    condition : Condition
        In exactly one form; its numbers are floats or arrays that broadcast.
    where : str
        JSON Pointer of the condition, for a refusal.

    Returns
    -------
    Air
        Dry when neither dew point nor humidity is stated; standard temperature with density altitude alone.

    Raises
    ------
    Refusal
        The pressure is outside the standard atmosphere, or the air mostly vapour.
    """
    if condition.density_altitude is not None:
        air = standard_air(condition.density_altitude)
        _refuse_outside(air.pressure, f"{where}/density_altitude")
        return air
    if condition.pressure_altitude is not None:
        pressure = standard.pressure(condition.pressure_altitude)
        stated = "pressure_altitude"
    elif condition.station_pressure is not None:
        pressure, stated = condition.station_pressure, "station_pressure"
    else:
        pressure, stated = station_pressure(condition.qnh, condition.elevation), "qnh"
    refuse_where(_beyond(pressure, _THINNEST, _THICKEST), f"{where}/{stated}", _OUTSIDE)
    oat = condition.oat
    if oat is None:
        oat = np.add(standard.temperature_at(pressure), condition.temperature_offset)
    if condition.dew_point is not None:
        vapour = saturation_vapour_pressure(np.minimum(condition.dew_point, oat))  # a spread stops at saturation
    elif condition.relative_humidity is not None:
        vapour = vapour_pressure(oat, condition.relative_humidity)
    else:
        return Air(pressure, oat)
    refuse_where(vapour > 0.5 * pressure, f"{where}/{_temperature(condition)}", "the air would be mostly vapour")
    # an engine breathes the pressure of the dry air alone
    refuse_where(np.subtract(pressure, vapour) < _THINNEST, f"{where}/{stated}", _OUTSIDE)
    return Air(pressure, oat, vapour)


def check_condition(condition: Condition, where: str = "") -> None:
    """Refuse a dew point above the temperature; a spread of either is not looked at.

    Parameters
    ----------
    condition : Condition
        As stated, before its spreads are laid out.
    where : str
        JSON Pointer of the condition.

    Raises
    ------
    Refusal
        Names the dew point.
    """
    if condition.dew_point is None:
        return
    temperature = stated(condition.oat)
    if temperature is None:
        numbers = {name: stated(getattr(condition, name)) for name in AIR_FIELDS}
        temperature = air_of(Condition(**numbers), where).temperature
    above = stated(condition.dew_point) > temperature
    if np.count_nonzero(above):
        message = "the dew point is above the air temperature: send one at or below it"
        raise Refusal(f"{where}/dew_point", message, above)


def _temperature(condition: Condition) -> str:
    """The field that states the temperature."""
    return "oat" if condition.temperature_offset is None else "temperature_offset"


def refuse_beyond(air: Air, conditions: Sequence[Condition], where: str) -> None:
    """Refuse air whose density no altitude of the standard atmosphere has.

    Parameters
    ----------
    air : Air
        Several conditions lie along its last axis.
    conditions : sequence of Condition
        As stated; one alone may hold lists.
    where : str
        JSON Pointer; ``{}`` in it stands for the condition's place.

    Raises
    ------
    Refusal
        Names the first such condition.
    """
    beyond = _beyond(air.density, _LIGHTEST, _DENSEST)
    if np.count_nonzero(beyond):
        place = int(np.argwhere(np.atleast_1d(beyond))[0][-1]) if len(conditions) > 1 else 0
        raise Refusal(f"{where.format(place)}/{_temperature(conditions[place])}", _OUTSIDE, beyond)


_ENDS = standard.HIGHEST, standard.LOWEST
_THINNEST, _THICKEST = (float(standard.pressure(end)) for end in _ENDS)
_LIGHTEST, _DENSEST = (float(standard.density(end)) for end in _ENDS)
_OUTSIDE = "the air is outside the standard atmosphere, -5 to 32 km: check the value and its unit"


def _beyond(values: Number, least: float, most: float) -> Floats:
    """Which values do not lie between two ends; nan does not."""
    if isinstance(values, float):
        return not least <= values <= most
    return ~(np.greater_equal(values, least) & np.less_equal(values, most))


def _refuse_outside(value: Number, where: str) -> None:
    refuse_where(~np.isfinite(value), where, _OUTSIDE)
