"""What a request says of the air."""

from typing import Any

from marshmallow import ValidationError

from climbwright.air.condition import Condition
from climbwright.air.report import Report, decode_report
from climbwright.aircraft.description import CorrectionPoint
from climbwright.web.schemas.fields import Base, Listing, Name, Nested, Quantity, Text

__all__ = [
    "AirFields",
    "AirspeedRequest",
    "AtmosphereRequest",
    "ConditionSchema",
    "CorrectionPointSchema",
    "DensityAltitudeRequest",
    "condition_from",
]

_AIR = (
    "elevation",
    "qnh",
    "pressure_altitude",
    "station_pressure",
    "density_altitude",
    "oat",
    "temperature_offset",
    "dew_point",
    "relative_humidity",
    "metar",
)
_FORMS = (
    "send elevation and qnh, or pressure_altitude, or station_pressure, each with oat; "
    "or elevation and metar; or density_altitude alone"
)


def _altitude(description: str, example: str, **kwargs: Any) -> Quantity:
    bounds = {"at_least": "-5000 m", "up_to": "30000 m"} | kwargs
    return Quantity("altitude", metadata={"description": description, "example": example}, **bounds)


def _pressure(description: str, example: str, low: str, high: str, listed: bool) -> Quantity:
    return Quantity(
        "pressure",
        at_least=low,
        up_to=high,
        listed=listed,
        metadata={"description": description, "example": example},
    )


def air_fields(listed: bool) -> dict[str, Any]:
    """Fields that state the air; `listed` lets each hold a list of values."""
    return {
        "elevation": _altitude(
            "Height of the place above mean sea level, with qnh or metar.",
            "5400 ft",
            up_to="9000 m",
            at_least="-500 m",
            listed=listed,
        ),
        "qnh": _pressure("Altimeter setting, with elevation.", "1017 hPa", "850 hPa", "1100 hPa", listed),
        "pressure_altitude": _altitude("What an altimeter set to 1013.25 hPa reads.", "5290 ft", listed=listed),
        "station_pressure": _pressure("Pressure measured at the place.", "832 hPa", "20 hPa", "1200 hPa", listed),
        "density_altitude": _altitude(
            "Density altitude alone: standard temperature is assumed there.", "8600 ft", listed=listed
        ),
        "oat": Quantity(
            "temperature",
            at_least="-90 C",
            up_to="60 C",
            listed=listed,
            metadata={"description": "Outside air temperature.", "example": "31 C"},
        ),
        "temperature_offset": Quantity(
            "temperature difference",
            at_least="-80 K",
            up_to="80 K",
            listed=listed,
            metadata={
                "description": "Temperature above the standard one at this pressure, in place of oat.",
                "example": "20 K",
            },
        ),
        "dew_point": Quantity(
            "temperature",
            at_least="-90 C",
            up_to="50 C",
            listed=listed,
            metadata={"description": "Dew point; without it and relative_humidity the air is dry.", "example": "9 C"},
        ),
        "relative_humidity": Quantity(
            "ratio",
            at_least="0",
            up_to="1",
            listed=listed,
            metadata={"description": "Relative humidity, in place of dew_point.", "example": "26 %"},
        ),
        "metar": Text(
            longest=1000,
            metadata={
                "description": "A coded weather report, with elevation: temperature, dew point and pressure are read.",
                "example": "METAR XXXX 241200Z 24008KT 9999 FEW080 31/09 Q1017",
            },
        ),
    }


