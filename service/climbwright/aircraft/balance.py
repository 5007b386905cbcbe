"""Weight and balance: moments, percent of chord, limits and envelope, scales, and the line the CG walks.

Moments are mass times arm [kg m], arms positive aft of the datum [m].

References
----------
.. [1] FAA-H-8083-1B, *Aircraft Weight and Balance Handbook*, 2016, ch. 2 to 5.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from climbwright.aircraft.description import EnvelopePoint, Limits, Mass, Scale
from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d
from climbwright.refusal import Refusal

__all__ = [
    "Margins",
    "arm_margin",
    "ballast_arm",
    "ballast_mass",
    "chord_fraction",
    "combine",
    "margins",
    "refuse_crossing",
    "weigh",
]

_EDGE = 1e-12  # [m], or of the envelope's width: on a limit is inside, and rounding does not decide


@dataclass(frozen=True, slots=True)
class Margins:
    """Where a CG stands in its limits; nan where a limit was not given.

    Parameters
    ----------
    forward_limit, aft_limit : array_like
        Limits of the arm at that mass; nan where an envelope has no such mass. [m]
    nearest_limit : array_like
        The limit that is nearest, which in a notch of an envelope is neither of the two. [m]
    arm : array_like
        Distance to it, positive inside. [m]
    mass : array_like
        Greatest mass minus this mass. [kg]
    lightest : array_like
        This mass minus the envelope's least. [kg]
    envelope_distance : array_like
        Distance to the nearest edge of the envelope drawn one unit high and one unit wide, positive inside. [-]
    inside : array_like of bool
        All limits that were given are kept.
    """

    forward_limit: Floats
    aft_limit: Floats
    nearest_limit: Floats
    arm: Floats
    mass: Floats
    lightest: Floats
    envelope_distance: Floats
    inside: Floats


def combine(parts: Iterable[Mass]) -> Mass:
    """Add masses and their moments.

    Parameters
    ----------
    parts : iterable of Mass
        Masses [kg] (negative ones take away) at arms [m]; floats or arrays that broadcast.

    Returns
    -------
    Mass
        Total mass and the arm of its centre of gravity, nan where the total is zero.

    Examples
    --------
    >>> total = combine([Mass(100.0, 0.2), Mass(50.0, 0.8)])
    >>> float(total.mass), round(float(total.arm), 3)
    (150.0, 0.4)
    """
    mass: Floats = np.float64(0.0)
    moment: Floats = np.float64(0.0)
    for part in parts:
        mass = mass + part.mass
        moment = moment + part.mass * part.arm
    if np.count_nonzero(mass == 0.0):
        return Mass(mass, moment / np.where(mass == 0.0, np.nan, mass)[()])
    return Mass(mass, moment / mass)


def weigh(scales: Sequence[Scale]) -> Mass:
    """Empty mass and arm from scale readings, tare taken off; any layout of wheels.

    Parameters
    ----------
    scales : sequence of Scale
        One for each wheel.

    Returns
    -------
    Mass
        Sum of the net readings [kg] and its arm [m].

    Notes
    -----
    The handbook's D ± F L / W [1]_ is this sum with the datum moved to the main wheels.
    """
    return combine(Mass(np.subtract(scale.mass, scale.tare), scale.arm) for scale in scales)


def chord_fraction(arm: Numbers, leading_edge_arm: Numbers, chord: Numbers) -> Floats:
    """Centre of gravity as a fraction of the mean chord. [-]

    Parameters
    ----------
    arm : array_like
        Arm of the centre of gravity. [m]
    leading_edge_arm : array_like
        Arm of the leading edge of the mean chord. [m]
    chord : array_like
        Mean chord. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        0 at the leading edge, 1 at the trailing edge. [-]
    """
    x, x0, c = floats(arm, leading_edge_arm, chord)
    return scalar_if_0d((x - x0) / c)


def ballast_mass(mass: Numbers, arm: Numbers, wanted: Numbers, ballast_arm: Numbers) -> Floats:
    """Ballast that brings the centre of gravity where it is wanted. [kg]

    Parameters
    ----------
    mass, arm : array_like
        Mass [kg] and arm [m] without the ballast.
    wanted : array_like
        Arm that the centre of gravity shall have. [m]
    ballast_arm : array_like
        Arm of the ballast, not the wanted one. [m]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Mass, negative where ballast there makes it worse. [kg]

    Examples
    --------
    >>> round(float(ballast_mass(1876.0, 32.2, 33.0, 228.0)), 1)  # the handbook's, in pounds and inches [1]
    7.7
    """
    m, x, target, place = floats(mass, arm, wanted, ballast_arm)
    return scalar_if_0d(m * (target - x) / (place - target))  # [1]


def ballast_arm(mass: Numbers, arm: Numbers, wanted: Numbers, ballast_mass: Numbers) -> Floats:
    """Arm at which a given ballast brings the centre of gravity where it is wanted. [m]

    Parameters
    ----------
    mass, arm : array_like
        Mass [kg] and arm [m] without the ballast.
    wanted : array_like
        Arm that the centre of gravity shall have. [m]
    ballast_mass : array_like
        Mass of the ballast above zero. [kg]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Arm. [m]
    """
    m, x, target, ballast = floats(mass, arm, wanted, ballast_mass)
    return scalar_if_0d(target + m * (target - x) / ballast)  # [1]


def margins(mass: Numbers, arm: Numbers, limits: Limits) -> Margins:
    """Distances of a mass and its arm to the limits given, positive inside; on a limit is inside.

    Parameters
    ----------
    mass : array_like
        Mass. [kg]
    arm : array_like
        Arm of its centre of gravity. [m]
    limits : Limits
        Two numbers or an envelope, and the greatest mass; what is None does not limit.

    Returns
    -------
    Margins
        Of the broadcast shape.
    """
    m, x, *limited = floats(mass, arm, *(n for n in (limits.maximum_mass, limits.forward, limits.aft) if n is not None))
    wide = 0.0 * sum(limited, m + x)  # of the shape of all arguments; adding it costs a sixth of np.broadcast_to
    m, x, nothing = m + wide, x + wide, wide + np.nan
    greatest = limits.maximum_mass
    if limits.envelope:
        forward, aft, nearest, arm_margin, distance, least, heaviest = _envelope_margins(m, x, limits.envelope)
        greatest = heaviest if greatest is None else np.fmin(greatest, heaviest)
        inside, above = distance >= -_EDGE, m - least
    else:
        forward = nothing if limits.forward is None else wide + limits.forward
        aft = nothing if limits.aft is None else wide + limits.aft
        to_forward, to_aft = x - forward, aft - x
        arm_margin = np.fmin(to_forward, to_aft)
        nearest = np.where(arm_margin == to_aft, aft, forward)
        distance = above = nothing
        inside = ~(arm_margin < -_EDGE)
    mass_margin = nothing if greatest is None else greatest - m
    columns = (forward, aft, nearest, arm_margin, mass_margin, above, distance, inside & ~(mass_margin < 0.0))
    return Margins(*map(scalar_if_0d, columns))


def arm_margin(mass: Numbers, arm: Numbers, limits: Limits) -> Floats:
    """Distance of an arm to the nearer limit at its mass, positive inside: the one of `margins`, alone. [m]

    Parameters
    ----------
    mass, arm : array_like
        Mass [kg] and arm of its centre of gravity [m].
    limits : Limits
        As `margins`.

    Returns
    -------
    numpy.float64 or numpy.ndarray
        nan where there is no limit. [m]
    """
    if limits.envelope:
        m, x = np.broadcast_arrays(*floats(mass, arm))
        return scalar_if_0d(_at_the_mass(m, x, _edges(m, limits.envelope))[3])
    m, x, forward, aft = floats(
        mass, arm, np.nan if limits.forward is None else limits.forward, np.nan if limits.aft is None else limits.aft
    )
    room = np.fmin(x - forward, aft - x)
    return scalar_if_0d(room if np.shape(room) == np.broadcast_shapes(np.shape(room), np.shape(m)) else room + 0.0 * m)


def _envelope_margins(mass: Floats, arm: Floats, envelope: tuple[EnvelopePoint, ...]) -> tuple[Floats, ...]:
    """Limits at the mass, the nearest, signed distances to it and in the unit square, lightest and heaviest corner."""
    edges = _edges(mass, envelope)
    forward, aft, nearest, gap, inside = _at_the_mass(mass, arm, edges)
    y0, _, x0, _ = edges
    lightest, heaviest = y0.min(axis=0), y0.max(axis=0)
    width, height = x0.max(axis=0) - x0.min(axis=0), heaviest - lightest
    y0, y1, x0, x1 = (ends / size for ends, size in zip(edges, (height, height, width, width), strict=True))
    distance = _distance_to_edges(arm / width, mass / height, x0, y0, x1, y1)
    return forward, aft, nearest, gap, np.where(inside | (distance == 0.0), distance, -distance), lightest, heaviest


def _edges(mass: Floats, envelope: tuple[EnvelopePoint, ...]) -> tuple[Floats, Floats, Floats, Floats]:
    """Masses and arms at both ends of every edge, along a leading axis in front of the mass's."""
    columns = [np.stack(np.broadcast_arrays(*column)) for column in _columns(envelope)]
    masses, arms = (c.reshape(len(c), *(1,) * (mass.ndim + 1 - c.ndim), *c.shape[1:]) for c in columns)
    return masses, np.roll(masses, -1, axis=0), arms, np.roll(arms, -1, axis=0)


