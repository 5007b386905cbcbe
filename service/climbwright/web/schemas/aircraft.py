"""The aeroplane in a request, in the words its owner knows."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any, ClassVar

import numpy as np
from marshmallow import ValidationError

from climbwright.aircraft.balance import refuse_crossing
from climbwright.aircraft.description import (
    Aircraft,
    AirspeedErrors,
    Covariance,
    Drag,
    Engine,
    EnvelopePoint,
    Limits,
    Mass,
    PitchSetting,
    Planform,
    Propeller,
    Rules,
    Scale,
    SpeedLimits,
    Stall,
    Station,
    Wing,
)
from climbwright.aircraft.learned import tied
from climbwright.aircraft.loading import Amount, Loading
from climbwright.aircraft.starting_values import AIRFRAME_CLASSES, LAPSE_CONSTANTS, PITCH_CLASSES
from climbwright.arrays import Measured, middle, stated
from climbwright.refusal import Refusal
from climbwright.units import QuantityError, parse, speaks_of, spellings
from climbwright.web.schemas.air import check_rising, correction_table
from climbwright.web.schemas.fields import (
    Base,
    Checked,
    Choice,
    Field,
    Listing,
    Name,
    Nested,
    Quantity,
    Text,
    refuse_where,
)

__all__ = [
    "AircraftSchema",
    "AmountsField",
    "CorrelationField",
    "HeldField",
    "LoadingSchema",
    "MassOrVolume",
    "arm_field",
    "quantity",
    "weight_field",
]


def quantity(kind: str, description: str, example: str, **kwargs: Any) -> Quantity:
    """A quantity with its description and example."""
    return Quantity(kind, metadata={"description": description, "example": example}, **kwargs)


def weight_field(description: str, example: str, **kwargs: Any) -> Quantity:
    """A weight at the edge, a mass inside."""
    bounds = {"at_least": "0 kg", "up_to": "10000 kg"} | kwargs
    return quantity("mass", description, example, **bounds)


def arm_field(description: str, example: str, **kwargs: Any) -> Quantity:
    """An arm, positive aft of the datum."""
    return quantity("length", description, example, at_least="-100 m", up_to="100 m", **kwargs)


class Built(Base):
    """A schema that makes one dataclass of its fields."""

    makes: ClassVar[type]

    def build(self, data: dict[str, Any]) -> Any:
        """As the dataclass."""
        return self.makes(**data)


def planform_fields() -> dict[str, Any]:
    """A straight-tapered wing, in place of the mean chord and its leading edge."""
    return {
        "root_chord": quantity(
            "length",
            "Chord on the centre line of a straight-tapered wing; with tip_chord and root_leading_edge_arm in place of "
            "chord and leading_edge_arm.",
            "1.55 m",
            above="0.1 m",
            up_to="10 m",
        ),
        "tip_chord": quantity("length", "Chord at its tip.", "1.10 m", at_least="0 m", up_to="10 m"),
        "leading_edge_sweep": quantity(
            "angle", "Sweep of its leading edge; none when left out.", "2 deg", at_least="-45 deg", up_to="60 deg"
        ),
        "root_leading_edge_arm": arm_field("Arm of its leading edge on the centre line.", "-0.05 m"),
    }


def taken_planform(data: dict[str, Any], *, span_needed: bool = False) -> Planform | None:
    """Take the planform's fields out of a wing's; None where there are none.

    Raises
    ------
    marshmallow.ValidationError
        It is given in part, or beside the mean chord.
    """
    names = ("root_chord", "tip_chord", "root_leading_edge_arm")
    given = {name: data.pop(name) for name in (*names, "leading_edge_sweep") if name in data}
    if not given:
        return None
    for name in ("chord", "leading_edge_arm"):
        if name in data:
            raise ValidationError({name: [f"the mean chord is given twice: leave {name} out, or {next(iter(given))}"]})
    for name in names:
        if name not in given:
            raise ValidationError({name: [f"{', '.join(names)} go together"]})
    if span_needed and "span" not in data:
        raise ValidationError({"span": ["the mean chord's place needs the span"]})
    return Planform(**given)


class WingSchema(Built):
    """The wing."""

    makes = Wing
    area = quantity("area", "Wing area.", "13.4 m2", above="1 m2", up_to="100 m2", required=True)
    span = quantity("length", "Wing span.", "9.9 m", above="2 m", up_to="40 m", required=True)
    chord = quantity("length", "Mean aerodynamic chord.", "1.35 m", above="0.1 m", up_to="10 m")
    leading_edge_arm = arm_field("Arm of the leading edge of the mean chord.", "0 m")
    height = quantity(
        "length", "Height of the wing above the ground while rolling.", "1.7 m", above="0.2 m", up_to="6 m"
    )
    root_chord, tip_chord, leading_edge_sweep, root_leading_edge_arm = planform_fields().values()

    def build(self, data: dict[str, Any]) -> Wing:
        """As a wing, with its planform where that was given in place of the mean chord."""
        planform = taken_planform(data)
        return Wing(**data, planform=planform)


class MassSchema(Base):
    """A weight at an arm."""

    weight = weight_field("Weight.", "318 kg", required=True, attribute="mass")
    arm = arm_field("Arm.", "0.33 m", required=True)

    def build(self, data: dict[str, Any]) -> Mass:
        """As a mass."""
        return Mass(**data)


class EmptySchema(MassSchema):
    """The empty aeroplane."""

    weight = weight_field(
        "Empty weight as weighed.", "318 kg", above="0 kg", at_least=None, required=True, attribute="mass"
    )


class ItemSchema(MassSchema):
    """Something the weighing left out: oil, coolant, unusable fuel."""

    name = Name(required=True, metadata={"description": "Name of the item.", "example": "oil and coolant"})


class ScaleSchema(Built):
    """One scale of a weighing."""

    makes = Scale
    name = Name(required=True, metadata={"description": "Which wheel stood on it.", "example": "left main"})
    weight = weight_field("What the scale read.", "152 kg", required=True, attribute="mass")
    tare = weight_field("Chocks and tackle that were weighed too; none when left out.", "1.5 kg", load_default=0.0)
    arm = arm_field("Arm of the wheel.", "0.12 m", required=True)

    def check(self, data: dict[str, Any]) -> None:
        """A scale cannot carry less than its tare."""
        more = np.less(stated(data["mass"]), stated(data["tare"]))
        refuse_where(more, {"tare": ["the tare is more than the scale read"]})


class EnvelopePointSchema(Built):
    """A corner of the envelope."""

    makes = EnvelopePoint
    weight = weight_field("Weight of the corner.", "440 kg", certain=True, required=True, attribute="mass")
    arm = arm_field("Arm of the corner.", "0.27 m", certain=True, required=True)


class LimitsSchema(Built):
    """Limits of weight, balance and structure, as their owner set them."""

    makes = Limits
    maximum_weight = weight_field(
        "Greatest weight.", "560 kg", above="0 kg", at_least=None, certain=True, attribute="maximum_mass"
    )
    forward = arm_field("Forward limit of the CG.", "0.27 m", certain=True)
    aft = arm_field("Aft limit of the CG.", "0.49 m", certain=True)
    load_factor = quantity("ratio", "Limit load factor of the structure.", "3.8", above="1", up_to="20", certain=True)
    load_factor_weight = weight_field(
        "Weight at which that load factor was shown.",
        "480 kg",
        above="0.1 kg",
        at_least=None,
        certain=True,
        attribute="load_factor_mass",
    )

    def check(self, data: dict[str, Any]) -> None:
        """Limits in order; a load factor with its weight."""
        if "forward" in data and "aft" in data:
            behind = {"aft": ["the aft limit must lie behind the forward one"]}
            refuse_where(np.greater_equal(data["forward"], data["aft"]), behind)
        if ("load_factor" in data) != ("load_factor_mass" in data):
            missing = "load_factor_weight" if "load_factor" in data else "load_factor"
            raise ValidationError({missing: ["load_factor and load_factor_weight go together"]})


def envelope_field(**metadata: Any) -> Listing:
    """The corners of an envelope, in place of forward and aft."""
    return Listing(
        Nested(EnvelopePointSchema()),
        least=3,
        most=24,
        unique=None,
        metadata={
            "description": "Corners of the balance envelope, in order around it; in place of forward and aft.",
            "example": [
                {"weight": "300 kg", "arm": "0.27 m"},
                {"weight": "460 kg", "arm": "0.27 m"},
                {"weight": "560 kg", "arm": "0.31 m"},
                {"weight": "560 kg", "arm": "0.49 m"},
                {"weight": "300 kg", "arm": "0.49 m"},
            ],
        }
        | metadata,
    )


def checked_envelope(corners: tuple[EnvelopePoint, ...]) -> tuple[EnvelopePoint, ...]:
    """Refuse corners that do not make a simple polygon."""
    try:
        refuse_crossing(corners, "envelope")
    except Refusal as refusal:
        raise ValidationError({"envelope": [refusal.message]}) from None
    return corners


class HeldField(Field):
    """A weight, or a volume of what the station's density is known of."""

    MOST: ClassVar = {"mass": 10000.0, "volume": 10.0}  # that an aeroplane carries [kg], [m³]

    def read(self, value: Any) -> Amount:
        """Read a weight or a volume."""
        kind = "volume" if speaks_of(value, "volume") else "mass"
        most = self.MOST[kind]
        try:
            number = parse(value, kind)
        except QuantityError as error:
            raise ValidationError(_both_kinds(str(error))) from None
        if isinstance(number, list):
            raise ValidationError("this field takes one value, not a list")
        spread = number.plus_minus if isinstance(number, Measured) else 0.0
        if not 0.0 <= middle(number) <= most or spread > most:
            raise ValidationError("must be at least 0 and, like its spread, no more than an aeroplane carries")
        return Amount(**{kind: number})


