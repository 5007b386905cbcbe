"""What the flight test of an airspeed indicator takes: legs, the speed held, and the air."""

import re
from typing import Any

from marshmallow import ValidationError

from climbwright.answers.position_error import Leg, PositionErrorInputs
from climbwright.arrays import Measured
from climbwright.units import parse
from climbwright.web.schemas.air import AirFields, air_fields, condition_from
from climbwright.web.schemas.aircraft import quantity
from climbwright.web.schemas.fields import Base, Choice, Listing, Nested, Quantity, Text
from climbwright.web.schemas.requests import LoadsField

__all__ = ["LegField", "LegSchema", "PositionErrorRequest"]

_KINDS = ("track", "heading")
_LEAST, _MOST = 3, 8
_EXAMPLE = 'for example "87kt@010deg"'


class Direction(Quantity):
    """An angle clockwise from north, 0 to a full turn; its spread may reach across north."""

    _widest = "45 deg"

    def __init__(self, description: str, example: str) -> None:
        super().__init__(
            "angle",
            at_least="0 deg",
            up_to="360 deg",
            metadata={"description": description, "example": example},
        )

    def _check_spread(self, number: Measured) -> None:
        if number.plus_minus > parse(self._widest, "angle"):
            raise ValidationError(f"the plus_minus of a direction is at most {self._widest}: send a smaller one")


def _ground_speed(**kwargs: Any) -> Quantity:
    return quantity("speed", "Ground speed of the leg, by GPS.", "87 kt", at_least="1 kt", up_to="340 m/s", **kwargs)


class LegSchema(Base):
    """One leg: its ground speed, and the track or the heading."""

    ground_speed = _ground_speed(required=True)
    track = Direction("Direction over the ground, by GPS, clockwise from north.", "10 deg")
    heading = Direction("Direction steered, in place of track, from the same north on all legs.", "14 deg")

    def check(self, data: dict[str, Any]) -> None:
        """One direction."""
        if ("track" in data) == ("heading" in data):
            raise ValidationError({"heading" if "track" in data else "track": ["send exactly one of track, heading"]})

    def build(self, data: dict[str, Any]) -> Leg:
        """As a leg."""
        kind = "track" if "track" in data else "heading"
        return Leg(data["ground_speed"], data[kind], kind)


_LEG = re.compile(r"([^@]+)@([^@]+)")
_SPEED, _COURSE = _ground_speed(), Direction("", "")


class LegField(Text):
    """``SPEED'@'ANGLE``: ground speed and direction of one leg; what the direction is, `course` says."""

    def __init__(self) -> None:
        super().__init__(metadata={"example": "87kt@010deg"})

    def read(self, value: Any) -> Any:
        """Ground speed and direction. [m/s], [rad]"""
        match = _LEG.fullmatch(super().read(value).strip())
        if match is None:
            raise ValidationError(f"a leg is GROUND_SPEED@ANGLE, {_EXAMPLE}")
        try:
            return tuple(field.read(text) for field, text in zip((_SPEED, _COURSE), match.groups(), strict=True))
        except ValidationError as error:
            raise ValidationError(f"{error.messages[0]}; {_EXAMPLE}") from None


def _flown_air() -> dict[str, Any]:
    """The air, whose place is where the legs were flown."""
    fields = air_fields(listed=False)
    fields["elevation"].metadata["description"] = "Height above mean sea level that was flown, with qnh or metar."
    fields["oat"].metadata["description"] = "Outside air temperature at the height flown."
    return fields


_FlownAir = Base.from_dict(_flown_air(), name="FlownAir")


class PositionErrorRequest(AirFields, _FlownAir):  # type: ignore[valid-type,misc]
    """Legs flown at one indicated airspeed and one altitude, and the air."""

    indicated = quantity(
        "speed", "Indicated airspeed held on all legs.", "78 kt", at_least="5 kt", up_to="200 m/s", required=True
    )
    legs = Listing(
        Nested(LegSchema(), metadata={"example": {"ground_speed": "87 kt", "track": "10 deg"}}),
        least=_LEAST,
        most=_MOST,
        unique=None,
        metadata={
            "description": "Three legs, best a third of a turn apart, all with track or all with heading; of four to "
            "eight the least squares.",
            "example": [
                {"ground_speed": "87 kt", "track": "10 deg"},
                {"ground_speed": "72 kt", "track": "130 deg"},
                {"ground_speed": "79 kt", "track": "250 deg"},
            ],
        },
    )
    repeated_legs = LoadsField(
        LegField(),
        data_key="leg",
        attribute="leg",
        least=_LEAST,
        most=_MOST,
        unique=None,
        metadata={
            "description": "A leg as text, GROUND_SPEED@ANGLE, in place of legs. Repeat for each.",
            "example": ["87kt@010deg", "72kt@130deg", "79kt@250deg"],
        },
    )
    course = Choice(_KINDS, metadata={"description": "What the angles of leg are.", "example": "track"})

    def check(self, data: dict[str, Any]) -> None:
        """Legs of one kind, stated once."""
        super().check(data)
        if "leg" in data and "legs" in data:
            raise ValidationError({"leg": ["send only one of legs, leg"]})
        if "leg" in data and "course" not in data:
            raise ValidationError({"course": ["this field is missing: send track or heading, whichever leg gives"]})
        if "legs" in data:
            self._check_kinds(data)
        elif "leg" not in data:
            missing = "legs" if "legs" in self.load_fields else "leg"
            raise ValidationError({missing: [f"send {_LEAST} to {_MOST} legs"]})

    @staticmethod
    def _check_kinds(data: dict[str, Any]) -> None:
        if "course" in data:
            raise ValidationError({"course": ["course goes with leg: legs say track or heading themselves"]})
        first = data["legs"][0].kind
        for i, leg in enumerate(data["legs"]):
            if leg.kind != first:
                raise ValidationError({"legs": {i: {leg.kind: [f"the first leg has {first}: send it of every leg"]}}})

    def build(self, data: dict[str, Any]) -> PositionErrorInputs:
        """As the inputs of the answer."""
        reported = "metar" in data
        condition = condition_from(data)
        if condition is None:
            raise AssertionError("the schema lets no request through without air")
        if "legs" in data:
            return PositionErrorInputs(data["legs"], data["indicated"], condition, "legs", reported)
        legs = tuple(Leg(speed, angle, data["course"]) for speed, angle in data["leg"])
        return PositionErrorInputs(legs, data["indicated"], condition, "leg", reported)