def _at_the_mass(mass: Floats, arm: Floats, edges: tuple[Floats, ...]) -> tuple[Floats, ...]:
    """Limits at the mass, the nearest to the arm, the signed distance to it, and whether the point lies inside."""
    y0, y1, x0, x1 = edges
    with np.errstate(divide="ignore", invalid="ignore"):
        crossing = x0 + (mass - y0) * (x1 - x0) / (y1 - y0)
        # edges that this mass meets; a level one is met where its neighbours end
        met = (np.minimum(y0, y1) <= mass) & (mass <= np.maximum(y0, y1)) & (y0 != y1)
        crossing = np.where(met, crossing, np.nan)
        forward, aft = np.fmin.reduce(crossing, axis=0), np.fmax.reduce(crossing, axis=0)
        gaps = np.abs(arm - crossing)
        gap = np.fmin.reduce(gaps, axis=0)
        nearest = np.fmax.reduce(np.where(gaps == gap, crossing, np.nan), axis=0)
        inside = _inside(mass, arm, *edges)
        return forward, aft, nearest, np.where(inside | (gap == 0.0), gap, -gap), inside


def _columns(envelope: tuple[EnvelopePoint, ...]) -> tuple[list[Floats], list[Floats]]:
    return floats(*(corner.mass for corner in envelope)), floats(*(corner.arm for corner in envelope))


