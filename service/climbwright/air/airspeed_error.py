"""What the airspeed system adds to every reading: one factor near the stall, one in cruise, a line between.

The pitot meets the air at its steepest angle near the stall, where its error is greatest and least known. Both factors
are readings over calibrated airspeed, after the owner's correction table (common practice, no source).
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["calibrated_from_reading", "reading_from_calibrated"]

_CRUISE = 2.0  # over the stall speed, from where on the factor of cruise holds; common practice, no source


def reading_from_calibrated(calibrated: Numbers, stall: Numbers, near_stall: Numbers, cruise: Numbers) -> Floats:
    """Reading of a calibrated airspeed. [m/s]

    Parameters
    ----------
    calibrated, stall : array_like
        Calibrated airspeed, and that of the stall at this weight. [m/s]
    near_stall, cruise : array_like
        Reading over calibrated airspeed up to the stall speed, and from twice the stall speed on. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Reading. [m/s]
    """
    v, vs, n, c = floats(calibrated, stall, near_stall, cruise)
    share = np.clip((v / vs - 1.0) / (_CRUISE - 1.0), 0.0, 1.0)
    return scalar_if_0d(v * (n + (c - n) * share))


def calibrated_from_reading(reading: Numbers, stall: Numbers, near_stall: Numbers, cruise: Numbers) -> Floats:
    """Calibrated airspeed of a reading, the inverse of `reading_from_calibrated`. [m/s]

    Parameters
    ----------
    reading, stall : array_like
        Reading, and the calibrated stall speed at this weight. [m/s]
    near_stall, cruise : array_like
        As `reading_from_calibrated`; alike enough for readings to rise with the airspeed. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Calibrated airspeed. [m/s]

    Notes
    -----
    Between the two speeds a reading is (n - k) v + k v²/vs with k = (c - n)/(2 - 1), whose root is written without a
    difference of like numbers.
    """
    r, vs, n, c = floats(reading, stall, near_stall, cruise)
    slope = (c - n) / (_CRUISE - 1.0)
    linear = n - slope
    with np.errstate(invalid="ignore"):
        between = 2.0 * r / (linear + np.sqrt(linear**2 + 4.0 * slope * r / vs))
    return scalar_if_0d(np.where(r <= n * vs, r / n, np.where(r >= c * _CRUISE * vs, r / c, between)))
