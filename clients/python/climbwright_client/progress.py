"""A bar on standard error that says how far a batch is."""

import sys
import time

__all__ = ["Progress"]

_WIDTH = 30
_EVERY = 0.1  # seconds between two drawings


class Progress:
    """How far it is, drawn in one line.

    Parameters
    ----------
    total : int or None
        Size of all; None where it is not known.
    shown : bool or None
        Whether to draw; None on a terminal alone.
    """

    def __init__(self, total: int | None, shown: bool | None = None) -> None:
        self.total, self.shown = total, sys.stderr.isatty() if shown is None else shown
        self.done = self.rows = 0
        self._drawn = 0.0

    def step(self, size: int, rows: int) -> None:
        """So much more is done, in the unit of the total, which is so many rows."""
        self.done, self.rows = self.done + size, self.rows + rows
        if self.shown and time.monotonic() - self._drawn > _EVERY:
            self._draw()

    def end(self) -> None:
        """Draw it for the last time, as far as it came."""
        if self.shown:
            self._draw()
            print(file=sys.stderr)

    def _draw(self) -> None:
        self._drawn = time.monotonic()
        bar = ""
        if self.total:
            part = min(self.done / self.total, 1.0)
            bar = f"|{'=' * round(_WIDTH * part):{_WIDTH}}| {100.0 * part:3.0f} %, "
        print(f"\r{bar}{self.rows:,} rows", end="", file=sys.stderr, flush=True)
