"""How the aeroplane is flown in a request: its phases, the strip, and the measures wanted."""

import math
from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError

from climbwright.answers import flying as model
from climbwright.answers.measures import MEASURES, PHASES, STALL_SPEEDS, wanted_measures
from climbwright.arrays import Measured, middle
from climbwright.flight.surfaces import SURFACES
from climbwright.web.schemas.aircraft import Built, quantity
from climbwright.web.schemas.fields import Choice, Field, Name, Nested, Truth

__all__ = ["MeasuresField", "StripSchema", "at_the_strip", "build_flying", "check_wind", "flying_fields"]

_PARTS = ("climb", "cruise", "turn", "takeoff", "landing", "strip")


def _configuration(what: str) -> Name:
    return Name(metadata={"description": f"Name of the stall whose flaps are {what}.", "example": "clean"})


def _altitude(description: str, example: str) -> Any:
    return quantity("altitude", description, example, at_least="-500 m", up_to="9000 m")


def _speed(description: str, example: str) -> Any:
    return quantity("speed", description, example, above="5 kt", up_to="300 kt")


def _factor(description: str, example: str, low: str, high: str) -> Any:
    return quantity("ratio", description, example, at_least=low, up_to=high)


class ClimbSchema(Built):
    """A climb as it is to be flown."""

    makes = model.Climb
    speed = _speed("Calibrated airspeed held; that of the best rate when left out.", "60 kt")
    configuration = _configuration("set in the climb")
    from_altitude = _altitude(
        "Pressure altitude at which a timed climb begins; the condition's when left out.", "6000 ft"
    )
    to_altitude = _altitude(
        "Pressure altitude at which it ends; with it time, fuel and distance are answered.", "9500 ft"
    )

    def check(self, data: dict[str, Any]) -> None:
        """A climb goes up."""
        if "from_altitude" in data and "to_altitude" not in data:
            raise ValidationError({"to_altitude": ["from_altitude goes with to_altitude"]})
        if "from_altitude" in data and middle(data["to_altitude"]) < middle(data["from_altitude"]):
            raise ValidationError({"to_altitude": ["a climb does not end below from_altitude"]})


class CruiseSchema(Built):
    """Cruise at a power setting or at a speed."""

    makes = model.Cruise
    power_fraction = quantity("ratio", "Shaft power over rated power.", "65 %", above="0.05", up_to="1.2")
    full_throttle = Truth(metadata={"description": "Full throttle, in place of power_fraction.", "example": True})
    true = _speed("True airspeed held, in place of a setting.", "85 kt")
    calibrated = _speed("Calibrated airspeed held, in place of a setting.", "75 kt")
    indicated = _speed("Indicated airspeed held, in place of a setting.", "74 kt")
    reserve = quantity("time", "Time at this cruise for which fuel is kept.", "45 min", at_least="0 min", up_to="10 h")

    def check(self, data: dict[str, Any]) -> None:
        """One setting or one speed."""
        if data.get("full_throttle") is False:
            del data["full_throttle"]
        given = [n for n in ("power_fraction", "full_throttle", "true", "calibrated", "indicated") if n in data]
        if len(given) > 1:
            raise ValidationError({given[1]: [f"the cruise is stated twice, by {given[0]} and {given[1]}: send one"]})


class TurnSchema(Built):
    """A turn."""

    makes = model.Turn
    bank = quantity("angle", "Bank; 30 deg when left out.", "30 deg", at_least="0.1 deg", up_to="75 deg")
    load_factor = quantity("ratio", "Lift over weight, in place of bank.", "1.5", above="1", up_to="4")
    reversal = quantity(
        "angle", "Change of heading of a course reversal; 180 deg.", "180 deg", above="0 deg", up_to="540 deg"
    )

    def check(self, data: dict[str, Any]) -> None:
        """Bank or load factor."""
        if "bank" in data and "load_factor" in data:
            raise ValidationError({"load_factor": ["send only one of bank, load_factor"]})

    def build(self, data: dict[str, Any]) -> model.Turn:
        """As a turn; a load factor is that of a level turn in some bank."""
        factor = data.pop("load_factor", None)
        if factor is not None:
            data["bank"] = bank_of(factor)
        return model.Turn(**data)


