"""Ceilings of any propulsion, by search over the standard atmosphere, where no closed form knows its lapse."""

from collections.abc import Callable

import numpy as np

from climbwright.air import standard
from climbwright.arrays import Floats, Numbers
from climbwright.roots import find_root

__all__ = ["standard_ceiling"]

_THINNEST, _DENSEST = (
    float(standard.density(altitude) / standard.SEA_LEVEL_DENSITY) for altitude in (standard.HIGHEST, standard.LOWEST)
)
_CLOSE = 1e-11  # of a density ratio: less than a micrometre of height


def standard_ceiling(best_rate: Callable[[Floats], Floats], rate: Numbers) -> Floats:
    """Density ratio at which the best rate of climb has fallen to a rate in the standard atmosphere. [-]

    Parameters
    ----------
    best_rate : callable
        Best rate of climb [m/s] in standard air of a density ratio, rising with it. It takes an array of the shape of
        the answer and gives one of the same shape; what it gives for floats sets that shape, together with `rate`.
    rate : array_like
        Rate of climb that is left at the ceiling, 0 for the absolute one. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Density ratio; nan where that rate is still climbed at 32 km, or not even reached at -5 km. [-]

    Notes
    -----
    Several rates along an axis of their own cost hardly more than one.

    Examples
    --------
    >>> float(standard_ceiling(lambda sigma: 5.0 * sigma - 3.0, 0.0))
    0.6000
    """
    left = np.asarray(rate, dtype=float)
    return find_root(lambda sigma: best_rate(sigma) - left, _THINNEST, _DENSEST, _CLOSE)