def _both_kinds(problem: str) -> str:
    """What is wrong with an amount, which may be of two kinds."""
    either = f"send a weight ({spellings('mass')}) or a volume ({spellings('volume')})"
    if "has no unit" in problem or "bare number" in problem:
        return f"the amount has no unit: {either}"
    return either if "is not a unit" in problem else problem


_HELD = HeldField()


class AmountsField(Field):
    """Station names to amounts."""

    def read(self, value: Any) -> dict[str, Amount]:
        """Amounts by the names of their stations."""
        if not isinstance(value, Mapping):
            raise ValidationError("must be an object of station names and what they hold")
        if len(value) > 40:
            raise ValidationError("must hold at most 40 stations")
        amounts: dict[str, Amount] = {}
        errors: dict[str, Any] = {}
        for name, raw in value.items():
            try:
                amounts[name] = raw.value if type(raw) is Checked else _HELD.read(raw)
            except ValidationError as error:
                errors[name] = error.messages
        if errors:
            raise ValidationError(errors)
        return amounts


class LoadingSchema(Base):
    """A named loading."""

    name = Name(required=True, metadata={"description": "Name of the loading.", "example": "two-up"})
    stations = AmountsField(
        required=True,
        metadata={
            "description": "What each station holds, by its name: a weight, or a volume where the station has a "
            "density. A station that is not named is empty.",
            "example": {"pilot": "82 kg", "passenger": "74 kg", "fuel": "60 L"},
        },
    )

    def build(self, data: dict[str, Any]) -> Loading:
        """As a loading."""
        return Loading(**data)


