"""Comparison, and performance as a comparison without options: every measure with its spread, as one array."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition, check_condition
from climbwright.aircraft.changes import Change, Money, apply
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.air_cautions import cautions_of_air
from climbwright.answers.assumptions import assumed_in
from climbwright.answers.cautions import cautions_of
from climbwright.answers.evaluation import Evaluation, Flights, evaluate
from climbwright.answers.flying import AS_USUAL, Flying, measures_spoken_of
from climbwright.answers.measures import STALL_SPEEDS, phases_of
from climbwright.answers.notes import ESTIMATE, EXCEEDED, STALL_POWER_OFF, Assumed, Caution
from climbwright.answers.question import (
    Option,
    Question,
    completed,
    flights_of,
    refuse_loadings,
    strip_elsewhere,
    weighed_and_settled,
)
from climbwright.answers.shares import players_of, shared, subsets_of
from climbwright.answers.single import Single
from climbwright.answers.spread import PERCENTILES, draws_for, lay_out, linear, lopsided, sampled, standard_deviation
from climbwright.answers.stacking import AXES
from climbwright.answers.stall_causes import stall_causes
from climbwright.answers.targets import Chance, Target, chance_of, places_of, share_of
from climbwright.answers.working.aeroplane import Working, work
from climbwright.arrays import middle
from climbwright.refusal import Refusal

__all__ = ["DRAWS", "Answer", "Estimates", "Gain", "OptionAnswer", "Shares", "compare", "perform"]

Array = NDArray[np.float64]

# What an answer needs for itself: cost per gain, and whether a loading can be carried at all
_ALWAYS = ("weight", "power_available", "best_climb_rate")
DRAWS = 4_000  # where every spread is drawn
_DRAWN = 1_000  # for those that are not linear


@dataclass(frozen=True, slots=True)
class Estimates:
    """Values and their standard deviations; nan where a value does not exist, None where nothing is uncertain.

    `percentiles`, along a leading axis, are those of draws, and `without` is the share of draws that have no value;
    None, or nan, where the spread is linear.
    """

    value: Array
    spread: Array | None
    percentiles: Array | None = None
    without: Array | None = None

    def single(self, measure: int) -> Single:
        """A measure of the first aeroplane, loading and condition alone; what is linear has no percentiles."""
        place = measure, 0, 0, 0
        spread = None if self.spread is None else self.spread[place]
        if self.percentiles is None or self.without is None or np.isnan(self.percentiles[(0, *place)]):
            return Single(self.value[place], spread)
        return Single(self.value[place], spread, self.percentiles[(slice(None), *place)], self.without[place])


@dataclass(frozen=True, slots=True)
class Gain:
    """Cost of what an option gains at each loading and condition, nan where it gains nothing."""

    per_climb_rate: Array  # money for each m/s of the best rate of climb
    per_power: Array  # money for each W of available power


@dataclass(frozen=True, slots=True)
class OptionAnswer:
    """An option: broken limits first, and those broken before; cautions, cost, and what it gains for it."""

    name: str
    exceeded: list[str]
    exceeded_before: list[str]
    cautions: list[Caution]
    cost: Money | None
    gain: Gain | None
    shares: "Shares | None" = None


@dataclass(frozen=True, slots=True)
class Shares:
    """What each change bought: its name or its group's, and shares with the axes measure, name, loading, condition."""

    names: list[str]
    estimates: Estimates


@dataclass(frozen=True, slots=True)
class Answer:
    """Measures of the aeroplanes in order: the baseline, then each option.

    `names` are the measures' names, a stall configuration's as ``stall_speeds/NAME``; those in `wanted` are shown.
    `values` have the axes measure, aircraft, loading, condition; `changes` are measured against the baseline and have
    one aircraft fewer. `chances` are those of the targets; `working` are the steps and `causes` why each stall speed
    changed, in place of measures the `CAUSES`, where they were asked for.
    """

    wanted: Collection[str]
    names: list[str]
    loadings: list[str]
    conditions: list[str]
    values: Estimates
    changes: Estimates
    options: list[OptionAnswer]
    cautions: list[Caution]
    assumed: list[Assumed]
    chances: list[Chance]
    causes: Estimates | None = None
    working: Sequence[Working] | None = None


