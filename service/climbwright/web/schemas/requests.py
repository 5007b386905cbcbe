"""What each operation takes, beyond the air and the aeroplane."""

import re
from dataclasses import replace
from typing import Any

from marshmallow import ValidationError

from climbwright.aircraft.changes import Add, Change, Move, Remove, StationChange
from climbwright.aircraft.description import Limits, Mass, Station
from climbwright.aircraft.starting_values import AIRFRAME_CLASSES, LAPSE_CONSTANTS, PITCH_CLASSES
from climbwright.answers.balance import BalanceInputs
from climbwright.answers.climb_estimate import ClimbInputs
from climbwright.units import QuantityError, parse
from climbwright.web.schemas.air import AirFields, ConditionSchema, air_fields, condition_from
from climbwright.web.schemas.aircraft import (
    AircraftSchema,
    AmountsField,
    EmptySchema,
    LoadingSchema,
    arm_field,
    checked_envelope,
    envelope_field,
    items_field,
    quantity,
    scales_field,
    stations_field,
    weight_field,
)
from climbwright.web.schemas.changes import ChangeField, OptionSchema
from climbwright.web.schemas.fields import Base, Choice, Field, Listing, Name, Nested, Quantity

__all__ = [
    "BalanceRequest",
    "ClimbEstimateRequest",
    "ComparisonRequest",
    "PerformanceRequest",
    "StallSpeedRequest",
]

_StallAir = Base.from_dict(air_fields(listed=True), name="StallAir")
_EstimateAir = Base.from_dict(air_fields(listed=False), name="EstimateAir")


class StallSpeedRequest(AirFields, _StallAir):  # type: ignore[valid-type,misc]
    """A stall that was flown, or a wing, and the weight, bank and lift gain now; the air is optional."""

    _air_required = False

    weight = weight_field("Weight now.", "483 kg", above="0 kg", at_least=None, required=True, listed=True)
    reference_speed = quantity(
        "speed", "Calibrated stall speed flown, wings level.", "39 kt", above="5 kt", up_to="150 kt", listed=True
    )
    reference_weight = weight_field("Weight it was flown at.", "450 kg", above="0 kg", at_least=None, listed=True)
    wing_area = quantity(
        "area", "Wing area, in place of a stall flown.", "13.4 m2", above="1 m2", up_to="100 m2", listed=True
    )
    maximum_lift_coefficient = quantity(
        "ratio", "Greatest lift coefficient, with wing_area.", "1.4", above="0.3", up_to="5", listed=True
    )
    bank = quantity("angle", "Bank of a level turn.", "30 deg", at_least="0 deg", below="90 deg", listed=True)
    load_factor = quantity("ratio", "Lift over weight, in place of bank.", "1.2", above="0", up_to="12", listed=True)
    lift_gain = quantity(
        "ratio", "Gain of the greatest lift coefficient.", "10 %", above="-0.5", up_to="1", listed=True
    )

    def check(self, data: dict[str, Any]) -> None:
        """One way to know the stall; bank or load factor."""
        super().check(data)
        flown = data.keys() & {"reference_speed", "reference_weight"}
        wing = data.keys() & {"wing_area", "maximum_lift_coefficient"}
        if not ((len(flown) == 2 and not wing) or (len(wing) == 2 and not flown)):
            missing = sorted({"reference_speed", "reference_weight"} - flown) or sorted(wing) or ["reference_speed"]
            raise ValidationError(
                {missing[0]: ["send reference_speed and reference_weight, or wing_area and maximum_lift_coefficient"]}
            )
        if "bank" in data and "load_factor" in data:
            raise ValidationError({"load_factor": ["send only one of bank, load_factor"]})


