"""The mean aerodynamic chord of a straight-tapered wing, and where it lies.

References
----------
.. [1] D. P. Raymer, *Aircraft Design: A Conceptual Approach*, AIAA, ch. 4 and 7: mean chord of a trapezoidal wing and
   its place along the span (the formulas seen in a quotation of the book).
.. [2] J. D. Anderson, *Aircraft Performance and Design*, McGraw-Hill, 1999: the mean aerodynamic chord is the integral
   of the chord squared over the area (from memory).
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["AERODYNAMIC_CENTRE", "mean_chord", "mean_chord_arm"]

AERODYNAMIC_CENTRE = 0.25  # of the mean chord; common practice, no source


def mean_chord(root_chord: Numbers, tip_chord: Numbers) -> Floats:
    """Mean aerodynamic chord of a straight-tapered wing. [m]

    Parameters
    ----------
    root_chord : array_like
        Chord on the centre line, the edges carried through the fuselage. [m]
    tip_chord : array_like
        Chord at the tip, 0 for a pointed one. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Chord, of the broadcast shape; sweep does not change it. [m]

    Examples
    --------
    >>> round(float(mean_chord(1.6, 1.0)), 4)
    1.3231
    """
    root, tip = floats(root_chord, tip_chord)
    taper = tip / root
    return scalar_if_0d(2.0 / 3.0 * root * (1.0 + taper + taper**2) / (1.0 + taper))  # [1]


def mean_chord_arm(
    span: Numbers,
    root_chord: Numbers,
    tip_chord: Numbers,
    leading_edge_sweep: Numbers,
    root_leading_edge_arm: Numbers,
) -> Floats:
    """Arm of the leading edge of the mean aerodynamic chord of a straight-tapered wing. [m]

    Parameters
    ----------
    span : array_like
        Tip to tip. [m]
    root_chord, tip_chord : array_like
        As `mean_chord`. [m]
    leading_edge_sweep : array_like
        Sweep of the leading edge, positive for tips that lie aft. [rad]
    root_leading_edge_arm : array_like
        Arm of the leading edge on the centre line. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Arm, of the broadcast shape. [m]

    Examples
    --------
    >>> import math
    >>> round(float(mean_chord_arm(9.6, 1.6, 1.0, math.radians(5.0), 0.2)), 4)
    0.3938
    """
    b, root, tip, sweep, arm = floats(span, root_chord, tip_chord, leading_edge_sweep, root_leading_edge_arm)
    taper = tip / root
    outboard = b / 6.0 * (1.0 + 2.0 * taper) / (1.0 + taper)  # [1]
    return scalar_if_0d(arm + outboard * np.tan(sweep))
