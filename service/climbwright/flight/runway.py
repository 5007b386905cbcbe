r"""On the runway and over the obstacle at its end: take-off, landing, and a take-off that is given up.

On the ground thrust, drag and lift go with the square of the airspeed u, so that du/dt = a + c |u|u [1]_. Distance and
time between two airspeeds are then a logarithm and an arc tangent, written below as differences that lose no digits
where c is nearly zero. The wind carries the air along: a run over the ground is the run through the air less headwind
times time, and it begins at an airspeed that is the headwind, from behind where that is negative.

Angles and slopes are small: a distance along the path counts as one along the ground, and the wheels carry the whole
weight on a slope. A headwind is positive, an uphill slope is positive; both may be negative.

References
----------
.. [1] D. P. Raymer, *Aircraft Design: A Conceptual Approach*, AIAA, sec. 17.8 and 17.9, eq. (17.102) to (17.104) and
   (17.112): ground roll, rotation of one second, approach, flare along an arc, free roll and braking.
.. [2] J. D. Anderson, *Introduction to Flight*, ch. 6: forces of the ground roll and the ground-effect factor.
"""

from dataclasses import dataclass

import numpy as np

from climbwright.air.standard import GRAVITY
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d
from climbwright.flight.drag import Airframe

__all__ = [
    "Roll",
    "accelerate_stop_distance",
    "airborne_distance",
    "approach_distance",
    "ground_effect_factor",
    "landing_roll",
    "roll_terms",
    "steady_distance",
    "takeoff_roll",
    "wind_components",
]


@dataclass(frozen=True)
class Roll:
    """How airspeed changes while rolling, du/dt = a + c |u|u; both fields are floats or arrays, and they broadcast.

    Parameters
    ----------
    a : array_like
        Acceleration where the air stands still past the aeroplane. [m/s²]
    c : array_like
        Its change with the square of the airspeed. [1/m]

    Notes
    -----
    Where the air comes from behind, drag pushes, and thrust and lift are carried on with the same sign: that is no more
    than a word about the first metres of a take-off with a tailwind, or the last of a landing.

    Between two airspeeds the acceleration only rises or only falls, so that its values at both ends tell all. A nan
    distance has one of two reasons, which `acceleration` tells apart: not above zero at the headwind, the aeroplane
    does not move; not above zero at the lift-off speed, it never reaches it. Braking, not below zero at the headwind:
    it does not stop.
    """

    a: Number
    c: Number

    def acceleration(self, airspeed: Numbers) -> Floats:
        """Change of airspeed with time. [m/s²]

        Parameters
        ----------
        airspeed : array_like
            True airspeed, negative where the air comes from behind. [m/s]
        """
        a, c, u = floats(self.a, self.c, airspeed)
        return scalar_if_0d(a + c * np.abs(u) * u)

    def duration(self, start: Numbers, end: Numbers) -> Floats:
        """Time from one airspeed to another, nan where the other is not reached. [s]

        Parameters
        ----------
        start, end : array_like
            True airspeeds, negative where the air comes from behind. [m/s]
        """
        return scalar_if_0d(self._between(*floats(start, end))[0])

    def distance(self, start: Numbers, end: Numbers, headwind: Numbers = 0.0) -> Floats:
        """Distance over the ground from one airspeed to another, nan where the other is not reached. [m]

        Parameters
        ----------
        start, end : array_like
            True airspeeds, neither below the headwind. [m/s]
        headwind : array_like
            Wind against the roll, negative from behind. [m/s]
        """
        u1, u2, wind = floats(start, end, headwind)
        time, air = self._between(u1, u2)
        return scalar_if_0d(np.maximum(air - wind * time, 0.0))  # rounding alone would put it below zero

    def _between(self, u1: Floats, u2: Floats) -> tuple[Floats, Floats]:
        """Time and distance through the air between two airspeeds, both nan where the second is not reached."""
        a, c = floats(self.a, self.c)
        with np.errstate(divide="ignore", invalid="ignore"):
            if np.count_nonzero(np.minimum(u1, u2) < 0.0):
                # Drag turns round with the air: two stretches. One of no length is nothing, also where a is zero
                behind = _stretch(a, -c, np.minimum(u1, 0.0), np.minimum(u2, 0.0))
                ahead = _stretch(a, c, np.maximum(u1, 0.0), np.maximum(u2, 0.0))
                time, air = (_number(x) + _number(y) for x, y in zip(behind, ahead, strict=True))
            else:
                time, air = _stretch(a, c, u1, u2)
        change = u2 - u1
        first, last = change * (a + c * np.abs(u1) * u1), change * (a + c * np.abs(u2) * u2)
        reached = (first > 0.0) & (last > 0.0)
        otherwise = np.where(change == 0.0, 0.0, np.nan)
        return np.where(reached, time, otherwise), np.where(reached, air, otherwise)


