"""How the aeroplane is flown in an answer: climb, cruise, turn, take-off, landing, and the strip.

Frozen data in SI, numbers as in `aircraft.description`; None where the request said nothing, until `complete_flying`
has put in what is usual. What stands in is common practice, no source (from memory), and is listed in every answer.
"""

import math
from collections.abc import Collection
from dataclasses import dataclass, replace
from typing import Any

from climbwright.aircraft.description import Aircraft
from climbwright.answers.measures import MEASURES, wanted_measures
from climbwright.answers.notes import Assumed
from climbwright.arrays import Measured, Number
from climbwright.flight.surfaces import SURFACES
from climbwright.refusal import Refusal

__all__ = [
    "AS_USUAL",
    "Climb",
    "Cruise",
    "Flying",
    "Landing",
    "Strip",
    "TakeOff",
    "Turn",
    "complete_flying",
    "measures_spoken_of",
    "spoken_of",
]


@dataclass(frozen=True, slots=True)
class Climb:
    """Calibrated speed [m/s] and flaps of a climb; the pressure altitudes between which it is timed [m]."""

    speed: Number = None
    configuration: str | None = None
    from_altitude: Number = None
    to_altitude: Number = None


@dataclass(frozen=True, slots=True)
class Cruise:
    """A power setting as a fraction of rated power, or a speed [m/s]; and the reserve to be left [s]."""

    power_fraction: Number = None
    full_throttle: bool = False
    true: Number = None
    calibrated: Number = None
    indicated: Number = None
    reserve: Number = None


@dataclass(frozen=True, slots=True)
class Turn:
    """Bank [rad], and the change of heading of a course reversal [rad]."""

    bank: Number = None
    reversal: Number = None


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Flaps, speeds over the stall speed, times [s], lift coefficient while rolling, and the pilot's technique.

    `checkpoint` is the fraction of lift-off speed whose place along the strip is answered.
    """

    configuration: str | None = None
    lift_off_factor: Number = None
    obstacle_factor: Number = None
    rotation_time: Number = None
    rolling_lift_coefficient: Number = None
    technique_factor: Number = None
    checkpoint: Number = None
    reaction_time: Number = None


@dataclass(frozen=True, slots=True)
class Landing:
    """Flaps, speeds over the stall speed, approach angle [rad], flare, free roll [s], and the pilot's technique."""

    configuration: str | None = None
    approach_factor: Number = None
    touchdown_factor: Number = None
    approach_angle: Number = None
    flare_load_factor: Number = None
    free_roll_time: Number = None
    rolling_lift_coefficient: Number = None
    technique_factor: Number = None


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip: length [m], slope uphill in the direction of take-off [-], surface, obstacle height [m].

    `one_way` strips are left in the direction of take-off and landed on against it. Friction stands for the surface's
    where it is given; `elevation` [m] where a condition has none. `heading` [rad] is that of
    take-off, by the same north as the wind.
    """

    name: str = ""
    length: Number = None
    slope: Number = None
    surface: str | None = None
    elevation: Number = None
    obstacle_height: Number = None
    one_way: bool = False
    heading: Number = None
    rolling_friction: Number = None
    braking_friction: Number = None


@dataclass(frozen=True, slots=True)
class Flying:
    """All that a request says of how it is flown; None for a phase that it does not speak of."""

    climb: Climb | None = None
    cruise: Cruise | None = None
    turn: Turn | None = None
    takeoff: TakeOff | None = None
    landing: Landing | None = None
    strip: Strip | None = None


AS_USUAL = Flying()


def measures_spoken_of(flying: Flying) -> list[str]:
    """Measures that are answered where a request names none: those of its phases that it gives the numbers for."""
    climb, strip = flying.climb, flying.strip
    silent: set[str] = set()
    if climb is None or climb.to_altitude is None:
        silent |= {"time_to_climb", "fuel_to_climb", "distance_to_climb"}
    if strip is not None and strip.length is None:
        silent |= {name for name in MEASURES if "_margin" in name and MEASURES[name].phase == "strip"}
    if strip is not None and strip.heading is None:
        silent |= {"headwind", "crosswind"}
    if strip is not None and strip.one_way:
        silent |= {name for name in MEASURES if name.endswith("_reversed")}
    return [name for name in wanted_measures(spoken_of(flying)) if name not in silent]


def spoken_of(flying: Flying) -> set[str]:
    """Phases that are answered where a request names no measures: the aeroplane's own and those it speaks of."""
    spoken = {name for name in ("climb", "cruise", "turn", "takeoff", "landing", "strip") if getattr(flying, name)}
    return {"aeroplane", *spoken} | ({"takeoff", "landing"} if "strip" in spoken else set())


