"""What our own fields of a request are in JSON Schema, for apispec."""

from collections.abc import Callable
from typing import Any

from marshmallow import Schema

from climbwright.answers.measures import MEASURES, PHASES, STALL_SPEEDS
from climbwright.web.openapi.quantities import bounds, component_name, hourly_column, text_within
from climbwright.web.schemas.aircraft import AmountsField, CorrelationField, HeldField, MassOrVolume
from climbwright.web.schemas.changes import CHANGES, ChangeField
from climbwright.web.schemas.fields import Choice, Count, Listing, Name, Nested, Price, Quantity, Text, Truth
from climbwright.web.schemas.flying import MeasuresField
from climbwright.web.schemas.position_error import LegField
from climbwright.web.schemas.requests import LoadField
from climbwright.web.schemas.targets import SomeQuantity
from climbwright.web.schemas.weather import ColumnField, TimesField

__all__ = ["attributes", "change_name", "schema_name"]


# Neither control characters, nor blanks at the ends, nor what a spreadsheet would read as a formula
_NAME = r"^[^\s=+@\-\u0000-\u001f\u007f-\u009f]([^\u0000-\u001f\u007f-\u009f]*[^\s\u0000-\u001f\u007f-\u009f])?$"
_TEXT = r"^[^\u0000-\u001f\u007f-\u009f]*$"
_LOAD = (
    f"^([^:@*]+:)?({text_within('mass')}|{text_within('volume')}\\*{text_within('fuel density')})"
    f"@{text_within('length')}$"
)
_LEG = f"^{text_within('speed')}@{text_within('angle')}$"
_TIME = r"^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])[T ]([01][0-9]|2[0-3])(:[0-5][0-9](:[0-5][0-9])?)?$"


def _reference(name: str) -> dict[str, Any]:
    return {"$ref": f"#/components/schemas/{name}"}


def _text(field: Text) -> dict[str, Any]:
    pattern = _NAME if isinstance(field, Name) else _TEXT
    return {"type": "string", "minLength": 1, "maxLength": field.longest, "pattern": pattern}


def _change(field: ChangeField) -> dict[str, Any]:
    every = {kind: _reference(change_name(kind)) for kind in field.kinds}
    mapping = {kind: reference["$ref"] for kind, reference in every.items()}
    return {"oneOf": list(every.values()), "discriminator": {"propertyName": "kind", "mapping": mapping}}


def _quantity(field: Quantity) -> dict[str, Any]:
    return _reference(component_name(field.kind, certain=field.certain, listed=field.listed)) | bounds(field)


def _times(_: TimesField) -> dict[str, Any]:
    return {"type": "array", "items": {"type": "string", "maxLength": 40, "pattern": _TIME}, "minItems": 1}


def _amounts(_: AmountsField) -> dict[str, Any]:
    return {"type": "object", "maxProperties": 40, "additionalProperties": _reference("Amount")}


def _measures(_: MeasuresField) -> dict[str, Any]:
    names = {"type": "string", "enum": ["all", *PHASES, *MEASURES, STALL_SPEEDS]}
    return {"type": "array", "items": names, "minItems": 1, "maxItems": 100}


def _correlation(_: CorrelationField) -> dict[str, Any]:
    row = {"type": "array", "items": {"type": "number", "minimum": -1, "maximum": 1}}
    return {"type": "array", "items": row}


# The first that a field is an instance of
_SCHEMAS: tuple[tuple[type, Callable[[Any], dict[str, Any]]], ...] = (
    (Nested, lambda field: {"examples": [field.metadata.get("example") or _whole_example(field.schema)]}),
    (TimesField, _times),
    (ColumnField, lambda field: hourly_column(field.kind, field.metadata["example"])),
    (AmountsField, _amounts),
    (ChangeField, _change),
    (MassOrVolume, lambda _: _reference("CertainAmount")),
    (HeldField, lambda _: _reference("Amount")),
    (Quantity, _quantity),
    (SomeQuantity, lambda _: _reference("SomeQuantity")),
    (Truth, lambda _: {"type": "boolean"}),
    (MeasuresField, _measures),
    (Price, lambda _: _reference(component_name("money", certain=True))),
    (
        LoadField,
        lambda _: {"type": "string", "maxLength": 200, "pattern": _LOAD, "examples": ["fuel:60L*0.72kg/L@0.61m"]},
    ),
    (Count, lambda field: {"type": "integer", "minimum": field.least, "maximum": field.most}),
    (CorrelationField, _correlation),
    (Choice, lambda field: {"type": "string", "enum": list(field.choices)}),
    (Listing, lambda field: {"minItems": field.least, "maxItems": field.most}),
    (LegField, lambda field: {"type": "string", "maxLength": field.longest, "pattern": _LEG}),
    (Text, _text),
)


def attributes(self: Any, field: Any, **_: Any) -> dict[str, Any]:
    """What our own fields are, for apispec."""
    return next((schema(field) for kind, schema in _SCHEMAS if isinstance(field, kind)), {})


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


def change_name(kind: str) -> str:
    """Name of the schema of a kind of change."""
    return f"{kind.capitalize()}Change"


def schema_name(schema: Any) -> str:
    """Name that a schema has in the document."""
    name = type(schema).__name__ if isinstance(schema, Schema) else schema.__name__
    for kind, known in CHANGES.items():
        if type(known).__name__ == name:
            return change_name(kind)
    return str(name).removesuffix("Schema")
