"""True airspeed and wind from ground speeds on three or more legs, flown at one airspeed in one wind.

The ground velocity of a leg is its air velocity plus the wind: G = V h + w, with |h| = 1. The square of that is linear
in three combinations of airspeed and wind, whichever direction was noted, and so solved in closed form: exact for three
legs, a least squares for more.

References
----------
.. [1] D. Gray, *Using GPS to accurately establish True Airspeed*, 1998: the ends of the three ground velocities lie on
   a circle whose centre is the wind and whose radius is the true airspeed (seen as quoted by others).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.arrays import Floats, Numbers, scalar_if_0d

__all__ = ["WindTriangle", "from_headings", "from_tracks", "widest_three"]

_LEAST_LEGS = 3
_STRAIGHT = 1e-13  # of the points' spread across their line, squared: below it is rounding
_CALM = 1e-9  # wind over true airspeed: below it is rounding, which blows from nowhere


@dataclass(frozen=True, slots=True)
class WindTriangle:
    """What the legs have in common; all of the legs' broadcast shape.

    Parameters
    ----------
    true : numpy.float64 or numpy.ndarray
        True airspeed. [m/s]
    wind_speed : numpy.float64 or numpy.ndarray
        Wind speed. [m/s]
    wind_direction : numpy.float64 or numpy.ndarray
        Where it blows from, clockwise from the north of the legs, 0 to 2 pi; nan in a calm. [rad]
    residual : numpy.float64 or numpy.ndarray
        One standard deviation of a ground speed, as the legs disagree; nan with three legs, which fit exactly. [m/s]
    """

    true: Floats
    wind_speed: Floats
    wind_direction: Floats
    residual: Floats


def from_tracks(ground_speeds: Sequence[Numbers], tracks: Sequence[Numbers]) -> WindTriangle:
    """True airspeed and wind from the ground speed and the track of each leg.

    Parameters
    ----------
    ground_speeds : sequence of array_like
        Of each leg. [m/s]
    tracks : sequence of array_like
        Direction of each leg over the ground, clockwise from north. [rad]

    Returns
    -------
    WindTriangle
        All nan where the ends of the ground velocities lie on a straight line, as they do with fewer than three tracks
        or in a wind without an airspeed.

    Raises
    ------
    ValueError
        Fewer than three legs, or not a track for each ground speed.

    Notes
    -----
    Three legs: the circle through three points [1]. More: the circle with the least sum of the squares of the points'
    squared distances from it, which is the least squares of the airspeeds to the second order of what is left over.

    Examples
    --------
    >>> import numpy as np
    >>> found = from_tracks([140.0, 112.0, 120.0], np.radians([192.0, 283.0, 20.0]))
    >>> round(float(found.true), 1), round(float(found.wind_speed), 1)
    (130.0, 20.6)
    """
    g, track = _of_legs(ground_speeds, tracks)
    east, north = g * np.sin(track), g * np.cos(track)
    weight = np.full(g.shape[-1], 1.0 / g.shape[-1])
    # |G - w| = V, so |G|^2 = 2 G.w + V^2 - w^2
    a, b, _ = _plane(east, north, g**2, weight)
    wind_east, wind_north = 0.5 * a, 0.5 * b
    airspeeds = np.hypot(east - wind_east[..., None], north - wind_north[..., None])
    true = np.sqrt(np.sum(weight * airspeeds**2, axis=-1))  # what the constant says too, without its cancellation
    return _triangle(true, wind_east, wind_north, airspeeds - true[..., None])  # [1]


def from_headings(ground_speeds: Sequence[Numbers], headings: Sequence[Numbers]) -> WindTriangle:
    """True airspeed and wind from the ground speed and the heading of each leg.

    Parameters
    ----------
    ground_speeds : sequence of array_like
        Of each leg, above zero. [m/s]
    headings : sequence of array_like
        Direction of each leg through the air, clockwise from north. [rad]

    Returns
    -------
    WindTriangle
        All nan where no airspeed above the wind fits, or with fewer than three headings.

    Raises
    ------
    ValueError
        Fewer than three legs, or not a heading for each ground speed.

    Notes
    -----
    Airspeed and wind may change places without a change of any ground speed; of the two the greater is taken for the
    airspeed. More than three legs: least squares of the ground speeds, to the first order of what is left over.

    Examples
    --------
    >>> import numpy as np
    >>> found = from_headings([100.0, 80.0, np.sqrt(8200.0)], np.radians([0.0, 180.0, 90.0]))
    >>> round(float(found.true), 6), round(float(np.degrees(found.wind_direction)), 6)
    (90.0, 180.0)
    """
    g, heading = _of_legs(ground_speeds, headings)
    east, north = np.sin(heading), np.cos(heading)
    square = g**2
    weight = 1.0 / square  # a step of g is one of 2 g in g^2
    # |V h + w| = g, so g^2 = 2 V (h.w) + V^2 + w^2
    a, b, c = _plane(east, north, square, weight / np.sum(weight, axis=-1, keepdims=True))
    size = np.hypot(a, b)
    with np.errstate(invalid="ignore"):  # no root is a documented answer
        # V + w and V - w are the ground speeds with the wind behind and ahead
        true = 0.5 * (np.sqrt(c + size) + np.sqrt(c - size))
    half = 0.5 / true
    wind_east, wind_north = a * half, b * half
    over_ground = np.hypot(
        true[..., None] * east + wind_east[..., None], true[..., None] * north + wind_north[..., None]
    )
    return _triangle(true, wind_east, wind_north, over_ground - g)


def widest_three(courses: Sequence[Numbers]) -> Floats:
    """The least angle between two of three legs, of the three legs that lie best. [rad]

    Parameters
    ----------
    courses : sequence of array_like
        Track or heading of each leg. [rad]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        At most a third of a turn; 0 where fewer than three courses differ. [rad]

    Raises
    ------
    ValueError
        Fewer than three legs.

    Examples
    --------
    >>> import math
    >>> round(math.degrees(widest_three([math.radians(course) for course in (0.0, 350.0, 120.0, 240.0)])), 6)
    120.0
    """
    (course,) = _of_legs(courses)
    three = course[..., _threes(course.shape[-1])]
    turn = np.abs(np.mod(three - three[..., [1, 2, 0]] + np.pi, 2.0 * np.pi) - np.pi)
    return scalar_if_0d(np.asarray(turn.min(axis=-1).max(axis=-1)))


@cache
def _threes(legs: int) -> NDArray[np.intp]:
    return np.array(list(combinations(range(legs), 3)))


def _of_legs(*numbers: Sequence[Numbers]) -> list[NDArray[np.float64]]:
    """Each leg's numbers side by side along a last axis."""
    count = len(numbers[0])
    if count < _LEAST_LEGS or any(len(each) != count for each in numbers):
        raise ValueError(f"at least {_LEAST_LEGS} legs are needed, each with its ground speed and its direction")
    every = np.broadcast_arrays(*(np.asarray(number, dtype=float) for each in numbers for number in each))
    return [np.stack(every[i : i + count], axis=-1) for i in range(0, len(every), count)]


