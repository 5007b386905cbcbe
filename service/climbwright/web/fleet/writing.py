"""A batch's answer as columns: JSON, CSV or an Arrow stream, written block by block."""

import io
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import orjson
from numpy.typing import NDArray

from climbwright.answers.measures import MEASURES
from climbwright.answers.notes import ESTIMATE, STALL_POWER_OFF
from climbwright.units import Unit, to_unit
from climbwright.web.fleet.batch import Batch, Block
from climbwright.web.fleet.tables import pyarrow
from climbwright.web.rendering.quantities import assumed_json, cautions_json
from climbwright.web.words.reasons import REASONS

__all__ = ["WRITERS", "Answer", "arrow_stream", "csv_stream", "json_stream"]

_SLICE = 8192  # numbers that are written at once, so that other requests get their turn between
_STALL = "no-such-station"


@dataclass(frozen=True, slots=True)
class Answer:
    """What is written: a batch, the reader's units, and what names build and input."""

    batch: Batch
    units: Mapping[str, Unit]
    provenance: Mapping[str, str]

    @property
    def columns(self) -> list[tuple[str, Unit]]:
        """Names and units of the measures."""
        batch = self.batch
        return [(name.replace("/", "."), self.units[kind]) for name, kind in zip(batch.names, batch.kinds, strict=True)]


def json_stream(answer: Answer) -> Iterator[bytes]:
    """One JSON document; columns are written one after the other when all rows are computed."""
    batch, table = answer.batch, answer.batch.table
    columns, count = answer.columns, table.rows
    values = np.empty((len(columns), count))
    spreads = np.empty((len(columns), count)) if batch.wanted.spreads else None
    status: list[str] = []
    cautions: list[list[str]] = []
    for block in batch.blocks():
        values[:, block.rows] = _shown(block.values, columns)
        if spreads is not None:
            spreads[:, block.rows] = _spread(block, columns)
        status += block.status
        cautions += block.cautions or []
    right = batch.faults.right

    def written() -> Iterator[bytes]:
        yield b'{"columns":{'
        for name, others in table.others.items():
            yield orjson.dumps(name) + b":"
            yield from _list(others if isinstance(others, list) else others.to_pylist())
            yield b","
        for i, (name, unit) in enumerate(columns):
            yield orjson.dumps(name) + b':{"value":'
            yield from _list(values[i])
            yield b',"unit":' + orjson.dumps(unit.name)
            if np.isnan(values[i][right]).any():
                yield b',"reason":' + orjson.dumps(REASONS[_reason(batch.names[i])])
            if spreads is not None:
                yield b',"plus_minus":'
                yield from _list(spreads[i])
            yield b"},"
        if batch.wanted.cautions:
            yield b'"cautions":'
            yield from _list(cautions)
            yield b","
        yield b'"status":'
        yield from _list(status)
        notes = {
            "rows": count,
            "right": int(np.count_nonzero(right)),
            "assumed": assumed_json(batch.assumed, answer.units),
            "cautions": cautions_json([ESTIMATE, STALL_POWER_OFF], answer.units),
            "provenance": dict(answer.provenance),
        }
        yield b"}," + orjson.dumps(notes)[1:]

    return written()


def _list(values: Any) -> Iterator[bytes]:
    """A list in pieces; a number that is not there is null."""
    yield b"["
    for start in range(0, len(values), _SLICE):
        piece = orjson.dumps(values[start : start + _SLICE], option=orjson.OPT_SERIALIZE_NUMPY)[1:-1]
        yield (b"," if start else b"") + piece
    yield b"]"


def _reason(name: str) -> str:
    return MEASURES[name].missing if name in MEASURES else _STALL


def _shown(values: NDArray[np.float64], columns: list[tuple[str, Unit]]) -> NDArray[np.float64]:
    """SI values in the reader's units."""
    for row, (_, unit) in zip(values, columns, strict=True):
        if unit.factor != 1.0 or unit.zero != 0.0:
            row[...] = to_unit(row, unit)
    return values


