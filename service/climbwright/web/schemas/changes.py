"""Changes in a request: one schema for each kind."""

from collections.abc import Mapping
from typing import Any, ClassVar

from marshmallow import ValidationError

from climbwright.aircraft import changes as model
from climbwright.aircraft.starting_values import PITCH_CLASSES
from climbwright.answers.question import Option
from climbwright.web.schemas.aircraft import (
    EngineSchema,
    MassSchema,
    PropellerSchema,
    StationSchema,
    arm_field,
    quantity,
    weight_field,
)
from climbwright.web.schemas.fields import Base, Choice, Field, Listing, Name, Nested, Price

__all__ = ["CHANGES", "ChangeField", "OptionSchema"]


class ChangeSchema(Base):
    """What every change may say."""

    makes: ClassVar[type[model.Change]]

    name = Name(required=True, metadata={"description": "Name of the change.", "example": "new engine"})
    cost = Price(metadata={"description": "What it costs, with its ISO 4217 code.", "example": "4800 EUR"})

    group = Name(
        metadata={
            "description": "Changes that lean on each other carry the same group and have one share of what is gained.",
            "example": "engine and propeller",
        }
    )

    def build(self, data: dict[str, Any]) -> model.Change:
        """As a change."""
        data.pop("kind", None)
        return self.makes(**data)


def _kind(word: str) -> Choice:
    return Choice([word], required=True, metadata={"description": "Kind of change.", "example": word})


class AddSchema(ChangeSchema):
    """Something comes in."""

    makes = model.Add
    kind = _kind("add")
    weight = weight_field("What it weighs.", "3.2 kg", required=True, attribute="mass")
    arm = arm_field("Where it sits.", "0.15 m", required=True)


class RemoveSchema(ChangeSchema):
    """Something comes out."""

    makes = model.Remove
    kind = _kind("remove")
    weight = weight_field("What it weighs.", "6.4 kg", required=True, attribute="mass")
    arm = arm_field("Where it sat.", "0.15 m", required=True)


class MoveSchema(ChangeSchema):
    """Something moves."""

    makes = model.Move
    kind = _kind("move")
    weight = weight_field("What it weighs.", "7.1 kg", required=True, attribute="mass")
    from_arm = arm_field("Where it was.", "-0.55 m", required=True)
    to_arm = arm_field("Where it goes.", "1.90 m", required=True)


def _swap() -> dict[str, Nested]:
    return {
        "removed": Nested(
            MassSchema(),
            required=True,
            metadata={
                "description": "Weight and arm of all that comes out with the old one.",
                "example": {"weight": "74 kg", "arm": "-0.92 m"},
            },
        ),
        "fitted": Nested(
            MassSchema(),
            required=True,
            metadata={
                "description": "Weight and arm of all that goes in with the new one.",
                "example": {"weight": "81 kg", "arm": "-0.95 m"},
            },
        ),
    }


class EngineChangeSchema(ChangeSchema):
    """A new engine. Its margin, its lapse and the propeller's efficiency start anew unless given."""

    makes = model.EngineChange
    kind = _kind("engine")
    engine = Nested(EngineSchema(), required=True, metadata={"description": "The new engine."})
    removed, fitted = _swap().values()
    pitch_class = Choice(
        list(PITCH_CLASSES),
        metadata={
            "description": "What the pitch of the propeller that stays favours; brings starting values.",
            "example": "middle",
        },
    )
    best_efficiency = quantity(
        "ratio", "Of the propeller that stays, on the new engine.", "0.70", above="0.2", up_to="0.92"
    )
    best_efficiency_speed = quantity(
        "speed", "True airspeed at which it is reached.", "84 kt", above="10 kt", up_to="300 kt"
    )
    static_speed = quantity(
        "rotational speed", "New engine's speed standing still.", "2900 rpm", above="100 rpm", up_to="20000 rpm"
    )


class PropellerChangeSchema(ChangeSchema):
    """A new propeller."""

    makes = model.PropellerChange
    kind = _kind("propeller")
    propeller = Nested(PropellerSchema(), required=True, metadata={"description": "The new propeller."})
    removed, fitted = _swap().values()


class DragChangeSchema(ChangeSchema):
    """Drag gained or saved."""

    makes = model.DragChange
    kind = _kind("drag")
    parasite_area_change = quantity(
        "area", "Parasite area gained, negative for saved.", "-0.03 m2", at_least="-5 m2", up_to="5 m2", required=True
    )


