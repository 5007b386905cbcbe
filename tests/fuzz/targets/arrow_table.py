"""Tables as Arrow streams: of every type, cut, with lengths that lie, and compressed."""

import datetime
import io
import struct

import numpy as np
import pyarrow as pa
import pyarrow.csv

from climbwright.web.fleet.tables import arrow_table, as_text, taken
from climbwright.web.problems import Problem

from ..documents import refused
from ..tables import LIMITS, check_table
from ..target import Target

_LIES = (0, 1, 2, 3, 7, 8, 64, 0x7F, 0xFF, 0x7FFF, 0xFFFF, 0x7FFFFFFF, 0x80000000, 0xFFFFFFFF, 0xFFFFFFF0, 1 << 20)
_LONG_LIES = (-1, 0, 1, 1 << 16, 1 << 31, 1 << 32, 1 << 40, (1 << 63) - 1, -(1 << 63), (1 << 62) + 8)


def check(case):
    try:
        table = arrow_table(case, LIMITS)
        check_table(table)
        _goes_through(table)
    except Problem as problem:
        refused(problem)


def _goes_through(table):
    """Columns that are no fields can be repeated, cut and written."""
    twice = np.repeat(np.arange(table.rows), 2)
    for column in table.others.values():
        texts = as_text(column)
        doubled = as_text(taken(column, twice)).to_pylist()
        assert list(map(repr, doubled)) == [repr(cell) for cell in texts.to_pylist() for _ in (1, 2)]
        pa.csv.write_csv(pa.RecordBatch.from_arrays([texts.slice(0, 2)], names=["a"]), io.BytesIO())


def mutate(case, source):
    """Another table, other bytes in the body of a message, or a word that lies: a length, an offset, a type."""
    way = source.random()
    if way < 0.3:
        return _made(source)
    bodies = list(_bodies(case))
    if bodies and way < 0.6:
        start, end = source.choice(bodies)
        place = source.randrange(start, end)
        piece = source.choice(
            (b"\xff", b"\x00", b"\x80", b"\x01", b"\xff" * 4, struct.pack("<q", source.choice(_LONG_LIES)))
        )
        return case[:place] + piece[: end - place] + case[place + len(piece[: end - place]) :]
    return _lying(case, source)


def _bodies(case):
    """Where the bodies of messages stand, as far as the marks between them tell."""
    place = 0
    while place + 8 <= len(case):
        mark, length = struct.unpack_from("<Ii", case, place)
        if mark != 0xFFFFFFFF or length <= 0:
            return
        start = place + 8 + length
        place = case.find(b"\xff\xff\xff\xff", start)
        if place < 0:
            return
        if place > start:
            yield start, place


def _made(source):
    """A whole stream of some columns of any type under any name."""
    names = source.sample(_NAMES, source.randint(1, 4))
    rows = source.randint(0, 3)
    columns = {}
    for name in names:
        column = source.choice(_POOL)
        columns[name] = column.slice(source.randrange(len(column) - rows + 1), rows)
    table = pa.table(columns)
    if source.random() < 0.3:
        table = pa.concat_tables([table, table.slice(1)])
    if source.random() < 0.3:
        units = [one.with_metadata({"unit": source.choice(("hp", "kg", "1", "", "é"))}) for one in table.schema]
        table = table.cast(pa.schema(units))
    return stream(table, compression=source.choice((None, None, "lz4", "zstd")))


