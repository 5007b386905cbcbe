"""Spreads: every uncertain input as one more array axis, and the spread of an answer from central differences.

The first axis of a number laid out here holds the central case, then every input one standard deviation up and down
in turn, so that one evaluation of the same functions answers all of them.
"""

import itertools
import zlib
from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from operator import is_
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.random import default_rng  # numpy loads it late: a worker short of memory could not
from numpy.typing import NDArray

from climbwright.arrays import Floats, Measured, field_names, field_values

__all__ = [
    "PERCENTILES",
    "arrays_in",
    "central",
    "draws_for",
    "lay_out",
    "least_of",
    "linear",
    "lopsided",
    "placed",
    "rows_at",
    "rows_of",
    "sampled",
    "shares",
    "standard_deviation",
    "standing_in",
    "tied",
    "uncertain",
]


_SEED = 20260101  # of the draws, which are the same for every request
_LEAST = 0.05  # of its middle: a number two spreads and more above zero never goes below this part of it
PERCENTILES = (5.0, 50.0, 95.0)
_MIDDLE = tuple(100.0 * NormalDist().cdf(z) for z in (-1.0, 1.0))
_PAIRS = 16  # of aeroplanes drawn opposite each other, which show whether an answer is linear
_UNEVEN = 0.25  # of the odd part of an answer: an even part above that makes an end of its range a quarter longer
_BEYOND = 1e200  # stands for what cannot be, beyond all answers
_MOST = 400_000  # draws times scenes: what fits into memory
_FEWEST = 200  # draws that tell a percentile, however many scenes there are
_PLAIN = frozenset({float, str, bool, type(None)})  # most leaves of a tree, in which nothing is uncertain


@cache
def _apart(kind: Any) -> Any:
    """A function that takes a tuple, list, dict or dataclass apart; None for anything else."""
    if kind is tuple or kind is list:
        return iter
    return dict.values if kind is dict else field_values(kind)


def _mapped(tree: Any, change: Callable[[Any], Any], leaf: type = Measured) -> Any:
    """The same tree with every leaf of a type replaced; parts without one are kept as they are."""
    kind: Any = type(tree)
    if kind is leaf:
        return change(tree)
    apart = _apart(kind)
    if apart is None:
        return tree
    old = list(apart(tree))
    new = [value if type(value) in _PLAIN else _mapped(value, change, leaf) for value in old]
    if all(map(is_, old, new)):
        return tree
    if kind is tuple or kind is list:
        return kind(new)
    named = dict(zip(tree if kind is dict else field_names(kind), new, strict=True))
    return named if kind is dict else kind(**named)


def _count(tree: Any) -> int:
    """How many uncertain numbers a tree holds; a plain walk, because most requests hold none."""
    count, waiting = 0, [tree]
    while waiting:
        node = waiting.pop()
        kind: Any = type(node)
        if kind is Measured:
            count += 1
        elif (apart := _apart(kind)) is not None:
            waiting += [part for part in apart(node) if type(part) not in _PLAIN]
    return count


def central(tree: Any) -> Any:
    """The same tree of descriptions without spreads: every `Measured` as its value."""
    return _mapped(tree, lambda number: number.value)


def uncertain(tree: Any) -> list[Measured]:
    """Every uncertain number of a tree of descriptions, in the order in which `placed` puts others in their place."""
    found: list[Measured] = []

    def note(number: Measured) -> Measured:
        found.append(number)
        return number

    if _count(tree):
        _mapped(tree, note)
    return found


def placed(tree: Any, numbers: Sequence[Any]) -> Any:
    """The same tree with other numbers in place of its uncertain ones, in their order."""
    turn = iter(numbers)
    return _mapped(tree, lambda _: next(turn))


def rows_of(tree: Any, rows: Any) -> Any:
    """The same tree with some rows (a slice, or their places) of its arrays, which lie along their first axis."""
    return _mapped(tree, lambda column: column[rows], np.ndarray)


def arrays_in(tree: Any) -> Any:
    """Where the arrays of a tree are, for `rows_at`: True for an array, None for none, else pairs."""
    kind: Any = type(tree)
    if kind is np.ndarray:
        return True
    apart = _apart(kind)
    if apart is None:
        return None
    found = [(place, arrays_in(part)) for place, part in enumerate(apart(tree)) if type(part) not in _PLAIN]
    return [pair for pair in found if pair[1] is not None] or None


def rows_at(tree: Any, places: Any, rows: slice) -> Any:
    """As `rows_of`, a tree of which it is known where its arrays are: a block after the other is taken from it."""
    if places is None:
        return tree
    if places is True:
        return tree[rows]
    kind: Any = type(tree)
    parts = list(_apart(kind)(tree))
    for place, inner in places:
        parts[place] = rows_at(parts[place], inner, rows)
    if kind is tuple or kind is list:
        return kind(parts)
    return dict(zip(tree, parts, strict=True)) if kind is dict else kind(*parts)