def _check_form(data: dict[str, Any], required: bool) -> None:
    given = [name for name in _AIR if name in data]
    if not given and not required:
        return
    if "density_altitude" in data:
        extra = [name for name in given if name != "density_altitude"]
        if extra:
            raise ValidationError({extra[0]: [f"density_altitude stands alone: leave it or {extra[0]} out"]})
        return
    bases = [name for name in ("qnh", "pressure_altitude", "station_pressure", "metar") if name in data]
    if not bases:
        raise ValidationError({"elevation" if "elevation" in data else "_air": [f"the air is not stated: {_FORMS}"]})
    if len(bases) > 1:
        raise ValidationError({bases[1]: [f"the air is stated twice, by {bases[0]} and {bases[1]}: {_FORMS}"]})
    if (bases[0] in ("qnh", "metar")) != ("elevation" in data):
        word = "is missing: it goes" if "elevation" not in data else "goes only"
        raise ValidationError({"elevation": [f"elevation {word} with qnh or metar; {_FORMS}"]})
    if bases[0] == "metar":
        extra = [name for name in given if name not in ("elevation", "metar")]
        if extra:
            raise ValidationError({extra[0]: [f"the report already says it: leave metar or {extra[0]} out"]})
        return
    temperatures = [name for name in ("oat", "temperature_offset") if name in data]
    if len(temperatures) != 1:
        word = "send oat (or temperature_offset)" if not temperatures else "send only one of oat, temperature_offset"
        raise ValidationError({temperatures[1] if temperatures else "oat": [word]})
    if "dew_point" in data and "relative_humidity" in data:
        raise ValidationError({"relative_humidity": ["send only one of dew_point, relative_humidity"]})


def condition_from(data: dict[str, Any], name: str = "") -> Condition | None:
    """Take the air's fields out of a request; None where there are none."""
    air = {field: data.pop(field) for field in _AIR if field in data}
    wind = {field: data.pop(field) for field in ("headwind", "wind_direction", "wind_speed") if field in data}
    if not air:
        return None
    if "metar" in air:
        report = air.pop("metar")
        try:
            report = report if isinstance(report, Report) else decode_report(report)  # a table's are decoded already
        except ValueError as error:
            raise ValidationError({"metar": [str(error)]}) from None
        air |= {"qnh": report.qnh, "oat": report.temperature, "dew_point": report.dew_point}
        if not wind and report.wind_direction is not None:
            reported = {"wind_direction": report.wind_direction, "wind_speed": report.wind_speed}
            return Condition(name=name, reported=True, **air, **reported)
    return Condition(name=name, **air, **wind)


class AirFields(Base):
    """A request that states the air, in exactly one form."""

    _air_required = True

    def check(self, data: dict[str, Any]) -> None:
        """Exactly one form."""
        _check_form(data, self._air_required)


_Listed = Base.from_dict(air_fields(listed=True), name="AirLists")
_Single = Base.from_dict(air_fields(listed=False), name="AirValues")


class DensityAltitudeRequest(AirFields, _Listed):  # type: ignore[valid-type,misc]
    """The air in any form; a form's values may be lists of one length."""

    def build(self, data: dict[str, Any]) -> Condition | None:
        """As a condition."""
        return condition_from(data)


class ConditionSchema(AirFields, _Single):  # type: ignore[valid-type,misc]
    """A named condition: the air in exactly one form, and the wind."""

    name = Name(required=True, metadata={"description": "Name of the condition.", "example": "summer noon"})
    headwind = Quantity(
        "speed",
        at_least="-40 m/s",
        up_to="40 m/s",
        metadata={
            "description": "Wind against the flight, negative from behind; none when left out.",
            "example": "5 kt",
        },
    )
    wind_direction = Quantity(
        "angle",
        at_least="0 deg",
        up_to="360 deg",
        metadata={
            "description": "Where the wind comes from, by the same north as the strip's heading; with wind_speed, in "
            "place of headwind.",
            "example": "220 deg",
        },
    )
    wind_speed = Quantity(
        "speed",
        at_least="0 m/s",
        up_to="40 m/s",
        metadata={"description": "Speed of that wind.", "example": "12 kt"},
    )

    def check(self, data: dict[str, Any]) -> None:
        """One form of the air, and one of the wind."""
        super().check(data)
        if ("wind_direction" in data) != ("wind_speed" in data):
            missing = "wind_speed" if "wind_direction" in data else "wind_direction"
            raise ValidationError({missing: ["wind_direction and wind_speed go together"]})
        if "headwind" in data and "wind_direction" in data:
            raise ValidationError({"headwind": ["the wind is stated twice: leave headwind or wind_direction out"]})

    def build(self, data: dict[str, Any]) -> Condition | None:
        """As a condition."""
        return condition_from(data, data.pop("name"))


