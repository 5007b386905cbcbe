"""Tables cut into pieces that fit a request, and the answers put together in what came in.

Columns are called as in the service's CSV, with the unit in the heading: "aircraft.engine.power [hp]".
"""

import csv
import io
import json
import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sized
from dataclasses import dataclass
from itertools import chain, islice, repeat
from pathlib import Path
from typing import Any, Protocol

from climbwright_client.errors import FieldError, NotSent
from climbwright_client.quantity import Quantity, plain

__all__ = ["ARROW", "CSV", "JSON", "Piece", "Sink", "Source", "Written", "rows_of", "source_and_sink"]

ARROW, CSV, JSON = "application/vnd.apache.arrow.stream", "text/csv", "application/json"
_SUFFIXES = (".csv", ".parquet")
_WORDS = ("status", "cautions")  # columns of an answer that hold no numbers


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


@dataclass(frozen=True, slots=True)
class Written:
    """A file of answers: where it is, its rows, and how many of them are right."""

    path: Path
    rows: int
    right: int

    @property
    def wrong(self) -> int:
        """How many rows say in `status` what is wrong with them."""
        return self.rows - self.right


class Source(Protocol):
    """A table that is cut into pieces."""

    @property
    def size(self) -> int | None:
        """Its size in rows or in bytes, where it is known."""

    def pieces(self, rows: int) -> Iterator[Piece]:
        """The table in pieces of so many rows."""


class Sink(Protocol):
    """What the answers become; `form` is the media type that it wants."""

    @property
    def form(self) -> str:
        """The media type."""

    def add(self, content: bytes) -> None:
        """The answer to the next piece."""

    def result(self) -> Any:
        """All of them."""

    def give_up(self) -> None:
        """Leave nothing half done."""


def source_and_sink(table: Any, into: Any, replace: bool) -> tuple[Source, Sink | None]:
    """How a table is read, and what its answers become; no sink for dicts, which are given out as they come.

    Raises
    ------
    NotSent
        It is no table.
    """
    if isinstance(table, str | os.PathLike):
        return _source_of(Path(table)), _sink_of(into, replace)
    if into is not None:
        raise NotSent("into names a file of answers: it goes with a table that is a file")
    arrow = _pyarrow()
    if arrow is not None and isinstance(table, arrow.Table):
        return _ArrowTable(table), _Table()
    if _is("pandas", "DataFrame", table):
        columns = list(table.columns)
        _check_headings(columns)
        if arrow is None:
            cut = lambda start, stop: table.iloc[start:stop].to_csv(index=False, lineterminator="\n")  # noqa: E731
            return _CsvFrame(len(table), cut), _CsvPandas(table)
        return _ArrowTable(_from(lambda: arrow.Table.from_pandas(table, preserve_index=False))), _Pandas(table)
    if _is("polars", "DataFrame", table):
        if arrow is None:
            return _CsvFrame(len(table), lambda start, stop: table[start:stop].write_csv()), _CsvPolars(table)
        return _ArrowTable(_from(table.to_arrow)), _Polars(table)
    if isinstance(table, Iterable) and not isinstance(table, Mapping | bytes):
        return _Rows(table), None
    raise NotSent(
        f"a {type(table).__name__} is no table: give dicts, one for each row, a pandas or polars frame, a pyarrow "
        "Table, or the path of a CSV or Parquet file; a dict of columns goes to ask('fleet', {'columns': ...})"
    )


def _source_of(path: Path) -> Source:
    _check_suffix(path)
    return _CsvFile(path) if path.suffix.lower() == ".csv" else _ParquetFile(path)


def _sink_of(into: Any, replace: bool) -> Sink:
    if into is None:
        raise NotSent("a file is answered into a file: name it with into, such as into='answers.csv'")
    path = Path(into)
    _check_suffix(path)
    if path.exists() and not replace:
        raise NotSent(f"{path} is there already: name another file, or let it be replaced (replace=True, --replace)")
    if not path.parent.is_dir():
        raise NotSent(f"{path.parent}, where the answers shall go, is no folder")
    return _CsvOut(path) if path.suffix.lower() == ".csv" else _ParquetOut(path)


def _check_suffix(path: Path) -> None:
    if path.suffix.lower() not in _SUFFIXES:
        raise NotSent(f"{path} is no table by its name: it ends with {' or '.join(_SUFFIXES)}")


