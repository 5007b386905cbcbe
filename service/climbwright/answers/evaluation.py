"""The evaluation: aeroplanes, loadings and conditions in, the measures of the wanted phases out, as one array.

Numbers have the axes spread, aircraft, loading, condition, or fewer that broadcast to them.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Amount
from climbwright.answers.instruments import reading_of_calibrated
from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.answers.phases.balance import balanced
from climbwright.answers.phases.climb import (
    altimeter,
    best_angle,
    best_angle_speed,
    best_rate,
    ceilings,
    climb_as_asked,
)
from climbwright.answers.phases.flight import Evaluation, Flight, Flights, Propulsion
from climbwright.answers.phases.gliding import glide, turn
from climbwright.answers.phases.level import cruise, greatest_level, ruled
from climbwright.answers.phases.propeller import power, turning
from climbwright.answers.phases.runway import landing, strip, takeoff
from climbwright.answers.phases.stalls import equivalent_stalls, first_stall, manoeuvre, shown_stalls
from climbwright.answers.stacking import along, stack_aircraft, stack_masses
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import Lapse
from climbwright.refusal import refuse_where

__all__ = ["Evaluation", "Flights", "evaluate", "evaluate_stacked", "lapse_of", "propulsion_of", "stacked"]

# In the order in which each step may use what the ones before it found: its phase, and the steps that it needs
_STEPS: dict[Callable[[Flight, Evaluation], None], tuple[str, tuple[Any, ...]]] = {
    power: ("aeroplane", ()),
    shown_stalls: ("aeroplane", ()),
    first_stall: ("", ()),  # in place of all of them, where that is enough
    best_rate: ("aeroplane", ()),
    best_angle_speed: ("aeroplane", ()),
    best_angle: ("aeroplane", (best_angle_speed,)),
    greatest_level: ("aeroplane", ()),
    ceilings: ("aeroplane", ()),
    turning: ("aeroplane", (power, best_rate, greatest_level)),
    ruled: ("aeroplane", ()),
    altimeter: ("instruments", (shown_stalls, best_rate, best_angle_speed, greatest_level, manoeuvre)),
    manoeuvre: ("manoeuvre", (shown_stalls,)),
    climb_as_asked: ("climb", ()),
    cruise: ("cruise", ()),
    glide: ("glide", ()),
    turn: ("turn", ()),
    takeoff: ("takeoff", ()),
    landing: ("landing", ()),
    strip: ("strip", (takeoff, landing)),
}
# Steps of the aeroplane's own measures, where only some of those are wanted; the others need their phase's step alone
_OWN = {
    "weight": (), "cg_arm": (), "cg_chord_fraction": (), "cg_margin": (),
    "power_available": (power,), "power_to_weight": (power,), "installed_power_to_weight": (power,),
    "best_climb_rate": (best_rate,), "best_climb_speed_calibrated": (best_rate,),
    "best_angle": (best_angle,), "best_angle_speed_calibrated": (best_angle_speed,), "climb_gradient": (best_angle,),
    "service_ceiling": (ceilings,), "absolute_ceiling": (ceilings,),
    "greatest_level_speed_true": (greatest_level,), "greatest_level_speed_calibrated": (greatest_level,),
    "stall_speed_calibrated": (first_stall,), "stall_speed_true": (first_stall,), STALL_SPEEDS: (shown_stalls,),
}  # fmt: skip
# Steps that know no other stall than the first
_CLEAN = frozenset({power, first_stall, best_rate, best_angle_speed, best_angle, greatest_level, ceilings, turning})

_INDICATED = [name for name in MEASURES if name.endswith("_indicated")]


def lapse_of(aircraft: Aircraft) -> Lapse:
    """How the engine's power falls with the air."""
    engine = aircraft.engine
    critical = None
    if engine.critical_altitude is not None:
        critical = standard.density(engine.critical_altitude) / standard.SEA_LEVEL_DENSITY
    return Lapse(engine.lapse_constant, engine.aspiration or "natural", critical)


def propulsion_of(aircraft: Aircraft) -> Propulsion:
    """Engine and propeller of an aeroplane whose gaps are filled."""
    propeller = aircraft.propeller
    power_ = np.multiply(aircraft.engine.power, aircraft.engine.power_margin)
    if propeller.kind == "constant-efficiency":
        return ConstantEfficiency(power_, propeller.efficiency)
    if propeller.kind == "constant-speed":
        return ConstantSpeed(
            power_, propeller.diameter, propeller.quality, propeller.static_quality, propeller.quality_speed
        )
    limited = "torque" if aircraft.engine.aspiration in (None, "natural") else "power"
    best, speed = propeller.best_efficiency, propeller.best_efficiency_speed
    return FixedPitch(power_, best, speed, propeller.diameter, limited)


