r"""Momentum theory of the propeller: what a disc of that size could make of the power at best.

The air comes at the disc with the true airspeed V, goes through it with u = V + w, and keeps twice w behind it. The
power is P = T u, and the thrust is T = 2 rho A u w: what does not drive the aeroplane stays in the stream as T w.

References
----------
.. [1] H. Glauert, in W. F. Durand (ed.), *Aerodynamic Theory*, vol. IV, 1935: momentum theory of the actuator disc.
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["disc_term", "ideal_efficiency", "induced_speed", "momentum_thrust", "shaft_power_for", "through_disc"]

_STILL = 1e-110  # stands in for the induced speed of no power [m/s]
_SLOW = 1e-16  # airspeed over induced speed, below which standing still is the same number [-]


def disc_term(diameter: Numbers, density: Numbers) -> Floats:
    """2 rho A of the propeller's disc. [kg/m]

    Parameters
    ----------
    diameter : array_like
        Propeller diameter. [m]
    density : array_like
        Air density. [kg/m³]
    """
    d, rho = floats(diameter, density)
    return scalar_if_0d(0.5 * np.pi * rho * d**2)


def through_disc(power: Numbers, disc: Numbers, true: Numbers) -> tuple[Floats, Floats, Floats]:
    """Thrust of a loss-free disc, the air's speed through it, and the part of that which the disc induces.

    Parameters
    ----------
    power : array_like
        Power put into the air, not negative. [W]
    disc : array_like
        2 rho A, from `disc_term`. [kg/m]
    true : array_like
        True airspeed; below zero the thrust is that of standing still. [m/s]

    Returns
    -------
    tuple of numpy.float64 or numpy.ndarray
        T [N], u [m/s], w [m/s]; without power T and w are zero.

    Notes
    -----
    With the induced speed w0 of standing still, w0³ = P/(2 rho A), the thrust over its static value is the root of
    y³ + (V/w0) y - 1 = 0, u = w0/y and w = w0 y². By sinh it is good to 1e-14 at every speed; Cardano's roots cancel.
    """
    P, two_rho_A, v = floats(power, disc, true)
    w0 = np.maximum(np.cbrt(P / two_rho_A), _STILL)
    root = np.sqrt(np.maximum(v / w0, _SLOW) / 3.0)
    y = 2.0 * root * np.sinh(np.arcsinh(0.5 / (root * root * root)) / 3.0)
    return scalar_if_0d(P * y / w0), scalar_if_0d(w0 / y), scalar_if_0d(w0 * y**2)  # [1]


def momentum_thrust(power: Numbers, diameter: Numbers, density: Numbers, true: Numbers) -> Floats:
    """Thrust of a loss-free propeller, which none exceeds: P = T (V/2 + sqrt(V²/4 + T/(2 rho A))). [N]

    Parameters
    ----------
    power : array_like
        Shaft power, not negative. [W]
    diameter : array_like
        Propeller diameter. [m]
    density : array_like
        Air density. [kg/m³]
    true : array_like
        True airspeed; below zero the thrust is that of standing still. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Thrust. [N]

    Examples
    --------
    >>> float(momentum_thrust(160 * 745.699872, 74 * 0.0254, 1.225, 0.0))
    4591.1
    """
    return through_disc(power, disc_term(diameter, density), true)[0]


def induced_speed(thrust: Numbers, diameter: Numbers, density: Numbers, true: Numbers) -> Floats:
    """Speed that a disc adds to the air on its way through: T = 2 rho A (V + w) w. [m/s]

    Parameters
    ----------
    thrust : array_like
        Thrust, not negative. [N]
    diameter : array_like
        Propeller diameter. [m]
    density : array_like
        Air density. [kg/m³]
    true : array_like
        True airspeed. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Induced speed, nan for no thrust standing still. [m/s]
    """
    t, v = floats(thrust, true)
    per_disc = t / disc_term(diameter, density)
    with np.errstate(invalid="ignore"):
        return scalar_if_0d(per_disc / (0.5 * v + np.sqrt(0.25 * v**2 + per_disc)))  # [1]


def shaft_power_for(thrust: Numbers, diameter: Numbers, density: Numbers, true: Numbers) -> Floats:
    """Least shaft power that makes a thrust: the inverse of `momentum_thrust`. [W]

    Parameters
    ----------
    thrust : array_like
        Thrust, not negative. [N]
    diameter : array_like
        Propeller diameter. [m]
    density : array_like
        Air density. [kg/m³]
    true : array_like
        True airspeed. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Power. [W]
    """
    t, v = floats(thrust, true)
    return scalar_if_0d(t * (0.5 * v + np.sqrt(0.25 * v**2 + t / disc_term(diameter, density))))  # [1]


def ideal_efficiency(thrust_coefficient: Numbers) -> Floats:
    """Thrust power over shaft power of a loss-free propeller. [-]

    Parameters
    ----------
    thrust_coefficient : array_like
        Thrust over dynamic pressure and disc area, infinite standing still. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Efficiency. [-]

    Examples
    --------
    >>> float(ideal_efficiency(3.0))
    0.6667
    """
    return scalar_if_0d(2.0 / (1.0 + np.sqrt(1.0 + np.asarray(thrust_coefficient, dtype=float))))  # [1]