def bank_of(load_factor: Any) -> Any:
    """Bank of a level turn with a load factor; a spread is carried along by its slope."""
    n = middle(load_factor)
    bank = math.acos(1.0 / n)
    if isinstance(load_factor, Measured):
        return Measured(bank, load_factor.plus_minus / (n * math.sqrt(n**2 - 1.0)))
    return bank


class TakeOffSchema(Built):
    """A take-off as it is to be flown."""

    makes = model.TakeOff
    configuration = _configuration("set for take-off; the first stall's when left out")
    lift_off_factor = _factor("Lift-off speed over the stall speed; 1.2.", "1.2", "1.05", "1.6")
    obstacle_factor = _factor("Speed over the obstacle over the stall speed; 1.3.", "1.3", "1.1", "1.8")
    rotation_time = quantity(
        "duration", "From lift-off speed to leaving the ground; 1 s.", "1 s", at_least="0 s", up_to="10 s"
    )
    rolling_lift_coefficient = _factor("Lift coefficient while rolling; 0.4.", "0.4", "0", "1.5")
    technique_factor = _factor("Distance over a well-flown one; 1.", "1.15", "1", "2")
    checkpoint = _factor("Fraction of lift-off speed whose place on the strip is answered; 0.7.", "0.7", "0.1", "1")
    reaction_time = quantity(
        "duration", "Before the brakes bite in a rejected take-off; 2 s.", "2 s", at_least="0 s", up_to="10 s"
    )

    def check(self, data: dict[str, Any]) -> None:
        """The aeroplane speeds up between lift-off and the obstacle."""
        check_order(data, "lift_off_factor", "obstacle_factor", 1.2, 1.3)


class LandingSchema(Built):
    """A landing as it is to be flown."""

    makes = model.Landing
    configuration = _configuration("set for landing; the last stall's when left out")
    approach_factor = _factor("Approach speed over the stall speed; 1.3.", "1.3", "1.1", "1.8")
    touchdown_factor = _factor("Touchdown speed over the stall speed; 1.15.", "1.15", "1", "1.6")
    approach_angle = quantity(
        "angle", "Of the descent, below the horizontal; 3 deg.", "3 deg", at_least="1 deg", up_to="12 deg"
    )
    flare_load_factor = _factor("Load factor in the flare; 1.2.", "1.2", "1.02", "2")
    free_roll_time = quantity(
        "duration", "From touchdown until the brakes bite; 2 s.", "2 s", at_least="0 s", up_to="10 s"
    )
    rolling_lift_coefficient = _factor("Lift coefficient while rolling; 0.4.", "0.4", "0", "1.5")
    technique_factor = _factor("Distance over a well-flown one; 1.", "1.15", "1", "2")

    def check(self, data: dict[str, Any]) -> None:
        """The aeroplane slows down between approach and touchdown."""
        check_order(data, "touchdown_factor", "approach_factor", 1.15, 1.3)


def check_order(data: dict[str, Any], lower: str, upper: str, usual_lower: float, usual_upper: float) -> None:
    """Refuse two factors the wrong way round, the usual one standing for one that is left out."""
    if middle(data.get(lower, usual_lower)) > middle(data.get(upper, usual_upper)):
        name = lower if lower in data else upper
        raise ValidationError(
            {name: [f"{lower} must not lie above {upper} ({usual_lower:g} and {usual_upper:g} if left out)"]}
        )