def standing_in(tree: Any, right: NDArray[np.bool_]) -> Any:
    """The same tree with the numbers of the first row that is right in every row that is not."""
    first = int(np.argmax(right))

    def whole(column: NDArray[Any]) -> NDArray[Any]:
        column = column.copy()
        column[~right] = column[first]
        return column

    return _mapped(tree, whole, np.ndarray)


def tied(tree: Any, name: str) -> Any:
    """The same tree with its uncertain numbers named, so that they are the same ones wherever they stand."""
    if not _count(tree):
        return tree
    count = itertools.count()
    return _mapped(
        tree,
        lambda n: n if n.along else Measured(n.value, n.plus_minus, ((f"{name} {next(count)}", 1.0),)),
    )


def shares(numbers: Sequence[Measured]) -> NDArray[np.float64]:
    """How much each uncertain number changes along each independent direction, by one standard deviation of it.

    Parameters
    ----------
    numbers : sequence of Measured
        Those of one question.

    Returns
    -------
    numpy.ndarray, shape (numbers, directions)
        A number that says nothing of directions has one of its own.
    """
    return _along(numbers)[0]


def _along(numbers: Sequence[Measured]) -> tuple[NDArray[np.float64], list[str]]:
    """As `shares`, and what each direction is called: a number that names none goes by what it is."""
    rows: list[Sequence[tuple[str, float]]] = []
    alike: dict[str, int] = {}
    for number in numbers:
        if number.along:
            rows.append(number.along)
            continue
        own = f"{number.value:.9g} {number.plus_minus:.9g}"  # whatever unit it was sent in
        alike[own] = alike.get(own, 0) + 1
        rows.append(((f"{own} {alike[own]}", 1.0),))
    places = {name: k for k, name in enumerate(dict.fromkeys(name for row in rows for name, _ in row))}
    table = np.zeros((len(numbers), len(places)))
    for i, (number, row) in enumerate(zip(numbers, rows, strict=True)):
        for direction, share in row:
            table[i, places[direction]] = number.plus_minus * share
    return table, [*places]


def least_of(middle: NDArray[np.float64], table: NDArray[np.float64]) -> NDArray[np.float64]:
    """Least that numbers may become far from their middles, so that what must be positive stays so.

    Parameters
    ----------
    middle : numpy.ndarray, shape (numbers,)
        Their middles. [SI]
    table : numpy.ndarray, shape (numbers, directions)
        As `shares`. [SI]

    Returns
    -------
    numpy.ndarray, shape (numbers,)
        Minus infinity where a number less than two spreads above zero may change its sign. [SI]
    """
    positive = middle > 2.0 * np.linalg.norm(table, axis=1)
    return np.where(positive, _LEAST * middle, -np.inf)


def lay_out(tree: Any, axes: int, draws: int = 0, probes: bool = False) -> tuple[Any, int]:
    """Lay out every uncertain number of a tree of descriptions along one leading axis.

    Parameters
    ----------
    tree : dataclass, tuple, list or dict
        Numbers are floats or `Measured`.
    axes : int
        How many axes follow the leading one.
    draws : int
        Draw so many cases at random, always the same ones, in place of two for each direction.
    probes : bool
        Add pairs of cases drawn opposite each other, which `lopsided` looks at; `linear` leaves them out.

    Returns
    -------
    tuple
        The tree with each `Measured` as an array of shape (cases, 1, ..., 1), with its rows where it has some, and the
        number of cases: one plus two for each independent direction, or plus the draws, and plus the pairs.
    """
    numbers = uncertain(tree)
    if not numbers:
        return tree, 1
    of_rows = {i: number for i, number in enumerate(numbers) if isinstance(number.value, np.ndarray)}
    for i, number in of_rows.items():
        numbers[i] = Measured(0.0, 1.0, number.along)
    table, names = _along(numbers)
    middle = np.array([[number.value] for number in numbers])
    directions = table.shape[1]
    cases = 1 + (draws or 2 * directions) + (2 * _PAIRS if probes else 0)
    laid = np.repeat(middle, cases, axis=1)
    if draws:
        laid[:, 1:] += table @ _normal(names, draws)
        laid = np.maximum(laid, least_of(middle[:, 0], table)[:, None])
    else:
        laid[:, 1 : 2 * directions : 2] += table
        laid[:, 2 : 2 * directions + 1 : 2] -= table
    if probes:
        away = table @ _normal(names, _PAIRS)
        laid[:, -2 * _PAIRS :: 2] += away
        laid[:, 1 - 2 * _PAIRS :: 2] -= away
        laid[:, -2 * _PAIRS :] = np.maximum(laid[:, -2 * _PAIRS :], least_of(middle[:, 0], table)[:, None])
    columns = list(laid.reshape(len(numbers), cases, *(1,) * axes))
    for i, number in of_rows.items():
        columns[i] = number.value + number.plus_minus * columns[i]
    return placed(tree, columns), cases


