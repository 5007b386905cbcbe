"""The fleet: a table has no schema of its own but that of its columns."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.units import display_units
from climbwright.web.fleet.batch import Batch, Wanted
from climbwright.web.fleet.endpoint import CSV, STREAM
from climbwright.web.fleet.tables import json_table
from climbwright.web.fleet.writing import Answer, json_stream
from climbwright.web.openapi.builders import json_object, whole_number
from climbwright.web.openapi.examples import MADE_UP, ROOT, read_example
from climbwright.web.openapi.headers import header_references
from climbwright.web.openapi.options import parameter, units_parameter
from climbwright.web.openapi.problems import OF_TABLES, STATUSES, of_the_server, problem_responses
from climbwright.web.openapi.security import SECURITY
from climbwright.web.paths import name_of, named, performance_request

__all__ = ["fleet_item", "fleet_schemas"]

_LIST = "The cells, one for each row: numbers, or texts with a unit of their own; a gap is null."


def _table_column(description: str, example: Any) -> dict[str, Any]:
    cells = {"type": "array", "items": {"type": ["number", "string", "boolean", "null"]}}
    quantities = {
        "type": "object",
        "description": "Numbers of one unit.",
        "required": ["value"],
        "properties": {
            "value": {**cells, "description": _LIST, "examples": [[80, 100]]},
            "unit": {"type": "string", "description": "Their unit.", "examples": ["hp"]},
        },
        "additionalProperties": False,
    }
    return {
        "description": description,
        "anyOf": [quantities, {**cells, "description": "Texts, or quantities with their units."}],
        "examples": [example],
    }


def fleet_schemas() -> dict[str, Any]:
    """Schemas of the request and of the answer, by name."""
    measures = {
        "type": "string",
        "enum": ["all", *MEASURES, STALL_SPEEDS, *dict.fromkeys(m.phase for m in MEASURES.values())],
    }
    request = {
        "type": "object",
        "description": "Columns, and what all rows have in common.",
        "required": ["columns"],
        "properties": {
            "shared": {
                "type": "object",
                "description": "What no column says: aircraft, loading, condition and how it is flown (climb, cruise, "
                "turn, takeoff, landing, strip), each as in a request of performance.",
                "additionalProperties": True,
                "examples": [{"loading": {"stations": {"fuel": "40 L"}}}],
            },
            "columns": {
                "type": "object",
                "description": "Columns by name. One with points in its name is a field: aircraft.engine.power, "
                "aircraft.stations.NAME.arm, loading.stations.NAME, condition.density_altitude. Others go through.",
                "additionalProperties": {"$ref": "#/components/schemas/Column"},
                "examples": [{"aircraft.engine.power": {"value": [80, 100], "unit": "hp"}}],
            },
            "measures": {
                "type": "array",
                "description": "Measures wanted, by name or by group; those of performance when left out.",
                "items": measures,
                "minItems": 1,
                "maxItems": 100,
                "examples": [["weight", "best_climb_rate"]],
            },
        },
    }
    gaps = {"type": ["number", "null"]}
    told = {
        "type": "object",
        "description": "A measure of every row; null where it does not exist or the row is wrong.",
        "required": ["value", "unit"],
        "properties": {
            "value": {
                "type": "array",
                "description": "A number for each row.",
                "items": gaps,
                "examples": [[612.4, None]],
            },
            "unit": {"type": "string", "description": "Their unit.", "examples": ["ft/min"]},
            "plus_minus": {
                "type": "array",
                "description": "One standard deviation of each, with spread=linear.",
                "items": gaps,
                "examples": [[95.1, None]],
            },
            "reason": {
                "type": "string",
                "description": "Why it does not exist in rows that are right and have null.",
                "examples": ["level flight cannot be held at any speed"],
            },
        },
        "additionalProperties": False,
    }
    answer = {
        "type": "object",
        "description": "The answers as columns, a status for every row, and what belongs to all of them.",
        "required": ["columns", "rows", "right", "assumed", "cautions", "provenance"],
        "properties": {
            "columns": {
                "type": "object",
                "description": "Columns that went through, measures, the codes of cautions with cautions=true, and "
                "status: ok, or which field of the row is wrong and why.",
                "additionalProperties": {
                    "anyOf": [told, {"type": "array", "items": {}, "description": "A cell for each row."}]
                },
                "examples": [{"weight": {"value": [478.0], "unit": "kg"}, "status": ["ok"]}],
            },
            "rows": {"type": "integer", "description": "How many rows there are.", "minimum": 0, "examples": [5]},
            "right": {"type": "integer", "description": "How many of them are ok.", "minimum": 0, "examples": [4]},
            "assumed": {
                "type": "array",
                "items": {"$ref": "#/components/schemas/Assumed"},
                "description": "What was not said of any row.",
                "examples": [[]],
            },
            "cautions": {
                "type": "array",
                "items": {"$ref": "#/components/schemas/Caution"},
                "description": "What holds for every row.",
                "examples": [[]],
            },
            "provenance": {
                "$ref": "#/components/schemas/Provenance",
                "description": "What reproduces this answer; of CSV it stands in the headers, of Arrow in the schema.",
                "examples": [{"build": "0.1.0+0123456789ab", "input": "sha256:0123"}],
            },
        },
    }
    column = _table_column("A column: a list, or an object of a list and its unit.", {"value": [80, 100], "unit": "hp"})
    return {"FleetRequest": request, "FleetAnswer": answer, "FleetCost": _cost(), "Column": column}


def _cost() -> dict[str, Any]:
    """What cost=only answers."""
    seconds = {"type": "number", "minimum": 0, "description": "Seconds of computing.", "examples": [0.4]}
    return json_object(
        {
            "rows": whole_number("Rows.", 5000),
            "evaluations": whole_number("Aeroplanes evaluated, those of the spreads too.", 5000),
            "seconds": seconds,
            "bytes": whole_number("Bytes of the request.", 250_000),
            "measures": whole_number("Measures computed.", 25_000),
            "most_measures": whole_number("Measures that the service computes at once.", 5_000_000),
            "most_rows": whole_number("Rows that the service takes at once.", 250_000),
            "most_bytes": whole_number("Bytes that it takes at once.", 67_108_864),
            "provenance": {
                "$ref": "#/components/schemas/Provenance",
                "description": "What reproduces this answer.",
                "examples": [MADE_UP],
            },
        },
        "What a request would cost, with cost=only.",
    )


def _options(units: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Parameters of the query, the one of the units as other operations have it."""
    rows = (
        (
            "format",
            "Format of the answer; it beats Accept. Left out, that of the table.",
            ["json", "csv", "arrow"],
            "csv",
        ),
        (
            "measures",
            "Measures wanted, by name or by group, with commas between; in place of those of the body.",
            None,
            "weight",
        ),
        (
            "combine",
            "cross answers every configuration (aircraft and loading) with every condition.",
            ["cross"],
            "cross",
        ),
        (
            "spread",
            "linear adds one standard deviation of every number, which takes many times as long.",
            ["linear"],
            "linear",
        ),
        ("cautions", "true adds the codes of the cautions of every row.", ["true", "false"], "true"),
        ("cost", "only answers what the request would cost, without doing it.", ["only"], "only"),
    )
    found: list[dict[str, Any]] = [dict(units)]
    for name, description, choices, example in rows:
        schema: dict[str, Any] = {"type": "string", "minLength": 1} | ({} if choices is None else {"enum": choices})
        found.append(parameter(name, description, schema, example))
    return found


