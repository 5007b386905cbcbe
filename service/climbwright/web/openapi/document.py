"""The whole document."""

import copy
from importlib.metadata import version
from typing import Any

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin

from climbwright.web.openapi.answers import answer_schema
from climbwright.web.openapi.fleet import fleet_item, fleet_schemas
from climbwright.web.openapi.headers import headers
from climbwright.web.openapi.operations import path_item
from climbwright.web.openapi.options import units_schema
from climbwright.web.openapi.pages import page_items
from climbwright.web.openapi.quantities import quantity_schemas, without_unused
from climbwright.web.openapi.requests import attributes, change_name, schema_name
from climbwright.web.openapi.security import security_schemes
from climbwright.web.openapi.shared import shared_schemas
from climbwright.web.openapi.working import worked_schemas
from climbwright.web.operations import OPERATIONS
from climbwright.web.schemas.changes import CHANGES

__all__ = ["build_document"]

_INTRODUCTION = """\
climbwright answers one question for the owner-builder of a light kit aeroplane: if I change this machine, what will
it weigh, where will it balance, and how will it stall, climb and fly in my air, and how sure can I be?

Every dimensional input carries its unit, as text ("483 kg") or as an object with value, unit and, where it is not
sure, plus_minus (one standard deviation). Answers carry the object form and can be sent back as inputs. An unknown or
misspelt field or parameter is refused, never ignored; what an answer assumed is listed in it.

All figures are estimates. Local rules, an approved weighing and a licensed inspector decide."""


def build_document() -> dict[str, Any]:
    """The whole document.

    Returns
    -------
    dict
        OpenAPI 3.1.
    """
    plugin = MarshmallowPlugin(schema_name_resolver=schema_name)
    spec = APISpec(
        title="climbwright",
        version=version("climbwright"),
        openapi_version="3.1.0",
        info={
            "summary": "What a re-engined light aeroplane will weigh, where it will balance and how it will climb.",
            "description": _INTRODUCTION,
            "license": {"name": "MIT", "identifier": "MIT"},
        },
        servers=[{"url": "/", "description": "The service that serves this document."}],
        tags=[
            {"name": "operations", "description": "The answers."},
            {"name": "service", "description": "Health, documentation and pages."},
        ],
        plugins=[plugin],
    )
    converter = plugin.converter
    if converter is None:
        raise AssertionError("the plugin makes its converter when the document is made")
    converter.add_attribute_function(attributes)  # type: ignore[no-untyped-call]
    for name, schema in (shared_schemas() | worked_schemas()).items():
        spec.components.schema(name, component=schema)
    for name, schema in quantity_schemas().items():
        spec.components.schema(name, component=schema)
    for kind, change in CHANGES.items():
        spec.components.schema(change_name(kind), schema=change)
    for operation in OPERATIONS.values():
        name = "".join(word.capitalize() for word in operation.name.split("-")) + "Answer"
        spec.components.schema(name, component=answer_schema(operation))
        spec.path(f"/v1/{operation.name}", operations=path_item(operation, spec, converter))
    for name, schema in fleet_schemas().items():
        spec.components.schema(name, component=schema)
    spec.components.schema("Units", component=units_schema())
    for name, header in headers().items():
        spec.components.header(name, header)
    for name, scheme in security_schemes().items():
        spec.components.security_scheme(name, scheme)
    document = _strict(_examples(spec.to_dict()))
    document["paths"] |= {"/v1/fleet": fleet_item()} | page_items()
    return without_unused(document)


def _examples(node: Any) -> Any:
    """JSON Schema's `examples` in place of OpenAPI's deprecated `example`, and the bounds put into words."""
    if isinstance(node, list):
        return [_examples(item) for item in node]
    if not isinstance(node, dict):
        return node
    if node.get("in") == "query":  # a parameter, whose own example is not deprecated
        return node | {"schema": _examples(node["schema"])}
    kept = {
        name: value
        for name, value in node.items()
        if not (name in ("example", "x-bounds") or (name == "default" and isinstance(value, dict)))
    }
    changed = {name: value if name == "examples" else _examples(value) for name, value in kept.items()}
    if "example" in node:
        changed["examples"] = [node["example"]]
    if "x-bounds" in node and "description" in changed:
        changed["description"] = f"{changed['description']} ({node['x-bounds']})"
    return changed


def _strict(document: dict[str, Any]) -> dict[str, Any]:
    """Requests refuse unknown fields, and the document says so."""
    shut = copy.deepcopy(document)
    for schema in shut["components"]["schemas"].values():
        if schema.get("type") == "object":
            schema.setdefault("additionalProperties", False)
    return shut
