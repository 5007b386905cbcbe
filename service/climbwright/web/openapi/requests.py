"""What our own fields of a request are in JSON Schema, for apispec."""

from typing import Any

from marshmallow import Schema

from climbwright.answers.measures import MEASURES, PHASES, STALL_SPEEDS
from climbwright.web.openapi.quantities import bounds, component_name, hourly_column
from climbwright.web.schemas.aircraft import AmountsField, CorrelationField, MassOrVolume
from climbwright.web.schemas.changes import CHANGES, ChangeField
from climbwright.web.schemas.fields import Choice, Count, Listing, Nested, Price, Quantity, Text, Truth
from climbwright.web.schemas.flying import MeasuresField
from climbwright.web.schemas.requests import LoadField
from climbwright.web.schemas.targets import SomeQuantity
from climbwright.web.schemas.weather import ColumnField, TimesField

__all__ = ["attributes", "change_name", "schema_name"]


def attributes(self: Any, field: Any, **_: Any) -> dict[str, Any]:
    """What our own fields are, for apispec."""
    if isinstance(field, Nested):
        return {"examples": [field.metadata.get("example") or _whole_example(field.schema)]}
    if isinstance(field, TimesField):
        return {"type": "array", "items": {"type": "string", "maxLength": 40}, "minItems": 1}
    if isinstance(field, ColumnField):
        return hourly_column(field.kind, field.metadata["example"])
    if isinstance(field, AmountsField):
        return {
            "type": "object",
            "maxProperties": 40,
            "additionalProperties": {"$ref": "#/components/schemas/Amount"},
        }
    if isinstance(field, ChangeField):
        return {
            "oneOf": [{"$ref": f"#/components/schemas/{change_name(kind)}"} for kind in field.kinds],
            "discriminator": {
                "propertyName": "kind",
                "mapping": {kind: f"#/components/schemas/{change_name(kind)}" for kind in field.kinds},
            },
        }
    if isinstance(field, MassOrVolume):
        return {"$ref": "#/components/schemas/Amount"}
    if isinstance(field, Quantity):
        return {"$ref": f"#/components/schemas/{component_name(field.kind)}"} | bounds(field)
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
