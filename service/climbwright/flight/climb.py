"""Rate, angle and gradient of climb from thrust and drag.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 6: rate of climb is excess power over weight.
.. [2] The acceleration of a climb at one airspeed follows from energy height and from the pitot relation of
   `air.airspeed` (derived).
"""

import numpy as np

from climbwright.air.standard import GAMMA, GAS_CONSTANT, GRAVITY, LAPSE
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = [
    "APPROACH_FACTOR",
    "STALL_MARGIN",
    "acceleration_factor",
    "altimeter_rate",
    "climb_angle",
    "climb_gradient",
    "climb_rate",
]

APPROACH_FACTOR = 1.3  # approach over stall speed, both calibrated; common practice, no source
STALL_MARGIN = 1.2  # least speed flown over the stall speed, both equivalent; common practice, no source


def climb_rate(thrust: Numbers, drag: Numbers, weight: Numbers, true: Numbers) -> Floats:
    """Rate of climb at a steady true airspeed. [m/s]

    Parameters
    ----------
    thrust, drag, weight : array_like
        Forces. [N]
    true : array_like
        True airspeed. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Negative where the aeroplane sinks at full throttle. [m/s]

    Examples
    --------
    >>> float(climb_rate(1500.0, 900.0, 4800.0, 28.0))
    3.50
    """
    t, d, w, v = floats(thrust, drag, weight, true)
    return scalar_if_0d(v * (t - d) / w)  # [1]


def climb_angle(rate: Numbers, true: Numbers) -> Floats:
    """Angle of climb through the air. [rad]

    Parameters
    ----------
    rate : array_like
        Rate of climb. [m/s]
    true : array_like
        True airspeed. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Angle, nan where the rate exceeds the airspeed. [rad]
    """
    r, v = floats(rate, true)
    with np.errstate(invalid="ignore"):
        return scalar_if_0d(np.arcsin(r / v))


def climb_gradient(rate: Numbers, true: Numbers, headwind: Numbers = 0.0) -> Floats:
    """Height gained over distance covered on the ground. [-]

    Parameters
    ----------
    rate : array_like
        Rate of climb. [m/s]
    true : array_like
        True airspeed. [m/s]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Gradient, nan where the wind lets the aeroplane make no way. [-]
    """
    r, v, w = floats(rate, true, headwind)
    with np.errstate(invalid="ignore", divide="ignore"):
        over_ground = np.sqrt(v**2 - r**2) - w
        return scalar_if_0d(np.where(over_ground > 0.0, r / over_ground, np.nan))


def acceleration_factor(true: Numbers, temperature: Numbers) -> Floats:
    """Share of a climb that a constant airspeed indicator takes for speeding up: 1 + (V/g) dV/dh. [-]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    temperature : array_like
        Air temperature, falling with height as in the standard troposphere. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        The rate at constant true airspeed divided by it is the rate at constant indicated airspeed. [-]

    Notes
    -----
    At constant calibrated airspeed the impact pressure p ((1 + 0.2 M²)^3.5 - 1) stays as pressure falls by g/(R T) with
    height. With x = 1 + 0.2 M² that leaves 1 + x - x^-2.5 - 0.7 M² R L/g.
    """
    v, t = floats(true, temperature)
    square = v**2 / (GAMMA * GAS_CONSTANT * t)
    x = 1.0 + 0.2 * square
    return scalar_if_0d(1.0 + x - x**-2.5 - 0.5 * GAMMA * square * (GAS_CONSTANT * LAPSE / GRAVITY))  # [2]


def altimeter_rate(rate: Numbers, temperature: Numbers, standard_temperature: Numbers) -> Floats:
    """Rate of climb as an altimeter shows it, from the true (tapeline) one. [m/s]

    Parameters
    ----------
    rate : array_like
        True rate of climb. [m/s]
    temperature, standard_temperature : array_like
        Air temperature, and the standard one at this pressure. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Smaller on a warm day: an altimeter counts layers of pressure, which are thicker then. [m/s]
    """
    r, t, standard = floats(rate, temperature, standard_temperature)
    return scalar_if_0d(r * standard / t)
