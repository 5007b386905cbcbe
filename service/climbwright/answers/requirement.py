"""The question turned round: the value of one unknown at which a measure just meets its target.

The measure is evaluated for a whole row of values of the unknown at once, along the axis that spreads use elsewhere.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Mass, Stall, Station
from climbwright.aircraft.loading import Amount, Loading
from climbwright.aircraft.starting_values import complete
from climbwright.answers.comparison import Answer, Question, flights_of, perform, weighed_and_settled
from climbwright.answers.evaluation import evaluate
from climbwright.answers.flying import Flying, complete_flying
from climbwright.answers.measures import MEASURES, phases_of
from climbwright.answers.spread import central
from climbwright.arrays import Floats, Number, middle
from climbwright.refusal import Refusal
from climbwright.roots import find_root

__all__ = ["UNKNOWNS", "RequirementAnswer", "Target", "Unknown", "UnknownField", "require"]

_GRID = 33  # values of the unknown that are looked at side by side
_CLOSE = 1e-10  # of the unknown


@dataclass(frozen=True, slots=True)
class UnknownField:
    """Kind of an unknown, and the range that is searched where the request gives none, SI."""

    kind: str
    least: float
    greatest: float


UNKNOWNS = {
    "power": UnknownField("power", 7.5e3, 370e3),
    "weight": UnknownField("mass", 100.0, 2000.0),
    "fuel": UnknownField("volume", 0.0, 0.3),
    "payload": UnknownField("mass", 0.0, 400.0),
    "ballast_weight": UnknownField("mass", 0.0, 100.0),
    "ballast_arm": UnknownField("length", -10.0, 10.0),
    "item_arm": UnknownField("length", -10.0, 10.0),
    "parasite_area": UnknownField("area", 0.05, 3.0),
    "lift_gain": UnknownField("ratio", -0.2, 1.0),
    "density_altitude": UnknownField("altitude", -500.0, 9000.0),
    "runway_length": UnknownField("runway distance", 20.0, 5000.0),
    "temperature": UnknownField("temperature", 243.15, 328.15),
}


@dataclass(frozen=True, slots=True)
class Unknown:
    """What is asked for: its field and range; the station, the item, or the other number of a ballast that it needs."""

    field: str
    least: float | None = None
    greatest: float | None = None
    station: str | None = None
    item: str | None = None
    arm: Number = None
    mass: Number = None


@dataclass(frozen=True, slots=True)
class Target:
    """A measure, whether it shall be `at_least`, `at_most` or `equals` a value, and in which loading and condition."""

    measure: str
    goal: str
    value: float
    loading: str | None = None
    condition: str | None = None


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

    Returns
    -------
    RequirementAnswer
        Where several values meet it, the one nearest to what the aeroplane has now, the others beside it.

    Raises
    ------
    Refusal
        No value of the range meets it: the message has the nearest that can be had.
    """
    i, j = _place(loadings, target.loading, "loading"), _place(conditions, target.condition, "condition")
    try:
        found = _required(aircraft, loadings[i], conditions[j], flying, unknown, target)
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
    aircraft: Aircraft, loading: Loading, condition: Condition, flying: Flying, unknown: Unknown, target: Target
) -> RequirementAnswer:
    asked = Question(aircraft, (), (loading,), (condition,), flying)
    put = _putting(unknown, asked)
    least, greatest = _range(unknown, asked)
    at = _evaluator(asked, put, target.measure, greatest)
    grid = np.linspace(least, greatest, _GRID)
    gaps = at(grid) - target.value
    roots = _roots(at, grid, gaps, target.value)
    through = False
    if not roots:
        roots, through = [_met_throughout(at, grid, gaps, target, unknown)], True
    now = _now(unknown, asked)
    roots.sort(key=lambda value: abs(value - now) if now is not None else value)
    return _answered(asked, put, at, roots, target, greatest - least, through)


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
    put: Callable[[Question, Any], Question],
    at: Callable[[Floats], Floats],
    roots: list[float],
    target: Target,
    width: float,
    through: bool,
) -> RequirementAnswer:
    """The whole answer at the value found, with the slope there and the spread that the measure's own spread makes."""
    value = roots[0]
    step = 1e-4 * width
    below, above = at(np.array([value - step, value + step])).tolist()
    slope = (above - below) / (2.0 * step)
    there = put(asked, value)
    answer = perform(there.aircraft, there.loadings, there.conditions, there.flying, [target.measure])
    spread = None
    if answer.values.spread is not None and slope and np.isfinite(slope):
        spread = abs(float(answer.values.spread[answer.names.index(target.measure), 0, 0, 0]) / slope)
    return RequirementAnswer(value, spread, roots[1:], through, slope, answer)


