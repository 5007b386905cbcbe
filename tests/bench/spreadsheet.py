"""What a workbook of 200 calling cells costs: seconds of a recalculation, CPU seconds of the service in it.

Run: .venv/bin/python tests/bench/spreadsheet.py [--rounds N] [--profile]

Each cell sends OPTIONS, HEAD and GET, 600 requests in all; the first service counts them by its log, the others keep
none and are measured, by the time that the kernel gave to all their processes. No two cells ask the same. Each round
has a service of its own, to which the questions are new, then the same again, which it remembers; the workbook is
opened anew each time, because one that is open keeps what its cells have fetched. `--profile` says where the
service's time goes, by kind of call and by function, in one process.
"""

import argparse
import base64
import cProfile
import json
import os
import pstats
import statistics
import sys
import tempfile
import time
import urllib.request
import zlib
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import quote

from openpyxl import Workbook

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.clients.spreadsheet.office import office  # noqa: E402
from tests.serving import serving, started  # noqa: E402

from climbwright.web import create_app  # noqa: E402

SECONDS, CPU_SECONDS = 5.0, 1.0
ROWS = ("recalculation", "service's CPU", "again, the same", "service's CPU")
TICK = os.sysconf("SC_CLK_TCK")
SHARES = {"density-altitude": 60, "balance": 40, "climb-estimate": 40, "performance": 60}
MEASURES = ("cg_margin", "stall_speed_calibrated", "best_climb_rate", "service_ceiling", "takeoff_distance")
STRIP = "&strip.length=620m&strip.surface=short-dry-grass"


def packed() -> str:
    aircraft = json.loads((ROOT / "clients" / "spreadsheet" / "aircraft.json").read_text("utf-8"))
    text = json.dumps(aircraft, separators=(",", ":")).encode()
    return base64.urlsafe_b64encode(zlib.compress(text, 9)).decode().rstrip("=")


def questions() -> Iterator[tuple[str, str]]:
    """The kind of each call and the call, each with numbers of its own."""
    aircraft = packed()
    for n in range(SHARES["density-altitude"]):
        yield "density-altitude", f"elevation={4000 + 37 * n}ft&qnh=1017hPa&oat={10 + 0.3 * n:.1f}C&dew_point=5C"
    for n in range(SHARES["balance"]):
        loads = f"load=empty:327kg@0.41m&load=seats:{80 + 2 * n}kg@0.51m&load=fuel:40L*{quote('0.72kg/L')}@0.64m"
        yield "balance", f"{loads}&forward=0.35m&aft=0.57m&maximum_weight=575kg"
    for n in range(SHARES["climb-estimate"]):
        yield (
            "climb-estimate",
            f"power={80 + n}hp&weight={450 + 2 * n}kg&elevation=5400ft&qnh=1017hPa&oat=27C&span=9.8m",
        )
    for n in range(SHARES["performance"]):
        measure = MEASURES[n % len(MEASURES)]
        air = f"condition.elevation=5400ft&condition.qnh=1017hPa&condition.oat={12 + 0.3 * n:.1f}C"
        loading = f"loading.stations.pilot={60 + n}kg&loading.stations.fuel=40L"
        strip = STRIP if measure == "takeoff_distance" else ""
        yield "performance", f"measures={measure}&{air}&{loading}&aircraft={aircraft}{strip}"


PICKS = {"density-altitude": "density_altitude", "balance": "cg_margin", "climb-estimate": "best_climb_rate"}


def calls() -> list[tuple[str, str]]:
    made = []
    for kind, query in questions():
        pick = PICKS.get(kind) or query.split("&")[0].removeprefix("measures=")
        made.append((kind, f"/v1/{kind}?errors=text&pick={pick}&{query}"))
    return made


def write(path: Path, address: str) -> None:
    book = Workbook()
    sheet = book.active
    sheet["A1"] = address
    for row, (_, call) in enumerate(calls(), 2):
        sheet.cell(row, 1, call)
        sheet.cell(row, 2, f'=_xlfn.NUMBERVALUE(_xlfn.WEBSERVICE($A$1&A{row}),".",",")')
    book.save(path)


