"""The counts of one machine's clients, in memory that all its workers share.

It is made before the workers are forked: a table of fixed size, in which a keyed hash of a client's name finds a bucket
of eight places. A worker locks the bucket it reads with a record lock of the kernel, which ends with the process that
holds it: a worker that is killed leaves nothing locked, at worst one client's number wrong for a window.
"""

import fcntl
import hashlib
import mmap
import os
import struct
import tempfile
import threading
import time
import weakref

from climbwright.web.guard.rates import Kept, Rate, Verdict, charge

__all__ = ["Counts"]

_PLACES = 8
_BUCKETS = 8192  # 65,536 clients in 1.5 MB
_BUCKET = struct.Struct(f"={3 * _PLACES}Q")  # who, due, paid
_WORD = struct.Struct("=Q")


class Counts:
    """Each client's count by one rate."""

    def __init__(self, rate: Rate, buckets: int = _BUCKETS) -> None:
        self._rate, self._buckets = rate, buckets
        self._memory = mmap.mmap(-1, buckets * _BUCKET.size)
        self._locks = _file_without_name()
        weakref.finalize(self, os.close, self._locks)
        self._threads = threading.Lock()  # the kernel's locks are a process's, not a thread's
        self._secret = os.urandom(16)  # nobody can choose addresses that meet in one bucket

    def take(self, client: str, cost: int, question: int = 0, ahead: bool = False, now: int | None = None) -> Verdict:
        """Charge a client, as `charge` says; `now` is the machine's steady clock, which nobody sets."""
        now = time.monotonic_ns() // 1000 if now is None else now
        digest = hashlib.blake2b(client.encode("utf-8", "surrogatepass"), digest_size=16, key=self._secret).digest()
        bucket, who = int.from_bytes(digest[:8]) % self._buckets, int.from_bytes(digest[8:]) or 1
        with self._threads:
            fcntl.lockf(self._locks, fcntl.LOCK_EX, 1, bucket)
            try:
                return self._charged(bucket * _BUCKET.size, who, cost, now, question, ahead)
            finally:
                fcntl.lockf(self._locks, fcntl.LOCK_UN, 1, bucket)

    def _charged(self, at: int, who: int, cost: int, now: int, question: int, ahead: bool) -> Verdict:
        words = _BUCKET.unpack_from(self._memory, at)
        clients, due, paid = words[:_PLACES], words[_PLACES : 2 * _PLACES], words[2 * _PLACES :]
        if who in clients:
            place = clients.index(who)
            before = Kept(due[place], paid[place])
        else:  # in place of who has the most of its quota, and so loses least by being forgotten
            place, before = due.index(min(due)), Kept()
        kept, verdict = charge(self._rate, before, cost, now, question, ahead)
        for column, word in enumerate((who, kept.due, kept.paid)):
            _WORD.pack_into(self._memory, at + (column * _PLACES + place) * _WORD.size, word)
        return verdict


def _file_without_name() -> int:
    if hasattr(os, "memfd_create"):
        return os.memfd_create("climbwright-counts")
    with tempfile.TemporaryFile() as file:
        return os.dup(file.fileno())
