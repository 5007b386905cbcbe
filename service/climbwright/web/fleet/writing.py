"""A batch's answer as columns: JSON, CSV or an Arrow stream, written block by block."""

import io
import itertools
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
from climbwright.web.fleet.tables import as_cells, as_text, pyarrow
from climbwright.web.rendering.quantities import assumed_json, cautions_json
from climbwright.web.rendering.tables import no_formula
from climbwright.web.words.reasons import REASONS

__all__ = ["WRITERS", "Answer", "arrow_stream", "csv_stream", "json_stream", "record_batches"]

_SLICE = 65_536  # numbers that are written at once, so that other requests get their turn between
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
    cautions: list[list[str]] = []
    for block in batch.blocks():
        values[:, block.rows] = _shown(block.values, columns)
        if spreads is not None:
            spreads[:, block.rows] = _spread(block, columns)
        cautions += block.cautions or []
    right = batch.faults.right

    def written() -> Iterator[bytes]:
        yield b'{"columns":{'
        for name, others in table.others.items():
            yield orjson.dumps(name) + b":"
            yield from _list(others if isinstance(others, list) else as_text(others).to_pylist())
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
        yield b'"status":['
        yield _words(batch.words, batch.faults.codes)
        yield b"]"
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


def _words(words: list[str], codes: NDArray[np.int32]) -> bytes:
    """A word for each row, as the inside of a list."""
    told = [orjson.dumps(word) for word in words]
    if not codes.any():
        return b",".join(told[:1] * len(codes))
    return b",".join([told[code] for code in codes.tolist()])


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

    def written() -> Iterator[bytes]:
        for place, batch in enumerate(batches):
            sink = io.BytesIO()
            arrow.csv.write_csv(_told(batch), sink, arrow.csv.WriteOptions(include_header=place == 0))
            yield sink.getvalue()

    batches = _begun(record_batches(answer, lambda name, unit: f"{name} [{unit}]"))
    return written()


def _told(batch: Any) -> Any:
    """A record batch whose columns are all of types that CSV holds."""
    arrow = pyarrow()
    names = list(map(no_formula, batch.schema.names))
    return arrow.RecordBatch.from_arrays([as_cells(column) for column in batch.columns], names=names)


def arrow_stream(answer: Answer) -> Iterator[bytes]:
    """An Arrow stream; units stand in the metadata of the fields, build and input in that of the schema."""

    def written() -> Iterator[bytes]:
        first = next(batches)
        yield first.schema.serialize().to_pybytes()
        for batch in itertools.chain([first], batches):
            yield batch.serialize().to_pybytes()
        yield _END

    batches = _begun(record_batches(answer, lambda name, _: name))
    return written()


# Apache Arrow columnar format, "IPC Streaming Format": a continuation mark and a message of no length
_END = b"\xff\xff\xff\xff\x00\x00\x00\x00"


def _begun(batches: Iterator[Any]) -> Iterator[Any]:
    """The same, the first one computed already: what goes wrong at once is refused before the answer begins."""
    return itertools.chain([next(batches)], batches)


def record_batches(answer: Answer, heading: Callable[[str, str], str]) -> Iterator[Any]:
    """Rows answered, as Arrow record batches.

    Parameters
    ----------
    answer : Answer
        A batch to be evaluated.
    heading : callable
        Name of a column from the name of its measure and its unit.

    Yields
    ------
    pyarrow.RecordBatch
        Columns that went through, measures, cautions where they are wanted, and the status.
    """
    arrow, batch, columns = pyarrow(), answer.batch, answer.columns
    number, text = arrow.float64(), arrow.string()
    others = {name: _as_array(values) for name, values in batch.table.others.items()}
    for block in batch.blocks():
        rows = block.rows.stop - block.rows.start
        fields = [(arrow.field(n, values.type), values.slice(block.rows.start, rows)) for n, values in others.items()]
        shown = _shown(block.values, columns)
        spreads = _spread(block, columns) if batch.wanted.spreads else None
        for i, (name, unit) in enumerate(columns):
            told = {"unit": unit.name}
            fields.append((arrow.field(heading(name, unit.name), number, metadata=told), _numbers(shown[i])))
            if spreads is not None:
                spread = heading(f"{name} plus_minus", unit.name)
                fields.append((arrow.field(spread, number, metadata=told), _numbers(spreads[i])))
        if block.cautions is not None:
            fields.append((arrow.field("cautions", text), arrow.array(map(" ".join, block.cautions), type=text)))
        words = arrow.array(batch.words, type=text)
        fields.append((arrow.field("status", text), words.take(arrow.array(block.status))))
        schema = arrow.schema([field for field, _ in fields], metadata=dict(answer.provenance))
        yield arrow.RecordBatch.from_arrays([values for _, values in fields], schema=schema)


def _numbers(values: NDArray[np.float64]) -> Any:
    """Numbers as an Arrow array; one that is not there is a gap."""
    arrow = pyarrow()
    if np.isnan(values).any():
        return arrow.array(values, from_pandas=True)
    return arrow.Array.from_buffers(arrow.float64(), len(values), [None, arrow.py_buffer(values)])


def _as_array(values: Any) -> Any:
    """A column that goes through as an Arrow array; as texts where it holds one thing and another."""
    arrow = pyarrow()
    if not isinstance(values, list):
        return values
    try:
        return arrow.array(values)
    except arrow.ArrowException:
        return arrow.array([None if value is None else str(value) for value in values], type=arrow.string())


WRITERS = {"json": json_stream, "csv": csv_stream, "arrow": arrow_stream}
