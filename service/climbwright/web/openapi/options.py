"""The options that every operation takes in its query: units, format, pick and the others."""

from typing import Any

from climbwright.units import DISPLAY, display_units
from climbwright.web.openapi.quantities import unit_pattern

__all__ = ["option_parameters", "parameter", "units_parameter", "units_schema"]


def units_schema() -> dict[str, Any]:
    """A system of units, then kinds and their units."""
    kinds = display_units("aviation")
    one = "|".join(rf"{kind.replace(' ', '[ _]')}\s*:{unit_pattern(kind)}" for kind in kinds)
    return {
        "type": "string",
        "description": "A system, then kinds with a unit of their own; each kind once.",
        "pattern": rf"^\s*({'|'.join(DISPLAY)}|{one})\s*(,\s*({one}))*$",
        "examples": ["us,speed:mph"],
    }


def parameter(name: str, description: str, schema: dict[str, Any], example: str) -> dict[str, Any]:
    """A parameter of a query that may be left out."""
    return {
        "name": name,
        "in": "query",
        "required": False,
        "description": description,
        "schema": schema,
        "example": example,
    }


def _choice(name: str, description: str, *words: str) -> dict[str, Any]:
    return parameter(name, description, {"type": "string", "enum": list(words)}, words[0])


def units_parameter() -> dict[str, Any]:
    """The parameter that chooses the units."""
    said = "Units of the answer: aviation, metric, us or si, then kinds: us,speed:mph."
    return parameter("units", said, {"$ref": "#/components/schemas/Units"}, "us,speed:mph")


def option_parameters(picked: str, *, draws: bool) -> list[dict[str, Any]]:
    """A parameter of the query for each option.

    Parameters
    ----------
    picked : str
        A field to pick, for example.
    draws : bool
        Whether aeroplanes can be drawn at random.
    """
    pick = {"type": "string", "minLength": 1, "examples": [picked]}
    linear = "linear: by central differences"
    drawn = (
        f"{linear}; sampled: of 4,000 aeroplanes drawn at random, always the same, fewer for many scenes. Left out, it "
        "is linear where that tells it, else drawn."
    )
    return [
        units_parameter(),
        _choice("format", "Format of the answer; it beats Accept.", "text", "csv", "json"),
        {
            "name": "pick",
            "in": "query",
            "required": False,
            "description": "Answer this one value as plain text: a field's name, or a JSON Pointer. Only with "
            "format=text, or without a format.",
            "schema": pick,
        },
        _choice("working", "true shows every step; not with pick or format=csv.", "false", "true"),
        _choice("spread", drawn if draws else f"{linear}, the only way here.", "linear", *(["sampled"] * draws)),
        _choice("errors", "text tells a spreadsheet a refusal as text, with status 200.", "text", "document"),
    ]