def perform(
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying = AS_USUAL,
    measures: Sequence[str] | None = None,
    where: str = "/aircraft",
    working: bool = False,
    targets: Sequence[Target] = (),
    draws: int | None = None,
) -> Answer:
    """Every measure of one aeroplane for each loading and condition.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it.
    loadings : sequence of Loading
        At least one.
    conditions : sequence of Condition
        At least one.
    flying : Flying
        How it is flown; a phase that it speaks of is answered.
    measures : sequence of str, optional
        Names of the measures wanted, in place of those of the phases spoken of.
    where : str
        JSON Pointer of the aircraft.
    working : bool
        Whether the steps are wanted too.
    targets : sequence of Target
        What measures shall be; the chance of each is told.
    draws : int, optional
        Aeroplanes drawn at random for the spreads; 0 for linear spreads; if not given, some are drawn for the spreads
        that are not linear.

    Returns
    -------
    Answer
        Without options.

    Raises
    ------
    Refusal
        Something is missing, contradicts itself, or lies outside the formulas.
    """
    return compare(aircraft, (), loadings, conditions, flying, measures, where, working, targets=targets, draws=draws)


def compare(
    baseline: Aircraft,
    options: Sequence[Option],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying = AS_USUAL,
    measures: Sequence[str] | None = None,
    where: str = "/baseline",
    working: bool = False,
    sharing: bool = False,
    targets: Sequence[Target] = (),
    draws: int | None = None,
) -> Answer:
    """Every measure before and after each option, for each loading and condition, with what it cost.

    Parameters
    ----------
    baseline : Aircraft
        As its owner described it.
    options : sequence of Option
        Lists of changes.
    loadings : sequence of Loading
        At least one.
    conditions : sequence of Condition
        At least one.
    flying : Flying
        How it is flown; a phase that it speaks of is answered.
    measures : sequence of str, optional
        Names of the measures wanted, in place of those of the phases spoken of.
    where : str
        JSON Pointer of the baseline.
    working : bool
        Whether the steps are wanted too.
    sharing : bool
        Whether the share of each change is wanted too.
    targets : sequence of Target
        What measures shall be; the chance of each is told.
    draws : int, optional
        Aeroplanes drawn at random for the spreads; 0 for linear spreads; if not given, some are drawn for the spreads
        that are not linear.

    Returns
    -------
    Answer
        An option that breaks a limit is answered in full and says so first.

    Raises
    ------
    Refusal
        Something is missing, contradicts itself, or lies outside the formulas.
    """
    for i, condition in enumerate(conditions):
        check_condition(condition, f"/conditions/{i}")
    wanted = [*(measures_spoken_of(flying) if measures is None else measures)]
    wanted += [target.measure for target in targets if target.measure not in wanted]
    phases = phases_of(wanted)
    request, assumed = completed(baseline, options, loadings, conditions, flying, phases, where, sharing)
    asked = draws_for(draws, (1 + len(options)) * len(loadings) * len(conditions)) if draws else 0
    run = _run(request, wanted, phases, where, asked, draws is None)
    how = None if draws is None else asked
    shares: list[Shares | None] = [None] * len(options)
    if sharing:
        sharers = run if how is not None else _without_pairs(run, request, phases, where)
        shares = [_shares(sharers.laid.options[i], sharers, i, wanted, how or 0) for i in range(len(options))]
    values, change = _estimates(run.table, how)
    drawn = _Drawn(run.table if how else None, None, run.names)
    of_spread: list[Caution] = []
    if draws is None and values.spread is not None:
        values, change, drawn, of_spread = _redrawn(request, run, values, change, wanted, where)
    names, aircraft, flights = run.names, run.aircraft, run.flights
    cautions = _cautions(run.evaluations, run.groups, run.table.shape[1:], request)
    burning = any(one.engine.aspiration != "electric" for one in aircraft)
    of_air = [*cautions_of_air(flights.air, conditions, burning), *strip_elsewhere(conditions, flying)]
    return Answer(
        wanted=wanted,
        names=names,
        loadings=[loading.name for loading in loadings],
        conditions=[condition.name for condition in conditions],
        values=values,
        changes=change,
        options=[
            _option(option, f"/options/{i}/changes", cautions[i + 1], cautions[0], names, change, i, shares[i])
            for i, option in enumerate(options)
        ],
        cautions=[ESTIMATE, *cautions[0], *of_air, *of_spread, STALL_POWER_OFF],
        assumed=[*assumed, *assumed_in(baseline, options, loadings, conditions, where, flying.strip, phases)],
        chances=_chances(targets, names, values, drawn, loadings, conditions),
        causes=_causes(run, how) if sharing and options else None,
        working=_worked(run, wanted) if working else None,
    )


