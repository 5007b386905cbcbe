"""The description of an aeroplane in the words its owner knows.

Frozen data in SI; ``None`` where the owner said nothing. A number is a float, an array that broadcasts with the
others, or a `Measured` until its spread is laid out. Arms are positive aft of the datum.
"""

from dataclasses import dataclass

from climbwright.arrays import Number

__all__ = [
    "Aircraft",
    "CorrectionPoint",
    "Drag",
    "Engine",
    "EnvelopePoint",
    "Limits",
    "Mass",
    "Propeller",
    "Scale",
    "SpeedLimits",
    "Stall",
    "Station",
    "Wing",
]


@dataclass(frozen=True, slots=True)
class Wing:
    """Area [m²], span [m]; mean chord [m] and the arm of its leading edge [m] for percent of chord."""

    area: Number
    span: Number
    chord: Number = None
    leading_edge_arm: Number = None


@dataclass(frozen=True, slots=True)
class Mass:
    """A mass [kg] at an arm [m], with the name the owner gave it."""

    mass: Number
    arm: Number
    name: str = ""


@dataclass(frozen=True, slots=True)
class Scale:
    """One scale of a weighing: reading and tare [kg], and the arm of the wheel on it [m]."""

    name: str
    mass: Number
    tare: Number
    arm: Number


@dataclass(frozen=True, slots=True)
class EnvelopePoint:
    """A corner of the weight and balance envelope: mass [kg] and arm [m]."""

    mass: Number
    arm: Number


@dataclass(frozen=True, slots=True)
class Limits:
    """Greatest mass [kg]; balance limits [m] or an envelope; the load factor shown and the mass [kg] it was at."""

    maximum_mass: Number = None
    forward: Number = None
    aft: Number = None
    envelope: tuple[EnvelopePoint, ...] = ()
    load_factor: Number = None
    load_factor_mass: Number = None


@dataclass(frozen=True, slots=True)
class Station:
    """A place for load. A station with a density holds a fluid [kg/m³]; its capacity and unusable part are masses [kg].

    `minimum` is the least mass that must be there, for example the least weight of a pilot.
    """

    name: str
    arm: Number
    capacity: Number = None
    density: Number = None
    minimum: Number = None
    unusable: Number = None


@dataclass(frozen=True, slots=True)
class Engine:
    """Rated power [W] at a speed [rad/s]; `reduction` is engine speed over propeller speed, 1 when None.

    `power_limit` [W] is what the mount or the propeller's hub may take. `power_margin` is what the engine as
    installed gives over its rating; `lapse_constant` is C of the altitude lapse.
    """

    power: Number
    speed: Number = None
    reduction: Number = None
    aspiration: str | None = None
    cycle: str | None = None
    lapse_constant: Number = None
    power_margin: Number = None
    power_limit: Number = None


@dataclass(frozen=True, slots=True)
class Propeller:
    """Kind, diameter [m] and efficiency.

    `best_efficiency` is the greatest thrust power over rated power at sea level, at the true airspeed
    `best_efficiency_speed` [m/s]; where the owner does not know that speed, `speed_ratio` places it by pitch class.
    `static_speed` [rad/s] is the engine's speed at full throttle standing still at sea level; where it is not known,
    `static_fraction` of the rated speed stands in by pitch class.
    """

    kind: str
    diameter: Number = None
    pitch_class: str | None = None
    best_efficiency: Number = None
    best_efficiency_speed: Number = None
    speed_ratio: Number = None
    static_speed: Number = None
    static_fraction: Number = None
    efficiency: Number = None


@dataclass(frozen=True, slots=True)
class Drag:
    """Parasite area [m²] and span efficiency; the airframe class stands in for what is not known."""

    parasite_area: Number = None
    span_efficiency: Number = None
    airframe_class: str | None = None


@dataclass(frozen=True, slots=True)
class Stall:
    """A stall as flown: calibrated speed [m/s] at a mass [kg] and an arm [m]; or a greatest lift coefficient."""

    configuration: str
    speed: Number = None
    mass: Number = None
    arm: Number = None
    maximum_lift_coefficient: Number = None
    lift_gain: Number = 0.0


@dataclass(frozen=True, slots=True)
class CorrectionPoint:
    """Indicated and calibrated airspeed of one line of the owner's table. [m/s]"""

    indicated: float
    calibrated: float


@dataclass(frozen=True, slots=True)
class SpeedLimits:
    """The owner's own speed limits, as marked on the airspeed indicator. [m/s]"""

    never_exceed: Number = None
    smooth_air: Number = None
    flaps: Number = None


@dataclass(frozen=True, slots=True)
class Aircraft:
    """A whole aeroplane, weighed empty or on scales; `items` are what the weighing left out."""

    name: str
    wing: Wing
    empty: Mass | None
    limits: Limits
    stations: tuple[Station, ...]
    engine: Engine
    propeller: Propeller
    drag: Drag
    items: tuple[Mass, ...] = ()
    stalls: tuple[Stall, ...] = ()
    tail_arm: Number = None
    airspeed_correction: tuple[CorrectionPoint, ...] = ()
    speed_limits: SpeedLimits = SpeedLimits()
    scales: tuple[Scale, ...] = ()
