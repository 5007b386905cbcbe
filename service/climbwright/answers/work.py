"""The work that a request asks for: known before it is done, and refused beyond what is permitted.

Its unit is one measure of one aeroplane in one loading and one condition, once: 0.1 to 0.3 microseconds and up to 70
bytes. A spread that is not linear asks for every measure hundreds of times, and a measure that is written into an
answer counts for a hundred, since writing it takes as long. What an observation should read counts for six: a
prediction knows of every kind of observation, and a search asks for a few at a time.
"""

import math
from collections.abc import Callable
from contextvars import ContextVar

__all__ = ["PREDICTED", "WRITTEN", "TooMuchWork", "ask_for", "permitted"]

WRITTEN = 100
PREDICTED = 6
_FEWER = "send fewer options, loadings, conditions, measures or observations, or ask for linear spreads"


class TooMuchWork(Exception):
    """More work than is permitted for one request; no `Refusal`, so that nothing on the way takes it for physics."""

    def __init__(self, asked: int, most: int) -> None:
        super().__init__(f"this asks for {asked:,} computed measures, and {most:,} are permitted: {_FEWER}")


class permitted:  # noqa: N801 - a context manager, which is called as a function is
    """Within it no more than this work is done.

    Parameters
    ----------
    most : int
        Measures computed.
    light : float
        What may be done at any time.
    large : callable
        Called once, before more than `light` is done: it may refuse by raising.
    """

    def __init__(self, most: int, light: float = math.inf, large: Callable[[], object] = object) -> None:
        self._most, self._light, self._large, self._asked = most, light, large, 0

    def __enter__(self) -> None:
        self._before = _work.set(self)

    def __exit__(self, *_: object) -> None:
        _work.reset(self._before)

    def ask(self, measures: int) -> None:
        """As `ask_for`."""
        before, self._asked = self._asked, self._asked + measures
        if self._asked > self._most:
            raise TooMuchWork(self._asked, self._most)
        if before <= self._light < self._asked:
            self._large()


_work: ContextVar[permitted | None] = ContextVar("work", default=None)


def ask_for(measures: int) -> None:
    """Say that so many measures are about to be computed.

    Raises
    ------
    TooMuchWork
        With them it is more than is permitted; nothing is refused where nobody set a limit.
    """
    work = _work.get()
    if work is not None:
        work.ask(measures)
