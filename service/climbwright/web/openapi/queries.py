"""The fields of a request as parameters of a query."""

import re
from collections.abc import Mapping
from typing import Any

from climbwright.web.openapi.quantities import text_name
from climbwright.web.queried import LONGEST_PACKED, parameters
from climbwright.web.schemas.fields import Quantity
from climbwright.web.schemas.requests import LoadsField

__all__ = ["parameters_of_parts", "query_parameter"]


def query_parameter(name: str, field: Any, given: Mapping[str, Any], converter: Any) -> dict[str, Any]:
    """A field of a request as a parameter of a query."""
    inner = converter.field2property(field)
    parameter = {
        "name": name,
        "in": "query",
        "required": field.required,
        "description": inner.pop("description"),
        "schema": _query_schema_of(inner, field),
    }
    if name in given:
        parameter["example"] = given[name]
    else:  # not filled in beside the ones it excludes, but shown
        parameter["schema"]["examples"] = [field.metadata["example"]]
    return parameter


def parameters_of_parts(given: Mapping[str, Any], converter: Any) -> list[dict[str, Any]]:
    """Parameters of a query that holds an aeroplane; those of named members are the properties of one."""
    every = parameters()
    told = [
        {**query_parameter(name, field, given, converter), "required": False}
        for name, field in every.items()
        if ".NAME" not in name
    ]
    members = [name for name in every if ".NAME" in name]
    before = sorted({name.partition(".NAME")[0] for name in members})
    example = {name: text for name, text in given.items() if name.startswith(tuple(f"{one}." for one in before))}
    of_members = {
        "name": "members",
        "in": "query",
        "required": False,
        "style": "form",
        "explode": True,
        "description": f"Fields of what has a name of its own: {', '.join(members)}.",
        "schema": {
            "type": "object",
            "propertyNames": {"pattern": f"^({'|'.join(map(re.escape, before))})\\..+"},
            "additionalProperties": {"type": "string", "maxLength": 80},
        },
        "example": example,
    }
    packed = {
        "name": "aircraft",
        "in": "query",
        "required": False,
        "description": "A whole aircraft: base64url (RFC 4648) of its JSON compressed by zlib (RFC 1950).",
        "schema": {
            "type": "string",
            "minLength": 1,
            "maxLength": LONGEST_PACKED,
            "pattern": "^[A-Za-z0-9_-]+={0,2}$",
            "contentEncoding": "base64url",
            "contentMediaType": "application/zlib",
        },
        "example": given["aircraft"],
    }
    wanted = {
        "name": "measures",
        "in": "query",
        "required": False,
        "style": "form",
        "explode": False,
        "description": "Measures wanted, by name or by group, commas between them.",
        "schema": {"type": "array", "items": {"type": "string"}, "examples": [["takeoff_distance", "climb"]]},
    }
    return [packed, *told, of_members, wanted]


def _query_schema_of(inner: dict[str, Any], field: Any) -> dict[str, Any]:
    """A quantity of a query is a text."""
    if isinstance(field, LoadsField):
        return {
            "type": "array",
            "items": inner["items"],
            "minItems": field.least,
            "maxItems": field.most,
            "examples": inner.get("examples", []),
        }
    if isinstance(field, Quantity):
        return {"$ref": f"#/components/schemas/{text_name(field.kind)}"}
    return inner
