"""A table as it came: JSON columns, CSV or an Arrow stream, read strictly; nothing of it is checked against a field."""

import csv
import io
import json
import math
import re
import struct
from array import array
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import orjson
from numpy.typing import NDArray

from climbwright.units import speaks_of
from climbwright.web.fleet.columns import Cells, ColumnError, Gaps
from climbwright.web.fleet.limits import Limits, refuse_too_large, refuse_too_many
from climbwright.web.fleet.packed import compressed_size, plain, unpacked_size
from climbwright.web.paths import is_field, is_label
from climbwright.web.problems import Problem, not_understood, unreadable
from climbwright.web.reading import DEEPEST, decode_body
from climbwright.web.rendering.tables import FORMULA, PLAIN_NUMBER

__all__ = [
    "Table",
    "arrow_table",
    "as_cells",
    "as_text",
    "cells_of",
    "column_of",
    "csv_table",
    "decode_large",
    "from_arrow",
    "json_table",
    "pyarrow",
    "taken",
]

Fields = Callable[[str], bool]  # whether a column of this name must be a field

_HEADING = re.compile(r"(?P<name>.*?)\s*\[(?P<unit>[^\[\]]*)\]\s*", re.DOTALL)
_MOST_COLUMNS = 500
_LONGEST_HEADING = 100_000  # [bytes]
_ROW = 2**20  # bytes that Arrow reads at a time, which a row must fit into
_HUGE = 1e308  # a whole number beyond has no place among floats
_RESERVED = "status", "cautions"
_AMOUNTS = "loading.stations."


@dataclass(frozen=True, slots=True)
class Table:
    """Columns by name: those that are fields, and others that go through as they are; all of one length, or of two.

    The others are lists or Arrow arrays. `rows` is the greatest length.
    """

    columns: Mapping[str, Cells]
    others: Mapping[str, Any]
    rows: int


def pyarrow() -> Any:
    """The package that reads CSV and Arrow, imported where it is used: it takes a tenth of a second.

    Raises
    ------
    Problem
        501 where it is not installed.
    """
    try:
        import pyarrow
        import pyarrow.compute
        import pyarrow.csv
        import pyarrow.ipc
    except ImportError:
        raise Problem(
            501, "Not Implemented", "this service was installed without its part for CSV and Arrow: send JSON columns"
        ) from None
    return pyarrow


def _split(heading: str) -> tuple[str, str | None]:
    """Name and unit of a heading ``NAME [UNIT]``; a station's own name may end in brackets that hold no unit."""
    match = _HEADING.fullmatch(heading)
    if match is None:
        return heading.strip(), None
    name, unit = match["name"].strip(), match["unit"].strip()
    if name.startswith(_AMOUNTS) and not any(speaks_of({"unit": unit}, kind) for kind in ("mass", "volume")):
        return heading.strip(), None
    return name, unit


def _named(headings: Iterable[str], where: str, fields: Fields = is_field) -> dict[str, tuple[str, str | None]]:
    """Name and unit by heading; a field goes by its name, anything else by its whole heading.

    Raises
    ------
    Problem
        422 a heading is empty, there twice, or one that the answer needs.
    """
    found: dict[str, tuple[str, str | None]] = {}
    seen: set[str] = set()
    for heading in headings:
        name, unit = _split(heading)
        if not fields(name):
            name, unit = heading, None
        if not name or len(name) > 200 or not name.isprintable():
            raise _refused(where, "a column has no name that can be used: a heading is 1 to 200 printable characters")
        if name in seen:
            raise _refused(where, f"the column '{name}' is there twice: send it once")
        if name in _RESERVED:
            raise _refused(where, f"'{name}' is a column of the answer: give yours another name")
        seen.add(name)
        found[heading] = name, unit
    if not found:
        raise _refused(where, "the table has no columns")
    if len(found) > _MOST_COLUMNS:
        raise _refused(where, f"the table has {len(found)} columns: send at most {_MOST_COLUMNS}")
    return found


def _refused(where: str, message: str) -> Problem:
    return not_understood({where: [message]} if where else {"_schema": [message]})