def sampled(cases: Floats, worst: Any = 0.0) -> tuple[Floats, Floats, Floats]:
    """Spread of an answer from draws, its percentiles, and the share of the draws that have none.

    Parameters
    ----------
    cases : numpy.ndarray, shape (1 + draws, ...)
        Central case, then the draws; nan where a draw has no answer: it cannot do that.
    worst : array_like
        Which end of the answers a draw without one stands at, by its sign; 0 leaves such draws out, and then all is
        nan where fewer than half have an answer. Broadcasts to the shape of an answer.

    Returns
    -------
    tuple of numpy.ndarray, shapes (...), (3, ...) and (...)
        Half of the range that holds as many draws in its middle as one standard deviation to both sides does of a
        normal spread, which a few aeroplanes that hardly fly do not stretch; `PERCENTILES`; and the share that has no
        answer. An end that lies among those is nan.
    """
    draws = cases[1:]
    if not draws.size:  # numpy leaves the axis of the percentiles out then
        return cases[0], np.repeat(cases[:1], len(PERCENTILES), axis=0), cases[0]
    there = np.isfinite(draws)
    has = there.mean(axis=0)
    end = np.broadcast_to(np.asarray(worst, dtype=float), has.shape)
    enough = (has >= 0.5) | (end != 0.0)
    stand_in = np.where(end != 0.0, end * _BEYOND, np.nan)
    filled = np.where(enough, np.where(there, draws, stand_in), 0.0)  # never nothing but nan, which numpy warns of
    with np.errstate(invalid="ignore"):
        ends = np.nanpercentile(filled, (*_MIDDLE, *PERCENTILES), axis=0)
        ends = np.where(enough & (np.abs(ends) < np.sqrt(_BEYOND)), ends, np.nan)
    low, high, *percentiles = ends
    spread = 0.5 * (high - low)
    noise = 1e-12 * np.max(np.abs(np.where(there, draws, 0.0)), axis=0)  # what rounding leaves
    with np.errstate(invalid="ignore"):
        return np.where(spread <= noise, 0.0, spread), np.array(percentiles), 1.0 - has


def _normal(names: Sequence[str], count: int) -> NDArray[np.float64]:
    """Normal numbers for directions, shape (directions, count)."""
    return np.array([_drawn(name, count) for name in names])


@lru_cache(maxsize=1024)
def _drawn(name: str, count: int) -> NDArray[np.float64]:
    """Normal numbers for a direction, the same whatever else is asked at the same time."""
    return default_rng([_SEED, zlib.crc32(name.encode())]).standard_normal(count)


def linear(cases: Floats) -> Floats:
    """The cases of `lay_out` without the pairs of `probes`."""
    return cases[: -2 * _PAIRS]


def draws_for(wanted: int, scenes: int) -> int:
    """How many aeroplanes are drawn for so many scenes: those wanted, fewer where they would not fit into memory."""
    return min(wanted, max(_FEWEST, _MOST // scenes))


def lopsided(cases: Floats, scale: Any = None) -> NDArray[np.bool_]:
    """Where central differences do not tell the spread of an answer.

    Parameters
    ----------
    cases : numpy.ndarray, shape (1 + 2 n + 2 pairs, ...)
        Central case, each input up and down, then the pairs that `lay_out` draws with `probes`.
    scale : array_like, optional
        Size of the numbers whose difference it is, against which rounding is judged; its own if not given.

    Returns
    -------
    numpy.ndarray of bool, shape (...)
        True where the answer bends: what it adds to both of a pair is more than a quarter of what it adds to one and
        takes from the other; and where it does not exist on all sides of its central case.
    """
    middle = cases[0]
    with np.errstate(invalid="ignore"):
        there = np.isfinite(cases).all(axis=0)
        up, down = cases[-2 * _PAIRS :: 2], cases[1 - 2 * _PAIRS :: 2]
        even, odd = 0.5 * (up + down) - middle, 0.5 * (up - down)
        bends, leans = np.mean(even**2, axis=0), np.mean(odd**2, axis=0)
        noise = (1e-9 * np.abs(middle if scale is None else scale)) ** 2
        uneven = (bends > _UNEVEN**2 * leans) & (bends > noise)
    return np.asarray(np.isfinite(middle) & (uneven | ~there))


def standard_deviation(cases: Floats) -> Floats:
    """One standard deviation of an answer from its cases.

    Parameters
    ----------
    cases : numpy.ndarray, shape (1 + 2 n, ...)
        Central case, then each input up and down.

    Returns
    -------
    numpy.ndarray, shape (...)
        Root of the sum of squares of the central differences; one-sided where the answer exists on one side only;
        nan where it exists on neither.
    """
    middle, up, down = cases[:1], cases[1::2], cases[2::2]
    with np.errstate(invalid="ignore"):
        step = 0.5 * (up - down)
        above, below = np.isfinite(up), np.isfinite(down)
        if np.count_nonzero(above != below):
            step = np.where(above, np.where(below, step, up - middle), middle - down)
    spread = np.sqrt(np.sum(step**2, axis=0))
    noise = 1e-12 * np.max(np.abs(cases), axis=0)  # what rounding leaves of an input that does not matter
    with np.errstate(invalid="ignore"):
        return np.where(spread <= noise, 0.0, spread)