class AtmosphereRequest(Base):
    """A level of the standard atmosphere."""

    altitude = _altitude("Pressure altitude (geopotential).", "6000 ft", listed=True)
    geometric_altitude = _altitude("Height above mean sea level, in place of altitude.", "6000 ft", listed=True)
    temperature_offset = Quantity(
        "temperature difference",
        at_least="-80 K",
        up_to="80 K",
        listed=True,
        metadata={"description": "Temperature above the standard one; 0 when left out.", "example": "20 K"},
    )

    def check(self, data: dict[str, Any]) -> None:
        """One of the two altitudes."""
        if ("altitude" in data) == ("geometric_altitude" in data):
            raise ValidationError({"altitude": ["send exactly one of altitude, geometric_altitude"]})


class CorrectionPointSchema(Base):
    """One line of an airspeed correction table."""

    indicated = Quantity(
        "speed",
        above="0 m/s",
        up_to="200 m/s",
        certain=True,
        required=True,
        metadata={"description": "What the airspeed indicator reads.", "example": "40 kt"},
    )
    calibrated = Quantity(
        "speed",
        above="0 m/s",
        up_to="200 m/s",
        certain=True,
        required=True,
        metadata={"description": "The calibrated airspeed there.", "example": "43 kt"},
    )

    def build(self, data: dict[str, Any]) -> CorrectionPoint:
        """As a point."""
        return CorrectionPoint(**data)


def correction_table(**kwargs: Any) -> Listing:
    """The field of an owner's airspeed correction table."""
    return Listing(
        Nested(CorrectionPointSchema()),
        least=2,
        most=40,
        unique=None,
        metadata={
            "description": "Airspeed correction table, rising: linear between its lines, never beyond.",
            "example": [
                {"indicated": "40 kt", "calibrated": "43 kt"},
                {"indicated": "90 kt", "calibrated": "89 kt"},
            ],
        }
        | kwargs.pop("metadata", {}),
        **kwargs,
    )


def check_rising(points: tuple[CorrectionPoint, ...], name: str) -> None:
    """Refuse a correction table whose speeds do not rise."""
    for i in range(1, len(points)):
        a, b = points[i - 1], points[i]
        if b.indicated <= a.indicated or b.calibrated <= a.calibrated:
            raise ValidationError({name: {i: ["both speeds must rise from line to line"]}})


def _speed(description: str, example: str) -> Quantity:
    return Quantity(
        "speed",
        above="0 m/s",
        up_to="340 m/s",
        listed=True,
        metadata={"description": description, "example": example},
    )


class AirspeedRequest(AirFields, _Listed):  # type: ignore[valid-type,misc]
    """One airspeed and the air."""

    indicated = _speed("What the airspeed indicator reads.", "78 kt")
    calibrated = _speed("Indicated corrected for position and instrument error.", "80 kt")
    equivalent = _speed("The sea-level speed of the same dynamic pressure.", "80 kt")
    true = _speed("Speed through the air.", "90 kt")
    mach = Quantity(
        "ratio",
        above="0",
        below="1",
        listed=True,
        metadata={"description": "True airspeed over the speed of sound.", "example": "0.14"},
    )
    airspeed_correction = correction_table()

    def check(self, data: dict[str, Any]) -> None:
        """One speed; a table that rises."""
        super().check(data)
        given = [name for name in ("indicated", "calibrated", "equivalent", "true", "mach") if name in data]
        if len(given) != 1:
            raise ValidationError(
                {
                    given[1] if given else "calibrated": [
                        "send exactly one of indicated, calibrated, equivalent, true, mach"
                    ]
                }
            )
        check_rising(data.get("airspeed_correction", ()), "airspeed_correction")
