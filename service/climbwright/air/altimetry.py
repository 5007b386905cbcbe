"""From the altimeter setting to the pressure at the strip and back, exactly as the altimeter is built.

References
----------
.. [1] ICAO Doc 7488, *Manual of the ICAO Standard Atmosphere*, 3rd ed., 1993: the altimeter's pressure-altitude
   relation, from which QNH is defined.
"""

import numpy as np

from climbwright.air.standard import LAPSE, PRESSURE_EXPONENT, SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE
from climbwright.arrays import Floats, Numbers, floats, raised, scalar_if_0d

__all__ = ["altimeter_setting", "station_pressure"]

_ROOT = SEA_LEVEL_PRESSURE ** (1.0 / PRESSURE_EXPONENT)  # takes p0 out of both powers


def station_pressure(qnh: Numbers, elevation: Numbers) -> Floats:
    """Pressure at an elevation for an altimeter setting. [Pa]

    Parameters
    ----------
    qnh : array_like
        Altimeter setting reduced to sea level by the standard atmosphere. [Pa]
    elevation : array_like
        Height of the place above mean sea level, below 11 km. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Station pressure. [Pa]

    Examples
    --------
    >>> float(station_pressure(101325.0, 5000.0))  # the ISO table at 5 km
    54019.9
    """
    setting, h = floats(qnh, elevation)
    root = raised(setting[()], 1.0 / PRESSURE_EXPONENT)
    fall = (_ROOT * LAPSE / SEA_LEVEL_TEMPERATURE) * h
    if not (root.ndim or fall.ndim):
        return raised(root - fall, PRESSURE_EXPONENT)  # [1], both times p0
    left = np.subtract(root, fall, out=fall) if fall.shape == root.shape else np.asarray(root - fall)
    return raised(left, PRESSURE_EXPONENT, out=left)  # [1]


def altimeter_setting(pressure: Numbers, elevation: Numbers) -> Floats:
    """Altimeter setting (QNH) from the pressure at a place: inverse of `station_pressure`. [Pa]

    Parameters
    ----------
    pressure : array_like
        Station pressure. [Pa]
    elevation : array_like
        Height of the place above mean sea level, below 11 km. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        QNH. [Pa]
    """
    p, h = floats(pressure, elevation)
    root = raised(p, 1.0 / PRESSURE_EXPONENT)
    return scalar_if_0d(raised(root + (_ROOT * LAPSE / SEA_LEVEL_TEMPERATURE) * h, PRESSURE_EXPONENT))  # [1]