def _number(values: Floats) -> Floats:
    return np.where(np.isnan(values), 0.0, values)


def _stretch(a: Floats, c: Floats, u1: Floats, u2: Floats) -> tuple[Floats, Floats]:
    """Time and distance through the air between two airspeeds of one sign, with du/dt = a + c u² all the way.

    Both are what a steady acceleration would give, times a ratio that is 1 at c = 0: log(1 + x)/x for the distance,
    atan(z)/z or atanh(z)/z for the time. The differences of logarithms and arc tangents are taken inside them.
    """
    change = u2 - u1
    even = 0.5 * change * (u1 + u2) / (a + c * u1 * u1)
    x = 2.0 * c * even
    air = even * np.where(x == 0.0, 1.0, np.log1p(x) / x)  # [1]
    even = change / (a + c * u1 * u2)
    square = a * c * even * even
    z = np.sqrt(np.abs(square))
    time = even * np.where(z == 0.0, 1.0, np.where(square < 0.0, np.arctanh(z), np.arctan(z)) / z)
    return time, air


def ground_effect_factor(height: Numbers, span: Numbers) -> Floats:
    """Induced drag near the ground over induced drag in free air. [-]

    Parameters
    ----------
    height : array_like
        Of the wing above the ground. [m]
    span : array_like
        Wing span. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        From 0 on the ground to 1 far above it. [-]

    Examples
    --------
    >>> float(ground_effect_factor(4.0, 33.5))
    0.785
    """
    h, b = floats(height, span)
    square = (16.0 * h / b) ** 2
    return scalar_if_0d(square / (1.0 + square))  # [2]


def roll_terms(
    airframe: Airframe,
    wing_area: Numbers,
    lift_coefficient: Numbers,
    wing_height: Numbers,
    density: Numbers,
    friction: Numbers,
    slope: Numbers = 0.0,
    static_thrust: Numbers = 0.0,
    thrust_change: Numbers = 0.0,
) -> Roll:
    """What thrust, drag, friction and slope make of the airspeed while rolling, with or without brakes.

    Parameters
    ----------
    airframe : Airframe
        Weight, parasite area, span and span efficiency.
    wing_area : array_like
        Area the lift coefficient is based on. [m²]
    lift_coefficient : array_like
        While rolling; below the one at lift-off, or the wheels would carry less than nothing before it. [-]
    wing_height : array_like
        Of the wing above the ground. [m]
    density : array_like
        Air density. [kg/m³]
    friction : array_like
        Of the wheels, free or braked, over what weighs on them. [-]
    slope : array_like
        Rise over run, positive uphill. [-]
    static_thrust : array_like
        E of the thrust E + F u² in this air. [N]
    thrust_change : array_like
        F of it, negative. [N s²/m²]

    Returns
    -------
    Roll
        Terms of du/dt = a + c |u|u.
    """
    s, cl, rho, mu, tan, E, F = floats(
        wing_area, lift_coefficient, density, friction, slope, static_thrust, thrust_change
    )
    w, f, b, e = floats(airframe.weight, airframe.parasite_area, airframe.span, airframe.span_efficiency)
    lift_area = s * cl
    drag_area = f + ground_effect_factor(wing_height, b) * lift_area**2 / (np.pi * e * b**2)  # [2]
    a = GRAVITY * (E / w - mu - tan)  # [1]
    c = GRAVITY * (F - 0.5 * rho * (drag_area - mu * lift_area)) / w
    return Roll(scalar_if_0d(a), scalar_if_0d(c))


