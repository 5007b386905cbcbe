"""What the service does in trouble: workers killed, reloads, slow clients, too little memory; each under load.

Run: .venv/bin/python tests/bench/faults.py [--kill] [--reload] [--slow] [--memory] [--seconds N] [--json FILE] [--save]

Without a choice all four run, each for `--seconds`. wrk asks for a density altitude and Python clients for the
documented comparison, which ask again where they got no answer: 64 connections and four clients; beside slow clients
and large fleets 8 with a pause of 20 ms and one. Where wrk is missing, plain connections kept alive stand in for it,
and the table says so. `retried` are requests sent again, `failures` those that nobody answered, or not with 200;
`drift` is the workers' memory at the end over that at the beginning, less 1.

- kill: a worker is killed every 5 s. wrk, which does not ask again, loses what was on connections to that worker.
- reload: SIGHUP every 10 s. Nothing may be lost.
- slow: 40 slow clients at the service itself, of the ways that hold no thread, then 200 of every way behind the proxy.
- memory: the workers may grow by so little that large fleets find no room. They are told so with 503, or their worker
  dies of it and is replaced, which costs what was on connections to it. No answer is a 500.
"""

import argparse
import contextlib
import os
import resource
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import orjson

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.bench.loading import NO_WRK, WRK, Clients, Load, Memory, Question, every, percentiles, wrk
from tests.bench.recording import before, keep
from tests.bench.slow import Slow
from tests.load.asked import example, large_fleet
from tests.load.calling import QUESTION, Callers, Line, children
from tests.proxied import NGINX, proxied
from tests.serving import started

SLOW_LIMIT = 50.0  # the 99th percentile of the others beside 200 slow clients behind the proxy [ms]
HARMLESS = ("silent", "head", "answer", "lingering")
Row = tuple[str, Load, float]


@dataclass(frozen=True)
class Others:
    """Those who ask meanwhile: connections of wrk, the pause of each between two requests, and Python clients."""

    connections: int
    pause: float
    clients: int


BUSY = Others(64, 0.0, 4)  # as much as the service can carry
SOME = Others(8, 0.02, 1)  # what leaves it room, so that a wait is not for each other


def asked_on(address: str, seconds: float, others: Others) -> Load:
    """wrk, or what stands in for it."""
    if WRK is not None:
        return wrk(address, Question(QUESTION), seconds, others.connections, pause=others.pause)
    with Callers(address, min(others.connections, 16), pause=others.pause) as callers:
        time.sleep(seconds)
    failures = len(callers.lost) + len(callers.refused) + callers.unconnected
    reasons = {name: callers.lost.count(name) for name in set(callers.lost)}
    return Load(len(callers.seconds), failures, 0, *percentiles(callers.seconds), seconds, reasons)


@contextlib.contextmanager
def loaded(name: str, rows: list[Row], address: str, master: int, seconds: float, others: Others) -> Iterator[None]:
    """Both loads and the workers' memory, while what is in the `with` does its harm; two rows of the table."""
    with Memory(master) as memory, Clients(address, "comparison", example("comparison"), others.clients) as clients:
        plain: list[Load] = []
        thread = threading.Thread(target=lambda: plain.append(asked_on(address, seconds, others)))
        thread.start()
        try:
            yield
        finally:
            thread.join()
    rows.append((f"{name}: plain", plain[0], memory.drift))
    rows.append((f"{name}: Python clients", clients.load, memory.drift))


def killed(seconds: float, rows: list[Row]) -> None:
    """The oldest worker is killed every 5 s."""
    with started() as (master, address):

        def kill() -> None:
            workers = children(master.pid)
            if workers:
                os.kill(workers[0], signal.SIGKILL)

        with every(min(5.0, seconds / 3.0), kill), loaded("kill", rows, address, master.pid, seconds, BUSY):
            pass


def reloaded(seconds: float, rows: list[Row]) -> None:
    """SIGHUP every 10 s."""
    with started() as (master, address):
        hang_up = lambda: master.send_signal(signal.SIGHUP)  # noqa: E731
        with (
            every(min(10.0, seconds / 3.0), hang_up),
            loaded("reload", rows, address, master.pid, seconds, BUSY),
        ):
            pass