@dataclass(frozen=True, slots=True)
class _Run:
    """A question evaluated: laid out, its aeroplanes in groups of one kind of propulsion, and all measures' cases."""

    laid: Question
    aircraft: list[Aircraft]
    flights: Flights
    groups: list[list[int]]
    evaluations: list[Evaluation]
    names: list[str]
    table: Array


def _run(
    request: Question,
    wanted: Sequence[str],
    phases: Collection[str],
    where: str,
    draws: int,
    probes: bool = False,
) -> _Run:
    """Evaluate measures of every aeroplane of a question, with the cases of its spreads."""
    laid, cases = lay_out(request, AXES - 1, draws, probes)
    aircraft, flights = _made(laid, phases, where)
    shape = (cases, len(aircraft), len(laid.loadings), len(laid.conditions))
    groups = _grouped(aircraft)
    evaluations = [_evaluated([aircraft[i] for i in group], flights, where) for group in groups]
    return _Run(laid, aircraft, flights, groups, evaluations, *_table(evaluations, groups, shape, wanted))


def _made(laid: Question, phases: Collection[str], where: str) -> tuple[list[Aircraft], Flights]:
    """The aeroplanes of a question that is laid out, and what they fly."""
    base = weighed_and_settled(laid.aircraft, where)
    changed = (apply(base, option.changes, f"/options/{i}/changes") for i, option in enumerate(laid.options))
    aircraft = [base, *changed]
    refuse_loadings(aircraft, laid.loadings)
    return aircraft, flights_of(laid, aircraft, phases)


def _without_pairs(run: _Run, request: Question, phases: Collection[str], where: str) -> _Run:
    """The same without the pairs that show what is linear: shares of many aeroplanes would pay for them."""
    if run.table.shape[1] == 1:
        return run
    laid, _ = lay_out(request, AXES - 1)
    aircraft, flights = _made(laid, phases, where)
    table = linear(run.table.swapaxes(0, 1)).swapaxes(0, 1)
    return replace(run, laid=laid, aircraft=aircraft, flights=flights, table=table)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """Cases of draws of some measures by name, and where they stand in for linear spreads; everywhere where None."""

    table: Array | None
    where: NDArray[np.bool_] | None
    names: list[str]

    def of(self, measure: str, k: int, i: int, j: int) -> Array | None:
        """The draws of a measure at an aeroplane, loading and condition; None where its spread is linear."""
        if self.table is None or measure not in self.names:
            return None
        row = self.names.index(measure)
        if self.where is not None and not self.where[row, k, i, j]:
            return None
        return self.table[row, 1:, k, i, j]


