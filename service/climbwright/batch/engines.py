"""What answers the partitions: this process, several of this machine, or a Dask cluster.

An engine takes partitions as they are read and gives each back with its answer, in whatever order they are ready. It
never holds more of them than keep it busy, so that memory does not grow with the file.
"""

import logging
import multiprocessing
import os
import re
import signal
import threading
from collections.abc import Callable, Generator, Iterator
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from multiprocessing.connection import wait as wait_for_one_of
from typing import Any

from climbwright.batch.partition import Asked, Partition, answered
from climbwright.batch.refused import Refused
from climbwright.web.build import build

__all__ = ["Answers", "in_processes", "in_this_process", "on_dask", "windowed"]

Answers = Generator[tuple[Partition, bytes], None, None]

_AHEAD = 2  # partitions for each worker: one that it answers and one that waits there
_TRIES = 3  # how often a partition is given to the cluster, which itself tries several workers each time
_SECONDS = 30  # for a worker to be there
_ADDRESS = re.compile(r"(?:[a-z]+://)?[^/\s]+:[0-9]+/?")


def in_this_process(asked: Asked, partitions: Iterator[Partition]) -> Answers:
    """One partition after the other."""
    for partition in partitions:
        yield partition, answered(asked, partition)


def in_processes(asked: Asked, partitions: Iterator[Partition], workers: int) -> Answers:
    """Partitions answered by several processes.

    Raises
    ------
    Refused
        One of them died.
    """
    fresh = multiprocessing.get_context("spawn")  # a fork would copy locks that threads of Arrow hold
    pool = ProcessPoolExecutor(workers, mp_context=fresh, initializer=_begin)
    try:
        yield from windowed(pool, asked, partitions, lambda: _AHEAD * workers)
    except BrokenProcessPool:
        raise Refused(
            "a worker process died, perhaps for want of memory: the same command goes on from what is done, "
            "with fewer --workers in less memory"
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


def _begin() -> None:
    """In a worker process: leave Ctrl-C to the command, and end when it ends in whatever way."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    parent = multiprocessing.parent_process()
    if parent is not None:
        wait_for_one_of([parent.sentinel])
        os._exit(1)


def on_dask(asked: Asked, partitions: Iterator[Partition], address: str) -> Answers:
    """Partitions answered by a cluster, whose scheduler gives those of a worker that dies to another.

    A partition travels within its task: workers need no disk in common with the command, and what a dead worker had
    can be sent again.

    Raises
    ------
    Refused
        The cluster cannot be reached, has no workers or another build, or lost a partition several times.
    """
    try:
        import dask
        from distributed import Client
    except ImportError:
        raise Refused("--engine dask: Dask is not installed: install climbwright[fleet]") from None
    if _ADDRESS.fullmatch(address) is None:
        raise Refused(f"--scheduler: '{address[:80]}' is no address: send one like tcp://HOST:8786")
    # A partition is larger than what Dask expects in a task, and warns of.
    with dask.config.set({"distributed.admin.large-graph-warning-threshold": "1 GB"}):
        try:
            client = Client(address, set_as_default=False)
        except (OSError, ValueError) as error:
            raise Refused(f"--scheduler: there is none at {address} ({error}): start it, or send another") from None
        with client:
            _refuse_other_builds(client)
            yield from _through(client, asked, partitions)


def _through(client: Any, asked: Asked, partitions: Iterator[Partition]) -> Answers:
    from distributed import KilledWorker

    def room() -> int:
        return int(_AHEAD * sum(client.nthreads().values()))  # workers come and go

    executor = client.get_executor(pure=False)
    try:
        yield from windowed(executor, asked, partitions, room, (KilledWorker, CancelledError))
    except OSError as error:
        raise Refused(f"the scheduler went away ({error}): the same command goes on from what is done") from None
    finally:
        # Answers on their way when the command ends early are of no use, and no news that they did not arrive.
        logging.getLogger("tornado.application").setLevel(logging.CRITICAL)
        executor.shutdown(wait=False)


def _refuse_other_builds(client: Any) -> None:
    try:
        client.wait_for_workers(1, timeout=_SECONDS)
    except TimeoutError:
        raise Refused("--scheduler: the cluster has no workers: start some with dask worker ADDRESS") from None
    for worker, found in client.run(build, on_error="return").items():
        if found != build():
            word = f"has build {found} of climbwright" if isinstance(found, str) else f"has no climbwright ({found})"
            raise Refused(f"--scheduler: the worker {worker} {word}: install {build()}, as here")


def windowed(
    executor: Executor,
    asked: Asked,
    partitions: Iterator[Partition],
    room: Callable[[], int],
    lost: tuple[type[BaseException], ...] = (),
) -> Answers:
    """Partitions answered by an executor that gets no more of them than there is room for.

    Parameters
    ----------
    executor : concurrent.futures.Executor
        Where they are answered.
    asked : Asked
        The same for all partitions.
    partitions : iterator of Partition
        Read as far as there is room.
    room : callable
        How many may be there at a time; at least one is.
    lost : tuple of exception types
        What says that an answer was lost with those who worked on it: the partition is given again.

    Yields
    ------
    tuple of Partition and bytes
        Each partition once, with its answer, in the order in which they are ready.

    Raises
    ------
    Refused
        A partition was lost again and again.
    """
    waiting: dict[Future[bytes], tuple[Partition, int]] = {}

    def give(partition: Partition, times: int = 1) -> None:
        waiting[executor.submit(answered, asked, partition)] = partition, times

    def take() -> Answers:
        for future in wait(waiting, return_when=FIRST_COMPLETED).done:
            partition, times = waiting.pop(future)
            try:
                answer = future.result()
            except lost as error:
                if times == _TRIES:
                    raise _lost(partition, error) from None
                give(partition, times + 1)
            else:
                yield partition, answer

    for partition in partitions:
        give(partition)
        while len(waiting) >= max(room(), 1):
            yield from take()
    while waiting:
        yield from take()


def _lost(partition: Partition, error: BaseException) -> Refused:
    word = f"the rows from {partition.before + 1} on were lost with their workers {_TRIES} times ({error})"
    return Refused(f"{word}: give the workers more memory, or send fewer --rows")
