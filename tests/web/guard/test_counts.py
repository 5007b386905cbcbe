"""The table of counts: kept apart, bounded, and right whatever its processes do."""

import multiprocessing
import os
import signal
import threading
import time

import pytest

from climbwright.web.guard.counts import Counts
from climbwright.web.guard.rates import Rate

FORK = multiprocessing.get_context("fork")
HOUR = Rate(1000, 3600)


@pytest.fixture
def in_processes():
    """Runs a function in forked processes, as the workers are, and gives what each returned."""

    def run(function, count):
        answers = FORK.SimpleQueue()
        workers = [FORK.Process(target=lambda: answers.put(function())) for _ in range(count)]
        for worker in workers:
            worker.start()
        found = [answers.get() for _ in workers]
        for worker in workers:
            worker.join(timeout=60)
        return found

    return run


def test_clients_are_counted_apart():
    counts = Counts(HOUR)
    left = {name: counts.take(name, cost, now=0).left for name, cost in [("a", 1), ("b", 10), ("c", 100)]}
    assert left == {"a": 999, "b": 990, "c": 900}


@pytest.mark.filterwarnings("ignore:.*multi-threaded.*fork:DeprecationWarning")
def test_processes_count_together_exactly(in_processes):
    counts = Counts(HOUR, buckets=1)
    admitted = in_processes(lambda: sum(counts.take("anybody", 1, now=0).admitted for _ in range(400)), 4)
    assert sum(admitted) == 1000


def test_threads_count_together_exactly():
    counts, admitted = Counts(HOUR, buckets=1), []
    threads = [
        threading.Thread(
            target=lambda: admitted.append(sum(counts.take("anybody", 1, now=0).admitted for _ in range(400)))
        )
        for _ in range(4)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sum(admitted) == 1000


@pytest.mark.filterwarnings("ignore:.*multi-threaded.*fork:DeprecationWarning")
def test_a_process_killed_in_the_middle_leaves_nothing_locked():
    counts = Counts(Rate(9999, 1), buckets=1)

    def ask_for_ever():
        while True:
            counts.take("anybody", 1)

    for pause in (0.01, 0.02, 0.05):
        workers = [FORK.Process(target=ask_for_ever) for _ in range(3)]
        for worker in workers:
            worker.start()
        time.sleep(pause + 0.05)
        for worker in workers:
            os.kill(worker.pid, signal.SIGKILL)
            worker.join(timeout=20)
        started = time.monotonic()
        counts.take("anybody", 1)
        assert time.monotonic() - started < 5


def test_a_process_killed_with_the_lock_held_gives_it_back():
    counts = Counts(HOUR, buckets=1)
    holding = FORK.Event()

    def hold():
        import fcntl

        fcntl.lockf(counts._locks, fcntl.LOCK_EX, 1, 0)
        holding.set()
        time.sleep(600)

    worker = FORK.Process(target=hold)
    worker.start()
    assert holding.wait(20)
    waiting = threading.Thread(target=counts.take, args=("anybody", 1))
    waiting.start()
    waiting.join(timeout=0.5)
    assert waiting.is_alive()  # it is locked out, so that the next line shows something
    os.kill(worker.pid, signal.SIGKILL)
    worker.join(timeout=20)
    waiting.join(timeout=20)
    assert not waiting.is_alive()


def test_more_clients_than_places_keep_the_memory_and_forget_who_asked_least():
    counts = Counts(HOUR, buckets=1)  # eight places
    for name in "abcdefg":
        counts.take(name, 500, now=0)
    counts.take("h", 3, now=0)
    assert counts.take("i", 1, now=0).left == 999  # a new one is never refused for what others did
    assert counts.take("a", 1, now=0).left == 499
    assert counts.take("i", 1, now=0).left == 998
    assert counts.take("h", 1, now=0).left == 999  # forgotten
    assert [counts.take(name, 1, now=0).left for name in "bcdefg"] == [499] * 6


def test_setting_the_time_changes_nothing(monkeypatch):
    counts = Counts(Rate(2, 3600))
    monkeypatch.setattr(time, "time", lambda: 0.0)
    monkeypatch.setattr(time, "time_ns", lambda: 0)
    assert [counts.take("anybody", 1).admitted for _ in range(3)] == [True, True, False]
    monkeypatch.setattr(time, "time", lambda: 4e9)
    monkeypatch.setattr(time, "time_ns", lambda: 4 * 10**18)
    assert not counts.take("anybody", 1).admitted
