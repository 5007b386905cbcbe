"""Small answers just given, by their questions: a spreadsheet's cell asks HEAD, then GET, at each recalculation.

Nothing is known of who asked: the build and the whole question, to the byte, are all that an answer depends on.
"""

from collections import OrderedDict
from threading import Lock
from typing import NamedTuple

__all__ = ["Known", "Remembered"]

Question = tuple[str, ...]


class Known(NamedTuple):
    """An answer: its tag, its body, and what that is."""

    tag: str
    body: bytes
    content_type: str


class Remembered:
    """Answers by their questions, the last ones used.

    Parameters
    ----------
    most : int
        How many.
    longest : int
        Greatest answer kept, with its question. [bytes]
    """

    def __init__(self, most: int = 1_000, longest: int = 3_000) -> None:
        self._most, self._longest = most, longest
        self._kept: OrderedDict[Question, Known] = OrderedDict()
        self._lock = Lock()

    def get(self, question: Question) -> Known | None:
        """The answer; None where it is not kept."""
        with self._lock:
            if question in self._kept:
                self._kept.move_to_end(question)
            return self._kept.get(question)

    def keep(self, question: Question, known: Known) -> None:
        """Keep an answer, if it is small, in place of the one longest unused."""
        if len(known.body) + sum(map(len, question)) > self._longest:
            return
        with self._lock:
            self._kept[question] = known
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)