def decode_large(body: bytes) -> dict[str, Any]:
    """A large JSON object, as strictly as a small one, in a quarter of the time.

    orjson keeps the last of two equal keys and says nothing. Outside of texts there is a colon for every key and none
    otherwise: as many colons as keys, and no key stood twice. Where a text holds a colon too, where orjson refuses the
    body, and where it is too deep to be counted, the strict decoder decides.
    """
    try:
        value = orjson.loads(body)
    except orjson.JSONDecodeError:
        return _whole(decode_body(body))
    if not isinstance(value, dict) or body.count(b":") != _keys_in(value):
        return decode_body(body)
    return value


def _whole(value: dict[str, Any]) -> dict[str, Any]:
    """Refuse half characters, which the strict decoder takes and no answer could give back."""
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise unreadable("a text of the body holds half a character (a lone surrogate): send it whole") from None
    return value


def _keys_in(value: Any, levels: int = DEEPEST) -> float:
    """How many keys a decoded document has, infinite if it is too deep; lists of numbers are looked at no further."""
    if levels == 0:
        return math.inf
    if isinstance(value, dict):
        return len(value) + sum(
            _keys_in(inner, levels - 1) for inner in value.values() if isinstance(inner, dict | list)
        )
    if isinstance(value, list) and value and not isinstance(value[0], int | float):
        return sum(_keys_in(inner, levels - 1) for inner in value if isinstance(inner, dict | list))
    return 0


def json_table(given: Any) -> Table:
    """Columns of a JSON document: a list, or an object of a list and its unit.

    Raises
    ------
    Problem
        422 something is not such a column.
    """
    if not isinstance(given, dict):
        raise not_understood({"columns": ["must be an object of columns by name"]})
    columns: dict[str, Cells] = {}
    others: dict[str, Any] = {}
    for heading, (name, unit) in _named(given, "columns").items():
        values, unit = _json_column(given[heading], heading, unit)
        if is_field(name):
            columns[name] = cells_of(values, unit)
        if not is_field(name) or is_label(name):
            others[name] = _plain(given[heading], heading)
    return Table(columns, others, _rows(columns, others))


_COLUMN = "a column is a list, or an object of a list 'value' and its 'unit'"


def _json_column(given: Any, heading: str, unit: str | None) -> tuple[list[Any], str | None]:
    try:
        return column_of(given, unit)
    except ColumnError as error:
        raise not_understood({"columns": {heading: [str(error)]}}) from None


def column_of(given: Any, unit: str | None = None) -> tuple[list[Any], str | None]:
    """Cells and unit of a JSON column; `unit` is one that its name gives already.

    Raises
    ------
    ColumnError
        It is no column.
    """
    if isinstance(given, dict):
        extra = given.keys() - {"value", "unit"}
        if extra == {"plus_minus"}:
            raise ColumnError("a column takes no plus_minus: put it into shared")
        if extra or not isinstance(given.get("value"), list):
            raise ColumnError(_COLUMN)
        if unit is not None and "unit" in given:
            raise ColumnError("the unit is given twice, in the name and beside the values: send it once")
        unit = given.get("unit", unit)
        if unit is not None and not isinstance(unit, str):
            raise ColumnError("the unit must be a text")
        return given["value"], unit
    if not isinstance(given, list):
        raise ColumnError(_COLUMN)
    return given, unit


def _plain(given: Any, heading: str) -> list[Any]:
    """A column that goes through: texts, numbers, truths and gaps."""
    if not isinstance(given, list) or any(isinstance(cell, dict | list) for cell in given):
        word = "a column that is no field is a list of texts, numbers or null: write a field with its points"
        raise not_understood({"columns": {heading: [word]}})
    return given


def cells_of(values: list[Any], unit: str | None) -> Cells:
    """A list as numbers, where it holds some."""
    try:
        numbers = np.frombuffer(array("d", values))  # which, other than numpy, refuses texts and gaps
    except (TypeError, OverflowError):
        numbers = None
    if numbers is not None and not _truths(numbers, values):
        return Cells(unit, numbers)
    if unit is None:
        return Cells(None, None, values)
    plain = [_is_number(cell) for cell in values]
    numbers = np.array([float(cell) if fits else np.nan for cell, fits in zip(values, plain, strict=True)])
    if values.count(None) == len(values) - sum(plain):
        return Cells(unit, numbers, Gaps(~np.array(plain, dtype=bool)))
    return Cells(unit, numbers, {row: values[row] for row, fits in enumerate(plain) if not fits})