def _check_headings(headings: list[Any]) -> None:
    for heading in headings:
        if not isinstance(heading, str):
            raise NotSent(f"the column {heading!r} has no text for a name")
        if headings.count(heading) > 1:
            raise NotSent(f"the column {heading!r} is there twice")


def _pyarrow() -> Any:
    """The package, or None where it is not installed."""
    try:
        import pyarrow
    except ImportError:
        return None
    return pyarrow


def _needed() -> Any:
    arrow = _pyarrow()
    if arrow is None:
        raise NotSent("Parquet needs the package pyarrow: install it, or use CSV")
    return arrow


def _is(package: str, name: str, value: Any) -> bool:
    """Whether a value is of a class of a package, which is not imported for that: who has such a value, has it."""
    module = sys.modules.get(package)
    return module is not None and isinstance(value, getattr(module, name))


def _from(made: Any) -> Any:
    """An Arrow table, or why it cannot be one."""
    try:
        return made()
    except Exception as error:  # of Arrow's many kinds
        told = " ".join(str(part) for part in error.args)
        raise NotSent(f"the table holds what Arrow cannot: {told[:300]}") from None


# Tables that come in


class _Rows:
    """Dicts, one for each row, sent as Arrow streams where pyarrow is there and holds them, else as JSON columns."""

    def __init__(self, rows: Iterable[Any]) -> None:
        self._rows = iter(rows)
        self.size = len(rows) if isinstance(rows, Sized) else None

    def pieces(self, rows: int) -> Iterator[Piece]:
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
        _check_headings(list(row))
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
    arrow = _pyarrow()
    if arrow is None:
        return None
    try:
        arrays = [arrow.array(cells, from_pandas=True) for cells in columns.values()]  # a nan is a gap
    except (arrow.ArrowException, TypeError, OverflowError):
        return None
    return _stream(arrow.Table.from_arrays(arrays, names=list(columns)))


def _as_json(columns: dict[str, list[Any]], start: int) -> bytes:
    """Columns as JSON; cells that JSON does not have are looked at one by one only where there are some."""
    read = {name: [_as_number(cell) for cell in cells] if _in_unit(name) else cells for name, cells in columns.items()}
    try:
        return json.dumps(read, allow_nan=False).encode()
    except (TypeError, ValueError):
        told = {
            name: [_cell(cell, name, place) for place, cell in enumerate(cells, start + 1)]
            for name, cells in read.items()
        }
        return json.dumps(told).encode()


def _in_unit(name: str) -> bool:
    """Whether a column is a field with its unit in the heading, whose texts are numbers as in CSV."""
    return "." in name and name.endswith("]")


def _as_number(cell: Any) -> Any:
    try:
        return float(cell) if isinstance(cell, str) else cell
    except ValueError:
        return cell


def _cell(cell: Any, name: str, place: int) -> Any:
    """A cell as JSON has it: a quantity as text, and a number that is none as a gap."""
    if isinstance(cell, Quantity):
        if cell.plus_minus is not None:
            raise NotSent([FieldError(f"row {place}, {name}", "a cell takes no plus_minus: put it into shared")])
        if not isinstance(cell.value, int | float):
            raise NotSent([FieldError(f"row {place}, {name}", "this quantity has no number")])
        return f"{cell.value!r} {cell.unit or ''}".strip()
    if isinstance(cell, float) and cell != cell:
        return None
    return plain(cell, f"row {place}, {name}")


class _ArrowTable:
    """A table of Arrow, sent as Arrow streams."""

    def __init__(self, table: Any) -> None:
        self._table, self.size = table, table.num_rows

    def pieces(self, rows: int) -> Iterator[Piece]:
        for start in range(0, max(self.size, 1), rows):
            part = self._table.slice(start, rows)
            yield Piece(_stream(part), ARROW, start, part.num_rows, part.num_rows)


def _stream(table: Any) -> bytes:
    import pyarrow.ipc

    sink = io.BytesIO()
    with pyarrow.ipc.new_stream(sink, table.schema) as stream:
        stream.write(table)
    return sink.getvalue()


