"""A file read in partitions of so many rows, never held whole; the same file always falls into the same partitions."""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

from climbwright.batch.files import form_of
from climbwright.batch.partition import Partition
from climbwright.batch.refused import Refused
from climbwright.web.fleet.tables import pyarrow

__all__ = ["Source", "open_source"]

_PIECE = 1 << 20  # bytes of CSV that are read at a time
_LONGEST = 1 << 24  # bytes of a row of CSV: a quote that is never closed must not swallow the file


@dataclass(frozen=True, slots=True)
class Source:
    """A file's partitions in their order, and what their steps add up to."""

    partitions: Iterator[Partition]
    length: int


def open_source(path: Path, rows: int) -> Source:
    """A file, ready to be read.

    Parameters
    ----------
    path : pathlib.Path
        CSV, Parquet, or Arrow: a file or a stream, which its first bytes tell.
    rows : int
        Of a partition; the last may have fewer. Lines of CSV that are empty count.

    Raises
    ------
    Refused
        It is none of these, or cannot be read; the partitions raise it too.
    """
    form = form_of(path, "IN")
    try:
        source = {"csv": _csv, "parquet": _parquet}.get(form, _arrow)(path, rows)
    except (OSError, pyarrow().ArrowException) as error:
        raise _unreadable(path, error) from None
    return Source(_guarded(path, source.partitions), source.length)


def _guarded(path: Path, partitions: Iterator[Partition]) -> Iterator[Partition]:
    unreadable = OSError, pyarrow().ArrowException
    try:
        yield from partitions
    except unreadable as error:
        raise _unreadable(path, error) from None


def _unreadable(path: Path, error: Exception) -> Refused:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)[:200]
    return Refused(f"IN: '{path}' cannot be read: {reason}")


def _csv(path: Path, rows: int) -> Source:
    return Source(_numbered(_csv_tables(path, rows), rows, True), path.stat().st_size)


def _csv_tables(path: Path, rows: int) -> Iterator[tuple[bytes, int]]:
    """So many rows at a time with the heading before them, and the bytes that they took."""
    with path.open("rb") as file:
        heading = file.readline(_LONGEST)
        step = len(heading)
        for lines in _in_rows(file, rows):
            yield heading + lines, step + len(lines)
            step = 0


def _in_rows(file: BinaryIO, rows: int) -> Iterator[bytes]:
    """So many rows at a time; a table without rows has none once."""
    pieces: list[bytes] = []
    count, rest, made = 0, b"", False
    while piece := file.read(_PIECE):
        text, start = rest + piece, 0
        ends = _row_ends(text)
        for end in ends[rows - count - 1 :: rows].tolist():
            yield b"".join([*pieces, text[start:end]])
            pieces, start, made = [], end, True
        whole = int(ends[-1]) if ends.size else 0
        pieces.append(text[start:whole])
        count, rest = (count + ends.size) % rows, text[whole:]
        if len(rest) > _LONGEST:
            raise Refused(
                f"IN: a row is longer than {_LONGEST} bytes, close the quote that is open in it: {rest[:60]!r}"
            )
    if count or rest or not made:
        yield b"".join([*pieces, rest])


_CELL = rb'(?:"(?:[^"]+|"")*+"[^,\n]*+|(?!")[^,\n]*+)'
_ROW = re.compile(_CELL + rb"(?:," + _CELL + rb")*+\n")
_COMMA, _LINE_END, _QUOTE = b',\n"'


def _row_ends(text: bytes) -> NDArray[np.intp]:
    """Where rows end in a piece of CSV that begins with one: the places after their line ends.

    A line end within quotes is none, which is so after an odd number of quotes as long as every cell that has quotes
    begins with one. A cell may also hold a quote as a sign for inches; then the rows are looked at one by one.
    """
    signs = np.frombuffer(text, dtype=np.uint8)
    ends = np.flatnonzero(signs == _LINE_END)
    if _QUOTE not in text:
        return ends + 1
    quotes = np.flatnonzero(signs == _QUOTE)
    opening = quotes[::2]
    before = signs[opening[opening > 0] - 1]
    if np.isin(before, (_COMMA, _LINE_END, _QUOTE)).all():
        return np.asarray(ends[np.searchsorted(quotes, ends) % 2 == 0] + 1)
    found: list[int] = []
    while row := _ROW.match(text, found[-1] if found else 0):
        found.append(row.end())
    return np.array(found, dtype=np.intp)


def _parquet(path: Path, rows: int) -> Source:
    from pyarrow.parquet import ParquetFile

    file = ParquetFile(path, pre_buffer=False, buffer_size=_PIECE)  # else it keeps what it has read
    batches = file.iter_batches(rows, use_threads=False)
    return _in_streams(file.schema_arrow, batches, rows, file.metadata.num_rows)


def _arrow(path: Path, rows: int) -> Source:
    arrow = pyarrow()
    file = arrow.OSFile(str(path))  # not mapped into memory, where what was read would seem to stay
    if _begins_as_a_file(path):
        reader = arrow.ipc.open_file(file)
        batches = map(reader.get_batch, range(reader.num_record_batches))
        return _in_streams(reader.schema, batches, rows, reader.count_rows())
    reader = arrow.ipc.open_stream(file)
    return _in_streams(reader.schema, iter(reader), rows, path.stat().st_size, file.tell)


def _begins_as_a_file(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(6) == b"ARROW1"


def _in_streams(
    schema: Any, batches: Iterable[Any], rows: int, length: int, place: Callable[[], int] | None = None
) -> Source:
    """So many rows at a time as Arrow streams; steps are in rows, or in bytes where the place in the file is known."""
    arrow = pyarrow()

    def streams() -> Iterator[tuple[bytes, int]]:
        reached = 0
        for table in _tables(schema, batches, rows):
            sink = arrow.BufferOutputStream()
            with arrow.ipc.new_stream(sink, schema) as stream:
                stream.write_table(table)
            step = table.num_rows if place is None else place() - reached
            reached += step
            yield sink.getvalue().to_pybytes(), step

    return Source(_numbered(streams(), rows, False), length)


def _tables(schema: Any, batches: Iterable[Any], rows: int) -> Iterator[Any]:
    arrow = pyarrow()
    waiting: list[Any] = []
    count, made = 0, False
    for batch in batches:
        batch.validate(full=True)
        while count + batch.num_rows >= rows:
            first = rows - count
            yield arrow.Table.from_batches([*waiting, batch.slice(0, first)], schema)
            batch, waiting, count, made = batch.slice(first), [], 0, True
        if batch.num_rows:
            waiting.append(batch)
            count += batch.num_rows
    if waiting or not made:
        yield arrow.Table.from_batches(waiting, schema)


def _numbered(tables: Iterable[tuple[bytes, int]], rows: int, csv: bool) -> Iterator[Partition]:
    for number, (table, step) in enumerate(tables):
        yield Partition(number, number * rows, csv, table, step)