def _is_number(cell: Any) -> bool:
    return isinstance(cell, int | float) and not isinstance(cell, bool) and abs(cell) < _HUGE


def _truths(numbers: NDArray[np.float64], values: list[Any]) -> bool:
    """Whether a truth became a number, which then is 0 or 1."""
    odd = np.flatnonzero((numbers == 0.0) | (numbers == 1.0))
    return any(isinstance(values[row], bool) for row in odd.tolist())


def _rows(columns: Mapping[str, Cells], others: Mapping[str, Any]) -> int:
    return max((len(column) for column in (*columns.values(), *others.values())), default=0)


def csv_table(body: bytes, limits: Limits, before: int = 0, fields: Fields = is_field) -> Table:
    """Columns of a CSV table with a heading.

    Parameters
    ----------
    body : bytes
        The table.
    limits : Limits
        How large it may be.
    before : int
        Rows of a longer table that came earlier, for the numbers of lines in messages.
    fields : callable
        Which names are those of fields: their heading holds a unit, anything else goes through.

    Raises
    ------
    Problem
        400 it cannot be read, 413 it is too large, 422 its headings are wrong.
    """
    arrow = pyarrow()
    body = body.removeprefix(b"\xef\xbb\xbf")
    headings = _headings(body)
    if body.count(b'"') % 2:
        _refuse_open_quote(body)
    if b"\n" not in body:
        body += b"\n"
    named = _named(headings, "", fields)
    types = {heading: arrow.string() for heading in headings}
    types |= dict.fromkeys((heading for heading, (_, unit) in named.items() if unit is not None), arrow.float64())
    try:
        table = _csv(arrow, body, headings, types)
    except arrow.ArrowInvalid:
        _refuse_other_encodings(body, before)
        table = _csv(arrow, body, headings, dict.fromkeys(headings, arrow.string()), before)
    return from_arrow(table, limits, fields)


def _refuse_open_quote(body: bytes) -> None:
    """Refuse a cell that begins with a quote and does not end: it would take all the rows that follow into itself."""
    try:
        for _ in csv.reader(io.StringIO(body.decode("utf-8", "replace"), newline=""), strict=True):
            pass
    except csv.Error:
        word = "a quote is not closed: a cell in quotes ends with one, and one within it is written twice"
        raise unreadable(word) from None


def _refuse_other_encodings(body: bytes, before: int) -> None:
    """Refuse bytes that are not UTF-8, which could be told of no row."""
    try:
        body.decode("utf-8")
    except UnicodeDecodeError as error:
        line = body.count(b"\n", 0, error.start) + 1 + before
        raise unreadable(f"line {line} is not in UTF-8: save the table as CSV in UTF-8") from None


def _headings(body: bytes) -> list[str]:
    end = body.find(b"\n")
    line = body if end < 0 else body[:end]
    if len(line) > _LONGEST_HEADING:
        raise unreadable(f"the heading is longer than {_LONGEST_HEADING} bytes: send fewer columns, with shorter names")
    try:
        first = line.decode("utf-8").rstrip("\r")
        rows = list(csv.reader([first], strict=True))
    except (UnicodeDecodeError, csv.Error):
        word = "the first line is no heading: send one line in UTF-8 with its quotes closed, ended by a line feed"
        raise unreadable(word) from None
    if not rows or not rows[0]:
        raise unreadable("the table is empty: send a heading, and its rows")
    if len(rows[0]) == 1 and (";" in first or "\t" in first):
        raise unreadable("the columns are not separated by commas: send CSV with commas and points as decimal marks")
    return rows[0]


