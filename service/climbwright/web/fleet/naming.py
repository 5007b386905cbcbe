"""The name of a large input: a hash of its bytes, found while they are computed with."""

import hashlib
from threading import Thread

__all__ = ["Naming"]


class Naming:
    """A hash of a query and a body, under way in a thread of its own, for which other threads need not wait.

    Parameters
    ----------
    query : bytes
        The query as it came.
    body : bytes
        The body as it came.
    """

    def __init__(self, query: bytes, body: bytes) -> None:
        self._digest = hashlib.sha256(query + b"\n")
        self._thread = Thread(target=self._digest.update, args=(body,))
        self._thread.start()

    def result(self) -> str:
        """The hash, when it is done."""
        self._thread.join()
        return "sha256:" + self._digest.hexdigest()