class _ParquetFile:
    """A Parquet file, read and sent in pieces."""

    def __init__(self, path: Path) -> None:
        _needed()
        import pyarrow.parquet

        # with a buffer of its own the reader's memory would grow with the file
        with path.open("rb"):  # says itself what is wrong with the name
            self._file = _from(lambda: pyarrow.parquet.ParquetFile(path, pre_buffer=False))
        self.size = self._file.metadata.num_rows

    def pieces(self, rows: int) -> Iterator[Piece]:
        arrow, start = _needed(), 0
        with self._file:
            for batch in self._file.iter_batches(batch_size=rows, use_threads=False):
                yield Piece(_stream(arrow.Table.from_batches([batch])), ARROW, start, batch.num_rows, batch.num_rows)
                start += batch.num_rows
            if not start:
                yield Piece(_stream(self._file.schema_arrow.empty_table()), ARROW, 0, 0, 0)


class _CsvFrame:
    """A frame without pyarrow, sent as CSV."""

    def __init__(self, size: int, cut: Any) -> None:
        self.size, self._cut = size, cut

    def pieces(self, rows: int) -> Iterator[Piece]:
        for start in range(0, max(self.size, 1), rows):
            stop = min(start + rows, self.size)
            yield Piece(self._cut(start, stop).encode(), CSV, start, stop - start, stop - start)


class _CsvFile:
    """A CSV file, cut at its row ends and sent as it is."""

    def __init__(self, path: Path) -> None:
        self._path, self.size = path, path.stat().st_size

    def pieces(self, rows: int) -> Iterator[Piece]:
        start = 0
        with self._path.open("rb") as file:
            heading = file.readline()
            if heading and not heading.endswith(b"\n"):
                heading += b"\n"
            size = len(heading)
            while lines := list(islice(file, rows)):
                content, count = b"".join(lines), len(lines)
                if _goes_on(content):
                    lines, count = _whole_rows(lines, file, start)
                    content = b"".join(lines)
                yield Piece(heading + content, CSV, start, count, size + len(content))
                start, size = start + count, 0
            if not start:
                yield Piece(heading, CSV, 0, 0, size)


def _goes_on(content: bytes) -> bool:
    """Whether a cell of a CSV table goes on in the next line: some line holds an odd number of quotes."""
    return b'"' in content.translate(None, _BUT_QUOTES).replace(b'""', b"")


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


# What their answers become


class _Answers:
    """Answers as Arrow tables, to be put together."""

    form: str = ARROW

    def __init__(self) -> None:
        self._tables: list[Any] = []

    def add(self, content: bytes) -> None:
        self._tables.append(_read(content))

    def _all(self) -> Any:
        arrow = _needed()
        return arrow.concat_tables([_without_input(table) for table in self._tables])

    def give_up(self) -> None:
        self._tables.clear()


def _read(content: bytes) -> Any:
    _needed()
    import pyarrow.ipc

    return pyarrow.ipc.open_stream(content).read_all()


def _without_input(table: Any) -> Any:
    """The table without the hash of its piece's request, which is not that of the whole."""
    kept = {name: value for name, value in (table.schema.metadata or {}).items() if name != b"input"}
    return table.replace_schema_metadata(kept or None)


class _Table(_Answers):
    """A table of Arrow, units in the metadata of its fields."""

    def result(self) -> Any:
        return self._all()


def rows_of(content: bytes, kind: str) -> Iterator[dict[str, Any]]:
    """An answer in Arrow or in JSON columns as dicts, called as the columns of CSV."""
    if kind == ARROW:
        table = _headed(_read(content))
        columns = {name: table[name].to_pylist() for name in table.column_names}
    else:
        columns = _json_columns(content)
    return map(dict, map(zip, repeat(tuple(columns)), zip(*columns.values(), strict=True)))


def _json_columns(content: bytes) -> dict[str, list[Any]]:
    columns: dict[str, list[Any]] = {}
    for name, column in json.loads(content)["columns"].items():
        if isinstance(column, list):
            columns[name] = [" ".join(codes) for codes in column] if name == "cautions" else column
            continue
        columns[f"{name} [{column['unit']}]"] = column["value"]
        if "plus_minus" in column:
            columns[f"{name} plus_minus [{column['unit']}]"] = column["plus_minus"]
    return columns


def _headed(table: Any) -> Any:
    """A table with its units in the headings."""
    units = [(field.name, (field.metadata or {}).get(b"unit")) for field in table.schema]
    return table.rename_columns([name if unit is None else f"{name} [{unit.decode()}]" for name, unit in units])


