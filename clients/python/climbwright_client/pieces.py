"""Tables that come in, cut into pieces that fit a request.

Columns are called as in the service's CSV, with the unit in the heading: "aircraft.engine.power [hp]".
"""

import csv
import json
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sized
from dataclasses import dataclass
from itertools import chain, islice
from pathlib import Path
from typing import Any, Protocol

from climbwright_client import arrow
from climbwright_client.errors import FieldError, NotSent
from climbwright_client.quantity import Quantity, plain

__all__ = [
    "ARROW", "CSV", "JSON", "ArrowTable", "CsvFile", "CsvFrame", "ParquetFile", "Piece", "Rows", "Source",
    "check_headings", "goes_on",
]  # fmt: skip

ARROW, CSV, JSON = "application/vnd.apache.arrow.stream", "text/csv", "application/json"


@dataclass(frozen=True, slots=True)
class Piece:
    """Rows that are sent in one request, with their media type.

    `start` rows stand before it; `size` is in the unit of the size of its source.
    """

    content: bytes
    kind: str
    start: int
    rows: int
    size: int


class Source(Protocol):
    """A table that is cut into pieces."""

    @property
    def size(self) -> int | None:
        """Its size in rows or in bytes, where it is known."""

    def pieces(self, rows: int) -> Iterator[Piece]:
        """The table in pieces of so many rows."""


def check_headings(headings: list[Any]) -> None:
    """Refuse columns without a name of their own.

    Raises
    ------
    NotSent
        A heading is no text, or there twice.
    """
    for heading in headings:
        if not isinstance(heading, str):
            raise NotSent(f"the column {heading!r} has no text for a name")
        if headings.count(heading) > 1:
            raise NotSent(f"the column {heading!r} is there twice")


class Rows:
    """Dicts, one for each row, sent as Arrow streams where pyarrow is there and holds them, else as JSON columns."""

    def __init__(self, rows: Iterable[Any]) -> None:
        self._rows = iter(rows)
        self.size = len(rows) if isinstance(rows, Sized) else None

    def pieces(self, rows: int) -> Iterator[Piece]:
        """As `Source.pieces`."""
        start, names = 0, dict[str, None]()
        while batch := list(islice(self._rows, rows)):
            names = names or self._names(batch[0])
            columns = self._columns(batch, names, start)
            stream = _as_arrow(columns)
            content, kind = (_as_json(columns, start), JSON) if stream is None else (stream, ARROW)
            yield Piece(content, kind, start, len(batch), len(batch))
            start += len(batch)

    @staticmethod
    def _names(row: Any) -> dict[str, None]:
        """The columns, by the first row."""
        if not isinstance(row, Mapping):
            raise NotSent(f"row 1 is a {type(row).__name__}: give each row as a dict of its cells")
        if not row:
            raise NotSent("row 1 has no cells")
        check_headings(list(row))
        return dict.fromkeys(row)

    @staticmethod
    def _columns(batch: list[Any], names: dict[str, None], start: int) -> dict[str, list[Any]]:
        whole = True
        for place, row in enumerate(batch, start + 1):
            if type(row) is not dict and not isinstance(row, Mapping):
                raise NotSent(f"row {place} is a {type(row).__name__}: give each row as a dict of its cells")
            if row.keys() != names.keys():
                whole = False
                if more := row.keys() - names.keys():
                    raise NotSent(f"row {place} has {next(iter(more))!r}, which row 1 has not: give all the same cells")
        return {name: [row[name] for row in batch] if whole else [row.get(name) for row in batch] for name in names}


def _as_arrow(columns: dict[str, list[Any]]) -> bytes | None:
    """Columns as an Arrow stream; None where pyarrow is not there, or does not hold them."""
    package = arrow.pyarrow()
    if package is None:
        return None
    try:
        arrays = [package.array(cells, from_pandas=True) for cells in columns.values()]  # a nan is a gap
    except (package.ArrowException, TypeError, OverflowError, UnicodeEncodeError):
        return None
    return arrow.stream(package.Table.from_arrays(arrays, names=list(columns)))


def _as_json(columns: dict[str, list[Any]], start: int) -> bytes:
    """Columns as JSON; cells that JSON does not have are looked at one by one only where there are some."""
    read = {name: [_as_number(cell) for cell in cells] if _in_unit(name) else cells for name, cells in columns.items()}
    try:
        return json.dumps(read, allow_nan=False, ensure_ascii=False).encode()
    except (TypeError, ValueError):  # also a text that is not Unicode
        told = {
            name: [_cell(cell, name, place) for place, cell in enumerate(cells, start + 1)]
            for name, cells in read.items()
        }
        return json.dumps(told).encode()


def _in_unit(name: str) -> bool:
    """Whether a column is a field with its unit in the heading, whose texts are numbers as in CSV."""
    return "." in name and name.endswith("]")


_NUMBER = re.compile(r"\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*", re.ASCII)  # float() takes more: 1_000, nan


