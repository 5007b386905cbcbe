"""Observations before and after: how much of an observed change the changes made explain.

Each observation is compared with what the aeroplane that it is of should have read. Two of one sort, one flown before
and one after an option, make an observed change; the model explains a part of it, and the rest is told with its spread.
A rest in an airspeed often means that the airspeed system changed with the panel.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air.condition import check_condition
from climbwright.aircraft.changes import apply
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.starting_values import complete_changes
from climbwright.answers.calibration.calibrate import (
    by_the_table,
    completed_for,
    refuse_loads,
    refuse_untold,
    shared_by,
    turning,
    with_spreads,
)
from climbwright.answers.calibration.observation import Observation, Shared
from climbwright.answers.calibration.prediction import flown, predict
from climbwright.answers.notes import Assumed, Caution, assumed_start
from climbwright.answers.question import Option, weighed_and_settled
from climbwright.answers.spread import central, lay_out, standard_deviation
from climbwright.arrays import Floats, Measured
from climbwright.refusal import Refusal

__all__ = ["Observed", "ObservedChange", "Seen", "observed_changes"]

_UNEXPLAINED = 2.0  # standard deviations beyond which a rest is worth a caution
_AXES = 3  # aircraft, loading and observation, after the cases


@dataclass(frozen=True, slots=True)
class Seen:
    """An observation as it was sent and through the owner's table, and what its aeroplane should have read. [SI]"""

    observation: Observation
    read: float
    observed: Measured
    expected: Measured
    deviations: float


@dataclass(frozen=True, slots=True)
class ObservedChange:
    """Two observations of one sort, their difference, what of it the model explains, and the rest. [SI]"""

    before: Observation
    after: Observation
    observed: Measured
    explained: Measured
    unexplained: Measured

    @property
    def deviations(self) -> float:
        """The rest in its standard deviations. [-]"""
        return float(self.unexplained.value / self.unexplained.plus_minus)


@dataclass(frozen=True, slots=True)
class Observed:
    """What observations say of a comparison."""

    seen: list[Seen]
    changes: list[ObservedChange]
    cautions: list[Caution]
    assumed: list[Assumed]


def observed_changes(
    baseline: Aircraft,
    options: Sequence[Option],
    observations: Sequence[Observation],
    where: str = "/baseline",
) -> Observed:
    """Compare observations with the aeroplanes that they are of.

    Parameters
    ----------
    baseline : Aircraft
        As its owner described it.
    options : sequence of Option
        As planned.
    observations : sequence of Observation
        At least one.
    where : str
        JSON Pointer of the baseline.

    Returns
    -------
    Observed
        Every observation against its aeroplane, and every pair of one sort of which one is of the aeroplane as it is.

    Raises
    ------
    Refusal
        An observation asks for what its aeroplane has not, is of no option, or lies outside the formulas.
    """
    names = [option.name for option in options]
    for i, one in enumerate(observations):
        check_condition(one.condition, f"/observations/{i}/condition")
        if one.of is not None and one.of not in names:
            known = ", ".join(names)
            raise Refusal(f"/observations/{i}/of", f"there is no such option: send baseline, or one of {known}")
    # an aeroplane is not changed within a day
    observations = [replace(one, day=one.day or f"of {one.of or 'the aeroplane as it is'}") for one in observations]
    observations, spreads = with_spreads(observations)
    sent = [one.value for one in observations]
    observations = by_the_table(baseline, observations)
    completed, starts = completed_for(baseline, observations, where)
    changed = []
    for k, option in enumerate(options):
        changes, more = complete_changes(option.changes, completed, f"/options/{k}/changes")
        changed.append(changes)
        starts += more
    shared, of_days = shared_by(completed, observations)
    tree = completed, tuple(changed), shared, tuple(observations)
    laid, cases = lay_out(tree, _AXES)
    sure = central(tree)
    expected = [np.zeros(0)] * len(observations)
    for name in dict.fromkeys(one.of for one in observations):
        places = [i for i, one in enumerate(observations) if one.of == name]
        aircraft, settled = (_made(each, names, name, where) for each in (laid, sure))
        refuse_loads(settled, observations, places)
        aircraft = replace(aircraft, propeller=turning(aircraft))
        read = _read(aircraft, settled, laid[2], [laid[3][i] for i in places], [one.day for one in observations])
        central_read = np.broadcast_to(read, (cases, 1, 1, len(places)))[0, 0, 0]
        refuse_untold(central_read, places)
        for column, place in enumerate(places):
            expected[place] = np.broadcast_to(read, (cases, 1, 1, len(places)))[:, 0, 0, column]
    found = _changes(observations, expected)
    told = [*map(assumed_start, starts), *of_days, *spreads]
    return Observed([*map(_seen, observations, sent, expected)], found, _cautions(found, observations), told)


