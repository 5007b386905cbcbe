"""What a calibration takes: an aeroplane and observations from its flights."""

from collections.abc import Sequence
from typing import Any

from marshmallow import ValidationError

from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Amount
from climbwright.aircraft.starting_values import FUEL_DENSITY
from climbwright.answers.calibration.observation import KINDS, READINGS, Observation
from climbwright.arrays import Measured, middle
from climbwright.flight.surfaces import SURFACES
from climbwright.web.schemas.air import ConditionSchema
from climbwright.web.schemas.aircraft import AircraftSchema, AmountsField, HeldField, arm_field, quantity, weight_field
from climbwright.web.schemas.fields import Base, Choice, Listing, Name, Nested, Truth

__all__ = ["AS_IT_IS", "CalibrationRequest", "ObservationOfSchema", "ObservationSchema", "check_flaps"]

AS_IT_IS = "baseline"
_BAND = ("from_altitude", "to_altitude", "duration")
# Fields of each kind beside those that all have: what it measures, what goes with it, and what must
_TAKES: dict[str, tuple[tuple[str, ...], ...]] = {
    "climb": (("rate", *_BAND), (*READINGS, "configuration", "rate_by"), ()),
    "level": (READINGS, ("power_fraction", "full_throttle", "configuration"), ()),
    "stall": (READINGS[:2], ("configuration",), ()),
    "glide": (("sink", *_BAND), (*READINGS, "configuration", "rate_by"), READINGS),
    "ground-roll": (("distance",), (*READINGS, "configuration", "slope", "surface", "rolling_friction"), ()),
    "static-thrust": (("thrust", "static_speed"), (), ()),
    "acceleration": (("duration",), (*READINGS, "end_speed", "configuration"), READINGS),
}
_COMMON = ("name", "kind", "day", "condition", "stations", "weight", "arm", "fuel_used")


def _speed(description: str, example: str) -> Any:
    return quantity("speed", description, example, above="5 kt", up_to="300 kt")


def _altitude(description: str, example: str) -> Any:
    return quantity("altitude", description, example, at_least="-500 m", up_to="9000 m", certain=True)


class AirAsFlown(ConditionSchema):
    """The air of a flight, which needs no name."""

    name = Name(metadata={"description": "What it is called; may be left out.", "example": "morning"})

    def build(self, data: dict[str, Any]) -> Any:
        """As a condition."""
        return super().build({"name": ""} | data)


