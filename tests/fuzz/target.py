"""What a target of the fuzzing is, and the watch that is kept over each of its cases."""

import random
import resource
import signal
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

SLOWEST = 1.0  # of one case, of the processor's time [s]
MOST_MEMORY = 96 * 1024  # by which one case may raise the greatest that was ever used [kB]
CORPUS = Path(__file__).parent / "corpus"


class Slow(BaseException):
    """A case took too long; no `except Exception` on the way may take it for its own."""


class Swollen(AssertionError):
    """A case took too much memory."""


@dataclass(frozen=True)
class Target:
    """A reader of bad input.

    `check` reads a case and raises what is neither a right result nor a documented refusal. `seeds` are valid inputs
    from which cases are made, `words` are put into them, and `mutate` knows how such an input is built.
    """

    name: str
    check: Callable[[bytes], None]
    seeds: Sequence[bytes]
    words: Sequence[bytes]
    mutate: Callable[[bytes, random.Random], bytes] | None = None
    longest: int = 4096

    def finds(self):
        """Cases that once were wrong, by what they show."""
        return sorted((CORPUS / self.name).glob("*"))


def _greatest():
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def _stop(*_):
    raise Slow(f"more than {SLOWEST} s for one case")


def watched(target, case):
    """Check one case under the watch of clock and memory; what a callback raised into nothing counts too."""
    lost = []
    before, heard = _greatest(), sys.unraisablehook
    former = signal.signal(signal.SIGPROF, _stop)
    sys.unraisablehook = lost.append
    signal.setitimer(signal.ITIMER_PROF, SLOWEST)
    try:
        target.check(case)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, former)
        sys.unraisablehook = heard
    if lost:
        raise AssertionError(f"raised where nobody catches it: {lost[0].exc_value!r}")
    if _greatest() - before > MOST_MEMORY:
        raise Swollen(f"{(_greatest() - before) // 1024} MB for one case")