def _as_number(cell: Any) -> Any:
    """A text that is a plain number as that; all else as it is, which the service answers in the row's status."""
    if isinstance(cell, str) and _NUMBER.fullmatch(cell) and math.isfinite(float(cell)):
        return float(cell)
    return cell


def _cell(cell: Any, name: str, place: int) -> Any:
    """A cell as JSON has it: a quantity as text, a nan as a gap, an infinite number of a field in words."""
    if isinstance(cell, Quantity):
        if cell.plus_minus is not None:
            raise NotSent([FieldError(f"row {place}, {name}", "a cell takes no plus_minus: put it into shared")])
        try:
            return f"{float(cell)!r} {cell.unit or ''}".strip()
        except ValueError:
            raise NotSent([FieldError(f"row {place}, {name}", "this quantity has no number")]) from None
    if isinstance(cell, float) and not math.isfinite(cell):
        if math.isnan(cell):
            return None
        if _in_unit(name):
            return str(cell)
    if isinstance(cell, str) and not _is_unicode(cell):
        raise NotSent([FieldError(f"row {place}, {name}", f"{cell!r} holds half a character: send it in Unicode")])
    return plain(cell, f"row {place}, {name}")


def _is_unicode(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


class ArrowTable:
    """A table of Arrow, sent as Arrow streams."""

    def __init__(self, table: Any) -> None:
        self._table, self.size = table, table.num_rows

    def pieces(self, rows: int) -> Iterator[Piece]:
        """As `Source.pieces`."""
        for start in range(0, max(self.size, 1), rows):
            part = self._table.slice(start, rows)
            yield Piece(arrow.stream(part), ARROW, start, part.num_rows, part.num_rows)


class ParquetFile:
    """A Parquet file, read and sent in pieces."""

    def __init__(self, path: Path) -> None:
        arrow.needed()
        import pyarrow.parquet

        # with a buffer of its own the reader's memory would grow with the file
        with path.open("rb"):  # says itself what is wrong with the name
            self._file = arrow.table_of(lambda: pyarrow.parquet.ParquetFile(path, pre_buffer=False), str(path))
        self.size = self._file.metadata.num_rows

    def pieces(self, rows: int) -> Iterator[Piece]:
        """As `Source.pieces`."""
        package, start = arrow.needed(), 0
        with self._file:
            for batch in self._file.iter_batches(batch_size=rows, use_threads=False):
                yield Piece(
                    arrow.stream(package.Table.from_batches([batch])), ARROW, start, batch.num_rows, batch.num_rows
                )
                start += batch.num_rows
            if not start:
                yield Piece(arrow.stream(self._file.schema_arrow.empty_table()), ARROW, 0, 0, 0)


class CsvFrame:
    """A frame without pyarrow, sent as CSV."""

    def __init__(self, size: int, cut: Callable[[int, int], str]) -> None:
        self.size, self._cut = size, cut

    def pieces(self, rows: int) -> Iterator[Piece]:
        """As `Source.pieces`."""
        for start in range(0, max(self.size, 1), rows):
            stop = min(start + rows, self.size)
            yield Piece(self._cut(start, stop).encode(), CSV, start, stop - start, stop - start)


class CsvFile:
    """A CSV file, cut at its row ends and sent as it is."""

    def __init__(self, path: Path) -> None:
        self._path, self.size = path, path.stat().st_size

    def pieces(self, rows: int) -> Iterator[Piece]:
        """As `Source.pieces`."""
        start = 0
        with self._path.open("rb") as file:
            heading = file.readline()
            if heading and not heading.endswith(b"\n"):
                heading += b"\n"
            size = len(heading)
            while lines := list(islice(file, rows)):
                content, count = b"".join(lines), len(lines)
                if goes_on(content):
                    lines, count = _whole_rows(lines, file, start)
                    content = b"".join(lines)
                yield Piece(heading + content, CSV, start, count, size + len(content))
                start, size = start + count, 0
            if not start:
                yield Piece(heading, CSV, 0, 0, size)


def goes_on(content: bytes) -> bool:
    """Whether a cell of a CSV table goes on in the next line: some line holds an odd number of quotes."""
    return b'"' in content and b'"' in content.translate(None, _BUT_QUOTES).replace(b'""', b"")


_BUT_QUOTES = bytes(byte for byte in range(256) if byte not in b'"\n')


def _whole_rows(lines: list[bytes], more: Iterator[bytes], start: int) -> tuple[list[bytes], int]:
    """Lines, and those that the last row of them goes on in; and how many rows they are."""
    taken: list[bytes] = []
    count = 0

    def texts() -> Iterator[str]:
        for line in chain(lines, more):
            taken.append(line)
            yield line.decode("latin-1")

    try:
        for _ in csv.reader(texts()):
            count += 1
            if len(taken) >= len(lines):
                break
    except csv.Error as error:
        word = f"the file cannot be read as CSV after row {start + count} ({error}): is a quote not closed?"
        raise NotSent(word) from None
    return taken, count
