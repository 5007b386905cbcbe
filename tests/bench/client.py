"""What the Python client costs: 100,000 rows through it over `curl` with the same body against the same server.

Run: .venv/bin/python tests/bench/client.py [--rounds N]

Rounds are interleaved (each times every case once); quoted are medians, and the median of the ratios within the rounds,
which what else the machine does disturbs less. curl sends the whole table in one request
and writes the answer to a file. The client does the same with `rows` as large as the table, and as it does by itself:
cut into requests that are sent side by side.
"""

import argparse
import asyncio
import json
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pyarrow.csv
import pyarrow.ipc
import pyarrow.parquet

from climbwright_client import AsyncClimbwright, Climbwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
from tests.serving import serving

ROOT = Path(__file__).resolve().parents[2]
ROWS = 100_000
LIMIT = 1.5
MEASURES = "weight,cg_arm,stall_speed_calibrated,best_climb_rate,greatest_level_speed_true"
STREAM = "application/vnd.apache.arrow.stream"
random = np.random.default_rng(20261127)


def table() -> Any:
    """Engine, load and air of invented aeroplanes, with a column of their own."""
    return pa.table(
        {
            "registration": [f"invented {row}" for row in range(ROWS)],
            "aircraft.engine.power [hp]": random.uniform(70.0, 120.0, ROWS).round(1),
            "loading.stations.seats [kg]": random.uniform(60.0, 170.0, ROWS).round(1),
            "loading.stations.fuel [L]": random.uniform(5.0, 70.0, ROWS).round(1),
            "condition.density_altitude [ft]": random.uniform(0.0, 9000.0, ROWS).round(),
        }
    )


def curl(address: str, out: Path, *body: str) -> Callable[[], None]:
    """The call of curl."""
    command = ["curl", "-sf", f"{address}/v1/fleet?measures={MEASURES}", "-o", str(out), *body]
    return lambda: subprocess.run(command, check=True) and None


def cases(
    folder: Path, client: Climbwright, other: AsyncClimbwright, runner: asyncio.Runner
) -> dict[str, tuple[str, Callable[[], Any]]]:
    """Each case, with the call of curl that it is measured against."""
    given = table()
    shared_file = ROOT / "openapi" / "examples" / "fleet.shared.json"
    shared = json.loads(shared_file.read_text("utf-8"))
    files = {
        name: folder / name
        for name in ("in.csv", "in.arrows", "in.json", "out", "out.csv", "out.parquet", "in.parquet")
    }
    pa.csv.write_csv(given, files["in.csv"])
    pa.parquet.write_table(given, files["in.parquet"])
    with pa.ipc.new_stream(files["in.arrows"], given.schema) as stream:
        stream.write_table(given)
    files["in.json"].write_text(json.dumps({"shared": shared, "columns": given.to_pydict()}), "utf-8")
    pandas, polars, rows = given.to_pandas(), pl.from_arrow(given), given.to_pylist()
    assert isinstance(pandas, pd.DataFrame)
    parts = f"shared=<{shared_file}"
    asked: dict[str, Any] = {"shared": shared, "measures": MEASURES, "progress": False}

    async def awaited() -> None:
        await other.fleet(files["in.csv"], into=files["out.csv"], replace=True, **asked)

    def whole(name: str, out: str, **more: Any) -> Any:
        return client.fleet(files[name], into=files[out], replace=True, **asked, **more)

    return {
        "curl, CSV": (
            "",
            curl(client.address, files["out"], "-F", parts, "-F", f"table=@{files['in.csv']};type=text/csv"),
        ),
        "curl, Arrow": (
            "",
            curl(client.address, files["out"], "-F", parts, "-F", f"table=@{files['in.arrows']};type={STREAM}"),
        ),
        "curl, JSON": (
            "",
            curl(
                client.address,
                files["out"],
                "-H",
                "Content-Type: application/json",
                "--data-binary",
                f"@{files['in.json']}",
            ),
        ),
        "CSV file, one request": ("curl, CSV", lambda: whole("in.csv", "out.csv", rows=ROWS)),
        "CSV file": ("curl, CSV", lambda: whole("in.csv", "out.csv")),
        "CSV file, awaited": ("curl, CSV", lambda: runner.run(awaited())),
        "Parquet file": ("curl, Arrow", lambda: whole("in.parquet", "out.parquet")),
        "pyarrow Table": ("curl, Arrow", lambda: client.fleet(given, **asked)),
        "pandas frame": ("curl, Arrow", lambda: client.fleet(pandas, **asked)),
        "polars frame": ("curl, Arrow", lambda: client.fleet(polars, **asked)),
        "dicts": ("curl, JSON", lambda: list(client.fleet(rows, **asked))),
    }


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=9)
    asked = parser.parse_args()
    with serving() as address, tempfile.TemporaryDirectory() as folder, asyncio.Runner() as runner:
        client, other = Climbwright(address), AsyncClimbwright(address)
        found = cases(Path(folder), client, other, runner)
        times: dict[str, list[float]] = {name: [] for name in found}
        for turn in range(asked.rounds + 1):
            for name, (_, call) in found.items():
                started = time.perf_counter()
                call()
                if turn:  # the first is not counted
                    times[name].append(time.perf_counter() - started)
        client.close()
        runner.run(other.aclose())
    medians = {name: statistics.median(column) for name, column in times.items()}
    print(f"{ROWS:,} rows, {len(MEASURES.split(','))} measures{'ms':>18}{'over curl':>12}{'limit':>8}")
    for name, (against, _) in found.items():
        ratio = ""
        if against:
            pairs = zip(times[name], times[against], strict=True)
            ratio = f"{statistics.median(one / other for one, other in pairs):12.2f}{LIMIT:8.1f}"
        print(f"{name:34}{1e3 * medians[name]:10.0f}{ratio}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
