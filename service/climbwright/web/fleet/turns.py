"""Turns: large tables are computed a few at a time, so that small requests find room beside them."""

import threading
from collections.abc import Iterable, Iterator
from typing import Any

from climbwright.web.problems import Problem

__all__ = ["Turn"]


class Turn:
    """One of the large tables that may be computed at a time; it ends with its answer, however that comes.

    Raises
    ------
    Problem
        503 all turns are taken.
    """

    def __init__(self, turns: threading.BoundedSemaphore) -> None:
        if not turns.acquire(blocking=False):
            word = "as many tables as this service computes at a time are being computed: come again in a second"
            raise Problem(503, "Service Unavailable", word, headers={"Retry-After": "1"})
        self._turns: threading.BoundedSemaphore | None = turns

    def end(self) -> None:
        """Let the next one in, once."""
        turns, self._turns = self._turns, None
        if turns is not None:
            turns.release()

    def through(self, pieces: Iterable[Any]) -> Iterator[Any]:
        """The pieces of the answer, with the last of which the turn ends."""
        try:
            yield from pieces
        finally:
            self.end()

    def __enter__(self) -> "Turn":
        return self

    def __exit__(self, *_: object) -> None:
        self.end()
