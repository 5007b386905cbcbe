"""A season at a strip: the share of hours in which climb, take-off and landing hold, and the hours that limit.

Hours are rows of a fleet that differ in their air alone, and go through the same functions as one aeroplane. The climb
holds where its rate is at least the one wanted; take-off and landing where the strip is as long as the distance
required, safety factor included. On a strip with two ways each of the two takes the better one, as a pilot does who
leaves a sloping strip downhill and comes back uphill. An hour whose weather is missing or wrong is neither good nor
bad.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air.condition import air_of
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.air_cautions import cautions_of_air, codes_of_air
from climbwright.answers.cautions import CROSSWIND
from climbwright.answers.comparison import Answer, perform
from climbwright.answers.fleet import Fleet, answered, fleet_of, rows_in
from climbwright.answers.flying import Flying
from climbwright.answers.notes import Assumed, Caution, Value
from climbwright.answers.season import YEAR, Counts, Places, Season, Tally, Truths, condition_at, counted
from climbwright.answers.spread import central, standing_in
from climbwright.answers.work import ask_for
from climbwright.arrays import Floats, middle
from climbwright.refusal import Refusal

__all__ = ["JUDGED", "LEAST_RATE", "MARGINS", "WAYS", "LimitingHour", "Operability", "Unknown", "operability"]

LEAST_RATE = 300.0 * 0.3048 / 60.0  # rate of climb wanted where none is said; common practice, no source [m/s]
MARGINS = ("climb", "takeoff", "landing")
JUDGED = (*MARGINS, "all")
WAYS = ("stated", "reversed")
_LIMITING = 24  # hours that are named
_REASONS = 20  # that are told one by one
_IMPOSSIBLE = -1.0  # margin over its requirement of what cannot be done: no strip is long enough


@dataclass(frozen=True, slots=True)
class LimitingHour:
    """An hour in which a margin is narrow or missing.

    Temperature [K], density altitude [m], values and spreads of the rate of climb [m/s] and of the margins of take-off
    and landing [m], nan where one does not exist, and the ways that these two take; which of `MARGINS` is the narrowest
    over its requirement, how large it then is [-], and whether all hold.
    """

    time: str
    temperature: float
    density_altitude: float
    values: Floats
    spreads: Floats
    ways: tuple[str, str]
    narrowest: str
    margin: float
    holds: bool


@dataclass(frozen=True, slots=True)
class Unknown:
    """Hours that are neither good nor bad: what is wrong with them, where, how many, and the first one."""

    where: str
    message: str
    hours: int
    first: str


@dataclass(frozen=True, slots=True)
class Operability:
    """A season counted.

    `ways` are hours in which take-off and landing hold along each of `WAYS`, shape (2, 2), None on a one-way strip;
    `narrowest` those in which each of `MARGINS` is the narrowest over its requirement; `density_altitude` the median
    and the greatest of each month, shape (2, 12), nan where no hour is known [m]. `full` is the first of the limiting
    hours answered as a performance is.
    """

    least_rate: float
    tally: Tally
    ways: Counts | None
    narrowest: Counts
    density_altitude: Floats
    limiting: list[LimitingHour]
    unknown: list[Unknown]
    full: Answer
    cautions: list[Caution]
    assumed: list[Assumed]


@dataclass(frozen=True, slots=True)
class _Margins:
    """Rate of climb and the margins of take-off and landing in every hour.

    Values, spreads and the values over what they have to be, less 1, of the shape (3, hours); `either` the values of
    take-off and landing along each way, shape (ways, 2, hours); `way` the one each takes, shape (2, hours). Values are
    nan in hours that are not known, and where there is no such climb, take-off or landing.
    """

    values: Floats
    spreads: Floats
    relative: Floats
    either: Floats
    way: Places

    def hold(self, least_rate: float, moved: float = 0.0) -> Truths:
        """Which of `JUDGED` hold, shape (4, hours), with every margin so many standard deviations better."""
        least = np.array([[least_rate], [0.0], [0.0]])
        found = self.values + moved * self.spreads >= least
        return np.vstack([found, found.all(axis=0)])


def operability(
    aircraft: Aircraft,
    loading: Loading,
    season: Season,
    flying: Flying,
    climb_rate: float | None = None,
    working: bool = False,
) -> Operability:
    """Count the hours of a season in which climb, take-off and landing keep their margins.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it.
    loading : Loading
        What its stations hold.
    season : Season
        At least one hour; what is found to be wrong with an hour is added to its faults.
    flying : Flying
        With a strip that has a length; a climb that it speaks of is judged at its speed and flaps, else the best rate.
    climb_rate : float, optional
        Least rate of climb wanted, above 0; `LEAST_RATE` if not given. [m/s]
    working : bool
        Whether the steps of the most limiting hour are wanted too.

    Returns
    -------
    Operability
        With the usual cautions of an aeroplane as loaded in the most limiting hour.

    Raises
    ------
    Refusal
        Something but the weather is missing or wrong, or no hour can be answered; it points into the request.
    """
    try:
        return _counted(aircraft, loading, season, flying, climb_rate, working)
    except Refusal as refusal:
        raise Refusal(_here(refusal.where), refusal.message) from None


def _counted(
    aircraft: Aircraft, loading: Loading, season: Season, flying: Flying, climb_rate: float | None, working: bool
) -> Operability:
    least = LEAST_RATE if climb_rate is None else climb_rate
    across = [] if season.air.wind_direction is None else ["crosswind", "stall_speed_calibrated"]
    wanted = [*_judged(flying), *across]
    fleet = _fleet(aircraft, loading, season, flying, wanted)
    table = _answered(fleet, season)
    margins = _margins(table, flying, least)
    air = air_of(central(standing_in(season.air, season.faults.right)))
    altitude = _wide(air.density_altitude, season)
    order = _ranked(margins, altitude, season)
    worst = condition_at(season, int(order[0]), season.times[order[0]])
    full = perform(aircraft, [loading], [worst], flying, wanted, working=working, draws=0)
    holds = margins.hold(least)
    told = [*_cautions_of_air(fleet, season, air), *_across(table, season, loading)]
    codes = {caution.code for caution in told}
    cautions = [*(one for one in full.cautions if one.code not in codes), *told, Caution("season-as-sent", "")]
    return Operability(
        least_rate=least,
        tally=counted(season, holds, margins.hold(least, -1.0), margins.hold(least, 1.0)),
        ways=None if _one_way(flying) else (margins.either >= 0.0).sum(axis=-1),
        narrowest=np.bincount(margins.relative.argmin(axis=0)[season.faults.right], minlength=len(MARGINS)),
        density_altitude=_by_month(altitude, season),
        limiting=[_limiting(i, season, margins, _wide(air.temperature, season), altitude, holds) for i in order],
        unknown=_unknown(season),
        full=full,
        cautions=[replace(one, where=_here(one.where)) for one in cautions],
        assumed=_assumed(fleet, flying, climb_rate),
    )


def _judged(flying: Flying) -> list[str]:
    """Names of the measures that are judged: climb, then take-off and landing along each way."""
    climb = "best_climb_rate" if flying.climb is None else "climb_rate_at_speed"
    ways = ("",) if _one_way(flying) else ("", "_reversed")
    return [climb, *(f"{name}_margin{way}" for way in ways for name in MARGINS[1:])]


def _one_way(flying: Flying) -> bool:
    return flying.strip is not None and flying.strip.one_way


def _fleet(aircraft: Aircraft, loading: Loading, season: Season, flying: Flying, wanted: Sequence[str]) -> Fleet:
    """The hours as rows; those whose air contradicts itself are noted.

    Raises
    ------
    Refusal
        As `operability`.
    """
    faults, count = season.faults, len(season.times)
    while faults.right.any():
        try:
            air = season.air if faults.right.all() else standing_in(season.air, faults.right)
            return fleet_of(aircraft, loading, air, flying, wanted, count, spread=True)
        except Refusal as refusal:
            if not np.ndim(refusal.bad):
                raise
            faults.add(rows_in(refusal.bad, count), refusal.where, refusal.message)
    raise _none_known(season)


def _answered(fleet: Fleet, season: Season) -> dict[str, Floats]:
    """Values and spreads of every measure, shape (2, hours).

    Raises
    ------
    Refusal
        No hour can be answered.
    """
    ask_for(fleet.rows * fleet.cases * len(fleet.names))
    blocks = list(answered(fleet, season.faults))
    if not season.faults.right.any():
        raise _none_known(season)
    values = np.concatenate([block.values for block in blocks], axis=1)
    spreads = [np.zeros_like(block.values) if block.spreads is None else block.spreads for block in blocks]
    both = np.stack([values, np.nan_to_num(np.concatenate(spreads, axis=1))])
    return {name: both[:, i] for i, name in enumerate(fleet.names)}


def _none_known(season: Season) -> Refusal:
    """No hour can be answered: what is wrong with most of them."""
    first = _unknown(season)[0]
    return Refusal(first.where, f"no hour of the season can be answered: {first.message}")


def _margins(table: dict[str, Floats], flying: Flying, least_rate: float) -> _Margins:
    """Climb, take-off and landing, these two along the better of their ways."""
    climb, *runway = (table[name] for name in _judged(flying))
    ways = np.array(runway).reshape(-1, 2, *climb.shape).swapaxes(1, 2)  # way, value and spread, what is judged, hours
    either = ways[:, 0]
    way = np.where(np.isnan(either), -np.inf, either).argmax(axis=0)
    better = np.take_along_axis(ways, way[None, None], axis=0)[0]
    both = np.concatenate([climb[:, None], better], axis=1)
    length = middle(flying.strip.length) if flying.strip is not None else np.nan
    required = length - both[0, 1:]
    relative = np.vstack([both[0, :1] / least_rate, length / required]) - 1.0
    if _one_way(flying):  # landed on against the way that it is left
        way = way + np.array([[0], [1]])
    return _Margins(both[0], both[1], np.nan_to_num(relative, nan=_IMPOSSIBLE), either, way)


def _wide(value: Any, season: Season) -> Floats:
    """A number of the air in every hour, shape (hours,)."""
    return np.broadcast_to(value, (len(season.times), 1, 1)).ravel()


def _ranked(margins: _Margins, altitude: Floats, season: Season) -> Places:
    """Known hours, the narrowest or worst first: by margin over requirement, then the thinner air, then in order."""
    known = np.flatnonzero(season.faults.right)
    worst = margins.relative[:, known].min(axis=0)
    return known[np.lexsort((-altitude[known], worst))][:_LIMITING]


def _limiting(
    hour: int, season: Season, margins: _Margins, temperature: Floats, altitude: Floats, holds: Truths
) -> LimitingHour:
    narrowest = int(margins.relative[:, hour].argmin())
    takeoff, landing = (WAYS[way] for way in margins.way[:, hour])
    return LimitingHour(
        time=season.times[hour],
        temperature=float(temperature[hour]),
        density_altitude=float(altitude[hour]),
        values=margins.values[:, hour],
        spreads=margins.spreads[:, hour],
        ways=(takeoff, landing),
        narrowest=MARGINS[narrowest],
        margin=float(margins.relative[narrowest, hour]),
        holds=bool(holds[-1, hour]),
    )


def _by_month(altitude: Floats, season: Season) -> Floats:
    """Median and greatest density altitude of each month."""
    known = season.faults.right
    here = [altitude[known & (season.months == month)] for month in range(1, YEAR + 1)]
    return np.array([[np.median(some), some.max()] if some.size else [np.nan, np.nan] for some in here]).T


def _unknown(season: Season) -> list[Unknown]:
    """What is wrong with the hours that are not known, the commonest first; beyond a few, the rest together."""
    codes, reasons = season.faults.codes, season.faults.reasons
    common = Counter(codes[codes > 0].tolist()).most_common()
    found = []
    for code, count in common[:_REASONS]:
        where, message = reasons[code]
        found.append(Unknown(_here(where), message, count, season.times[int(np.argmax(codes == code))]))
    rest = [code for code, _ in common[_REASONS:]]
    if rest:
        left = np.flatnonzero(np.isin(codes, rest))
        found.append(Unknown("/weather", f"{len(rest)} other faults", left.size, season.times[int(left[0])]))
    return found


def _cautions_of_air(fleet: Fleet, season: Season, air: Any) -> list[Caution]:
    """What the air does to an engine, told once for the hours of each kind, at the warmest or the dampest of them."""
    burning = fleet.question.aircraft.engine.aspiration != "electric"
    known, count = season.faults.right, len(season.times)
    damp = np.divide(air.vapour_pressure, saturation_vapour_pressure(air.temperature))
    found = []
    for code, bad in codes_of_air(air, season.air, burning).items():
        hours = np.flatnonzero(rows_in(bad, count) & known)
        if not hours.size:
            continue
        measure = _wide(damp if code.startswith("carburettor") else air.temperature, season)
        worst = int(hours[measure[hours].argmax()])
        there = central(condition_at(season, worst, _of_hours(season.times[worst], hours.size)))
        found += [one for one in cautions_of_air(air_of(there), [there], burning) if one.code == code]
    return found


def _across(table: dict[str, Floats], season: Season, loading: Loading) -> list[Caution]:
    """A strong crosswind, told once at the strongest, where the wind's direction is known."""
    if "crosswind" not in table:
        return []
    wind, limit = np.abs(table["crosswind"][0]), CROSSWIND * table["stall_speed_calibrated"][0]
    hours = np.flatnonzero((wind > limit) & season.faults.right)
    if not hours.size:
        return []
    worst = int(hours[wind[hours].argmax()])
    shown: dict[str, Value] = {
        "loading": loading.name,
        "condition": _of_hours(season.times[worst], hours.size),
        "value": (float(wind[worst]), "speed"),
        "limit": (float(limit[worst]), "speed"),
    }
    return [Caution("crosswind-strong", "/loadings/0", shown)]


def _of_hours(time: str, count: int) -> str:
    return time if count == 1 else f"{time} (the worst of {count} such hours)"


def _assumed(fleet: Fleet, flying: Flying, climb_rate: float | None) -> list[Assumed]:
    found = [replace(one, where=_here(one.where)) for one in fleet.assumed]
    if climb_rate is None:
        found.append(Assumed("/climb_rate", "season-climb_rate", LEAST_RATE, "vertical speed"))
    if not _one_way(flying):
        found.append(Assumed("/strip/one_way", "season-better-way"))
    return found


_RENAMED = {"/conditions/0/elevation": "/elevation", "/conditions/0/oat": "/weather/temperature"}
_PARTS = {"/conditions/0": "/weather", "/loadings/0": "/loading"}


def _here(where: str) -> str:
    """Where in the request something stands that a performance would have among its conditions and loadings."""
    if where in _RENAMED:
        return _RENAMED[where]
    for several, one in _PARTS.items():
        if where.startswith(several):
            return one + where[len(several) :]
    return where
