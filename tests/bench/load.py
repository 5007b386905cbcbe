"""What the service carries: requests a second and CPU of every GET and of a comparison, beside a bare Flask route.

Run: .venv/bin/python tests/bench/load.py [--seconds N] [--rounds N] [--only WORD] [--json FILE] [--save]

wrk asks with 64 connections. Rounds are interleaved (each runs every case once) and medians are quoted; `--seconds` is
what a case gets in all rounds together. Every question is asked in two ways: with digits varied so that each is new,
and again and again, as cells and club pages ask, when its answer is remembered. The bare route stands on the same
settings of gunicorn. CPU is user and system time of the workers, which the rest of the machine disturbs less than
requests a second; its ratio, to which the limits apply, is the bare route's over the case's.
"""

import argparse
import contextlib
import json
import re
import statistics
import sys
from pathlib import Path
from typing import Any
from urllib.parse import quote

from climbwright.web.openapi.examples import query_example, query_text
from climbwright.web.operations import OPERATIONS

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.bench.loading import NO_WRK, WRK, Question, cpu_seconds, wrk
from tests.bench.recording import before, keep
from tests.load.asked import example
from tests.load.calling import Line, children
from tests.serving import started

CONNECTIONS = 64
BARE = "bare route"
COMPARISON = "comparison 1x2x2"
AGAIN = ", again"
# The least share of the bare route's requests for the same CPU, which the project set itself; other GETs know spreads
TYPED = ("atmosphere", "density-altitude", "airspeed", "position-error", "stall-speed", "balance")
_LEAST = {COMPARISON: 0.10} | {f"GET {name}": 0.72 for name in TYPED}
LIMITS = _LEAST | {f"{name}{AGAIN}": least for name, least in _LEAST.items()}
_QUANTITY = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*(\S+)")


def varied(path: str, fields: dict[str, Any]) -> Question:
    """The question, its first plain quantity with digits more."""
    name, found = next(
        (name, _QUANTITY.fullmatch(value))
        for name, value in fields.items()
        if isinstance(value, str) and _QUANTITY.fullmatch(value)
    )
    assert found is not None
    others = query_text({key: value for key, value in fields.items() if key != name})
    point = "" if "." in found[1] else "."
    return Question(f"{path}?{others}&{name}={found[1]}{point}", quote(found[2]))


def varied_body(path: str, body: bytes) -> Question:
    """The same of a body."""
    found = re.search(rb'"elevation": "([0-9]+)(?= )', body)
    assert found is not None
    return Question(path, body=body[: found.end()] + b".", tail=body[found.end() :])


def comparison() -> bytes:
    """One option, two loadings, two conditions, and no spread sent."""
    given = example("comparison")
    parts = {name: given[name][:most] for name, most in (("options", 1), ("loadings", 2), ("conditions", 2))}
    return json.dumps(certain(given | parts)).encode()


def certain(node: Any) -> Any:
    """The same without its spreads."""
    if isinstance(node, dict):
        return {name: certain(value) for name, value in node.items() if name != "plus_minus"}
    return [certain(item) for item in node] if isinstance(node, list) else node


def cases() -> dict[str, Question]:
    """Every question by its name."""
    found = {}
    for name, operation in OPERATIONS.items():
        if operation.query:
            fields = query_example(name)
            found[f"GET {name}"] = varied(f"/v1/{name}", fields)
            found[f"GET {name}{AGAIN}"] = Question(f"/v1/{name}?{query_text(fields)}")
    path, body = "/v1/comparison", comparison()
    return found | {COMPARISON: varied_body(path, body), f"{COMPARISON}{AGAIN}": Question(path, body=body)}


def check(address: str, question: Question) -> None:
    """A case that is refused measures nothing."""
    path = question.path + ("" if question.after is None else f"0{question.after}")
    body = None if question.body is None else question.body + (b"" if question.tail is None else b"0" + question.tail)
    for _ in range(20):  # connections, which both workers get some of: each makes itself ready with its first request
        with Line(address) as line:
            status, _, told = line.ask(path, body)
        if status != 200:
            raise SystemExit(f"{path} answered {status}: {told[:300]!r}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--seconds", type=float, default=60.0, help="for each case, in all rounds together")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--only", default="", help="cases whose name has this word")
    parser.add_argument("--json", type=Path)
    parser.add_argument("--save", action="store_true", help="add the figures to history.jsonl")
    asked = parser.parse_args()
    if WRK is None:
        raise SystemExit(NO_WRK)
    wanted = {name: question for name, question in cases().items() if asked.only in name}
    with contextlib.ExitStack() as stack:
        master, there = stack.enter_context(started())
        bare_master, bare = stack.enter_context(started(application="tests.bench.requests:bare_application()"))
        for question in wanted.values():
            check(there, question)
        places = {BARE: (bare, bare_master, Question("/"))}
        places |= {name: (there, master, question) for name, question in wanted.items()}
        loads: dict[str, list[Any]] = {name: [] for name in places}
        for turn in range(asked.rounds):
            for name, (address, process, question) in places.items():
                workers = children(process.pid)
                had = cpu_seconds(workers)
                load = wrk(address, question, asked.seconds / asked.rounds, CONNECTIONS, turn=turn)
                loads[name].append((load, (cpu_seconds(workers) - had) / max(load.requests, 1)))
    ratios = shown(loads)
    keep("load", ratios, file=asked.json, save=asked.save)
    return int(any(load.failures for rounds in loads.values() for load, _ in rounds))


def shown(loads: dict[str, list[Any]]) -> dict[str, float]:
    """The table, and its figures by name."""
    last = (before("load") or {"ratios": {}})["ratios"]
    rate = {
        name: statistics.median(load.requests / load.seconds for load, _ in rounds) for name, rounds in loads.items()
    }
    cost = {name: statistics.median(spent for _, spent in rounds) for name, rounds in loads.items()}
    heads = ("requests", "failed", "p50 ms", "p99 ms", "a second", "CPU us", "rate", "CPU", "limit", "before")
    print(" " * 30 + "".join(f"{head:>9}" for head in heads))
    found = {}
    for name, rounds in loads.items():
        requests, failed = (sum(getattr(load, what) for load, _ in rounds) for what in ("requests", "failures"))
        p50, p99 = (statistics.median(getattr(load, what) for load, _ in rounds) for what in ("p50", "p99"))
        ratio, least = cost[BARE] / cost[name], LIMITS.get(name)
        earlier = last.get(f"{name}, CPU of bare over it")
        found |= {
            f"{name}, requests": requests,
            f"{name}, failures": failed,
            f"{name}, p50 [ms]": p50,
            f"{name}, p99 [ms]": p99,
            f"{name}, CPU [us]": 1e6 * cost[name],
            f"{name}, CPU of bare over it": ratio,
            f"{name}, requests a second over bare": rate[name] / rate[BARE],
        }
        figures = (f"{requests:9d}", f"{failed:9d}", f"{p50:9.1f}", f"{p99:9.1f}", f"{rate[name]:9.0f}",
                   f"{1e6 * cost[name]:9.0f}", f"{rate[name] / rate[BARE]:9.2f}", f"{ratio:9.3f}",
                   f"{least or '':>9}", f"{earlier or '':>9}")  # fmt: skip
        print(f"{name:30}{''.join(figures)}{'  beyond the limit' if least and ratio < least else ''}")
    return found


if __name__ == "__main__":
    sys.exit(main())