def _spread(block: Block, columns: list[tuple[str, Unit]]) -> NDArray[np.float64]:
    if block.spreads is None:  # nothing is uncertain
        return np.where(np.isnan(block.values), np.nan, 0.0)
    return np.asarray(block.spreads / np.array([[unit.factor] for _, unit in columns]))


def csv_stream(answer: Answer) -> Iterator[bytes]:
    """CSV with a heading; a number that is not there is an empty cell."""
    arrow = pyarrow()
    options = [arrow.csv.WriteOptions(include_header=first, quoting_style="needed") for first in (True, False)]

    def write(sink: Any, batch: Any, first: bool) -> None:
        arrow.csv.write_csv(batch, sink, options[0 if first else 1])

    def heading(name: str, unit: str, what: str) -> str:
        return f"{name}{what} [{unit}]"

    return _batches(answer, heading, write, lambda _: b"")


def arrow_stream(answer: Answer) -> Iterator[bytes]:
    """An Arrow stream; units stand in the metadata of the fields, build and input in that of the schema."""
    arrow = pyarrow()
    writers: list[Any] = []

    def write(sink: Any, batch: Any, first: bool) -> None:
        if first:
            writers[:] = [_Switched(sink)]
            writers.append(arrow.ipc.new_stream(writers[0], batch.schema))
        writers[0].sink = sink
        writers[1].write_batch(batch)

    def end(sink: Any) -> bytes:
        if writers:
            writers[0].sink = sink
            writers[1].close()
        return b""

    return _batches(answer, lambda name, unit, what: name + what, write, end)


class _Switched:
    """A file that a stream is written to, piece by piece into one sink after the other."""

    closed = False

    def __init__(self, sink: Any) -> None:
        self.sink = sink

    def write(self, data: Any) -> int:
        """Into the sink of the moment."""
        return int(self.sink.write(data))

    def flush(self) -> None:
        """Nothing waits."""

    def close(self) -> None:
        """Nothing is held."""


def _batches(
    answer: Answer, heading: Callable[[str, str, str], str], write: Callable[[Any, Any, bool], None], end: Any
) -> Iterator[bytes]:
    """Every block as a record batch, written; the first one is computed before this returns."""
    blocks = answer.batch.blocks()
    first = next(blocks, None)

    def written() -> Iterator[bytes]:
        block, start = first, True
        while block is not None:
            sink = io.BytesIO()
            write(sink, _record_batch(answer, block, heading), start)
            yield sink.getvalue()
            block, start = next(blocks, None), False
        sink = io.BytesIO()
        end(sink)
        if sink.getvalue():
            yield sink.getvalue()

    return written()


def _record_batch(answer: Answer, block: Block, heading: Callable[[str, str, str], str]) -> Any:
    arrow, batch = pyarrow(), answer.batch
    columns = answer.columns
    arrays: list[Any] = []
    names: list[Any] = []
    for name, others in batch.table.others.items():
        piece = (
            others[block.rows]
            if isinstance(others, list)
            else others.slice(block.rows.start, block.rows.stop - block.rows.start)
        )
        arrays.append(arrow.array(piece) if isinstance(others, list) else piece)
        names.append(arrow.field(name, arrays[-1].type))
    shown = _shown(block.values, columns)
    spreads = _spread(block, columns) if batch.wanted.spreads else None
    for i, (name, unit) in enumerate(columns):
        parts = [("", shown[i])] + ([] if spreads is None else [(" plus_minus", spreads[i])])
        for what, numbers in parts:
            arrays.append(arrow.array(numbers, from_pandas=True))
            names.append(arrow.field(heading(name, unit.name, what), arrow.float64(), metadata={"unit": unit.name}))
    if block.cautions is not None:
        arrays.append(arrow.array([" ".join(codes) for codes in block.cautions]))
        names.append(arrow.field("cautions", arrow.string()))
    arrays.append(arrow.array(block.status, type=arrow.string()))
    names.append(arrow.field("status", arrow.string()))
    return arrow.RecordBatch.from_arrays(arrays, schema=arrow.schema(names, metadata=dict(answer.provenance)))


WRITERS = {"json": json_stream, "csv": csv_stream, "arrow": arrow_stream}
