"""What a season at a strip takes: an aeroplane as loaded, the strip, how it is flown, and hours of weather."""

from dataclasses import replace
from typing import Any

from marshmallow import ValidationError

from climbwright.answers import flying as model
from climbwright.answers.season import Season
from climbwright.web.schemas.aircraft import AircraftSchema, Built, LoadingSchema, quantity
from climbwright.web.schemas.fields import Base, Nested
from climbwright.web.schemas.flying import ClimbSchema, LandingSchema, StripSchema, TakeOffSchema
from climbwright.web.schemas.weather import WeatherSchema

__all__ = ["OperabilityRequest"]

_FLOWN = ("climb", "takeoff", "landing", "strip")
_Steady = Base.from_dict(
    {name: ClimbSchema().load_fields[name] for name in ("speed", "configuration")}, name="SteadyClimb"
)


class SteadyClimbSchema(Built, _Steady):  # type: ignore[valid-type,misc]
    """A climb at one airspeed, with flaps as set."""

    makes = model.Climb


class OperabilityRequest(Base):
    """An aeroplane as loaded, a strip, and hours of weather."""

    aircraft = Nested(AircraftSchema(), required=True, metadata={"description": "The aeroplane."})
    loading = Nested(LoadingSchema(), required=True, metadata={"description": "What its stations hold."})
    strip = Nested(StripSchema(), required=True, metadata={"description": "The strip, with its length."})
    takeoff = Nested(TakeOffSchema(), metadata={"description": "How to take off."})
    landing = Nested(LandingSchema(), metadata={"description": "How to land."})
    climb = Nested(
        SteadyClimbSchema(),
        metadata={"description": "How to climb, in place of the best rate: at this airspeed, with these flaps."},
    )
    climb_rate = quantity(
        "vertical speed",
        "Least rate of climb wanted; 300 ft/min when left out.",
        "300 ft/min",
        above="0 m/s",
        up_to="30 m/s",
        certain=True,
    )
    elevation = quantity(
        "altitude",
        "Height of the place of qnh above mean sea level; the strip's when left out.",
        "6150 ft",
        at_least="-500 m",
        up_to="9000 m",
    )
    weather = Nested(
        WeatherSchema(),
        required=True,
        metadata={
            "description": "Hours of weather, one value of each column for each: null where it is missing, which makes "
            "that hour unknown.",
            "example": {
                "time": ["2025-07-01T14:00", "2025-07-01T15:00"],
                "temperature": {"value": [31.0, None], "unit": "C"},
                "qnh": {"value": [1016.0, 1015.5], "unit": "hPa"},
                "dew_point": {"value": [9.0, 8.5], "unit": "C"},
            },
        },
    )

    def check(self, data: dict[str, Any]) -> None:
        """A strip that has a length, and one that a wind by direction can be flown on."""
        season: Season = data["weather"]
        strip = data["strip"]
        if strip.length is None:
            raise ValidationError({"strip": {"length": ["a season needs the strip's length: send it"]}})
        if season.air.wind_direction is not None and strip.heading is None:
            word = "a wind's direction needs the strip's heading: send strip.heading, or headwind"
            raise ValidationError({"weather": {"wind_direction": [word]}})
        if season.air.qnh is not None and "elevation" not in data and strip.elevation is None:
            raise ValidationError({"elevation": ["qnh needs an elevation: send it, or that of the strip"]})
        if season.air.qnh is None and "elevation" in data:
            raise ValidationError({"elevation": ["elevation goes only with qnh: leave it out, or send qnh"]})

    def build(self, data: dict[str, Any]) -> Any:
        """With the flying gathered, and the air at the strip's elevation unless another is given."""
        season, elevation = data["weather"], data.pop("elevation", data["strip"].elevation)
        if season.air.qnh is not None:
            season = replace(season, air=replace(season.air, elevation=elevation))
        flying = model.Flying(**{name: data.pop(name) for name in _FLOWN if name in data})
        return data | {"flying": flying, "weather": season}
