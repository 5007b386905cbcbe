"""Aeroplane answers, worked: which chains there are, and which of their steps are needed."""

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import Change
from climbwright.aircraft.description import Aircraft
from climbwright.answers.flying import Strip
from climbwright.answers.measures import STALL_SPEEDS
from climbwright.answers.phases.flight import Evaluation, Flights
from climbwright.answers.working import air as worked_air
from climbwright.answers.working import changes as worked_changes
from climbwright.answers.working.case import Case
from climbwright.answers.working.climb import altimeter, asked, best_climb, ceilings
from climbwright.answers.working.glide import glide, turn
from climbwright.answers.working.level import cruise, greatest_level
from climbwright.answers.working.power import power, turning
from climbwright.answers.working.runway import landing, strip, takeoff
from climbwright.answers.working.stall import manoeuvre, stalls
from climbwright.answers.working.step import Chain, Step, central
from climbwright.answers.working.weight import loaded
from climbwright.arrays import Floats

__all__ = ["Working", "work"]

_PHASES = {
    "aeroplane": (loaded, power, stalls, best_climb, greatest_level, ceilings, turning),
    "instruments": (altimeter,),
    "manoeuvre": (manoeuvre,),
    "climb": (asked,),
    "cruise": (cruise,),
    "glide": (glide,),
    "turn": (turn,),
    "takeoff": (takeoff,),
    "landing": (landing,),
    "strip": (strip,),
}


@dataclass(frozen=True, slots=True)
class Working:
    """Steps and what they hold for.

    Parameters
    ----------
    steps : list of Step
        Numbers are floats or have the axes aircraft, loading, condition.
    aircraft : tuple of int, or None
        Which aeroplanes lie along the first axis, the baseline being 0; None where the steps hold for all.
    condition : int or None
        The condition that they speak of, where they speak of one alone.
    """

    steps: list[Step]
    aircraft: tuple[int, ...] | None = None
    condition: int | None = None


def work(
    evaluations: Sequence[Evaluation],
    groups: Sequence[Sequence[int]],
    flights: Flights,
    aircraft: Sequence[Aircraft],
    changes: Sequence[Sequence[Change]],
    conditions: Sequence[Condition],
    wanted: Collection[str],
    spread: bool = True,
) -> list[Working]:
    """The steps of an answer about aeroplanes.

    Parameters
    ----------
    evaluations : sequence of Evaluation
        Of each group, with its flight.
    groups : sequence of sequence of int
        Which aeroplanes each evaluation holds.
    flights : Flights
        What was flown.
    aircraft : sequence of Aircraft
        The baseline, then each option; as described, its gaps filled and its spreads laid out.
    changes : sequence of sequence of Change
        Of each option.
    conditions : sequence of Condition
        Their spreads laid out.
    wanted : collection of str
        Measures that are answered.
    spread : bool
        Whether there is more than the central case.

    Returns
    -------
    list of Working
        The air first, then each aeroplane's own numbers, then what is computed for all scenes at once.
    """
    names = {*wanted, "stall_speed_calibrated"} if STALL_SPEEDS in wanted else set(wanted)
    with np.errstate(all="ignore"):
        flown = [_flown(evaluation, flights, names, spread) for evaluation in evaluations]
        used = set(chain.from_iterable([step.inputs for steps in flown for step in steps]))
        given = {shown.told[0] for shown in used if shown.told is not None}
        of_air = [_air(condition, flights.flying.strip, given, names) for condition in conditions]
        own = [
            worked_changes.own(one, aircraft[0], changes[k - 1] if k else (), given) for k, one in enumerate(aircraft)
        ]
    return [
        *(Working(steps, None, j) for j, steps in enumerate(of_air)),
        *(Working(steps, (k,)) for k, steps in enumerate(own) if steps),
        *(Working(steps, tuple(group)) for steps, group in zip(flown, groups, strict=True)),
    ]


def _air(condition: Condition, along: Strip | None, given: Collection[str], wanted: Collection[str]) -> list[Step]:
    """Steps of one condition: its air, and its wind on the strip."""
    own = Chain()
    worked_air.state(own, condition)
    heading = None if along is None else along.heading
    if condition.wind_direction is not None and heading is not None:
        own.give("w", condition.wind_speed, "speed", "wind-speed-given")
        own.give("chi_w", condition.wind_direction, "angle", "wind-direction-given")
        own.give("chi_s", heading, "angle", "strip-heading")
        own.step("headwind", "U_w", "w*cos(chi_w - chi_s)", "speed", "definition")
        own.step("crosswind", "X", "w*sin(chi_w - chi_s)", "speed", "definition", ends="crosswind")
    return own.needed(wanted, None, {"p", "T", "e", "rho", "sigma", "U_w"} & set(given))


def _flown(evaluation: Evaluation, flights: Flights, wanted: Collection[str], spread: bool) -> list[Step]:
    """Steps of one group's measures."""
    flight = evaluation.flight
    if flight is None:
        raise AssertionError("an evaluation keeps its flight")
    case = Case(Chain(), flight, evaluation, flights.loadings, spread, wanted)
    air = flight.air
    for symbol, value, kind in (
        ("p", air.pressure, "pressure"),
        ("T", air.temperature, "temperature"),
        ("e", air.vapour_pressure, "pressure"),
        ("rho", air.density, "density"),
        ("sigma", air.density_ratio, "ratio"),
        ("U", flight.headwind, "speed"),
    ):
        case.chain.give(symbol, value, kind, f"air-{symbol}")
    for name, steps in _PHASES.items():
        if name in flights.phases:
            for step in steps:
                step(case)
    answered = evaluation.measures | {f"{STALL_SPEEDS}/{name}": v for name, v in evaluation.stall_speeds.items()}
    shown = {
        name: central(value)
        for name, value in answered.items()
        if name in wanted or (name[:13] == "stall_speeds/" and STALL_SPEEDS in wanted)
    }
    return case.chain.needed(shown, _exist(shown))


def _exist(values: Mapping[str, Floats]) -> dict[str, Floats]:
    """Where those values exist that do not exist everywhere."""
    numbers = {name: value for name, value in values.items() if isinstance(value, float)}
    found: dict[str, Floats] = {name: np.bool_(False) for name, number in numbers.items() if not math.isfinite(number)}
    arrays = {name: value for name, value in values.items() if name not in numbers}
    if not arrays or np.isfinite(np.concatenate([*arrays.values()], axis=None)).all():
        return found  # at a fifth of the cost of asking each
    return found | {name: there for name, value in arrays.items() if not (there := np.isfinite(value)).all()}