def _range(unknown: Unknown, asked: Question) -> tuple[float, float]:
    """Where to look: as asked, or usual for such an unknown and within the station's capacity."""
    usual = UNKNOWNS[unknown.field]
    greatest = usual.greatest if unknown.greatest is None else unknown.greatest
    if unknown.greatest is None and unknown.field in ("fuel", "payload"):
        station = _station(unknown, asked.aircraft)
        if station.capacity is not None:
            most = middle(station.capacity)
            greatest = most / middle(station.density) if unknown.field == "fuel" else most
    least = usual.least if unknown.least is None else unknown.least
    if least >= greatest:
        raise Refusal("/unknown/least", "the least must lie below the greatest: send a range")
    return least, greatest


def _evaluator(
    asked: Question, put: Callable[[Question, Any], Question], measure: str, some: float
) -> Callable[[Floats], Floats]:
    """The measure as a function of a row of values of the unknown, without spreads."""
    phases = phases_of([measure])
    # what the unknown stands for needs no starting value, so that it is put in before the gaps are filled
    known = put(asked, np.full((1, 1, 1, 1), some))
    completed, _ = complete(known.aircraft, "/aircraft", phases)
    flown, _ = complete_flying(known.flying, phases, completed)
    sure: Question = central(replace(known, aircraft=completed, flying=flown))

    def at(values: Floats) -> Floats:
        row = np.asarray(values, dtype=float)
        there = put(sure, row.reshape(-1, 1, 1, 1))
        one = weighed_and_settled(there.aircraft, "/aircraft")
        flights = replace(flights_of(there, [one], phases), only=measure)
        found = evaluate([one], flights).measures.get(measure, np.nan)
        return np.broadcast_to(found, (row.size, 1, 1, 1)).reshape(row.shape)

    return at


def _roots(at: Callable[[Floats], Floats], grid: Floats, gaps: Floats, value: float) -> list[float]:
    """Every crossing of the target that the grid shows, one that hides beside a gap in the measure too."""
    edges = np.isfinite(gaps[:-1]) != np.isfinite(gaps[1:])
    if edges.any():
        finer = [np.linspace(grid[i], grid[i + 1], _GRID)[1:-1] for i in np.flatnonzero(edges)]
        more = np.concatenate(finer)
        grid, order = np.unique(np.concatenate([grid, more]), return_index=True)
        gaps = np.concatenate([gaps, at(more) - value])[order]
    signs = np.sign(gaps)
    crossing = np.flatnonzero((signs[:-1] * signs[1:] < 0.0) | (signs[:-1] == 0.0))
    exact = [float(grid[-1])] if signs[-1] == 0.0 else []
    return [*(_root(at, float(grid[i]), float(grid[i + 1]), value) for i in crossing), *exact]


def _root(at: Callable[[Floats], Floats], low: float, high: float, value: float) -> float:
    """One crossing: a second grid within the first one's step, and a polynomial through it read backwards.

    Two evaluations do where the measure is smooth; where the check shows that it is not, a bracketed search follows.
    """
    grid = np.linspace(low, high, _GRID)
    gaps = at(grid) - value
    i = int(np.flatnonzero(np.sign(gaps[:-1]) * np.sign(gaps[1:]) <= 0.0)[0])
    if gaps[i] == 0.0:
        return float(grid[i])
    near = slice(max(i - 2, 0), max(i - 2, 0) + 6)
    guess = _inverse(gaps[near], grid[near])
    if grid[i] < guess < grid[i + 1]:
        scale = np.abs(gaps[i + 1] - gaps[i])
        if abs(float(at(np.array([guess]))[0]) - value) <= 1e-9 * max(abs(value), scale):
            return guess
    return float(find_root(lambda x: at(np.atleast_1d(x)).reshape(np.shape(x)) - value, grid[i], grid[i + 1], _CLOSE))


