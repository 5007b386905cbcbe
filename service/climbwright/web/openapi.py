"""The OpenAPI document, made from the schemas, the tables of fields, and the examples.

``python -m climbwright.web.openapi`` writes openapi/openapi.json; ``--check`` only says whether it is up to date.
"""

import argparse
import copy
import json
import re
import sys
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

from apispec import APISpec
from apispec.ext.marshmallow import MarshmallowPlugin
from marshmallow import Schema

from climbwright.answers.calibration.observation import KINDS as KINDS_OF_OBSERVATION
from climbwright.answers.measures import MEASURES, PHASES, STALL_SPEEDS
from climbwright.answers.operability import JUDGED, MARGINS, WAYS
from climbwright.answers.pilot import FUEL_STATES
from climbwright.answers.season import DAY
from climbwright.answers.unknowns import UNKNOWNS
from climbwright.units import KINDS, display_units, spellings
from climbwright.web.endpoints import query_schema
from climbwright.web.fleet.batch import Batch, Wanted
from climbwright.web.fleet.document import fleet_path, fleet_schemas
from climbwright.web.fleet.tables import json_table
from climbwright.web.fleet.writing import Answer, json_stream
from climbwright.web.operations import OPERATIONS, Field, Operation
from climbwright.web.queried import LONGEST_PACKED, parameters
from climbwright.web.rendering.balance import BURN_FIELDS, RECORD_FIELDS, WHEEL_FIELDS
from climbwright.web.schemas.aircraft import AmountsField, CorrelationField, MassOrVolume
from climbwright.web.schemas.changes import CHANGES, ChangeField
from climbwright.web.schemas.fields import Choice, Count, Listing, Nested, Price, Quantity, Text, Truth
from climbwright.web.schemas.flying import MeasuresField
from climbwright.web.schemas.requests import LoadField, LoadsField
from climbwright.web.schemas.targets import SomeQuantity
from climbwright.web.schemas.weather import ColumnField, TimesField
from climbwright.web.words.cautions import CAUTIONS
from climbwright.web.words.measures import MEANINGS

__all__ = ["build_document", "main"]

ROOT = Path(__file__).resolve().parents[3] / "openapi"
_TEXT_PATTERN = r"^\s*[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,5})?\s*.*$"
_PROBLEMS = {
    "400": "The request's bytes do not parse.",
    "404": "There is nothing at this address.",
    "405": "The address does not take this method.",
    "406": "No format that Accept names can be given.",
    "411": "The body came without a length.",
    "413": "The body is too large.",
    "415": "The body is not application/json.",
    "422": "Understood and refused: by its schema (type /docs#not-understood) or by physics (/docs#not-answerable).",
    "500": "The service failed; the fault is ours and has been logged.",
}
_PROBLEMS_OF_TABLES = {
    "413": "The body is too large, or the hours are too many.",
    "415": "The body is neither application/json nor multipart/form-data.",
    "501": "The service was installed without its part for CSV and Arrow.",
    "503": "As many large tables as the service computes at a time are being computed: come again.",
}
_INTRODUCTION = """\
climbwright answers one question for the owner-builder of a light kit aeroplane: if I change this machine, what will
it weigh, where will it balance, and how will it stall, climb and fly in my air, and how sure can I be?

Every dimensional input carries its unit, as text ("483 kg") or as an object with value, unit and, where it is not
sure, plus_minus (one standard deviation). Answers carry the object form and can be sent back as inputs. An unknown or
misspelt field or parameter is refused, never ignored; what an answer assumed is listed in it.

All figures are estimates. Local rules, an approved weighing and a licensed inspector decide."""


def _component(kind: str) -> str:
    return "".join(word.capitalize() for word in kind.split()) + "Quantity"


def _kind_schema(kind: str) -> dict[str, Any]:
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
        {"type": "string", "maxLength": 80, "pattern": _TEXT_PATTERN, "examples": [example]},
        as_object,
    ]
    if kind == "ratio":
        forms.append({"type": "number", "examples": [0.74]})
    return {"description": f"Quantity of kind {kind}: {spellings(kind)}.", "anyOf": forms, "examples": [example]}


def _attributes(self: Any, field: Any, **_: Any) -> dict[str, Any]:
    """What our own fields are, for apispec."""
    if isinstance(field, Nested):
        return {"examples": [field.metadata.get("example") or _whole_example(field.schema)]}
    if isinstance(field, TimesField):
        return {"type": "array", "items": {"type": "string", "maxLength": 40}, "minItems": 1}
    if isinstance(field, ColumnField):
        return _column(field.kind, field.metadata["example"])
    if isinstance(field, AmountsField):
        return {
            "type": "object",
            "maxProperties": 40,
            "additionalProperties": {"$ref": "#/components/schemas/Amount"},
        }
    if isinstance(field, ChangeField):
        return {
            "oneOf": [{"$ref": f"#/components/schemas/{_change_name(kind)}"} for kind in field.kinds],
            "discriminator": {
                "propertyName": "kind",
                "mapping": {kind: f"#/components/schemas/{_change_name(kind)}" for kind in field.kinds},
            },
        }
    if isinstance(field, MassOrVolume):
        return {"$ref": "#/components/schemas/Amount"}
    if isinstance(field, Quantity):
        return {"$ref": f"#/components/schemas/{_component(field.kind)}"} | _bounds(field)
    if isinstance(field, SomeQuantity):
        return {"$ref": "#/components/schemas/SomeQuantity"}
    if isinstance(field, Truth):
        return {"type": "boolean"}
    if isinstance(field, MeasuresField):
        names = {"type": "string", "enum": ["all", *PHASES, *MEASURES, STALL_SPEEDS]}
        return {"type": "array", "items": names, "minItems": 1, "maxItems": 100}
    if isinstance(field, Price):
        return {"$ref": "#/components/schemas/MoneyQuantity"}
    if isinstance(field, LoadField):
        return {"type": "string", "maxLength": 200, "examples": ["fuel:60L*0.72kg/L@0.61m"]}
    if isinstance(field, Count):
        return {"type": "integer", "minimum": field.least, "maximum": field.most}
    if isinstance(field, CorrelationField):
        row = {"type": "array", "items": {"type": "number", "minimum": -1, "maximum": 1}}
        return {"type": "array", "items": row}
    if isinstance(field, Choice):
        return {"type": "string", "enum": list(field.choices)}
    if isinstance(field, Listing):
        return {"minItems": field.least, "maxItems": field.most}
    if isinstance(field, Text):
        return {"type": "string", "minLength": 1, "maxLength": field.longest}
    return {}