def slowed(seconds: float, rows: list[Row]) -> None:
    """Slow clients beside the others."""
    with started() as (master, address):
        with loaded("no slow clients", rows, address, master.pid, seconds, SOME):
            pass
        with Slow(address, 40, HARMLESS) as slow, loaded("40 slow", rows, address, master.pid, seconds, SOME):
            pass
        print(f"40 slow clients at the service: {slow.answered} answers, {slow.closed} connections closed on them")
        if NGINX is None:
            print("nginx is missing: it is the Debian package nginx-light; nothing is measured behind the proxy")
            return
        with proxied(address) as proxy:
            with loaded("proxy, no slow clients", rows, proxy, master.pid, seconds, SOME):
                pass
            with Slow(proxy, 200) as slow, loaded("proxy, 200 slow", rows, proxy, master.pid, seconds, SOME):
                pass
        print(f"200 slow clients at the proxy: {slow.answered} answers, {slow.closed} connections closed on them")


def short_of_memory(seconds: float, rows: list[Row]) -> None:
    """Workers that may grow by 96 MB from where they stand, and large fleets sent to them."""
    body = orjson.dumps(large_fleet(250_000))
    statuses: dict[Any, int] = {}
    with started() as (master, address):
        asked_on(address, 1.0, SOME)
        workers = children(master.pid)
        most = 96 * 2**20 + max(size(pid) for pid in workers)
        for pid in (master.pid, *workers):  # those that the master starts later have its limit
            resource.prlimit(pid, resource.RLIMIT_AS, (most, most))
        enough = threading.Event()

        def send() -> None:
            while not enough.is_set():
                try:
                    with Line(address) as line:
                        status = line.ask("/v1/fleet?format=json", body)[0]
                except (OSError, ValueError) as error:
                    status = type(error).__name__
                statuses[status] = statuses.get(status, 0) + 1
                time.sleep(0.2)

        threads = [threading.Thread(target=send) for _ in range(3)]
        for thread in threads:
            thread.start()
        with loaded("memory", rows, address, master.pid, seconds, SOME):
            pass
        enough.set()
        for thread in threads:
            thread.join()
        stayed = len(set(workers) & set(children(master.pid)))
    print(f"fleets of 250,000 rows in too little memory: {statuses}; {stayed} of {len(workers)} workers stayed")
    wrong = sum(count for status, count in statuses.items() if isinstance(status, int) and status not in (200, 503))
    load = Load(sum(statuses.values()), wrong)
    rows.append(("memory: fleets", load, 0.0))


def size(pid: int) -> int:
    """What a process has of addresses, which is what the limit counts. [bytes]"""
    return int(Path(f"/proc/{pid}/statm").read_text().split()[0]) * os.sysconf("SC_PAGE_SIZE")


FAULTS: dict[str, Callable[[float, list[Row]], None]] = {
    "kill": killed,
    "reload": reloaded,
    "slow": slowed,
    "memory": short_of_memory,
}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in FAULTS:
        parser.add_argument(f"--{name}", action="store_true")
    parser.add_argument("--seconds", type=float, default=60.0, help="for each load")
    parser.add_argument("--json", type=Path)
    parser.add_argument("--save", action="store_true", help="add the figures to history.jsonl")
    asked = parser.parse_args()
    if WRK is None:
        print(f"{NO_WRK}; connections kept alive stand in for it")
    rows: list[Row] = []
    for name in [name for name in FAULTS if getattr(asked, name)] or FAULTS:
        FAULTS[name](asked.seconds, rows)
    keep("faults", shown(rows), file=asked.json, save=asked.save)
    return int(lost(rows))


def lost(rows: list[Row]) -> bool:
    """Whether more was lost than may be: what a killed worker held, of those who do not ask again."""
    died = ("kill: plain", "memory: plain")
    return any(load.reasons.get("status", 0) if name in died else load.failures for name, load, _ in rows)


def shown(rows: list[Row]) -> dict[str, float]:
    """The table, and its figures by name."""
    last = (before("faults") or {"ratios": {}})["ratios"]
    heads = ("requests", "failures", "retried", "p50 ms", "p99 ms", "drift", "before")
    print(" " * 40 + "".join(f"{head:>10}" for head in heads))
    found: dict[str, float] = {}
    for name, load, drift in rows:
        figures = [f"{value:10d}" for value in (load.requests, load.failures, load.retried)]
        figures += [f"{load.p50:10.1f}", f"{load.p99:10.1f}", f"{100 * drift:9.1f}%"]
        figures.append(f"{last.get(f'{name}, p99 [ms]', ''):>10}")
        beyond = name == "proxy, 200 slow: plain" and load.p99 > SLOW_LIMIT
        print(f"{name:40}{''.join(figures)}{'  beyond the limit' if beyond else ''}  {load.reasons or ''}")
        values = {"requests": load.requests, "failures": load.failures, "retried": load.retried,
                  "p50 [ms]": load.p50, "p99 [ms]": load.p99, "drift": drift}  # fmt: skip
        found |= {f"{name}, {what}": value for what, value in values.items()}
    return found


if __name__ == "__main__":
    sys.exit(main())
