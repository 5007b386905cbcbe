"""What a fleet costs, as ratios measured in one run: formulas, a row, its way over HTTP, small requests beside it.

Run: .venv/bin/python tests/bench/fleet.py [--rounds N] [--json FILE] [--save] [--quick]

Rounds are interleaved (each times every case once) and medians are quoted. `--save` adds the result to history.jsonl
beside this file, with which every run is compared; `--quick` leaves out what takes more than a minute.
"""

import argparse
import http.client
import io
import json
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import ambiance
import numpy as np
import orjson
import pyarrow as pa
import pyarrow.csv

from climbwright.air import standard
from climbwright.air.altimetry import station_pressure
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.state import Air
from climbwright.answers.fleet import Faults, answered
from climbwright.arrays import in_blocks
from climbwright.web.fleet.batch import Batch, Wanted
from climbwright.web.fleet.columns import Cells, checked_numbers
from climbwright.web.fleet.tables import Table
from climbwright.web.memory import keep_freed_memory
from climbwright.web.paths import place_of

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.bench.recording import before, keep

ROOT = Path(__file__).resolve().parents[2]
ROWS = 100_000
STREAM = "application/vnd.apache.arrow.stream"
OWN = ["weight", "cg_arm", "cg_margin", "stall_speed_calibrated", "best_climb_rate", "best_climb_speed_calibrated",
       "best_angle_speed_calibrated", "greatest_level_speed_true"]  # fmt: skip
CEILINGS = ["service_ceiling", "absolute_ceiling"]
STRIP = {"length": "420 m", "surface": "short-dry-grass", "slope": "1 %"}
# What a fleet is asked before a season at its strips; its own alone are so cheap that carrying them costs more
ASKED = [*OWN, *CEILINGS, "takeoff_margin", "landing_margin"]
# What the project set itself: a ratio, and whether it is the least or the most
LIMITS = {
    "density altitude, floor over kernel, 1e5": (0.70, "least"),
    "density altitude, floor over kernel, 1e7": (0.70, "least"),
    "ambiance over ours, same outputs, 1e5": (8.0, "least"),
    "a row, in powers, memory as usual": (30.0, "most"),
    "a row with ceilings, in powers, memory as usual": (80.0, "most"),
    "a row with ceilings, in powers": (80.0, "most"),
    "checking a table over computing it": (0.15, "most"),
    "json over HTTP over kernel and codec": (1.5, "most"),
    "csv over HTTP over kernel and codec": (1.5, "most"),
    "arrow over HTTP over kernel and codec": (1.5, "most"),
    "small request beside a flood, p50 over unloaded": (2.0, "most"),
    "small request beside a flood, p99 [ms]": (50.0, "most"),
    "memory after 5e6 rows over after 1e6": (1.2, "most"),
    "memory of the command, 5e6 rows over 5e5": (1.2, "most"),
}
random = np.random.default_rng(20261127)


def spent(call: Callable[[], Any]) -> float:
    started = time.perf_counter()
    call()
    return time.perf_counter() - started


def medians(cases: dict[str, Callable[[], Any]], rounds: int) -> dict[str, float]:
    """Median seconds of each case, over interleaved rounds; the first is not counted."""
    times: dict[str, list[float]] = {name: [] for name in cases}
    for turn in range(rounds + 1):
        for name, call in cases.items():
            taken = spent(call)
            if turn:
                times[name].append(taken)
    return {name: statistics.median(column) for name, column in times.items()}


def moist_density_altitude(qnh: Any, elevation: Any, oat: Any, dew_point: Any) -> Any:
    return Air(station_pressure(qnh, elevation), oat, saturation_vapour_pressure(dew_point)).density_altitude


