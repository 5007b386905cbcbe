"""Columns read and checked: numbers in SI for all rows at once, and what is wrong with which cell.

What a cell may be is what its field takes in a request of one aeroplane: numbers well inside its bounds are looked at
all together, and the field itself reads the rest.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from marshmallow import ValidationError
from numpy.typing import NDArray

from climbwright.air.report import Report, decode_report
from climbwright.aircraft.loading import Amount
from climbwright.answers.fleet import Faults
from climbwright.arrays import Measured
from climbwright.units import QuantityError, Unit, speaks_of, unit_named
from climbwright.web.paths import Place
from climbwright.web.problems import pointers
from climbwright.web.schemas.aircraft import HeldField
from climbwright.web.schemas.fields import Quantity

__all__ = ["Cells", "ColumnError", "Gaps", "Texts", "checked_numbers", "checked_texts"]

_LONGEST = 40  # of a cell that is shown in a message


class ColumnError(ValueError):
    """A column that is wrong as a whole; the message says what to send and is safe to show."""


class Gaps(Mapping[int, None]):
    """Cells that hold nothing, by their rows; a table may be all gaps, of which each takes a byte here.

    Parameters
    ----------
    where : numpy.ndarray of bool
        Which rows they are.
    """

    def __init__(self, where: NDArray[np.bool_]) -> None:
        self._where = where

    def __getitem__(self, row: int) -> None:
        if not self._where[row]:
            raise KeyError(row)

    def __contains__(self, row: object) -> bool:
        return isinstance(row, int) and bool(self._where[row])

    def __iter__(self) -> Iterator[int]:
        return iter(np.flatnonzero(self._where).tolist())

    def __len__(self) -> int:
        return int(np.count_nonzero(self._where))


@dataclass(frozen=True, slots=True)
class Cells:
    """A column as it came: the unit that it is written in, its numbers (nan where a cell is none), and other cells.

    Without numbers every cell is among the others, which then are a list.
    """

    unit: str | None
    numbers: NDArray[np.float64] | None
    others: Mapping[int, Any] | Sequence[Any] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.others) if self.numbers is None else len(self.numbers)

    def cell(self, row: int) -> Any:
        """A cell as it came."""
        others: Any = self.others
        if self.numbers is None:
            return others[row]
        return others[row] if row in others else float(self.numbers[row])

    def at(self, rows: NDArray[np.intp]) -> "Cells":
        """The same with other rows, each as often as it is named."""
        if self.numbers is None:
            return Cells(self.unit, None, [self.cell(row) for row in rows.tolist()])
        if not self.others:
            return Cells(self.unit, self.numbers[rows])
        places = np.flatnonzero(np.isin(rows, list(self.others)))
        return Cells(self.unit, self.numbers[rows], {int(place): self.others[int(rows[place])] for place in places})


@dataclass(frozen=True, slots=True)
class Texts:
    """A column of words: which of a few values each row has."""

    codes: NDArray[np.intp]
    values: list[Any]


def _shown(cell: Any) -> str:
    text = str(cell)
    return text if len(text) <= _LONGEST else text[:_LONGEST] + "..."


def _first_message(error: ValidationError) -> str:
    entry = pointers(error.messages)[0]
    return entry["detail"]


def checked_numbers(cells: Cells, place: Place, faults: Faults) -> Any:
    """A column of quantities in SI.

    Parameters
    ----------
    cells : Cells
        As they came.
    place : Place
        The field that they belong to.
    faults : Faults
        What is wrong with a row is added.

    Returns
    -------
    numpy.ndarray or Amount
        Of the shape (rows, 1, 1), nan where a row is wrong; an amount of it where a station holds it.

    Raises
    ------
    ColumnError
        The column has no unit, or one of another kind.
    """
    kind, wrap = _kind(cells, place)
    if cells.numbers is None or (cells.unit is None and kind != "ratio"):
        if cells.numbers is not None and len(cells.others) < len(cells):
            raise ColumnError(f"the column has no unit of {kind}: write it beside the name, or in every cell")
        return wrap(_texts_as_numbers(cells, place, kind, faults))
    try:
        unit = unit_named(kind, "1" if cells.unit is None else cells.unit)
    except QuantityError as error:
        raise ColumnError(str(error)) from None
    with np.errstate(over="ignore"):
        numbers = cells.numbers * unit.factor + unit.zero
    _read_the_rest(numbers, cells, unit, kind, place, faults)
    return wrap(numbers)


def _kind(cells: Cells, place: Place) -> tuple[str, Callable[[NDArray[np.float64]], Any]]:
    """Kind of the column's quantities, and what its field makes of them."""

    def rows(numbers: NDArray[np.float64]) -> NDArray[np.float64]:
        return numbers.reshape(-1, 1, 1)

    if isinstance(place.field, Quantity):
        return place.field.kind, rows
    said: Any = [{"unit": cells.unit}]
    if cells.unit is None and cells.numbers is None:
        said = cells.others
    kind = next((kind for cell in said for kind in ("volume", "mass") if speaks_of(cell, kind)), "mass")
    return kind, lambda numbers: Amount(**{kind: rows(numbers)})