class ObservationSchema(Base):
    """One observation: what was measured, and with which weight, speed and air."""

    more: tuple[str, ...] = ()  # fields of a kind of observation that adds some
    name = Name(required=True, metadata={"description": "Name of the flight.", "example": "climb solo, 3 June"})
    kind = Choice(
        list(KINDS), required=True, metadata={"description": "What kind of observation it is.", "example": "climb"}
    )
    day = Name(
        metadata={
            "description": "Flights of one day share the errors of altimeter and thermometer; one day when left out.",
            "example": "3 June",
        },
    )
    condition = Nested(AirAsFlown(), required=True, metadata={"description": "The air, in the middle of the flight."})
    stations = AmountsField(
        metadata={"description": "What each station held at the start; or weight.", "example": {"pilot": "82 kg"}}
    )
    weight = weight_field(
        "Weight of the whole aeroplane, in place of stations.", "432 kg", above="0.1 kg", at_least=None
    )
    arm = arm_field("Arm of its CG, with weight.", "0.36 m")
    fuel_used = HeldField(
        metadata={"description": "Fuel burned since then when it ended; half of it counts.", "example": "3 L"}
    )
    rate = quantity(
        "vertical speed", "Rate of climb; with its plus_minus.", "410 ft/min", at_least="-20 m/s", up_to="30 m/s"
    )
    sink = quantity("vertical speed", "Rate of sink, positive.", "640 ft/min", above="0 m/s", up_to="30 m/s")
    rate_by = Choice(
        ["altimeter", "height"],
        load_default="altimeter",
        metadata={
            "description": "What showed the rate: the altimeter, or the height over the ground (by GPS).",
            "example": "altimeter",
        },
    )
    from_altitude = _altitude("Pressure altitude at which a timed band began, in place of a rate.", "6000 ft")
    to_altitude = _altitude("Pressure altitude at which it ended.", "7000 ft")
    duration = quantity(
        "duration", "Time that the band, or the acceleration, took.", "148 s", above="0 s", up_to="3600 s"
    )
    indicated = _speed("Airspeed as read.", "58 kt")
    calibrated = _speed("Calibrated airspeed, in place of indicated.", "60 kt")
    true = _speed("True airspeed, in place of indicated, for example by GPS on three headings.", "70 kt")
    end_speed = _speed("Airspeed at which the acceleration ended, of the same reading.", "75 kt")
    configuration = Name(
        metadata={"description": "Name of the stall whose flaps were set; the first when left out.", "example": "clean"}
    )
    power_fraction = quantity("ratio", "Power over rated power.", "75 %", above="0.1", up_to="1.2")
    full_throttle = Truth(load_default=False, metadata={"description": "Flown at full throttle.", "example": True})
    distance = quantity("runway distance", "Ground roll.", "210 m", above="10 m", up_to="3000 m")
    slope = quantity("ratio", "Rise over run of the runway, positive uphill.", "1 %", at_least="-0.2", up_to="0.2")
    surface = Choice(
        list(SURFACES), metadata={"description": "Surface; dry and paved when left out.", "example": "short-dry-grass"}
    )
    rolling_friction = quantity("ratio", "In place of the surface's.", "0.06", at_least="0", up_to="0.5")
    thrust = quantity("force", "Thrust standing still, by a scale.", "1450 N", above="50 N", up_to="20000 N")
    static_speed = quantity(
        "rotational speed",
        "Engine speed standing still at full throttle.",
        "2950 rpm",
        above="300 rpm",
        up_to="12000 rpm",
    )

    def check(self, data: dict[str, Any]) -> None:
        """One measurement, what goes with its kind, and one way to state the weight."""
        kind = data["kind"]
        measured, beside, needed = _TAKES[kind]
        allowed = {*_COMMON, *self.more, *measured, *beside}
        stated = {name for name, value in data.items() if self._defaults.get(name) != value}
        foreign = sorted(stated - allowed)
        if foreign:
            raise ValidationError(
                {foreign[0]: [f"does not go with kind {kind}, which takes {', '.join((*measured, *beside))}"]}
            )
        if ("stations" in data) == ("weight" in data):
            raise ValidationError({"weight": ["send exactly one of stations, weight"]})
        if "arm" in data and "weight" not in data:
            raise ValidationError({"arm": ["an arm goes with weight: stations tell their own"]})
        speeds = [name for name in READINGS if name in data]
        if len(speeds) > 1:
            raise ValidationError({speeds[1]: [f"the airspeed is stated twice: leave {speeds[0]} or {speeds[1]} out"]})
        if needed and not speeds:
            raise ValidationError({"indicated": [f"a {kind} needs its airspeed: indicated, calibrated or true"]})
        self._check_measured(data, kind, measured)

    def _check_measured(self, data: dict[str, Any], kind: str, measured: tuple[str, ...]) -> None:
        if kind in ("climb", "glide"):
            name = measured[0]
            band = [part for part in _BAND if part in data]
            if (name in data) == bool(band) or (band and len(band) < len(_BAND)):
                raise ValidationError({name: [f"send {name}, or {', '.join(_BAND)} of a timed band"]})
            if band:
                gained = data["to_altitude"] - data["from_altitude"]
                if (gained if kind == "climb" else -gained) <= 0.0:
                    word = "above" if kind == "climb" else "below"
                    raise ValidationError({"to_altitude": [f"a {kind} ends {word} from_altitude"]})
            return
        found = [name for name in measured if name in data]
        if len(found) != 1:
            raise ValidationError({measured[0]: [f"a {kind} measures one of {', '.join(measured)}: send it"]})
        if kind == "level" and data["full_throttle"] == ("power_fraction" in data):
            raise ValidationError({"power_fraction": ["send power_fraction, or full_throttle: true"]})
        if kind == "acceleration":
            if "end_speed" not in data:
                raise ValidationError({"end_speed": ["an acceleration needs the airspeed at which it ended"]})
            start = next(data[name] for name in READINGS if name in data)
            if middle(data["end_speed"]) <= middle(start):
                raise ValidationError({"end_speed": ["an acceleration ends faster than it began"]})
        if kind == "ground-roll" and "rolling_friction" in data and "surface" in data:
            raise ValidationError({"rolling_friction": ["the surface has its own: leave one of the two out"]})

    def build(self, data: dict[str, Any]) -> Observation:
        """As an observation."""
        kind = data["kind"]
        reading = next((name for name in READINGS if name in data), "indicated")
        measured, value, spread = _measured(data, kind, reading)
        beside = data.get(reading) if measured != "speed" else None
        friction = data.get("rolling_friction")
        if kind == "ground-roll" and friction is None:
            friction = SURFACES[data.get("surface", "paved-dry")].rolling_friction
        condition = data["condition"]
        return Observation(
            name=data["name"],
            kind=kind,
            measured=measured,
            value=value,
            spread=spread,
            condition=condition,
            day=data.get("day", ""),
            stations=data.get("stations"),
            mass=data.get("weight"),
            arm=data.get("arm"),
            fuel_used=_burned(data.get("fuel_used")),
            reading=reading,
            airspeed=beside,
            configuration=data.get("configuration"),
            full_throttle=data["full_throttle"],
            power_fraction=data.get("power_fraction"),
            by_altimeter=data["rate_by"] == "altimeter",
            slope=data.get("slope"),
            rolling_friction=friction,
            headwind=condition.headwind,
            end_airspeed=data.get("end_speed"),
            of=None if data.get("of") in (None, AS_IT_IS) else data["of"],
        )