def the_air(rounds: int, quick: bool) -> dict[str, float]:
    """The kernel against numpy's own three powers and one exponential on the same arrays, and against a library."""
    found: dict[str, float] = {}
    for name, count in (("1e5", 100_000), *(() if quick else (("1e7", 10_000_000),))):
        qnh, elevation = random.uniform(98e3, 103e3, count), random.uniform(0.0, 2500.0, count)
        oat = random.uniform(263.0, 313.0, count)
        dew_point = oat - random.uniform(0.0, 20.0, count)
        ratio, power, result = qnh / 101325.0, (dew_point - 273.15) / 300.0, np.empty(count)

        def floor(ratio: Any = ratio, power: Any = power, result: Any = result) -> None:
            for exponent in (0.19, 5.26, 0.235):
                np.power(ratio, exponent, out=result)
            np.exp(power, out=result)

        columns = (qnh, elevation, oat, dew_point)
        times = medians(
            {"floor": floor, "kernel": lambda columns=columns: in_blocks(moist_density_altitude, *columns)},
            rounds if count < 1e6 else max(rounds // 3, 3),
        )
        found[f"density altitude, floor over kernel, {name}"] = times["floor"] / times["kernel"]
        found[f"density altitude [ns], {name}"] = 1e9 * times["kernel"] / count
    heights = random.uniform(-500.0, 9000.0, 100_000)

    def ours() -> list[Any]:
        altitude = standard.geopotential_altitude(heights)
        temperature = standard.temperature(altitude)
        return [
            temperature, standard.pressure(altitude), standard.density(altitude),
            standard.speed_of_sound(temperature), standard.dynamic_viscosity(temperature),
        ]  # fmt: skip

    def theirs() -> list[Any]:
        air = ambiance.Atmosphere(heights)
        return [air.temperature, air.pressure, air.density, air.speed_of_sound, air.dynamic_viscosity]

    for mine, other in zip(ours(), theirs(), strict=True):
        np.testing.assert_allclose(mine, other, rtol=1e-4)
    times = medians({"ours": ours, "theirs": theirs}, rounds)
    return found | {"ambiance over ours, same outputs, 1e5": times["theirs"] / times["ours"]}


def shared() -> dict[str, Any]:
    example = json.loads((ROOT / "openapi" / "examples" / "fleet.shared.json").read_text("utf-8"))
    return {"aircraft": example["aircraft"], "strip": STRIP}


def columns(rows: int) -> dict[str, tuple[str, Any]]:
    """Engine, load and air of invented aeroplanes."""
    return {
        "aircraft.engine.power": ("hp", random.uniform(70.0, 120.0, rows)),
        "loading.stations.seats": ("kg", random.uniform(60.0, 170.0, rows)),
        "loading.stations.fuel": ("L", random.uniform(5.0, 70.0, rows)),
        "condition.density_altitude": ("ft", random.uniform(0.0, 9000.0, rows)),
    }


def batch_of(table: dict[str, tuple[str, Any]], measures: list[str]) -> Batch:
    cells = {name: Cells(unit, numbers) for name, (unit, numbers) in table.items()}
    rows = len(next(iter(table.values()))[1])
    return Batch(shared(), Table(cells, {}, rows), Wanted(measures))


def computed(batch: Batch) -> None:
    fleet = batch.fleets[0]
    for _ in answered(fleet, batch.faults):
        pass


def rows_alone(rounds: int) -> dict[str, float]:
    """A row in units of one numpy power of a column of the same table, and checking over computing."""
    table = columns(ROWS)
    own, all_ = batch_of(table, OWN), batch_of(table, OWN + CEILINGS)
    cells = {place_of(name): Cells(unit, numbers) for name, (unit, numbers) in table.items()}
    column = table["condition.density_altitude"][1] / 9000.0 + 0.5
    times = medians(
        {
            "power": lambda: np.power(column, 5.25588),
            "own": lambda: computed(own),
            "all": lambda: computed(all_),
            "checked": lambda: [checked_numbers(column, place, Faults(ROWS)) for place, column in cells.items()],
            "ready": lambda: batch_of(table, OWN),
        },
        rounds,
    )
    return {
        "a row, in powers": times["own"] / times["power"],
        "a row with ceilings, in powers": times["all"] / times["power"],
        "checking a table over computing it": times["checked"] / times["own"],
        "making a table ready over computing it": times["ready"] / times["own"],
        "one power [ns]": 1e9 * times["power"] / ROWS,
        "a row [ns]": 1e9 * times["own"] / ROWS,
        "a row with ceilings [ns]": 1e9 * times["all"] / ROWS,
        "kernel, 1e5 rows [ms]": 1e3 * times["own"],
    }


@contextmanager
def served() -> Iterator[tuple[int, int]]:
    """The service as it is deployed, on a free port: the port and the process."""
    with socket.socket() as some:
        some.bind(("127.0.0.1", 0))
        port = some.getsockname()[1]
    command = [
        sys.executable,
        "-m",
        "gunicorn",
        "-c",
        str(ROOT / "docker" / "gunicorn.conf.py"),
        "-b",
        f"127.0.0.1:{port}",
    ]
    process = subprocess.Popen(command, stderr=subprocess.DEVNULL)
    try:
        for _ in range(100):
            try:
                ask(port, "GET", "/health/ready")
                break
            except OSError:
                time.sleep(0.1)
        yield port, process.pid
    finally:
        process.terminate()
        process.wait()


def ask(port: int, method: str, path: str, body: bytes = b"", kind: str = "application/json") -> bytes:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    try:
        connection.request(method, path, body or None, {"Content-Type": kind} if body else {})
        response = connection.getresponse()
        content = response.read()
        if response.status != 200:
            raise SystemExit(f"{path} answered {response.status}: {content[:300]!r}")
        return content
    finally:
        connection.close()


def pulled(port: int, path: str, body: bytes, kind: str) -> None:
    """A POST whose answer is read as fast as it comes, and not looked at beyond its status."""
    lines = (f"POST {path} HTTP/1.1", "Host: here", "Connection: close", f"Content-Type: {kind}")
    head = "\r\n".join((*lines, f"Content-Length: {len(body)}", "", ""))
    room = memoryview(bytearray(2**20))
    with socket.create_connection(("127.0.0.1", port)) as connection:
        connection.sendall(head.encode() + body)
        count = connection.recv_into(room)
        if not bytes(room[:12]).endswith(b" 200"):
            raise SystemExit(f"{path} answered {bytes(room[:400])!r}")
        while count:
            count = connection.recv_into(room)


def in_parts(table: bytes, kind: str) -> tuple[bytes, str]:
    mark = "part-of-the-benchmark"
    pieces = [("shared", "application/json", json.dumps(shared()).encode()), ("table", kind, table)]
    body = b"".join(
        f'--{mark}\r\nContent-Disposition: form-data; name="{name}"; filename="{name}"\r\n'
        f"Content-Type: {what}\r\n\r\n".encode()
        + content
        + b"\r\n"
        for name, what, content in pieces
    )
    return body + f"--{mark}--\r\n".encode(), f"multipart/form-data; boundary={mark}"


def as_csv(table: Any) -> bytes:
    sink = io.BytesIO()
    pa.csv.write_csv(table, sink)
    return sink.getvalue()


def as_arrow(table: Any) -> bytes:
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema) as stream:
        stream.write_table(table)
    return sink.getvalue()


