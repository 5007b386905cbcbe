"""Small answers that were just given, by their tag: a spreadsheet's cell asks HEAD, then GET, at each recalculation.

Nothing is known of who asked: a tag names the build and the whole question, so its answer is always the same.
"""

from collections import OrderedDict
from threading import Lock

__all__ = ["Remembered"]


class Remembered:
    """Bodies with their content types, the last ones used.

    Parameters
    ----------
    most : int
        How many.
    longest : int
        Greatest body kept. [bytes]
    """

    def __init__(self, most: int = 1_000, longest: int = 2_000) -> None:
        self._most, self._longest = most, longest
        self._kept: OrderedDict[str, tuple[bytes, str]] = OrderedDict()
        self._lock = Lock()

    def get(self, tag: str) -> tuple[bytes, str] | None:
        """Body and content type; None where it is not kept."""
        with self._lock:
            if tag in self._kept:
                self._kept.move_to_end(tag)
            return self._kept.get(tag)

    def keep(self, tag: str, body: bytes, content_type: str) -> None:
        """Keep an answer, if it is small, in place of the one longest unused."""
        if len(body) > self._longest:
            return
        with self._lock:
            self._kept[tag] = body, content_type
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)
