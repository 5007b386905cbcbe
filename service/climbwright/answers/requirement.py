"""The question turned round: the value of one unknown at which a measure just meets its target.

The measure is evaluated for a whole row of values of the unknown at once, along the axis that spreads use elsewhere.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air.condition import Condition, check_condition
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.aircraft.starting_values import complete
from climbwright.answers.comparison import Answer, perform
from climbwright.answers.crossings import Row, crossings, scan
from climbwright.answers.evaluation import evaluate
from climbwright.answers.flying import Flying, complete_flying
from climbwright.answers.measures import MEASURES, phases_of
from climbwright.answers.question import Question, flights_of, refuse_loadings, weighed_and_settled
from climbwright.answers.spread import central
from climbwright.answers.targets import Target
from climbwright.answers.unknowns import UNKNOWNS, Put, Unknown, present_value, putting, range_of
from climbwright.answers.work import ask_for
from climbwright.arrays import Floats
from climbwright.refusal import Refusal

__all__ = ["Impossible", "RequirementAnswer", "require"]

_REPLACED = ("power", "parasite_area")  # unknowns in whose place no starting value is needed
_LEVEL = 1e-9  # a slope over the whole range below this much of the measure is what rounding leaves


@dataclass(frozen=True, slots=True)
class RequirementAnswer:
    """The value that just meets the target, its spread, other values that do, and the whole answer there.

    `slope` is the change of the measure for each unit of the unknown. `met_throughout` says that every value of the
    range meets the target and `value` is the end that meets it most narrowly.
    """

    value: float
    spread: float | None
    others: list[float]
    met_throughout: bool
    slope: float
    answer: Answer


def require(
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying,
    unknown: Unknown,
    target: Target,
    working: bool = False,
    draws: int | None = None,
) -> RequirementAnswer:
    """Find the value of the unknown at which the measure just meets its target.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it; what the unknown stands for is put in its place.
    loadings, conditions : sequence
        The target names one of each, or there is only one.
    flying : Flying
        How it is flown.
    unknown : Unknown
        What is asked for.
    target : Target
        What shall be met.
    working : bool
        Whether the answer there shows its calculation.
    draws : int, optional
        As `perform`, for the spread of the answer there.

    Returns
    -------
    RequirementAnswer
        Where several values meet it, the one nearest to what the aeroplane has now, the others beside it.

    Raises
    ------
    Refusal
        No value of the range meets it: the message has the nearest that can be had.
    """
    refuse_loadings([central(aircraft)], central(tuple(loadings)))
    for k, condition in enumerate(conditions):
        check_condition(condition, f"/conditions/{k}")
    i, j = _place(loadings, target.loading, "loading"), _place(conditions, target.condition, "condition")
    try:
        found = _required(aircraft, loadings[i], conditions[j], flying, unknown, target, working, draws)
    except Refusal as refusal:
        refusal.where = _replaced(refusal.where, i, j)
        raise
    notes = found.answer
    assumed = [replace(item, where=_replaced(item.where, i, j)) for item in notes.assumed]
    cautions = [replace(caution, where=_replaced(caution.where, i, j)) for caution in notes.cautions]
    return replace(found, answer=replace(notes, assumed=assumed, cautions=cautions))


def _replaced(where: str, loading: int, condition: int) -> str:
    """A pointer into the whole request for one into the single loading and condition that are looked at."""
    for name, place in (("loadings", loading), ("conditions", condition)):
        if where.startswith(f"/{name}/0"):
            return f"/{name}/{place}{where.removeprefix(f'/{name}/0')}"
    return where


def _required(
    aircraft: Aircraft,
    loading: Loading,
    condition: Condition,
    flying: Flying,
    unknown: Unknown,
    target: Target,
    working: bool,
    draws: int | None,
) -> RequirementAnswer:
    asked = Question(aircraft, (), (loading,), (condition,), flying)
    sure: Question = central(asked)
    put = putting(unknown, asked)
    least, greatest = range_of(unknown, asked)
    at = _evaluator(asked, put, target.measure, greatest if unknown.field in _REPLACED else None)
    grid, gaps = scan(at, least, greatest, target.value)
    now = present_value(unknown, sure)
    constant = _unmoved(gaps, target.value)
    roots = [] if constant else crossings(at, grid, gaps, target.value)
    through = not roots
    if through:
        roots = [_met_throughout(grid, gaps, target, unknown, now)]
    roots.sort(key=lambda value: abs(value - now) if now is not None else value)
    return _answered(asked, put, at, roots, target, greatest - least, through, working, draws)


def _unmoved(gaps: Floats, value: float) -> bool:
    """Whether the unknown does not move the measure at all."""
    known = gaps[np.isfinite(gaps)]
    return bool(known.size and np.ptp(known) <= _LEVEL * max(abs(value), float(np.max(np.abs(known)))))


def _place(members: Sequence[Any], name: str | None, what: str) -> int:
    """Where the loading or condition of that name stands; the only one needs no name."""
    if name is None and len(members) == 1:
        return 0
    names = [member.name for member in members]
    if name not in names:
        word = f"name one of {', '.join(names)}" if name is None else f"there is none: use one of {', '.join(names)}"
        raise Refusal(f"/target/{what}", word)
    return names.index(name)


def _answered(
    asked: Question,
    put: Put,
    at: Row,
    roots: list[float],
    target: Target,
    width: float,
    through: bool,
    working: bool,
    draws: int | None,
) -> RequirementAnswer:
    """The whole answer at the value found, with the slope there and the spread that the measure's own spread makes."""
    value = roots[0]
    step = 1e-4 * width
    slope = _slope(at, value, step)
    if abs(slope) * width <= _LEVEL * abs(target.value):
        slope = 0.0
    there = put(asked, value)
    answer = perform(
        there.aircraft,
        there.loadings,
        there.conditions,
        there.flying,
        [target.measure],
        working=working,
        draws=draws,
    )
    spread = None
    if answer.values.spread is not None and slope and not through:
        spread = abs(float(answer.values.spread[answer.names.index(target.measure), 0, 0, 0]) / slope)
    return RequirementAnswer(value, spread, roots[1:], through, slope, answer)