class MassOrVolume(Field):
    """A weight or a volume, kept apart until the density is known; a limit, which has no spread."""

    def read(self, value: Any) -> Amount:
        """The amount, of one of the two kinds."""
        amount = _HELD.read(value)
        if isinstance(amount.mass, Measured) or isinstance(amount.volume, Measured):
            raise ValidationError("this field takes no plus_minus: send the value alone")
        return amount


class StationSchema(Base):
    """A place for load."""

    name = Name(required=True, metadata={"description": "Name of the station.", "example": "fuel"})
    arm = arm_field("Arm of the station.", "0.61 m", required=True)
    capacity = MassOrVolume(
        metadata={"description": "Most that it may hold, as a weight or a volume.", "example": "76 L"}
    )
    density = quantity(
        "fuel density",
        "Density of the fluid that it holds; a station with a density is a tank whose fuel burns.",
        "0.72 kg/L",
        above="0.1 kg/L",
        up_to="2 kg/L",
    )
    minimum = weight_field("Least that must be there, for example the least weight of a pilot.", "60 kg", certain=True)
    unusable = MassOrVolume(
        metadata={"description": "What cannot be burned, as a weight or a volume.", "example": "2 L"}
    )

    def build(self, data: dict[str, Any]) -> Station:
        """As a station, volumes turned into masses."""
        density = data.get("density")
        if "unusable" in data and density is None:
            raise ValidationError({"unusable": ["only a station with a density holds something unusable"]})
        for name in ("capacity", "unusable"):
            if name in data:
                data[name] = _mass_of(data[name], density, name)
        return Station(**data)


