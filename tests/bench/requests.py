"""What a request costs, as ratios to a bare Flask route in the same process, and where a comparison's time goes.

Run: .venv/bin/python tests/bench/requests.py [--rounds N] [--json FILE]

Rounds are interleaved (each round times every case once) and the median of the rounds is quoted. Each case is called
through Flask's test client, the bare route too; the second column calls the WSGI application directly, without the
client's own cost on either side.
"""

import argparse
import copy
import io
import json
import platform
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import flask
import numpy as np
from werkzeug.test import EnvironBuilder

from climbwright.answers.comparison import compare
from climbwright.units import display_units
from climbwright.web import create_app
from climbwright.web.operations import OPERATIONS
from climbwright.web.reading import decode
from climbwright.web.remembered import Remembered
from climbwright.web.rendering.aeroplane import comparison_json
from climbwright.web.rendering.writing import json_bytes

EXAMPLES = Path(__file__).resolve().parents[2] / "openapi" / "examples"
EXAMPLE = EXAMPLES / "comparison.json"
LIMITS = {
    "density-altitude GET": 6.0,
    "comparison 1x2x2": 25.0,
    "comparison 3x3x4": 80.0,
    "performance 1x1x1": 25.0,
    "performance 1x1x1, every phase": 25.0,
    "requirement": 60.0,
}
WORKED = "?working=true"  # may cost twice the request without it, or a millisecond more


def bare_application() -> flask.Flask:
    application = flask.Flask("bare")

    @application.get("/")
    def hello() -> str:
        return "ok"

    return application


def certain(node: Any) -> Any:
    """The same request without its spreads."""
    if isinstance(node, dict):
        return {name: certain(value) for name, value in node.items() if name != "plus_minus"}
    return [certain(item) for item in node] if isinstance(node, list) else node


FLOWN = {
    "climb": {"to_altitude": "9000 ft"},
    "cruise": {"power_fraction": "60 %", "reserve": "45 min"},
    "turn": {"bank": "30 deg"},
    "takeoff": {"rolling_lift_coefficient": 0.4},
    "landing": {"rolling_lift_coefficient": 0.4, "approach_angle": "3 deg"},
    "strip": {"length": "500 m", "rolling_friction": 0.05, "braking_friction": 0.3},
}


def known(aircraft: dict[str, Any]) -> dict[str, Any]:
    """The aeroplane without spreads, and without a gap that a starting value would fill in any phase."""
    whole = copy.deepcopy(certain(aircraft))
    whole["engine"]["specific_consumption"] = "0.3 kg/kWh"
    whole["drag"]["idle_propeller_area"] = "0.1 m2"
    whole["wing"]["height"] = "1.8 m"
    for stall in whole["stalls"][1:]:
        stall["parasite_area_gain"] = "0.1 m2"
    return dict(whole)


def enlarged(example: dict[str, Any]) -> dict[str, Any]:
    """Three options, three loadings, four conditions."""
    large = copy.deepcopy(example)
    large["options"] = [{**copy.deepcopy(large["options"][0]), "name": f"option {k}"} for k in range(3)]
    large["loadings"].append({**copy.deepcopy(large["loadings"][0]), "name": "third"})
    large["conditions"] += [{**copy.deepcopy(c), "name": f"{c['name']} again"} for c in large["conditions"]]
    return large


def twelve(example: dict[str, Any]) -> dict[str, Any]:
    """A calibration of twice the documented observations: the same flights again on another day."""
    again = [{**one, "name": f"{one['name']} again", "day": "another"} for one in example["observations"]]
    return {**example, "observations": [*example["observations"], *again]}


def shared(example: dict[str, Any]) -> dict[str, Any]:
    """A comparison that says what each of six changes bought; engine and propeller are one."""
    whole = copy.deepcopy(example)
    for change in whole["options"][0]["changes"]:
        if change["kind"] in ("engine", "propeller"):
            change["group"] = "engine and propeller"
    return {**whole, "options": whole["options"][:1], "shares": True}


def caller(application: flask.Flask, path: str, body: bytes | None) -> tuple[Callable[[], None], Callable[[], None]]:
    """One call through the test client, one straight into the WSGI application."""
    client = application.test_client()
    method = "GET" if body is None else "POST"
    headers = {} if body is None else {"Content-Type": "application/json"}
    environ = EnvironBuilder(path=path, method=method, data=body, headers=headers).get_environ()

    def through_client() -> None:
        status = client.open(path, method=method, data=body, headers=headers).status_code
        if status != 200:
            raise SystemExit(f"{path} answered {status}")

    def straight() -> None:
        own = {**environ, "wsgi.input": io.BytesIO(body or b"")}
        b"".join(application.wsgi_app(own, lambda *_: None))

    return through_client, straight


def cost(call: Callable[[], None], seconds: float) -> float:
    """CPU seconds of one call, over about that much time."""
    started, calls = time.process_time(), 0
    while time.process_time() - started < seconds:
        for _ in range(5):
            call()
        calls += 5
    return (time.process_time() - started) / calls