def _slope(at: Row, value: float, step: float) -> float:
    """Change of the measure for each unit of the unknown; to one side where the measure begins or ends close by."""
    places = value + step * np.array([-1.0, -1e-3, 0.0, 1e-3, 1.0])
    measures = at(places)
    known = np.flatnonzero(np.isfinite(measures))
    if known.size < 2:
        return 0.0
    first, last = known[0], known[-1]
    return float((measures[last] - measures[first]) / (places[last] - places[first]))


def _evaluator(asked: Question, put: Put, measure: str, some: float | None) -> Row:
    """The measure as a function of a row of values of the unknown, without spreads.

    What the unknown replaces needs no starting value, so that some value is put in before the gaps are filled.
    """
    phases = phases_of([measure])
    known = asked if some is None else put(asked, np.full((1, 1, 1, 1), some))
    completed, _ = complete(known.aircraft, "/aircraft", phases)
    flown, _ = complete_flying(known.flying, phases, completed)
    sure: Question = central(replace(known, aircraft=completed, flying=flown))

    def at(values: Floats) -> Floats:
        row = np.asarray(values, dtype=float)
        ask_for(row.size)
        there = put(sure, row.reshape(-1, 1, 1, 1))
        one = weighed_and_settled(there.aircraft, "/aircraft")
        flights = replace(flights_of(there, [one], phases), only=(measure,), alternatives=True)
        found = evaluate([one], flights).measures.get(measure, np.nan)
        return np.broadcast_to(found, (row.size, 1, 1, 1)).reshape(row.shape)

    return at


def _met_throughout(grid: Floats, gaps: Floats, target: Target, unknown: Unknown, now: float | None) -> float:
    """The value that meets the target most narrowly, where all of them do as far as the measure exists; else a refusal.

    Where the unknown does not move the measure, the value that the request has.
    """
    exists = np.isfinite(gaps)
    if not exists.any():
        raise Refusal(
            "/target/measure",
            f"{target.measure} does not exist for any value of the range: send another, or what the measure needs",
        )
    values, known = grid[exists], gaps[exists]
    sign = {"at_least": 1.0, "at_most": -1.0}.get(target.goal, 0.0)
    close = np.abs(known) <= _LEVEL * max(abs(target.value), float(np.max(np.abs(known))))
    if np.all((sign * known > 0.0) | close):
        inside = now is not None and values[0] <= now <= values[-1]
        if now is not None and inside and _unmoved(gaps, target.value):
            return now
        return float(values[int(np.argmin(np.abs(known)))])
    i = int(np.argmin(np.abs(known)))
    kinds = UNKNOWNS[unknown.field].kind, MEASURES[target.measure].kind
    raise Impossible(target.measure, (float(values[i]), kinds[0]), (float(known[i] + target.value), kinds[1]))


class Impossible(Refusal):
    """No value of the range meets the target; the nearest that can be had, SI with kinds, for the reader's units."""

    def __init__(self, measure: str, value: tuple[float, str], reached: tuple[float, str]) -> None:
        super().__init__("/target", f"no value in the range meets the target for {measure}")
        self.measure, self.value, self.reached = measure, value, reached
