"""Bodies to ask with, made of the documented examples."""

import json

from ..serving import ROOT

EXAMPLES = ROOT / "openapi" / "examples"


def example(name):
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


def large_fleet(rows):
    """The documented fleet, its rows over and over."""
    given = example("fleet")
    for name, column in given["columns"].items():
        cells = column["value"] if isinstance(column, dict) else column
        repeated = (cells * (rows // len(cells) + 1))[:rows]
        given["columns"][name] = column | {"value": repeated} if isinstance(column, dict) else repeated
    return given