def _lying(case, source):
    if len(case) < 16:
        return case
    if source.random() < 0.6:
        place = 4 * source.randrange(len(case) // 4)
        word = struct.pack("<I", source.choice(_LIES)) if source.random() < 0.7 else _near(case, place, source)
        return case[:place] + word + case[place + 4 :]
    place = 8 * source.randrange(len(case) // 8)
    return case[:place] + struct.pack("<q", source.choice(_LONG_LIES)) + case[place + 8 :]


def _near(case, place, source):
    (number,) = struct.unpack_from("<I", case, place)
    return struct.pack("<I", (number + source.choice((-64, -8, -4, -1, 1, 4, 8, 64))) & 0xFFFFFFFF)


def stream(table, **options):
    """A table as a stream."""
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema, options=pa.ipc.IpcWriteOptions(**options)) as out:
        out.write_table(table)
    return sink.getvalue()


_POWER = "aircraft.engine.power"


def _columns():
    day = datetime.datetime(2026, 7, 1, 12)
    numbers, texts = pa.array([80.0, None, 100.0]), pa.array(["a", None, "été"])
    yield {"n": texts, f"{_POWER} [hp]": numbers, "condition.oat [C]": pa.array([1, 2, 3], pa.int8())}
    yield {"dictionary": texts.dictionary_encode(), f"{_POWER} [kW]": numbers.dictionary_encode()}
    yield {"aircraft.propeller.kind": pa.array(["fixed-pitch", "constant-speed", None]).dictionary_encode()}
    yield {"ends": pa.RunEndEncodedArray.from_arrays(pa.array([2, 3], pa.int32()), pa.array(["x", "y"]))}
    yield {_POWER: pa.RunEndEncodedArray.from_arrays(pa.array([2, 3], pa.int16()), pa.array([1.0, 2.0]))}
    yield {"nothing": pa.nulls(3), f"{_POWER} [hp]": pa.nulls(3), "loading.stations.a": pa.array(["1 kg", "2 L", ""])}
    yield {"view": texts.cast(pa.string_view()), "loading.stations.a": texts.cast(pa.string_view())}
    yield {"large": texts.cast(pa.large_string()), "bytes": pa.array([b"x", None, b"\xff"])}
    yield {"list": pa.array([[1], None, []]), "struct": pa.array([{"a": 1}, None, {}])}
    yield {"map": pa.array([[("a", 1)], None, []], pa.map_(pa.string(), pa.int8()))}
    yield {"time": pa.array([day, None, day]), "day": pa.array([day.date()] * 3), "span": pa.array([day - day] * 3)}
    yield {"zone": pa.array([day] * 3, pa.timestamp("ns", "Europe/Paris")), "truth": pa.array([True, None, False])}
    yield {"decimal": pa.array([1, 2, None], pa.decimal128(9, 2)), _POWER: pa.array([1, 2, 3], pa.decimal256(40, 3))}
    yield {"half": pa.array([1.5, 2.5, None], pa.float16()), f"{_POWER} [hp]": pa.array([1, 2, 3], pa.uint64())}
    yield {"fixed": pa.array([b"ab", b"cd", None], pa.binary(2))}
    yield {"list of three": pa.array([[1, 2, 3]] * 3, pa.list_(pa.int8(), 3))}
    yield {"union": pa.UnionArray.from_sparse(pa.array([0, 1, 0], pa.int8()), [pa.array([1, 2, 3]), texts])}
    yield {"none": pa.array([], pa.string()), f"{_POWER} [hp]": pa.array([], pa.float64())}


_UNION = pa.UnionArray
_POOL = [one for columns in _columns() for one in columns.values() if len(one) and not isinstance(one, _UNION)]
_NAMES = (
    *(_POWER, f"{_POWER} [hp]", "condition.oat", "condition.oat [C]", "loading.stations.a", "loading.stations.a [L]"),
    *("aircraft.propeller.kind", "aircraft.name", "condition.metar", "note", "a [b]", "aircraft.wing.area [m2]"),
)


def _seeds():
    for columns in _columns():
        table = pa.table(columns)
        yield stream(table)
        if table.num_rows:
            yield stream(pa.concat_tables([table, table]).slice(1, 4))
    first = pa.table(next(iter(_columns())))
    for compression in ("lz4", "zstd"):
        yield stream(pa.concat_tables([first] * 40).combine_chunks(), compression=compression)
        yield stream(pa.table({"a": pa.array(["ab" * 500] * 3).dictionary_encode()}), compression=compression)
    told = pa.schema([pa.field(_POWER, pa.float64(), metadata={"unit": "hp"}), pa.field("a", pa.string())])
    yield stream(pa.table([[1.0, 2.0], ["x", "y"]], schema=told))


_WORDS = (
    *(b"\xff\xff\xff\xff", b"\xff\xff\xff\xff\x00\x00\x00\x00", b"\x00" * 8, b"\xff" * 8, b"unit", b"hp", b"ARROW1"),
    *(
        b"status",
        _POWER.encode(),
        b"ARROW:extension:name",
        b"arrow.json",
        b"arrow.uuid",
        b"pandas",
        b"\x7f\xff\xff\xff",
    ),
)

TARGET = Target("arrow_table", check, list(_seeds()), _WORDS, mutate, longest=16_384)
