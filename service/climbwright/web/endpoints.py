"""One endpoint for every operation: read, load, answer, and write in the form asked for."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, after_this_request, current_app, g, request
from marshmallow import Schema, ValidationError

from climbwright.answers.estimates import DRAWS
from climbwright.answers.measures import MEASURES
from climbwright.answers.work import TooMuchWork, permitted
from climbwright.refusal import Refusal
from climbwright.units import QuantityError, Unit, display_units
from climbwright.web.build import build, input_hash
from climbwright.web.fleet import endpoint as fleet_endpoint
from climbwright.web.fleet.turns import Turn
from climbwright.web.operations import OPERATIONS, Operation
from climbwright.web.problems import Problem, not_answerable, not_understood, renamed, too_much
from climbwright.web.queried import pointer_in_query
from climbwright.web.reading import decode_body, json_bytes_of, read_query
from climbwright.web.remembered import Known, Remembered
from climbwright.web.rendering.picking import pick
from climbwright.web.rendering.tables import csv_text
from climbwright.web.rendering.working import steps_text
from climbwright.web.rendering.writing import json_bytes
from climbwright.web.schemas.fields import Listing, Nested
from climbwright.web.schemas.requests import LoadsField
from climbwright.web.watch.seen import note_refusal, note_rows

__all__ = ["FORMATS", "OPTIONS", "blueprint", "query_schema", "register", "told_in_a_cell"]

blueprint = Blueprint("operations", __name__, url_prefix="/v1")

FORMATS = {"json": "application/json", "csv": "text/csv; charset=utf-8", "text": "text/plain; charset=utf-8"}
OPTIONS = ("units", "format", "pick", "errors", "working", "spread")
_SPREADS = {"linear": 0, "sampled": DRAWS}  # aeroplanes drawn
_SMALL = 1_000_000  # computed measures, a quarter of a second: as many such requests as come find room
_LONGEST_CELL = 255
_TOLD_IN_A_CELL = (400, 401, 413, 422, 429)
_CELL_STARTS = ("=", "+", "-", "@")


@dataclass(frozen=True, slots=True)
class _Wish:
    """How the answer is wanted."""

    units: Mapping[str, Unit]
    format: str
    pick: str | None
    working: bool = False
    spread: str | None = None


def _wish(options: Mapping[str, str]) -> _Wish:
    problems: dict[str, list[str]] = {}
    units: Mapping[str, Unit] = {}
    try:
        units = display_units(options.get("units", "aviation"))
    except QuantityError as error:
        problems["units"] = [str(error)]
    wanted = options.get("format")
    if wanted is not None and wanted not in FORMATS:
        problems["format"] = [f"must be one of {', '.join(FORMATS)}"]
    if options.get("errors", "document") not in ("document", "text"):
        problems["errors"] = ["must be document or text"]
    if options.get("pick") == "":
        problems["pick"] = ["must be the name of a field of the answer, or a JSON Pointer"]
    elif "pick" in options and wanted not in (None, "text"):
        problems["format"] = ["pick answers one value as text: leave format out, or pick"]
    working = options.get("working", "false")
    if working not in ("true", "false"):
        problems["working"] = ["must be true or false"]
    elif working == "true" and "pick" in options:
        problems["working"] = ["pick answers one value, which leaves no room for its working: send one of the two"]
    if options.get("spread", "linear") not in _SPREADS:
        problems["spread"] = [f"must be {' or '.join(_SPREADS)}, or left out"]
    if problems:
        raise not_understood(problems)
    shape = wanted or _accepted()
    if working == "true" and "pick" not in options and shape == "csv":
        raise not_understood({"working": ["one plain table has no room for the working: send format=json or text"]})
    return _Wish(units, shape, options.get("pick"), working == "true", options.get("spread"))


def _accepted() -> str:
    """The format that the Accept header asks for."""
    types = {"application/json": "json", "text/csv": "csv", "text/plain": "text"}
    best = request.accept_mimetypes.best_match(list(types)) if request.accept_mimetypes else None
    if best is not None:
        return types[best]
    if request.accept_mimetypes:
        raise Problem(406, "Not Acceptable", f"this is answered as {', '.join(types)}: send one of them in Accept")
    return "json"


def _split(query: dict[str, Any]) -> tuple[dict[str, str], dict[str, Any]]:
    """Options of the answer, and the operation's own fields."""
    return {name: query.pop(name) for name in OPTIONS if name in query}, query


def _load(schema: Schema, given: Mapping[str, Any]) -> Any:
    try:
        return schema.load(given)
    except ValidationError as error:
        raise not_understood(error.messages) from None