def _column(kind: str, example: dict[str, Any]) -> dict[str, Any]:
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


# Fields that stand in place of another and so are left out of a whole example
_ALTERNATIVES = (
    "efficiency", "scales", "envelope", "items", "airspeed_correction", "pitch_class", "airframe_class",
    "root_chord", "tip_chord", "leading_edge_sweep", "root_leading_edge_arm", "covariance", "airspeed_errors",
)  # fmt: skip


def _whole_example(schema: Any) -> dict[str, Any]:
    """An example of an object, put together from the examples of its fields."""
    whole = {}
    for name, field in schema.load_fields.items():
        if name not in _ALTERNATIVES:
            nested = isinstance(field, Nested)
            whole[field.data_key or name] = _whole_example(field.schema) if nested else field.metadata["example"]
    return whole


def _bounds(field: Quantity) -> dict[str, Any]:
    words = [f"{name} {text}" for name, (text, _) in field.bounds.items()]
    notes = [*words, *(["a list of values is taken"] if field.listed else []), *(["no plus_minus"] * field.certain)]
    return {"x-kind": field.kind, "x-bounds": "; ".join(notes)} if notes else {"x-kind": field.kind}


def _change_name(kind: str) -> str:
    return f"{kind.capitalize()}Change"


def _schema_name(schema: Any) -> str:
    name = type(schema).__name__ if isinstance(schema, Schema) else schema.__name__
    for kind, known in CHANGES.items():
        if type(known).__name__ == name:
            return _change_name(kind)
    return str(name).removesuffix("Schema")


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


def _out_quantity() -> dict[str, Any]:
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


def _out(description: str, kind: str, value: Any = None) -> dict[str, Any]:
    unit = "EUR" if kind == "money" else display_units("aviation")[kind].name
    shown = {"value": 12.5, "unit": unit} if value is None else value
    return {"$ref": "#/components/schemas/Answer", "description": description, "examples": [shown]}


def _object(properties: Mapping[str, Any], description: str, required: list[str] | None = None) -> dict[str, Any]:
    return {
        "type": "object",
        "description": description,
        "additionalProperties": False,
        "required": list(properties) if required is None else required,
        "properties": dict(properties),
    }


def _array(items: dict[str, Any], description: str, example: Any) -> dict[str, Any]:
    return {"type": "array", "items": items, "description": description, "examples": [example]}


def _text(description: str, example: str) -> dict[str, Any]:
    return {"type": "string", "description": description, "examples": [example]}


def _shared_schemas() -> dict[str, dict[str, Any]]:
    caution = {"code": "estimate", "severity": "caution", "text": "This is an estimate ...", "where": ""}
    catalogue = "\n".join(f"- `{code}` ({known.severity}): {known.when}" for code, known in sorted(CAUTIONS.items()))
    codes = {**_text(f"Code of the caution.\n\n{catalogue}", "tip-mach"), "enum": sorted(CAUTIONS)}
    severity = {**_text("How grave it is.", "warning"), "enum": ["info", "caution", "warning"]}
    pointer = _text("JSON Pointer of the part of the request it speaks of.", "/loadings/0")
    return {
        "Answer": _out_quantity(),
        "Amount": {
            "description": "A weight, or a volume of what the station's density is known of.",
            "anyOf": [
                {"$ref": "#/components/schemas/MassQuantity"},
                {"$ref": "#/components/schemas/VolumeQuantity"},
            ],
            "examples": ["60 L"],
        },
        "SomeQuantity": {
            "description": "A quantity in a unit of the kind that the named measure or unknown has.",
            "anyOf": [
                {"type": "string", "maxLength": 80, "examples": ["600 ft/min"]},
                {"type": "number", "examples": [0.74]},
                {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["value", "unit"],
                    "properties": {
                        "value": {"type": "number", "examples": [600]},
                        "unit": {"type": "string", "examples": ["ft/min"]},
                    },
                    "examples": [{"value": 600, "unit": "ft/min"}],
                },
            ],
            "examples": ["600 ft/min"],
        },
        "Caution": _object(
            {
                "code": codes,
                "severity": severity,
                "text": _text("What to know.", "Stall speeds are power off."),
                "where": pointer,
            },
            "A caution.",
        )
        | {"examples": [caution]},
        "Assumed": _object(
            {
                "where": pointer,
                "text": _text("What stood in.", "altitude lapse of such an engine"),
                "value": _out("The value that stood in.", "ratio", {"value": 0.117, "unit": "1", "plus_minus": 0.02}),
                "source": _text("Where it comes from.", "common practice, no source"),
            },
            "Something the request did not say.",
            required=["where", "text"],
        )
        | {"examples": [{"where": "/engine/lapse_constant", "text": "altitude lapse of such an engine"}]},
        "Provenance": _object(
            {
                "build": _text("Version and source hash of the service.", "0.1.0+0123456789ab"),
                "input": _text("Hash of the request's canonical form.", "sha256:0123"),
            },
            "What reproduces this answer.",
        )
        | {"examples": [{"build": "0.1.0+0123456789ab", "input": "sha256:0123"}]},
        "Problem": _object(
            {
                "type": _text("Which kind of problem (URI reference).", "/docs#not-understood"),
                "title": _text("The kind in words.", "The request is not understood"),
                "status": {"type": "integer", "description": "The HTTP status.", "examples": [422]},
                "detail": _text("What is wrong and what to send instead.", "/oat: this field is missing"),
                "errors": _array(
                    _object(
                        {
                            "pointer": _text("JSON Pointer of the field; empty for the whole request.", "/oat"),
                            "detail": _text("What is wrong with it.", "this field is missing"),
                        },
                        "One field's fault.",
                    ),
                    "Every fault that was found.",
                    [{"pointer": "/oat", "detail": "this field is missing"}],
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
                    "detail": "/oat: this field is missing",
                    "errors": [{"pointer": "/oat", "detail": "this field is missing"}],
                }
            ]
        },
        "Health": _object(
            {"status": _text("live or ready.", "ready"), "build": _text("The build.", "0.1.0+0123")},
            "Health.",
            ["status"],
        ),
    }


