"""Small pieces of JSON Schema, of which the answers are made."""

from collections.abc import Mapping
from typing import Any

from climbwright.units import display_units

__all__ = ["answer_quantity", "answered", "json_array", "json_object", "json_text", "whole_number", "with_example"]


def answer_quantity() -> dict[str, Any]:
    """A quantity as it stands in an answer."""
    number = {"anyOf": [{"type": "number"}, {"type": "null"}]}
    return {
        "type": "object",
        "description": "A quantity in an answer; null with the reason where it does not exist.",
        "additionalProperties": False,
        "required": ["value", "unit"],
        "properties": {
            "value": {
                "description": "The number, a list of numbers where lists were sent, or null.",
                "anyOf": [*number["anyOf"], {"type": "array", "items": number}],
                "examples": [412.0],
            },
            "unit": {
                "description": "The unit, as units= asked; null for money without a currency.",
                "anyOf": [{"type": "string"}, {"type": "null"}],
                "examples": ["ft/min"],
            },
            "plus_minus": {
                "description": "One standard deviation, where an input or a starting value had one; beside "
                "percentiles half of the range that holds the middle 68.3 % of the aeroplanes drawn.",
                "anyOf": [{"type": "number", "minimum": 0}, {"type": "array", "items": {"type": "number"}}],
                "examples": [58.0],
            },
            "percentiles": {
                "type": "object",
                "description": "The 5th, 50th and 95th percentile of aeroplanes drawn, where the spread is theirs; "
                "null where one lies among those that cannot do it.",
                "additionalProperties": {"anyOf": [{"type": "number"}, {"type": "null"}]},
                "examples": [{"5": 318.0, "50": 411.0, "95": 509.0}],
            },
            "share_without": {
                "type": "number",
                "description": "Share of the aeroplanes drawn that have no such value: they cannot do it.",
                "examples": [0.031],
            },
            "reason": {
                "type": "string",
                "description": "Why there is no value.",
                "examples": ["level flight cannot be held at any speed above the stall"],
            },
        },
        "examples": [{"value": 412.0, "unit": "ft/min", "plus_minus": 58.0}],
    }


def answered(description: str, kind: str, value: Any = None) -> dict[str, Any]:
    """A property of an answer that is a quantity of one kind, with an example of it."""
    unit = "EUR" if kind == "money" else display_units("aviation")[kind].name
    shown = {"value": 12.5, "unit": unit} if value is None else value
    return {"$ref": "#/components/schemas/Answer", "description": description, "examples": [shown]}


def json_object(properties: Mapping[str, Any], description: str, required: list[str] | None = None) -> dict[str, Any]:
    """An object with these properties and no others; all required where it is not said which."""
    return {
        "type": "object",
        "description": description,
        "additionalProperties": False,
        "required": list(properties) if required is None else required,
        "properties": dict(properties),
    }


def json_array(items: dict[str, Any], description: str, example: Any) -> dict[str, Any]:
    """A list."""
    return {"type": "array", "items": items, "description": description, "examples": [example]}


def json_text(description: str, example: str) -> dict[str, Any]:
    """A text."""
    return {"type": "string", "description": description, "examples": [example]}


def with_example(schema: dict[str, Any]) -> dict[str, Any]:
    """An object with an example made of those of its properties."""
    return schema | {"examples": [{name: part["examples"][0] for name, part in schema["properties"].items()}]}


def whole_number(description: str, example: int) -> dict[str, Any]:
    """A number that counts."""
    return {"type": "integer", "minimum": 0, "description": description, "examples": [example]}
