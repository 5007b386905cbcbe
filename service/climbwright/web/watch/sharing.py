"""What gunicorn's workers count together: files in one folder, which outlive a worker.

Each worker has a small number, which the one that follows it takes over together with its files: totals go on where
a worker was killed, and there are never more files than there were workers at a time.
"""

import atexit
import contextlib
import fcntl
import os
import shutil
import tempfile
from itertools import count
from pathlib import Path
from typing import IO, Any

__all__ = ["folder", "forget_worker", "number_worker", "share"]

_PREFIX, _LOCK = "climbwright-", "lock"
_folder: str | None = None
_lock: IO[str] | None = None
_number = 0  # of this worker; the arbiter itself has 0


def folder() -> str | None:
    """Where the workers count; None in a process that counts for itself."""
    return _folder


def share(under: str) -> None:
    """Let this process and the workers it will have count together; once for each arbiter, before the application.

    Parameters
    ----------
    under : str
        Folder in which the workers' own is made, best one in memory.
    """
    global _folder
    if _folder is not None:
        return  # gunicorn reads its settings again
    from prometheus_client import values

    _sweep(under)
    _folder = _own_folder(under)
    os.environ["PROMETHEUS_MULTIPROC_DIR"] = _folder
    values.ValueClass = values.MultiProcessValue(lambda: _number)  # type: ignore[no-untyped-call]
    atexit.register(_remove, _folder, os.getpid())


def _own_folder(under: str) -> str:
    """A new folder with a lock, which this process and its workers hold as long as one of them lives."""
    global _lock
    made = tempfile.mkdtemp(prefix=f"new-{_PREFIX}", dir=under)
    _lock = open(os.path.join(made, _LOCK), "w")  # noqa: SIM115
    fcntl.flock(_lock, fcntl.LOCK_EX)
    known = os.path.join(under, os.path.basename(made).removeprefix("new-"))
    os.rename(made, known)  # under this name only with its lock held
    return known


def _sweep(under: str) -> None:
    """Remove what arbiters left that were killed: folders whose lock nobody holds."""
    for path in Path(under).glob(f"{_PREFIX}*/{_LOCK}"):
        with contextlib.suppress(OSError), path.open() as lock:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
            shutil.rmtree(path.parent)


def number_worker(server: Any, worker: Any) -> None:
    """Before the fork: the smallest number that no worker has, which the new one takes along."""
    global _number
    taken = {other.number for other in server.WORKERS.values()}
    worker.number = _number = next(number for number in count(1) if number not in taken)


def forget_worker(_server: Any, worker: Any) -> None:
    """Once a worker has ended: its requests are no longer under way. What it counted stays."""
    if _folder is not None:
        from prometheus_client.multiprocess import mark_process_dead

        mark_process_dead(worker.number, _folder)  # type: ignore[no-untyped-call]


def _remove(made: str, by: int) -> None:
    if os.getpid() == by:  # a worker that ends runs this too
        shutil.rmtree(made, ignore_errors=True)
