"""Starting values: what stands in for a number the owner does not know, each with a wide spread.

Every value here is common practice, no source (from memory), but the lapse of a four-stroke engine [1]_; an answer that
used one lists it. Of the rest only the span efficiency has a published range that speaks of such aeroplanes, and lies
in that: 0.7 to 0.85. No published table of parasite areas, propeller classes or margins of kit aeroplanes was found.

References
----------
.. [1] Gagg and Farrar, SAE Transactions, 1934, as given in S. Gudmundsson, *General Aviation Aircraft Design*, 2014,
   eq. 7-16: power goes with (sigma - 0.117)/0.883.
"""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.aircraft.changes import OF_THE_PROPELLER, Change, EngineChange, LiftChange, PropellerChange
from climbwright.aircraft.description import Aircraft, Drag, Engine, Propeller, Stall
from climbwright.aircraft.propulsion import as_set, reference_speed
from climbwright.arrays import Measured, Number, stated
from climbwright.refusal import Refusal

__all__ = [
    "AIRFRAME_CLASSES",
    "FUEL_DENSITY",
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
# A constant-speed propeller: efficiency over a loss-free disc's, standing and in flight, and where that is reached,
# over the reference speed
QUALITY, STATIC_QUALITY, QUALITY_SPEED_RATIO = Measured(0.85, 0.03), Measured(0.62, 0.05), Measured(0.5, 0.05)
# Fuel for each shaft energy [kg/J]
SPECIFIC_CONSUMPTION = {
    "four-stroke": Measured(0.30 / 3.6e6, 0.03 / 3.6e6),
    "two-stroke": Measured(0.42 / 3.6e6, 0.06 / 3.6e6),
}
IDLE_PROPELLER_AREA = Measured(0.10, 0.06)  # [m²]
FLAP_AREA_GAIN = Measured(0.12, 0.08)  # of every configuration but the first [m²]
VORTEX_GENERATOR_GAIN = Measured(0.10, 0.07)  # of the greatest lift coefficient
WING_HEIGHT = Measured(1.5, 0.4)  # above the ground, between a low and a high wing [m]
_LEAST_LAPSE = 0.1  # density ratio above the lapse constant at a critical altitude
FUEL_DENSITY = 720.0  # of a petrol, where no tank says it [kg/m³]


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


def complete(aircraft: Aircraft, where: str, phases: Collection[str] = ()) -> tuple[Aircraft, list[StartingValue]]:
    """An aeroplane without gaps.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it.
    where : str
        JSON Pointer of the description.
    phases : collection of str
        Phases of the flight that are wanted; what none of them needs stays a gap.

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
    engine = _engine(aircraft.engine, f"{where}/engine", MARGIN_UNKNOWN, phases, filler)
    propeller = _propeller(aircraft.propeller, engine, drag, f"{where}/propeller", filler)
    stalls = aircraft.stalls
    if not stalls:
        lift = filler.put(f"{where}/stalls/0", "maximum_lift_coefficient", "ratio", MAXIMUM_LIFT_CLEAN)
        stalls = (Stall("clean", maximum_lift_coefficient=lift),)
    wing = aircraft.wing
    if not _RUNWAY.isdisjoint(phases) and wing.height is None:
        wing = replace(wing, height=filler.put(f"{where}/wing", "height", "length", WING_HEIGHT, "wing_height"))
    if not _FLAPS.isdisjoint(phases):
        stalls = _flaps(stalls, f"{where}/stalls", filler)
    if not _IDLING.isdisjoint(phases) and drag.idle_propeller_area is None:
        idle = filler.put(f"{where}/drag", "idle_propeller_area", "area", IDLE_PROPELLER_AREA)
        drag = replace(drag, idle_propeller_area=idle)
    completed = replace(aircraft, drag=drag, engine=engine, propeller=propeller, stalls=stalls, wing=wing)
    return completed, filler.used


_RUNWAY, _IDLING = frozenset({"takeoff", "landing"}), frozenset({"glide", "turn"})
_FLAPS, _BURNING = _RUNWAY | {"climb"}, frozenset({"cruise", "climb"})


def _flaps(stalls: Sequence[Stall], where: str, filler: _Filler) -> tuple[Stall, ...]:
    """Drag of the flaps where it is not known; the first configuration's is the aeroplane's own."""
    return tuple(
        replace(
            stall,
            parasite_area_gain=filler.put(f"{where}/{i}", "parasite_area_gain", "area", FLAP_AREA_GAIN),
        )
        if i > 0 and stall.parasite_area_gain is None
        else stall
        for i, stall in enumerate(stalls)
    )


def complete_changes(
    changes: Sequence[Change], aircraft: Aircraft, where: str, phases: Collection[str] = ()
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
    phases : collection of str
        As in `complete`.

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
            change = _engine_change(change, aircraft, new_propeller, here, phases, filler)
        elif isinstance(change, PropellerChange):
            propeller = _propeller(change.propeller, engine, aircraft.drag, f"{here}/propeller", filler)
            change = replace(change, propeller=propeller)
        elif isinstance(change, LiftChange) and change.maximum_lift_gain is None:
            gain = filler.put(here, "maximum_lift_gain", "ratio", VORTEX_GENERATOR_GAIN, "vortex-generators")
            change = replace(change, maximum_lift_gain=gain)
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


def _engine(engine: Engine, where: str, margin: Measured, phases: Collection[str], filler: _Filler) -> Engine:
    lapse, consumption = engine.lapse_constant, engine.specific_consumption
    cycle = engine.cycle or "four-stroke"
    if engine.aspiration == "electric":
        lapse = 0.0  # without effect
    elif consumption is None and not _BURNING.isdisjoint(phases):
        start = SPECIFIC_CONSUMPTION[cycle]
        consumption = filler.put(where, "specific_consumption", "specific fuel consumption", start)
    if lapse is None:
        code = None if cycle == "four-stroke" else "lapse_constant_two_stroke"
        lapse = filler.put(where, "lapse_constant", "ratio", LAPSE_CONSTANTS[cycle], code)
    if engine.critical_altitude is not None:
        left = standard.density(stated(engine.critical_altitude)) / standard.SEA_LEVEL_DENSITY - stated(lapse)
        message = "hardly any power is left there by this lapse_constant, for a turbocharger to hold: send less"
        _refuse_where(left < _LEAST_LAPSE, f"{where}/critical_altitude", message)
    given = engine.power_margin
    if given is None:
        given = filler.put(where, "power_margin", "ratio", margin, "power_margin_new" if margin is MARGIN_NEW else None)
    return replace(engine, lapse_constant=lapse, power_margin=given, specific_consumption=consumption)


def _best_efficiency(propeller: Propeller, engine: Engine, pitch: _Pitch) -> Measured:
    if engine.speed is None or propeller.diameter is None:
        return pitch.best_efficiency
    direct = True if engine.reduction is None else np.equal(stated(engine.reduction), 1.0)
    fast = direct & np.greater_equal(stated(engine.speed), _FAST) & np.less_equal(stated(propeller.diameter), _SMALL)
    if not np.ndim(fast):
        return FAST_SMALL_EFFICIENCY if fast else pitch.best_efficiency
    small, usual = FAST_SMALL_EFFICIENCY, pitch.best_efficiency
    value, plus_minus = np.where(fast, small.value, usual.value), np.where(fast, small.plus_minus, usual.plus_minus)
    return Measured(value, plus_minus)


def _propeller(propeller: Propeller, engine: Engine, drag: Drag, where: str, filler: _Filler) -> Propeller:
    """Fill a propeller; where a fixed pitch's best-efficiency speed is unknown, the pitch class places it."""
    if propeller.kind == "constant-efficiency":
        return propeller
    if propeller.kind == "constant-speed":
        return _constant_speed(propeller, engine, drag, where, filler)
    if propeller.settings:
        propeller, where = _as_set(propeller, where)
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
        reference = reference_speed(stated(engine.power), stated(drag.parasite_area))
        filler.put(where, "best_efficiency_speed", "speed", _scaled(ratio, reference))
    return replace(propeller, best_efficiency=best, speed_ratio=ratio)


def _constant_speed(propeller: Propeller, engine: Engine, drag: Drag, where: str, filler: _Filler) -> Propeller:
    """Fill the qualities of a constant-speed propeller, and place the speed from which the greater one holds."""
    quality, static, ratio = propeller.quality, propeller.static_quality, propeller.speed_ratio
    if quality is None:
        quality = filler.put(where, "quality", "ratio", QUALITY)
    if static is None:
        static = filler.put(where, "static_quality", "ratio", STATIC_QUALITY)
    if propeller.quality_speed is None:
        ratio = QUALITY_SPEED_RATIO
        reference = reference_speed(stated(engine.power), stated(drag.parasite_area))
        filler.put(where, "quality_speed", "speed", _scaled(ratio, reference))
    message = "standing still the quality is not above the one in flight"
    _refuse_where(np.greater(stated(static), stated(quality)), f"{where}/static_quality", message)
    return replace(propeller, quality=quality, static_quality=static, speed_ratio=ratio)


def _as_set(propeller: Propeller, where: str) -> tuple[Propeller, str]:
    """A ground-adjustable propeller at its setting, and where that setting stands in the request."""
    try:
        chosen = as_set(propeller)
    except Refusal as refusal:
        raise Refusal(where + refusal.where, refusal.message) from None
    place = [setting.name for setting in propeller.settings].index(chosen.setting or "")
    return chosen, f"{where}/settings/{place}"


def _static(propeller: Propeller, engine: Engine, where: str, filler: _Filler) -> Propeller:
    """Fill the engine speed standing still, which cannot lie above the rated one."""
    if engine.speed is None:
        return propeller
    rated = stated(engine.speed)
    if propeller.static_speed is not None:
        message = "standing still the engine would turn faster than its rated speed: check both, and the reduction"
        faster = np.greater(stated(propeller.static_speed), np.multiply(rated, 1.0 + 1e-9))
        _refuse_where(faster, f"{where}/static_speed", message)
        return propeller
    if propeller.pitch_class is None:
        return propeller
    fraction = PITCH_CLASSES[propeller.pitch_class].static_fraction
    filler.put(where, "static_speed", "rotational speed", _scaled(fraction, rated))
    return replace(propeller, static_fraction=fraction)


def _scaled(ratio: Measured, reference: Number) -> Measured:
    """A ratio as the number that it makes of a reference, which is what an owner would send in its place."""
    if not np.ndim(reference):
        reference = float(reference)
    return Measured(ratio.value * reference, ratio.plus_minus * reference)


def _refuse_where(bad: Any, where: str, message: str) -> None:
    if np.count_nonzero(bad):
        raise Refusal(where, message, bad)


def _engine_change(
    change: EngineChange,
    aircraft: Aircraft,
    new_propeller: bool,
    where: str,
    phases: Collection[str],
    filler: _Filler,
) -> EngineChange:
    engine = _engine(change.engine, f"{where}/engine", MARGIN_NEW, phases, filler)
    kind = aircraft.propeller.kind
    stays = kind in ("constant-efficiency", "constant-speed")
    if stays and not new_propeller:
        idle = [name for name in OF_THE_PROPELLER if getattr(change, name) is not None]
        if idle:
            raise Refusal(f"{where}/{idle[0]}", f"a {kind} propeller stays as it is: leave this out")
    if new_propeller or stays:
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