def _mass_of(amount: Amount, density: Any, name: str) -> Any:
    if amount.mass is not None:
        return stated(amount.mass)
    if density is None:
        raise ValidationError({name: ["a volume needs the density of the station: send density, or a weight"]})
    return stated(amount.volume) * stated(density)


class EngineSchema(Built):
    """The engine."""

    makes = Engine
    power = quantity(
        "power", "Rated power at sea level.", "80 hp", above="1 hp", up_to="2000 hp", required=True, learned=True
    )
    speed = quantity(
        "rotational speed", "Engine speed of the rated power.", "3300 rpm", above="100 rpm", up_to="20000 rpm"
    )
    reduction = quantity(
        "ratio",
        "Engine speed over propeller speed; 1 without a gear.",
        "2.43",
        at_least="0.2",
        up_to="10",
        certain=True,
    )
    aspiration = Choice(
        ["natural", "turbocharged", "electric"],
        metadata={
            "description": "How the engine breathes: a turbocharged one holds its power to critical_altitude, an "
            "electric motor has no lapse.",
            "example": "natural",
        },
    )
    critical_altitude = quantity(
        "altitude",
        "Altitude of the standard atmosphere to which a turbocharged engine holds rated power.",
        "9000 ft",
        at_least="0 m",
        up_to="12000 m",
    )
    cycle = Choice(
        list(LAPSE_CONSTANTS),
        metadata={
            "description": "Working cycle; it chooses the lapse's start.",
            "example": "four-stroke",
        },
    )
    lapse_constant = quantity(
        "ratio",
        "C of the altitude lapse (sigma - C)/(1 - C); 0 makes power proportional to density.",
        "0.117",
        at_least="0",
        below="0.5",
        learned=True,
    )
    power_margin = quantity(
        "ratio",
        "Power as installed over rated power: wear, jetting, exhaust.",
        "0.95",
        above="0.2",
        up_to="1.2",
        learned=True,
    )
    power_limit = quantity(
        "power", "Most power the mount or the propeller's hub may take.", "100 hp", above="1 hp", certain=True
    )
    specific_consumption = quantity(
        "specific fuel consumption",
        "Fuel for each shaft energy, at cruise.",
        "0.30 kg/kWh",
        above="0.1 kg/kWh",
        up_to="2 kg/kWh",
    )
    greatest_speed = quantity(
        "rotational speed",
        "Most that it may turn; the speed of the rated power when left out.",
        "3500 rpm",
        above="100 rpm",
        up_to="20000 rpm",
        certain=True,
    )

    def check(self, data: dict[str, Any]) -> None:
        """What belongs to an aspiration, and speeds in order."""
        turbocharged, electric = (data.get("aspiration") == word for word in ("turbocharged", "electric"))
        if turbocharged != ("critical_altitude" in data):
            word = "a turbocharged engine needs it" if turbocharged else "only a turbocharged engine has it"
            raise ValidationError({"critical_altitude": [word]})
        burning = [name for name in ("cycle", "lapse_constant", "specific_consumption") if electric and name in data]
        if burning:
            raise ValidationError({burning[0]: ["an electric motor has none: leave it out"]})
        if "greatest_speed" in data:
            slower = np.less(data["greatest_speed"], stated(data.get("speed", 0.0)))
            refuse_where(slower, {"greatest_speed": ["must not lie below the speed of the rated power"]})


def _pitch_class() -> Choice:
    return Choice(
        list(PITCH_CLASSES),
        metadata={"description": "What its pitch favours; brings starting values.", "example": "middle"},
    )


def _best_efficiency() -> Quantity:
    return quantity(
        "ratio", "Greatest thrust power over rated power at sea level.", "0.71", above="0.2", up_to="0.92", learned=True
    )


def _best_efficiency_speed() -> Quantity:
    return quantity(
        "speed", "True airspeed at which it is reached.", "82 kt", above="10 kt", up_to="300 kt", learned=True
    )


