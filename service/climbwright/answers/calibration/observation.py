"""What was observed in flight: kinds of observation, how well each is known, and what is shared by a day's flights.

Spreads that stand in are common practice, no source (from memory); an answer that used one lists it.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from climbwright.air.condition import Condition
from climbwright.aircraft.loading import Amount
from climbwright.arrays import Measured, Number

__all__ = ["KINDS", "POWER_FRACTION", "READINGS", "SHARED", "Observation", "Quantity", "Shared", "quantity_of"]

_FOOT, _KNOT, _RPM = 0.3048, 1852.0 / 3600.0, 2.0 * math.pi / 60.0
POWER_FRACTION = 0.05  # one standard deviation of a power setting
READINGS = ("indicated", "calibrated", "true")


@dataclass(frozen=True, slots=True)
class Quantity:
    """What an observation measures: its field, its kind of quantity, and the spread that stands in.

    The spread is a number of SI, or where `relative` a part of the value.
    """

    field: str
    kind: str
    spread: float
    relative: bool = False

    def usual(self, value: float) -> float:
        """One standard deviation where the owner states none."""
        return self.spread * abs(value) if self.relative else self.spread


_SPEED = Quantity("speed", "speed", 1.5 * _KNOT)
KINDS: dict[str, tuple[Quantity, ...]] = {
    "climb": (Quantity("rate", "vertical speed", 40.0 * _FOOT / 60.0),),
    "level": (_SPEED,),
    "stall": (_SPEED,),
    "glide": (Quantity("sink", "vertical speed", 50.0 * _FOOT / 60.0),),
    "ground-roll": (Quantity("distance", "runway distance", 0.08, relative=True),),
    "static-thrust": (
        Quantity("thrust", "force", 0.04, relative=True),
        Quantity("static_speed", "rotational speed", 30.0 * _RPM),
    ),
    "acceleration": (Quantity("duration", "duration", 0.08, relative=True),),
}


def quantity_of(kind: str, field: str) -> Quantity:
    """What an observation of a kind measures in a field."""
    return next(quantity for quantity in KINDS[kind] if quantity.field == field)


@dataclass(frozen=True, slots=True)
class Observation:
    """One observation as flown; SI, None where nothing was said.

    `value` is the `measured` quantity and `spread` its standard deviation, None for the usual one. `airspeed` is what
    the kind needs beside it, read as `reading` says. The load is stated by stations or as the whole mass [kg], with its
    arm [m]; half of `fuel_used` [kg] had burned. Flights of one `day` share what the altimeter and the thermometer were
    wrong by.
    `by_altimeter`: a rate is that of the altimeter, not of the height gained. `of` is the option after whose changes it
    was flown, None for the aeroplane as it is.
    """

    name: str
    kind: str
    measured: str
    value: float
    spread: float | None
    condition: Condition
    day: str = ""
    stations: Mapping[str, Amount] | None = None
    mass: Number = None
    arm: Number = None
    fuel_used: Number = None
    reading: str = "indicated"
    airspeed: Number = None
    configuration: str | None = None
    full_throttle: bool = False
    power_fraction: Number = None
    by_altimeter: bool = True
    slope: Number = None
    rolling_friction: Number = None
    headwind: Number = None
    end_airspeed: Number = None
    of: str | None = None


@dataclass(frozen=True, slots=True)
class Shared:
    """Errors that observations have in common, each nothing in the middle: height and temperature of each day, [m] and
    [K], and empty mass over the weighed one less 1 [-].
    """

    altitude: tuple[Number, ...]
    temperature: tuple[Number, ...]
    empty_mass: Number


SHARED: dict[str, tuple[str, Measured]] = {
    "altitude": ("altitude", Measured(0.0, 30.0 * _FOOT)),
    "temperature": ("temperature difference", Measured(0.0, 1.5)),
    "empty_mass": ("ratio", Measured(0.0, 0.01)),
    "near_stall": ("ratio", Measured(1.0, 0.06)),
    "cruise": ("ratio", Measured(1.0, 0.03)),
}
"""What stands in for the errors that a day's flights have in common; the airspeed system's stay with the aeroplane."""
