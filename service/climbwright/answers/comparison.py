"""Comparison, and performance as a comparison without options: every measure with its spread, as one array."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition, air_of, check_condition, refuse_beyond
from climbwright.aircraft.balance import weigh
from climbwright.aircraft.changes import Change, Money, apply
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading, misloaded
from climbwright.aircraft.propulsion import settled
from climbwright.aircraft.starting_values import StartingValue, complete, complete_changes
from climbwright.answers.assumptions import assumed_in
from climbwright.answers.cautions import ESTIMATE, STALL_POWER_OFF, cautions_of
from climbwright.answers.evaluation import Evaluation, Flights, evaluate
from climbwright.answers.measures import MEASURES
from climbwright.answers.notes import EXCEEDED, Assumed, Caution, assumed_start
from climbwright.answers.spread import lay_out, standard_deviation
from climbwright.answers.stacking import AXES, stack
from climbwright.arrays import Number, middle
from climbwright.refusal import Refusal, pointer_part, refuse_where

__all__ = ["Answer", "Estimates", "Gain", "Option", "OptionAnswer", "compare", "perform"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Option:
    """A named list of changes."""

    name: str
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class Estimates:
    """Values and their standard deviations; nan where a value does not exist, None where nothing is uncertain."""

    value: Array
    spread: Array | None


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


@dataclass(frozen=True, slots=True)
class Answer:
    """Measures of the aeroplanes in order: the baseline, then each option.

    `names` are the measures' names, a stall configuration's as ``stall_speeds/NAME``. `values` have the axes measure,
    aircraft, loading, condition; `changes` are measured against the baseline and have one aircraft fewer.
    """

    names: list[str]
    loadings: list[str]
    conditions: list[str]
    values: Estimates
    changes: Estimates
    options: list[OptionAnswer]
    cautions: list[Caution]
    assumed: list[Assumed]


@dataclass(frozen=True, slots=True)
class _Request:
    aircraft: Aircraft
    options: tuple[Option, ...]
    loadings: tuple[Loading, ...]
    conditions: tuple[Condition, ...]
    climb_speed: Number


def perform(
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    climb_speed: Number = None,
    where: str = "/aircraft",
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
    climb_speed : float or Measured, optional
        Calibrated airspeed of `climb_rate_at_speed`. [m/s]
    where : str
        JSON Pointer of the aircraft.

    Returns
    -------
    Answer
        Without options.

    Raises
    ------
    Refusal
        Something is missing, contradicts itself, or lies outside the formulas.
    """
    return compare(aircraft, (), loadings, conditions, climb_speed, where)