def _made(tree: Any, names: Sequence[str], option: str | None, where: str) -> Aircraft:
    """The aeroplane as it is, or with an option's changes made."""
    base = weighed_and_settled(tree[0], where)
    if option is None:
        return base
    k = names.index(option)
    return apply(base, tree[1][k], f"/options/{k}/changes")


def _read(
    aircraft: Aircraft, settled: Aircraft, shared: Shared, flights: Sequence[Observation], every: Sequence[str]
) -> Floats:
    """What an aeroplane's observations should have read; `every` has the day of each observation of the request."""
    days = list(dict.fromkeys(every))
    own = [days.index(day) for day in dict.fromkeys(one.day for one in flights)]
    theirs = replace(
        shared,
        altitude=tuple(shared.altitude[k] for k in own),
        temperature=tuple(shared.temperature[k] for k in own),
    )
    return predict(aircraft, flown(flights, settled), theirs).value


def _spread(cases: Floats) -> float:
    return float(standard_deviation(cases)) if len(cases) > 1 else 0.0


def _observed(one: Observation) -> Measured:
    if one.spread is None:
        raise AssertionError("every observation has a spread by now")
    return Measured(one.value, one.spread)


def _seen(one: Observation, read: float, cases: Floats) -> Seen:
    observed, expected = _observed(one), Measured(float(cases[0]), _spread(cases))
    doubt = float(np.hypot(observed.plus_minus, expected.plus_minus))
    return Seen(one, read, observed, expected, (observed.value - expected.value) / doubt)


def _sort(one: Observation) -> tuple[object, ...]:
    """What two observations must share to be compared."""
    fraction = one.power_fraction.value if isinstance(one.power_fraction, Measured) else one.power_fraction
    return one.kind, one.measured, one.configuration, one.full_throttle, fraction, one.reading, one.by_altimeter


def _changes(observations: Sequence[Observation], expected: Sequence[Floats]) -> list[ObservedChange]:
    pairs = [
        (i, j)
        for j, after in enumerate(observations)
        for i, before in enumerate(observations)
        if before.of is None and after.of is not None and _sort(before) == _sort(after)
    ]
    found = []
    for i, j in pairs:
        before, after = _observed(observations[i]), _observed(observations[j])
        noise = float(np.hypot(before.plus_minus, after.plus_minus))
        observed, cases = Measured(after.value - before.value, noise), expected[j] - expected[i]
        explained = Measured(float(cases[0]), _spread(cases))
        rest = Measured(observed.value - explained.value, float(np.hypot(noise, explained.plus_minus)))
        found.append(ObservedChange(observations[i], observations[j], observed, explained, rest))
    return found


def _cautions(changes: Sequence[ObservedChange], observations: Sequence[Observation]) -> list[Caution]:
    names = [one.name for one in observations]
    return [
        Caution(
            "change-unexplained",
            f"/observations/{names.index(change.after.name)}",
            {"before": change.before.name, "after": change.after.name},
        )
        for change in changes
        if abs(change.deviations) > _UNEXPLAINED
    ]