def evaluate(aircraft: Sequence[Aircraft], flights: Flights) -> Evaluation:
    """Evaluate aeroplanes with the same kinds of engine and propeller together.

    Parameters
    ----------
    aircraft : sequence of Aircraft
        Gaps filled, spreads laid out; they share the names of their stall configurations.
    flights : Flights
        Loadings, air, wind, how it is flown, and the phases that are wanted.

    Returns
    -------
    Evaluation
        Each measure of a shape that broadcasts to (spread, aircraft, loading, condition).
    """
    one, amounts = stacked(aircraft, flights)
    return evaluate_stacked(one, amounts, flights)


def stacked(aircraft: Sequence[Aircraft], flights: Flights) -> tuple[Aircraft, dict[str, Amount]]:
    """Aeroplanes stacked along the aircraft axis, as far as the measures wanted need, and what their stations hold."""
    one = stack_aircraft(aircraft, flights.stations)
    if flights.only is not None and _wanted(flights) <= _CLEAN:
        one = replace(one, stalls=one.stalls[:1])
    return one, stack_masses(aircraft, flights.loadings, flights.stations)


def evaluate_stacked(one: Aircraft, amounts: dict[str, Amount], flights: Flights) -> Evaluation:
    """As `evaluate`, of aeroplanes that are stacked already."""
    wanted = _wanted(flights)
    answer, loaded = balanced(one, amounts, flights.only)
    refuse_where(
        loaded.mass <= 0.0,
        "/empty/weight",
        "the loaded aeroplane weighs nothing: check weights, loads and their spreads",
    )
    lapse, drag = lapse_of(one), one.drag
    power_ratio, propulsion = lapse.ratio(flights.air), propulsion_of(one)
    climb = flights.flying.climb
    timed = climb_as_asked in wanted and climb is not None and climb.to_altitude is not None  # perhaps from below here
    if isinstance(propulsion, FixedPitch) and not timed:
        propulsion = propulsion.unbound(power_ratio, flights.air.density_ratio)
    flight = Flight(
        aircraft=one,
        loaded=loaded,
        airframe=Airframe(loaded.mass * standard.GRAVITY, drag.parasite_area, one.wing.span, drag.span_efficiency),
        propulsion=propulsion,
        lapse=lapse,
        air=flights.air,
        power_ratio=power_ratio,
        stalls=equivalent_stalls(one, loaded),
        headwind=flights.headwind,
        runway_wind=flights.runway_wind,
        crosswind=flights.crosswind,
        flying=flights.flying,
        alternatives=flights.alternatives,
    )
    answer.flight = flight
    for step in _STEPS:
        if step in wanted:
            step(flight, answer)
    _show_speeds(flight, answer, flights.only)
    _show_readings(flight, answer, flights.phases)
    return answer


def _wanted(flights: Flights) -> set[Any]:
    """Steps of the phases that are wanted, or those alone that some measures need."""
    if flights.only is None:
        first = [step for step, (phase, _) in _STEPS.items() if phase in flights.phases]
    else:
        first = [step for measure in flights.only for step in _steps_of(measure)]
    wanted = {*first, *(needed for step in first for needed in _STEPS[step][1])}
    return wanted - {first_stall} if shown_stalls in wanted else wanted


def _steps_of(measure: str) -> list[Any]:
    """Steps that one measure needs, but for those that they need."""
    if measure in _OWN:
        return list(_OWN[measure])
    phase = MEASURES[measure].phase
    of = ("aeroplane", "propeller") if phase == "propeller" else (phase,)
    return [step for step, (one, _) in _STEPS.items() if one in of]


def _show_speeds(flight: Flight, answer: Evaluation, only: Collection[str] | None) -> None:
    """True airspeeds as calibrated ones, those that are wanted."""
    wanted = answer.speeds
    if only is not None:
        wanted = {
            name: true for name, true in wanted.items() if f"{name}_calibrated" in only or f"{name}_indicated" in only
        }
    if wanted:
        calibrated = flight.calibrated(along(*wanted.values()))
        answer.measures |= {f"{name}_calibrated": row for name, row in zip(wanted, calibrated, strict=True)}


def _show_readings(flight: Flight, answer: Evaluation, phases: Collection[str]) -> None:
    """What the airspeed indicator reads at the calibrated speeds; the same where its owner knows of no error."""
    named = {name: name.replace("_indicated", "_calibrated") for name in _INDICATED if MEASURES[name].phase in phases}
    shown = {name: answer.measures[other] for name, other in named.items() if other in answer.measures}
    aircraft = answer.aircraft
    if shown and (aircraft.airspeed_errors is not None or aircraft.airspeed_correction):
        stall = flight.calibrated(flight.true(flight.stall))
        read = reading_of_calibrated(along(*shown.values()), stall, aircraft)
        shown = dict(zip(shown, read, strict=True))
    answer.measures |= shown