def _static_speed() -> Quantity:
    return quantity(
        "rotational speed",
        "Engine speed at full throttle standing still at sea level.",
        "2950 rpm",
        above="100 rpm",
        up_to="20000 rpm",
        learned=True,
    )


class PitchSettingSchema(Built):
    """One setting of a ground-adjustable propeller."""

    makes = PitchSetting
    name = Name(required=True, metadata={"description": "Name of the setting.", "example": "16 deg"})
    pitch_class = _pitch_class()
    best_efficiency = _best_efficiency()
    best_efficiency_speed = _best_efficiency_speed()
    static_speed = _static_speed()


_OF_A_PITCH = ("pitch_class", "best_efficiency", "best_efficiency_speed", "static_speed")
_OF_A_KIND = {
    "fixed-pitch": _OF_A_PITCH,
    "ground-adjustable": (*_OF_A_PITCH, "settings", "setting"),
    "constant-speed": ("quality", "static_quality", "quality_speed"),
    "constant-efficiency": ("efficiency",),
}


class PropellerSchema(Built):
    """The propeller."""

    makes = Propeller
    kind = Choice(
        list(_OF_A_KIND),
        required=True,
        metadata={"description": "Kind of propeller.", "example": "fixed-pitch"},
    )
    diameter = quantity("length", "Diameter.", "1.62 m", above="0.5 m", up_to="5 m")
    pitch_class = _pitch_class()
    best_efficiency = _best_efficiency()
    best_efficiency_speed = _best_efficiency_speed()
    static_speed = _static_speed()
    settings = Listing(
        Nested(PitchSettingSchema()),
        least=1,
        most=8,
        metadata={
            "description": "Settings of a ground-adjustable propeller.",
            "example": [
                {"name": "fine", "best_efficiency": "0.68", "best_efficiency_speed": "72 kt"},
                {"name": "coarse", "best_efficiency": "0.73", "best_efficiency_speed": "90 kt"},
            ],
        },
    )
    setting = Name(metadata={"description": "The setting flown; the first when left out.", "example": "fine"})
    quality = quantity(
        "ratio",
        "Efficiency of a constant-speed propeller over that of a loss-free disc, in flight.",
        "0.85",
        above="0.3",
        up_to="0.98",
        learned=True,
    )
    static_quality = quantity("ratio", "The same standing still.", "0.62", above="0.2", up_to="0.98", learned=True)
    quality_speed = quantity(
        "speed",
        "True airspeed from which quality holds; about half of the greatest level speed.",
        "55 kt",
        above="10 kt",
        up_to="300 kt",
        learned=True,
    )
    hub_height = quantity(
        "length",
        "Height of the hub above the ground where the tips come lowest, for the clearance.",
        "1.05 m",
        above="0.3 m",
        up_to="4 m",
        certain=True,
    )
    efficiency = quantity(
        "ratio",
        "Thrust over engine power at every speed, constant-efficiency only.",
        "0.8",
        above="0.1",
        up_to="0.95",
        learned=True,
    )

    def check(self, data: dict[str, Any]) -> None:
        """The fields of the kind, and only those."""
        kind = data["kind"]
        allowed = _OF_A_KIND[kind]
        if kind == "constant-efficiency" and "efficiency" not in data:
            raise ValidationError({"efficiency": ["a constant-efficiency propeller needs it"]})
        if kind == "constant-speed" and "diameter" not in data:
            raise ValidationError({"diameter": ["a constant-speed propeller needs it"]})
        for other, names in _OF_A_KIND.items():
            for name in names:
                if name in data and name not in allowed:
                    hint = f"a {other} propeller has it, a {kind} one has {', '.join(allowed)}"
                    raise ValidationError({name: [f"this does not go with {kind}: {hint}"]})
        if "settings" in data:
            extra = [name for name in _OF_A_PITCH if name in data]
            if extra:
                raise ValidationError({extra[0]: ["each of the settings says it: leave it out here"]})
        elif "setting" in data:
            raise ValidationError({"setting": ["it names one of settings, which are missing"]})