def _redrawn(
    request: Question, run: _Run, values: Estimates, change: Estimates, wanted: Collection[str], where: str
) -> tuple[Estimates, Estimates, _Drawn, list[Caution]]:
    """Estimates with draws in place of the spreads that are not linear, and what is to be said of it."""
    rows = run.table.swapaxes(0, 1)
    bent = lopsided(rows), lopsided(rows[:, :, 1:] - rows[:, :, :1])
    places = [
        k
        for k, name in enumerate(run.names)
        if name.partition("/")[0] in wanted and (bent[0][k].any() or bent[1][k].any())
    ]
    nothing = _Drawn(None, None, [])
    if not places:
        return values, change, nothing, []
    names = [run.names[k] for k in places]
    draws = draws_for(_DRAWN, math.prod(run.table.shape[2:]))
    measures = list(dict.fromkeys(name.partition("/")[0] for name in names))
    again = _run(request, measures, phases_of(measures), where, draws)
    table = again.table[[again.names.index(name) for name in names]]
    both = [
        _merged(before, after, here, places)
        for before, after, here in zip((values, change), _estimates(table, draws), bent, strict=True)
    ]
    told = ", ".join(name.replace("_", " ").replace("/", ", ") for name in names)
    return both[0], both[1], _Drawn(table, bent[0][places], names), [Caution("spread-drawn", "", {"names": told})]


def _merged(estimates: Estimates, drawn: Estimates, where: NDArray[np.bool_], places: Sequence[int]) -> Estimates:
    """Linear estimates with drawn ones of the measures at these places, where those are lopsided."""
    if estimates.spread is None or drawn.spread is None or drawn.percentiles is None or drawn.without is None:
        raise AssertionError("both have spreads")
    spread, shape, here = estimates.spread.copy(), estimates.value.shape, where[places]
    percentiles, without = np.full((len(PERCENTILES), *shape), np.nan), np.full(shape, np.nan)
    spread[places] = np.where(here, drawn.spread, spread[places])
    percentiles[:, places] = np.where(here, drawn.percentiles, np.nan)
    without[places] = np.where(here, drawn.without, np.nan)
    return Estimates(estimates.value, spread, percentiles, without)


def _worked(run: _Run, wanted: Collection[str]) -> list[Working]:
    """The steps of an evaluated question."""
    changes = [option.changes for option in run.laid.options]
    spread = run.table.shape[1] > 1
    return work(run.evaluations, run.groups, run.flights, run.aircraft, changes, run.laid.conditions, wanted, spread)


def _cautions(
    evaluations: Sequence[Evaluation], groups: Sequence[Sequence[int]], shape: tuple[int, ...], request: Question
) -> list[list[Caution]]:
    """Cautions of each aeroplane, whatever group it was evaluated in."""
    cautions: list[list[Caution]] = [[] for _ in range(shape[1])]
    conditions = [condition.name for condition in request.conditions]
    for group, evaluation in zip(groups, evaluations, strict=True):
        found = cautions_of(evaluation, (len(group), shape[2], shape[3]), request.loadings, conditions)
        for i, of_one in zip(group, found, strict=True):
            cautions[i] = of_one
    return cautions


def _evaluated(aircraft: Sequence[Aircraft], flights: Flights, where: str) -> Evaluation:
    try:
        return evaluate(aircraft, flights)
    except Refusal as refusal:
        raise Refusal(where + refusal.where, refusal.message) from None


def _grouped(aircraft: Sequence[Aircraft]) -> list[list[int]]:
    """Aeroplanes whose engines and propellers are of one kind are evaluated together."""
    groups: dict[tuple[str, str], list[int]] = {}
    for i, one in enumerate(aircraft):
        groups.setdefault((one.propeller.kind, one.engine.aspiration or "natural"), []).append(i)
    return list(groups.values())


def _table(
    evaluations: Sequence[Evaluation],
    groups: Sequence[Sequence[int]],
    shape: tuple[int, ...],
    wanted: Sequence[str],
) -> tuple[list[str], Array]:
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


def _chances(
    targets: Sequence[Target],
    names: list[str],
    values: Estimates,
    drawn: _Drawn,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
) -> list[Chance]:
    """The chance of every target, of each aeroplane in each scene that it speaks of; counted where some are drawn."""
    rows, columns = [loading.name for loading in loadings], [condition.name for condition in conditions]
    found = []
    for t, target in enumerate(targets):
        measure = names.index(target.measure)
        for i, j in places_of(target, rows, columns, f"/targets/{t}"):
            for k in range(values.value.shape[1]):
                expected = float(values.value[measure, k, i, j])
                spread = None if values.spread is None else float(values.spread[measure, k, i, j])
                chance = chance_of(target, expected, spread)
                draws = drawn.of(target.measure, k, i, j)
                if chance is not None and draws is not None:
                    chance = share_of(target, draws)
                found.append(Chance(target, k, rows[i], columns[j], expected, spread, chance))
    return found