def _inside(y: Floats, x: Floats, y0: Floats, y1: Floats, x0: Floats, x1: Floats) -> Floats:
    """Even-odd rule: count the edges that a ray towards the tail crosses. Points on an edge count as inside."""
    high, wide = y1 - y0, x1 - x0
    away = y - y0
    cross = wide * away - high * (x - x0)  # twice the area of the triangle of edge and point
    # an edge crosses the ray where it leads past the mass and the point lies forward of it
    straddles = (y0 > y) != (y1 > y)
    odd = np.logical_xor.reduce(straddles & ((cross > 0.0) == (high > 0.0)) & (cross != 0.0), axis=0)
    scale = np.maximum(np.abs(wide), np.abs(high))
    near = np.abs(cross) <= 1e-12 * scale**2
    if not np.count_nonzero(near):
        return odd
    within = (
        (np.minimum(x0, x1) <= x) & (x <= np.maximum(x0, x1)) & (np.minimum(y0, y1) <= y) & (y <= np.maximum(y0, y1))
    )
    return odd | (within & near).any(axis=0)


def _distance_to_edges(x: Floats, y: Floats, x0: Floats, y0: Floats, x1: Floats, y1: Floats) -> Floats:
    """Shortest distance to any edge, along the leading axis of the edges."""
    dx, dy = x1 - x0, y1 - y0
    length = dx**2 + dy**2
    along = np.clip(((x - x0) * dx + (y - y0) * dy) / np.where(length == 0.0, 1.0, length), 0.0, 1.0)
    return np.hypot(x - x0 - along * dx, y - y0 - along * dy).min(axis=0)


def refuse_crossing(envelope: Sequence[EnvelopePoint], where: str) -> None:
    """Refuse an envelope that is not a simple polygon.

    Parameters
    ----------
    envelope : sequence of EnvelopePoint
        Corners in order; floats.
    where : str
        JSON Pointer of the envelope.

    Raises
    ------
    Refusal
        Fewer than three corners, no area, or edges that cross.
    """
    if len(envelope) < 3:
        raise Refusal(where, "an envelope needs at least three corners, in order around it")
    points = [(float(corner.arm), float(corner.mass)) for corner in envelope]
    n = len(points)
    if len(set(points)) < n:
        raise Refusal(where, "two corners of the envelope are the same: send each corner once")
    area = sum(points[i][0] * points[(i + 1) % n][1] - points[(i + 1) % n][0] * points[i][1] for i in range(n))
    if area == 0.0:
        raise Refusal(where, "the envelope has no area: send its corners in order around it")
    edges = [(points[i], points[(i + 1) % n]) for i in range(n)]
    for i in range(n):
        for j in range(i + 1, n):
            a, b = edges[i]
            c, d = edges[j]
            shared = {a, b} & {c, d}
            touching = any(_on(point, *edges[j]) for point in (a, b) if point not in shared)
            touching |= any(_on(point, *edges[i]) for point in (c, d) if point not in shared)
            if touching or (not shared and _cross(a, b, c, d)):
                raise Refusal(where, "edges of the envelope cross or touch: send its corners in order around it")


Point = tuple[float, float]


def _side(p: Point, q: Point, r: Point) -> float:
    return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    return _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0


def _on(point: Point, a: Point, b: Point) -> bool:
    """Whether a point lies on an edge."""
    between = all(min(a[k], b[k]) <= point[k] <= max(a[k], b[k]) for k in (0, 1))
    size = (abs(b[0] - a[0]) + abs(point[0] - a[0])) * (abs(b[1] - a[1]) + abs(point[1] - a[1]))
    return between and abs(_side(a, b, point)) <= 1e-12 * size
