"""A refusal: the request was understood and cannot be answered; the message is safe to show."""

from typing import Any

import numpy as np

__all__ = ["WITHIN_A_SPREAD", "Refusal", "pointer_part", "refuse_where"]

WITHIN_A_SPREAD = " (in one of the values, or within a plus_minus)"


_OF_ROWS = 3  # axes of a number of which every row of a table has its own: aircraft, loading, condition


class Refusal(ValueError):
    """Which field, what is wrong with it and what to send instead.

    Parameters
    ----------
    where : str
        JSON Pointer (RFC 6901) of the field within the request.
    message : str
        What is wrong and what to send instead, in words.
    bad : array_like of bool, optional
        Of numbers laid out along axes, those that are wrong; all where it is not known.
    """

    def __init__(self, where: str, message: str, bad: Any = True) -> None:
        super().__init__(message)
        self.where = where
        self.message = message
        self.bad = bad


def pointer_part(name: object) -> str:
    """One step of a JSON Pointer (RFC 6901)."""
    return str(name).replace("~", "~0").replace("/", "~1")


def refuse_where(bad: Any, where: str, message: str) -> None:
    """Refuse when any case is bad; where only a spread makes it so, the message says that.

    Parameters
    ----------
    bad : array_like of bool
        The central case first, where a spread is laid out along the first axis; three axes are those of the rows of a
        table, which have no central case.
    where : str
        JSON Pointer.
    message : str
        What is wrong.

    Raises
    ------
    Refusal
        Any case is bad.
    """
    if not np.count_nonzero(bad):
        return
    if np.ndim(bad) != _OF_ROWS and not np.atleast_1d(bad)[0].any():
        message += WITHIN_A_SPREAD
    raise Refusal(where, message, bad)
