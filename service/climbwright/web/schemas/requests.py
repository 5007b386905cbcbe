"""What each operation takes, beyond the air and the aeroplane."""

import re
from typing import Any

from marshmallow import ValidationError

from climbwright.aircraft.description import Mass
from climbwright.aircraft.starting_values import AIRFRAME_CLASSES, LAPSE_CONSTANTS, PITCH_CLASSES
from climbwright.answers.climb_estimate import ClimbInputs
from climbwright.units import QuantityError, parse
from climbwright.web.schemas.air import AirFields, ConditionSchema, air_fields, condition_from
from climbwright.web.schemas.aircraft import AircraftSchema, LoadingSchema, quantity, weight_field
from climbwright.web.schemas.calibration import AS_IT_IS, ObservationOfSchema, check_flaps
from climbwright.web.schemas.changes import OptionSchema
from climbwright.web.schemas.fields import Base, Choice, Field, Listing, Name, Nested, Quantity, Truth
from climbwright.web.schemas.flying import at_the_strip, build_flying, check_wind, flying_fields
from climbwright.web.schemas.targets import ChanceSchema

__all__ = [
    "ClimbEstimateRequest",
    "ComparisonRequest",
    "Flown",
    "LoadField",
    "LoadsField",
    "PerformanceRequest",
    "StallSpeedRequest",
    "scenes",
]

_StallAir = Base.from_dict(air_fields(listed=True), name="StallAir")
_EstimateAir = Base.from_dict(air_fields(listed=False), name="EstimateAir")


class StallSpeedRequest(AirFields, _StallAir):  # type: ignore[valid-type,misc]
    """A stall that was flown, or a wing, and the weight, bank and lift gain now; the air is optional."""

    _air_required = False

    weight = weight_field("Weight now.", "483 kg", above="0.1 kg", at_least=None, required=True, listed=True)
    reference_speed = quantity(
        "speed", "Calibrated stall speed flown, wings level.", "39 kt", above="5 kt", up_to="150 kt", listed=True
    )
    reference_weight = weight_field("Weight it was flown at.", "450 kg", above="0.1 kg", at_least=None, listed=True)
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
    weight = weight_field("Weight of the loaded aeroplane.", "483 kg", above="0.1 kg", at_least=None, required=True)
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
        condition = condition_from(data)
        return ClimbInputs(condition=condition, **data)  # type: ignore[arg-type]


_LOAD = re.compile(r"(?:(?P<name>[^:@*]+):)?(?P<amount>[^:@*]+)(?:\*(?P<density>[^:@*]+))?@(?P<arm>[^:@*]+)")


_NAME = Name()


class LoadField(Field):
    """``[NAME:]QUANTITY['*'DENSITY]'@'ARM``: one load at its arm."""

    def read(self, value: Any) -> Mass:
        """A mass at its arm. [kg], [m]"""
        example = 'for example "318kg@0.33m" or "fuel:60L*0.72kg/L@0.61m"'
        if not isinstance(value, str) or len(value) > 200:
            raise ValidationError(f"a load is a text: {example}")
        match = _LOAD.fullmatch(value.strip())
        if match is None:
            raise ValidationError(f"a load is [NAME:]WEIGHT@ARM or [NAME:]VOLUME*DENSITY@ARM, {example}")
        name = "" if match["name"] is None else _NAME.read(match["name"].strip())
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

    def read(self, value: Any) -> Any:
        """As a list; one text alone is a list of one."""
        return super().read([value] if isinstance(value, str) else value)


def scenes() -> dict[str, Any]:
    """Fields of a request that say which loadings in which conditions, and how it is flown."""
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
        "targets": Listing(
            Nested(ChanceSchema()),
            most=24,
            unique=None,
            load_default=(),
            metadata={
                "description": "What measures shall be: the chance of each is answered, in every loading and condition "
                "unless one is named.",
                "example": [{"measure": "best_climb_rate", "at_least": "600 ft/min", "loading": "two-up"}],
            },
        ),
        **flying_fields(),
    }


_PerformanceScenes = Base.from_dict(scenes(), name="PerformanceScenes")
_ComparisonScenes = Base.from_dict(scenes(), name="ComparisonScenes")


class Flown(Base):
    """A request that says how the aeroplane is flown."""

    def load(self, data: Any, **kwargs: Any) -> Any:
        """Conditions may take their elevation from the strip."""
        return super().load(at_the_strip(data), **kwargs)

    def check(self, data: dict[str, Any]) -> None:
        """A wind that the strip can be flown in."""
        check_wind(data)

    def build(self, data: dict[str, Any]) -> Any:
        """With the flying gathered."""
        return build_flying(data)


class PerformanceRequest(Flown, _PerformanceScenes):  # type: ignore[valid-type,misc]
    """An aeroplane, loadings and conditions."""

    aircraft = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane."})


class ComparisonRequest(Flown, _ComparisonScenes):  # type: ignore[valid-type,misc]
    """A baseline, options, loadings and conditions."""

    shares = Truth(
        load_default=False,
        metadata={
            "description": "Whether to answer what each change bought: its share of the change of every measure, of up "
            "to 8 changes or groups of an option.",
            "example": True,
        },
    )

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
    observations = Listing(
        Nested(ObservationOfSchema()),
        most=60,
        load_default=(),
        metadata={
            "description": "What was observed in flight, before and after: each change observed is split into what the "
            "changes made explain and the rest.",
            "example": [
                {
                    "of": "baseline",
                    "name": "stall before",
                    "kind": "stall",
                    "indicated": "37 kt",
                    "weight": "432 kg",
                    "condition": {"pressure_altitude": "5000 ft", "oat": "18 C"},
                }
            ],
        },
    )

    def check(self, data: dict[str, Any]) -> None:
        """Observations of flaps that the aeroplane has, and an option that is not taken for the baseline."""
        super().check(data)
        check_flaps(data["observations"], data["baseline"])
        for i, option in enumerate(data["options"] if data["observations"] else ()):
            if option.name == AS_IT_IS:
                word = "observations call the aeroplane as it is so: give the option another name"
                raise ValidationError({"options": {i: {"name": [word]}}})