def _csv(arrow: Any, body: bytes, headings: list[str], types: Mapping[str, Any], before: int | None = None) -> Any:
    """The table with columns of these types; what does not fit is refused in words where lines are to be counted."""
    wrong: list[Any] = []
    strict = before is not None

    def note(row: Any) -> str:
        wrong.append(row)
        return "error"

    handler = note if strict else None
    alone = len(headings) == 1  # there an empty line is an empty cell
    names = [str(place) for place in range(len(headings))]
    try:
        return arrow.csv.read_csv(
            arrow.BufferReader(body),
            read_options=arrow.csv.ReadOptions(
                column_names=names, skip_rows=1, use_threads=not strict, block_size=len(body) + 1 if strict else _ROW
            ),
            parse_options=arrow.csv.ParseOptions(
                newlines_in_values=b'"' in body, ignore_empty_lines=not alone, invalid_row_handler=handler
            ),
            convert_options=arrow.csv.ConvertOptions(
                column_types={name: types[heading] for name, heading in zip(names, headings, strict=True)},
                null_values=[""], strings_can_be_null=True, quoted_strings_can_be_null=True,
            ),
        ).rename_columns(headings)  # fmt: skip
    except arrow.ArrowInvalid as error:
        if not strict:
            raise
        if wrong:
            row = wrong[0]
            place = f"line {row.number + before}" if row.number is not None else "a line"
            raise unreadable(f"{place} has {row.actual_columns} cells, the heading {row.expected_columns}") from None
        raise unreadable(f"the table cannot be read as CSV in UTF-8: {str(error)[:120]}") from None


def arrow_table(body: bytes, limits: Limits, fields: Fields = is_field) -> Table:
    """Columns of an Arrow stream; a unit stands in a field's metadata or in its name.

    Raises
    ------
    Problem
        400 it cannot be read, 413 it is too large, 422 its headings are wrong.
    """
    arrow = pyarrow()
    try:
        refuse_too_large(compressed_size(arrow, body), limits.size)
        table = arrow.ipc.open_stream(arrow.BufferReader(body)).read_all()
        _ = table.schema.names  # which are decoded here
        refuse_too_many(table.num_rows, limits.rows)
        table.validate(full=True)
    except MemoryError:  # ours is short; what the body claims beyond its size was refused before
        raise
    except UnicodeDecodeError:
        raise unreadable("a name of a column is not UTF-8") from None
    except (arrow.ArrowException, OSError, struct.error) as error:
        raise unreadable(f"the table cannot be read as an Arrow stream: {str(error)[:120]}") from None
    return from_arrow(table, limits, fields)


def from_arrow(table: Any, limits: Limits, fields: Fields = is_field) -> Table:
    """Columns of an Arrow table; a unit stands in a field's metadata or in its name.

    Raises
    ------
    Problem
        413 it is too large, 422 its headings are wrong.
    """
    refuse_too_many(table.num_rows, limits.rows)
    named = _named(table.schema.names, "", fields)
    for one in table.schema:
        unit = (one.metadata or {}).get(b"unit")
        name, in_name = named[one.name]
        if unit is not None and fields(name):
            if in_name is not None:
                raise _refused("", f"the unit of '{name}' is given twice, in the name and beside it: send it once")
            named[one.name] = name, unit.decode("utf-8", "replace")
    columns: dict[str, Cells] = {}
    others: dict[str, Any] = {}
    for (name, unit), column in zip(named.values(), _plain_columns(table, limits), strict=True):
        if fields(name):
            columns[name] = _arrow_cells(column, name, unit)
        if not fields(name) or is_label(name):
            others[name] = _through(column, name)
    return Table(columns, others, table.num_rows)


def _plain_columns(table: Any, limits: Limits) -> list[Any]:
    """Columns of simple types, each cell of which stands for itself."""
    arrow = pyarrow()
    for field in table.schema:
        if not _is_simple(field.type):
            kind = str(field.type)[:80]
            word = f"the column '{field.name}' is of the Arrow type {kind}, which cannot go through"
            raise _refused("columns", f"{word}: send numbers or texts")
    try:
        columns = [column.combine_chunks() for column in table.columns]
        refuse_too_large(sum(unpacked_size(arrow, column) for column in columns), limits.size)
        return [plain(arrow, column) for column in columns]
    except arrow.ArrowException as error:  # a form of a simple type that the package does not know
        raise _refused("columns", f"a column cannot be read ({str(error)[:120]}): send numbers or texts") from None