def parts(example: dict[str, Any]) -> dict[str, float]:
    """CPU milliseconds of each stage of the small comparison."""
    text = json.dumps(example)
    operation, units = OPERATIONS["comparison"], display_units("aviation")
    loaded = operation.request.load(example)
    answer = compare(loaded["baseline"], loaded["options"], loaded["loadings"], loaded["conditions"])
    body = comparison_json(answer, units)
    stages: dict[str, Callable[[], Any]] = {
        "read JSON": lambda: decode(text),
        "load schema": lambda: operation.request.load(example),
        "compute": lambda: compare(loaded["baseline"], loaded["options"], loaded["loadings"], loaded["conditions"]),
        "to quantities": lambda: comparison_json(answer, units),
        "write JSON": lambda: json_bytes(body),
    }
    return {name: 1000.0 * statistics.median(cost(call, 0.05) for _ in range(7)) for name, call in stages.items()}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--json", type=Path)
    asked = parser.parse_args()
    example = json.loads(EXAMPLE.read_text("utf-8"))
    service = create_app()
    service.extensions["climbwright-remembered"] = Remembered(longest=0)  # every question is computed
    query = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&dew_point=6C"
    one = {"aircraft": known(example["baseline"]), **{k: example[k][:1] for k in ("loadings", "conditions")}}
    others = {
        "performance 1x1x1": ("performance", one),
        "performance 1x1x1, every phase": ("performance", one | FLOWN),
        "calibration, 12 observations": (
            "calibration",
            twelve(json.loads((EXAMPLES / "calibration.json").read_text("utf-8"))),
        ),
        "requirement": ("requirement", certain(json.loads((EXAMPLES / "requirement.json").read_text("utf-8")))),
    }
    posts = {
        "comparison 1x2x2": certain(example),
        "comparison 3x3x4": certain(enlarged(example)),
        "comparison 1x2x2 with spreads": example,
        "the same, shares of 6 changes": shared(example),
    }
    calls = {"bare route": caller(bare_application(), "/", None), "density-altitude GET": caller(service, query, None)}
    calls |= {name: caller(service, "/v1/comparison", json.dumps(doc).encode()) for name, doc in posts.items()}
    calls |= {name: caller(service, f"/v1/{path}", json.dumps(doc).encode()) for name, (path, doc) in others.items()}
    performance = json.loads((EXAMPLES / "performance.json").read_text("utf-8"))
    alone = certain(performance) | {"conditions": performance["conditions"][:1]}
    twice = certain(performance) | {
        "loadings": [{**one, "name": name} for one in performance["loadings"] for name in "ab"]
    }
    shown = {
        "density-altitude": ("density-altitude", json.loads((EXAMPLES / "density-altitude.json").read_text("utf-8"))),
        "balance": ("balance", json.loads((EXAMPLES / "balance.json").read_text("utf-8"))),
        "performance 1x1x2": ("performance", {k: performance[k] for k in ("aircraft", "loadings", "conditions")}),
        "performance, every phase": ("performance", performance),
        "the same 1x1x1, certain": ("performance", alone),
        "the same 1x2x2, certain": ("performance", twice),
        "comparison 1x2x2, worked": ("comparison", posts["comparison 1x2x2"]),
        "comparison 3x3x4, worked": ("comparison", posts["comparison 3x3x4"]),
    }
    pairs = {
        name: [caller(service, f"/v1/{path}{query}", json.dumps(doc).encode())[1] for query in ("", WORKED)]
        for name, (path, doc) in shown.items()
    }
    times: dict[str, tuple[list[float], list[float]]] = {name: ([], []) for name in calls}
    worked: dict[str, tuple[list[float], list[float]]] = {name: ([], []) for name in pairs}
    for _ in range(asked.rounds):
        for name, pair in calls.items():
            for column, call in zip(times[name], pair, strict=True):
                column.append(cost(call, 0.05))
        for name, both in pairs.items():
            for column, call in zip(worked[name], both, strict=True):
                column.append(cost(call, 0.05))
    medians = {name: tuple(statistics.median(column) for column in pair) for name, pair in times.items()}
    bare = medians["bare route"]
    print(f"{'':32}{'client ms':>11}{'ratio':>8}{'WSGI ms':>11}{'ratio':>8}{'limit':>8}")
    for name, (client, straight) in medians.items():
        limit = LIMITS.get(name)
        print(
            f"{name:32}{1e3 * client:11.3f}{client / bare[0]:8.1f}{1e3 * straight:11.3f}{straight / bare[1]:8.1f}"
            f"{'' if limit is None else f'{limit:8.0f}'}"
        )
    print(f"\n{'the shown calculation, WSGI':32}{'ms':>11}{'shown':>11}{'ratio':>8}{'more':>8}")
    for name, columns in worked.items():
        plain, full = (1e3 * statistics.median(column) for column in columns)
        print(f"{name:32}{plain:11.3f}{full:11.3f}{full / plain:8.2f}{full - plain:8.3f}")
    shares = parts(certain(example))
    print("\nwhere the small comparison's time goes [ms CPU]")
    for name, spent in shares.items():
        print(f"  {name:16}{spent:8.3f}")
    if asked.json:
        machine = {"python": platform.python_version(), "numpy": np.__version__, "flask": flask.__name__}
        record = {"machine": platform.machine(), **machine, "medians": medians, "stages": shares}
        asked.json.write_text(json.dumps(record, indent=1), "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