def steady_distance(true: Numbers, duration: Numbers, headwind: Numbers = 0.0) -> Floats:
    """Distance over the ground at a steady airspeed: a rotation, a free roll, a moment of reaction. [m]

    Parameters
    ----------
    true : array_like
        True airspeed. [m/s]
    duration : array_like
        Time. [s]
    headwind : array_like
        Wind against the roll, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Nothing where the wind is as fast. [m]
    """
    v, t, w = floats(true, duration, headwind)
    return scalar_if_0d(np.maximum(v - w, 0.0) * t)


def takeoff_roll(roll: Roll, speed: Numbers, headwind: Numbers = 0.0, start: Numbers | None = None) -> Floats:
    """Distance over the ground from standstill to an airspeed. [m]

    Parameters
    ----------
    roll : Roll
        Terms of the take-off.
    speed : array_like
        True airspeed of lift-off, or any part of it for the distance at which that part has to be there. [m/s]
    headwind : array_like
        Wind against the roll, negative from behind. [m/s]
    start : array_like, optional
        True airspeed to begin with, where the aeroplane rolls already; the headwind if not given. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Nothing where the headwind is as fast; nan where the aeroplane does not move or does not get there, which
        `Roll.acceleration` at the headwind and at the speed tells apart. [m]
    """
    v, w = floats(speed, headwind)
    begin = w if start is None else np.maximum(np.asarray(start, dtype=float), w)
    return roll.distance(begin, np.maximum(v, begin), w)


def airborne_distance(
    excess_thrust: Numbers,
    weight: Numbers,
    lift_off_speed: Numbers,
    obstacle_speed: Numbers,
    obstacle_height: Numbers,
    headwind: Numbers = 0.0,
    slope: Numbers = 0.0,
    rotation_time: Numbers = 1.0,
) -> Floats:
    """Distance over the ground from the end of the roll to the obstacle: rotation, then a climb by energy. [m]

    Parameters
    ----------
    excess_thrust : array_like
        Thrust less drag at the mean of both speeds. [N]
    weight : array_like
        Weight. [N]
    lift_off_speed, obstacle_speed : array_like
        True airspeeds at lift-off and over the obstacle. [m/s]
    obstacle_height : array_like
        Height above the ground at the obstacle that is to be reached. [m]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]
    slope : array_like
        Rise over run of the ground below, positive uphill. [-]
    rotation_time : array_like
        Time from lift-off speed to leaving the ground. [s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Distance, nan where the ground rises as steeply as the aeroplane or it does not climb at all. [m]

    Notes
    -----
    Excess thrust times the way through the air is weight times the height gained, that of the ground included, and
    the gain of kinetic energy. The way over the ground is shorter by the wind, and so is the rise of the ground.
    """
    excess, w, v1, v2, h, wind, tan = floats(
        excess_thrust, weight, lift_off_speed, obstacle_speed, obstacle_height, headwind, slope
    )
    over_ground = np.maximum(1.0 - 2.0 * wind / (v1 + v2), 0.0)
    energy = np.maximum(h + (v2 - v1) * (v2 + v1) / (2.0 * GRAVITY), 0.0)
    gradient = excess / w - tan * over_ground
    with np.errstate(divide="ignore", invalid="ignore"):
        climb = np.where(gradient > 0.0, over_ground * energy / gradient, np.nan)
    return scalar_if_0d(climb + steady_distance(v1, rotation_time, wind))


def accelerate_stop_distance(
    rolled: Numbers, braking: Roll, speed: Numbers, reaction_time: Numbers, headwind: Numbers = 0.0
) -> Floats:
    """Distance over the ground of a take-off that is given up at a speed. [m]

    Parameters
    ----------
    rolled : array_like
        Distance over the ground of the take-off to that speed. [m]
    braking : Roll
        Terms with the throttle closed and brakes on.
    speed : array_like
        True airspeed at which it is given up. [m/s]
    reaction_time : array_like
        Time at that speed before the brakes bite. [s]
    headwind : array_like
        Wind against the roll, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Distance, nan where the speed is not reached or the aeroplane does not stop. [m]
    """
    return np.add(rolled, landing_roll(braking, speed, reaction_time, headwind))


