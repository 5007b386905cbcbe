r"""Moist air: vapour pressure and the density of a mixture of dry air and water vapour.

Two ideal gases share the volume; at 20 °C and half-saturated the mixture is 0.04 % lighter than the reference
equation CIPM-2007 [2]_. Saturation is over liquid water.

References
----------
.. [1] WMO-No. 8, *Guide to Instruments and Methods of Observation*, annex 4.B (saturation vapour pressure).
.. [2] Picard et al., *Revised formula for the density of moist air (CIPM-2007)*, Metrologia 45 (2008) 149.
"""

import numpy as np

from climbwright.air.standard import GAS_CONSTANT
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = [
    "VAPOUR_GAS_CONSTANT",
    "dew_point",
    "moist_air_density",
    "saturation_vapour_pressure",
    "vapour_pressure",
]

VAPOUR_GAS_CONSTANT = 461.523  # of water vapour, R / 18.015 g/mol [J/(kg K)]
_ZERO_CELSIUS = 273.15


def saturation_vapour_pressure(temperature: Numbers) -> Floats:
    """Pressure of water vapour in equilibrium with liquid water. [Pa]

    Parameters
    ----------
    temperature : array_like
        Air temperature, or dew point for the vapour pressure itself; -45 to 60 °C. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Vapour pressure. [Pa]

    Notes
    -----
    The published formulas differ by up to 0.3 %, which is worth 0.01 % of density.

    Examples
    --------
    >>> float(saturation_vapour_pressure(303.15))
    4233.7
    """
    x = np.asarray(temperature, dtype=float) + (243.12 - _ZERO_CELSIUS)
    if not x.ndim:
        return np.exp(-17.62 * 243.12 / x + 17.62) * 611.2  # [1], 17.62 t/(243.12 + t) with one division
    np.divide(-17.62 * 243.12, x, out=x)  # the same with no array but one
    x += 17.62
    np.exp(x, out=x)
    x *= 611.2
    return x


def dew_point(vapour_pressure: Numbers) -> Floats:
    """Temperature at which air of this vapour pressure is saturated: inverse of the above. [K]

    Parameters
    ----------
    vapour_pressure : array_like
        Partial pressure of water vapour above zero. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Dew point. [K]
    """
    x = np.log(np.asarray(vapour_pressure, dtype=float) / 611.2)
    return scalar_if_0d(_ZERO_CELSIUS + 243.12 * x / (17.62 - x))  # [1], solved for temperature


def vapour_pressure(temperature: Numbers, relative_humidity: Numbers) -> Floats:
    """Partial pressure of water vapour from relative humidity. [Pa]

    Parameters
    ----------
    temperature : array_like
        Air temperature. [K]
    relative_humidity : array_like
        Vapour pressure over its saturated value, 0 to 1. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Vapour pressure. [Pa]
    """
    return scalar_if_0d(np.asarray(relative_humidity, dtype=float) * saturation_vapour_pressure(temperature))


def moist_air_density(pressure: Numbers, temperature: Numbers, vapour_pressure: Numbers) -> Floats:
    """Density of moist air. [kg/m³]

    Parameters
    ----------
    pressure : array_like
        Total pressure. [Pa]
    temperature : array_like
        Air temperature. [K]
    vapour_pressure : array_like
        Partial pressure of water vapour, 0 for dry air. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Density. [kg/m³]

    Examples
    --------
    >>> round(float(moist_air_density(101325.0, 293.15, 1166.3)), 4)
    1.1989
    """
    p, t, e = floats(pressure, temperature, vapour_pressure)
    if not e.ndim and e == 0.0:  # dry air is the usual case, and its vapour would be divided by nothing's worth
        return p / (GAS_CONSTANT * t)
    lighter = (1.0 - GAS_CONSTANT / VAPOUR_GAS_CONSTANT) * e  # by what vapour weighs less than dry air
    if not p.ndim or not p.shape == t.shape == e.shape:
        return (p - lighter) / (GAS_CONSTANT * t)
    as_dry = np.subtract(p, lighter, out=lighter)
    as_dry /= GAS_CONSTANT * t
    return as_dry
