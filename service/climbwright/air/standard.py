r"""The standard atmosphere of ISO 2533 and ICAO Doc 7488, from -5 to 32 km geopotential altitude.

Below 11 km temperature falls by 6.5 K/km, to 20 km it stays, above that it rises by 1 K/km. Altitude means
geopotential altitude unless a name says geometric.

Every function takes floats or arrays that broadcast and answers with the broadcast shape, a float for floats.
Outside the range of the layers the result is nan.

References
----------
.. [1] ISO 2533:1975, *Standard Atmosphere*, sec. 2.
.. [2] ICAO Doc 7488, *Manual of the ICAO Standard Atmosphere*, 3rd ed., 1993.
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, raised, scalar_if_0d

__all__ = [
    "GAMMA",
    "GAS_CONSTANT",
    "GRAVITY",
    "HIGHEST",
    "LOWEST",
    "SEA_LEVEL_DENSITY",
    "SEA_LEVEL_PRESSURE",
    "SEA_LEVEL_SPEED_OF_SOUND",
    "SEA_LEVEL_TEMPERATURE",
    "density",
    "density_altitude",
    "dynamic_viscosity",
    "geometric_altitude",
    "geopotential_altitude",
    "pressure",
    "pressure_altitude",
    "speed_of_sound",
    "temperature",
    "temperature_at",
]

GRAVITY = 9.80665  # [m/s²]
GAS_CONSTANT = 287.05287  # of dry air [J/(kg K)]
GAMMA = 1.4
SEA_LEVEL_TEMPERATURE = 288.15  # [K]
SEA_LEVEL_PRESSURE = 101325.0  # [Pa]
SEA_LEVEL_DENSITY = SEA_LEVEL_PRESSURE / (GAS_CONSTANT * SEA_LEVEL_TEMPERATURE)  # 1.225 [kg/m³]
SEA_LEVEL_SPEED_OF_SOUND = float(np.sqrt(GAMMA * GAS_CONSTANT * SEA_LEVEL_TEMPERATURE))  # 340.294 [m/s]
EARTH_RADIUS = 6356766.0  # [m]
LOWEST, HIGHEST = -5000.0, 32000.0  # [m]

LAPSE = 0.0065  # below the tropopause [K/m]
TROPOPAUSE = 11000.0  # [m]
UPPER_LAPSE = -0.001  # from 20 km up: temperature rises [K/m]
UPPER_BASE = 20000.0  # [m]

PRESSURE_EXPONENT = GRAVITY / (GAS_CONSTANT * LAPSE)  # 5.25588
_TROPOPAUSE_TEMPERATURE = SEA_LEVEL_TEMPERATURE - LAPSE * TROPOPAUSE
_TROPOPAUSE_PRESSURE = SEA_LEVEL_PRESSURE * (_TROPOPAUSE_TEMPERATURE / SEA_LEVEL_TEMPERATURE) ** PRESSURE_EXPONENT
_TROPOPAUSE_DENSITY = _TROPOPAUSE_PRESSURE / (GAS_CONSTANT * _TROPOPAUSE_TEMPERATURE)
_SCALE_HEIGHT = GAS_CONSTANT * _TROPOPAUSE_TEMPERATURE / GRAVITY
_UPPER_PRESSURE = _TROPOPAUSE_PRESSURE * float(np.exp((TROPOPAUSE - UPPER_BASE) / _SCALE_HEIGHT))
_UPPER_DENSITY = _UPPER_PRESSURE / (GAS_CONSTANT * _TROPOPAUSE_TEMPERATURE)
_UPPER_EXPONENT = GRAVITY / (GAS_CONSTANT * UPPER_LAPSE)
_WARMEST = SEA_LEVEL_TEMPERATURE - LAPSE * LOWEST
_MANY = 500  # numbers from which reductions are cheaper than their own overhead


def _low(height: Floats) -> bool:
    """Whether no height lies outside the lowest layer, where light aeroplanes fly; nan is nan in every layer."""
    return _between(height, LOWEST, TROPOPAUSE)


def _between(values: Floats, least: float, most: float) -> bool:
    """Whether no value lies outside two ends; nan may count as outside."""
    if not values.ndim:
        return bool(least <= values <= most)
    if values.size > _MANY:  # a reduction costs a fifth of a comparison
        return bool(values.min() >= least and values.max() <= most)
    return not np.count_nonzero((values < least) | (values > most))


def geopotential_altitude(geometric: Numbers) -> Floats:
    """Geopotential altitude of a height above mean sea level. [m]

    Parameters
    ----------
    geometric : array_like
        Geometric altitude. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Geopotential altitude. [m]

    Examples
    --------
    >>> float(geopotential_altitude(5000.0))
    4996.1
    """
    z = np.asarray(geometric, dtype=float)
    return scalar_if_0d(EARTH_RADIUS * z / (EARTH_RADIUS + z))  # [1] eq. (8)


def geometric_altitude(geopotential: Numbers) -> Floats:
    """Height above mean sea level at a geopotential altitude. [m]

    Parameters
    ----------
    geopotential : array_like
        Geopotential altitude. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Geometric altitude. [m]
    """
    h = np.asarray(geopotential, dtype=float)[()]
    return scalar_if_0d(EARTH_RADIUS * h / (EARTH_RADIUS - h))


def _by_layer(value: Floats, lowest: float, highest: float, low: Floats, middle: Floats, high: Floats) -> Floats:
    """Choose among the three layers by altitude; nan outside them."""
    chosen = np.where(value <= TROPOPAUSE, low, np.where(value <= UPPER_BASE, middle, high))
    return scalar_if_0d(np.where((value >= lowest) & (value <= highest), chosen, np.nan))


def temperature(altitude: Numbers) -> Floats:
    """Temperature of the standard atmosphere. [K]

    Parameters
    ----------
    altitude : array_like
        Geopotential altitude, -5 to 32 km. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Temperature, nan outside the range. [K]
    """
    h = np.asarray(altitude, dtype=float)[()]
    low = SEA_LEVEL_TEMPERATURE - LAPSE * h  # [1] eq. (10)
    if _low(h):
        return scalar_if_0d(low)
    high = _TROPOPAUSE_TEMPERATURE - UPPER_LAPSE * (h - UPPER_BASE)
    return _by_layer(h, LOWEST, HIGHEST, low, np.asarray(_TROPOPAUSE_TEMPERATURE), high)


def pressure(altitude: Numbers) -> Floats:
    """Pressure of the standard atmosphere. [Pa]

    Parameters
    ----------
    altitude : array_like
        Geopotential altitude, -5 to 32 km. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Pressure, nan outside the range. [Pa]

    Examples
    --------
    >>> float(pressure(5000.0))
    54019.9
    """
    h = np.asarray(altitude, dtype=float)[()]
    lowest = _low(h)
    low_ratio = 1.0 - (LAPSE / SEA_LEVEL_TEMPERATURE) * (h if lowest else np.minimum(h, TROPOPAUSE))
    low = SEA_LEVEL_PRESSURE * raised(low_ratio, PRESSURE_EXPONENT)  # [1] eq. (12)
    if lowest:
        return scalar_if_0d(low)
    middle = _TROPOPAUSE_PRESSURE * np.exp((TROPOPAUSE - h) / _SCALE_HEIGHT)  # [1] eq. (13)
    high_ratio = (_TROPOPAUSE_TEMPERATURE - UPPER_LAPSE * np.clip(h - UPPER_BASE, 0.0, None)) / _TROPOPAUSE_TEMPERATURE
    high = _UPPER_PRESSURE * high_ratio**_UPPER_EXPONENT
    return _by_layer(h, LOWEST, HIGHEST, low, middle, high)


def temperature_at(pressure: Numbers) -> Floats:
    """Temperature of the standard atmosphere where it has a pressure: `temperature` of `pressure_altitude`. [K]

    Parameters
    ----------
    pressure : array_like
        Pressure above zero. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Temperature, nan outside the range. [K]
    """
    p = np.asarray(pressure, dtype=float)[()]
    low = SEA_LEVEL_TEMPERATURE * raised(p * (1.0 / SEA_LEVEL_PRESSURE), 1.0 / PRESSURE_EXPONENT)  # [1] eq. (12)
    if _between(low, _TROPOPAUSE_TEMPERATURE, _WARMEST):
        return scalar_if_0d(low)
    inside = (low >= _TROPOPAUSE_TEMPERATURE) & (low <= _WARMEST)
    return scalar_if_0d(np.where(inside, low, temperature(pressure_altitude(p))))


def pressure_altitude(pressure: Numbers) -> Floats:
    """Geopotential altitude at which the standard atmosphere has a pressure: the inverse of `pressure`. [m]

    Parameters
    ----------
    pressure : array_like
        Pressure above zero. [Pa]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Pressure altitude, nan outside -5 to 32 km. [m]

    Examples
    --------
    >>> float(pressure_altitude(85000.0))
    1457.3
    """
    p = np.asarray(pressure, dtype=float)[()]
    low = raised(p, 1.0 / PRESSURE_EXPONENT)
    low *= -(SEA_LEVEL_TEMPERATURE / LAPSE) / SEA_LEVEL_PRESSURE ** (1.0 / PRESSURE_EXPONENT)
    low += SEA_LEVEL_TEMPERATURE / LAPSE
    if _low(low):
        return scalar_if_0d(low)
    middle = TROPOPAUSE - _SCALE_HEIGHT * np.log(p / _TROPOPAUSE_PRESSURE)
    high = UPPER_BASE + (_TROPOPAUSE_TEMPERATURE / UPPER_LAPSE) * (
        1.0 - (p / _UPPER_PRESSURE) ** (1.0 / _UPPER_EXPONENT)
    )
    height = np.where(low <= TROPOPAUSE, low, np.where(middle <= UPPER_BASE, middle, high))
    return _by_layer(height, LOWEST, HIGHEST, height, height, height)


def density(altitude: Numbers) -> Floats:
    """Density of the standard atmosphere. [kg/m³]

    Parameters
    ----------
    altitude : array_like
        Geopotential altitude, -5 to 32 km. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Density, nan outside the range. [kg/m³]
    """
    return scalar_if_0d(np.asarray(pressure(altitude) / (GAS_CONSTANT * temperature(altitude))))


def density_altitude(density: Numbers) -> Floats:
    """Geopotential altitude at which the standard atmosphere has a density: the inverse of `density`. [m]

    Parameters
    ----------
    density : array_like
        Air density above zero. [kg/m³]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Density altitude, nan outside -5 to 32 km. [m]

    Examples
    --------
    >>> float(density_altitude(1.225))
    0.00
    """
    rho = np.asarray(density, dtype=float)[()]
    exponent = 1.0 / (PRESSURE_EXPONENT - 1.0)
    low = raised(rho, exponent)
    low *= -(SEA_LEVEL_TEMPERATURE / LAPSE) / SEA_LEVEL_DENSITY**exponent
    low += SEA_LEVEL_TEMPERATURE / LAPSE
    if _low(low):
        return scalar_if_0d(low)
    middle = TROPOPAUSE - _SCALE_HEIGHT * np.log(rho / _TROPOPAUSE_DENSITY)
    high = UPPER_BASE + (_TROPOPAUSE_TEMPERATURE / UPPER_LAPSE) * (
        1.0 - (rho / _UPPER_DENSITY) ** (1.0 / (_UPPER_EXPONENT - 1.0))
    )
    height = np.where(low <= TROPOPAUSE, low, np.where(middle <= UPPER_BASE, middle, high))
    return _by_layer(height, LOWEST, HIGHEST, height, height, height)


def speed_of_sound(temperature: Numbers) -> Floats:
    """Speed of sound in dry air. [m/s]

    Parameters
    ----------
    temperature : array_like
        Air temperature. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Speed of sound. [m/s]
    """
    t = np.asarray(temperature, dtype=float)[()]
    return scalar_if_0d(np.sqrt(GAMMA * GAS_CONSTANT * t))  # [1] eq. (21)


def dynamic_viscosity(temperature: Numbers) -> Floats:
    """Dynamic viscosity of air by Sutherland's law. [Pa s]

    Parameters
    ----------
    temperature : array_like
        Air temperature. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Dynamic viscosity. [Pa s]
    """
    t = np.asarray(temperature, dtype=float)[()]
    return scalar_if_0d(1.458e-6 * t**1.5 / (t + 110.4))  # [1] eq. (22)