class ClimbEstimateRequest(AirFields, _EstimateAir):  # type: ignore[valid-type,misc]
    """Power, weight and air, and whatever else is known."""

    power = quantity("power", "Rated power at sea level.", "80 hp", above="1 hp", up_to="2000 hp", required=True)
    weight = weight_field("Weight of the loaded aeroplane.", "483 kg", above="0 kg", at_least=None, required=True)
    headwind = Quantity(
        "speed",
        at_least="-40 m/s",
        up_to="40 m/s",
        metadata={"description": "Wind against the flight, for the gradient.", "example": "5 kt"},
    )
    span = quantity("length", "Wing span.", "9.9 m", above="2 m", up_to="40 m")
    wing_area = quantity(
        "area", "Wing area; its stall speed holds the climb speed up.", "13.4 m2", above="1 m2", up_to="100 m2"
    )
    parasite_area = quantity(
        "area", "Drag area that does not come from lift.", "0.60 m2", above="0.02 m2", up_to="10 m2"
    )
    airframe_class = Choice(
        list(AIRFRAME_CLASSES),
        metadata={"description": "Kind of airframe, for starting values.", "example": "strut-braced-fabric"},
    )
    span_efficiency = quantity("ratio", "Oswald's span efficiency.", "0.74", above="0.3", up_to="1")
    pitch_class = Choice(
        list(PITCH_CLASSES), metadata={"description": "What the propeller's pitch favours.", "example": "middle"}
    )
    best_efficiency = quantity("ratio", "Greatest thrust power over rated power.", "0.71", above="0.2", up_to="0.92")
    best_efficiency_speed = quantity("speed", "True airspeed there.", "82 kt", above="10 kt", up_to="300 kt")
    efficiency = quantity(
        "ratio", "One efficiency at every speed, in place of a fixed pitch.", "0.8", above="0.1", up_to="0.95"
    )
    power_margin = quantity("ratio", "Power as installed over rated power.", "0.95", above="0.2", up_to="1.2")
    lapse_constant = quantity("ratio", "C of the altitude lapse.", "0.117", at_least="0", below="0.5")
    cycle = Choice(
        list(LAPSE_CONSTANTS),
        metadata={"description": "Working cycle of the engine.", "example": "four-stroke"},
    )
    stall_speed = quantity(
        "speed",
        "Calibrated stall speed at this weight; the climb keeps 1.2 times it.",
        "39 kt",
        above="5 kt",
        up_to="150 kt",
    )

    def check(self, data: dict[str, Any]) -> None:
        """One kind of propeller."""
        super().check(data)
        if "efficiency" in data:
            extra = [n for n in ("pitch_class", "best_efficiency", "best_efficiency_speed") if n in data]
            if extra:
                raise ValidationError({extra[0]: ["efficiency stands for all speeds: leave it or this out"]})

    def build(self, data: dict[str, Any]) -> ClimbInputs:
        """As the known inputs."""
        condition = condition_from(data, "air")
        return ClimbInputs(condition=condition, **data)  # type: ignore[arg-type]


_LOAD = re.compile(r"(?:(?P<name>[^:@*]+):)?(?P<amount>[^:@*]+)(?:\*(?P<density>[^:@*]+))?@(?P<arm>[^:@*]+)")


_NAME = Name()


