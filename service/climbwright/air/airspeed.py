"""Airspeeds: calibrated, equivalent, true and Mach through the subsonic pitot relation, and the owner's table.

References
----------
.. [1] NACA Rep. 837, *Standard nomenclature for airspeeds with tables and charts for use in calculation of
   airspeed*, 1946: impact pressure and calibrated airspeed for compressible subsonic flow.
"""

import numpy as np

from climbwright.air.standard import (
    GAMMA,
    GAS_CONSTANT,
    SEA_LEVEL_DENSITY,
    SEA_LEVEL_PRESSURE,
    SEA_LEVEL_SPEED_OF_SOUND,
    speed_of_sound,
)
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = [
    "calibrated_from_mach",
    "calibrated_from_true",
    "dynamic_pressure",
    "equivalent_from_true",
    "impact_pressure",
    "mach_from_calibrated",
    "mach_from_true",
    "read_correction",
    "true_from_equivalent",
    "true_from_mach",
]


def impact_pressure(calibrated: Numbers) -> Floats:
    """Pitot minus static pressure behind a calibrated airspeed. [Pa]

    Parameters
    ----------
    calibrated : array_like
        Calibrated airspeed, subsonic. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Impact pressure. [Pa]

    Examples
    --------
    >>> float(impact_pressure(100 * 1852 / 3600))
    1630.28
    """
    v = np.asarray(calibrated, dtype=float)
    m0 = v / SEA_LEVEL_SPEED_OF_SOUND
    # expm1 keeps the small difference from 1 that a plain power loses at walking pace
    return scalar_if_0d(SEA_LEVEL_PRESSURE * np.expm1(3.5 * np.log1p(0.2 * m0**2)))  # [1]


def mach_from_calibrated(calibrated: Numbers, pressure: Numbers) -> Floats:
    """Mach number of a calibrated airspeed at a pressure. [-]

    Parameters
    ----------
    calibrated : array_like
        Calibrated airspeed. [m/s]
    pressure : array_like
        Static pressure. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Mach number, valid below 1. [-]
    """
    p = np.asarray(pressure, dtype=float)
    ratio = np.asarray(impact_pressure(calibrated)) / p
    return scalar_if_0d(np.sqrt(5.0 * np.expm1(np.log1p(ratio) / 3.5)))  # [1]


def calibrated_from_mach(mach: Numbers, pressure: Numbers) -> Floats:
    """Calibrated airspeed of a Mach number at a pressure: inverse of `mach_from_calibrated`. [m/s]

    Parameters
    ----------
    mach : array_like
        Mach number below 1. [-]
    pressure : array_like
        Static pressure. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Calibrated airspeed. [m/s]
    """
    m, p = floats(mach, pressure)
    ratio = p / SEA_LEVEL_PRESSURE * np.expm1(3.5 * np.log1p(0.2 * m**2))
    return scalar_if_0d(SEA_LEVEL_SPEED_OF_SOUND * np.sqrt(5.0 * np.expm1(np.log1p(ratio) / 3.5)))


def calibrated_from_true(true: Numbers, temperature: Numbers, pressure: Numbers) -> Floats:
    """Calibrated airspeed of a true one: `calibrated_from_mach` of `mach_from_true`, in one pass over an array. [m/s]

    Parameters
    ----------
    true : array_like
        True airspeed, subsonic. [m/s]
    temperature : array_like
        Air temperature. [K]
    pressure : array_like
        Static pressure. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Calibrated airspeed. [m/s]
    """
    v, t, p = floats(true, temperature, pressure)
    x = np.asarray(v * v * (0.2 / (GAMMA * GAS_CONSTANT) / t))
    if x.shape != np.broadcast_shapes(x.shape, p.shape):
        x = x + 0.0 * p
    x = np.multiply(3.5, np.log1p(x, out=x), out=x)
    x = np.multiply(p * (1.0 / SEA_LEVEL_PRESSURE), np.expm1(x, out=x), out=x)  # impact pressure over p0 [1]
    x = np.multiply(1.0 / 3.5, np.log1p(x, out=x), out=x)
    x = np.multiply(5.0 * SEA_LEVEL_SPEED_OF_SOUND**2, np.expm1(x, out=x), out=x)
    return scalar_if_0d(np.sqrt(x, out=x))


def true_from_mach(mach: Numbers, temperature: Numbers) -> Floats:
    """True airspeed of a Mach number at a temperature. [m/s]

    Parameters
    ----------
    mach : array_like
        Mach number. [-]
    temperature : array_like
        Air temperature. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        True airspeed. [m/s]
    """
    return scalar_if_0d(np.asarray(mach, dtype=float) * speed_of_sound(temperature))


def mach_from_true(true: Numbers, temperature: Numbers) -> Floats:
    """Mach number of a true airspeed at a temperature. [-]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    temperature : array_like
        Air temperature. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Mach number. [-]
    """
    return scalar_if_0d(np.asarray(true, dtype=float) / speed_of_sound(temperature))


def equivalent_from_true(true: Numbers, density: Numbers) -> Floats:
    """Equivalent airspeed: the sea-level speed of the same dynamic pressure. [m/s]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    density : array_like
        Air density. [kg/m³]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Equivalent airspeed. [m/s]
    """
    v, rho = floats(true, density)
    return scalar_if_0d(v * np.sqrt(rho / SEA_LEVEL_DENSITY))


def true_from_equivalent(equivalent: Numbers, density: Numbers) -> Floats:
    """True airspeed from equivalent airspeed: inverse of `equivalent_from_true`. [m/s]

    Parameters
    ----------
    equivalent : array_like
        Equivalent airspeed. [m/s]
    density : array_like
        Air density. [kg/m³]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        True airspeed. [m/s]
    """
    v, rho = floats(equivalent, density)
    return scalar_if_0d(v / np.sqrt(rho / SEA_LEVEL_DENSITY))


def dynamic_pressure(true: Numbers, density: Numbers) -> Floats:
    """Half of density times true airspeed squared. [Pa]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    density : array_like
        Air density. [kg/m³]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Dynamic pressure. [Pa]
    """
    v, rho = floats(true, density)
    return scalar_if_0d(0.5 * rho * v**2)


def read_correction(speed: Numbers, given: Numbers, wanted: Numbers) -> Floats:
    """Read the owner's airspeed correction table, linear between its points. [m/s]

    Parameters
    ----------
    speed : array_like
        The speed to look up. [m/s]
    given : array_like, shape (n,)
        The table's column for that speed, rising. [m/s]
    wanted : array_like, shape (n,)
        The other column. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        The corrected speed, nan outside the table: it is never extended. [m/s]

    Raises
    ------
    ValueError
        The table has fewer than two points, or its speeds do not rise.
    """
    v, xs, ys = floats(speed, given, wanted)
    if xs.ndim != 1 or xs.size < 2 or xs.shape != ys.shape:
        raise ValueError("a correction table needs at least two points, each with both speeds")
    if np.any(np.diff(xs) <= 0) or np.any(np.diff(ys) <= 0):
        raise ValueError("the speeds of a correction table must rise from point to point")
    return scalar_if_0d(np.asarray(np.interp(v, xs, ys, left=np.nan, right=np.nan)))
