"""An operation: its GET, its POST and what they answer."""

from typing import Any

from apispec import APISpec

from climbwright.web.endpoints import query_schema
from climbwright.web.openapi.builders import json_object, json_text
from climbwright.web.openapi.examples import example_answer, query_example, read_example
from climbwright.web.openapi.headers import header_references
from climbwright.web.openapi.options import option_parameters
from climbwright.web.openapi.problems import OF_OPERATIONS, OF_TABLES, STATUSES, of_the_server, problem_responses
from climbwright.web.openapi.queries import parameters_of_parts, query_parameter
from climbwright.web.openapi.security import SECURITY
from climbwright.web.operations import Operation

__all__ = ["path_item"]


def path_item(operation: Operation, spec: APISpec, converter: Any) -> dict[str, Any]:
    """The methods of an operation's path."""
    title = operation.name.replace("-", " ")
    given = read_example(operation.name)
    shared: dict[str, Any] = {
        "summary": operation.summary,
        "description": operation.description,
        "tags": ["operations"],
        "security": SECURITY,
    }
    if operation.deprecation is not None:
        shared |= {"deprecated": True, "description": operation.description + operation.deprecation.words()}
    name = operation.name.replace("-", "_")
    request = f"{type(operation.request).__name__}"
    spec.components.schema(request, schema=operation.request)
    content: dict[str, Any] = {
        "application/json": {
            "schema": {"$ref": f"#/components/schemas/{request}"},
            "examples": {"invented": {"summary": "An invented example.", "value": given}},
        }
    }
    problems = STATUSES
    if operation.body is not None:
        content |= _as_parts(given)
        problems = STATUSES | OF_TABLES
    post: dict[str, Any] = {
        **shared,
        "operationId": f"post_{name}",
        "parameters": [p for p in _options(operation) if p["name"] != "errors"],
        "requestBody": {"required": True, "description": f"The {title} asked for.", "content": content},
        "responses": {
            "200": _ok(operation, example_answer(operation, given)),
            **problem_responses(tuple(problems), problems),
            **of_the_server(),
        },
    }
    if not operation.query:
        return {"post": post}
    return {"get": _get_operation(operation, shared, name, converter), "post": post}


def _as_parts(given: dict[str, Any]) -> dict[str, Any]:
    """The same request with its weather as a table: two parts of a form."""
    weather = given["weather"]
    columns = {name: column for name, column in weather.items() if name != "time"}
    headings = ["time", *(f"{name} [{column['unit']}]" for name, column in columns.items())]
    first = [weather["time"][0], *(str(column["value"][0]) for column in columns.values())]
    table = f"{','.join(headings)}\n{','.join(first)}\n"
    shared = {name: part for name, part in given.items() if name != "weather"}
    parts = {
        "shared": {
            "type": "object",
            "description": "All other fields, as JSON.",
            "examples": [shared],
        },
        "table": {
            **json_text(
                "The weather as a table: time, and NAME [UNIT] for each column; a file of type text/csv.", table
            ),
            "contentMediaType": "text/csv",
            "format": "binary",
        },
    }
    example = {"shared": shared, "table": table}
    schema = json_object(parts, "The fields but for the weather, and the weather as a table.")
    examples = {"invented": {"summary": "The first of the invented hours.", "value": example}}
    encoding = {"shared": {"contentType": "application/json"}, "table": {"contentType": "text/csv"}}
    return {"multipart/form-data": {"schema": schema, "examples": examples, "encoding": encoding}}


def _get_operation(operation: Operation, shared: dict[str, Any], name: str, converter: Any) -> dict[str, Any]:
    given = query_example(operation.name)
    if operation.queried is None:
        schema = query_schema(operation)
        fields = {field.data_key or key: field for key, field in (schema.load_fields if schema else {}).items()}
        parameters = [query_parameter(shown, field, given, converter) for shown, field in fields.items()]
    else:
        parameters = parameters_of_parts(given, converter)
    return {
        **shared,
        "operationId": f"get_{name}",
        "parameters": [*parameters, *_options(operation)],
        "responses": {
            "200": _ok(operation, example_answer(operation, given), "ETag"),
            "304": {"description": "The answer with this ETag is still right.", "headers": header_references("ETag")},
            **problem_responses(OF_OPERATIONS),
            **of_the_server(),
        },
    }


def _ok(operation: Operation, example: dict[str, Any], *headers: str) -> dict[str, Any]:
    name = "".join(word.capitalize() for word in operation.name.split("-")) + "Answer"
    return {
        "description": "The answer.",
        "headers": header_references(*headers),
        "content": {
            "application/json": {
                "schema": {"$ref": f"#/components/schemas/{name}"},
                "examples": {"invented": {"summary": "The answer to the example.", "value": example}},
            },
            "text/csv": {"schema": {"type": "string", "examples": ["a [ft],b [kt]"]}},
            "text/plain": {"schema": {"type": "string", "examples": ["9555.41"]}},
        },
    }


def _options(operation: Operation) -> list[dict[str, Any]]:
    return option_parameters(next(iter(operation.fields), "cautions"), draws=operation.draws)
