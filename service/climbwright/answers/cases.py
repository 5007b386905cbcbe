"""One number and its spread out of the cases that were laid out along its first axis."""

from dataclasses import dataclass

import numpy as np

from climbwright.answers.single import Single, estimated
from climbwright.arrays import Numbers

__all__ = ["Cases", "single_of", "singles_of"]


@dataclass(frozen=True, slots=True)
class Cases:
    """How many cases are laid out along the first axis, and whether they are draws."""

    count: int
    drawn: bool = False


def single_of(value: Numbers, cases: Cases) -> Single:
    """A number with its spread.

    Parameters
    ----------
    value : array_like, shape (cases,) or ()
        Central case first, then the others.
    cases : Cases
        A single one has no spread.

    Returns
    -------
    Single
        Of the central case.
    """
    if cases.count == 1:
        return Single(np.float64(np.ravel(value)[0]))
    return estimated(np.broadcast_to(value, (cases.count,)), cases.drawn)


def singles_of(values: Numbers, cases: Cases) -> list[Single]:
    """Several numbers with their spreads, all at once.

    Parameters
    ----------
    values : array_like, shape (cases, n)
        As `single_of`, each number along the last axis.
    cases : Cases
        As `single_of`.

    Returns
    -------
    list of Single
        One for each of the n.
    """
    table = np.asarray(values, dtype=float)
    if len(table) == 1:
        return [Single(value) for value in table[0]]
    found = estimated(table, cases.drawn)
    columns = [found.value, found.spread]
    if found.percentiles is not None:
        columns += [found.percentiles.T, found.without]
    return [Single(*column) for column in zip(*columns, strict=True)]
