"""The state of the air somewhere: pressure, temperature and vapour, and what follows from them."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from climbwright.air import standard
from climbwright.air.moist import moist_air_density
from climbwright.arrays import Floats, Number

__all__ = ["SEA_LEVEL", "Air", "standard_air"]


@dataclass(frozen=True)
class Air:
    """Air at a place; every field is a float or an array, and they broadcast.

    Parameters
    ----------
    pressure : array_like
        Static pressure. [Pa]
    temperature : array_like
        Air temperature. [K]
    vapour_pressure : array_like
        Partial pressure of water vapour, 0 for dry air. [Pa]
    """

    pressure: Number
    temperature: Number
    vapour_pressure: Number = 0.0

    @cached_property
    def density(self) -> Floats:
        """Density of the moist air. [kg/m³]"""
        return moist_air_density(self.pressure, self.temperature, self.vapour_pressure)

    @cached_property
    def density_ratio(self) -> Floats:
        """Density over its standard value at sea level. [-]"""
        return self.density / standard.SEA_LEVEL_DENSITY

    @cached_property
    def speed_ratio(self) -> Floats:
        """Equivalent over true airspeed: the root of the density ratio. [-]"""
        return np.sqrt(self.density_ratio)

    @cached_property
    def pressure_altitude(self) -> Floats:
        """Standard altitude of this pressure. [m]"""
        return standard.pressure_altitude(self.pressure)

    @cached_property
    def density_altitude(self) -> Floats:
        """Standard altitude of this density, humidity counted. [m]"""
        return standard.density_altitude(self.density)

    @cached_property
    def dry_density_altitude(self) -> Floats:
        """Standard altitude of the density this air would have without its vapour. [m]"""
        return standard.density_altitude(moist_air_density(self.pressure, self.temperature, 0.0))

    @cached_property
    def isa_deviation(self) -> Floats:
        """Temperature above the standard one at this pressure. [K]"""
        return np.subtract(self.temperature, standard.temperature(self.pressure_altitude))

    @cached_property
    def speed_of_sound(self) -> Floats:
        """Speed of sound in dry air of this temperature. [m/s]"""
        return standard.speed_of_sound(self.temperature)


def standard_air(altitude: Number) -> Air:
    """The standard atmosphere at a geopotential altitude.

    Parameters
    ----------
    altitude : array_like
        Geopotential altitude, -5 to 32 km. [m]

    Returns
    -------
    Air
        Dry, at the standard pressure and temperature.
    """
    return Air(standard.pressure(altitude), standard.temperature(altitude))


SEA_LEVEL = Air(standard.SEA_LEVEL_PRESSURE, standard.SEA_LEVEL_TEMPERATURE)
