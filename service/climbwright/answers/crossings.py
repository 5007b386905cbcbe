"""Where a measure meets a value: every crossing that a grid of values of the unknown shows.

The measure is a function of a whole row of values at once, so that a grid costs one evaluation.
"""

from collections.abc import Callable

import numpy as np

from climbwright.arrays import Floats
from climbwright.roots import find_root

__all__ = ["Row", "crossings", "scan"]

Row = Callable[[Floats], Floats]

GRID = 33  # values that are looked at side by side
_ROUNDS = 4  # of closing in on where a measure begins or ends
_TURNS = 3  # of closing in on where it turns
_CLOSE = 1e-10  # of the unknown
_MET = 1e-6  # of the target: what is further away after the search was a jump and no crossing


def scan(at: Row, least: float, greatest: float, value: float) -> tuple[Floats, Floats]:
    """Values of a range and how far the measure is from the target at each, closer where it begins, ends or turns.

    Parameters
    ----------
    at : callable
        The measure at a row of values, nan where it does not exist.
    least, greatest : float
        Range.
    value : float
        Target.

    Returns
    -------
    tuple of numpy.ndarray
        Values, rising, and measure less target.
    """
    grid = np.linspace(least, greatest, GRID)
    gaps = at(grid) - value
    for _ in range(_ROUNDS):
        edges = np.flatnonzero(np.isfinite(gaps[:-1]) != np.isfinite(gaps[1:]))
        if not edges.size:
            break
        grid, gaps = _finer(at, value, grid, gaps, [(grid[i], grid[i + 1]) for i in edges])
    for _ in range(_TURNS):
        turns = _turns(gaps)
        if not turns.size:
            break
        grid, gaps = _finer(at, value, grid, gaps, [(grid[i - 1], grid[i + 1]) for i in turns])
    return grid, gaps


def _finer(
    at: Row, value: float, grid: Floats, gaps: Floats, stretches: list[tuple[float, float]]
) -> tuple[Floats, Floats]:
    more = np.concatenate([np.linspace(low, high, GRID)[1:-1] for low, high in stretches])
    together, order = np.unique(np.concatenate([grid, more]), return_index=True)
    return together, np.concatenate([gaps, at(more) - value])[order]


def _turns(gaps: Floats) -> Floats:
    """Places where the measure comes nearest to the target between two of the same side and turns away again."""
    before, here, after = gaps[:-2], gaps[1:-1], gaps[2:]
    with np.errstate(invalid="ignore"):
        same = (np.sign(before) == np.sign(here)) & (np.sign(here) == np.sign(after)) & (here != 0.0)
        return np.flatnonzero(same & (np.abs(here) < np.abs(before)) & (np.abs(here) < np.abs(after))) + 1


def crossings(at: Row, grid: Floats, gaps: Floats, value: float) -> list[float]:
    """Values at which the measure is the target.

    Parameters
    ----------
    at : callable
        The measure at a row of values.
    grid, gaps : numpy.ndarray
        From `scan`.
    value : float
        Target.

    Returns
    -------
    list of float
        Rising; a stretch that lies on the target counts once, a jump across it does not count.
    """
    signs = np.sign(gaps)
    flat = signs == 0.0
    starts = np.flatnonzero(flat & ~np.concatenate([[False], flat[:-1]]))
    across = np.flatnonzero(signs[:-1] * signs[1:] < 0.0)
    found = [float(grid[i]) for i in starts] + [_root(at, float(grid[i]), float(grid[i + 1]), value) for i in across]
    return sorted(root for root in found if np.isfinite(root))


def _root(at: Row, low: float, high: float, value: float) -> float:
    """One crossing: a second grid within the first one's step, and a polynomial through it read backwards.

    Two evaluations do where the measure is smooth; where the check shows that it is not, a bracketed search follows.
    """
    grid = np.linspace(low, high, GRID)
    gaps = at(grid) - value
    i = int(np.flatnonzero(np.sign(gaps[:-1]) * np.sign(gaps[1:]) <= 0.0)[0])
    if gaps[i] == 0.0:
        return float(grid[i])
    scale = max(abs(value), float(np.nanmax(np.abs(gaps))))
    near = slice(max(i - 2, 0), max(i - 2, 0) + 6)
    guess = _inverse(gaps[near], grid[near])
    if grid[i] < guess < grid[i + 1] and abs(float(at(np.array([guess]))[0]) - value) <= 1e-3 * _MET * scale:
        return guess

    def gap(x: Floats) -> Floats:
        return at(np.atleast_1d(x)).reshape(np.shape(x)) - value

    root = float(find_root(gap, grid[i], grid[i + 1], _CLOSE))
    return root if abs(float(gap(np.array([root]))[0])) <= _MET * scale else np.nan


def _inverse(gaps: Floats, values: Floats) -> float:
    """Where a gap is nothing, by Neville's scheme through points read backwards."""
    table = values.copy()
    with np.errstate(divide="ignore", invalid="ignore"):
        for k in range(1, table.size):
            low, high = gaps[:-k], gaps[k:]
            table = (high * table[:-1] - low * table[1:]) / (high - low)
    return float(table[0])
