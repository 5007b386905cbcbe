"""What a balance takes: loads at arms, or an aeroplane with its stations."""

from dataclasses import replace
from typing import Any

from marshmallow import ValidationError

from climbwright.aircraft.changes import Add, Change, Move, Remove, StationChange
from climbwright.aircraft.description import Limits, Station, Wheel, Wing
from climbwright.aircraft.wheels import abreast
from climbwright.answers.balance import BalanceInputs
from climbwright.web.schemas.aircraft import (
    AmountsField,
    Built,
    EmptySchema,
    arm_field,
    burn_order_field,
    check_burn_order,
    checked_envelope,
    envelope_field,
    items_field,
    planform_fields,
    quantity,
    scales_field,
    stations_field,
    taken_planform,
    weight_field,
)
from climbwright.web.schemas.changes import ChangeField
from climbwright.web.schemas.fields import Base, Listing, Name, Nested
from climbwright.web.schemas.requests import LoadField, LoadsField

__all__ = ["BalanceRequest"]

_CHANGES = ("add", "remove", "move", "station")


class WheelSchema(Built):
    """A wheel on which the aeroplane stands."""

    makes = Wheel
    name = Name(required=True, metadata={"description": "Which wheel it is.", "example": "left main"})
    arm = arm_field("Arm of the wheel, the aeroplane levelled.", "0.12 m", required=True)


