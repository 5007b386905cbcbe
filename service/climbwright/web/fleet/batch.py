"""A batch: a table and what its rows share, checked, laid out and evaluated, in the order in which the rows came.

Every row is the request of one aeroplane that `performance` would take: what is shared, with the row's cells in their
places. Rows that have different words (a kind of propeller, a pitch class) are different requests and are evaluated in
groups; within a group all numbers of a column are one array.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from marshmallow import ValidationError
from numpy.typing import NDArray

from climbwright.air.report import Report
from climbwright.answers.fleet import Answered, Faults, Fleet, answered, fleet_of, rows_in
from climbwright.answers.flying import measures_spoken_of
from climbwright.answers.measures import MEASURES, STALL_SPEEDS
from climbwright.answers.notes import Assumed
from climbwright.answers.spread import rows_of, standing_in
from climbwright.arrays import BLOCK
from climbwright.refusal import Refusal, pointer_part
from climbwright.web.fleet.columns import ColumnError, Texts, checked_numbers, checked_texts
from climbwright.web.fleet.tables import Table
from climbwright.web.paths import FLOWN, PARTS, PathError, Place, name_of, named, performance_request, place_of, placed
from climbwright.web.problems import Problem, not_answerable, not_understood, pointers, too_much
from climbwright.web.schemas.fields import Base, Checked, RowsError
from climbwright.web.schemas.flying import build_flying, flying_fields
from climbwright.web.schemas.requests import PerformanceRequest

__all__ = ["SHARED", "Batch", "Block", "Wanted", "refuse_too_much", "refuse_unequal"]

SHARED = (*PARTS, *FLOWN)
MOST_GROUPS = 200  # each of which is read and laid out for itself
_REQUEST = PerformanceRequest()
_HOWFLOWN = Base.from_dict(flying_fields(), name="HowFlown")()
_USUAL_STALLS = ({"configuration": "clean"},)  # of an aeroplane that has told of none


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is wanted of every row: measures (None: the usual ones), and whether spreads and cautions are."""

    measures: list[str] | None = None
    spreads: bool = False
    cautions: bool = False


@dataclass(frozen=True, slots=True)
class Block:
    """Some rows answered: their place in the table, values and spreads (measures, rows), cautions, and their status.

    `status` are places in the batch's `words`, of which the first is that of a row that is right.
    """

    rows: slice
    values: NDArray[np.float64]
    spreads: NDArray[np.float64] | None
    cautions: list[list[str]] | None
    status: NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class _Group:
    """Rows that have the same words: their places, None for all rows, and the words."""

    rows: NDArray[np.intp] | None
    words: list[tuple[Place, Any]]


