r"""Speeds of least fuel: for each hour, and for each mile, in still air and in wind.

Fuel burns with shaft power. Where that power varies as a power of H/V² - K V² or of drag times speed, the speed of the
longest range in a wind is a root of one quintic, written here in multiples of the speed V0 = (H/a)^(1/4) at which
parasite and induced terms are equal.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 6: range and endurance of propeller aeroplanes. The forms for a
   propeller of fixed pitch at part throttle and for wind are derived in the notes of the functions.
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["fuel_flow", "longest_range_speed"]

_ROUNDS = 8  # at most, Newton's from above: quadratic, and at machine precision for winds up to ten times V0


def fuel_flow(power: Numbers, specific_consumption: Numbers) -> Floats:
    """Fuel burned at a shaft power. [kg/s]

    Parameters
    ----------
    power : array_like
        Shaft power. [W]
    specific_consumption : array_like
        Fuel for each unit of shaft energy. [kg/J]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Mass flow. [kg/s]
    """
    p, c = floats(power, specific_consumption)
    return scalar_if_0d(p * c)


def longest_range_speed(equal_terms: Numbers, headwind: Numbers, linear: float, constant: float) -> Floats:
    """True airspeed of the least fuel for each distance over the ground. [m/s]

    Parameters
    ----------
    equal_terms : array_like
        V0, the speed at which the two terms are equal. [m/s]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]
    linear, constant : float
        Coefficients of the quintic, 2 and 1 where power is drag times speed (and for a glide), 4 and 3 for a propeller
        of fixed pitch at part throttle.

    Returns
    -------
    numpy.float64 or numpy.ndarray
        True airspeed above the headwind. [m/s]

    Notes
    -----
    With x = V/V0 and y the headwind over V0: power as x³ + 1/x, divided by x - y and set to zero slope, gives
    2 x⁵ - 3 y x⁴ - 2 x + y = 0; power as (x² + 1/x²)^(3/2) gives 2 x⁵ - 3 y x⁴ - 4 x + 3 y = 0.
    """
    v0, wind = floats(equal_terms, headwind)
    y = wind / v0
    x = np.sqrt(np.sqrt(0.5 * linear)) + 1.5 * np.maximum(y, 0.0)
    for _ in range(_ROUNDS):
        cube, last = x * x * x, x
        x = x - ((2.0 * x - 3.0 * y) * x * cube - linear * x + constant * y) / ((10.0 * x - 12.0 * y) * cube - linear)
        if not np.count_nonzero(x != last):
            break
    return scalar_if_0d(x * v0)