class StripSchema(Built):
    """A strip."""

    makes = model.Strip
    name = Name(metadata={"description": "Name of the strip.", "example": "home strip"})
    length = quantity(
        "runway distance", "What can be used of it.", "420 m", above="20 m", up_to="10000 m", certain=True
    )
    slope = quantity(
        "ratio", "Rise over run, positive uphill in the direction of take-off.", "1.5 %", at_least="-0.3", up_to="0.3"
    )
    surface = Choice(list(SURFACES), metadata={"description": "Surface.", "example": "short-dry-grass"})
    elevation = quantity(
        "altitude",
        "Height above mean sea level; stands for the elevation of a condition that gives qnh or metar without one.",
        "5400 ft",
        at_least="-500 m",
        up_to="9000 m",
    )
    obstacle_height = quantity(
        "runway distance", "Height to clear; 50 ft when left out.", "15 m", at_least="0 m", up_to="200 m"
    )
    heading = quantity(
        "angle",
        "Direction of take-off, by the same north as the wind; with it a wind's direction becomes head- and crosswind.",
        "180 deg",
        at_least="0 deg",
        up_to="360 deg",
        certain=True,
    )
    one_way = Truth(
        load_default=False,
        metadata={
            "description": "Taken off from in the stated direction only, landed on against it.",
            "example": False,
        },
    )
    rolling_friction = _factor("Friction of free wheels, in place of the surface's.", "0.06", "0", "0.5")
    braking_friction = _factor("Friction of braked wheels, in place of the surface's.", "0.25", "0.02", "0.9")


class MeasuresField(Field):
    """Names of measures, or of the groups they come in."""

    def read(self, value: Any) -> tuple[str, ...]:
        """Names of measures, in the order of their table."""
        if not isinstance(value, list) or not 1 <= len(value) <= 100:
            raise ValidationError("must be a list of 1 to 100 names of measures or groups")
        wanted: set[str] = set()
        for i, name in enumerate(value):
            if name == "all":
                wanted.update(MEASURES, [STALL_SPEEDS])
            elif name in PHASES:
                wanted.update(wanted_measures([name]) if name == "aeroplane" else wanted_measures([name])[:-1])
            elif isinstance(name, str) and (name in MEASURES or name == STALL_SPEEDS):
                wanted.add(name)
            else:
                raise ValidationError(
                    {i: [f"there is no such measure: send a measure's name, all, or a group: {', '.join(PHASES)}"]}
                )
        return tuple(name for name in [*MEASURES, STALL_SPEEDS] if name in wanted)


def flying_fields() -> dict[str, Any]:
    """Fields of a request that say how it is flown."""

    def part(schema: Any, description: str) -> Nested:
        return Nested(schema, metadata={"description": description})

    return {
        "climb": part(ClimbSchema(), "How to climb; with it the measures of this climb are answered."),
        "cruise": part(CruiseSchema(), "How to cruise; with it speed, fuel flow, range and endurance are answered."),
        "turn": part(TurnSchema(), "How to turn; with it stall, climb, radius and height lost in the turn."),
        "takeoff": part(TakeOffSchema(), "How to take off; with it the take-off is answered."),
        "landing": part(LandingSchema(), "How to land; with it the landing is answered."),
        "strip": part(StripSchema(), "The strip; with it take-off, landing and the margins there are answered."),
        "measures": MeasuresField(
            metadata={
                "description": "Measures wanted, by name or by group, in place of the aeroplane's own and those of the "
                "phases spoken of.",
                "example": ["best_climb_rate", "takeoff"],
            }
        ),
    }


def build_flying(data: dict[str, Any]) -> dict[str, Any]:
    """Gather the parts of the flying under one key."""
    data["flying"] = model.Flying(**{name: data.pop(name) for name in _PARTS if name in data})
    return data


def check_wind(data: dict[str, Any]) -> None:
    """A wind's direction means nothing without the direction of take-off."""
    strip = data.get("strip")
    if strip is not None and strip.heading is not None:
        return
    for i, condition in enumerate(data["conditions"]):
        if condition.wind_direction is not None and not condition.reported:
            word = "a wind's direction needs the strip's heading: send strip.heading, or headwind"
            raise ValidationError({"conditions": {i: {"wind_direction": [word]}}})


def at_the_strip(data: Any) -> Any:
    """A request whose conditions without an elevation have that of the strip."""
    strip = data.get("strip") if isinstance(data, Mapping) else None
    elevation = strip.get("elevation") if isinstance(strip, Mapping) else None
    if elevation is None or not isinstance(data.get("conditions"), list):
        return data
    placed = [
        {**condition, "elevation": elevation}
        if isinstance(condition, Mapping)
        and "elevation" not in condition
        and ("qnh" in condition or "metar" in condition)
        else condition
        for condition in data["conditions"]
    ]
    return {**data, "conditions": placed}
