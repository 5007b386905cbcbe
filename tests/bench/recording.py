"""How a bench keeps its figures: history.jsonl beside this file, with which every run is compared."""

import json
import platform
import time
from importlib.metadata import version
from pathlib import Path
from typing import Any

from climbwright.web.build import build

HISTORY = Path(__file__).with_name("history.jsonl")


def before(bench: str) -> dict[str, Any] | None:
    """The last record of a bench that was measured on this kind of machine."""
    records = [json.loads(line) for line in HISTORY.read_text("utf-8").splitlines()]
    alike = [record for record in records if record["machine"] == machine()["machine"] and record.get("bench") == bench]
    return alike[-1] if alike else None


def machine() -> dict[str, Any]:
    """Where it was measured, with what."""
    names = ("numpy", "orjson", "pyarrow", "flask", "gunicorn", "ambiance")
    models = Path("/proc/cpuinfo").read_text().split("model name")[1:]
    return {
        "machine": f"{platform.machine()}, {models[0].split(chr(10))[0].strip(chr(9) + ': ')}, {len(models)} cores",
        "python": platform.python_version(),
        "versions": {name: version(name) for name in names},
        "build": build(),
    }


def keep(bench: str, ratios: dict[str, float], *, file: Path | None, save: bool) -> None:
    """Write a record to a file, and add it to the history where it is to be saved."""
    rounded = {name: float(f"{value:.4g}") for name, value in ratios.items()}
    record = {"date": time.strftime("%Y-%m-%d"), "bench": bench, **machine(), "ratios": rounded}
    if file:
        file.write_text(json.dumps(record, indent=1) + "\n", "utf-8")
    if save:
        with HISTORY.open("a", encoding="utf-8") as history:
            history.write(json.dumps(record) + "\n")
