"""Two hours of a club's use in ten minutes: does the service's memory stay, and is every request answered?

Run: .venv/bin/python tests/bench/soak.py [--minutes N] [--json FILE] [--save]

Eight clients without a pause ask every operation in turn: the documented examples with a quantity varied, so that each
is new, the documented GETs again (remembered), fleets of up to 20,000 rows, requests that are refused, others cut off
in their midst; ten slow clients beside them. `drift` is the median memory of the workers in the last tenth of the time
over that in the second tenth, less 1; the time begins after three rounds. An answer of 500, or none, is a failure;
large tables may be told to come again.
"""

import argparse
import itertools
import json
import random
import re
import sys
import threading
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from climbwright.web.openapi.examples import query_example, query_text
from climbwright.web.operations import OPERATIONS

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.bench.loading import Memory, percentiles
from tests.bench.recording import before, keep
from tests.bench.slow import Slow
from tests.load.asked import EXAMPLES, example, large_fleet
from tests.load.calling import Line
from tests.serving import started

CLIENTS = 8
SLOW = 10
LARGEST = 20_000  # rows
WARM = 3  # rounds before the time begins, with the largest fleet in each: by then both workers have all that they need
LIMIT = 0.05  # the greatest drift
_QUANTITY = re.compile(r"([0-9]+(?:\.[0-9]+)?) ?([A-Za-z]\S*)")
_REFUSED: tuple[tuple[str, bytes | None], ...] = (
    ("/v1/atmosphere?altitude=6000", None),
    ("/v1/density-altitude?elevtion=6150ft", None),
    ("/v1/comparison", b"{"),
    ("/v1/performance", b'{"aircraft": {}}'),
    ("/v1/nothing", None),
)
Request = tuple[str, str, bytes | None]  # what it is called, path, body


def varied(node: Any, chance: random.Random) -> Any:
    """The same request with one quantity in ten a little different."""
    if isinstance(node, dict):
        return {name: varied(value, chance) for name, value in node.items()}
    if isinstance(node, list):
        return [varied(value, chance) for value in node]
    found = _QUANTITY.fullmatch(node) if isinstance(node, str) else None
    if found is None or chance.random() > 0.1:
        return node
    return f"{float(found[1]) * chance.uniform(0.999, 1.001):.9g} {found[2]}"


def requests(chance: random.Random) -> Iterator[Request]:
    """One of each kind after the other, without end."""
    bodies = {path.stem: example(path.stem) for path in EXAMPLES.glob("*.json") if "." not in path.stem}
    gets = {name: query_example(name) for name, operation in OPERATIONS.items() if operation.query}
    for turn in itertools.count():
        for name, given in gets.items():
            yield "GET again", f"/v1/{name}?{query_text(given)}", None
            yield "GET", f"/v1/{name}?{query_text(varied(given, chance))}", None
        for name, given in bodies.items():
            if name != "fleet":
                kind = "POST" if OPERATIONS[name].body is None else "season"
                yield kind, f"/v1/{name}", json.dumps(varied(given, chance)).encode()
        rows = LARGEST if turn < WARM else chance.choice((10, 100, 1000, 1000, LARGEST)) if turn % 5 == 0 else 10
        form = ("json", "csv", "arrow")[turn % 3]
        yield "fleet", f"/v1/fleet?format={form}", json.dumps(large_fleet(rows)).encode()
        yield "refused", *chance.choice(_REFUSED)
        yield "cut off", "/v1/comparison", json.dumps(bodies["comparison"]).encode()


class Client:
    """Works through requests from a place of its own in the round, and counts what came of them."""

    def __init__(self, address: str, number: int, enough: threading.Event) -> None:
        self.address, self.enough, self.chance = address, enough, random.Random(20261127 + number)
        self.counts: Counter[tuple[str, int | str]] = Counter()
        self.times: list[float] = []
        self.warm = threading.Event()
        self.thread = threading.Thread(target=self._work)

    def _work(self) -> None:
        line = Line(self.address)
        for kind, path, body in requests(self.chance):
            if self.enough.is_set():
                break
            if kind == "cut off":  # which ends a round
                self._cut_off(path, body or b"")
                if self.counts["cut off", "gone"] == WARM:
                    self.warm.set()
                continue
            begun = time.perf_counter()
            headers: dict[str, str] = {}
            try:
                status, headers, _ = line.ask(path, body)
            except OSError as error:
                status, headers = type(error).__name__, {"connection": "close"}
            self.times.append(time.perf_counter() - begun)
            self.counts[kind, status] += 1
            if headers["connection"] == "close":
                line.close()
                line = Line(self.address)
        line.close()

    def _cut_off(self, path: str, body: bytes) -> None:
        """A client that goes in the midst of its request, or before its answer."""
        with Line(self.address) as line:
            line.send(path, body[: self.chance.choice((len(body) // 2, len(body)))])
        self.counts["cut off", "gone"] += 1


def good(kind: str, status: int | str) -> bool:
    """Whether that is what a request of that kind may be answered."""
    if kind == "refused":
        return status in (400, 404, 422)
    return status in (200, 503) if kind in ("fleet", "season") else status in (200, "gone")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=10.0)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--save", action="store_true", help="add the figures to history.jsonl")
    asked = parser.parse_args()
    enough = threading.Event()
    with started() as (master, address):
        clients = [Client(address, number, enough) for number in range(CLIENTS)]
        with Slow(address, SLOW, ("silent", "head", "answer", "lingering")):
            for client in clients:
                client.thread.start()
            for client in clients:
                client.warm.wait(600.0)
            with Memory(master.pid) as memory:
                time.sleep(60.0 * asked.minutes)
            enough.set()
            for client in clients:
                client.thread.join()
    counts = sum((client.counts for client in clients), Counter[tuple[str, int | str]]())
    failures = sum(count for (kind, status), count in counts.items() if not good(kind, status))
    p50, p99 = percentiles([taken for client in clients for taken in client.times])
    for (kind, status), count in sorted(counts.items(), key=str):
        print(f"{kind:12}{status:>24}{count:10d}{'' if good(kind, status) else '  a failure'}")
    found = {
        "requests": sum(counts.values()),
        "failures": failures,
        "p50 [ms]": p50,
        "p99 [ms]": p99,
        **{f"memory of a worker, tenth {n + 1} [MB]": size for n, size in enumerate(memory.tenths)},
        "drift": memory.drift,
    }
    last = (before("soak") or {"ratios": {}})["ratios"]
    print(f"\n{'':40}{'now':>12}{'limit':>12}{'before':>12}")
    for name, value in found.items():
        limit = {"drift": LIMIT, "failures": 0}.get(name, "")
        print(f"{name:40}{value:12.4g}{limit:>12}{last.get(name, ''):>12}")
    keep("soak", found, file=asked.json, save=asked.save)
    return int(bool(failures) or memory.drift > LIMIT)


if __name__ == "__main__":
    sys.exit(main())