class DragSchema(Built):
    """Drag of the airframe."""

    makes = Drag
    parasite_area = quantity(
        "area", "Drag area that does not come from lift.", "0.60 m2", above="0.02 m2", up_to="10 m2", learned=True
    )
    airframe_class = Choice(
        list(AIRFRAME_CLASSES),
        metadata={
            "description": "Kind of airframe; brings starting values for what is not known.",
            "example": "strut-braced-fabric",
        },
    )
    span_efficiency = quantity("ratio", "Oswald's span efficiency.", "0.74", above="0.3", up_to="1", learned=True)
    idle_propeller_area = quantity(
        "area",
        "Drag area that the idling or stopped propeller adds in a glide.",
        "0.10 m2",
        at_least="0 m2",
        up_to="2 m2",
        learned=True,
    )


class StallSchema(Built):
    """A stall as flown, power off, wings level; or the greatest lift coefficient."""

    makes = Stall
    configuration = Name(required=True, metadata={"description": "Flaps and gear of this stall.", "example": "clean"})
    speed = quantity("speed", "Calibrated stall speed.", "39 kt", above="5 kt", up_to="150 kt", learned=True)
    weight = weight_field("Weight at which it was flown.", "480 kg", above="0.1 kg", at_least=None, attribute="mass")
    arm = arm_field("Arm of the CG at which it was flown.", "0.36 m")
    maximum_lift_coefficient = quantity(
        "ratio", "In place of speed and weight.", "1.4", above="0.3", up_to="5", learned=True
    )
    parasite_area_gain = quantity(
        "area", "Drag area that its flaps add.", "0.12 m2", at_least="0 m2", up_to="3 m2", learned=True
    )

    def check(self, data: dict[str, Any]) -> None:
        """Speed with weight, or a lift coefficient."""
        if ("speed" in data) == ("maximum_lift_coefficient" in data):
            raise ValidationError({"speed": ["send speed and weight, or maximum_lift_coefficient"]})
        if ("speed" in data) != ("mass" in data):
            raise ValidationError({"weight" if "speed" in data else "speed": ["speed and weight go together"]})
        if "arm" in data and "speed" not in data:
            raise ValidationError({"arm": ["an arm goes with a stall that was flown: leave it out"]})


def _marked(description: str, example: str) -> Quantity:
    return quantity("speed", description, example, above="20 kt", up_to="400 kt", certain=True)


class SpeedLimitsSchema(Built):
    """Speed limits as marked on the airspeed indicator."""

    makes = SpeedLimits
    never_exceed = _marked("Never-exceed speed, indicated.", "110 kt")
    smooth_air = _marked("Speed above which to fly only in smooth air, indicated.", "90 kt")
    flaps = _marked("Most at which flaps may go out, indicated.", "65 kt")

    def check(self, data: dict[str, Any]) -> None:
        """The limit of smooth air lies below the one never to exceed."""
        above = np.greater(data.get("smooth_air", 0.0), data.get("never_exceed", np.inf))
        refuse_where(above, {"smooth_air": ["must not lie above never_exceed"]})


def scales_field(**metadata: Any) -> Listing:
    """Scale readings, in place of the empty weight."""
    return Listing(
        Nested(ScaleSchema()),
        least=2,
        most=6,
        metadata={
            "description": "Scale readings in place of empty.",
            "example": [
                {"name": "left main", "weight": "150 kg", "arm": "0.10 m"},
                {"name": "right main", "weight": "152 kg", "arm": "0.10 m"},
                {"name": "tail", "weight": "17 kg", "tare": "0.5 kg", "arm": "4.40 m"},
            ],
        }
        | metadata,
    )


def items_field(**metadata: Any) -> Listing:
    """What the weighing left out."""
    return Listing(
        Nested(ItemSchema()),
        most=100,
        load_default=(),
        metadata={
            "description": "What the weighing left out: oil, coolant, unusable fuel.",
            "example": [{"name": "oil and coolant", "weight": "5 kg", "arm": "-0.80 m"}],
        }
        | metadata,
    )


def stations_field(**metadata: Any) -> Listing:
    """Places for load."""
    return Listing(
        Nested(StationSchema()),
        most=24,
        load_default=(),
        metadata={
            "description": "Places for load; tanks burn in this order, after those that burn_order names.",
            "example": [
                {"name": "pilot", "arm": "0.46 m"},
                {"name": "fuel", "arm": "0.61 m", "capacity": "76 L", "density": "0.72 kg/L"},
            ],
        }
        | metadata,
    )


