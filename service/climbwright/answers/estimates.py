"""Values and their spreads out of the cases of a question: linear, and drawn where that does not tell enough."""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.answers.measures import phases_of, worst_end
from climbwright.answers.notes import Caution
from climbwright.answers.question import Question
from climbwright.answers.run import Run, run
from climbwright.answers.single import Single
from climbwright.answers.spread import PERCENTILES, draws_for, linear, lopsided, sampled, standard_deviation

__all__ = ["DRAWS", "Drawn", "Estimates", "estimated", "estimates_of", "redrawn"]

Array = NDArray[np.float64]
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
        if self.percentiles is None or self.without is None or np.isnan(self.without[place]):
            return Single(self.value[place], spread)
        return Single(self.value[place], spread, self.percentiles[(slice(None), *place)], self.without[place])


def estimated(rows: Array, draws: int | None, worst: Any = 0.0) -> Estimates:
    """Central values and spreads of cases along the first axis: draws, or linear ones, which pairs follow if None.

    `worst` is that of `sampled`.
    """
    if len(rows) == 1:
        return Estimates(rows[0], None)
    if draws:
        return Estimates(rows[0], *sampled(rows, worst))
    return Estimates(rows[0], standard_deviation(linear(rows) if draws is None else rows))


def estimates_of(table: Array, names: Sequence[str], draws: int | None) -> tuple[Estimates, Estimates]:
    """Central values and spreads, of the measures of these names and of their change against the baseline."""
    rows = table.swapaxes(0, 1)
    worst = np.array([worst_end(name) for name in names]).reshape(-1, 1, 1, 1)
    return estimated(rows, draws, worst), estimated(rows[:, :, 1:] - rows[:, :, :1], draws)


@dataclass(frozen=True, slots=True)
class Drawn:
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


def redrawn(
    request: Question, one: Run, values: Estimates, change: Estimates, wanted: Collection[str], where: str
) -> tuple[Estimates, Estimates, Drawn, list[Caution]]:
    """Estimates with draws in place of the spreads that are not linear, and what is to be said of it."""
    rows = one.table.swapaxes(0, 1)
    middle = np.abs(rows[0])
    scale = np.maximum(middle[:, 1:], middle[:, :1])
    bent = lopsided(rows), lopsided(rows[:, :, 1:] - rows[:, :, :1], scale)
    places = [
        k
        for k, name in enumerate(one.names)
        if name.partition("/")[0] in wanted and (bent[0][k].any() or bent[1][k].any())
    ]
    nothing = Drawn(None, None, [])
    if not places:
        return values, change, nothing, []
    names = [one.names[k] for k in places]
    draws = draws_for(_DRAWN, math.prod(one.table.shape[2:]))
    measures = list(dict.fromkeys(name.partition("/")[0] for name in names))
    again = run(request, measures, phases_of(measures), where, draws)
    table = again.table[[again.names.index(name) for name in names]]
    both = [
        _merged(before, after, here, places)
        for before, after, here in zip((values, change), estimates_of(table, names, draws), bent, strict=True)
    ]
    told = ", ".join(name.replace("_", " ").replace("/", ", ") for name in names)
    return both[0], both[1], Drawn(table, bent[0][places], names), [Caution("spread-drawn", "", {"names": told})]


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