def landing_roll(braking: Roll, touchdown_speed: Numbers, free_roll_time: Numbers, headwind: Numbers = 0.0) -> Floats:
    """Distance over the ground from touchdown to standstill: a free roll, then the brakes. [m]

    Parameters
    ----------
    braking : Roll
        Terms with brakes on.
    touchdown_speed : array_like
        True airspeed. [m/s]
    free_roll_time : array_like
        Time at that speed before the brakes bite. [s]
    headwind : array_like
        Wind against the roll, negative from behind. [m/s]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Distance, nan where the brakes do not hold the aeroplane on the slope. [m]
    """
    v, w = floats(touchdown_speed, headwind)
    return scalar_if_0d(steady_distance(v, free_roll_time, w) + braking.distance(np.maximum(v, w), w, w))


def approach_distance(
    obstacle_height: Numbers,
    approach_speed: Numbers,
    touchdown_speed: Numbers,
    descent_angle: Numbers,
    load_factor_increment: Numbers,
    headwind: Numbers = 0.0,
    slope: Numbers = 0.0,
) -> Floats:
    """Distance over the ground from the obstacle to touchdown: a straight descent, then a flare along an arc. [m]

    Parameters
    ----------
    obstacle_height : array_like
        Height above the ground at which the descent begins; within the flare if it is lower. [m]
    approach_speed, touchdown_speed : array_like
        True airspeeds; the flare takes their mean. [m/s]
    descent_angle : array_like
        Of the descent through the air, below the horizontal. [rad]
    load_factor_increment : array_like
        Load factor in the flare less 1, above zero. [-]
    headwind : array_like
        Wind against the flight, negative from behind. [m/s]
    slope : array_like
        Rise over run of the ground below, positive uphill. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Distance, nan where the ground falls away as steeply as the aeroplane descends. [m]
    """
    h, v1, v2, angle, dn, wind, tan = floats(
        obstacle_height, approach_speed, touchdown_speed, descent_angle, load_factor_increment, headwind, slope
    )
    mean = 0.5 * (v1 + v2)
    over_ground = np.maximum(1.0 - wind / v1, 0.0)
    gradient = np.tan(angle) + tan * over_ground  # towards the ground below, per distance through the air
    radius = mean**2 / (GRAVITY * dn)  # [1]
    slant = np.sqrt(1.0 + gradient**2)
    in_flare = np.minimum(h, radius * gradient**2 / (slant * (1.0 + slant)))  # [1] R (1 - cos), no digits lost
    flare = np.sqrt(in_flare * (2.0 * radius - in_flare)) * np.maximum(1.0 - wind / mean, 0.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        descent = np.where(gradient > 0.0, over_ground * (h - in_flare) / gradient, np.nan)
    return scalar_if_0d(descent + flare)


def wind_components(direction: Numbers, speed: Numbers, heading: Numbers) -> tuple[Floats, Floats]:
    """Headwind and crosswind on a runway. [m/s]

    Parameters
    ----------
    direction : array_like
        Where the wind comes from. [rad]
    speed : array_like
        Wind speed. [m/s]
    heading : array_like
        Of the runway, by the same north. [rad]

    Returns
    -------
    tuple of numpy.float64 or numpy.ndarray
        Headwind, negative from behind, and crosswind, positive from the right. [m/s]

    Examples
    --------
    >>> import math
    >>> [round(float(part), 1) for part in wind_components(math.radians(220.0), 30.0, math.radians(180.0))]
    [23.0, 19.3]
    """
    where, v, runway = floats(direction, speed, heading)
    angle = where - runway
    return scalar_if_0d(v * np.cos(angle)), scalar_if_0d(v * np.sin(angle))