def burn_order_field(**metadata: Any) -> Listing:
    """The order in which the tanks burn."""
    return Listing(
        Name(),
        most=24,
        unique=None,
        load_default=(),
        metadata={
            "description": "Names of the tanks that burn first, in turn; the others follow as the stations stand.",
            "example": ["fuel"],
        }
        | metadata,
    )


def check_burn_order(order: Sequence[str], stations: Sequence[Station]) -> None:
    """Every name is a tank's, and stands there once."""
    tanks = [station.name for station in stations if station.density is not None]
    for i, name in enumerate(order):
        if name not in tanks:
            what = "is a station without a density" if any(name == s.name for s in stations) else "is not a station"
            raise ValidationError({"burn_order": {i: [f"'{name}' {what}: the tanks are {', '.join(tanks) or 'none'}"]}})
        if name in order[:i]:
            raise ValidationError({"burn_order": {i: [f"'{name}' is there already: a tank burns once"]}})


class RulesSchema(Built):
    """Caps of the category that the owner flies in, as the owner states them."""

    makes = Rules
    name = Name(metadata={"description": "What the owner calls the category.", "example": "my category"})
    maximum_weight = weight_field(
        "Greatest weight.", "560 kg", above="0 kg", at_least=None, certain=True, attribute="maximum_mass"
    )
    stall_speed = quantity(
        "speed", "Greatest calibrated stall speed.", "45 kt", above="10 kt", up_to="150 kt", certain=True
    )
    configuration = Name(
        metadata={"description": "Name of the stall that it holds for; the first when left out.", "example": "clean"}
    )
    level_speed = quantity(
        "speed",
        "Greatest calibrated level speed at sea level.",
        "120 kt",
        above="20 kt",
        up_to="400 kt",
        certain=True,
    )


class AirspeedErrorsSchema(Built):
    """Readings of the airspeed indicator, after the correction table, over calibrated airspeed."""

    makes = AirspeedErrors
    near_stall = quantity("ratio", "Up to the stall speed.", "1.03", at_least="0.7", up_to="1.4", learned=True)
    cruise = quantity(
        "ratio",
        "From twice the stall speed on; between the two a line.",
        "0.99",
        at_least="0.7",
        up_to="1.4",
        learned=True,
    )


class CorrelationField(Field):
    """A matrix of numbers from -1 to 1, symmetric, with 1 along its diagonal."""

    def read(self, value: Any) -> tuple[tuple[float, ...], ...]:
        """As rows of numbers."""
        count = len(value) if isinstance(value, list) else 0
        rows = value if 0 < count <= _MOST_LEARNED else []
        numbers = [x for row in rows if isinstance(row, list) and len(row) == count for x in row]
        plain = all(isinstance(x, int | float) and not isinstance(x, bool) and -1.0 <= x <= 1.0 for x in numbers)
        if not numbers or len(numbers) != count * count or not plain:
            raise ValidationError("must be as many rows as parameters, each of as many numbers from -1 to 1")
        table = np.array(numbers, dtype=float).reshape(count, count)
        if np.abs(table - table.T).max() > 1e-9 or np.abs(np.diag(table) - 1.0).max() > 1e-9:
            raise ValidationError("a correlation is symmetric, with 1 along its diagonal")
        return tuple(map(tuple, table.tolist()))


_MOST_LEARNED = 30


class CovarianceSchema(Built):
    """Numbers learned together, how they are correlated, and the observations that it took."""

    makes = Covariance
    parameters = Listing(
        Text(longest=60),
        least=1,
        most=_MOST_LEARNED,
        required=True,
        unique=None,
        metadata={
            "description": "JSON Pointers of the numbers, each of which has a plus_minus.",
            "example": ["/drag/parasite_area", "/propeller/best_efficiency"],
        },
    )
    correlation = CorrelationField(
        required=True, metadata={"description": "Their correlation.", "example": [[1.0, 0.4], [0.4, 1.0]]}
    )
    observations = Listing(
        Name(),
        most=400,
        unique=None,
        load_default=(),
        metadata={"description": "Names of the observations used.", "example": ["climb solo", "cruise"]},
    )

    def check(self, data: dict[str, Any]) -> None:
        """A row for each number, which is named once."""
        names = data["parameters"]
        if len(set(names)) < len(names):
            raise ValidationError({"parameters": ["a number is named twice"]})
        if len(names) != len(data["correlation"]):
            raise ValidationError({"correlation": ["must have as many rows as there are parameters"]})