def requests_of(table: dict[str, tuple[str, Any]]) -> dict[str, tuple[bytes, str, bytes]]:
    """Body, its type, and the table alone, of each format."""
    asked = {
        "shared": shared(),
        "columns": {name: {"value": numbers, "unit": unit} for name, (unit, numbers) in table.items()},
    }
    arrow = pa.table({f"{name} [{unit}]": numbers for name, (unit, numbers) in table.items()})
    whole = orjson.dumps(asked, option=orjson.OPT_SERIALIZE_NUMPY)
    text, stream = as_csv(arrow), as_arrow(arrow)
    return {
        "json": (whole, "application/json", whole),
        "csv": (*in_parts(text, "text/csv"), text),
        "arrow": (*in_parts(stream, STREAM), stream),
    }


def codec_of(form: str, given: bytes, answer: bytes) -> Callable[[], Any]:
    """The bare library reading a request's bytes and writing those of its answer."""
    if form == "json":
        told = orjson.loads(answer)
        told["columns"] = {
            name: column | {"value": np.array(column["value"])} if isinstance(column, dict) else column
            for name, column in told["columns"].items()
        }
        return lambda: (orjson.loads(given), orjson.dumps(told, option=orjson.OPT_SERIALIZE_NUMPY))
    if form == "csv":
        read = pa.csv.read_csv(io.BytesIO(answer))
        return lambda: (pa.csv.read_csv(pa.BufferReader(given)), as_csv(read))
    read = pa.ipc.open_stream(answer).read_all()
    return lambda: (pa.ipc.open_stream(given).read_all(), as_arrow(read))


