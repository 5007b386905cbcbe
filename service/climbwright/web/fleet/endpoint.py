"""The fleet's endpoint: tables are read in three forms, and answered in the same form or as asked."""

from collections.abc import Mapping
from typing import Any

from flask import Response, current_app, request

from climbwright.units import QuantityError, display_units
from climbwright.web.build import build
from climbwright.web.fleet import tables
from climbwright.web.fleet.batch import Batch, Wanted, refuse_too_much, refuse_unequal
from climbwright.web.fleet.cost import cost_of
from climbwright.web.fleet.crossing import crossed, split
from climbwright.web.fleet.limits import Limits, limits_of, refuse_too_many
from climbwright.web.fleet.naming import Naming
from climbwright.web.fleet.parts import CSV, STREAM, parts_of
from climbwright.web.fleet.tables import Table
from climbwright.web.fleet.turns import Turn
from climbwright.web.fleet.writing import WRITERS, Answer
from climbwright.web.problems import Problem, not_understood
from climbwright.web.reading import body_bytes, read_query
from climbwright.web.rendering.writing import json_bytes
from climbwright.web.watch.seen import note_rows

__all__ = ["CSV", "MEDIA_TYPES", "OPTIONS", "STREAM", "fleet"]

JSON = "application/json"
MEDIA_TYPES = {"json": JSON, "csv": f"{CSV}; charset=utf-8", "arrow": STREAM}
OPTIONS = ("units", "format", "measures", "combine", "spread", "cautions", "cost")
_SWITCHES = {"combine": ("cross",), "spread": ("linear",), "cautions": ("true", "false"), "cost": ("only",)}


def fleet() -> Response:
    """Answer a table; no more of them at a time than leave room for small requests."""
    options = _options()
    turn = Turn(current_app.extensions["climbwright-fleets"])
    try:
        response = _answer(options)
    except BaseException:
        turn.end()
        raise
    response.response = turn.through(response.response)
    response.call_on_close(turn.end)
    return response


def _answer(options: Mapping[str, str]) -> Response:
    limits = limits_of(current_app.config)
    body = body_bytes(request, limits.size)
    named = Naming(request.query_string, body)
    form, given, table, air = _read(body, limits)
    shared, measures = _asked(given, options)
    wanted = Wanted(measures, options.get("spread") == "linear", options.get("cautions") == "true")
    if options.get("combine") == "cross":
        table = crossed(*(split(table) if air is None else (table, air)), limits)
    elif air is not None:
        raise not_understood({"conditions": ["a table of conditions goes with combine=cross: send that, or one table"]})
    refuse_too_many(table.rows, limits.rows)
    refuse_unequal(table)
    units = _units(options)
    written = options.get("format") or _accepted(form)
    batch = Batch(shared, table, wanted)
    if options.get("cost") != "only":
        refuse_too_much(batch, current_app.config["MAXIMUM_FLEET_WORK"])
    provenance = {"build": build(), "input": named.result()}
    if options.get("cost") == "only":
        cost = cost_of(batch, len(body), current_app.config)
        return Response(json_bytes(cost | {"provenance": provenance}), content_type=JSON)
    note_rows(table.rows)
    pieces = WRITERS[written](Answer(batch, units, provenance))
    headers = {"Climbwright-Build": provenance["build"], "Climbwright-Input": provenance["input"], **_CAUTION}
    return Response(pieces, content_type=MEDIA_TYPES[written], headers=headers)


_CAUTION = {
    "Climbwright-Caution": "An estimate, not a flight manual: local rules, an approved weighing and a licensed "
    "inspector decide."
}


def _options() -> dict[str, str]:
    options = read_query(request, ())
    problems = {
        name: [f"a fleet takes only {', '.join(OPTIONS)} in its query"] for name in options if name not in OPTIONS
    }
    for name, words in _SWITCHES.items():
        if name in options and options[name] not in words:
            problems[name] = [f"must be {' or '.join(words)}, or left out"]
    if "format" in options and options["format"] not in WRITERS:
        problems["format"] = [f"must be one of {', '.join(WRITERS)}"]
    if options.get("measures") == "":
        problems["measures"] = ["must be names of measures or groups, separated by commas"]
    if problems:
        raise not_understood(problems)
    return options


def _units(options: Mapping[str, str]) -> Any:
    try:
        return display_units(options.get("units", "aviation"))
    except QuantityError as error:
        raise not_understood({"units": [str(error)]}) from None


def _accepted(form: str) -> str:
    """The format that the Accept header asks for; that of the request where it does not mind."""
    types = {JSON: "json", CSV: "csv", STREAM: "arrow"}
    if not request.accept_mimetypes:
        return form
    own = next(kind for kind, name in types.items() if name == form)
    best = request.accept_mimetypes.best_match([own, *types])
    if best is None:
        raise Problem(406, "Not Acceptable", f"this is answered as {', '.join(types)}: send one of them in Accept")
    return types[best]


def _read(body: bytes, limits: Limits) -> tuple[str, dict[str, Any], Table, Table | None]:
    """The form of the request, what it says beside its tables, the table, and one of conditions where there is one."""
    kind = request.mimetype
    if kind == JSON:
        given = tables.decode_large(body)
        if "columns" not in given:
            raise not_understood({"columns": ["this field is missing"]})
        return "json", given, tables.json_table(given["columns"]), None
    if kind == CSV:
        return "csv", {}, tables.csv_table(body, limits), None
    if kind == STREAM:
        return "arrow", {}, tables.arrow_table(body, limits), None
    if kind == "multipart/form-data":
        return _parts(body, limits)
    accepted = ", ".join((JSON, CSV, STREAM, "multipart/form-data"))
    raise Problem(415, "Unsupported Media Type", f"send the body as one of {accepted}", headers={"Accept": accepted})


def _parts(body: bytes, limits: Limits) -> tuple[str, dict[str, Any], Table, Table | None]:
    """A part `shared` of JSON, a part `table` of CSV or Arrow, and perhaps another `conditions`."""
    parts = parts_of(request, body, ("conditions",))
    form = "arrow" if parts.kind == STREAM else "csv"
    air = parts.others.get("conditions")
    return (
        form,
        {"shared": parts.shared},
        _table(parts.kind, parts.table, limits),
        _table(*air, limits) if air else None,
    )


def _table(kind: str, content: bytes, limits: Limits) -> Table:
    return tables.arrow_table(content, limits) if kind == STREAM else tables.csv_table(content, limits)


def _asked(given: dict[str, Any], options: Mapping[str, str]) -> tuple[dict[str, Any], list[str] | None]:
    """What is shared, and the measures wanted."""
    unknown = [name for name in given if name not in ("shared", "columns", "measures")]
    if unknown:
        word = "there is no such field: the fields are shared, columns, measures"
        raise not_understood({name: [word] for name in unknown})
    shared = given.get("shared", {})
    if not isinstance(shared, dict):
        raise not_understood({"shared": ["must be an object"]})
    if "measures" in given and given["measures"] is None:
        raise not_understood({"measures": ["null is not a value: leave the field out instead"]})
    measures = given.get("measures")
    if "measures" in options:
        if measures is not None:
            raise not_understood({"measures": ["given twice, in the query and in the body: send it once"]})
        measures = [name.strip() for name in options["measures"].split(",")]
    return shared, measures
