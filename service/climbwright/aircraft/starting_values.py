"""Starting values: what stands in for a number the owner does not know, each with a wide spread.

Every value here is common practice, no source (from memory); an answer that used one lists it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from climbwright.aircraft.changes import OF_THE_PROPELLER, Change, EngineChange, PropellerChange
from climbwright.aircraft.description import Aircraft, Drag, Engine, Propeller, Stall
from climbwright.aircraft.propulsion import reference_speed
from climbwright.arrays import Measured, middle
from climbwright.refusal import Refusal

__all__ = [
    "AIRFRAME_CLASSES",
    "PITCH_CLASSES",
    "UNKNOWN_AIRFRAME",
    "UNKNOWN_SPAN",
    "StartingValue",
    "complete",
    "complete_changes",
]


@dataclass(frozen=True, slots=True)
class _Airframe:
    parasite_area: Measured
    span_efficiency: Measured


@dataclass(frozen=True, slots=True)
class _Pitch:
    best_efficiency: Measured
    speed_ratio: Measured
    static_fraction: Measured


def _percent(value: float, percent: float) -> Measured:
    return Measured(value, value * percent / 100.0)


_BRACED, _STRUT, _CANTILEVER = Measured(0.70, 0.07), Measured(0.75, 0.07), Measured(0.78, 0.06)

# Parasite area [m²] and span efficiency [-]
AIRFRAME_CLASSES = {
    "wire-braced-open": _Airframe(_percent(0.95, 30), _BRACED),
    "strut-braced-fabric": _Airframe(_percent(0.62, 25), _STRUT),
    "strut-braced-metal": _Airframe(_percent(0.50, 20), _STRUT),
    "cantilever-metal": _Airframe(_percent(0.40, 20), _CANTILEVER),
    "composite": _Airframe(_percent(0.28, 20), _CANTILEVER),
    "retractable": _Airframe(_percent(0.20, 20), _CANTILEVER),
}

# A light two-seater of which nothing is known
UNKNOWN_AIRFRAME = _Airframe(_percent(0.55, 35), _STRUT)
UNKNOWN_SPAN = Measured(9.5, 0.8)

# Best efficiency on rated power, its speed over the reference speed, static engine speed over rated
PITCH_CLASSES = {
    "climb": _Pitch(_percent(0.68, 7), Measured(0.70, 0.08), Measured(0.95, 0.03)),
    "middle": _Pitch(_percent(0.71, 7), Measured(0.80, 0.08), Measured(0.90, 0.03)),
    "cruise": _Pitch(_percent(0.74, 7), Measured(0.90, 0.08), Measured(0.84, 0.03)),
}

LAPSE_CONSTANTS = {"four-stroke": Measured(0.117, 0.02), "two-stroke": Measured(0.16, 0.04)}
MARGIN_NEW = Measured(0.95, 0.04)
MARGIN_UNKNOWN = Measured(0.90, 0.06)
# A propeller turned directly at 3,200 rpm and more on 1.4 m and less
FAST_SMALL_EFFICIENCY = Measured(0.62, 0.06)
_FAST, _SMALL = 3199.999 * 2.0 * math.pi / 60.0, 1.400001  # a hair beyond, for what rounding does to rpm and cm
MAXIMUM_LIFT_CLEAN = Measured(1.40, 0.13)


@dataclass(frozen=True, slots=True)
class StartingValue:
    """A number that stood in: where it belongs, a code for what it is, its kind, and the value."""

    where: str
    code: str
    kind: str
    value: Measured


class _Filler:
    """Collects the starting values as they are put in."""

    def __init__(self) -> None:
        self.used: list[StartingValue] = []

    def put(self, where: str, name: str, kind: str, value: Measured, code: str | None = None) -> Measured:
        self.used.append(StartingValue(f"{where}/{name}", code or name, kind, value))
        return value


def complete(aircraft: Aircraft, where: str) -> tuple[Aircraft, list[StartingValue]]:
    """An aeroplane without gaps.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it.
    where : str
        JSON Pointer of the description.

    Returns
    -------
    tuple of Aircraft and list of StartingValue
        The completed description, and each number that stood in.

    Raises
    ------
    Refusal
        A number is missing, and so is the class that would stand in for it.
    """
    filler = _Filler()
    drag = _drag(aircraft.drag, f"{where}/drag", filler)
    engine = _engine(aircraft.engine, f"{where}/engine", MARGIN_UNKNOWN, filler)
    propeller = _propeller(aircraft.propeller, engine, drag, f"{where}/propeller", filler)
    stalls = aircraft.stalls
    if not stalls:
        lift = filler.put(f"{where}/stalls/0", "maximum_lift_coefficient", "ratio", MAXIMUM_LIFT_CLEAN)
        stalls = (Stall("clean", maximum_lift_coefficient=lift),)
    return replace(aircraft, drag=drag, engine=engine, propeller=propeller, stalls=stalls), filler.used


def complete_changes(
    changes: Sequence[Change], aircraft: Aircraft, where: str
) -> tuple[tuple[Change, ...], list[StartingValue]]:
    """Changes without gaps: a new engine or propeller whose numbers are not known begins at starting values.

    Parameters
    ----------
    changes : sequence of Change
        As planned.
    aircraft : Aircraft
        The completed aeroplane they are made to.
    where : str
        JSON Pointer of the list of changes.

    Returns
    -------
    tuple of tuple of Change and list of StartingValue
        The completed changes, and each number that stood in.

    Raises
    ------
    Refusal
        As `complete`.
    """
    filler = _Filler()
    engine = next((c.engine for c in changes if isinstance(c, EngineChange)), aircraft.engine)
    new_propeller = any(isinstance(c, PropellerChange) for c in changes)
    completed: list[Change] = []
    for i, change in enumerate(changes):
        here = f"{where}/{i}"
        if isinstance(change, EngineChange):
            change = _engine_change(change, aircraft, new_propeller, here, filler)
        elif isinstance(change, PropellerChange):
            propeller = _propeller(change.propeller, engine, aircraft.drag, f"{here}/propeller", filler)
            change = replace(change, propeller=propeller)
        completed.append(change)
    return tuple(completed), filler.used


def _drag(drag: Drag, where: str, filler: _Filler) -> Drag:
    if drag.parasite_area is not None and drag.span_efficiency is not None:
        return drag
    if drag.airframe_class is None:
        missing = "parasite_area" if drag.parasite_area is None else "span_efficiency"
        raise Refusal(f"{where}/{missing}", f"send {missing}, or an airframe_class whose starting value can stand in")
    start = AIRFRAME_CLASSES[drag.airframe_class]
    area, efficiency = drag.parasite_area, drag.span_efficiency
    if area is None:
        area = filler.put(where, "parasite_area", "area", start.parasite_area)
    if efficiency is None:
        efficiency = filler.put(where, "span_efficiency", "ratio", start.span_efficiency)
    return replace(drag, parasite_area=area, span_efficiency=efficiency)


def _engine(engine: Engine, where: str, margin: Measured, filler: _Filler) -> Engine:
    lapse = engine.lapse_constant
    if lapse is None:
        lapse = filler.put(where, "lapse_constant", "ratio", LAPSE_CONSTANTS[engine.cycle or "four-stroke"])
    given = engine.power_margin
    if given is None:
        given = filler.put(where, "power_margin", "ratio", margin, "power_margin_new" if margin is MARGIN_NEW else None)
    return replace(engine, lapse_constant=lapse, power_margin=given)


def _best_efficiency(propeller: Propeller, engine: Engine, pitch: _Pitch) -> Measured:
    if engine.speed is None or propeller.diameter is None:
        return pitch.best_efficiency
    direct = engine.reduction is None or middle(engine.reduction) == 1.0
    if direct and middle(engine.speed) >= _FAST and middle(propeller.diameter) <= _SMALL:
        return FAST_SMALL_EFFICIENCY
    return pitch.best_efficiency


def _propeller(propeller: Propeller, engine: Engine, drag: Drag, where: str, filler: _Filler) -> Propeller:
    """Fill a fixed-pitch propeller; where its best-efficiency speed is unknown, the pitch class places it."""
    if propeller.kind == "constant-efficiency":
        return propeller
    propeller = _static(propeller, engine, where, filler)
    if propeller.best_efficiency is not None and propeller.best_efficiency_speed is not None:
        return propeller
    if propeller.pitch_class is None:
        missing = "best_efficiency" if propeller.best_efficiency is None else "best_efficiency_speed"
        raise Refusal(f"{where}/{missing}", f"send {missing}, or a pitch_class whose starting value can stand in")
    pitch = PITCH_CLASSES[propeller.pitch_class]
    best, ratio = propeller.best_efficiency, propeller.speed_ratio
    if best is None:
        best = filler.put(where, "best_efficiency", "ratio", _best_efficiency(propeller, engine, pitch))
    if propeller.best_efficiency_speed is None:
        ratio = pitch.speed_ratio
        reference = float(reference_speed(middle(engine.power), middle(drag.parasite_area)))
        filler.put(where, "best_efficiency_speed", "speed", _scaled(ratio, reference))
    return replace(propeller, best_efficiency=best, speed_ratio=ratio)


def _static(propeller: Propeller, engine: Engine, where: str, filler: _Filler) -> Propeller:
    """Fill the engine speed standing still, which cannot lie above the rated one."""
    if engine.speed is None:
        return propeller
    rated = middle(engine.speed)
    if propeller.static_speed is not None:
        if middle(propeller.static_speed) > rated * (1.0 + 1e-9):
            raise Refusal(
                f"{where}/static_speed",
                "standing still the engine would turn faster than its rated speed: check both, and the reduction",
            )
        return propeller
    if propeller.pitch_class is None:
        return propeller
    fraction = PITCH_CLASSES[propeller.pitch_class].static_fraction
    filler.put(where, "static_speed", "rotational speed", _scaled(fraction, rated))
    return replace(propeller, static_fraction=fraction)


def _scaled(ratio: Measured, reference: float) -> Measured:
    """A ratio as the number that it makes of a reference, which is what an owner would send in its place."""
    return Measured(ratio.value * reference, ratio.plus_minus * reference)


def _engine_change(
    change: EngineChange, aircraft: Aircraft, new_propeller: bool, where: str, filler: _Filler
) -> EngineChange:
    engine = _engine(change.engine, f"{where}/engine", MARGIN_NEW, filler)
    if aircraft.propeller.kind == "constant-efficiency" and not new_propeller:
        idle = [name for name in OF_THE_PROPELLER if getattr(change, name) is not None]
        if idle:
            raise Refusal(f"{where}/{idle[0]}", "a constant-efficiency propeller stays as it is: leave this out")
    if new_propeller or aircraft.propeller.kind == "constant-efficiency":
        return replace(change, engine=engine)
    kept = replace(
        aircraft.propeller,
        pitch_class=change.pitch_class or aircraft.propeller.pitch_class,
        best_efficiency=change.best_efficiency,
        best_efficiency_speed=change.best_efficiency_speed,
        speed_ratio=None,
        static_speed=change.static_speed,
        static_fraction=None,
    )
    filled = _propeller(kept, engine, aircraft.drag, where, filler)
    return replace(
        change,
        engine=engine,
        best_efficiency=filled.best_efficiency,
        speed_ratio=filled.speed_ratio,
        static_fraction=filled.static_fraction,
    )
