"""What a requirement takes: an aeroplane, how and where it is flown, one unknown and one target."""

from typing import Any

from marshmallow import ValidationError

from climbwright.answers.unknowns import UNKNOWNS, Unknown
from climbwright.web.schemas.aircraft import AircraftSchema, arm_field, weight_field
from climbwright.web.schemas.fields import Base, Choice, Name, Nested
from climbwright.web.schemas.requests import Flown, scenes
from climbwright.web.schemas.targets import SomeQuantity, TargetSchema, read_as

__all__ = ["RequirementRequest"]


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
                data[name] = read_as(data, name, kind)
        return Unknown(**data)


_RequirementScenes = Base.from_dict(
    {name: field for name, field in scenes().items() if name not in ("measures", "targets")}, name="RequirementScenes"
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