def _doubtful(numbers: NDArray[np.float64], place: Place, kind: str) -> NDArray[np.intp]:
    """Rows whose number is not well inside what its field takes."""
    if not numbers.size:
        return np.empty(0, dtype=np.intp)

    def inside(some: NDArray[np.float64]) -> NDArray[np.bool_]:
        if isinstance(place.field, Quantity):
            return place.field.inside(some)
        return np.asarray((some >= 0.0) & (some <= HeldField.MOST[kind]))

    ends = np.array([numbers.min(), numbers.max()])  # nan where any is nan
    return np.empty(0, dtype=np.intp) if inside(ends).all() else np.flatnonzero(~inside(numbers))


def _read_the_rest(
    numbers: NDArray[np.float64], cells: Cells, unit: Unit, kind: str, place: Place, faults: Faults
) -> None:
    """Cells that are no number or not well inside their bounds, one by one; those that are wrong become nan."""
    told: dict[Any, str | None] = {}
    doubtful = _doubtful(numbers, place, kind)
    right = faults.right[doubtful]
    numbers[doubtful[~right]] = np.nan  # of which a fault has been told
    for row in doubtful[right].tolist():
        cell = cells.cell(row)
        key = cell if isinstance(cell, float) else (type(cell), str(cell))
        if key not in told:
            told[key] = _fault(cell, unit, place)
        message = told[key]
        if message is not None:
            numbers[row] = np.nan
            faults.add([row], place.name, message)


def _fault(cell: Any, unit: Unit, place: Place) -> str | None:
    """What is wrong with a cell of a column that has a unit; None where nothing is."""
    if cell is None or (isinstance(cell, str) and not cell.strip()):
        return "the cell is empty: fill it in, or leave the row out"
    if isinstance(cell, bool) or not isinstance(cell, int | float):
        return f"'{_shown(cell)}' is not a plain number, and the unit of this column is {unit.name}: send a number"
    try:
        place.field.read({"value": cell, "unit": unit.name})
    except ValidationError as error:
        return _first_message(error)
    return None


def _texts_as_numbers(cells: Cells, place: Place, kind: str, faults: Faults) -> NDArray[np.float64]:
    """A column whose cells have units of their own."""
    numbers = np.full(len(cells), np.nan)
    told: dict[Any, float | str] = {}
    for row in np.flatnonzero(faults.right).tolist():
        cell = cells.cell(row)
        key = cell if isinstance(cell, str) else repr(cell)
        if key not in told:
            told[key] = _read_text(cell, place, kind)
        found = told[key]
        if isinstance(found, str):
            faults.add([row], place.name, found)
        else:
            numbers[row] = found
    return numbers


def _read_text(cell: Any, place: Place, kind: str) -> float | str:
    """A cell in SI, or what is wrong with it."""
    if cell is None or (isinstance(cell, str) and not cell.strip()):
        return "the cell is empty: fill it in, or leave the row out"
    try:
        value = place.field.read(cell)
    except ValidationError as error:
        return _first_message(error)
    if isinstance(value, Amount):
        value = getattr(value, kind)
        if value is None:
            return f"the column's other cells are of the kind {kind}: send this one as such too"
    if isinstance(value, Measured):
        return "a cell takes no plus_minus: send the value alone"
    return float(value)


def checked_texts(cells: Cells, place: Place, faults: Faults) -> Texts:
    """A column of words, or of coded reports.

    Parameters
    ----------
    cells : Cells
        As they came.
    place : Place
        The field that they belong to.
    faults : Faults
        What is wrong with a row is added.

    Returns
    -------
    Texts
        Reports come decoded; a row that is wrong has the code 0.
    """
    if cells.unit is not None:
        raise ColumnError("this field is a word, which has no unit: leave the unit out")
    read = _decoded if place.keys[-1] == "metar" else place.field.read
    values: list[Any] = []
    told: dict[Any, int | str] = {}
    codes = np.zeros(len(cells), dtype=np.intp)
    for row in range(len(cells)):
        cell = _text_at(cells, row)
        if cell not in told:
            told[cell] = _word(cell, read, values)
        found = told[cell]
        if isinstance(found, str):
            faults.add([row], place.name, found)
        else:
            codes[row] = found
    return Texts(codes, values)


def _text_at(cells: Cells, row: int) -> Any:
    """A cell, a text without the blanks around it; of what is none, its kind tells enough."""
    cell = cells.cell(row)
    return cell.strip() if isinstance(cell, str) else None if cell is None else type(cell)


def _word(cell: Any, read: Callable[[Any], Any], values: list[Any]) -> int | str:
    """Which of the values a cell is, a new one added; or what is wrong with it."""
    if not cell:
        return "the cell is empty: fill it in, or leave the row out"
    if not isinstance(cell, str):
        return "must be a text, in quotes where it is JSON"
    try:
        values.append(read(cell))
    except ValidationError as error:
        return _first_message(error)
    except ValueError as error:
        return str(error)
    return len(values) - 1


def _decoded(cell: str) -> Report:
    return decode_report(cell)