class ObservationOfSchema(ObservationSchema):
    """An observation of the aeroplane as it is, or of an option."""

    more = ("of",)
    of = Name(
        required=True,
        metadata={"description": f"{AS_IT_IS}, or the name of the option it was flown after.", "example": AS_IT_IS},
    )


def _measured(data: dict[str, Any], kind: str, reading: str) -> tuple[str, float, float | None]:
    """Name, value and spread of what was measured; None where the usual spread stands in."""
    if kind in ("climb", "glide"):
        name = KINDS[kind][0].field
        number = data.get(name)
        if number is None:
            number = _by_band(data, kind)
    elif kind in ("level", "stall"):
        name, number = "speed", data[reading]
    else:
        name = next(quantity.field for quantity in KINDS[kind] if quantity.field in data)
        number = data[name]
    return name, middle(number), number.plus_minus if isinstance(number, Measured) else None


def _by_band(data: dict[str, Any], kind: str) -> float | Measured:
    """The rate that a timed band makes; its spread is that of the time."""
    height = abs(data["to_altitude"] - data["from_altitude"])
    duration = data["duration"]
    rate = height / middle(duration)
    return Measured(rate, rate * duration.plus_minus / duration.value) if isinstance(duration, Measured) else rate


def _burned(amount: Amount | None) -> Any:
    """Fuel burned as a mass; a petrol's density where it is a volume."""
    if amount is None or amount.mass is not None:
        return None if amount is None else middle(amount.mass)
    return middle(amount.volume) * FUEL_DENSITY


class CalibrationRequest(Base):
    """An aeroplane with gaps, and observations."""

    aircraft = Nested(
        AircraftSchema(), required=True, metadata={"description": "The aeroplane, as far as it is known."}
    )
    observations = Listing(
        Nested(ObservationSchema()),
        least=1,
        most=60,
        required=True,
        metadata={
            "description": "What was observed in flight.",
            "example": [
                {
                    "name": "climb solo",
                    "kind": "climb",
                    "rate": "410 ft/min",
                    "indicated": "58 kt",
                    "weight": "432 kg",
                    "condition": {"pressure_altitude": "6000 ft", "oat": "18 C"},
                }
            ],
        },
    )

    def load(self, data: Any, **kwargs: Any) -> Any:
        """With the aeroplane as it was sent, which the answer completes."""
        return super().load(data, **kwargs) | {"document": data["aircraft"]}

    def check(self, data: dict[str, Any]) -> None:
        """Stations and configurations that the aeroplane has."""
        aircraft = data["aircraft"]
        places = {station.name for station in aircraft.stations}
        for i, one in enumerate(data["observations"]):
            unknown = sorted(set(one.stations or ()) - places)
            if unknown:
                known = ", ".join(sorted(places)) or "none"
                word = f"there is no such station: the stations are {known}"
                raise ValidationError({"observations": {i: {"stations": {unknown[0]: [word]}}}})
        check_flaps(data["observations"], aircraft)


def check_flaps(observations: Sequence[Observation], aircraft: Aircraft) -> None:
    """Configurations that the aeroplane has.

    Raises
    ------
    marshmallow.ValidationError
        Names the first observation of another.
    """
    flaps = [stall.configuration for stall in aircraft.stalls] or ["clean"]
    for i, one in enumerate(observations):
        if one.configuration is not None and one.configuration not in flaps:
            word = f"the aeroplane has no such stall: use one of {', '.join(flaps)}"
            raise ValidationError({"observations": {i: {"configuration": [word]}}})