# The format is for generated clients: without it they send a table as a text field, without the type of a file.
_FILE = {"type": "string", "format": "binary"}
_ARROW = {**_FILE, "contentMediaType": STREAM, "description": "An Arrow stream.", "examples": ["(bytes)"]}


def _whole_table(shared: Mapping[str, Any], table: str) -> str:
    """The columns, and one for each field of what is shared, so that a table needs nothing beside it."""
    request = performance_request(named(shared), None)
    one_each = dict(_leaves({name: request[name] for name in request if name != "measures"}))
    heading, *rows = table.splitlines()
    known = {cell.partition(" [")[0] for cell in heading.split(",")}
    more = {name_of(pointer, request): text for pointer, text in one_each.items()}
    more = {
        name: text
        for name, text in more.items()
        if name not in known and not name.endswith((".name", ".configuration"))
    }
    lines = [",".join([heading, *more]), *(",".join([row, *more.values()]) for row in rows)]
    return "".join(f"{line}\n" for line in lines)


def _leaves(node: Any, at: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(node, Mapping):
        for name, inner in node.items():
            yield from _leaves(inner, f"{at}/{name}")
    elif isinstance(node, list):
        for i, inner in enumerate(node):
            yield from _leaves(inner, f"{at}/{i}")
    else:
        yield at, str(node)


def _body(given: Mapping[str, Any], table: str) -> dict[str, Any]:
    """The forms of a request, the same invented table in each."""
    text, whole = {**_FILE, "examples": [table]}, _whole_table(given["shared"], table)
    parts = {
        "type": "object",
        "additionalProperties": False,
        "required": ["table"],
        "properties": {
            "shared": {
                "type": "object",
                "description": "As in JSON.",
                "examples": [given["shared"]],
            },
            "table": {**text, "contentMediaType": CSV, "description": "The columns: CSV, or an Arrow stream."},
            "conditions": {
                **_FILE,
                "contentMediaType": CSV,
                "description": "With combine=cross: the columns of the air, and table has the others.",
                "examples": ["hour,condition.density_altitude [ft]\n12,7500\n"],
            },
        },
    }
    tables = {name: {"contentType": f"{CSV}, {STREAM}"} for name in ("table", "conditions")}
    encoding = {"shared": {"contentType": "application/json"}, **tables}
    return {
        "application/json": {
            "schema": {"$ref": "#/components/schemas/FleetRequest"},
            "examples": {"invented": {"summary": "An invented example.", "value": given}},
        },
        "multipart/form-data": {
            "schema": parts,
            "encoding": encoding,
            "examples": {
                "invented": {"summary": "The same in parts.", "value": {"shared": given["shared"], "table": table}}
            },
        },
        STREAM: {"schema": _ARROW, "examples": {"invented": {"summary": "Bytes.", "value": "(bytes)"}}},
        CSV: {
            "schema": {
                **_FILE,
                "description": "Every field needed is a column; units stand in the headings or in the cells.",
                "examples": [whole],
            },
            "examples": {"invented": {"summary": "The same, with every field a column.", "value": whole}},
        },
    }


def _ok(answer: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "description": "The answer, 200 even if every row is wrong.",
        "headers": header_references(),
        "content": {
            "application/json": {
                "schema": {
                    "anyOf": [{"$ref": f"#/components/schemas/{name}"} for name in ("FleetAnswer", "FleetCost")]
                },
                "examples": {"invented": {"summary": "The answer to the example.", "value": answer}},
            },
            CSV: {"schema": {"type": "string", "examples": ["registration,weight [kg],status"]}},
            STREAM: {"schema": _ARROW},
        },
    }


def _answered(given: Mapping[str, Any]) -> dict[str, Any]:
    """What the service answers to the example."""
    batch = Batch(given["shared"], json_table(given["columns"]), Wanted(given["measures"]))
    written = b"".join(json_stream(Answer(batch, display_units("aviation"), MADE_UP)))
    rounded: dict[str, Any] = json.loads(written, parse_float=lambda text: float(f"{float(text):.6g}"))
    return rounded


def fleet_item() -> dict[str, Any]:
    """The path of the fleet."""
    given, table = read_example("fleet"), (ROOT / "examples" / "fleet.csv").read_text("utf-8")
    words = STATUSES | OF_TABLES
    words["413"] = "The body is too large, or the rows are too many; the detail names the limit."
    words["415"] = "The body is neither JSON, CSV, an Arrow stream nor parts of these."
    post = {
        "operationId": "post_fleet",
        "summary": "A whole fleet at once: a table of configurations and conditions, answered row by row",
        "description": "Any field of an aircraft, a loading or a condition may be a column; what no column says is "
        "shared by all rows. Every row is answered as performance answers the same aeroplane; a row that is wrong says "
        "which field and why in the column status, and changes nothing of the others.",
        "tags": ["operations"],
        "security": SECURITY,
        "parameters": _options(units_parameter()),
        "requestBody": {
            "required": True,
            "description": "The table, and what its rows share.",
            "content": _body(given, table),
        },
        "responses": {"200": _ok(_answered(given)), **problem_responses(tuple(words), words), **of_the_server()},
    }
    return {"post": post}
