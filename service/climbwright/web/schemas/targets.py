"""What a measure shall be: the target of a requirement, and targets whose chance is told."""

from typing import Any

from marshmallow import ValidationError

from climbwright.answers.measures import MEASURES
from climbwright.answers.targets import Target
from climbwright.units import QuantityError, parse
from climbwright.web.schemas.fields import Base, Choice, Field, Name

__all__ = ["ChanceSchema", "SomeQuantity", "TargetSchema", "read_as"]


class SomeQuantity(Field):
    """A quantity whose kind another field of the request decides."""

    def read(self, value: Any) -> Any:
        """As it was sent."""
        if isinstance(value, bool | list) or value is None:
            raise ValidationError("must be a quantity")
        return value


def read_as(data: dict[str, Any], name: str, kind: str) -> float:
    """A quantity of a kind that another field decides.

    Raises
    ------
    marshmallow.ValidationError
        It is none of that kind, or more than one value.
    """
    try:
        number = parse(data[name], kind)
    except QuantityError as error:
        raise ValidationError({name: [str(error)]}) from None
    if not isinstance(number, float):
        raise ValidationError({name: ["this field takes one value without a plus_minus"]})
    return number


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
            known = ", ".join(name for name in _GOALS if name in self.load_fields)
            raise ValidationError({given[1] if given else "at_least": [f"send exactly one of {known}"]})

    def build(self, data: dict[str, Any]) -> Target:
        """As a target in the measure's own units."""
        goal = next(name for name in _GOALS if name in data)
        value = read_as(data, goal, MEASURES[data["measure"]].kind)
        return Target(data["measure"], goal, value, data.get("loading"), data.get("condition"))


class ChanceSchema(TargetSchema):
    """A target whose chance is told: at least or at most a value."""

    class Meta:
        """Without an exact value, which has no chance."""

        exclude = ("equals",)