class BalanceRequest(Base):
    """Loads at arms, or an aeroplane with its stations; the limits and the chord."""

    repeated_loads = LoadsField(
        LoadField(),
        data_key="load",
        attribute="load",
        most=60,
        unique=None,
        load_default=(),
        metadata={
            "description": "A load and its arm, [NAME:]WEIGHT@ARM; a volume takes its density. Repeat for each.",
            "example": ["318kg@0.33m", "pilot:82kg@0.46m", "fuel:60L*0.72kg/L@0.61m"],
        },
    )
    chord = quantity("length", "Mean aerodynamic chord, for percent of chord.", "1.35 m", above="0.1 m", up_to="10 m")
    leading_edge_arm = arm_field("Arm of the leading edge of the mean chord.", "0 m")
    root_chord, tip_chord, leading_edge_sweep, root_leading_edge_arm = planform_fields().values()
    span = quantity("length", "Wing span, with root_chord.", "9.9 m", above="2 m", up_to="40 m")
    maximum_weight = weight_field("Greatest weight.", "560 kg", above="0 kg", at_least=None, certain=True)
    forward = arm_field("Forward limit of the CG.", "0.27 m", certain=True)
    aft = arm_field("Aft limit of the CG.", "0.49 m", certain=True)
    ballast_arm = arm_field("Where ballast could sit that mends a CG outside its limits.", "1.2 m", certain=True)
    ballast_weight = weight_field(
        "Ballast whose arm is asked, in place of ballast_arm.",
        "5 kg",
        above="0 kg",
        at_least=None,
        certain=True,
        attribute="ballast_mass",
    )
    empty = Nested(EmptySchema(), metadata={"description": "Empty weight and its arm.", "post_only": True})
    scales = scales_field(post_only=True)
    items = items_field(post_only=True)
    changes = Listing(
        ChangeField(_CHANGES),
        most=50,
        load_default=(),
        metadata={
            "description": "Parts added, removed or moved, and stations changed, after the weighing.",
            "post_only": True,
            "example": [{"kind": "remove", "name": "vacuum pump", "weight": "2.1 kg", "arm": "-0.60 m"}],
        },
    )
    stations = stations_field(post_only=True)
    burn_order = burn_order_field(post_only=True)
    loading = AmountsField(
        load_default={},
        metadata={
            "description": "What each station holds, by its name.",
            "post_only": True,
            "example": {"fuel": "60 L"},
        },
    )
    envelope = envelope_field(post_only=True)
    wheels = Listing(
        Nested(WheelSchema()),
        least=2,
        most=6,
        metadata={
            "description": "The wheels it stands on, for the load on each: side by side ones share one arm. "
            "Those of the scales when left out.",
            "post_only": True,
            "example": [
                {"name": "nose", "arm": "-0.95 m"},
                {"name": "left main", "arm": "0.62 m"},
                {"name": "right main", "arm": "0.62 m"},
            ],
        },
    )
    pilot_station = Name(
        metadata={
            "description": "The station for which the least and greatest weight are asked, for each state of the fuel.",
            "post_only": True,
            "example": "pilot",
        },
    )

    def check(self, data: dict[str, Any]) -> None:
        """Something to weigh; limits that agree."""
        if "empty" in data and "scales" in data:
            raise ValidationError({"scales": ["send only one of empty, scales"]})
        if not data["load"] and "empty" not in data and "scales" not in data:
            raise ValidationError({"load": ['send load, for example "318kg@0.33m", or empty, or scales']})
        if "envelope" in data and ("forward" in data or "aft" in data):
            raise ValidationError({"envelope": ["given twice: by envelope and by forward or aft"]})
        if "forward" in data and "aft" in data and data["forward"] >= data["aft"]:
            raise ValidationError({"aft": ["the aft limit must lie behind the forward one"]})
        if "ballast_arm" in data and "ballast_mass" in data:
            raise ValidationError({"ballast_weight": ["send only one of ballast_arm, ballast_weight"]})
        if ("chord" in data) != ("leading_edge_arm" in data):
            missing = "leading_edge_arm" if "chord" in data else "chord"
            raise ValidationError({missing: ["chord and leading_edge_arm go together"]})
        if "wheels" in data and abreast([wheel.arm for wheel in data["wheels"]]) is None:
            raise ValidationError(
                {"wheels": ["the loads follow only for wheels at two arms: give those side by side one arm"]}
            )

    def build(self, data: dict[str, Any]) -> BalanceInputs:
        """As the inputs of a balance; a query's schema leaves out what only a body can say."""
        data = {"items": (), "changes": (), "stations": (), "loading": {}, "burn_order": ()} | data
        planform = taken_planform(data, span_needed=True)
        stations = _changed_stations(data["stations"], data["changes"])
        check_burn_order(data["burn_order"], stations)
        if "pilot_station" in data:
            _check_seat(data["pilot_station"], stations)
        limits = Limits(data.get("maximum_weight"), data.get("forward"), data.get("aft"))
        if "envelope" in data:
            limits = replace(limits, envelope=checked_envelope(data["envelope"]))
        return BalanceInputs(
            empty=data.get("empty"),
            scales=data.get("scales", ()),
            loads=data["load"],
            items=data["items"],
            changes=tuple(change for change in data["changes"] if isinstance(change, Add | Remove | Move)),
            stations=stations,
            amounts=data["loading"],
            burn_order=data["burn_order"],
            limits=limits,
            wing=Wing(None, data.get("span"), data.get("chord"), data.get("leading_edge_arm"), planform=planform),
            ballast_arm=data.get("ballast_arm"),
            ballast_mass=data.get("ballast_mass"),
            wheels=data.get("wheels", ()),
            pilot_station=data.get("pilot_station"),
        )


def _changed_stations(stations: tuple[Station, ...], changes: tuple[Change, ...]) -> tuple[Station, ...]:
    table = {station.name: station for station in stations}
    for change in changes:
        if isinstance(change, StationChange):
            table[change.station.name] = change.station
    return tuple(table.values())


def _check_seat(name: str, stations: tuple[Station, ...]) -> None:
    seats = [station.name for station in stations if station.density is None]
    if name in seats:
        return
    what = "is a tank" if any(station.name == name for station in stations) else "is not a station"
    raise ValidationError({"pilot_station": [f"'{name}' {what}: send one of {', '.join(seats) or 'the stations'}"]})
