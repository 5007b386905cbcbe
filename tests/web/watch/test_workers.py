"""Several workers count as one: through a killed worker, many of them, and a reload."""

import contextlib
import json
import os
import signal
import socket
import subprocess
import time
import urllib.request
from pathlib import Path

import pytest

from ...serving import started
from .test_metrics import of, samples

LEAST = "/v1/atmosphere?altitude=6150ft"
SECONDS = 60


def ask(address, path=LEAST):
    for _ in range(50):
        with contextlib.suppress(OSError):  # a worker that is killed takes what waits at it along
            return urllib.request.urlopen(f"{address}{path}", timeout=10).read().decode()
    raise AssertionError("no answer")


def counted(address):
    return samples(ask(address, "/metrics"))


def total(address):
    return of(counted(address), "requests_total", route="/v1/atmosphere", method="GET", status="200")


def workers(process):
    children = Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text()
    return {int(pid) for pid in children.split()}


def until(true):
    deadline = time.monotonic() + SECONDS
    while not true():
        assert time.monotonic() < deadline
        time.sleep(0.05)


def folder_of(process):
    """Where its workers count, by what they have open."""
    for pid in workers(process):
        for line in Path(f"/proc/{pid}/maps").read_text().splitlines():
            if line.endswith(".db"):
                return Path(line.split(maxsplit=5)[5]).parent
    raise AssertionError("no folder")


@pytest.fixture
def running():
    with started(subprocess.DEVNULL) as (process, address):
        until(lambda: len(workers(process)) == 2)
        yield process, address


def test_workers_are_added_up(running):
    _, address = running
    before = total(address)
    for _ in range(60):
        ask(address)
    assert total(address) == before + 60
    assert of(counted(address), "request_seconds_count", route="/v1/atmosphere") == before + 60
    assert of(counted(address), "requests_under_way") == 1


def test_totals_outlive_workers_and_leave_no_heap_of_files(running):
    process, address = running
    asked, files = 0, set()
    for _ in range(8):
        for _ in range(10):
            ask(address)
        asked += 10
        assert total(address) == asked
        victim = min(workers(process))
        os.kill(victim, signal.SIGKILL)
        until(lambda gone=victim: len(workers(process)) == 2 and gone not in workers(process))
        assert total(address) == asked
        files |= {path.name for path in folder_of(process).iterdir()}
    assert len(files) <= 3 * 3 + 1, files  # of three kinds, each for two workers and the arbiter; a lock
    assert of(counted(address), "requests_under_way") == 1


def test_totals_outlive_a_reload(running):
    process, address = running
    asked = 0
    for _ in range(3):
        before = workers(process)
        for _ in range(10):
            ask(address)
        asked += 10
        process.send_signal(signal.SIGHUP)
        until(lambda old=before: len(workers(process)) == 2 and not old & workers(process))
        assert total(address) == asked
    folder = folder_of(process)
    assert len({path.name for path in folder.iterdir()}) <= 3 * 5 + 1  # old and new workers, and the arbiter; a lock


def test_a_worker_killed_in_a_request_has_none_under_way(running):
    process, address = running
    port = int(address.rpartition(":")[2])
    head = b"POST /v1/fleet HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n"
    with contextlib.ExitStack() as connections:
        for _ in range(2):
            connection = connections.enter_context(socket.create_connection(("127.0.0.1", port)))
            connection.sendall(head + b"{")  # and no more: each keeps a thread
        until(lambda: of(counted(address), "requests_under_way") == 3)
        before = workers(process)
        for pid in before:
            os.kill(pid, signal.SIGKILL)
        until(lambda: len(workers(process)) == 2 and not before & workers(process))
        assert of(counted(address), "requests_under_way") == 1


@pytest.mark.parametrize("asking", [signal.SIGTERM, signal.SIGINT, signal.SIGQUIT])
def test_the_folder_ends_with_the_server(asking):
    with started(subprocess.DEVNULL) as (process, address):
        ask(address)
        folder = folder_of(process)
        assert folder.is_dir()
        assert folder.stat().st_mode & 0o077 == 0
        process.send_signal(asking)
        process.wait(SECONDS)
    assert not folder.exists()


def test_the_folder_of_a_killed_server_goes_at_the_next_start_and_no_other(running):
    process, _ = running
    living = folder_of(process)
    with started(subprocess.DEVNULL) as (killed, address):
        ask(address)
        left, orphans = folder_of(killed), workers(killed)
        killed.kill()
        killed.wait()
        until(lambda: not any(Path(f"/proc/{pid}").exists() for pid in orphans))  # they see that nobody owns them
    assert left.is_dir()
    with started(subprocess.DEVNULL) as (after, address):
        ask(address)
        assert folder_of(after).is_dir()
        assert not left.exists()
    assert living.is_dir()


def test_nothing_is_shared_where_nothing_is_counted():
    with started(subprocess.DEVNULL, CLIMBWRIGHT_METRICS="false") as (process, address):
        ask(address)
        with pytest.raises(AssertionError, match="no folder"):
            folder_of(process)
        process.send_signal(signal.SIGHUP)
        ask(address)
        before = workers(process)
        os.kill(min(before), signal.SIGKILL)
        until(lambda: len(workers(process)) == 2 and min(before) not in workers(process))
        assert json.loads(ask(address, "/health/live")) == {"status": "live"}
