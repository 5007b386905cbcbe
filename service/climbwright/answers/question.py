"""The question behind an aeroplane answer: what is asked, without gaps, and as the evaluation takes it."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from climbwright.air.condition import Condition, air_of, refuse_beyond
from climbwright.aircraft.balance import weigh
from climbwright.aircraft.changes import Change, EngineChange, PropellerChange
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading, refuse_misloaded
from climbwright.aircraft.propulsion import settled
from climbwright.aircraft.starting_values import StartingValue, complete, complete_changes
from climbwright.answers.evaluation import Flights
from climbwright.answers.flying import Flying, complete_flying
from climbwright.answers.notes import Assumed, Caution, assumed_start
from climbwright.answers.spread import tied
from climbwright.answers.stacking import stack
from climbwright.arrays import Number, middle
from climbwright.flight.runway import wind_components
from climbwright.refusal import Refusal, pointer_part, refuse_where

__all__ = [
    "Option",
    "Question",
    "completed",
    "flights_of",
    "refuse_loadings",
    "strip_elsewhere",
    "weighed_and_settled",
]

_SAME_HEIGHT = 3.0  # of two elevations of one place [m]


@dataclass(frozen=True, slots=True)
class Option:
    """A named list of changes, and its engine change as it is where the propeller's is not made."""

    name: str
    changes: tuple[Change, ...]
    alone: Change | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """An aeroplane, what is planned, and how and where it is flown."""

    aircraft: Aircraft
    options: tuple[Option, ...]
    loadings: tuple[Loading, ...]
    conditions: tuple[Condition, ...]
    flying: Flying


def completed(
    baseline: Aircraft,
    options: Sequence[Option],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying,
    phases: Collection[str],
    where: str,
    sharing: bool = False,
) -> tuple[Question, list[Assumed]]:
    """The question without gaps, and what filled them; with the engine changes alone where shares are told."""
    completed, starts = complete(baseline, where, phases)
    planned = []
    for i, option in enumerate(options):
        changes, more = complete_changes(option.changes, completed, f"/options/{i}/changes", phases)
        starts += more
        if sharing and len(changes) > 1:
            option, more = _alone(option, changes, completed, f"/options/{i}/changes", phases)
            starts += more
        else:
            option = replace(option, changes=changes)
        planned.append(option)
    flown, usual = complete_flying(flying, phases, completed)
    scenes = _tied("loading", loadings), _tied("condition", conditions)
    parts = {one.name: tied(getattr(flown, one.name), one.name) for one in fields(flown)}
    request = Question(completed, _tied("option", planned), *scenes, Flying(**parts))
    return request, [*map(assumed_start, starts), *usual]


def _tied(what: str, members: Sequence[Any]) -> tuple[Any, ...]:
    """Members whose uncertain numbers go by their names, so that they are drawn alike whatever stands beside them."""
    return tuple(tied(member, f"{what} {member.name}") for member in members)


def _alone(
    option: Option, changes: tuple[Change, ...], aircraft: Aircraft, where: str, phases: Collection[str]
) -> tuple[Option, list[StartingValue]]:
    """An option with its engine change also as it is without the propeller's, whose engine is the same one."""
    engines = [i for i, change in enumerate(changes) if isinstance(change, EngineChange)]
    propellers = [change for change in changes if isinstance(change, PropellerChange)]
    together = engines and propellers and changes[engines[0]].group is not None
    if not engines or not propellers or (together and propellers[0].group == changes[engines[0]].group):
        return replace(option, changes=changes), []
    place = engines[0]
    named: EngineChange = tied(changes[place], f"engine of {option.name}")
    try:
        (kept,), starts = complete_changes((option.changes[place],), aircraft, f"{where}/{place}", phases)
    except Refusal:
        raise Refusal(
            f"{where}/{place}",
            "shares need the new engine with the old propeller too, of which nothing is known: send the pitch_class of "
            "the aeroplane's propeller, or put this change and the propeller's into one group",
        ) from None
    same = {name: getattr(named, name) for name in ("engine", "removed", "fitted")}
    alone: Change = replace(kept, **same)
    new = [start for start in starts if "/engine/" not in start.where]
    return Option(option.name, (*changes[:place], named, *changes[place + 1 :]), alone), new