def _notes() -> dict[str, Any]:
    return {
        "assumed": _array({"$ref": "#/components/schemas/Assumed"}, "What the request did not say.", []),
        "cautions": _array({"$ref": "#/components/schemas/Caution"}, "Broken limits first, then the gravest.", []),
        "provenance": {
            "$ref": "#/components/schemas/Provenance",
            "description": "What reproduces this answer.",
            "examples": [{"build": "0.1.0+0123456789ab", "input": "sha256:0123"}],
        },
    }


def _measures(leaf: Any) -> dict[str, Any]:
    properties = {name: leaf(MEANINGS[name], measure.kind) for name, measure in MEASURES.items()}
    stalls = {
        "type": "object",
        "description": "Stall speed, calibrated, of each configuration.",
        "additionalProperties": leaf("Stall speed, power off, calibrated.", "speed"),
        "examples": [{}],
    }
    if "change" in properties["stall_speed_calibrated"].get("properties", {}):
        properties["stall_speed_calibrated"]["properties"]["causes"] = _stall_causes()
    shown = _object(properties | {STALL_SPEEDS: stalls}, "Measures by name: those asked for.", [])
    return shown | {"examples": [{}]}


def _observed() -> dict[str, Any]:
    """Observations in a comparison."""
    about = {"kind": _text("Kind of observation.", "stall"), "measured": _text("What it measures.", "speed")}
    off = _out("That difference in its standard deviations (ratio)", "ratio")
    seen = _object(
        {
            "name": _text("Name of the observation.", "stall before"),
            "of": _text("baseline, or the option that it was flown after.", "baseline"),
            **about,
            "observed": _out("What was observed, airspeeds through the owner's table.", "speed"),
            "expected": _out("What that aeroplane should have read.", "speed"),
            "standard_deviations": off,
        },
        "An observation against the aeroplane that it is of.",
    )
    changed = _object(
        {
            "option": _text("The option.", "geared 112 hp engine"),
            "before": _text("Observation of the aeroplane as it is.", "stall before"),
            "after": _text("Observation of the same sort, flown after the option.", "stall after"),
            **about,
            "observed_change": _out("After less before, as observed.", "speed"),
            "explained": _out("What the changes made, and another load or air, explain of it.", "speed"),
            "unexplained": _out("What they do not.", "speed"),
            "standard_deviations": off,
        },
        "An observed change, and what of it the changes made explain.",
    )
    seen["properties"]["read"] = _out("What was read, where the owner's table makes another airspeed of it.", "speed")
    return {
        "observations": _array(seen, "Where observations were sent: each against its aeroplane.", []),
        "observed_changes": _array(changed, "Each pair of one sort.", []),
    }


def _stall_causes() -> dict[str, Any]:
    """Why a stall speed changed."""
    words = {
        "weight": "Through the weight.",
        "balance": "Through the centre of gravity, which decides what the tail carries.",
        "lift": "Through the greatest lift of the wing, or its area.",
    }
    parts = {name: _out(f"{text} (speed)", "speed") for name, text in words.items()}
    whole = _object(parts, "Parts of the change, where shares are asked for; they add up to it.")
    return whole | {"examples": [{name: part["examples"][0] for name, part in parts.items()}]}


def _single_leaf(label: str, kind: str) -> dict[str, Any]:
    return _out(f"{label} ({kind})", kind)


def _change_leaf(label: str, kind: str) -> dict[str, Any]:
    parts = {when: _out(f"{label} {when.capitalize()} ({kind})", kind) for when in ("before", "after", "change")}
    shown = {when: part["examples"][0] for when, part in parts.items()}
    shares = {
        "type": "object",
        "description": "What each change bought of it, by its name or its group's, where shares are asked for.",
        "additionalProperties": _out(f"{label} Share ({kind})", kind),
        "examples": [{}],
    }
    return _object(parts | {"shares": shares}, label, list(parts)) | {"examples": [shown]}


def _scene(measures: dict[str, Any], more: dict[str, Any]) -> dict[str, Any]:
    return _object(
        {
            "loading": _text("Name of the loading.", "two-up"),
            "condition": _text("Name of the condition.", "summer noon"),
            "measures": measures,
            **more,
        },
        "One loading in one condition.",
    )