class LoadField(Field):
    """``[NAME:]QUANTITY['*'DENSITY]'@'ARM``: one load at its arm."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **_: Any) -> Mass:
        example = 'for example "318kg@0.33m" or "fuel:60L*0.72kg/L@0.61m"'
        if not isinstance(value, str) or len(value) > 200:
            raise ValidationError(f"a load is a text: {example}")
        match = _LOAD.fullmatch(value.strip())
        if match is None:
            raise ValidationError(f"a load is [NAME:]WEIGHT@ARM or [NAME:]VOLUME*DENSITY@ARM, {example}")
        name = "" if match["name"] is None else _NAME.deserialize(match["name"].strip())
        try:
            where = float(parse(match["arm"], "length"))  # type: ignore[arg-type]
            if match["density"] is None:
                mass = float(parse(match["amount"], "mass"))  # type: ignore[arg-type]
            else:
                volume = float(parse(match["amount"], "volume"))  # type: ignore[arg-type]
                mass = volume * float(parse(match["density"], "fuel density"))  # type: ignore[arg-type]
        except QuantityError as error:
            raise ValidationError(f"{error}; {example}") from None
        if abs(mass) > 10000.0 or abs(where) > 100.0:
            raise ValidationError("must be at most 10,000 kg and 100 m")
        return Mass(mass, where, name)


class LoadsField(Listing):
    """Repeated loads of a query, or a list of them."""

    def _deserialize(self, value: Any, attr: str | None, data: Any, **kwargs: Any) -> Any:
        return super()._deserialize([value] if isinstance(value, str) else value, attr, data, **kwargs)


_BALANCE_CHANGES = ("add", "remove", "move", "station")


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
    maximum_weight = weight_field("Greatest weight.", "560 kg", above="0 kg", at_least=None, certain=True)
    forward = arm_field("Forward limit of the CG.", "0.27 m", certain=True)
    aft = arm_field("Aft limit of the CG.", "0.49 m", certain=True)
    ballast_arm = arm_field("Where ballast could sit that mends a CG outside forward and aft.", "1.2 m", certain=True)
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
        ChangeField(_BALANCE_CHANGES),
        most=50,
        load_default=(),
        metadata={
            "description": "Parts added, removed or moved, and stations changed, after the weighing.",
            "post_only": True,
            "example": [{"kind": "remove", "name": "vacuum pump", "weight": "2.1 kg", "arm": "-0.60 m"}],
        },
    )
    stations = stations_field(post_only=True)
    loading = AmountsField(
        load_default=dict,
        metadata={
            "description": "What each station holds, by its name.",
            "post_only": True,
            "example": {"fuel": "60 L"},
        },
    )
    envelope = envelope_field(post_only=True)

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

    def build(self, data: dict[str, Any]) -> BalanceInputs:
        """As the inputs of a balance; a query's schema leaves out what only a body can say."""
        data = {"items": (), "changes": (), "stations": (), "loading": {}} | data
        stations = _changed_stations(data["stations"], data["changes"])
        limits = Limits(data.get("maximum_weight"), data.get("forward"), data.get("aft"))
        if "envelope" in data:
            limits = replace(limits, envelope=checked_envelope(data["envelope"]))
        weighed = [data["empty"]] if "empty" in data else []
        return BalanceInputs(
            parts=(*weighed, *data["load"], *data["items"]),
            scales=data.get("scales", ()),
            changes=tuple(change for change in data["changes"] if isinstance(change, Add | Remove | Move)),
            stations=stations,
            amounts=data["loading"],
            limits=limits,
            chord=data.get("chord"),
            leading_edge_arm=data.get("leading_edge_arm"),
            ballast_arm=data.get("ballast_arm"),
            ballast_mass=data.get("ballast_mass"),
        )


def _changed_stations(stations: tuple[Station, ...], changes: tuple[Change, ...]) -> tuple[Station, ...]:
    table = {station.name: station for station in stations}
    for change in changes:
        if isinstance(change, StationChange):
            table[change.station.name] = change.station
    return tuple(table.values())


def _scenes() -> dict[str, Any]:
    return {
        "loadings": Listing(
            Nested(LoadingSchema()),
            least=1,
            most=12,
            required=True,
            metadata={
                "description": "Loadings to answer for.",
                "example": [{"name": "solo", "stations": {"pilot": "82 kg", "fuel": "40 L"}}],
            },
        ),
        "conditions": Listing(
            Nested(ConditionSchema()),
            least=1,
            most=24,
            required=True,
            metadata={
                "description": "Conditions to answer for.",
                "example": [{"name": "summer noon", "elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31 C"}],
            },
        ),
        "climb_speed": quantity(
            "speed",
            "Calibrated airspeed at which climb_rate_at_speed is answered.",
            "60 kt",
            above="5 kt",
            up_to="300 kt",
        ),
    }


_PerformanceScenes = Base.from_dict(_scenes(), name="PerformanceScenes")
_ComparisonScenes = Base.from_dict(_scenes(), name="ComparisonScenes")


class PerformanceRequest(_PerformanceScenes):  # type: ignore[valid-type,misc]
    """An aeroplane, loadings and conditions."""

    aircraft = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane."})


class ComparisonRequest(_ComparisonScenes):  # type: ignore[valid-type,misc]
    """A baseline, options, loadings and conditions."""

    baseline = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane as it is."})
    options = Listing(
        Nested(OptionSchema()),
        least=1,
        most=12,
        required=True,
        metadata={
            "description": "What the owner thinks of doing, each a list of changes.",
            "example": [
                {
                    "name": "lighter panel",
                    "changes": [{"kind": "remove", "name": "old gauges", "weight": "6.4 kg", "arm": "0.15 m"}],
                }
            ],
        },
    )