class LiftChangeSchema(ChangeSchema):
    """More lift before the stall, as from vortex generators."""

    makes = model.LiftChange
    kind = _kind("lift")
    maximum_lift_gain = quantity(
        "ratio",
        "Gain of the greatest lift coefficient; when left out that of vortex generators, 10 % +/- 7 % (common "
        "practice, no source).",
        "10 %",
        above="-0.5",
        up_to="1",
    )
    configuration = Name(
        metadata={"description": "The stall configuration that gains; all when left out.", "example": "clean"}
    )


class WingChangeSchema(ChangeSchema):
    """New numbers of the wing; stalls that were flown keep their lift coefficient."""

    makes = model.WingChange
    kind = _kind("wing")
    area = quantity("area", "New wing area.", "14.1 m2", above="1 m2", up_to="100 m2")
    span = quantity("length", "New span.", "10.4 m", above="2 m", up_to="40 m")
    chord = quantity("length", "New mean chord.", "1.36 m", above="0.1 m", up_to="10 m")
    leading_edge_arm = arm_field("New arm of its leading edge.", "0 m")

    def check(self, data: dict[str, Any]) -> None:
        """At least one new number."""
        if not data.keys() & {"area", "span", "chord", "leading_edge_arm"}:
            raise ValidationError({"area": ["send what changes: area, span, chord or leading_edge_arm"]})


class StationChangeSchema(ChangeSchema):
    """A new station, or new numbers of the one with that name."""

    makes = model.StationChange
    kind = _kind("station")
    station = Nested(StationSchema(), required=True, metadata={"description": "The station as it will be."})


CHANGES: Mapping[str, ChangeSchema] = {
    "add": AddSchema(),
    "remove": RemoveSchema(),
    "move": MoveSchema(),
    "engine": EngineChangeSchema(),
    "propeller": PropellerChangeSchema(),
    "drag": DragChangeSchema(),
    "lift": LiftChangeSchema(),
    "wing": WingChangeSchema(),
    "station": StationChangeSchema(),
}


class ChangeField(Field):
    """A change: its kind chooses the schema."""

    def __init__(self, kinds: tuple[str, ...] = tuple(CHANGES), **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kinds = kinds

    def read(self, value: Any) -> Any:
        """The change of that kind."""
        if not isinstance(value, Mapping):
            raise ValidationError("must be an object")
        kind = value.get("kind")
        if not isinstance(kind, str) or kind not in self.kinds:
            raise ValidationError({"kind": [f"must be one of {', '.join(self.kinds)}"]})
        return CHANGES[kind].load(value)


class OptionSchema(Base):
    """A named list of changes, judged together."""

    name = Name(required=True, metadata={"description": "Name of the option.", "example": "one hundred horsepower"})
    changes = Listing(
        ChangeField(),
        least=0,
        most=24,
        required=True,
        metadata={
            "description": "The changes; at most one of kind engine and one of kind propeller.",
            "example": [{"kind": "add", "name": "radio", "weight": "3.2 kg", "arm": "0.15 m", "cost": "900 EUR"}],
        },
    )

    def build(self, data: dict[str, Any]) -> Option:
        """As an option; two changes may not set the same number."""
        changes = data["changes"]
        set_by: dict[tuple[str, ...], int] = {}
        for i, change in enumerate(changes):
            for number in _sets(change):
                if number in set_by:
                    earlier = changes[set_by[number]].name
                    raise ValidationError({"changes": {i: {number[-1]: [f"'{earlier}' sets this already: keep one"]}}})
                set_by[number] = i
        new_propeller = any(isinstance(change, model.PropellerChange) for change in changes)
        for i, change in enumerate(changes):
            if new_propeller and isinstance(change, model.EngineChange):
                idle = [name for name in model.OF_THE_PROPELLER if getattr(change, name) is not None]
                if idle:
                    advice = "the option brings a new propeller: say it there"
                    raise ValidationError({"changes": {i: {idle[0]: [advice]}}})
        return Option(**data)


def _sets(change: model.Change) -> list[tuple[str, ...]]:
    """What a change sets, so that a second one would undo it."""
    match change:
        case model.EngineChange():
            return [("engine", "kind")]
        case model.PropellerChange():
            return [("propeller", "kind")]
        case model.WingChange():
            names = ("area", "span", "chord", "leading_edge_arm")
            return [("wing", name) for name in names if getattr(change, name) is not None]
        case model.StationChange():
            return [(change.station.name, "station")]
    return []