class Batch:
    """A table ready to be evaluated.

    Parameters
    ----------
    shared : mapping
        What all rows have in common, as JSON: parts of `SHARED`.
    table : Table
        Its columns; rows that are wrong are found here and in the evaluation.
    wanted : Wanted
        What is to be answered.

    Raises
    ------
    Problem
        422 what is shared, or a column as a whole, is wrong.
    """

    def __init__(self, shared: Mapping[str, Any], table: Table, wanted: Wanted) -> None:
        self.table, self.wanted = table, wanted
        self.faults = Faults(table.rows)
        self.names: list[str]  # of the measures that are answered, the same whichever rows are wrong
        self._document = _document(shared)
        self._numbers: list[tuple[Place, Any]] = []
        self._words: list[tuple[Place, Texts]] = []
        self._read()
        self._placed = performance_request(self._document, wanted.measures)
        self._groups = self._grouped()
        self._fleets = [(group, self._fleet(group)) for group in self._groups]
        self._first = next(iter(self.fleets), None)
        self.names = self._first.names if self._first is not None else self._names()
        self._refuse_taken()

    @property
    def fleets(self) -> list[Fleet]:
        """The groups of rows that can be answered, ready to be evaluated."""
        return [fleet for _, fleet in self._fleets if fleet is not None]

    @property
    def kinds(self) -> list[str]:
        """Kind of each measure."""
        return ["speed" if name not in MEASURES else MEASURES[name].kind for name in self.names]

    @property
    def assumed(self) -> list[Assumed]:
        """What stood in for what was not said, whichever rows it was; where it belongs in what is shared."""
        found = {
            (one.where, one.code): replace(one, where=_shared_pointer(one.where), value=_plain(one.value))
            for fleet in self.fleets
            for one in fleet.assumed
        }
        return list(found.values())

    @property
    def cases(self) -> int:
        """Evaluations that a row takes, the most of any group."""
        return max((fleet.cases for fleet in self.fleets), default=1)

    @property
    def work(self) -> int:
        """Measures that are computed for all rows."""
        return self.table.rows * self.cases * len(self.names)

    def _names(self) -> list[str]:
        """Names of the measures where no row can be answered: those that a row would have."""
        flown = {name: self._document[name] for name in FLOWN if name in self._document}
        asked = {} if self.wanted.measures is None else {"measures": self.wanted.measures}
        columns = [(place, None) for place, _ in (*self._numbers, *self._words)]
        try:
            said = _HOWFLOWN.load({**flown, **asked})
            stalls = placed(self._document, columns)["aircraft"].get("stalls")
        except ValidationError as error:
            raise self._in_request(error) from None
        except PathError as error:
            raise not_understood({"shared": [str(error)]}) from None
        flown_stalls = [one for one in stalls if isinstance(one, dict)] if isinstance(stalls, list) else []
        each = [f"{STALL_SPEEDS}/{one.get('configuration')}" for one in flown_stalls or _USUAL_STALLS]
        wanted = said.get("measures") or measures_spoken_of(build_flying(said)["flying"])
        return [name for one in wanted for name in (each if one == STALL_SPEEDS else [one])]

    def _refuse_taken(self) -> None:
        """Refuse a column that goes through and is called like a measure of the answer."""
        for heading in self.table.others:
            name = heading.partition(" [")[0].removesuffix(" plus_minus")
            if name in self.names:
                word = f"'{name}' is a column of the answer: give yours another name"
                raise not_understood({"columns": {heading: [word]}})

    def _read(self) -> None:
        """Check every column."""
        problems: dict[str, list[str]] = {}
        for name, cells in self.table.columns.items():
            try:
                place = place_of(name)
                if place.label:
                    checked_texts(cells, place, self.faults)
                elif place.text:
                    self._words.append((place, checked_texts(cells, place, self.faults)))
                else:
                    self._numbers.append((place, checked_numbers(cells, place, self.faults)))
            except (PathError, ColumnError) as error:
                problems[name] = [str(error)]
        if problems:
            raise not_understood({"columns": problems})

    def _grouped(self) -> list[_Group]:
        """Rows with the same words together, in the order in which the first of each comes."""
        if not self._words or not self.faults.right.any():
            return [_Group(None, [])]
        keys: list[tuple[Place, list[Any], NDArray[np.intp]]] = []
        for place, texts in self._words:
            if place.keys[-1] == "metar":
                told = np.array([one.wind_direction is not None for one in texts.values])
                keys.append((place, [texts, texts], told.astype(np.intp)[texts.codes]))
            else:
                keys.append((place, texts.values, texts.codes))
        kinds = np.zeros(self.table.rows, dtype=np.intp)
        for _, values, codes in keys:
            kinds = kinds * len(values) + codes
        right = self.faults.right
        kinds = np.where(right, kinds, kinds[np.argmax(right)])  # a wrong row stays where it does not matter
        groups = []
        if len(different := dict.fromkeys(kinds.tolist())) > MOST_GROUPS:
            word = f"the words of the rows make {len(different)} kinds of aeroplane, at most {MOST_GROUPS} at once"
            raise not_understood({"columns": [f"{word}: send the table in parts"]})
        for kind in different:
            rows = np.flatnonzero(kinds == kind)
            first = int(rows[np.argmax(right[rows])])
            words = [(place, _word(values[int(codes[first])], rows)) for place, values, codes in keys]
            groups.append(_Group(rows, words))
        return groups

    def _fleet(self, group: _Group) -> Fleet | None:
        """A group without gaps; None where none of its rows can be answered."""
        rows = np.arange(self.table.rows) if group.rows is None else group.rows
        if not (rows.size or self._words):
            self._refuse_for_any_row(group, rows)
        while self.faults.right[rows].any():
            try:
                return self._made(group, rows)
            except RowsError as error:
                entry = pointers(error.messages)[0]
                self._note(rows[rows_in(error.bad, rows.size)], entry["pointer"], entry["detail"])
            except ValidationError as error:
                if not self._words:
                    raise self._in_request(error) from None
                entry = pointers(error.messages)[0]
                self._note(rows, entry["pointer"], entry["detail"])
            except Refusal as refusal:
                if not np.ndim(refusal.bad) and not self._words:
                    raise not_answerable(self._pointer(refusal.where), refusal.message) from None
                self._note(rows[rows_in(refusal.bad, rows.size)], refusal.where, refusal.message)
        return None

    def _refuse_for_any_row(self, group: _Group, rows: NDArray[np.intp]) -> None:
        """Refuse a table without rows as one with rows would be, whatever stood in them: a field may be missing."""
        try:
            self._made(group, rows)
        except ValidationError as error:
            raise self._in_request(error) from None
        except Refusal as refusal:
            raise not_answerable(self._pointer(refusal.where), refusal.message) from None

    def _made(self, group: _Group, rows: NDArray[np.intp]) -> Fleet:
        right = self.faults.right[rows]
        columns = [(place, column if group.rows is None else rows_of(column, rows)) for place, column in self._numbers]
        values = [(place, Checked(column if right.all() else standing_in(column, right))) for place, column in columns]
        values += [(place, Checked(word)) for place, word in group.words]
        try:
            self._placed = performance_request(placed(self._document, values), self.wanted.measures)
        except PathError as error:
            raise not_understood({"shared": [str(error)]}) from None
        asked = _REQUEST.load(self._placed)
        return fleet_of(
            asked["aircraft"], asked["loadings"][0], asked["conditions"][0], asked["flying"],
            asked.get("measures"), rows.size, self.wanted.spreads,
        )  # fmt: skip

    def _note(self, rows: NDArray[np.intp], pointer: str, message: str) -> None:
        self.faults.add(rows, name_of(pointer, self._placed), message)

    def _in_request(self, error: ValidationError) -> Problem:
        """A refusal of what is shared or of a whole column, its pointers within the request."""
        problem = not_understood(error.messages)
        first = problem.errors[0]["pointer"]
        found = [{**entry, "pointer": self._pointer(entry["pointer"])} for entry in problem.errors]
        detail = problem.detail.replace(first, found[0]["pointer"], 1) if first else problem.detail
        return Problem(problem.status, problem.title, detail, errors=found, kind=problem.kind)

    def _pointer(self, pointer: str) -> str:
        """Where in the request something stands that has a pointer into a request of `performance`."""
        name = name_of(pointer, self._placed)
        return f"/columns/{pointer_part(name)}" if name in self.table.columns else _shared_pointer(pointer)

    def blocks(self) -> Iterator[Block]:
        """The rows answered, block by block, in their order."""
        if len(self._fleets) == 1 and self._first is not None:
            start = 0
            for one in answered(self._first, self.faults, self.wanted.cautions):
                rows = slice(start, start + one.values.shape[1])
                yield self._block(rows, one)
                start = rows.stop
            return
        yield from self._gathered()

    def _gathered(self) -> Iterator[Block]:
        """Groups answered one after the other, and put in order."""
        count = len(self.names)
        values = np.full((count, self.table.rows), np.nan)
        spreads = np.full((count, self.table.rows), np.nan) if self.wanted.spreads else None
        cautions: list[list[str]] | None = [[] for _ in range(self.table.rows)] if self.wanted.cautions else None
        for group, fleet in self._fleets:
            if fleet is None:
                continue
            rows = np.arange(self.table.rows) if group.rows is None else group.rows
            faults, start = self.faults.of(rows), 0
            for one in answered(fleet, faults, self.wanted.cautions):
                here = rows[start : start + one.values.shape[1]]
                start += here.size
                values[:, here] = one.values
                if spreads is not None and one.spreads is not None:
                    spreads[:, here] = one.spreads
                for row, codes in zip(here.tolist(), one.cautions or (), strict=bool(one.cautions)):
                    cautions[row] = codes  # type: ignore[index]
            self.faults.codes[rows] = faults.codes
        for start in range(0, max(self.table.rows, 1), BLOCK):  # one block without rows where there are none
            rows_here = slice(start, min(start + BLOCK, self.table.rows))
            yield Block(
                rows_here,
                values[:, rows_here],
                None if spreads is None else spreads[:, rows_here],
                None if cautions is None else cautions[rows_here],
                self.faults.codes[rows_here],
            )

    def _block(self, rows: slice, one: Answered) -> Block:
        return Block(rows, one.values, one.spreads, one.cautions, self.faults.codes[rows])

    @property
    def words(self) -> list[str]:
        """What is to be said of rows, as far as they have been answered: ok, or which field is wrong and why."""
        return [
            message if not where else f"{name_of(where, self._placed) if where.startswith('/') else where}: {message}"
            for where, message in self.faults.reasons
        ]


