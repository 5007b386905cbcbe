"""Comparison, and performance as a comparison without options: every measure with its spread, as one array."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition, check_condition
from climbwright.aircraft.changes import Change, Money
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.air_cautions import cautions_of_air
from climbwright.answers.assumptions import assumed_in
from climbwright.answers.cautions import cautions_of
from climbwright.answers.estimates import Drawn, Estimates, estimated, estimates_of, redrawn
from climbwright.answers.evaluation import Evaluation
from climbwright.answers.flying import AS_USUAL, Flying, measures_spoken_of
from climbwright.answers.measures import phases_of
from climbwright.answers.notes import ESTIMATE, EXCEEDED, STALL_POWER_OFF, Assumed, Caution
from climbwright.answers.question import Option, Question, completed, strip_elsewhere
from climbwright.answers.run import Run, evaluated, grouped, run, table_of, without_pairs
from climbwright.answers.shares import players_of, refuse_too_many, shared, subsets_of
from climbwright.answers.spread import draws_for
from climbwright.answers.stall_causes import stall_causes
from climbwright.answers.targets import Chance, Target, chance_of, places_of, share_of
from climbwright.answers.work import WRITTEN, ask_for
from climbwright.answers.working.aeroplane import Working, work
from climbwright.arrays import middle
from climbwright.refusal import Refusal

__all__ = ["Answer", "Gain", "OptionAnswer", "Shares", "compare", "perform"]

Array = NDArray[np.float64]


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
    scenes, aeroplanes = len(loadings) * len(conditions), 1 + len(options)
    if sharing:
        players = (len(players_of(option.changes, f"/options/{i}/changes")) for i, option in enumerate(options))
        aeroplanes = sum(2**count for count in players)
        refuse_too_many(aeroplanes, scenes)
    ask_for(WRITTEN * aeroplanes * scenes * len(wanted))
    asked = draws_for(draws, aeroplanes * scenes) if draws else 0
    one = run(request, wanted, phases, where, asked, draws is None)
    how = None if draws is None else asked
    shares: list[Shares | None] = [None] * len(options)
    if sharing:
        sharers = one if how is not None else without_pairs(one, request, phases, where)
        shares = [_shares(sharers.laid.options[i], sharers, i, wanted, how or 0) for i in range(len(options))]
    values, change = estimates_of(one.table, one.names, how)
    drawn = Drawn(one.table if how else None, None, one.names)
    of_spread: list[Caution] = []
    if draws is None and values.spread is not None:
        values, change, drawn, of_spread = redrawn(request, one, values, change, wanted, where)
    names, aircraft, flights = one.names, one.aircraft, one.flights
    cautions = _cautions(one.evaluations, one.groups, one.table.shape[1:], request)
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
        causes=_causes(one, how) if sharing and options else None,
        working=_worked(one, wanted) if working else None,
    )


def _worked(one: Run, wanted: Collection[str]) -> list[Working]:
    """The steps of an evaluated question."""
    changes = [option.changes for option in one.laid.options]
    spread = one.table.shape[1] > 1
    return work(one.evaluations, one.groups, one.flights, one.aircraft, changes, one.laid.conditions, wanted, spread)


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


def _chances(
    targets: Sequence[Target],
    names: list[str],
    values: Estimates,
    drawn: Drawn,
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
                draws = drawn.of(target.measure, k, i, j)
                if draws is None:
                    chance = chance_of(target, expected, spread)
                else:
                    chance = None if math.isnan(expected) else share_of(target, draws)
                found.append(Chance(target, k, rows[i], columns[j], expected, spread, chance))
    return found


def _shares(option: Option, one: Run, place: int, wanted: Sequence[str], draws: int | None) -> Shares | None:
    """What each change of an option bought; None where it has no changes."""
    where, table = f"/options/{place}/changes", one.table
    players = players_of(option.changes, where)
    if not players:
        return None
    between = subsets_of(one.aircraft[0], option.changes, option.alone, list(players.values()), where)
    none, everything = table[:, :, :1], table[:, :, place + 1 : place + 2]
    some = table[:, :, :0]
    if between:
        ask_for(table.shape[1] * len(between) * math.prod(table.shape[3:]) * len(wanted))
        groups = grouped(between)
        evaluations = [evaluated([between[i] for i in group], one.flights, where) for group in groups]
        some = table_of(evaluations, groups, (table.shape[1], len(between), *table.shape[3:]), wanted)[1]
    parts = shared(none, some, everything, len(players))
    return Shares(list(players), estimated(parts.swapaxes(0, 1), draws))


def _causes(one: Run, draws: int | None) -> Estimates:
    """Why each stall speed changed."""
    return estimated(stall_causes(one.evaluations, one.groups, one.table.shape[1:]), draws)


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