def _plane(x: Any, y: Any, z: Any, weight: Any) -> tuple[Any, Any, Any]:
    """Weighted least squares of z = a x + b y + c along the last axis; the weights add up to one."""
    middle = [np.sum(weight * values, axis=-1, keepdims=True) for values in (x, y, z)]
    u, v, q = x - middle[0], y - middle[1], z - middle[2]  # about the middle, where rounding is least
    wu, wv = weight * u, weight * v
    uu, uv, vv = np.sum(wu * u, axis=-1), np.sum(wu * v, axis=-1), np.sum(wv * v, axis=-1)
    uq, vq = np.sum(wu * q, axis=-1), np.sum(wv * q, axis=-1)
    determinant = uu * vv - uv**2
    determinant = np.where(determinant > _STRAIGHT * (uu + vv) ** 2, determinant, np.nan)
    a, b = (vv * uq - uv * vq) / determinant, (uu * vq - uv * uq) / determinant
    return a, b, middle[2][..., 0] - a * middle[0][..., 0] - b * middle[1][..., 0]


def _triangle(true: Any, wind_east: Any, wind_north: Any, left_over: Any) -> WindTriangle:
    wind = np.hypot(wind_east, wind_north)
    direction = np.mod(np.arctan2(-wind_east, -wind_north), 2.0 * np.pi)
    blows = np.greater(wind, _CALM * true)
    freedom = left_over.shape[-1] - _LEAST_LEGS
    residual = np.sqrt(np.sum(left_over**2, axis=-1) / freedom) if freedom else np.full(np.shape(true), np.nan)
    found = (true, wind, np.where(blows, direction, np.nan), residual)
    return WindTriangle(*(scalar_if_0d(np.asarray(number)) for number in found))