def processes(pid: int) -> list[int]:
    """A process, its children and theirs."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return [pid, *(each for child in children for each in processes(int(child)))]


def service() -> int:
    """The one process of ours that is a gunicorn."""
    (found,) = [pid for pid in processes(os.getpid())[1:] if b"gunicorn" in cmdline(pid) and parent(pid) == os.getpid()]
    return found


def cmdline(pid: int) -> bytes:
    return Path(f"/proc/{pid}/cmdline").read_bytes()


def stat(pid: int) -> list[str]:
    return Path(f"/proc/{pid}/stat").read_text().rpartition(") ")[2].split()


def parent(pid: int) -> int:
    return int(stat(pid)[1])


def cpu(pid: int) -> float:
    """Seconds of user and system time of a service's processes so far."""
    return sum(int(stat(each)[11]) + int(stat(each)[12]) for each in processes(pid)) / TICK


def numbers(cells: dict) -> int:
    return sum(isinstance(cell.value, float) and not cell.error for place, cell in cells.items() if ".B" in place)


def counted(folder: Path) -> Counter[str]:
    """The requests of one recalculation, by their methods."""
    log = folder / "requests.log"
    with (
        log.open("ab") as output,
        started(output, CLIMBWRIGHT_LOG="requests") as (_, address),
        office(folder / "counted") as calc,
    ):
        write(folder / "counted" / "calls.xlsx", address)
        calc.call("open", str(folder / "counted" / "calls.xlsx"))
        before = len(log.read_text("utf-8").splitlines())
        calc.call("recalculate")
        lines = log.read_text("utf-8").splitlines()[before:]
        if numbers(calc.read()) != sum(SHARES.values()):
            raise SystemExit("not every cell holds a number")
        calc.call("close")
    return Counter(line["method"] for line in map(json.loads, lines) if line["event"] == "request")


def measured(folder: Path, rounds: int) -> list[tuple[float, ...]]:
    """Seconds and the service's CPU seconds of a recalculation, its questions new to the service, and of the next."""
    found = []
    with office(folder / "measured") as calc:
        for _ in range(rounds):
            with serving() as address:
                write(folder / "measured" / "calls.xlsx", address)
                warm(address)
                found.append((*recalculated(calc, folder), *recalculated(calc, folder)))
    return found


def recalculated(calc: Any, folder: Path) -> tuple[float, float]:
    pid = service()
    calc.call("open", str(folder / "measured" / "calls.xlsx"))
    before = cpu(pid)
    seconds = calc.call("recalculate")
    spent = cpu(pid) - before
    calc.call("close")
    return seconds, spent


def warm(address: str) -> None:
    """Ask both workers for some of each kind in units that no cell asks for."""
    for _, path in calls()[::3]:
        urllib.request.urlopen(f"{address}{path}&units=si", timeout=30).close()


def profiled() -> None:
    """CPU of each kind of call in this process, and the functions that take most of all of them."""
    client = create_app({}).test_client()
    profile = cProfile.Profile()
    print(f"{'in one process':18}{'OPTIONS':>9}{'HEAD':>9}{'GET':>9}  ms of CPU each")
    for kind in SHARES:
        paths = [call for name, call in calls() if name == kind]
        spent = {}
        for method in ("OPTIONS", "HEAD", "GET"):
            client.open(paths[0], method=method)
            started = time.process_time()
            for path in paths:
                client.open(path, method=method)
            spent[method] = 1e3 * (time.process_time() - started) / len(paths)
        print(f"{kind:18}" + "".join(f"{spent[method]:9.3f}" for method in spent))
    profile.enable()
    for _, path in calls():
        client.get(path)
    profile.disable()
    pstats.Stats(profile).sort_stats("cumulative").print_stats("climbwright", 25)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args()
    if asked.profile:
        profiled()
        return 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for inner in ("counted", "measured"):
            (folder / inner).mkdir()
        methods = counted(folder)
        found = measured(folder, asked.rounds)
    columns = list(zip(*found, strict=True))
    seconds, spent, *_ = map(statistics.median, columns)
    print(f"cells {sum(SHARES.values())}: {', '.join(f'{n} {kind}' for kind, n in SHARES.items())}")
    print(f"requests {sum(methods.values())}: {', '.join(f'{n} {method}' for method, n in sorted(methods.items()))}")
    for name, column, limit in zip(ROWS, columns, (SECONDS, CPU_SECONDS, SECONDS, CPU_SECONDS), strict=True):
        every = ", ".join(f"{one:.2f}" for one in column)
        print(f"{name:24}{statistics.median(column):6.2f} s, limit {limit:.0f} (all: {every})")
    return 0 if seconds < SECONDS and spent <= CPU_SECONDS else 1


if __name__ == "__main__":
    sys.exit(main())