def compare(
    baseline: Aircraft,
    options: Sequence[Option],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    climb_speed: Number = None,
    where: str = "/baseline",
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
    climb_speed : float or Measured, optional
        Calibrated airspeed of `climb_rate_at_speed`. [m/s]
    where : str
        JSON Pointer of the baseline.

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
    request, starts = _completed(baseline, options, loadings, conditions, climb_speed, where)
    laid, cases = lay_out(request, AXES - 1)

    base = _settled(laid.aircraft, where)
    changed = (apply(base, option.changes, f"/options/{i}/changes") for i, option in enumerate(laid.options))
    aircraft = [base, *changed]
    _refuse_loadings(aircraft, laid.loadings)
    flights = _flights(laid, aircraft)
    shape = (cases, len(aircraft), len(loadings), len(conditions))
    groups = _grouped(aircraft)
    evaluations = [_evaluated([aircraft[i] for i in group], flights, where) for group in groups]

    names, table = _table(evaluations, groups, shape)
    values, change = _estimates(table)
    cautions = _cautions(evaluations, groups, shape, request)
    return Answer(
        names=names,
        loadings=[loading.name for loading in loadings],
        conditions=[condition.name for condition in conditions],
        values=values,
        changes=change,
        options=[
            _option(option, f"/options/{i}/changes", cautions[i + 1], cautions[0], names, _sure(change, i))
            for i, option in enumerate(options)
        ],
        cautions=[ESTIMATE, *cautions[0], STALL_POWER_OFF],
        assumed=[*map(assumed_start, starts), *assumed_in(baseline, options, loadings, conditions, where)],
    )


def _completed(
    baseline: Aircraft,
    options: Sequence[Option],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    climb_speed: Number,
    where: str,
) -> tuple[_Request, list[StartingValue]]:
    """The question without gaps, and the starting values that filled them."""
    completed, starts = complete(baseline, where)
    planned = []
    for i, option in enumerate(options):
        changes, more = complete_changes(option.changes, completed, f"/options/{i}/changes")
        planned.append(replace(option, changes=changes))
        starts += more
    return _Request(completed, tuple(planned), tuple(loadings), tuple(conditions), climb_speed), starts


def _cautions(
    evaluations: Sequence[Evaluation], groups: Sequence[Sequence[int]], shape: tuple[int, ...], request: _Request
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


def _settled(aircraft: Aircraft, where: str) -> Aircraft:
    """Weighed and with its propeller placed: what the scales and the pitch class say, as numbers."""
    propeller = settled(aircraft.propeller, aircraft.engine, aircraft.drag)
    if not aircraft.scales:
        return replace(aircraft, propeller=propeller)
    empty = weigh(aircraft.scales)
    refuse_where(np.less_equal(empty.mass, 0.0), f"{where}/scales", "the scales carry nothing: send what they read")
    return replace(aircraft, propeller=propeller, empty=empty)


def _flights(request: _Request, aircraft: Sequence[Aircraft]) -> Flights:
    airs = [air_of(condition, f"/conditions/{i}") for i, condition in enumerate(request.conditions)]
    air = stack(airs, axis=3)
    refuse_beyond(air, request.conditions, "/conditions/{}")
    winds = [0.0 if condition.headwind is None else condition.headwind for condition in request.conditions]
    return Flights(
        loadings=[loading.stations for loading in request.loadings],
        stations=list(dict.fromkeys(station.name for one in aircraft for station in one.stations)),
        air=air,
        headwind=stack(winds, axis=3),
        climb_speed=request.climb_speed,
    )


def _grouped(aircraft: Sequence[Aircraft]) -> list[list[int]]:
    """Aeroplanes whose propellers are of one kind are evaluated together."""
    groups: dict[str, list[int]] = {}
    for i, one in enumerate(aircraft):
        groups.setdefault(one.propeller.kind, []).append(i)
    return list(groups.values())


def _table(
    evaluations: Sequence[Evaluation], groups: Sequence[Sequence[int]], shape: tuple[int, ...]
) -> tuple[list[str], Array]:
    """All measures as one array: measure, spread, aircraft, loading, condition."""
    wanted = [name for name in MEASURES if name != "climb_rate_at_speed" or name in evaluations[0].measures]
    configurations = list(evaluations[0].stall_speeds)
    names = [*wanted, *(f"stall_speeds/{name}" for name in configurations)]
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


def _estimates(table: Array) -> tuple[Estimates, Estimates]:
    """Central values and spreads, of the measures and of their change against the baseline."""
    rows = np.moveaxis(table, 1, 0)
    change = rows[:, :, 1:] - rows[:, :, :1]
    if len(rows) == 1:
        return Estimates(rows[0], None), Estimates(change[0], None)
    return (
        Estimates(rows[0], standard_deviation(rows)),
        Estimates(change[0], standard_deviation(change)),
    )


def _refuse_loadings(aircraft: Sequence[Aircraft], loadings: Sequence[Loading]) -> None:
    """A station that no aeroplane has, one that is asked to hold a volume of what has no density, or too much."""
    tables = [{station.name: station for station in one.stations} for one in aircraft]
    for i, loading in enumerate(loadings):
        for name, amount in loading.stations.items():
            stations = [table[name] for table in tables if name in table]
            problem = misloaded(name, amount, stations)
            if problem is None:
                continue
            if not stations:
                known = ", ".join(dict.fromkeys(station for table in tables for station in table))
                problem = f"{problem}: the stations are {known or 'none'}"
            raise Refusal(f"/loadings/{i}/stations/{pointer_part(name)}", problem)


def _option(
    option: Option, where: str, cautions: list[Caution], before: list[Caution], names: list[str], change: Array
) -> OptionAnswer:
    codes = {caution.code for caution in cautions}
    cost = total_cost(option.changes, where)
    gain = None
    if cost is not None:
        amount = float(middle(cost.amount))
        gain = Gain(
            _per(amount, change[names.index("best_climb_rate")]),
            _per(amount, change[names.index("power_available")]),
        )
    exceeded = [code for code in EXCEEDED if code in codes]
    already = {(caution.code, caution.where) for caution in before}
    places = [(caution.code, caution.where) for caution in cautions]
    known = [code for code in exceeded if all(place in already for place in places if place[0] == code)]
    return OptionAnswer(option.name, exceeded, known, cautions, cost, gain)


def _sure(changes: Estimates, option: int) -> Array:
    """Changes of an option; nan where one is smaller than its spread."""
    value = changes.value[:, option]
    if changes.spread is None:
        return value
    with np.errstate(invalid="ignore"):
        return np.where(np.abs(value) > changes.spread[:, option], value, np.nan)


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