def answer(operation: Operation, schema: Schema, given: dict[str, Any], wish: _Wish) -> Response:
    """Load, compute and write."""
    if wish.spread == "sampled" and not operation.draws:
        raise not_understood({"spread": [f"{operation.name} has linear spreads only: leave it out"]})
    loaded = _load(schema, given)
    how = ({"working": True} if wish.working else {}) | _spread(operation, wish)
    try:
        body = _worked_out(operation, loaded, wish.units, how)
    except Refusal as refusal:
        raise not_answerable(refusal.where, refusal.message) from None
    note_rows(_scenes(body, given))
    body["provenance"] = {"build": build(), "input": input_hash(operation.name, given)}
    if wish.pick is not None:
        return Response(pick(body, wish.pick), content_type=FORMATS["text"])
    if wish.format == "csv":
        return Response(csv_text(operation.rows(body)), content_type=FORMATS["csv"])
    if wish.format == "text":
        text = operation.text(body, given)
        lines = steps_text(body["working"]) if wish.working else []
        return Response(text + "".join(f"{line}\n" for line in lines), content_type=FORMATS["text"])
    return Response(json_bytes(body), content_type=FORMATS["json"])


def _worked_out(operation: Operation, loaded: Any, units: Mapping[str, Unit], how: Mapping[str, Any]) -> dict[str, Any]:
    """The answer, with as much work as is permitted, in turns for what is not small; a fleet or a season has its turn.

    Raises
    ------
    Problem
        413 too much work, 503 no turn.
    """
    settings, turns = current_app.config, current_app.extensions["climbwright-fleets"]
    held: list[Turn] = []
    if operation.body is None:
        limits = permitted(settings["MAXIMUM_WORK"], _SMALL, lambda: held.append(Turn(turns)))
    else:
        limits = permitted(settings["MAXIMUM_FLEET_WORK"])
    try:
        with limits:
            return operation.answer(loaded, units, **how)
    except TooMuchWork as error:
        raise too_much(str(error)) from None
    finally:
        for turn in held:
            turn.end()


def _scenes(body: Mapping[str, Any], given: Mapping[str, Any]) -> int:
    """How many scenes were answered: hours of a season, loadings in conditions, or the one of a small answer."""
    if "weather" in given:
        return len(given["weather"]["time"])
    blocks = body.get("options", [body])
    return sum(len(block["results"]) if "results" in block else 1 for block in blocks)


def _spread(operation: Operation, wish: _Wish) -> dict[str, int]:
    """How spreads are found: as said, or not drawn for the cell of a measure, which shows its value alone."""
    if not operation.draws:
        return {}
    if wish.spread is not None:
        return {"draws": _SPREADS[wish.spread]}
    return {"draws": 0} if wish.pick in MEASURES or wish.pick in operation.fields else {}


def _etag(operation: Operation, wish: _Wish, options: Mapping[str, str], query: Mapping[str, Any]) -> str:
    # where a query makes lists, their members come in its order
    fields = sorted(query.items()) if operation.queried is None else list(query.items())
    asked = json.dumps([operation.name, wish.format, sorted(options.items()), fields])
    return hashlib.sha256(f"{build()} {asked}".encode("utf-8", "surrogatepass")).hexdigest()[:32]


def _question(operation: Operation, body: bytes = b"") -> tuple[str | bytes, ...]:
    """All that an answer depends on, to the byte."""
    environ = request.environ
    how = environ.get("QUERY_STRING", ""), environ.get("HTTP_ACCEPT", "")
    return operation.name, *how, body


def _get(operation: Operation, schema: Schema) -> Response:
    remembered: Remembered = current_app.extensions["climbwright-remembered"]
    question = _question(operation)
    known = remembered.get(question)
    if known is not None:
        note_rows(known.rows)
        same = request.if_none_match.contains_weak(known.tag)  # a proxy that compresses makes a weak tag of it
        response = Response(status=304) if same else Response(known.body, content_type=known.content_type)
        return _kept_for_a_while(response, known.tag)
    repeated = {field.data_key or name for name, field in schema.load_fields.items() if isinstance(field, LoadsField)}
    options, query = _split(read_query(request, repeated))
    wish = _wish(options)
    tag = _etag(operation, wish, options, query)
    asked = request.if_none_match
    if asked.contains_weak(tag) and not asked.star_tag:  # any answer will do for a star, if there is one
        return _kept_for_a_while(Response(status=304), tag)
    response = _answer_query(operation, schema, query, wish)
    remembered.keep(question, Known(response.get_data(), str(response.content_type), g.rows, tag))
    return _kept_for_a_while(Response(status=304) if asked.star_tag else response, tag)


def _kept_for_a_while(response: Response, tag: str) -> Response:
    response.headers["ETag"] = f'"{tag}"'
    response.headers["Cache-Control"] = "private, max-age=300"
    return response


