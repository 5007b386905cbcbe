"""A fleet: many rows, each an aeroplane in its loading and its air, through the same functions as one aeroplane.

What differs from row to row is an array along the aircraft axis, of shape (rows, 1, 1); everything else is a number.
Rows are evaluated in blocks that fit into a processor's cache. A row that cannot be answered keeps its place and gets
the numbers of one that can, so that its neighbours are computed as if it were not there.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition, check_condition
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.air_cautions import codes_of_air
from climbwright.answers.assumptions import assumed_in
from climbwright.answers.cautions import codes_of
from climbwright.answers.evaluation import Evaluation, Flights
from climbwright.answers.flying import Flying, measures_spoken_of
from climbwright.answers.measures import STALL_SPEEDS, phases_of
from climbwright.answers.notes import Assumed
from climbwright.answers.question import Question, completed, flights_of, refuse_loadings, weighed_and_settled
from climbwright.answers.run import evaluated
from climbwright.answers.spread import (
    arrays_in,
    central,
    lay_out,
    rows_at,
    rows_of,
    standard_deviation,
    standing_in,
    uncertain,
)
from climbwright.answers.stacking import AXES
from climbwright.arrays import BLOCK, Floats
from climbwright.refusal import WITHIN_A_SPREAD, Refusal

__all__ = ["Answered", "Faults", "Fleet", "answered", "fleet_of", "rows_in"]


class Faults:
    """What is wrong with which rows of a table: the first thing that was found of each.

    Parameters
    ----------
    rows : int
        How many rows the table has.
    """

    def __init__(self, rows: int) -> None:
        self.codes: NDArray[np.int32] = np.zeros(rows, dtype=np.int32)  # 0 for right, else a place in `reasons`
        self.reasons: list[tuple[str, str]] = [("", "ok")]
        self._places: dict[tuple[str, str], int] = {}

    def add(self, bad: Any, where: str, message: str) -> None:
        """Note that some rows, by their places or by a mask, are wrong somewhere (JSON Pointer or name)."""
        reason = where, message
        place = self._places.setdefault(reason, len(self.reasons))
        if place == len(self.reasons):
            self.reasons.append(reason)
        here = self.codes[bad]
        self.codes[bad] = np.where(here == 0, place, here)

    def of(self, rows: Any) -> "Faults":
        """Those of some rows, with the same reasons; what is added to a slice is added here too."""
        some = Faults(0)
        some.codes, some.reasons, some._places = self.codes[rows], self.reasons, self._places
        return some

    @property
    def right(self) -> NDArray[np.bool_]:
        """Rows with which nothing is wrong so far."""
        return np.asarray(self.codes == 0)


@dataclass(frozen=True, slots=True)
class Fleet:
    """Rows without gaps: their question, whose arrays have the shape (rows, 1, 1), and the measures wanted."""

    question: Question
    wanted: tuple[str, ...]
    phases: frozenset[str]
    rows: int
    assumed: list[Assumed]
    uncertain: bool

    @property
    def names(self) -> list[str]:
        """Names of the measures, that of a stall speed with its configuration."""
        stalls = [f"{STALL_SPEEDS}/{stall.configuration}" for stall in self.question.aircraft.stalls]
        return [name for one in self.wanted for name in (stalls if one == STALL_SPEEDS else [one])]

    @property
    def cases(self) -> int:
        """Evaluations that a row takes."""
        return lay_out(rows_of(self.question, slice(0, 1)), AXES - 1)[1] if self.uncertain else 1


@dataclass(frozen=True, slots=True)
class Answered:
    """Rows answered: values and spreads of the shape (measures, rows), codes of the cautions of each row, and faults.

    Values are nan where a measure does not exist and where a row is wrong.
    """

    values: Floats
    spreads: Floats | None
    cautions: list[list[str]] | None
    faults: Faults


def fleet_of(
    aircraft: Aircraft,
    loading: Loading,
    condition: Condition,
    flying: Flying,
    measures: Sequence[str] | None,
    rows: int,
    spread: bool = False,
) -> Fleet:
    """Rows without gaps, ready to be evaluated.

    Parameters
    ----------
    aircraft : Aircraft
        As its owner described it; numbers that differ from row to row are arrays of shape (rows, 1, 1).
    loading : Loading
        As `aircraft`.
    condition : Condition
        As `aircraft`.
    flying : Flying
        How all of them are flown.
    measures : sequence of str, optional
        Names of the measures wanted, in place of those of the phases spoken of.
    rows : int
        How many there are.
    spread : bool
        Whether spreads are wanted too.

    Returns
    -------
    Fleet
        With starting values where something was not said.

    Raises
    ------
    Refusal
        Something is missing or contradicts itself; `bad` says in which rows.
    """
    check_condition(condition, "/conditions/0")
    wanted = tuple(measures_spoken_of(flying) if measures is None else measures)
    phases = frozenset(phases_of(wanted))
    question, assumed = completed(aircraft, (), (loading,), (condition,), flying, phases, "/aircraft")
    refuse_loadings([question.aircraft], question.loadings)
    assumed += assumed_in(aircraft, (), (loading,), (condition,), "/aircraft", flying.strip, phases)
    if not spread:
        question = central(question)
        question = replace(question, aircraft=weighed_and_settled(question.aircraft, "/aircraft"))
    return Fleet(question, wanted, phases, rows, assumed, bool(uncertain(question)))


def answered(fleet: Fleet, faults: Faults, cautious: bool = False) -> Iterator[Answered]:
    """Evaluate a fleet, block by block.

    Parameters
    ----------
    fleet : Fleet
        Its rows that are wrong already hold the numbers of one that is not.
    faults : Faults
        What is known to be wrong; what is found is added.
    cautious : bool
        Whether the cautions of every row are wanted, for which more is computed.

    Yields
    ------
    Answered
        For each block, in the order of the rows.
    """
    size, places = max(BLOCK // fleet.cases, 1), arrays_in(fleet.question)
    # never one row alone at the end, whose sums numpy adds in another order
    for start in range(0, max(fleet.rows - 1, 1) if fleet.rows else 0, size):
        rows = slice(start, start + size if start + size < fleet.rows - 1 else fleet.rows)
        yield _block(fleet, rows_at(fleet.question, places, rows), faults.of(rows), cautious)


def _block(fleet: Fleet, question: Question, here: Faults, cautious: bool) -> Answered:
    """One block; rows that turn out to be wrong are taken out of it and it is evaluated again."""
    count = here.codes.size
    while here.right.any():
        try:
            evaluation, flights = _evaluated(fleet, question, cautious)
        except Refusal as refusal:
            _note(here, refusal, count)
            question = standing_in(question, here.right)
            continue
        return _read(fleet, evaluation, flights, here, cautious)
    values = np.full((len(fleet.names), count), np.nan)
    return Answered(values, values if fleet.uncertain else None, [[] for _ in range(count)], here)


def _note(faults: Faults, refusal: Refusal, count: int) -> None:
    """Add a refusal to the faults of its rows: of each whether its own number is wrong or only its spread."""
    bad, message = np.asarray(refusal.bad), refusal.message.removesuffix(WITHIN_A_SPREAD)
    surely = rows_in(bad[:1] if bad.ndim == AXES else bad, count)
    faults.add(surely, refusal.where, message)
    faults.add(rows_in(bad, count) & ~surely, refusal.where, message + WITHIN_A_SPREAD)


_ENDLESS = "an answer is beyond all numbers: a number of this row is far from any aeroplane's, check its unit"


def rows_in(bad: Any, count: int) -> NDArray[np.bool_]:
    """Which rows are bad, of a mask along any of the four axes."""
    mask = np.asarray(bad)
    wide = mask.reshape((1,) * (AXES - mask.ndim) + mask.shape).any(axis=(0, 2, 3))
    return np.broadcast_to(wide, (count,))


def _evaluated(fleet: Fleet, question: Question, cautious: bool) -> tuple[Evaluation, Flights]:
    if fleet.uncertain:
        question, _ = lay_out(question, AXES - 1)
        question = replace(question, aircraft=weighed_and_settled(question.aircraft, "/aircraft"))
    one = question.aircraft
    flights = flights_of(question, [one], fleet.phases, None if cautious else fleet.wanted)
    return evaluated([one], flights, "/aircraft"), flights


def _read(fleet: Fleet, evaluation: Evaluation, flights: Flights, faults: Faults, cautious: bool) -> Answered:
    """Values, spreads and cautions of a block's rows."""
    names, wrong, count = fleet.names, np.flatnonzero(faults.codes), faults.codes.size
    values = np.empty((len(names), count))
    spreads = np.empty((len(names), count)) if fleet.uncertain else None
    for i, name in enumerate(names):
        measure, _, configuration = name.partition("/")
        found = evaluation.stall_speeds[configuration] if configuration else evaluation.measures.get(measure, np.nan)
        cases = np.asarray(found, dtype=float)
        cases = cases.reshape((1,) * (AXES - cases.ndim) + cases.shape)[:, :, 0, 0]
        values[i] = cases[0]
        if spreads is not None:
            spreads[i] = standard_deviation(cases) if len(cases) > 1 else 0.0 * values[i]
    if not np.isfinite(values.sum()) and np.isinf(values).any():  # the sum is a tenth of looking at each
        faults.add(np.isinf(values).any(axis=0), "", _ENDLESS)
        wrong = np.flatnonzero(faults.codes)
    for table in (values, spreads) if wrong.size else ():
        if table is not None:
            table[:, wrong] = np.nan
    cautions = None
    if cautious:
        cautions = codes_of(evaluation, count, fleet.question.loadings)
        burning = fleet.question.aircraft.engine.aspiration != "electric"
        for code, bad in codes_of_air(flights.air, fleet.question.conditions[0], burning).items():
            for row in np.flatnonzero(rows_in(bad, count)).tolist():
                cautions[row].append(code)
        for row in wrong.tolist():
            cautions[row] = []
    return Answered(values, spreads, cautions, faults)
