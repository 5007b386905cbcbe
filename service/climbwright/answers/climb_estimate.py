"""The first estimate of a climb: power, weight and air, and whatever else is known.

The estimate is the evaluation of a whole aeroplane whose gaps are starting values.
"""

from dataclasses import dataclass, replace

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Stall, Wing
from climbwright.aircraft.loading import Loading
from climbwright.aircraft.starting_values import UNKNOWN_AIRFRAME, UNKNOWN_SPAN
from climbwright.answers.comparison import Answer, perform
from climbwright.answers.notes import Assumed
from climbwright.arrays import Number
from climbwright.refusal import Refusal

__all__ = ["ESTIMATED", "ClimbInputs", "estimate_climb"]

ESTIMATED = (
    "power_available",
    "power_to_weight",
    "installed_power_to_weight",
    "best_climb_rate",
    "best_climb_speed_calibrated",
    "climb_gradient",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ClimbInputs:
    """What is known, in SI; None where nothing is. `stall_speed` is calibrated and at this weight."""

    power: Number
    weight: Number
    condition: Condition
    span: Number = None
    wing_area: Number = None
    parasite_area: Number = None
    airframe_class: str | None = None
    span_efficiency: Number = None
    pitch_class: str | None = None
    best_efficiency: Number = None
    best_efficiency_speed: Number = None
    efficiency: Number = None
    power_margin: Number = None
    lapse_constant: Number = None
    cycle: str | None = None
    stall_speed: Number = None


def estimate_climb(known: ClimbInputs, working: bool = False, draws: int | None = None) -> Answer:
    """Climb of an aeroplane of which little is known.

    Parameters
    ----------
    known : ClimbInputs
        At least power, weight and air.
    working : bool
        Whether the steps are wanted too.
    draws : int, optional
        As `perform`.

    Returns
    -------
    Answer
        One loading, one condition; `assumed` lists what stood in, by the field's own name.

    Raises
    ------
    Refusal
        As `perform`.
    """
    assumed: list[Assumed] = []

    def start(name: str, given: Number, value: Number, kind: str) -> Number:
        if given is not None:
            return given
        assumed.append(Assumed(f"/{name}", name, value, kind))
        return value

    span = start("span", known.span, UNKNOWN_SPAN, "length")
    area, efficiency = known.parasite_area, known.span_efficiency
    if known.airframe_class is None:
        area = start("parasite_area", area, UNKNOWN_AIRFRAME.parasite_area, "area")
        efficiency = start("span_efficiency", efficiency, UNKNOWN_AIRFRAME.span_efficiency, "ratio")
    aircraft = Aircraft(
        name="estimate",
        wing=Wing(known.wing_area, span),
        empty=Mass(known.weight, 0.0),
        limits=Limits(),
        stations=(),
        engine=Engine(
            known.power, cycle=known.cycle, lapse_constant=known.lapse_constant, power_margin=known.power_margin
        ),
        propeller=_propeller(known, assumed),
        drag=Drag(area, efficiency, known.airframe_class),
        stalls=_stalls(known, assumed),
    )
    try:
        answer = perform(
            aircraft, [Loading("", {})], [known.condition], measures=ESTIMATED, where="", working=working, draws=draws
        )
    except Refusal as refusal:
        raise Refusal(_flat(refusal.where), refusal.message) from None
    told = [replace(item, where=_flat(item.where)) for item in answer.assumed if item.code not in _NOT_OF_AN_ESTIMATE]
    cautions = [replace(caution, where="") for caution in answer.cautions]
    return replace(answer, assumed=[*assumed, *told], cautions=cautions)


_NOT_OF_AN_ESTIMATE = ("no-tail-load", "no-position-error", "natural-aspiration", "unchecked-thrust")


def _flat(where: str) -> str:
    """The estimate's own field for a pointer into the aeroplane that it builds."""
    name = where.rpartition("/")[2]
    return "/stall_speed" if name == "maximum_lift_coefficient" else f"/{name}" if name else ""


def _propeller(known: ClimbInputs, assumed: list[Assumed]) -> Propeller:
    if known.efficiency is not None:
        return Propeller("constant-efficiency", efficiency=known.efficiency)
    pitch = known.pitch_class
    if pitch is None and (known.best_efficiency is None or known.best_efficiency_speed is None):
        pitch = "middle"
        assumed.append(Assumed("/pitch_class", "pitch-class-middle"))
    return Propeller(
        "fixed-pitch",
        pitch_class=pitch,
        best_efficiency=known.best_efficiency,
        best_efficiency_speed=known.best_efficiency_speed,
    )


def _stalls(known: ClimbInputs, assumed: list[Assumed]) -> tuple[Stall, ...]:
    """The stall that holds the climb speed up: as given, from the wing, or none at all, which is said."""
    if known.stall_speed is not None:
        return (Stall("clean", speed=known.stall_speed, mass=known.weight),)
    if known.wing_area is not None:
        return ()
    assumed.append(Assumed("/stall_speed", "no-speed-floor"))
    return (Stall("clean", speed=0.0, mass=1.0),)
