"""Answers just given, by their questions: a cell asks HEAD, then GET, and a club's page asks for each visitor anew.

Nothing is known of who asked: the build and the whole question, to the byte, are all that an answer depends on.
"""

from collections import OrderedDict
from threading import Lock
from typing import NamedTuple

__all__ = ["Known", "Remembered"]

Question = tuple[str | bytes, ...]
_BESIDE = 1_000  # what an answer takes beside its text and its question's: the objects that hold them [bytes]


class Known(NamedTuple):
    """An answer: its body, what that is, how many scenes it has, and a GET's tag."""

    body: bytes
    content_type: str
    rows: int
    tag: str = ""


class Remembered:
    """Answers by their questions, the last ones used.

    Parameters
    ----------
    room : int
        Greatest size of all. [bytes]
    longest : int
        Greatest answer kept, with its question. [bytes]
    """

    def __init__(self, room: int = 4_000_000, longest: int = 40_000) -> None:
        self._room, self._longest = room, longest
        self._kept: OrderedDict[Question, Known] = OrderedDict()
        self._lock = Lock()

    def get(self, question: Question) -> Known | None:
        """The answer; None where it is not kept."""
        with self._lock:
            known = self._kept.get(question)
            if known is not None:
                self._kept.move_to_end(question)
            return known

    def keep(self, question: Question, known: Known) -> None:
        """Keep an answer, if it is not long, in place of those longest unused."""
        size = _size(question, known)
        if size > self._longest:
            return
        with self._lock:
            if question in self._kept:  # another thread was asked the same
                return
            self._kept[question] = known
            self._room -= size
            while self._room < 0:
                self._room += _size(*self._kept.popitem(last=False))


def _size(question: Question, known: Known) -> int:
    return _BESIDE + len(known.body) + sum(map(len, question))