def _inverse(gaps: Floats, values: Floats) -> float:
    """Where a gap is nothing, by Neville's scheme through points read backwards."""
    table = values.copy()
    with np.errstate(divide="ignore", invalid="ignore"):
        for k in range(1, table.size):
            low, high = gaps[:-k], gaps[k:]
            table = (high * table[:-1] - low * table[1:]) / (high - low)
    return float(table[0])


def _met_throughout(
    at: Callable[[Floats], Floats], grid: Floats, gaps: Floats, target: Target, unknown: Unknown
) -> float:
    """The end of the range that meets the target most narrowly, where all of it does; else a refusal."""
    exists = np.isfinite(gaps)
    kind = MEASURES[target.measure].kind
    if not exists.any():
        raise Refusal(
            "/unknown", f"the measure {target.measure} does not exist for any value of the range: send another"
        )
    sign = {"at_least": 1.0, "at_most": -1.0}.get(target.goal)
    if sign is not None and exists.all() and np.all(sign * gaps > 0.0):
        return float(grid[int(np.argmin(np.abs(gaps)))])
    i = int(np.nanargmin(np.abs(gaps)))
    finer = np.linspace(grid[max(i - 1, 0)], grid[min(i + 1, grid.size - 1)], _GRID)
    finer_gaps = at(finer) - target.value
    j = int(np.nanargmin(np.abs(finer_gaps)))
    raise Impossible(
        float(finer[j]), UNKNOWNS[unknown.field].kind, float(finer_gaps[j] + target.value), kind, target.measure
    )


class Impossible(Refusal):
    """No value of the range meets the target; the nearest that can be had, SI, for words in the reader's units."""

    def __init__(self, value: float, kind: str, reached: float, measure_kind: str, measure: str) -> None:
        super().__init__("/target", f"no value in the range meets the target for {measure}")
        self.value, self.kind, self.reached, self.measure_kind, self.measure = (
            value,
            kind,
            reached,
            measure_kind,
            measure,
        )


def _station(unknown: Unknown, aircraft: Aircraft) -> Station:
    """The station that fuel or payload goes into: as named, or the only one that it can be."""
    tanks = [station for station in aircraft.stations if (station.density is not None) == (unknown.field == "fuel")]
    names = [station.name for station in tanks]
    if unknown.station is None and len(tanks) == 1:
        return tanks[0]
    if unknown.station not in names:
        what = "with a density" if unknown.field == "fuel" else "without a density"
        raise Refusal("/unknown/station", f"name a station {what}: {', '.join(names) or 'there is none'}")
    return tanks[names.index(unknown.station)]


def _now(unknown: Unknown, asked: Question) -> float | None:
    """What the aeroplane has now, where it says so."""
    found = {
        "power": asked.aircraft.engine.power,
        "parasite_area": asked.aircraft.drag.parasite_area,
        "lift_gain": 0.0,
        "runway_length": None if asked.flying.strip is None else asked.flying.strip.length,
        "temperature": asked.conditions[0].oat,
        "density_altitude": asked.conditions[0].density_altitude,
    }.get(unknown.field)
    return None if found is None else middle(found)


def _putting(unknown: Unknown, asked: Question) -> Callable[[Question, Any], Question]:
    """How a value of the unknown is put into the question."""
    field = unknown.field
    if field in ("fuel", "payload"):
        return _in_station(unknown, _station(unknown, asked.aircraft))
    if field in ("ballast_weight", "ballast_arm"):
        return _ballast(unknown)
    if field == "item_arm":
        return _item(unknown, asked.aircraft)
    if field == "weight":
        return _weight(asked)
    if field in ("density_altitude", "temperature"):
        return _air(field, asked.conditions[0])
    if field == "runway_length":
        if asked.flying.strip is None:
            raise Refusal("/strip", "a runway length is asked for a strip: send strip, without its length")
        return _strip_of
    return _number_of_aircraft(field)