def _answer_schema(operation: Operation) -> dict[str, Any]:
    if operation.name == "performance":
        results = _array(_scene(_measures(_single_leaf), {}), "For each loading and condition.", [])
        parts = {"results": results, "settings": _settings(), "targets": _targets("setting"), **_notes()}
        return _object(parts, "Performance.", [name for name in parts if name not in ("settings", "targets")])
    if operation.name == "requirement":
        return _object(_requirement() | _notes(), operation.summary + ".")
    if operation.name == "operability":
        parts = _operability() | _notes()
        return _object(parts, operation.summary + ".", [name for name in parts if name != "ways"])
    if operation.name == "test-plan":
        return _object(_next_flights() | _notes(), operation.summary + ".")
    if operation.name == "calibration":
        return _object(_calibration() | _notes(), operation.summary + ".")
    if operation.name == "comparison":
        gains = {
            "cost_per_100_ft_per_min": _out("Cost of each 100 ft/min of the best rate of climb gained.", "money"),
            "cost_per_horsepower": _out("Cost of each horsepower of available power gained.", "money"),
        }
        option = _object(
            {
                "name": _text("Name of the option.", "geared 112 hp engine"),
                "exceeded": _array(
                    {"type": "string", "examples": ["cg-outside-limits"]}, "Codes of the limits that are broken.", []
                ),
                "exceeded_before": _array(
                    {"type": "string", "examples": ["over-maximum-weight"]},
                    "Those of them that were broken in the same loadings before the change.",
                    [],
                ),
                "cost": _out("What the changes cost together.", "money"),
                "results": _array(_scene(_measures(_change_leaf), gains), "For each loading and condition.", []),
                "cautions": _array({"$ref": "#/components/schemas/Caution"}, "Of the changed aeroplane.", []),
            },
            "An option, before and after.",
        )
        parts = {
            "options": _array(option, "In the order of the request.", []),
            "targets": _targets("option"),
            **_observed(),
            **_notes(),
        }
        asked = ("targets", *_observed())
        return _object(parts, "Before and after.", [name for name in parts if name not in asked])
    fields = {name: _field(field) for name, field in operation.fields.items()}
    if operation.name == "balance":
        inside = {
            "description": "Whether all limits given are kept; null without limits.",
            "anyOf": [{"type": "boolean"}, {"type": "null"}],
            "examples": [True],
        }
        burned = _object(
            {"burned": _text("The tank that has burned down to its unusable part.", "fuel")}
            | {name: fields[name] for name in BURN_FIELDS}
            | {"in_limits": inside},
            "The aeroplane after a tank has burned.",
        )
        extreme = _object(
            {
                "stations": {
                    "type": "object",
                    "description": "What each station holds: its minimum (or nothing) or its capacity.",
                    "additionalProperties": _out("Weight held (mass)", "mass"),
                    "examples": [{}],
                }
            }
            | {name: fields[name] for name in BURN_FIELDS}
            | {"in_limits": inside},
            "A worst loading, of those that the greatest weight allows.",
        )
        worst = {
            name: {
                "description": f"The loading with the CG furthest {side}; null where no station has a capacity.",
                "anyOf": [extreme, {"type": "null"}],
                "examples": [None],
            }
            for name, side in (("worst_forward", "forward"), ("worst_aft", "aft"))
        }
        mend = _object(
            {"weight": _out("Weight of the ballast (mass)", "mass"), "arm": _out("Its arm (length)", "length")},
            "The least ballast at its arm, or the arm of ballast of its weight, that brings it back inside its limits.",
        ) | {"examples": [{"weight": {"value": 3.5, "unit": "kg"}, "arm": {"value": 1.2, "unit": "m"}}]}
        burn = _array(burned, "Tank by tank, in order.", [])
        fields = {"in_limits": inside, **fields, "fuel_burn": burn, **worst, "ballast": mend} | _balance_lists()
    return _object(fields | _notes(), operation.summary + ".")


