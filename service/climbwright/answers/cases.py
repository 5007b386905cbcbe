"""One number and its spread out of the cases that were laid out along its first axis."""

import numpy as np

from climbwright.answers.single import Single
from climbwright.answers.spread import standard_deviation
from climbwright.arrays import Numbers

__all__ = ["single_of", "singles_of"]


def single_of(value: Numbers, cases: int) -> Single:
    """A number with its spread.

    Parameters
    ----------
    value : array_like, shape (cases,) or ()
        Central case first, then each input up and down.
    cases : int
        How many cases there are; a single one has no spread.

    Returns
    -------
    Single
        Of the central case.
    """
    if cases == 1:
        return Single(np.float64(np.ravel(value)[0]))
    wide = np.broadcast_to(value, (cases,))
    return Single(wide[0], standard_deviation(wide))


def singles_of(values: Numbers) -> list[Single]:
    """Several numbers with their spreads, all at once.

    Parameters
    ----------
    values : array_like, shape (cases, n)
        As `single_of`, each number along the last axis.

    Returns
    -------
    list of Single
        One for each of the n.
    """
    table = np.asarray(values, dtype=float)
    if len(table) == 1:
        return [Single(value) for value in table[0]]
    return [Single(*pair) for pair in zip(table[0], standard_deviation(table), strict=True)]
