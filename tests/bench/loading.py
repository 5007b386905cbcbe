"""What the benches of load share: wrk, clients that ask again, and what the workers cost."""

import contextlib
import json
import os
import shutil
import statistics
import subprocess
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx
from tests.load.calling import children

from climbwright_client import Climbwright, ClimbwrightError, Retry

WRK = shutil.which("wrk")
NO_WRK = "wrk is missing: it is the Debian package of that name (apt-get install wrk)"

# What wrk does once in each of its threads, and says at the end.
SCRIPT = """
local threads = 0
function setup(thread) thread:set("id", threads); threads = threads + 1 end
local asked = 0
function delay() return pause end
function request()
    asked = asked + 1
    local digits = string.format("%03d%02d%07d", turn, id, asked)
    local path = before .. (after and digits .. after or "")
    return wrk.format(nil, path, nil, head and head .. digits .. tail or wrk.body)
end
function done(summary, latency)
    local e = summary.errors
    io.write(string.format('\\n{"requests":%d,"seconds":%f,"connect":%d,"read":%d,"write":%d,"timeout":%d,"status":%d,',
        summary.requests, summary.duration / 1e6, e.connect, e.read, e.write, e.timeout, e.status))
    io.write(string.format('"p50":%f,"p99":%f}\\n', latency:percentile(50) / 1e3, latency:percentile(99) / 1e3))
end
"""


@dataclass(frozen=True)
class Question:
    """A request, and where it can be varied: digits go between `path` and `after`, or `body` and `tail`."""

    path: str
    after: str | None = None
    body: bytes | None = None
    tail: bytes | None = None


@dataclass
class Load:
    """What came of a load; times in ms."""

    requests: int = 0
    failures: int = 0
    retried: int = 0
    p50: float = 0.0
    p99: float = 0.0
    seconds: float = 0.0
    reasons: dict[str, int] = field(default_factory=dict)


def wrk(
    address: str, question: Question, seconds: float, connections: int = 64, *, turn: int = 0, pause: float = 0.0
) -> Load:
    """wrk on one question for some seconds.

    With `turn` a varied question differs from those of another turn; `pause` is between answer and next request. [s]
    """
    if WRK is None:
        raise SystemExit(NO_WRK)
    with tempfile.TemporaryDirectory() as folder:
        script, body, tail = (Path(folder, name) for name in ("load.lua", "body", "tail"))
        lines = [f"before, turn, pause = {json.dumps(question.path)}, {turn}, {round(1e3 * pause)}"]
        if question.after is not None:
            lines.append(f"after = {json.dumps(question.after)}")
        if question.body is not None:
            body.write_bytes(question.body)
            lines.append('wrk.method, wrk.headers["Content-Type"] = "POST", "application/json"')
            lines.append(f'{"wrk.body" if question.tail is None else "head"} = io.open("{body}", "rb"):read("*a")')
        if question.tail is not None:
            tail.write_bytes(question.tail)
            lines.append(f'tail = io.open("{tail}", "rb"):read("*a")')
        script.write_text("\n".join(lines) + SCRIPT)
        command = [
            WRK,
            "-t2",
            f"-c{connections}",
            f"-d{max(round(seconds), 1)}s",
            "--timeout",
            "10s",
            "-s",
            str(script),
        ]
        told = subprocess.run([*command, address], capture_output=True, text=True, check=True).stdout
    found = json.loads(told.strip().splitlines()[-1])
    reasons = {name: found[name] for name in ("connect", "read", "write", "timeout", "status") if found[name]}
    return Load(found["requests"], sum(reasons.values()), 0, found["p50"], found["p99"], found["seconds"], reasons)


class Attempts(httpx.HTTPTransport):
    """Counts the requests that are sent."""

    made = 0

    def handle_request(self, request: httpx.Request) -> httpx.Response:
        self.made += 1
        return super().handle_request(request)


class Clients:
    """Python clients that ask one operation over and over, inside a `with`; each asks again what fails."""

    def __init__(self, address: str, operation: str, given: dict[str, Any], count: int) -> None:
        self.address, self.operation, self.given = address, operation, given
        self._times: list[float] = []
        self._failures: list[str] = []
        self._attempts = [Attempts() for _ in range(count)]
        self._enough = threading.Event()
        self._threads = [threading.Thread(target=self._work, args=(one,)) for one in self._attempts]

    def _work(self, transport: Attempts) -> None:
        with Climbwright(self.address, transport=transport, retry=Retry(first=0.2)) as client:
            while not self._enough.is_set():
                started = time.perf_counter()
                try:
                    client.ask(self.operation, self.given)
                except ClimbwrightError as error:
                    self._failures.append(type(error).__name__)
                self._times.append(time.perf_counter() - started)

    def __enter__(self) -> "Clients":
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._enough.set()
        for thread in self._threads:
            thread.join()

    @property
    def load(self) -> Load:
        """What came of it, once they have ended."""
        reasons = {name: self._failures.count(name) for name in set(self._failures)}
        retried = sum(one.made for one in self._attempts) - len(self._times)
        return Load(len(self._times), len(self._failures), retried, *percentiles(self._times), 0.0, reasons)


def percentiles(times: list[float]) -> tuple[float, float]:
    """Median and 99th percentile in ms, of seconds."""
    ordered = sorted(times) or [0.0]
    return 1e3 * statistics.median(ordered), 1e3 * ordered[int(0.99 * (len(ordered) - 1))]


def cpu_seconds(pids: list[int]) -> float:
    """User and system time that processes have had."""
    ticks = 0
    for pid in pids:
        fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        ticks += int(fields[11]) + int(fields[12])
    return ticks / os.sysconf("SC_CLK_TCK")


def resident(pids: list[int]) -> float:
    """Mean resident memory of processes. [MB]"""
    pages = []
    for pid in pids:
        with contextlib.suppress(OSError):
            pages.append(int(Path(f"/proc/{pid}/statm").read_text().split()[1]))
    return statistics.mean(pages) * os.sysconf("SC_PAGE_SIZE") / 2**20 if pages else 0.0


class Memory:
    """Samples the workers' memory inside a `with`."""

    def __init__(self, master: int, every: float = 0.25) -> None:
        self.master, self.every = master, every
        self.samples: list[float] = []
        self._enough = threading.Event()
        self._thread = threading.Thread(target=self._sample)

    def _sample(self) -> None:
        while not self._enough.wait(self.every):
            if size := resident(children(self.master)):
                self.samples.append(size)

    def __enter__(self) -> "Memory":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._enough.set()
        self._thread.join()

    @property
    def tenths(self) -> list[float]:
        """The median of each tenth of the time."""
        count = len(self.samples)
        parts = [self.samples[count * n // 10 : count * (n + 1) // 10] or self.samples[:1] for n in range(10)]
        return [statistics.median(part) for part in parts]

    @property
    def drift(self) -> float:
        """The last tenth over the second, less 1: in the first the workers make themselves ready."""
        return self.tenths[-1] / self.tenths[1] - 1.0


@contextlib.contextmanager
def every(seconds: float, act: Any) -> Iterator[list[float]]:
    """Do something every so many seconds, inside a `with`; gives the times at which it was done."""
    done: list[float] = []
    enough = threading.Event()

    def work() -> None:
        while not enough.wait(seconds):
            act()
            done.append(time.monotonic())

    thread = threading.Thread(target=work)
    thread.start()
    try:
        yield done
    finally:
        enough.set()
        thread.join()
