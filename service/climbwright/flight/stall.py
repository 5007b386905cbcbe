"""Stall speeds, power off: by weight, load factor, lift gain and where the CG is.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 5: stall speed from the lift equation.
.. [2] C. D. Perkins and R. E. Hage, *Airplane Performance, Stability and Control*, Wiley, 1949: the load on the tail
   from the balance of moments (no published worked example found).
"""

import numpy as np

from climbwright.air.standard import GRAVITY, SEA_LEVEL_DENSITY
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = [
    "allowed_load_factor",
    "load_factor",
    "manoeuvring_speed",
    "scaled_stall_speed",
    "stall_speed",
    "wing_load_ratio",
]


def load_factor(bank: Numbers) -> Floats:
    """Lift over weight in a level turn. [-]

    Parameters
    ----------
    bank : array_like
        Bank angle below a quarter turn. [rad]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Load factor. [-]

    Examples
    --------
    >>> import math
    >>> round(float(load_factor(math.radians(60.0))), 3)
    2.0
    """
    return scalar_if_0d(1.0 / np.cos(np.asarray(bank, dtype=float)))


def stall_speed(
    mass: Numbers,
    wing_area: Numbers,
    maximum_lift_coefficient: Numbers,
    load_factor: Numbers = 1.0,
    lift_gain: Numbers = 0.0,
) -> Floats:
    """Equivalent airspeed at which the wing can no longer carry the load. [m/s]

    Parameters
    ----------
    mass : array_like
        Mass. [kg]
    wing_area : array_like
        Area the lift coefficient is based on. [m²]
    maximum_lift_coefficient : array_like
        Of the whole aeroplane in this configuration. [-]
    load_factor : array_like
        Lift over weight. [-]
    lift_gain : array_like
        Gain of the greatest lift coefficient, 0.1 for ten percent more. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Equivalent airspeed. [m/s]

    Examples
    --------
    >>> round(float(stall_speed(749.9, 12.0, 1.5)), 1)
    25.8
    """
    m, s, cl, n, gain = floats(mass, wing_area, maximum_lift_coefficient, load_factor, lift_gain)
    return scalar_if_0d(np.sqrt(2.0 * n * m * GRAVITY / (SEA_LEVEL_DENSITY * s * cl * (1.0 + gain))))  # [1]


def scaled_stall_speed(
    reference_speed: Numbers,
    reference_mass: Numbers,
    mass: Numbers,
    load_factor: Numbers = 1.0,
    lift_gain: Numbers = 0.0,
    wing_load_ratio: Numbers = 1.0,
) -> Floats:
    """Equivalent stall speed carried over from one that was flown. [m/s]

    Parameters
    ----------
    reference_speed : array_like
        Stall speed flown, calibrated, near sea level equal to equivalent. [m/s]
    reference_mass : array_like
        Mass it was flown at. [kg]
    mass : array_like
        Mass now. [kg]
    load_factor : array_like
        Lift over weight. [-]
    lift_gain : array_like
        Gain of the greatest lift coefficient. [-]
    wing_load_ratio : array_like
        The wing's share of the load now over its share then, from `wing_load_ratio`. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Equivalent airspeed. [m/s]

    Examples
    --------
    >>> float(scaled_stall_speed(20.0, 400.0, 1600.0))
    40.0
    """
    v, m0, m, n, gain, ratio = floats(reference_speed, reference_mass, mass, load_factor, lift_gain, wing_load_ratio)
    return scalar_if_0d(v * np.sqrt(n * m * ratio / (m0 * (1.0 + gain))))


def wing_load_ratio(arm: Numbers, reference_arm: Numbers, aerodynamic_centre: Numbers, tail_arm: Numbers) -> Floats:
    """Wing lift over weight at this CG, over the same at the CG of the reference stall. [-]

    Parameters
    ----------
    arm : array_like
        Arm of the CG. [m]
    reference_arm : array_like
        Arm of the CG at which the reference stall was flown. [m]
    aerodynamic_centre : array_like
        Arm of the wing's aerodynamic centre. [m]
    tail_arm : array_like
        Distance from there to the tail's. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Above 1 with the CG further forward than in the reference stall: the tail pushes down more. [-]
    """
    x, x_test, x_ac, tail = floats(arm, reference_arm, aerodynamic_centre, tail_arm)
    return scalar_if_0d((tail + x_ac - x) / (tail + x_ac - x_test))  # [2], both sides times the tail's distance


def manoeuvring_speed(stall: Numbers, load_factor: Numbers) -> Floats:
    """Speed below which the wing stalls before it reaches a load factor. [m/s]

    Parameters
    ----------
    stall : array_like
        Stall speed, wings level, at this weight. [m/s]
    load_factor : array_like
        Limit load factor at this weight. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        In the same kind of airspeed as the stall speed. [m/s]

    Examples
    --------
    >>> float(manoeuvring_speed(50.0, 4.0))
    100.0
    """
    v, n = floats(stall, load_factor)
    return scalar_if_0d(v * np.sqrt(n))  # [1]


def allowed_load_factor(mass: Numbers, load_factor: Numbers, shown_mass: Numbers) -> Floats:
    """Limit load factor left at a mass, for a structure shown at another. [-]

    Parameters
    ----------
    mass : array_like
        Mass now. [kg]
    load_factor : array_like
        Limit load factor shown. [-]
    shown_mass : array_like
        Mass at which it was shown. [kg]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Never above the one that was shown: lighter, the same structure still has fixed parts to carry. [-]
    """
    m, n, m0 = floats(mass, load_factor, shown_mass)
    return scalar_if_0d(n * np.minimum(m0 / m, 1.0))