def over_http(rounds: int, port: int) -> dict[str, float]:
    """Each format over HTTP against the sum of the pure kernel and the bare codec for the same bytes."""
    table, found = columns(ROWS), {}
    for measures, which in ((ASKED, ""), (OWN, ", cheapest measures")):
        alone, path = batch_of(table, measures), f"/v1/fleet?measures={','.join(measures)}"
        cases: dict[str, Callable[[], Any]] = {"kernel": lambda alone=alone: computed(alone)}
        for form, (body, kind, given) in requests_of(table).items():
            answer = ask(port, "POST", path, body, kind)
            cases[form] = lambda path=path, body=body, kind=kind: pulled(port, path, body, kind)
            cases[f"codec of {form}"] = codec_of(form, given, answer)
        times = medians(cases, rounds)
        for form in ("json", "csv", "arrow"):
            floor = times["kernel"] + times[f"codec of {form}"]
            found[f"{form} over HTTP over kernel and codec{which}"] = times[form] / floor
            found[f"{form} over HTTP over kernel{which}"] = times[form] / times["kernel"]
            found[f"{form} over HTTP, 1e5 rows{which} [ms]"] = 1e3 * times[form]
        found[f"kernel of that, 1e5 rows{which} [ms]"] = 1e3 * times["kernel"]
    return found


FLOOD = """
import http.client, sys
port, path, kind, file = sys.argv[1:]
body = open(file, "rb").read()
while True:
    connection = http.client.HTTPConnection("127.0.0.1", int(port))
    connection.request("POST", path, body, {"Content-Type": kind})
    connection.getresponse().read()
    connection.close()
"""


