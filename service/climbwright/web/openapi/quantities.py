"""Quantities as they may be sent: schemas for each kind, whose patterns know its units.

Bounds stand in words beside a field: they hold whatever the unit, which a pattern cannot tell.
"""

import itertools
import json
from collections.abc import Iterable
from typing import Any

from climbwright.units import KINDS, spellings
from climbwright.web.schemas.fields import Quantity

__all__ = [
    "bounds",
    "component_name",
    "hourly_column",
    "quantity_schemas",
    "text_name",
    "text_pattern",
    "text_within",
    "unit_pattern",
    "without_unused",
]

_NUMBER = r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,5})?"
_FILL = r"[\s·]*"  # blanks, which mean nothing before and after a sign and at the ends
_POWERS = {"2": r"\^?2|²", "3": r"\^?3|³"}
_LONGEST = 80  # characters of a text


def component_name(kind: str, *, certain: bool = False, listed: bool = False) -> str:
    """Name of the schema of a kind of quantity: with a spread or without, one value or as many as a list holds."""
    words = (*(["certain"] * certain), *(["listed"] * listed), *kind.split(), "quantity")
    return "".join(word.capitalize() for word in words)


def text_name(kind: str) -> str:
    """Name of the schema of a quantity that is a text, as a query holds it."""
    return component_name(kind).removesuffix("Quantity") + "Text"


def _character(one: str) -> str:
    if one == " ":
        return _FILL
    if one in _POWERS:
        return f"({_POWERS[one]})"
    if one.isalnum():
        return f"[{one}{one.upper()}]" if one.upper() != one else one
    return _FILL + (f"\\{one}" if one in r"\.^$*+?()[]{}|" else one) + _FILL


def _spellings_pattern(spelt: Iterable[str]) -> str:
    """Any of these units, in any case."""
    most: dict[str, str] = {}  # of the ways to write a unit the one with the most blanks, each of which may be left out
    for word in sorted(spelt, key=lambda word: word.count(" ")):
        most[word.replace(" ", "")] = word
    return "|".join("".join(map(_character, word)) for word in most.values())


def unit_pattern(kind: str) -> str:
    """A unit of a kind, as a regular expression that is to be anchored."""
    return f"{_FILL}({_spellings_pattern(KINDS[kind].by_spelling)}){_FILL}"


def text_pattern(kind: str) -> str:
    """A number with a unit of a kind, as a regular expression."""
    return f"^{text_within(kind)}$"


def text_within(kind: str) -> str:
    """The same within another; a unit that begins with a digit stands apart from the number."""
    every = KINDS[kind].by_spelling
    apart = [word for word in every if word[0].isdigit()]
    units = [f"{_FILL}({_spellings_pattern(word for word in every if word not in apart)}){_FILL}"]
    units += [rf"[\s·]{_FILL}({_spellings_pattern(apart)}){_FILL}"] * bool(apart)
    units += [r"\s*"] * (kind == "ratio")
    return rf"\s*{_NUMBER}({'|'.join(units)})"


def text_schema(kind: str) -> dict[str, Any]:
    """A quantity as a text."""
    return {
        "type": "string",
        "description": f"A number and its unit: {spellings(kind)}.",
        "maxLength": _LONGEST,
        "pattern": text_pattern(kind),
        "x-kind": kind,
        "examples": [KINDS[kind].example],
    }


def _as_object(kind: str, value: dict[str, Any], spread: dict[str, Any] | None) -> dict[str, Any]:
    number, *rest = KINDS[kind].example.split(maxsplit=1)
    unit = {
        "type": "string",
        "description": f"One of {spellings(kind)}.",
        "pattern": f"^{unit_pattern(kind)}$",
        "examples": rest or ["1"],
    }
    shown = [[float(number)]] if value["type"] == "array" else [float(number)]
    properties = {"value": {**value, "examples": shown}, "unit": unit}
    if spread is not None:
        properties["plus_minus"] = {"type": "number", **spread}
    return {
        "type": "object",
        "additionalProperties": False,
        "required": ["value"] if kind == "ratio" else ["value", "unit"],
        "properties": properties,
    }


_ONE = {"type": "number", "description": "The number."}
_SEVERAL = {"type": "array", "items": {"type": "number"}, "minItems": 1, "description": "The numbers."}
_SPREAD = {"minimum": 0, "description": "One standard deviation, in the same unit.", "examples": [1.5]}
_NO_SPREAD = {
    "type": "number",
    "minimum": 0,
    "maximum": 0,
    "description": "Nothing but 0: this is taken as it is.",
    "examples": [0],
}


def quantity_schema(kind: str, *, certain: bool = False, listed: bool = False) -> dict[str, Any]:
    """A quantity of one kind, as it may be sent."""
    example = KINDS[kind].example
    text = {"$ref": f"#/components/schemas/{text_name(kind)}"}
    forms = [text, _as_object(kind, _ONE, _NO_SPREAD if certain else _SPREAD)]
    forms += [_as_object(kind, _SEVERAL, None)] * listed
    forms += [{"type": "number", "examples": [0.74]}] * (kind == "ratio")
    said = f"Quantity of kind {kind}{', or a list of them' * listed}: {spellings(kind)}."
    return {"description": said, "anyOf": forms, "examples": [example]}


def quantity_schemas() -> dict[str, dict[str, Any]]:
    """Every form of every kind, by name."""
    found: dict[str, dict[str, Any]] = {}
    for kind in KINDS:
        for certain, listed in itertools.product((False, True), repeat=2):
            name = component_name(kind, certain=certain, listed=listed)
            found[name] = quantity_schema(kind, certain=certain, listed=listed)
        found[text_name(kind)] = text_schema(kind)
    return found


def hourly_column(kind: str, example: dict[str, Any]) -> dict[str, Any]:
    """A value for each hour."""
    cells = {"type": "array", "items": {"anyOf": [{"type": "number"}, {"type": "string"}, {"type": "null"}]}}
    unit = {
        "type": "string",
        "description": f"One of {spellings(kind)}.",
        "pattern": f"^{unit_pattern(kind)}$",
        "examples": [example["unit"]],
    }
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


def without_unused(document: dict[str, Any]) -> dict[str, Any]:
    """The document without the forms of quantities that nothing takes; texts come last, which the others refer to."""
    schemas = document["components"]["schemas"]
    for name in sorted(quantity_schemas(), key=lambda name: name.endswith("Text")):
        if f'"#/components/schemas/{name}"' not in json.dumps(document):
            del schemas[name]
    return document