def _is_simple(kind: Any) -> bool:
    """Whether a column of this type, or the dictionary that it has, holds one number, text or time in each cell."""
    kinds = pyarrow().types
    if kinds.is_dictionary(kind):
        return not kinds.is_dictionary(kind.value_type) and _is_simple(kind.value_type)
    one = kinds.is_null(kind) or kinds.is_boolean(kind) or kinds.is_primitive(kind) or kinds.is_decimal(kind)
    binary = kinds.is_binary(kind) or kinds.is_large_binary(kind) or kinds.is_fixed_size_binary(kind)
    return bool(one or binary or _is_text(kind))


def _arrow_cells(column: Any, name: str, unit: str | None) -> Cells:
    """An Arrow array as numbers, where it holds some; texts where it holds those."""
    arrow = pyarrow()
    kinds = arrow.types
    if kinds.is_floating(column.type) or kinds.is_integer(column.type) or kinds.is_decimal(column.type):
        column = column.cast(arrow.float64(), safe=False)
        numbers = column.to_numpy(zero_copy_only=False)
        if not column.null_count:
            return Cells(unit, numbers)
        return Cells(unit, numbers, Gaps(column.is_null().to_numpy(zero_copy_only=False)))
    if not (_is_text(column.type) or kinds.is_boolean(column.type) or kinds.is_null(column.type)):
        raise _refused("columns", f"the column '{name}' is of the Arrow type {column.type}: send numbers or texts")
    if unit is None:
        return Cells(None, None, column.to_pylist())
    return cells_of([_as_number(cell) for cell in column.to_pylist()], unit)


def _is_text(kind: Any) -> bool:
    kinds = pyarrow().types
    return bool(kinds.is_string(kind) or kinds.is_large_string(kind) or kinds.is_string_view(kind))


def _through(column: Any, name: str) -> Any:
    """An Arrow array that goes through; one that cannot be written as text is refused."""
    arrow = pyarrow()
    try:
        as_text(column)
    except arrow.ArrowException:
        word = f"the column '{name}' is of the Arrow type {column.type}, which cannot go through: send texts or numbers"
        raise _refused("columns", word) from None
    return column


def as_text(column: Any) -> Any:
    """An Arrow array that goes through as JSON and CSV hold it: texts, numbers and truths stay, others become texts.

    Raises
    ------
    pyarrow.ArrowException
        Its type has no text.
    """
    arrow = pyarrow()
    kinds, kind = arrow.types, column.type
    plain = kinds.is_string(kind) or kinds.is_large_string(kind) or kinds.is_boolean(kind)
    if plain or kinds.is_integer(kind) or kinds.is_float32(kind) or kinds.is_float64(kind):
        return column
    return column.cast(arrow.string())


def as_cells(column: Any) -> Any:
    """An Arrow array as CSV holds it: as texts where `as_text` makes some, none of which a spreadsheet computes."""
    arrow = pyarrow()
    column = as_text(column)
    if not _is_text(column.type):
        return column
    compute = arrow.compute
    formulas = compute.match_substring_regex(column, f"^{FORMULA}")
    if not compute.any(formulas).as_py():
        return column
    formulas = compute.and_not(formulas, compute.match_substring_regex(column, f"^(?:{PLAIN_NUMBER})$"))
    mark, none = (arrow.scalar(text, column.type) for text in ("'", ""))
    return compute.if_else(formulas, compute.binary_join_element_wise(mark, column, none), column)


_PLAIN = re.compile(rf"\s*{PLAIN_NUMBER}\s*", re.ASCII)


def _as_number(cell: Any) -> Any:
    """A text of a table as the number that it is; anything else as it came."""
    if isinstance(cell, str) and _PLAIN.fullmatch(cell):
        return float(cell)
    return cell


def taken(column: Any, rows: NDArray[np.intp]) -> Any:
    """A column that goes through, with other rows."""
    if isinstance(column, list):
        return [column[row] for row in rows.tolist()]
    return column.take(pyarrow().array(rows))
