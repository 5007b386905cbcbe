"""The description of an aeroplane in the words its owner knows.

Frozen data in SI; ``None`` where the owner said nothing. A number is a float, an array that broadcasts with the
others, or a `Measured` until its spread is laid out. Arms are positive aft of the datum.
"""

from dataclasses import dataclass

from climbwright.aircraft.wing import mean_chord, mean_chord_arm
from climbwright.arrays import Measured, Number

__all__ = [
    "Aircraft",
    "AirspeedErrors",
    "CorrectionPoint",
    "Covariance",
    "Drag",
    "Engine",
    "EnvelopePoint",
    "Limits",
    "Mass",
    "PitchSetting",
    "Planform",
    "Propeller",
    "Rules",
    "Scale",
    "SpeedLimits",
    "Stall",
    "Station",
    "Wheel",
    "Wing",
]


@dataclass(frozen=True, slots=True)
class Planform:
    """A straight-tapered wing: chords [m], arm of the root's leading edge [m], sweep of the leading edge [rad]."""

    root_chord: Number
    tip_chord: Number
    root_leading_edge_arm: Number
    leading_edge_sweep: Number = None


@dataclass(frozen=True, slots=True)
class Wing:
    """Area [m²], span [m]; mean chord [m] and the arm of its leading edge [m] for percent of chord.

    `height` is the wing's above the ground as the aeroplane rolls. [m] A `planform` makes the mean chord and its
    leading edge as soon as its numbers are certain or laid out, unless they are given.
    """

    area: Number
    span: Number
    chord: Number = None
    leading_edge_arm: Number = None
    height: Number = None
    planform: Planform | None = None

    def __post_init__(self) -> None:
        shape = self.planform
        if shape is None or self.chord is not None or self.leading_edge_arm is not None:
            return
        sweep = 0.0 if shape.leading_edge_sweep is None else shape.leading_edge_sweep
        numbers = (self.span, shape.root_chord, shape.tip_chord, sweep, shape.root_leading_edge_arm)
        if any(isinstance(number, Measured) for number in numbers):
            return
        object.__setattr__(self, "chord", mean_chord(shape.root_chord, shape.tip_chord))
        object.__setattr__(self, "leading_edge_arm", mean_chord_arm(*numbers))


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
class Wheel:
    """A wheel that the aeroplane stands on, and its arm [m]."""

    name: str
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
    installed gives over its rating; `lapse_constant` is C of the altitude lapse. A turbocharged engine holds rated
    power to its `critical_altitude` [m]. `specific_consumption` is fuel for each shaft energy [kg/J];
    `greatest_speed` [rad/s] is what it may turn at most.
    """

    power: Number
    speed: Number = None
    reduction: Number = None
    aspiration: str | None = None
    cycle: str | None = None
    lapse_constant: Number = None
    power_margin: Number = None
    power_limit: Number = None
    critical_altitude: Number = None
    specific_consumption: Number = None
    greatest_speed: Number = None


@dataclass(frozen=True, slots=True)
class PitchSetting:
    """One setting of a ground-adjustable propeller: what a fixed pitch would say of itself."""

    name: str
    best_efficiency: Number = None
    best_efficiency_speed: Number = None
    static_speed: Number = None
    pitch_class: str | None = None


@dataclass(frozen=True, slots=True)
class Propeller:
    """Kind, diameter [m] and efficiency.

    `best_efficiency` is the greatest thrust power over rated power at sea level, at the true airspeed
    `best_efficiency_speed` [m/s]; where the owner does not know that speed, `speed_ratio` places it by pitch class.
    `static_speed` [rad/s] is the engine's speed at full throttle standing still at sea level; where it is not known,
    `static_fraction` of the rated speed stands in by pitch class. A ground-adjustable propeller flies at the one of
    its `settings` that `setting` names. A constant-speed one makes thrust by momentum theory with `static_quality`
    standing, rising to `quality` at `quality_speed` [m/s]. `hub_height` [m] is above the ground, in the attitude that
    brings the tips lowest.
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
    quality: Number = None
    static_quality: Number = None
    quality_speed: Number = None
    settings: tuple[PitchSetting, ...] = ()
    setting: str | None = None
    hub_height: Number = None


@dataclass(frozen=True, slots=True)
class Drag:
    """Parasite area [m²] and span efficiency; the airframe class stands in for what is not known.

    `idle_propeller_area` is what the idling or stopped propeller adds in a glide. [m²]
    """

    parasite_area: Number = None
    span_efficiency: Number = None
    airframe_class: str | None = None
    idle_propeller_area: Number = None


@dataclass(frozen=True, slots=True)
class Stall:
    """A stall as flown: calibrated speed [m/s] at a mass [kg] and an arm [m]; or a greatest lift coefficient.

    `parasite_area_gain` is what this configuration's flaps add to the drag. [m²]
    """

    configuration: str
    speed: Number = None
    mass: Number = None
    arm: Number = None
    maximum_lift_coefficient: Number = None
    lift_gain: Number = 0.0
    parasite_area_gain: Number = None


@dataclass(frozen=True, slots=True)
class CorrectionPoint:
    """Indicated and calibrated airspeed of one line of the owner's table. [m/s]"""

    indicated: float
    calibrated: float


@dataclass(frozen=True, slots=True)
class AirspeedErrors:
    """Readings of the airspeed indicator, after the table, over calibrated airspeed: near the stall and in cruise."""

    near_stall: Number = 1.0
    cruise: Number = 1.0


@dataclass(frozen=True, slots=True)
class Covariance:
    """Which numbers were learned together, by JSON Pointer, how they are correlated, and the flights it took."""

    parameters: tuple[str, ...]
    correlation: tuple[tuple[float, ...], ...]
    observations: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SpeedLimits:
    """The owner's own speed limits, as marked on the airspeed indicator. [m/s]"""

    never_exceed: Number = None
    smooth_air: Number = None
    flaps: Number = None


@dataclass(frozen=True, slots=True)
class Rules:
    """Caps of the category that the owner flies in: greatest mass [kg]; stall and level speed at sea level [m/s].

    The stall speed is that of `configuration`, the first where it is None; both speeds are calibrated.
    """

    name: str = ""
    maximum_mass: Number = None
    stall_speed: Number = None
    configuration: str | None = None
    level_speed: Number = None


@dataclass(frozen=True, slots=True)
class Aircraft:
    """A whole aeroplane, weighed empty or on scales; `items` are what the weighing left out.

    `burn_order` names the tanks that burn first; the others follow as the stations stand.
    """

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
    burn_order: tuple[str, ...] = ()
    rules: Rules | None = None
    airspeed_errors: AirspeedErrors | None = None
    covariance: Covariance | None = None
