"""What may be put in one place: the least and greatest mass with which every limit is kept.

Mass and moment run along a straight line as load comes in; it meets a plain limit once and an edge of an envelope,
which is straight in mass and arm, at most twice.

References
----------
.. [1] FAA-H-8083-1B, *Aircraft Weight and Balance Handbook*, 2016: the mass that moves a CG to where it is wanted.
"""

from dataclasses import replace

import numpy as np

from climbwright.aircraft.balance import margins
from climbwright.aircraft.description import EnvelopePoint, Limits
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d

__all__ = ["permitted_mass"]


def permitted_mass(
    mass: Numbers, arm: Numbers, place: Numbers, limits: Limits, least: Numbers = 0.0, most: Numbers = np.inf
) -> tuple[Floats, Floats]:
    """Least and greatest mass that may be added at a place.

    Parameters
    ----------
    mass, arm : array_like
        Mass [kg] and arm [m] without it.
    place : array_like
        Arm at which it is added. [m]
    limits : Limits
        What is None does not limit.
    least, most : array_like, optional
        Bounds of the mass that is added. [kg]

    Returns
    -------
    tuple of numpy.float64 or numpy.ndarray
        The two ends, of the broadcast shape; nan where no mass keeps all limits, inf where nothing limits it upwards.
        [kg] Every mass between them keeps the limits too: where a notch of an envelope makes several such ranges, they
        are the ends of the lightest.

    Examples
    --------
    >>> low, high = permitted_mass(400.0, 0.50, 0.30, Limits(maximum_mass=500.0, forward=0.44, aft=0.48))
    >>> round(float(low), 2), round(float(high), 2)
    (44.44, 100.0)
    """
    m, x, a, low, high = floats(mass, arm, place, least, most)
    moment = np.where(m == 0.0, 0.0, m * x)
    met = _met(m, moment, a, limits)
    wide = np.broadcast_arrays(low, high, *met, *_numbers(limits))[: 2 + len(met)]
    low, high = wide[0][..., None], wide[1][..., None]
    turns = np.stack(wide[2:], axis=-1)
    turns = np.clip(np.where(np.isfinite(turns), turns, low), low, high)
    ends = np.sort(np.concatenate([low, turns, high], axis=-1), axis=-1)
    start, end = ends[..., :-1], ends[..., 1:]
    kept = _kept(m[..., None], moment[..., None], a[..., None], start, end, limits)
    return _lightest(start, end, kept, low, high)


def _numbers(limits: Limits) -> list[Floats]:
    return floats(*(n for n in (limits.maximum_mass, limits.forward, limits.aft) if n is not None))


def _met(mass: Floats, moment: Floats, place: Floats, limits: Limits) -> list[Floats]:
    """Every added mass at which a limit may be met; nan or inf where it is not."""
    found = [-mass]  # where nothing is left and the CG has no place
    if limits.maximum_mass is not None:
        found.append(np.subtract(limits.maximum_mass, mass))
    with np.errstate(divide="ignore", invalid="ignore"):
        for limit in (limits.forward, limits.aft):
            if limit is not None:
                found.append((limit * mass - moment) / (place - limit))  # [1]
        corners = limits.envelope
        for corner, following in zip(corners, corners[1:] + corners[:1], strict=True):
            found += [np.subtract(corner.mass, mass), *_met_edge(mass, moment, place, corner, following)]
    return found


def _met_edge(
    mass: Floats, moment: Floats, place: Floats, corner: EnvelopePoint, following: EnvelopePoint
) -> tuple[Floats, Floats]:
    """Added masses at which the line meets an edge drawn on without end.

    On the edge the arm is x0 + s (y - y0) at the mass y; the loaded aeroplane's moment is moment + place (y - mass).
    Their equality is a quadratic in y, solved without taking like numbers from each other.
    """
    y0, x0, y1, x1 = floats(corner.mass, corner.arm, following.mass, following.arm)
    slope = (x1 - x0) / (y1 - y0)
    linear, constant = x0 - slope * y0 - place, place * mass - moment
    half = -0.5 * (linear + np.copysign(np.sqrt(linear**2 - 4.0 * slope * constant), linear))
    return half / slope - mass, constant / half - mass


def _kept(mass: Floats, moment: Floats, place: Floats, start: Floats, end: Floats, limits: Limits) -> Floats:
    """Whether the middle of each stretch keeps every limit; between two turns, all of it does or none."""
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        total = mass + np.where(np.isinf(end), start + 1.0, 0.5 * (start + end))
        loaded = (moment + place * (total - mass)) / total
        return margins(total, loaded, _widened(limits)).inside & (total > 0.0)


def _widened(limits: Limits) -> Limits:
    """The same limits with one more axis, for the stretches."""

    def wide(number: Number) -> Number:
        return number[..., None] if isinstance(number, np.ndarray) and number.ndim else number

    corners = tuple(EnvelopePoint(wide(corner.mass), wide(corner.arm)) for corner in limits.envelope)
    return replace(
        limits,
        maximum_mass=wide(limits.maximum_mass),
        forward=wide(limits.forward),
        aft=wide(limits.aft),
        envelope=corners,
    )


def _lightest(start: Floats, end: Floats, kept: Floats, low: Floats, high: Floats) -> tuple[Floats, Floats]:
    """Ends of the lightest range whose stretches are all kept; a range before a single point."""
    broken = ~kept & (end > start)
    begins: Floats = np.maximum.accumulate(np.where(broken, end, low), axis=-1)
    backwards: Floats = np.where(broken, start, high)
    ends = np.minimum.accumulate(backwards[..., ::-1], axis=-1)[..., ::-1]
    rank = np.where(kept & (low <= high), np.where(ends > begins, 2, 1), 0)
    best = rank.argmax(axis=-1)[..., None]
    found = np.take_along_axis(rank, best, axis=-1)[..., 0] > 0
    columns = (np.take_along_axis(column, best, axis=-1)[..., 0] for column in (begins, ends))
    least, most = (scalar_if_0d(np.where(found, column, np.nan)) for column in columns)
    return least, most