def _word(value: Any, rows: NDArray[np.intp]) -> Any:
    """A word as its field has read it; reports of several rows as one of arrays."""
    if not isinstance(value, Texts):
        return value
    reports: list[Report] = [value.values[code] for code in value.codes[rows].tolist()]

    def column(name: str) -> Any:
        cells = [getattr(one, name) for one in reports]
        return None if cells[0] is None else np.array(cells, dtype=float).reshape(-1, 1, 1)

    return Report(*(column(name) for name in ("temperature", "dew_point", "qnh", "wind_direction", "wind_speed")))


def _document(shared: Mapping[str, Any]) -> dict[str, Any]:
    """What is shared, with names where it has none: nothing is computed from them."""
    unknown = [name for name in shared if name not in SHARED]
    if unknown:
        raise not_understood(
            {"shared": {name: [f"there is no such field: shared holds {', '.join(SHARED)}"] for name in unknown}}
        )
    for part in PARTS:
        if not isinstance(shared.get(part, {}), dict):
            raise not_understood({"shared": {part: ["must be an object"]}})
    return named(shared)


def _shared_pointer(pointer: str) -> str:
    """Where in what is shared something stands that has a pointer into a request of `performance`."""
    for several, one in (("/loadings/0", "/loading"), ("/conditions/0", "/condition")):
        if pointer.startswith(several):
            return "/shared" + one + pointer[len(several) :]
    return pointer if pointer.startswith("/measures") else "/shared" + pointer


def _plain(value: Any) -> Any:
    """A value that stood in for all rows; None where each has its own."""
    numbers = (getattr(value, "value", value), getattr(value, "plus_minus", None))
    return None if any(isinstance(number, np.ndarray) for number in numbers) else value


def refuse_too_much(batch: Batch, most: int) -> None:
    """Refuse more computed measures than the service does for a fleet.

    Raises
    ------
    Problem
        413.
    """
    if batch.work > most:
        raise too_much(
            f"this asks for {batch.work:,} computed measures, and {most:,} are permitted for a fleet: "
            "send fewer rows or measures, or leave spread out"
        )


def refuse_unequal(table: Table) -> None:
    """Refuse columns of different lengths.

    Raises
    ------
    Problem
        422.
    """
    columns: Sequence[tuple[str, Any]] = [*table.columns.items(), *table.others.items()]
    for name, cells in columns:
        if len(cells) != table.rows:
            word = f"has {len(cells)} values where another column has {table.rows}: send one for each row"
            raise not_understood({"columns": {name: [word]}})
