"""The examples that the document shows, and what the service answers to them."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

from climbwright.units import display_units
from climbwright.web.operations import Operation

__all__ = ["MADE_UP", "ROOT", "example_answer", "query_example", "query_text", "read_example"]

MADE_UP = {"build": "0.1.0+0123456789ab", "input": "sha256:0123456789abcdef"}
ROOT = Path(__file__).resolve().parents[4] / "openapi"


def read_example(name: str) -> dict[str, Any]:
    """The example request of an operation."""
    loaded: dict[str, Any] = json.loads((ROOT / "examples" / f"{name}.json").read_text("utf-8"))
    return loaded


def query_example(name: str) -> dict[str, Any]:
    """The example of an operation as fields of a query."""
    path = ROOT / "examples" / f"{name}.query.json"
    loaded: dict[str, Any] = json.loads(path.read_text("utf-8")) if path.exists() else read_example(name)
    return loaded


def query_text(fields: Mapping[str, Any]) -> str:
    """Fields as a query string."""
    return urlencode(fields, doseq=True, quote_via=quote, safe="@:*/")


def example_answer(operation: Operation, given: dict[str, Any]) -> dict[str, Any]:
    """What the service answers to an example, its numbers rounded and its build made up."""
    asked = given if operation.queried is None or "loadings" in given else operation.queried(given)
    body = operation.answer(operation.request.load(asked), display_units("aviation"))
    rounded: dict[str, Any] = json.loads(json.dumps(body), parse_float=lambda text: float(f"{float(text):.6g}"))
    rounded["provenance"] = MADE_UP
    return rounded