# What is usual: kind and value, by field
_USUAL: dict[str, dict[str, tuple[str, Any]]] = {
    "cruise": {"reserve": ("time", 30.0 * 60.0)},
    "turn": {"bank": ("angle", math.radians(30.0)), "reversal": ("angle", math.pi)},
    "takeoff": {
        "lift_off_factor": ("ratio", 1.2),
        "obstacle_factor": ("ratio", 1.3),
        "rotation_time": ("duration", 1.0),
        "rolling_lift_coefficient": ("ratio", Measured(0.4, 0.2)),
        "technique_factor": ("ratio", 1.0),
        "checkpoint": ("ratio", 0.7),
        "reaction_time": ("duration", 2.0),
    },
    "landing": {
        "approach_factor": ("ratio", 1.3),
        "touchdown_factor": ("ratio", 1.15),
        "approach_angle": ("angle", Measured(math.radians(3.0), math.radians(0.5))),
        "flare_load_factor": ("ratio", 1.2),
        "free_roll_time": ("duration", 2.0),
        "rolling_lift_coefficient": ("ratio", Measured(0.4, 0.2)),
        "technique_factor": ("ratio", 1.0),
    },
    "strip": {"slope": ("ratio", 0.0), "obstacle_height": ("runway distance", 50.0 * 0.3048)},
}
_FLAPS = {"takeoff": 0, "landing": -1}  # the stall whose flaps are usual
_KINDS: dict[str, Any] = {"cruise": Cruise, "turn": Turn, "takeoff": TakeOff, "landing": Landing, "strip": Strip}


def complete_flying(flying: Flying, phases: Collection[str], aircraft: Aircraft) -> tuple[Flying, list[Assumed]]:
    """The flying without gaps in the phases that are wanted, and each thing that stood in.

    Parameters
    ----------
    flying : Flying
        As the request stated it.
    phases : collection of str
        Phases that are wanted.
    aircraft : Aircraft
        Completed; its stall configurations are those of the flaps.

    Returns
    -------
    tuple of Flying and list of Assumed
        What was not said is what is usual.

    Raises
    ------
    Refusal
        A phase names a configuration that the aeroplane has not.
    """
    runway = {"takeoff", "landing"} & set(phases)
    wanted = [name for name in _USUAL if name in phases or (name == "strip" and runway)]
    filled: dict[str, Any] = {}
    assumed: list[Assumed] = []
    names = [stall.configuration for stall in aircraft.stalls]
    for name in wanted:
        given = getattr(flying, name) or _KINDS[name]()
        usual = {field: value for field, value in _USUAL[name].items() if getattr(given, field) is None}
        assumed += [
            Assumed(f"/{name}/{field}", f"{name}-{field}", value, kind) for field, (kind, value) in usual.items()
        ]
        values = {field: value for field, (_, value) in usual.items()}
        if name == "cruise":
            values |= _setting(given, assumed)
        elif name == "strip":
            values |= _surface(given, assumed)
        elif name in _FLAPS and given.configuration is None:
            values["configuration"] = names[_FLAPS[name]]
            if len(names) > 1:
                assumed.append(Assumed(f"/{name}/configuration", f"{name}-configuration"))
        filled[name] = replace(given, **values) if values else given
    flown = replace(flying, **filled) if filled else flying
    for name in ("climb", "takeoff", "landing"):
        chosen = getattr(getattr(flown, name), "configuration", None)
        if chosen is not None and chosen not in names:
            raise Refusal(f"/{name}/configuration", f"the aeroplane has no such stall: use one of {', '.join(names)}")
    return flown, assumed


def _setting(cruise: Cruise, assumed: list[Assumed]) -> dict[str, Any]:
    """Three quarters of rated power where neither a setting nor a speed is given."""
    stated = (cruise.power_fraction, cruise.true, cruise.calibrated, cruise.indicated)
    if cruise.full_throttle or any(value is not None for value in stated):
        return {}
    assumed.append(Assumed("/cruise/power_fraction", "cruise-power_fraction", 0.75, "ratio"))
    return {"power_fraction": 0.75}


def _surface(strip: Strip, assumed: list[Assumed]) -> dict[str, Any]:
    """Dry and paved where no surface is given, and the surface's friction where none is."""
    name = strip.surface
    if name is None:
        name = "paved-dry"
        assumed.append(Assumed("/strip/surface", "strip-surface"))
    kind, values = SURFACES[name], dict[str, Any](surface=name)
    for field in ("rolling_friction", "braking_friction"):
        if getattr(strip, field) is None:
            values[field] = getattr(kind, field)
            assumed.append(Assumed(f"/strip/{field}", f"strip-{field}", values[field], "ratio"))
    return values