class _Pandas(_Answers):
    """A frame of pandas, with the index and the own columns of the one that came in."""

    def __init__(self, given: Any) -> None:
        super().__init__()
        self._given = given

    def result(self) -> Any:
        return _own_pandas(_headed(self._all()).to_pandas(), self._given)


def _own_pandas(frame: Any, given: Any) -> Any:
    frame.index = given.index
    for name in frame.columns:
        if name in given.columns:
            frame[name] = given[name]
    return frame


class _Polars(_Answers):
    """A frame of polars, with the own columns of the one that came in."""

    def __init__(self, given: Any) -> None:
        super().__init__()
        self._given = given

    def result(self) -> Any:
        polars: Any = sys.modules["polars"]  # which its frame came from
        return _own_polars(polars.from_arrow(_headed(self._all())), self._given)


def _own_polars(frame: Any, given: Any) -> Any:
    return frame.with_columns([given[name] for name in frame.columns if name in given.columns])


class _CsvAnswers:
    """Answers in CSV, of which a frame is made without pyarrow, with the own columns of the one that came in."""

    form: str = CSV

    def __init__(self, given: Any) -> None:
        self._given = given
        self._columns: dict[str, list[Any]] = {}

    def add(self, content: bytes) -> None:
        headings, *rows = csv.reader(io.StringIO(content.decode(), newline=""))
        for name, cells in zip(headings, zip(*rows, strict=True) if rows else [()] * len(headings), strict=True):
            read = str if name in self._given.columns or name in _WORDS else _number
            self._columns.setdefault(name, []).extend(map(read, cells))

    def give_up(self) -> None:
        self._columns.clear()


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


class _CsvPandas(_CsvAnswers):
    def result(self) -> Any:
        pandas: Any = sys.modules["pandas"]  # which its frame came from
        types = {name: float for name in self._columns if name not in self._given.columns and name not in _WORDS}
        return _own_pandas(pandas.DataFrame(self._columns).astype(types), self._given)


class _CsvPolars(_CsvAnswers):
    def result(self) -> Any:
        polars: Any = sys.modules["polars"]
        own = self._given.columns
        types = {name: polars.String if name in own or name in _WORDS else polars.Float64 for name in self._columns}
        return _own_polars(polars.DataFrame(self._columns, schema=types), self._given)


class _File:
    """A file that appears under its name when it is whole."""

    def __init__(self, path: Path) -> None:
        self._path, self._part = path, path.with_name(path.name + ".part")
        self.rows = self.right = 0

    def result(self) -> Written:
        self._close()
        os.replace(self._part, self._path)
        return Written(self._path, self.rows, self.right)

    def give_up(self) -> None:
        self._close()
        self._part.unlink(missing_ok=True)

    def _close(self) -> None:
        raise NotImplementedError


class _CsvOut(_File):
    """A CSV file, of the answers as they come."""

    form: str = CSV

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self._file = self._part.open("wb")
        self._begun = False

    def add(self, content: bytes) -> None:
        heading_ends = content.find(b"\n") + 1
        self._file.write(memoryview(content)[heading_ends if self._begun else 0 :])
        self._begun = True
        self.right += content.count(b'"ok"\n') + content.count(b",ok\n")  # the status is the last column
        self.rows += _rows_in(content) - 1

    def _close(self) -> None:
        self._file.close()


def _rows_in(content: bytes) -> int:
    """Rows of a CSV table, heading included."""
    if _goes_on(content):
        return sum(1 for _ in csv.reader(io.StringIO(content.decode(), newline="")))
    return content.count(b"\n")


class _ParquetOut(_File):
    """A Parquet file, units in the metadata of its fields."""

    form: str = ARROW

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        _needed()
        self._writer: Any = None

    def add(self, content: bytes) -> None:
        import pyarrow.compute
        import pyarrow.parquet

        table = _without_input(_read(content))
        if self._writer is None:
            self._writer = pyarrow.parquet.ParquetWriter(self._part, table.schema)
        self._writer.write_table(table)
        self.rows += table.num_rows
        self.right += pyarrow.compute.sum(pyarrow.compute.equal(table["status"], "ok")).as_py() or 0

    def _close(self) -> None:
        if self._writer is not None:
            self._writer.close()
