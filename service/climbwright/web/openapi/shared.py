"""Schemas that many answers share: cautions, assumptions, provenance, problems."""

from typing import Any

from climbwright.web.openapi.builders import answer_quantity, answered, json_array, json_object, json_text
from climbwright.web.words.cautions import CAUTIONS

__all__ = ["notes", "shared_schemas"]


def shared_schemas() -> dict[str, dict[str, Any]]:
    """Those schemas by name."""
    caution = {"code": "estimate", "severity": "caution", "text": "This is an estimate ...", "where": ""}
    catalogue = "\n".join(f"- `{code}` ({known.severity}): {known.when}" for code, known in sorted(CAUTIONS.items()))
    codes = {**json_text(f"Code of the caution.\n\n{catalogue}", "tip-mach"), "enum": sorted(CAUTIONS)}
    severity = {**json_text("How grave it is.", "warning"), "enum": ["info", "caution", "warning"]}
    pointer = json_text("JSON Pointer of the part of the request it speaks of.", "/loadings/0")
    return {
        "Answer": answer_quantity(),
        "Amount": _amount("", "Mass", "Volume"),
        "CertainAmount": _amount(", without a spread", "CertainMass", "CertainVolume"),
        "SomeQuantity": _some_quantity(),
        "Caution": json_object(
            {
                "code": codes,
                "severity": severity,
                "text": json_text("What to know.", "Stall speeds are power off."),
                "where": pointer,
            },
            "A caution.",
        )
        | {"examples": [caution]},
        "Assumed": json_object(
            {
                "where": pointer,
                "text": json_text("What stood in.", "altitude lapse of such an engine"),
                "value": answered(
                    "The value that stood in.", "ratio", {"value": 0.117, "unit": "1", "plus_minus": 0.02}
                ),
                "source": json_text("Where it comes from.", "common practice, no source"),
            },
            "Something the request did not say.",
            required=["where", "text"],
        )
        | {"examples": [{"where": "/engine/lapse_constant", "text": "altitude lapse of such an engine"}]},
        "Provenance": json_object(
            {
                "build": json_text("Version and source hash of the service.", "0.1.0+0123456789ab"),
                "input": json_text("Hash of the request's canonical form.", "sha256:0123"),
            },
            "What reproduces this answer.",
        )
        | {"examples": [{"build": "0.1.0+0123456789ab", "input": "sha256:0123"}]},
        "Problem": json_object(
            {
                "type": json_text("Which kind of problem (URI reference).", "/docs#not-understood"),
                "title": json_text("The kind in words.", "The request is not understood"),
                "status": {"type": "integer", "description": "The HTTP status.", "examples": [422]},
                "detail": json_text("What is wrong and what to send instead.", "/weight: this field is missing"),
                "errors": json_array(
                    json_object(
                        {
                            "pointer": json_text("JSON Pointer of the field; empty for the whole request.", "/weight"),
                            "detail": json_text("What is wrong with it.", "this field is missing"),
                        },
                        "One field's fault.",
                    ),
                    "Every fault that was found.",
                    [{"pointer": "/weight", "detail": "this field is missing"}],
                ),
            },
            "A problem document (RFC 9457).",
        )
        | {
            "examples": [
                {
                    "type": "/docs#not-understood",
                    "title": "The request is not understood",
                    "status": 422,
                    "detail": "/weight: this field is missing",
                    "errors": [{"pointer": "/weight", "detail": "this field is missing"}],
                }
            ]
        },
        "Health": json_object(
            {
                "status": {**json_text("How it is.", "ready"), "enum": ["live", "ready", "stopping"]},
                "version": json_text("The version.", "0.1.0"),
                "build": json_text("The build.", "0.1.0+0123456789ab"),
            },
            "Health.",
            ["status"],
        ),
    }


def _amount(without: str, *kinds: str) -> dict[str, Any]:
    return {
        "description": f"A weight, or a volume of what the station's density is known of{without}.",
        "anyOf": [{"$ref": f"#/components/schemas/{kind}Quantity"} for kind in kinds],
        "examples": ["60 L"],
    }


def _some_quantity() -> dict[str, Any]:
    """A quantity whose kind another field decides."""
    value = {"type": "number", "description": "The number.", "examples": [600]}
    unit = json_text("A unit of that kind; a ratio needs none.", "ft/min")
    spread = {
        "type": "number",
        "minimum": 0,
        "maximum": 0,
        "description": "Nothing but 0: this is taken as it is.",
        "examples": [0],
    }
    form = json_object({"value": value, "unit": unit, "plus_minus": spread}, "Number and unit.", ["value"])
    return {
        "description": "A quantity in a unit of the kind that the named measure or unknown has.",
        "anyOf": [
            {"type": "string", "minLength": 1, "maxLength": 80, "examples": ["600 ft/min"]},
            {"type": "number", "examples": [0.74]},
            form | {"examples": [{"value": 600, "unit": "ft/min"}]},
        ],
        "examples": ["600 ft/min"],
    }


def notes() -> dict[str, Any]:
    """What every answer carries beside its numbers."""
    return {
        "assumed": json_array({"$ref": "#/components/schemas/Assumed"}, "What the request did not say.", []),
        "cautions": json_array({"$ref": "#/components/schemas/Caution"}, "Broken limits first, then the gravest.", []),
        "provenance": {
            "$ref": "#/components/schemas/Provenance",
            "description": "What reproduces this answer.",
            "examples": [{"build": "0.1.0+0123456789ab", "input": "sha256:0123"}],
        },
    }