def _shares(option: Option, run: _Run, place: int, wanted: Sequence[str], draws: int | None) -> Shares | None:
    """What each change of an option bought; None where it has no changes."""
    where, table = f"/options/{place}/changes", run.table
    players = players_of(option.changes, where)
    if not players:
        return None
    between = subsets_of(run.aircraft[0], option.changes, option.alone, list(players.values()), where)
    none, everything = table[:, :, :1], table[:, :, place + 1 : place + 2]
    some = table[:, :, :0]
    if between:
        groups = _grouped(between)
        evaluations = [_evaluated([between[i] for i in group], run.flights, where) for group in groups]
        some = _table(evaluations, groups, (table.shape[1], len(between), *table.shape[3:]), wanted)[1]
    parts = shared(none, some, everything, len(players))
    return Shares(list(players), _estimated(parts.swapaxes(0, 1), draws))


def _causes(run: _Run, draws: int | None) -> Estimates:
    """Why each stall speed changed."""
    return _estimated(stall_causes(run.evaluations, run.groups, run.table.shape[1:]), draws)


def _estimated(rows: Array, draws: int | None) -> Estimates:
    """Central values and spreads of cases along the first axis: draws, or linear ones, which pairs follow if None."""
    if len(rows) == 1:
        return Estimates(rows[0], None)
    if draws:
        return Estimates(rows[0], *sampled(rows))
    return Estimates(rows[0], standard_deviation(linear(rows) if draws is None else rows))


def _estimates(table: Array, draws: int | None) -> tuple[Estimates, Estimates]:
    """Central values and spreads, of the measures and of their change against the baseline."""
    rows = table.swapaxes(0, 1)
    return _estimated(rows, draws), _estimated(rows[:, :, 1:] - rows[:, :, :1], draws)


def _option(
    option: Option,
    where: str,
    cautions: list[Caution],
    before: list[Caution],
    names: list[str],
    changes: Estimates,
    place: int,
    shares: Shares | None,
) -> OptionAnswer:
    codes = {caution.code for caution in cautions}
    cost = total_cost(option.changes, where)
    gain = None
    if cost is not None:
        amount = float(middle(cost.amount))
        gain = Gain(
            _per(amount, _sure(changes, names.index("best_climb_rate"), place)),
            _per(amount, _sure(changes, names.index("power_available"), place)),
        )
    exceeded = [code for code in EXCEEDED if code in codes]
    already = {(caution.code, caution.where) for caution in before}
    places = [(caution.code, caution.where) for caution in cautions]
    known = [code for code in exceeded if all(place in already for place in places if place[0] == code)]
    return OptionAnswer(option.name, exceeded, known, cautions, cost, gain, shares)


def _sure(changes: Estimates, measure: int, option: int) -> Array:
    """Changes of a measure by an option; nan where one is smaller than its spread."""
    value: Array = changes.value[measure, option]
    if changes.spread is None:
        return value
    with np.errstate(invalid="ignore"):
        return np.where(np.abs(value) > changes.spread[measure, option], value, np.nan)


def _per(amount: float, gained: Array) -> Array:
    """Cost of each unit of a gain; nan where nothing is gained."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(gained > 0.0, amount / gained, np.nan)


def total_cost(changes: Sequence[Change], where: str) -> Money | None:
    """Sum of the costs of changes; None where no change says one.

    Raises
    ------
    Refusal
        Two currencies.
    """
    costs = [(change.cost, f"{where}/{i}") for i, change in enumerate(changes) if change.cost is not None]
    if not costs:
        return None
    currency = costs[0][0].currency
    for cost, here in costs:
        if cost.currency != currency:
            raise Refusal(f"{here}/cost", f"costs of one option must be in one currency: send {currency}")
    return Money(sum(float(middle(cost.amount)) for cost, _ in costs), currency)
