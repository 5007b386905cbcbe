"""Quantities as they may be sent: one schema for each kind."""

import json
from typing import Any

from climbwright.units import KINDS, spellings
from climbwright.web.schemas.fields import Quantity

__all__ = ["TEXT_PATTERN", "bounds", "component_name", "hourly_column", "quantity_schema", "without_unused_kinds"]

TEXT_PATTERN = r"^\s*[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,5})?\s*.*$"


def component_name(kind: str) -> str:
    """Name of the schema of a kind of quantity."""
    return "".join(word.capitalize() for word in kind.split()) + "Quantity"


def quantity_schema(kind: str) -> dict[str, Any]:
    """A quantity of one kind, as it may be sent."""
    example = KINDS[kind].example
    number = {"type": "number", "description": "The number.", "examples": [1.5]}
    as_object = {
        "type": "object",
        "additionalProperties": False,
        "required": ["value"] if kind == "ratio" else ["value", "unit"],
        "properties": {
            "value": {
                "description": "The number; a list of numbers where the field says so.",
                "anyOf": [{"type": "number"}, {"type": "array", "items": {"type": "number"}, "minItems": 1}],
                "examples": [float(example.split()[0])],
            },
            "unit": {
                "type": "string",
                "description": f"One of {spellings(kind)}.",
                "examples": [example.split(maxsplit=1)[1] if " " in example else "1"],
            },
            "plus_minus": {**number, "minimum": 0, "description": "One standard deviation, in the same unit."},
        },
    }
    forms: list[dict[str, Any]] = [
        {"type": "string", "maxLength": 80, "pattern": TEXT_PATTERN, "examples": [example]},
        as_object,
    ]
    if kind == "ratio":
        forms.append({"type": "number", "examples": [0.74]})
    return {"description": f"Quantity of kind {kind}: {spellings(kind)}.", "anyOf": forms, "examples": [example]}


def hourly_column(kind: str, example: dict[str, Any]) -> dict[str, Any]:
    """A value for each hour."""
    cells = {"type": "array", "items": {"anyOf": [{"type": "number"}, {"type": "string"}, {"type": "null"}]}}
    unit = {"type": "string", "description": f"One of {spellings(kind)}.", "examples": [example["unit"]]}
    listed = cells | {
        "description": "A number for each hour, null where it is missing.",
        "examples": [example["value"]],
    }
    as_object = {
        "type": "object",
        "additionalProperties": False,
        "required": ["value"] if kind == "ratio" else ["value", "unit"],
        "properties": {"value": listed, "unit": unit},
    }
    return {"anyOf": [as_object, cells], "x-kind": kind}


def bounds(field: Quantity) -> dict[str, Any]:
    """What a field's quantity has to keep to beside its kind."""
    words = [f"{name} {text}" for name, (text, _) in field.bounds.items()]
    notes = [*words, *(["a list of values is taken"] if field.listed else []), *(["no plus_minus"] * field.certain)]
    return {"x-kind": field.kind, "x-bounds": "; ".join(notes)} if notes else {"x-kind": field.kind}


def without_unused_kinds(document: dict[str, Any]) -> dict[str, Any]:
    """Kinds of quantity that no request takes yet are left out."""
    text = json.dumps(document)
    schemas = document["components"]["schemas"]
    for kind in KINDS:
        if f'"#/components/schemas/{component_name(kind)}"' not in text:
            del schemas[component_name(kind)]
    return document
