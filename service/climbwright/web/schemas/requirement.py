"""What a requirement takes: an aeroplane, how and where it is flown, one unknown and one target."""

from typing import Any

from marshmallow import ValidationError

from climbwright.answers.measures import MEASURES
from climbwright.answers.requirement import Target
from climbwright.answers.unknowns import UNKNOWNS, Unknown
from climbwright.units import QuantityError, parse
from climbwright.web.schemas.aircraft import AircraftSchema, arm_field, weight_field
from climbwright.web.schemas.fields import Base, Choice, Field, Name, Nested
from climbwright.web.schemas.requests import Flown, scenes

__all__ = ["RequirementRequest", "SomeQuantity"]


class SomeQuantity(Field):
    """A quantity whose kind another field of the request decides."""

    def read(self, value: Any) -> Any:
        """As it was sent."""
        if isinstance(value, bool | list) or value is None:
            raise ValidationError("must be a quantity")
        return value


def _read(data: dict[str, Any], name: str, kind: str) -> float:
    try:
        number = parse(data[name], kind)
    except QuantityError as error:
        raise ValidationError({name: [str(error)]}) from None
    if not isinstance(number, float):
        raise ValidationError({name: ["this field takes one value without a plus_minus"]})
    return number


class UnknownSchema(Base):
    """What is asked for."""

    field = Choice(
        list(UNKNOWNS), required=True, metadata={"description": "Which number is asked for.", "example": "power"}
    )
    least = SomeQuantity(metadata={"description": "Least value that is looked at.", "example": "60 hp"})
    greatest = SomeQuantity(metadata={"description": "Greatest value that is looked at.", "example": "160 hp"})
    station = Name(metadata={"description": "Station of fuel or payload, where there are several.", "example": "fuel"})
    item = Name(metadata={"description": "Name of the item whose arm is asked for.", "example": "battery"})
    arm = arm_field("Arm of the ballast whose weight is asked for.", "4.2 m", certain=True)
    weight = weight_field(
        "Weight of the ballast whose arm is asked for.", "5 kg", above="0 kg", certain=True, attribute="mass"
    )

    def check(self, data: dict[str, Any]) -> None:
        """What the field needs, and nothing else."""
        wanted = {
            "fuel": "station",
            "payload": "station",
            "item_arm": "item",
            "ballast_weight": "arm",
            "ballast_arm": "mass",
        }.get(data["field"])
        for name in ("station", "item", "arm", "mass"):
            if name in data and name != wanted:
                shown = "weight" if name == "mass" else name
                raise ValidationError({shown: [f"this does not go with {data['field']}: leave it out"]})

    def build(self, data: dict[str, Any]) -> Unknown:
        """As an unknown; its range in the field's own units."""
        kind = UNKNOWNS[data["field"]].kind
        for name in ("least", "greatest"):
            if name in data:
                data[name] = _read(data, name, kind)
        return Unknown(**data)


_GOALS = ("at_least", "at_most", "equals")


class TargetSchema(Base):
    """What shall be met."""

    measure = Choice(
        list(MEASURES),
        required=True,
        metadata={"description": "The measure that shall meet it.", "example": "best_climb_rate"},
    )
    at_least = SomeQuantity(metadata={"description": "Least that it shall be.", "example": "600 ft/min"})
    at_most = SomeQuantity(metadata={"description": "Most that it shall be.", "example": "350 m"})
    equals = SomeQuantity(metadata={"description": "What it shall be.", "example": "0 m"})
    loading = Name(metadata={"description": "Name of the loading, where there are several.", "example": "two-up"})
    condition = Name(
        metadata={"description": "Name of the condition, where there are several.", "example": "summer noon"}
    )

    def check(self, data: dict[str, Any]) -> None:
        """One goal."""
        given = [name for name in _GOALS if name in data]
        if len(given) != 1:
            raise ValidationError(
                {given[1] if given else "at_least": ["send exactly one of at_least, at_most, equals"]}
            )

    def build(self, data: dict[str, Any]) -> Target:
        """As a target in the measure's own units."""
        goal = next(name for name in _GOALS if name in data)
        value = _read(data, goal, MEASURES[data["measure"]].kind)
        return Target(data["measure"], goal, value, data.get("loading"), data.get("condition"))


_RequirementScenes = Base.from_dict(
    {name: field for name, field in scenes().items() if name != "measures"}, name="RequirementScenes"
)


class RequirementRequest(Flown, _RequirementScenes):  # type: ignore[valid-type,misc]
    """An aeroplane, loadings, conditions, one unknown and one target."""

    aircraft = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane."})
    sought = Nested(
        UnknownSchema(),
        required=True,
        data_key="unknown",  # the name that marshmallow's own schemas keep for themselves
        attribute="unknown",
        metadata={"description": "What is asked for."},
    )
    target = Nested(TargetSchema(), required=True, metadata={"description": "What shall be met."})