def beside_a_flood(port: int, folder: Path) -> dict[str, float]:
    """Small requests with and without a client that sends batches of 100,000 rows one after the other."""
    body, kind, _ = requests_of(columns(ROWS))["json"]
    (folder / "flood.json").write_bytes(body)
    path = f"/v1/fleet?measures={','.join(OWN)}"

    def small(count: int) -> list[float]:
        query = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&dew_point=6C"
        times = []
        for _ in range(count):
            times.append(spent(lambda: ask(port, "GET", query)))
            time.sleep(0.002)
        return sorted(times)

    unloaded = small(500)
    flood = subprocess.Popen([sys.executable, "-c", FLOOD, str(port), path, kind, str(folder / "flood.json")])
    try:
        time.sleep(1.0)
        loaded = small(2000)
    finally:
        flood.kill()
        flood.wait()
    middle, last = len(loaded) // 2, len(loaded) * 99 // 100
    return {
        "small request beside a flood, p50 over unloaded": loaded[middle] / unloaded[len(unloaded) // 2],
        "small request beside a flood, p99 [ms]": 1e3 * loaded[last],
        "small request unloaded, p50 [ms]": 1e3 * unloaded[len(unloaded) // 2],
        "small request unloaded, p99 [ms]": 1e3 * unloaded[len(unloaded) * 99 // 100],
    }


def resident(pid: int) -> int:
    """Resident memory of a process's children. [kB]"""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    status = [Path(f"/proc/{child}/status").read_text() for child in children]
    return sum(int(text.split("VmRSS:")[1].split()[0]) for text in status)


def memory(port: int, pid: int) -> dict[str, float]:
    """Memory of the workers after 1,000,000 rows, by when both have had some, and after 5,000,000; in 100,000 each."""
    body, kind, _ = requests_of(columns(ROWS))["json"]
    path, sizes = f"/v1/fleet?measures={','.join(OWN)}", []
    for _ in range(50):
        ask(port, "POST", path, body, kind)
        sizes.append(resident(pid))
    return {
        "memory after 5e6 rows over after 1e6": statistics.mean(sizes[-5:]) / statistics.mean(sizes[10:15]),
        "memory of both workers after 5e6 rows [MB]": sizes[-1] / 1024.0,
    }


PEAK = """
import resource, subprocess, sys
subprocess.run([sys.executable, "-m", "climbwright.batch", *sys.argv[1:]], check=True)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss)
"""


def through_the_command(folder: Path) -> dict[str, float]:
    """Greatest memory of the command over an Arrow file of 500,000 rows and over one of 5,000,000, and its time."""
    (folder / "shared.json").write_text(json.dumps(shared()), "utf-8")
    peaks, seconds = [], []
    for rows in (500_000, 5_000_000):
        arrow = pa.table({f"{name} [{unit}]": numbers for name, (unit, numbers) in columns(rows).items()})
        source, out = folder / "in.arrows", folder / "out.arrows"
        with pa.OSFile(str(source), "wb") as sink, pa.ipc.new_stream(sink, arrow.schema) as stream:
            stream.write_table(arrow, max_chunksize=ROWS)
        asked = ["fleet", str(source), str(out), "--shared", str(folder / "shared.json"), "--measures", ",".join(OWN)]
        started = time.perf_counter()
        told = subprocess.run(
            [sys.executable, "-c", PEAK, *asked, "--quiet", "--fresh"], capture_output=True, check=True
        )
        seconds.append(time.perf_counter() - started)
        peaks.append(int(told.stdout.split()[-1]))
    return {
        "memory of the command, 5e6 rows over 5e5": peaks[1] / peaks[0],
        "memory of the command, 5e6 rows [MB]": peaks[1] / 1024.0,
        "the command, 5e6 rows [s]": seconds[1],
    }


def shown(found: dict[str, float], last: dict[str, Any] | None) -> None:
    """Every figure with its limit, and what it was in the last run that was saved."""
    print(f"{'':64}{'now':>9}{'limit':>9}{'before':>9}")
    for name, value in found.items():
        limit, side = LIMITS.get(name, (None, ""))
        kept = None if limit is None else (value >= limit if side == "least" else value <= limit)
        earlier = None if last is None else last["ratios"].get(name)
        columns_ = (
            f"{value:9.3g}",
            " " * 9 if limit is None else f"{limit:9.3g}",
            " " * 9 if earlier is None else f"{earlier:9.3g}",
        )
        print(f"{name:64}{''.join(columns_)}{'' if kept is not False else '  beyond the limit'}")


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--json", type=Path)
    parser.add_argument("--save", action="store_true")
    parser.add_argument("--quick", action="store_true")
    asked = parser.parse_args()
    found = {f"{name}, memory as usual": value for name, value in rows_alone(asked.rounds).items()}
    keep_freed_memory()  # as the service and the command do
    found |= the_air(asked.rounds, asked.quick) | rows_alone(asked.rounds)
    with served() as (port, pid), tempfile.TemporaryDirectory() as folder:
        found |= over_http(asked.rounds, port)
        if not asked.quick:
            found |= beside_a_flood(port, Path(folder))
            found |= through_the_command(Path(folder))
    if not asked.quick:
        with served() as (port, pid):
            found |= memory(port, pid)
    shown(found, before("fleet"))
    keep("fleet", found, file=asked.json, save=asked.save)
    return 0


if __name__ == "__main__":
    sys.exit(main())
