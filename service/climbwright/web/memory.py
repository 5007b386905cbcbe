"""How the process keeps the memory that arrays leave behind."""

import ctypes

__all__ = ["keep_freed_memory"]

_TRIM_THRESHOLD, _MMAP_THRESHOLD, _ARENA_MAX = -1, -3, -8  # of mallopt in glibc's malloc.h
_KEPT, _LARGEST = 256 * 2**20, 64 * 2**20  # [bytes]


def keep_freed_memory() -> bool:
    """Keep freed memory for the next array instead of giving it back, which halves the time of array arithmetic.

    Every step of a formula makes an array and drops one. By its usual settings the C library returns such memory to the
    system, and the system fills it with zeros page by page before it is written again. All threads draw on one store:
    with one for each, what one has kept is no use to the others, and memory grows for as long as large requests fall
    together in new ways.

    Returns
    -------
    bool
        False where the C library takes no such advice.
    """
    try:
        advise = ctypes.CDLL(None).mallopt
    except (AttributeError, OSError, TypeError):
        return False
    advised = (advise(_ARENA_MAX, 1), advise(_MMAP_THRESHOLD, _LARGEST), advise(_TRIM_THRESHOLD, _KEPT))
    return all(advised)
