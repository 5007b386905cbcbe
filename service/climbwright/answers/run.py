"""A question evaluated: all measures of all its aeroplanes, with the cases of their spreads, as one array."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from climbwright.aircraft.changes import apply
from climbwright.aircraft.description import Aircraft
from climbwright.answers.evaluation import Evaluation, Flights, evaluate
from climbwright.answers.measures import STALL_SPEEDS
from climbwright.answers.question import Question, flights_of, refuse_loadings, weighed_and_settled
from climbwright.answers.spread import lay_out, linear
from climbwright.answers.stacking import AXES
from climbwright.answers.work import ask_for
from climbwright.refusal import Refusal

__all__ = ["Run", "evaluated", "grouped", "run", "table_of", "without_pairs"]

# What an answer needs for itself: cost per gain, and whether a loading can be carried at all
_ALWAYS = ("weight", "power_available", "best_climb_rate")


@dataclass(frozen=True, slots=True)
class Run:
    """A question evaluated: laid out, its aeroplanes in groups of one kind of propulsion, and all measures' cases."""

    laid: Question
    aircraft: list[Aircraft]
    flights: Flights
    groups: list[list[int]]
    evaluations: list[Evaluation]
    names: list[str]
    table: NDArray[np.float64]


def run(
    request: Question,
    wanted: Sequence[str],
    phases: Collection[str],
    where: str,
    draws: int,
    probes: bool = False,
) -> Run:
    """Evaluate measures of every aeroplane of a question, with the cases of its spreads."""
    laid, cases = lay_out(request, AXES - 1, draws, probes)
    aircraft, flights = _made(laid, phases, where)
    shape = (cases, len(aircraft), len(laid.loadings), len(laid.conditions))
    ask_for(math.prod(shape) * len(wanted))
    groups = grouped(aircraft)
    evaluations = [evaluated([aircraft[i] for i in group], flights, where) for group in groups]
    return Run(laid, aircraft, flights, groups, evaluations, *table_of(evaluations, groups, shape, wanted))


def _made(laid: Question, phases: Collection[str], where: str) -> tuple[list[Aircraft], Flights]:
    """The aeroplanes of a question that is laid out, and what they fly."""
    base = weighed_and_settled(laid.aircraft, where)
    changed = (apply(base, option.changes, f"/options/{i}/changes") for i, option in enumerate(laid.options))
    aircraft = [base, *changed]
    refuse_loadings(aircraft, laid.loadings)
    return aircraft, flights_of(laid, aircraft, phases)


def without_pairs(one: Run, request: Question, phases: Collection[str], where: str) -> Run:
    """The same without the pairs that show what is linear: shares of many aeroplanes would pay for them."""
    if one.table.shape[1] == 1:
        return one
    laid, _ = lay_out(request, AXES - 1)
    aircraft, flights = _made(laid, phases, where)
    table = linear(one.table.swapaxes(0, 1)).swapaxes(0, 1)
    return replace(one, laid=laid, aircraft=aircraft, flights=flights, table=table)


def evaluated(aircraft: Sequence[Aircraft], flights: Flights, where: str) -> Evaluation:
    """Evaluate aeroplanes of one kind of propulsion; a refusal points into the request.

    Raises
    ------
    Refusal
        As `evaluate`.
    """
    try:
        return evaluate(aircraft, flights)
    except Refusal as refusal:
        raise Refusal(where + refusal.where, refusal.message, refusal.bad) from None


def grouped(aircraft: Sequence[Aircraft]) -> list[list[int]]:
    """Aeroplanes whose engines and propellers are of one kind are evaluated together."""
    groups: dict[tuple[str, str], list[int]] = {}
    for i, one in enumerate(aircraft):
        groups.setdefault((one.propeller.kind, one.engine.aspiration or "natural"), []).append(i)
    return list(groups.values())


def table_of(
    evaluations: Sequence[Evaluation],
    groups: Sequence[Sequence[int]],
    shape: tuple[int, ...],
    wanted: Sequence[str],
) -> tuple[list[str], NDArray[np.float64]]:
    """All measures wanted as one array: measure, spread, aircraft, loading, condition."""
    configurations = list(evaluations[0].stall_speeds) if STALL_SPEEDS in wanted else []
    wanted = [name for name in wanted if name != STALL_SPEEDS]
    wanted += [name for name in _ALWAYS if name not in wanted]
    names = [*wanted, *(f"{STALL_SPEEDS}/{name}" for name in configurations)]
    table = np.full((len(names), *shape), np.nan)
    for evaluation, group in zip(evaluations, groups, strict=True):
        columns = [evaluation.measures.get(name) for name in wanted]
        columns += [evaluation.stall_speeds[name] for name in configurations]
        part = table if len(groups) == 1 else np.full((len(names), shape[0], len(group), *shape[2:]), np.nan)
        for row, column in zip(part, columns, strict=True):
            if column is not None:
                row[...] = column
        if part is not table:
            table[:, :, group] = part
    return names, table