def _targets(named: str) -> dict[str, Any]:
    name = {
        "description": f"Name of the {named}; null for the aeroplane as it is.",
        "anyOf": [_text("Name.", "one hundred horsepower"), {"type": "null"}],
        "examples": [None],
    }
    found = _object(
        {
            named: name,
            "loading": _text("Name of the loading.", "two-up"),
            "condition": _text("Name of the condition.", "summer noon"),
            "measure": {**_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "goal": {**_text("What it shall be.", "at_least"), "enum": ["at_least", "at_most"]},
            "target": _out("The value that it shall meet.", "vertical speed"),
            "expected": _out("The measure as it is expected.", "vertical speed"),
            "chance": _out("Chance of meeting the target (ratio)", "ratio"),
        },
        "A target in one scene.",
    )
    return _array(found, "The chance of each target, where the request has targets.", [])


def _settings() -> dict[str, Any]:
    best = {
        "type": "object",
        "description": "The best setting for climb, cruise and strip, as far as they are answered.",
        "additionalProperties": {"anyOf": [_text("Name of the setting.", "fine"), {"type": "null"}]},
        "examples": [{"climb": "fine", "cruise": "coarse"}],
    }
    each = {
        "type": "object",
        "description": "The measures at each setting, by its name.",
        "additionalProperties": _measures(_single_leaf),
        "examples": [{}],
    }
    scene = _scene(each, {"best_for": best})
    return _array(scene, "For a ground-adjustable propeller with several settings, each of them.", [])


def _requirement() -> dict[str, Any]:
    """What a requirement answers before its notes."""
    value = _out("The value that just meets the target, in the unknown's kind.", "power")
    others = _array(_out("Another value that meets it.", "power"), "Other values of the range that just meet it.", [])
    target = _object(
        {
            "measure": {**_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "goal": {**_text("What it shall be.", "at_least"), "enum": ["at_least", "at_most", "equals"]},
            "value": _out("The value that it shall meet.", "vertical speed"),
            "loading": _text("Name of the loading.", "two-up"),
            "condition": _text("Name of the condition.", "summer noon"),
        },
        "The target.",
    )
    slope = _object(
        {
            "value": {"type": "number", "description": "The slope.", "examples": [8.9]},
            "unit": _text("Its unit.", "ft/min per hp"),
        },
        "Change of the measure for each unit of the unknown.",
    )
    met = _text("just; or throughout, where every value of the range meets the target.", "just")
    return {
        "unknown": {**_text("What was asked for.", "power"), "enum": list(UNKNOWNS)},
        "value": value,
        "met": {**met, "enum": ["just", "throughout"]},
        "other_values": others,
        "target": target | {"examples": [{}]},
        "measured": _out("The measure there.", "vertical speed"),
        "slope": slope | {"examples": [{"value": 8.9, "unit": "ft/min per hp"}]},
    }


def _operability() -> dict[str, Any]:
    """What a season at a strip answers before its notes."""
    required = _object(
        {
            "climb_rate": _out("Least rate of climb (vertical speed)", "vertical speed"),
            "strip_length": _out("Length of the strip (runway distance)", "runway distance"),
        },
        "What an hour has to meet.",
    )
    altitudes = {
        "density_altitude_median": _out("Median of its known hours (altitude)", "altitude"),
        "density_altitude_greatest": _out("Greatest of them (altitude)", "altitude"),
    }
    by_hour = {name: _by_hour(f"Share of {name} at each hour of the day.") for name in JUDGED}
    counts = {name: _by_hour(f"Number of {name}.") for name in ("hours", "unknown")}
    of_day = _object(counts | by_hour, "Each hour of the day, 0 to 23; null where none is known.")
    month = {"month": _whole("Month, 1 to 12.", 7)} | _tally() | altitudes | {"by_hour": _shown(of_day)}
    hour = {"hour": _whole("Hour of the day, 0 to 23.", 15)} | _tally()
    ways = {name: _out(f"Share along this way alone: {name} (ratio)", "ratio") for name in WAYS}
    each_way = {name: _shown(_object(ways, f"Share in which {name} holds along each way.")) for name in MARGINS[1:]}
    narrowest = {name: _whole(f"Known hours in which {name} is narrowest.", 12) for name in MARGINS}
    unknown = {
        "where": _text("JSON Pointer of the column.", "/weather/dew_point"),
        "detail": _text("What is wrong.", "the dew point is above the air temperature: send one at or below it"),
        "hours": _whole("How many hours.", 3),
        "first": _text("The first of them.", "2025-01-15T05:00"),
    }
    return {
        "loading": _text("Name of the loading.", "two-up"),
        "strip": {"type": "string", "description": "Name of the strip; empty without one.", "examples": ["home"]},
        "required": _shown(required),
        "overall": _shown(_object(_tally() | _ends(), "All hours.")),
        "narrowest": _shown(_object(narrowest, "Which margin is the narrowest over its requirement, and how often.")),
        "limit": {**_text("The one that is narrowest most often.", "takeoff"), "enum": list(MARGINS)},
        "months": _array(_object(month, "A month."), "Each month that has hours.", []),
        "hours_of_day": _array(_object(hour, "An hour of the day."), "Each that has hours, all months together.", []),
        "ways": _shown(_object(each_way, "On a strip with two ways: the shares along each of them alone.")),
        "limiting_hours": _array(_limiting_hour(), "Up to 24 hours, the narrowest or worst first.", []),
        "unknown": _array(_object(unknown, "A fault."), "Why hours are unknown, the commonest first.", []),
    }


def _shown(schema: dict[str, Any]) -> dict[str, Any]:
    """An object with an example made of those of its properties."""
    return schema | {"examples": [{name: part["examples"][0] for name, part in schema["properties"].items()}]}


def _whole(description: str, example: int) -> dict[str, Any]:
    return {"type": "integer", "minimum": 0, "description": description, "examples": [example]}


def _by_hour(description: str) -> dict[str, Any]:
    number = {"anyOf": [{"type": "number"}, {"type": "null"}]}
    return _array(number, description, [1] * DAY) | {"minItems": DAY, "maxItems": DAY}


def _tally() -> dict[str, Any]:
    """Hours counted, and those that hold."""
    good = _object({name: _whole(f"Hours in which {name} holds.", 24) for name in JUDGED}, "Known hours that hold.")
    share = {
        name: _out(
            f"Share of the known hours in which {name} holds; its plus_minus as all margins move (ratio)", "ratio"
        )
        for name in JUDGED
    }
    return {
        "hours": _whole("Hours.", 24),
        "unknown": _whole("Those of them whose weather is missing or wrong.", 0),
        "good": _shown(good),
        "share": _shown(_object(share, "The same over the known hours; null with the reason where there are none.")),
    }


def _ends() -> dict[str, Any]:
    """The shares of all hours if the aeroplane is worse, or better, than expected."""
    parts = {name: _out(f"Share in which {name} holds (ratio)", "ratio") for name in JUDGED}
    return {
        f"share_if_{end}": _shown(_object(parts, f"Shares with every margin one standard deviation {end}."))
        for end in ("worse", "better")
    }


def _limiting_hour() -> dict[str, Any]:
    way = {"enum": list(WAYS)}
    parts = {
        "time": _text("The hour.", "2025-07-15T15:00"),
        "holds": {"type": "boolean", "description": "Whether all three hold.", "examples": [False]},
        "narrowest": {**_text("The margin that is narrowest.", "takeoff"), "enum": list(MARGINS)},
        "margin": _out("That margin over its requirement; -1 for what cannot be done (ratio)", "ratio"),
        "temperature": _out("Air temperature (temperature)", "temperature"),
        "density_altitude": _out("Density altitude (altitude)", "altitude"),
        "climb_rate": _out("Rate of climb (vertical speed)", "vertical speed"),
        "takeoff_margin": _out("Strip left beyond the take-off distance required (runway distance)", "runway distance"),
        "landing_margin": _out("Strip left beyond the landing distance required (runway distance)", "runway distance"),
        "takeoff_way": {**_text("Way along the strip that this take-off goes.", "stated"), **way},
        "landing_way": {**_text("The same of the landing; on a one-way strip always reversed.", "stated"), **way},
    }
    return _object(parts, "An hour that limits.")


def _calibration() -> dict[str, Any]:
    """What a calibration answers before its notes."""
    number = _object(
        {
            "where": _text("JSON Pointer of the number in the aircraft.", "/drag/parasite_area"),
            "text": _text("What it is.", "parasite area"),
            "before": _out("What was known of it before.", "area"),
            "after": _out("What is known of it now.", "area"),
            "spread_left": _out("Spread after over spread before.", "ratio"),
        },
        "A number that was learned.",
    )
    day = _object(
        {
            "day": {"type": "string", "description": "Name of the day.", "examples": ["first"]},
            "altitude_error": _out("What the altimeter was most likely wrong by.", "altitude"),
            "temperature_error": _out("What the thermometer was most likely wrong by.", "temperature difference"),
        },
        "What the flights of a day have in common.",
    )
    factor = _out("Empty weight over the one weighed; null where its spread was stated.", "ratio")
    observations = _array(_seen(), "Each observation against the fit.", [])
    return {
        "aircraft": {
            "$ref": "#/components/schemas/Aircraft",
            "description": "The aeroplane as sent, with what was learned in its place and their covariance.",
            "examples": [{}],
        },
        "numbers": _array(number, "What was learned.", []),
        "days": _array(day, "Errors of each day.", []),
        "empty_weight_factor": {
            "description": factor["description"],
            "anyOf": [factor, {"type": "null"}],
            "examples": [None],
        },
        "observations": observations,
    }


def _next_flights() -> dict[str, Any]:
    """What a plan of test flights answers before its notes."""
    narrow = _object(
        {
            "measure": {**_text("Name of the measure.", "best_climb_rate"), "enum": list(MEASURES)},
            "loading": _text("Name of its loading.", "two-up"),
            "condition": _text("Name of its condition.", "summer noon"),
            "now": _out("The measure as it is known now.", "vertical speed"),
        },
        "The answer to be narrowed.",
    )
    parts = {
        "name": _text("Name of the flight.", "climb, solo, cool morning"),
        "kind": {**_text("Kind of observation.", "climb"), "enum": list(KINDS_OF_OBSERVATION)},
        "loading": _text("Name of its loading.", "solo"),
        "condition": _text("Name of its condition.", "cool morning"),
        "weight": _out("Weight at the start (mass)", "mass"),
        "expected": _out("What it should read, with its usual spread.", "vertical speed"),
        "spread_left": _out("Spread of the answer after this flight and those before it.", "vertical speed"),
        "indicated": _out("Airspeed to hold.", "speed"),
        "power": _text("Power of a level flight.", "full throttle"),
    }
    flight = _object(parts, "A flight to fly.", [name for name in parts if name not in ("indicated", "power")])
    return {
        "narrow": narrow | {"examples": [{}]},
        "flights": _array(flight, "In the order in which to fly them.", []),
    }


def _seen() -> dict[str, Any]:
    """An observation against the fit."""
    reduced = {
        "type": "object",
        "description": "What it was reduced to, as it applies: weight, air, airspeeds, tapeline rate.",
        "additionalProperties": _out("A number it was reduced to.", "mass"),
        "examples": [{}],
    }
    doubt = _object(
        {
            "cause": {**_text("Likeliest cause.", "unit"), "enum": ["unit", "air", "indicated", "position", "unknown"]},
            "text": _text("The same in words.", "No usual mistake explains it."),
        },
        "Where it does not fit the others.",
    )
    parts = {
        "name": _text("Name of the observation.", "climb solo"),
        "kind": {**_text("Its kind.", "climb"), "enum": list(KINDS_OF_OBSERVATION)},
        "measured": _text("What it measured.", "rate"),
        "reduced": reduced,
        "observed": _out("As observed, with its spread.", "vertical speed"),
        "expected": _out("As the fit expects it, with its spread.", "vertical speed"),
        "difference": _out("Observed less expected.", "vertical speed"),
        "standard_deviations": _out("The same over its own standard deviation.", "ratio"),
        "doubt": doubt | {"examples": [{}]},
    }
    return _object(parts, "An observation against the fit.", [name for name in parts if name != "doubt"])


def _with_working(operation: Operation, answer: dict[str, Any]) -> dict[str, Any]:
    """An answer that has its working too where that is asked for."""
    kind = "Step" if operation.fields else "WorkedScene"
    steps = _array({"$ref": f"#/components/schemas/{kind}"}, "The calculation, where working=true asks for it.", [])
    return answer | {"properties": answer["properties"] | {"working": steps}}


def _worked_schemas() -> dict[str, dict[str, Any]]:
    """A step of a shown calculation, and the steps that hold for one scene."""
    example = {
        "quantity": "weight as a force",
        "formula": "W = m*g",
        "with_numbers": "443.4 kg*9.80665 m/s2",
        "result": "4348.3 N",
        "where": {"g": "standard gravity"},
        "source": "definition",
    }
    where = {
        "type": "object",
        "description": "What the symbols stand for that no earlier step gives, where they are first used.",
        "additionalProperties": _text("What it stands for.", "standard gravity"),
        "examples": [{"g": "standard gravity"}],
    }
    step = _object(
        {
            "quantity": _text("What is computed.", "weight as a force"),
            "formula": _text("The formula; or that the value was found by a search.", "W = m*g"),
            "with_numbers": _text("The formula with its numbers put in, SI, seven digits.", "443.4 kg*9.80665 m/s2"),
            "result": _text("What that gives, SI, five digits.", "4348.3 N"),
            "reader": _text("The same in the reader's unit where it differs.", "4348 N"),
            "where": where,
            "source": _text("Where the formula comes from.", "definition"),
        },
        "A step of the calculation.",
        ["quantity", "formula", "result", "source"],
    ) | {"examples": [example]}
    scene = _object(
        {
            "option": _text("The option, after which these steps hold.", "geared 112 hp engine"),
            "when": {**_text("Before or after the option.", "after"), "enum": ["before", "after"]},
            "setting": _text("The propeller's setting.", "fine"),
            "loading": _text("The loading; left out, they hold for each.", "two-up"),
            "condition": _text("The condition; left out, they hold for each.", "summer noon"),
            "observation": _text("The observation of a calibration.", "climb solo"),
            "flight": _text("The flight of a test plan.", "climb, two-up, summer noon"),
            "steps": _array({"$ref": "#/components/schemas/Step"}, "In order; they use what stands before.", []),
        },
        "Steps, and what they hold for.",
        ["steps"],
    ) | {"examples": [{"loading": "two-up", "steps": [example]}]}
    return {"Step": step, "WorkedScene": scene}


def _balance_lists() -> dict[str, Any]:
    """What a balance lists beside its totals."""

    def line(name: str, example: str, table: Any, description: str) -> dict[str, Any]:
        columns = {key: _out(f"{what} ({kind})", kind) for key, (kind, _, what) in table.items()}
        return _object({"name": _text(name, example)} | columns, description)

    states = {**_text("State of the fuel.", "full"), "enum": list(FUEL_STATES)}
    seat = _object(
        {
            "fuel": states,
            "least": _out("Least weight in the pilot_station that keeps all limits (mass)", "mass"),
            "greatest": _out("Greatest weight there (mass)", "mass"),
        },
        "A state of the fuel, the other stations as loaded.",
    )
    entry = line("Name of the item or change; a move has two lines.", "oil", RECORD_FIELDS, "A line of the record.")
    wheel = line("Which wheel.", "left main", WHEEL_FIELDS, "A wheel.")
    return {
        "empty_weight_record": _array(entry, "The weighing, then every item and change in turn; without it none.", []),
        "wheel_loads": _array(wheel, "What each wheel of the loaded aeroplane carries, levelled.", []),
        "pilot_weights": _array(
            seat, "For each state of the fuel, kept while it burns down, where a pilot_station was named.", []
        ),
    }


def _field(field: Field) -> dict[str, Any]:
    return _out(f"{field.description} ({field.kind})", field.kind)


def _options_parameters() -> list[dict[str, Any]]:
    rows = (
        ("units", "Units of the answer: aviation, metric, us or si, then kinds: us,speed:mph.", "us,speed:mph", None),
        ("format", "Format of the answer; it beats Accept.", "json", ["json", "csv", "text"]),
        ("pick", "Answer this one value as plain text: a field's name, or a JSON Pointer.", None, None),
        ("working", "true shows every step; not with pick or format=csv.", "false", ["true", "false"]),
        (
            "spread",
            "linear: by central differences; sampled: of 4,000 aeroplanes drawn at random, always the same, fewer for "
            "many scenes (not of air alone or a calibration). Left out, it is linear where that tells it, else drawn.",
            "linear",
            ["linear", "sampled"],
        ),
        (
            "errors",
            "text answers a GET's refusal as text with status 200, for a spreadsheet.",
            "text",
            ["document", "text"],
        ),
    )
    found = []
    for name, description, example, choices in rows:
        schema: dict[str, Any] = {"type": "string", "minLength": 1}
        if choices:
            schema["enum"] = choices
        parameter = {"name": name, "in": "query", "required": False, "description": description, "schema": schema}
        if example is not None:
            parameter["example"] = example
        else:
            schema["examples"] = ["density_altitude"]
        found.append(parameter)
    return found


def _problem_responses(statuses: tuple[str, ...], words: Mapping[str, str] = _PROBLEMS) -> dict[str, Any]:
    schema = {"$ref": "#/components/schemas/Problem"}
    return {
        status: {"description": words[status], "content": {"application/problem+json": {"schema": schema}}}
        for status in statuses
    }


def _ok(operation: Operation, example: dict[str, Any]) -> dict[str, Any]:
    name = "".join(word.capitalize() for word in operation.name.split("-")) + "Answer"
    return {
        "description": "The answer.",
        "content": {
            "application/json": {
                "schema": {"$ref": f"#/components/schemas/{name}"},
                "examples": {"invented": {"summary": "The answer to the example.", "value": example}},
            },
            "text/csv": {"schema": {"type": "string", "examples": ["a [ft],b [kt]"]}},
            "text/plain": {"schema": {"type": "string", "examples": ["9555.41"]}},
        },
    }


def _example_answer(operation: Operation, given: dict[str, Any]) -> dict[str, Any]:
    asked = given if operation.queried is None or "loadings" in given else operation.queried(given)
    body = operation.answer(operation.request.load(asked), display_units("aviation"))
    rounded: dict[str, Any] = json.loads(json.dumps(body), parse_float=lambda text: float(f"{float(text):.6g}"))
    rounded["provenance"] = {"build": "0.1.0+0123456789ab", "input": "sha256:0123456789abcdef"}
    return rounded


def read_example(name: str) -> dict[str, Any]:
    """The example request of an operation."""
    loaded: dict[str, Any] = json.loads((ROOT / "examples" / f"{name}.json").read_text("utf-8"))
    return loaded


def query_example(name: str) -> dict[str, Any]:
    """The example of an operation as fields of a query."""
    path = ROOT / "examples" / f"{name}.query.json"
    loaded: dict[str, Any] = json.loads(path.read_text("utf-8")) if path.exists() else read_example(name)
    return loaded


def query_text(fields: Mapping[str, Any]) -> str:
    """Fields as a query string."""
    return urlencode(fields, doseq=True, quote_via=quote, safe="@:*/")


def _operation(operation: Operation, spec: APISpec, converter: Any) -> dict[str, Any]:
    title = operation.name.replace("-", " ")
    given = read_example(operation.name)
    shared: dict[str, Any] = {
        "summary": operation.summary,
        "description": operation.description,
        "tags": ["operations"],
    }
    name = operation.name.replace("-", "_")
    request = f"{type(operation.request).__name__}"
    spec.components.schema(request, schema=operation.request)
    content: dict[str, Any] = {
        "application/json": {
            "schema": {"$ref": f"#/components/schemas/{request}"},
            "examples": {"invented": {"summary": "An invented example.", "value": given}},
        }
    }
    problems = _PROBLEMS
    if operation.body is not None:
        content |= _as_parts(given)
        problems = _PROBLEMS | _PROBLEMS_OF_TABLES
    post: dict[str, Any] = {
        **shared,
        "operationId": f"post_{name}",
        "parameters": [p for p in _options_parameters() if p["name"] != "errors"],
        "requestBody": {"required": True, "description": f"The {title} asked for.", "content": content},
        "responses": {
            "200": _ok(operation, _example_answer(operation, given)),
            **_problem_responses(tuple(problems), problems),
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
        "shared": {"type": "object", "description": "All other fields, as JSON.", "examples": [shared]},
        "table": {
            **_text("The weather as a table: time, and NAME [UNIT] for each column; a file of type text/csv.", table),
            "contentMediaType": "text/csv",
            "format": "binary",
        },
    }
    example = {"shared": shared, "table": table}
    schema = _object(parts, "The fields but for the weather, and the weather as a table.")
    examples = {"invented": {"summary": "The first of the invented hours.", "value": example}}
    encoding = {"shared": {"contentType": "application/json"}, "table": {"contentType": "text/csv"}}
    return {"multipart/form-data": {"schema": schema, "examples": examples, "encoding": encoding}}


def _get_operation(operation: Operation, shared: dict[str, Any], name: str, converter: Any) -> dict[str, Any]:
    given = query_example(operation.name)
    if operation.queried is None:
        schema = query_schema(operation)
        fields = {field.data_key or key: field for key, field in (schema.load_fields if schema else {}).items()}
        parameters = [_parameter(shown, field, given, converter) for shown, field in fields.items()]
        problems: tuple[str, ...] = ("400", "404", "405", "406", "422", "500")
    else:
        parameters = _parameters_of_parts(given, converter)
        problems = ("400", "404", "405", "406", "413", "422", "500")
    return {
        **shared,
        "operationId": f"get_{name}",
        "parameters": [*parameters, *_options_parameters()],
        "responses": {
            "200": _ok(operation, _example_answer(operation, given)),
            "304": {"description": "The answer with this ETag is still right."},
            **_problem_responses(problems),
        },
    }


def _parameter(name: str, field: Any, given: Mapping[str, Any], converter: Any) -> dict[str, Any]:
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


def _parameters_of_parts(given: Mapping[str, Any], converter: Any) -> list[dict[str, Any]]:
    """Parameters of a query that holds an aeroplane; those of named members are the properties of one."""
    every = parameters()
    told = [
        {**_parameter(name, field, given, converter), "required": False}
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
        "schema": {"type": "string", "minLength": 1, "maxLength": LONGEST_PACKED, "pattern": "^[A-Za-z0-9_-]+={0,2}$"},
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
            "items": {"type": "string"},
            "maxItems": field.most,
            "examples": inner.get("examples", []),
        }
    if isinstance(field, Quantity):
        return {"type": "string", "maxLength": 80, "pattern": _TEXT_PATTERN, "x-kind": field.kind}
    return inner


def _plain_pages() -> dict[str, Any]:
    def page(
        path: str, summary: str, content: str, operation_id: str, schema: dict[str, Any], example: Any
    ) -> dict[str, Any]:
        return {
            path: {
                "get": {
                    "operationId": operation_id,
                    "summary": summary,
                    "description": summary + ".",
                    "tags": ["service"],
                    "responses": {
                        "200": {
                            "description": summary + ".",
                            "content": {content: {"schema": schema, "examples": {"invented": {"value": example}}}},
                        },
                        **_problem_responses(("404", "405", "500")),
                    },
                }
            }
        }

    health = {"$ref": "#/components/schemas/Health"}
    html = {"type": "string", "examples": ["<!doctype html>"]}
    document = {"type": "object", "examples": [{"openapi": "3.1.0"}]}
    ready = {"status": "ready", "build": "0.1.0+0123456789ab"}
    script = {"type": "string", "examples": ["export {};"]}
    json_type, html_type, script_type = "application/json", "text/html", "text/javascript"
    return (
        page("/health/live", "Whether the process answers", json_type, "get_live", health, {"status": "live"})
        | page("/health/ready", "Whether the service is ready, and its build", json_type, "get_ready", health, ready)
        | page("/openapi.json", "This document", json_type, "get_openapi", document, {"openapi": "3.1.0"})
        | page("/docs", "The reference for people", html_type, "get_docs", html, "<!doctype html>")
        | page("/", "What this is; try it", html_type, "get_home", html, "<!doctype html>")
        | page("/club", "A page of an invented club with the elements", html_type, "get_club", html, "<!doctype html>")
        | page("/elements.js", "The elements that a web page embeds", script_type, "get_elements", script, "export {};")
    )


def _without_unused_kinds(document: dict[str, Any]) -> dict[str, Any]:
    """Kinds of quantity that no request takes yet are left out."""
    text = json.dumps(document)
    schemas = document["components"]["schemas"]
    for kind in KINDS:
        if f'"#/components/schemas/{_component(kind)}"' not in text:
            del schemas[_component(kind)]
    return document


def _fleet() -> dict[str, Any]:
    """The path of the fleet, its example answered as the service answers it."""
    given, table = read_example("fleet"), (ROOT / "examples" / "fleet.csv").read_text("utf-8")
    batch = Batch(given["shared"], json_table(given["columns"]), Wanted(given["measures"]))
    answer = Answer(
        batch, display_units("aviation"), {"build": "0.1.0+0123456789ab", "input": "sha256:0123456789abcdef"}
    )
    rounded = json.loads(b"".join(json_stream(answer)), parse_float=lambda text: float(f"{float(text):.6g}"))
    words = _PROBLEMS | _PROBLEMS_OF_TABLES
    words["413"] = "The body is too large, or the rows are too many; the detail names the limit."
    words["415"] = "The body is neither JSON, CSV, an Arrow stream nor parts of these."
    return fleet_path(_options_parameters()[0], _problem_responses(tuple(words), words), given, rounded, table)


def build_document() -> dict[str, Any]:
    """The whole document.

    Returns
    -------
    dict
        OpenAPI 3.1.
    """
    plugin = MarshmallowPlugin(schema_name_resolver=_schema_name)
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
    converter.add_attribute_function(_attributes)  # type: ignore[no-untyped-call]
    for name, schema in (_shared_schemas() | _worked_schemas()).items():
        spec.components.schema(name, component=schema)
    for kind in KINDS:
        spec.components.schema(_component(kind), component=_kind_schema(kind))
    for kind, change in CHANGES.items():
        spec.components.schema(_change_name(kind), schema=change)
    for operation in OPERATIONS.values():
        name = "".join(word.capitalize() for word in operation.name.split("-")) + "Answer"
        spec.components.schema(name, component=_with_working(operation, _answer_schema(operation)))
        spec.path(f"/v1/{operation.name}", operations=_operation(operation, spec, converter))
    for name, schema in fleet_schemas().items():
        spec.components.schema(name, component=schema)
    document = _strict(_examples(spec.to_dict()))
    document["paths"] |= {"/v1/fleet": _fleet()} | _plain_pages()
    return _without_unused_kinds(document)


def _strict(document: dict[str, Any]) -> dict[str, Any]:
    """Requests refuse unknown fields, and the document says so."""
    shut = copy.deepcopy(document)
    for schema in shut["components"]["schemas"].values():
        if schema.get("type") == "object":
            schema.setdefault("additionalProperties", False)
    return shut


def main(arguments: list[str] | None = None) -> int:
    """Write the document, or check that the committed one is up to date."""
    parser = argparse.ArgumentParser(description="Make openapi/openapi.json from the schemas and examples.")
    parser.add_argument("--check", action="store_true", help="only say whether the committed document is up to date")
    asked = parser.parse_args(arguments)
    text = json.dumps(build_document(), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    path = ROOT / "openapi.json"
    if asked.check:
        same = path.exists() and path.read_text("utf-8") == text
        print(
            "openapi.json is up to date"
            if same
            else "openapi.json is out of date: run python -m climbwright.web.openapi"
        )
        return 0 if same else 1
    path.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
