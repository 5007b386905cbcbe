"""A condition: how an owner states the air, in exactly one of the forms that are understood."""

from dataclasses import dataclass

import numpy as np

from climbwright.air import standard
from climbwright.air.altimetry import station_pressure
from climbwright.air.moist import saturation_vapour_pressure, vapour_pressure
from climbwright.air.state import Air, standard_air
from climbwright.arrays import Number
from climbwright.refusal import Refusal

__all__ = ["Condition", "air_of", "refuse_beyond"]


@dataclass(frozen=True, slots=True)
class Condition:
    """The air as stated; None where nothing was said. SI: [m], [Pa], [K], [-], [m/s].

    A coded report has already been decoded into `qnh`, `oat` and `dew_point`.
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
        The dew point is above the temperature, or the pressure is outside the standard atmosphere.
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
    altitude = standard.pressure_altitude(pressure)
    _refuse_outside(altitude, f"{where}/{stated}")
    oat = condition.oat
    if oat is None:
        oat = np.add(standard.temperature(altitude), condition.temperature_offset)
    vapour: Number = 0.0
    if condition.dew_point is not None:
        if np.any(np.greater(condition.dew_point, oat)):
            raise Refusal(f"{where}/dew_point", "the dew point is above the air temperature: send one at or below it")
        vapour = saturation_vapour_pressure(condition.dew_point)
    elif condition.relative_humidity is not None:
        vapour = vapour_pressure(oat, condition.relative_humidity)
    if np.any(np.greater(vapour, np.multiply(0.5, pressure))):
        raise Refusal(f"{where}/oat", "the air would be mostly vapour: send a temperature and humidity met outdoors")
    return Air(pressure, oat, vapour)


def refuse_beyond(air: Air, where: str) -> None:
    """Refuse air whose density no altitude of the standard atmosphere has.

    Parameters
    ----------
    air : Air
        Several conditions may lie along its last axis.
    where : str
        JSON Pointer of the field to blame; ``{}`` in it stands for the condition's place along the last axis.

    Raises
    ------
    Refusal
        Names the first such condition.
    """
    beyond = np.isnan(air.density_altitude)
    if beyond.any():
        _refuse_outside(np.nan, where.format(int(np.argwhere(np.atleast_1d(beyond))[0][-1])))


def _refuse_outside(value: Number, where: str) -> None:
    if not np.all(np.isfinite(value)):
        raise Refusal(where, "the air is outside the standard atmosphere, -5 to 32 km: check the value and its unit")