def _answer_query(operation: Operation, schema: Schema, query: dict[str, Any], wish: _Wish) -> Response:
    """The answer to a query's own fields, or to the request that they make."""
    if operation.queried is None:
        return answer(operation, schema, query, wish)
    alone = {"measures": wish.pick} if wish.pick in MEASURES else {}  # a cell waits for no other measure
    given = operation.queried(alone | query)
    try:
        return answer(operation, schema, given, wish)
    except Problem as problem:
        raise renamed(problem, lambda pointer: pointer_in_query(pointer, given)) from None


def told_in_a_cell(problem: Problem) -> Response | None:
    """A refusal as the text that a GET with errors=text asks for; None where the document is wanted."""
    # read leniently: the wish must be known even where the rest of the query cannot be read
    wished = request.method in ("GET", "HEAD") and request.args.get("errors") == "text"
    if not (wished and problem.status in _TOLD_IN_A_CELL and request.path.startswith(f"{blueprint.url_prefix}/")):
        return None
    note_refusal(problem.kind)
    headers = {"Cache-Control": "no-store", "Vary": "Accept, Origin"}
    return Response(_cell(problem), content_type=FORMATS["text"], headers=headers)


def _cell(problem: Problem) -> str:
    """A refusal as the text of a spreadsheet's cell, never read as a formula."""
    text = problem.detail.encode("utf-8", "backslashreplace").decode()  # it may quote half a character
    if text.startswith(_CELL_STARTS):
        text = f"({text})"
    return text if len(text) <= _LONGEST_CELL else text[: _LONGEST_CELL - 3] + "..."


def _post(operation: Operation) -> Response:
    options, rest = _split(read_query(request, ()))
    if "errors" in options:
        raise not_understood({"errors": ["errors goes with a GET: a POST is always refused with a document"]})
    if rest:
        known = ", ".join(name for name in OPTIONS if name != "errors")
        raise not_understood(
            {name: [f"a POST takes only {known} in its query: send this in the body"] for name in rest}
        )
    wish = _wish(options)
    if operation.body is None:
        return _answer_body(operation, json_bytes_of(request, current_app.config["MAXIMUM_BODY"]), wish)
    with Turn(current_app.extensions["climbwright-fleets"]):
        return answer(operation, operation.request, operation.body(request, current_app.config), wish)


def _answer_body(operation: Operation, body: bytes, wish: _Wish) -> Response:
    remembered: Remembered = current_app.extensions["climbwright-remembered"]
    question = _question(operation, body)
    known = remembered.get(question)
    if known is not None:
        note_rows(known.rows)
        return Response(known.body, content_type=known.content_type)
    response = answer(operation, operation.request, decode_body(body), wish)
    remembered.keep(question, Known(response.get_data(), str(response.content_type), g.rows))
    return response


def query_schema(operation: Operation) -> Schema | None:
    """The schema of an operation's GET: the fields that fit a query, or those it makes; None where there is no GET."""
    if not operation.query:
        return None
    if operation.queried is not None:
        return operation.request
    fields = operation.request.load_fields
    hidden = [name for name, field in fields.items() if _needs_post(field)]
    return type(operation.request)(exclude=hidden)


def _needs_post(field: Any) -> bool:
    """Whether a query has no room for a field: objects, and lists other than the repeated loads."""
    listed = isinstance(field, Listing) and not isinstance(field, LoadsField)
    return listed or isinstance(field, Nested) or bool(field.metadata.get("post_only"))


def register(blueprint: Blueprint, operation: Operation) -> None:
    """Let a blueprint answer an operation."""
    schema = query_schema(operation)
    methods = ["GET", "POST", "OPTIONS"] if schema else ["POST", "OPTIONS"]
    going = operation.deprecation.headers() if operation.deprecation else {}
    allowed = "GET, HEAD, OPTIONS, POST" if schema else "OPTIONS, POST"

    def endpoint() -> Response:
        if request.method == "OPTIONS":
            return Response(status=204, headers={"Allow": allowed})
        if going:
            after_this_request(lambda response: _with(response, going))
        response = _get(operation, schema) if schema and request.method != "POST" else _post(operation)
        response.headers["Vary"] = "Accept, Origin"
        return response

    endpoint.__name__ = operation.name.replace("-", "_")
    blueprint.add_url_rule(f"/{operation.name}", view_func=endpoint, methods=methods, provide_automatic_options=False)


def _with(response: Response, headers: Mapping[str, str]) -> Response:
    response.headers.update(headers)
    return response


for _operation in OPERATIONS.values():
    register(blueprint, _operation)


@blueprint.route("/fleet", methods=["POST", "OPTIONS"], provide_automatic_options=False)
def fleet() -> Response:
    """A table of aeroplanes."""
    if request.method == "OPTIONS":
        return Response(status=204, headers={"Allow": "OPTIONS, POST"})
    response = fleet_endpoint.fleet()
    response.headers["Vary"] = "Accept, Origin"
    return response
