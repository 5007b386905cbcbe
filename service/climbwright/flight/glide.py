"""Gliding: the flattest glide, the least sink, and what a turn costs.

Lift is taken equal to weight, which at five degrees of glide is right to half a percent.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 6: gliding flight; the best lift over drag and the least power.
.. [2] FAA-H-8083-25, *Pilot's Handbook of Aeronautical Knowledge*, ch. 5: radius and rate of turn.
"""

import numpy as np

from climbwright.air.standard import GRAVITY
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d
from climbwright.flight.drag import Airframe
from climbwright.flight.level import longest_range_speed

__all__ = ["best_glide_speed", "glide_ratio", "least_sink_speed", "sink_rate", "turn_radius", "turn_time"]


def best_glide_speed(airframe: Airframe, density: Numbers, headwind: Numbers = 0.0) -> Floats:
    """True airspeed of the flattest glide over the ground, without a floor. [m/s]

    Parameters
    ----------
    airframe : Airframe
        Weight and drag, the idling or stopped propeller counted.
    density : array_like
        Air density. [kg/m³]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        In still air the speed of the best lift over drag. [m/s]
    """
    return longest_range_speed(_equal_terms(airframe, density), headwind, linear=2.0, constant=1.0)


def least_sink_speed(airframe: Airframe, density: Numbers) -> Floats:
    """True airspeed of the least rate of sink, without a floor. [m/s]

    Parameters
    ----------
    airframe : Airframe
        Weight and drag, the idling or stopped propeller counted.
    density : array_like
        Air density. [kg/m³]
    """
    return scalar_if_0d(_equal_terms(airframe, density) * (1.0 / 3.0) ** 0.25)  # [1]


def _equal_terms(airframe: Airframe, density: Numbers) -> Floats:
    rho = np.asarray(density, dtype=float)
    return np.sqrt(np.sqrt(2.0 * airframe.induced_term(rho) / (rho * airframe.parasite_area)))


def sink_rate(airframe: Airframe, density: Numbers, true: Numbers) -> Floats:
    """Rate of sink without power. [m/s]

    Parameters
    ----------
    airframe : Airframe
        Weight, drag, and the load factor of a turn.
    density : array_like
        Air density. [kg/m³]
    true : array_like
        True airspeed. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Positive downwards. [m/s]
    """
    v = np.asarray(true, dtype=float)
    return scalar_if_0d(airframe.drag(v, density) * v / airframe.weight)  # [1]


def glide_ratio(sink: Numbers, true: Numbers, headwind: Numbers = 0.0) -> Floats:
    """Distance over the ground for each unit of height. [-]

    Parameters
    ----------
    sink : array_like
        Rate of sink. [m/s]
    true : array_like
        True airspeed. [m/s]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Nan where the wind lets the glider make no way. [-]
    """
    s, v, w = floats(sink, true, headwind)
    return scalar_if_0d(np.where(v > w, (v - w) / s, np.nan))


def turn_radius(true: Numbers, bank: Numbers) -> Floats:
    """Radius of a level or gently gliding turn. [m]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    bank : array_like
        Bank angle above zero. [rad]

    Examples
    --------
    >>> import math
    >>> round(float(turn_radius(51.444444, math.radians(30.0))), 0)
    467.0
    """
    v, phi = floats(true, bank)
    return scalar_if_0d(v**2 / (GRAVITY * np.tan(phi)))  # [2]


def turn_time(true: Numbers, bank: Numbers, angle: Numbers) -> Floats:
    """Time to turn through an angle. [s]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    bank : array_like
        Bank angle above zero. [rad]
    angle : array_like
        Change of heading. [rad]
    """
    v, phi, turned = floats(true, bank, angle)
    return scalar_if_0d(v * turned / (GRAVITY * np.tan(phi)))  # [2]
