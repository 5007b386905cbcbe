"""How fast engine and propeller turn, how fast the tips move, and the most thrust a disc can give standing still.

References
----------
.. [1] H. Glauert, in W. F. Durand (ed.), *Aerodynamic Theory*, vol. IV, 1935: momentum theory of the actuator disc.
"""

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["helical_tip_mach", "ideal_static_thrust", "rotational_speed"]


def rotational_speed(
    true: Numbers,
    static_speed: Numbers,
    rated_speed: Numbers,
    rated_airspeed: Numbers,
    power_ratio: Numbers = 1.0,
    density_ratio: Numbers = 1.0,
) -> Floats:
    """Engine speed at full throttle with a propeller of fixed pitch. [rad/s]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    static_speed : array_like
        Engine speed standing still at sea level. [rad/s]
    rated_speed : array_like
        Engine speed of the rated power. [rad/s]
    rated_airspeed : array_like
        True airspeed at sea level at which rated speed is reached. [m/s]
    power_ratio, density_ratio : array_like
        Engine power and density over their values at standard sea level. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Engine speed. [rad/s]

    Notes
    -----
    Follows from torque that does not depend on speed and a power coefficient linear in the square of the advance
    ratio (derived from the linear propeller polar; no published worked example).
    """
    v, ns, nr, vr, phi, sigma = floats(true, static_speed, rated_speed, rated_airspeed, power_ratio, density_ratio)
    return scalar_if_0d(np.sqrt(ns**2 * phi / sigma + (nr**2 - ns**2) * (v / vr) ** 2))


def helical_tip_mach(true: Numbers, rotational_speed: Numbers, diameter: Numbers, speed_of_sound: Numbers) -> Floats:
    """Mach number of the propeller's tips on their helical path. [-]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    rotational_speed : array_like
        Of the propeller, after any reduction gear. [rad/s]
    diameter : array_like
        Propeller diameter. [m]
    speed_of_sound : array_like
        In this air. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Mach number. [-]
    """
    v, n, d, a = floats(true, rotational_speed, diameter, speed_of_sound)
    return scalar_if_0d(np.hypot(v, 0.5 * n * d) / a)


def ideal_static_thrust(power: Numbers, diameter: Numbers, density: Numbers) -> Floats:
    """Thrust of a loss-free propeller standing still, which none exceeds. [N]

    Parameters
    ----------
    power : array_like
        Shaft power. [W]
    diameter : array_like
        Propeller diameter. [m]
    density : array_like
        Air density. [kg/m³]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Thrust. [N]

    Examples
    --------
    >>> float(ideal_static_thrust(160 * 745.699872, 74 * 0.0254, 1.225))
    4591.1
    """
    p, d, rho = floats(power, diameter, density)
    return scalar_if_0d(np.cbrt(2.0 * rho * (0.25 * np.pi * d**2) * p**2))  # [1]