def weighed_and_settled(aircraft: Aircraft, where: str) -> Aircraft:
    """An aeroplane weighed and with its propeller placed: what the scales and the pitch class say, as numbers."""
    propeller = settled(aircraft.propeller, aircraft.engine, aircraft.drag)
    if not aircraft.scales:
        return aircraft if propeller is aircraft.propeller else replace(aircraft, propeller=propeller)
    empty = weigh(aircraft.scales)
    refuse_where(np.less_equal(empty.mass, 0.0), f"{where}/scales", "the scales carry nothing: send what they read")
    return replace(aircraft, propeller=propeller, empty=empty)


def flights_of(
    request: Question, aircraft: Sequence[Aircraft], phases: Collection[str], only: Collection[str] | None = None
) -> Flights:
    """What is flown in which air, of a question whose numbers are laid out; the measures that alone are wanted."""
    airs = [air_of(condition, f"/conditions/{i}") for i, condition in enumerate(request.conditions)]
    air = stack(airs, axis=3)
    refuse_beyond(air, request.conditions, "/conditions/{}")
    winds = [_wind(condition, request.flying) for condition in request.conditions]
    return Flights(
        loadings=[loading.stations for loading in request.loadings],
        stations=list(dict.fromkeys(station.name for one in aircraft for station in one.stations)),
        air=air,
        headwind=stack([wind[0] for wind in winds], axis=3),
        runway_wind=stack([wind[1] for wind in winds], axis=3),
        crosswind=stack([wind[2] for wind in winds], axis=3),
        flying=request.flying,
        phases={"aeroplane", *phases},
        only=only,
    )


def _wind(condition: Condition, flying: Flying) -> tuple[Number, Number, Number]:
    """Headwind on the way, headwind on the strip, and crosswind there.

    A wind that is known by its direction is one on the strip alone: where one flies then is not known.
    """
    heading = None if flying.strip is None else flying.strip.heading
    if condition.wind_direction is not None and heading is not None:
        return 0.0, *wind_components(condition.wind_direction, condition.wind_speed, heading)
    headwind = 0.0 if condition.headwind is None else condition.headwind
    return headwind, headwind, None


def refuse_loadings(aircraft: Sequence[Aircraft], loadings: Sequence[Loading]) -> None:
    """A station that no aeroplane has, one that is asked to hold a volume of what has no density, or too much."""
    tables = [{station.name: station for station in one.stations} for one in aircraft]
    for i, loading in enumerate(loadings):
        for name, amount in loading.stations.items():
            stations = [table[name] for table in tables if name in table]
            here = f"/loadings/{i}/stations/{pointer_part(name)}"
            if not stations:
                known = ", ".join(dict.fromkeys(station for table in tables for station in table))
                raise Refusal(here, f"there is no station '{name}': the stations are {known or 'none'}")
            refuse_misloaded(name, amount, stations, here)


def strip_elsewhere(conditions: Sequence[Condition], flying: Flying) -> list[Caution]:
    """Conditions whose elevation is not that of the strip."""
    elevation = None if flying.strip is None else flying.strip.elevation
    if elevation is None:
        return []
    found: list[Caution] = []
    for j, condition in enumerate(conditions):
        if condition.elevation is not None and abs(middle(condition.elevation) - middle(elevation)) > _SAME_HEIGHT:
            values = {"value": (middle(condition.elevation), "altitude"), "limit": (middle(elevation), "altitude")}
            found.append(Caution("strip-elsewhere", f"/conditions/{j}", {"condition": condition.name, **values}))
    return found