class AircraftSchema(Base):
    """An aeroplane."""

    name = Name(
        required=True, metadata={"description": "What it is called.", "example": "two-seat tube-and-fabric high wing"}
    )
    wing = Nested(WingSchema(), required=True, metadata={"description": "The wing."})
    empty = Nested(EmptySchema(), metadata={"description": "Empty weight and its arm; or scales."})
    scales = scales_field()
    items = items_field()
    limits = Nested(LimitsSchema(), load_default=Limits(), metadata={"description": "Limits."})
    envelope = envelope_field()
    stations = stations_field()
    burn_order = burn_order_field()
    engine = Nested(EngineSchema(), required=True, metadata={"description": "The engine."})
    propeller = Nested(PropellerSchema(), required=True, metadata={"description": "The propeller."})
    drag = Nested(DragSchema(), required=True, metadata={"description": "Drag."})
    stalls = Listing(
        Nested(StallSchema()),
        most=8,
        unique="configuration",
        load_default=(),
        metadata={
            "description": "Stalls as flown; the first one's speed holds the climb speeds up.",
            "example": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg", "arm": "0.36 m"}],
        },
    )
    tail_arm = quantity(
        "length", "From the wing's aerodynamic centre to the tail.", "3.9 m", above="0.5 m", up_to="30 m"
    )
    airspeed_correction = correction_table()
    speed_limits = Nested(
        SpeedLimitsSchema(), load_default=SpeedLimits(), metadata={"description": "The owner's own speed limits."}
    )

    rules = Nested(RulesSchema(), metadata={"description": "Caps of the owner's category."})
    airspeed_errors = Nested(
        AirspeedErrorsSchema(),
        metadata={"description": "What the airspeed system reads wrong, as a calibration found."},
    )
    covariance = Nested(
        CovarianceSchema(),
        metadata={"description": "Which of the numbers with a plus_minus a calibration learned together; as answered."},
    )

    def check(self, data: dict[str, Any]) -> None:
        """One empty weight, one kind of balance limit, a table that rises, limits that are ordered."""
        if ("empty" in data) == ("scales" in data):
            raise ValidationError({"empty": ["send exactly one of empty, scales"]})
        check_balance_limits(data["limits"], "envelope" in data, "limits")
        check_rising(data.get("airspeed_correction", ()), "airspeed_correction")
        check_burn_order(data["burn_order"], data["stations"])
        _check_configurations(data["stalls"], data.get("rules"))

    def build(self, data: dict[str, Any]) -> Aircraft:
        """As an aircraft."""
        data.setdefault("empty", None)
        envelope = data.pop("envelope", None)
        if envelope:
            data["limits"] = replace(data["limits"], envelope=checked_envelope(envelope))
        covariance = data.pop("covariance", None)
        aircraft = Aircraft(**data)
        if covariance is None:
            return aircraft
        try:
            return tied(aircraft, covariance)
        except Refusal as refusal:
            raise ValidationError(_nested(refusal.where, refusal.message)) from None


def _nested(where: str, message: str) -> dict[Any, Any]:
    """A message under the fields that a JSON Pointer names."""
    inner: Any = [message]
    for word in reversed(where.split("/")[1:]):
        inner = {int(word) if word.isdigit() else word: inner}
    return dict(inner)


def _check_configurations(stalls: tuple[Stall, ...], rules: Rules | None) -> None:
    """The first stall's drag is the aeroplane's own; the rules speak of a stall that there is."""
    if stalls and stalls[0].parasite_area_gain is not None:
        word = "the first stall's drag is the aeroplane's own parasite_area: leave this out, or put another stall first"
        raise ValidationError({"stalls": {0: {"parasite_area_gain": [word]}}})
    names = [stall.configuration for stall in stalls] or ["clean"]
    if rules is not None and rules.configuration is not None and rules.configuration not in names:
        raise ValidationError({"rules": {"configuration": [f"there is no such stall: use one of {', '.join(names)}"]}})


def check_balance_limits(limits: Limits, envelope: bool, where: str) -> None:
    """Two numbers or an envelope, not both."""
    if envelope and (limits.forward is not None or limits.aft is not None):
        raise ValidationError({"envelope": [f"the balance limits are given twice: by envelope and by {where}"]})
