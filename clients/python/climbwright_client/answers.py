"""What the answers to the pieces of a table become: a frame, a table, a file, or dicts."""

import csv
import io
import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import repeat
from pathlib import Path
from typing import Any, Protocol

from climbwright_client import arrow
from climbwright_client.asking import json_object
from climbwright_client.pieces import ARROW, CSV, goes_on

__all__ = [
    "ArrowPandas", "ArrowPolars", "ArrowTables", "CsvOut", "CsvPandas", "CsvPolars", "ParquetOut", "Sink", "Written",
    "rows_of",
]  # fmt: skip

_WORDS = ("status", "cautions")  # columns of an answer that hold no numbers


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


class _ArrowAnswers:
    """Answers as Arrow tables, to be put together."""

    form: str = ARROW

    def __init__(self) -> None:
        self._tables: list[Any] = []

    def add(self, content: bytes) -> None:
        """As `Sink.add`."""
        self._tables.append(arrow.read(content))

    def _all(self) -> Any:
        return arrow.needed().concat_tables([arrow.without_input(table) for table in self._tables])

    def give_up(self) -> None:
        """As `Sink.give_up`."""
        self._tables.clear()


class ArrowTables(_ArrowAnswers):
    """A table of Arrow, units in the metadata of its fields."""

    def result(self) -> Any:
        """As `Sink.result`."""
        return self._all()


def rows_of(content: bytes, kind: str) -> Iterator[dict[str, Any]]:
    """An answer in Arrow or in JSON columns as dicts, called as the columns of CSV."""
    if kind == ARROW:
        table = arrow.headed(arrow.read(content))
        columns = {name: table[name].to_pylist() for name in table.column_names}
    else:
        columns = _json_columns(content)
    return map(dict, map(zip, repeat(tuple(columns)), zip(*columns.values(), strict=True)))


def _json_columns(content: bytes) -> dict[str, list[Any]]:
    columns: dict[str, list[Any]] = {}
    for name, column in json_object(content)["columns"].items():
        if isinstance(column, list):
            columns[name] = [" ".join(codes) for codes in column] if name == "cautions" else column
            continue
        columns[f"{name} [{column['unit']}]"] = column["value"]
        if "plus_minus" in column:
            columns[f"{name} plus_minus [{column['unit']}]"] = column["plus_minus"]
    return columns


class ArrowPandas(_ArrowAnswers):
    """A frame of pandas, with the index and the own columns of the one that came in."""

    def __init__(self, given: Any) -> None:
        super().__init__()
        self._given = given

    def result(self) -> Any:
        """As `Sink.result`."""
        return _own_pandas(arrow.headed(self._all()).to_pandas(), self._given)


def _own_pandas(frame: Any, given: Any) -> Any:
    frame.index = given.index
    for name in frame.columns:
        if name in given.columns:
            frame[name] = given[name]
    return frame


class ArrowPolars(_ArrowAnswers):
    """A frame of polars, with the own columns of the one that came in."""

    def __init__(self, given: Any) -> None:
        super().__init__()
        self._given = given

    def result(self) -> Any:
        """As `Sink.result`."""
        polars: Any = sys.modules["polars"]  # which its frame came from
        return _own_polars(polars.from_arrow(arrow.headed(self._all())), self._given)


def _own_polars(frame: Any, given: Any) -> Any:
    return frame.with_columns([given[name] for name in frame.columns if name in given.columns])


class _CsvAnswers:
    """Answers in CSV, of which a frame is made without pyarrow, with the own columns of the one that came in."""

    form: str = CSV

    def __init__(self, given: Any) -> None:
        self._given = given
        self._columns: dict[str, list[Any]] = {}

    def add(self, content: bytes) -> None:
        """As `Sink.add`."""
        headings, *rows = csv.reader(io.StringIO(content.decode(), newline=""))
        for name, cells in zip(headings, zip(*rows, strict=True) if rows else [()] * len(headings), strict=True):
            read = str if name in self._given.columns or name in _WORDS else _number
            self._columns.setdefault(name, []).extend(map(read, cells))

    def give_up(self) -> None:
        """As `Sink.give_up`."""
        self._columns.clear()


def _number(cell: str) -> float | None:
    return float(cell) if cell else None


class CsvPandas(_CsvAnswers):
    """A frame of pandas."""

    def result(self) -> Any:
        """As `Sink.result`."""
        pandas: Any = sys.modules["pandas"]  # which its frame came from
        types = {name: float for name in self._columns if name not in self._given.columns and name not in _WORDS}
        return _own_pandas(pandas.DataFrame(self._columns).astype(types), self._given)


class CsvPolars(_CsvAnswers):
    """A frame of polars."""

    def result(self) -> Any:
        """As `Sink.result`."""
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
        """As `Sink.result`."""
        self._close()
        os.replace(self._part, self._path)
        return Written(self._path, self.rows, self.right)

    def give_up(self) -> None:
        """As `Sink.give_up`."""
        self._close()
        self._part.unlink(missing_ok=True)

    def _close(self) -> None:
        raise NotImplementedError


class CsvOut(_File):
    """A CSV file, of the answers as they come."""

    form: str = CSV

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self._file = self._part.open("wb")
        self._begun = False

    def add(self, content: bytes) -> None:
        """As `Sink.add`."""
        heading_ends = content.find(b"\n") + 1
        self._file.write(memoryview(content)[heading_ends if self._begun else 0 :])
        self._begun = True
        quoted = content[:heading_ends].rstrip().endswith(b'"')
        self.right += content.count(b'"ok"\n' if quoted else b",ok\n")  # the status is the last column
        self.rows += _rows_in(content) - 1

    def _close(self) -> None:
        self._file.close()


def _rows_in(content: bytes) -> int:
    """Rows of a CSV table, heading included."""
    if goes_on(content):
        return sum(1 for _ in csv.reader(io.StringIO(content.decode(), newline="")))
    return content.count(b"\n")


class ParquetOut(_File):
    """A Parquet file, units in the metadata of its fields."""

    form: str = ARROW

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        arrow.needed()
        self._writer: Any = None

    def add(self, content: bytes) -> None:
        """As `Sink.add`."""
        import pyarrow.compute
        import pyarrow.parquet

        table = arrow.without_input(arrow.read(content))
        if self._writer is None:
            self._writer = pyarrow.parquet.ParquetWriter(self._part, table.schema)
        self._writer.write_table(table)
        self.rows += table.num_rows
        self.right += pyarrow.compute.sum(pyarrow.compute.equal(table["status"], "ok")).as_py() or 0

    def _close(self) -> None:
        if self._writer is not None:
            self._writer.close()