def _number_of_aircraft(field: str) -> Callable[[Question, Any], Question]:
    def put(question: Question, x: Any) -> Question:
        one = question.aircraft
        if field == "power":
            one = replace(one, engine=replace(one.engine, power=x))
        elif field == "parasite_area":
            one = replace(one, drag=replace(one.drag, parasite_area=x))
        else:
            one = replace(one, stalls=tuple(_lifted(stall, x) for stall in one.stalls))
        return replace(question, aircraft=one)

    return put


def _lifted(stall: Stall, gain: Any) -> Stall:
    return replace(stall, lift_gain=np.multiply(np.add(1.0, stall.lift_gain), np.add(1.0, gain)) - 1.0)


def _in_station(unknown: Unknown, station: Station) -> Callable[[Question, Any], Question]:
    def put(question: Question, x: Any) -> Question:
        (loading,) = question.loadings
        amount = Amount(volume=x) if unknown.field == "fuel" else Amount(mass=x)
        return replace(question, loadings=(replace(loading, stations={**loading.stations, station.name: amount}),))

    return put


def _with_item(question: Question, item: Mass) -> Question:
    return replace(question, aircraft=replace(question.aircraft, items=(*question.aircraft.items, item)))


def _ballast(unknown: Unknown) -> Callable[[Question, Any], Question]:
    other = unknown.arm if unknown.field == "ballast_weight" else unknown.mass
    if other is None:
        name = "arm" if unknown.field == "ballast_weight" else "weight"
        raise Refusal(f"/unknown/{name}", f"send the {name} of the ballast, whose other number is asked for")
    if unknown.field == "ballast_weight":
        return lambda question, x: _with_item(question, Mass(x, other, "ballast"))
    return lambda question, x: _with_item(question, Mass(other, x, "ballast"))


def _item(unknown: Unknown, aircraft: Aircraft) -> Callable[[Question, Any], Question]:
    names = [item.name for item in aircraft.items]
    if unknown.item not in names:
        raise Refusal("/unknown/item", f"name one of the aircraft's items: {', '.join(names) or 'there are none'}")
    place = names.index(unknown.item)

    def put(question: Question, x: Any) -> Question:
        items = list(question.aircraft.items)
        items[place] = replace(items[place], arm=x)
        return replace(question, aircraft=replace(question.aircraft, items=tuple(items)))

    return put


def _weight(asked: Question) -> Callable[[Question, Any], Question]:
    """More or less weight at the CG as loaded."""
    now = perform(asked.aircraft, asked.loadings, asked.conditions, measures=["weight", "cg_arm"])
    mass, arm = (float(now.values.value[now.names.index(name), 0, 0, 0]) for name in ("weight", "cg_arm"))
    return lambda question, x: _with_item(question, Mass(np.subtract(x, mass), arm, "more or less weight"))


def _strip_of(question: Question, x: Any) -> Question:
    """A strip of that length."""
    strip = question.flying.strip
    if strip is None:
        raise AssertionError("a length was put in before the strip was looked at")
    return replace(question, flying=replace(question.flying, strip=replace(strip, length=x)))


def _air(field: str, condition: Condition) -> Callable[[Question, Any], Question]:
    if field == "density_altitude":
        return _at_density_altitude
    if condition.density_altitude is not None:
        raise Refusal("/unknown/field", "a density altitude already holds the temperature: state the pressure instead")
    return _at_temperature


def _at_density_altitude(question: Question, x: Any) -> Question:
    (now,) = question.conditions
    wind = {name: getattr(now, name) for name in ("headwind", "wind_direction", "wind_speed", "reported")}
    return replace(question, conditions=(Condition(name=now.name, density_altitude=x, **wind),))


def _at_temperature(question: Question, x: Any) -> Question:
    (now,) = question.conditions
    return replace(question, conditions=(replace(now, oat=x, temperature_offset=None),))
