"""Tables made to grow: compressed, repeated, empty or lying, each refused before it is unpacked."""

import io
import json
import struct

import numpy as np
import pyarrow as pa
import pytest

from .calling import BODY, ROWS, STREAM, post_fleet, post_stream, problem, stream


def without_validity(length, kind, buffers, children=()):
    return pa.Array.from_buffers(kind, length, buffers, children=list(children))


def views(rows, text):
    """So many rows that all show one text."""
    view = struct.pack("<i4sii", len(text), text[:4], 0, 0) * rows
    return without_validity(rows, pa.string_view(), [None, pa.py_buffer(view), pa.py_buffer(text)])


def repeated(rows, text):
    return pa.DictionaryArray.from_arrays(pa.array(np.zeros(rows, dtype=np.int8)), pa.array([text]))


def ends(rows, values):
    return pa.RunEndEncodedArray.from_arrays(pa.array([rows], pa.int64()), values)


def lie(body, told, instead, every=False):
    """The stream with a whole number of eight bytes in place of another one, where it stands last or everywhere."""
    old, new = struct.pack("<q", told), struct.pack("<q", instead)
    before, _, after = body.rpartition(old)
    assert before
    return body.replace(old, new) if every else before + new + after


LARGE = "a" * (8 * BODY)
BOMBS = {
    "lz4": lambda: stream({"note": [LARGE]}, "lz4"),
    "zstd": lambda: stream({"note": [LARGE]}, "zstd"),
    "zstd of numbers": lambda: stream({"loading.stations.a [kg]": np.zeros(ROWS * 200)}, "zstd"),
    "a compressed dictionary": lambda: stream({"note": pa.array([LARGE]).dictionary_encode()}, "zstd"),
    "many batches, each of which fits": lambda: stream({"note": ["a" * (BODY // 2)]}, "lz4", batches=40),
    "a word of a dictionary in every row": lambda: stream({"note": repeated(ROWS, "a" * 100_000)}),
    "a word of a dictionary for a field": lambda: stream({"loading.stations.a": repeated(ROWS, "1" * 100_000)}),
    "views of one text": lambda: stream({"note": views(ROWS, b"a" * 100_000)}),
    "views of one text for a field": lambda: stream({"loading.stations.a": views(ROWS, b"1" * 100_000)}),
    "columns of nothing": lambda: stream({f"loading.stations.{i} [kg]": pa.nulls(ROWS) for i in range(400)}),
    "columns of nothing that go through": lambda: stream({f"note {i}": pa.nulls(ROWS) for i in range(400)}),
    "more rows of nothing than there can be": lambda: lie(stream({"note": pa.nulls(1234)}), 1234, 1 << 60, every=True),
    "rows of nothing": lambda: stream({"condition.oat [C]": pa.nulls(ROWS + 1)}),
    "one run of very many rows": lambda: stream({"note": ends(1 << 30, pa.array(["a"]))}),
    "lists of nothing": lambda: lie(
        stream({"note": pa.FixedSizeListArray.from_arrays(pa.nulls(1234), 1)}), 1234, 1 << 40, every=True
    ),
}


@pytest.mark.parametrize("bomb", BOMBS)
def test_what_would_grow_is_refused(service, bomb):
    body = BOMBS[bomb]()
    assert len(body) < BODY, "which is refused for its length alone"
    document = problem(post_stream(service, body), 413)
    assert "limit" in document["detail"]


TYPES = {
    "lists": lambda: pa.array([[1, 2], None]),
    "lists of lists": lambda: pa.array([[[[[1]]]], None]),
    "structs": lambda: pa.array([{"a": {"b": 1}}, None]),
    "maps": lambda: pa.array([[("a", 1)], None], pa.map_(pa.string(), pa.int8())),
    "unions": lambda: pa.UnionArray.from_sparse(pa.array([0, 0], pa.int8()), [pa.array(["a", "b"])]),
    "runs": lambda: ends(2, pa.array(["a"])),
    "a dictionary of lists": lambda: pa.DictionaryArray.from_arrays(pa.array([0, 0], pa.int8()), pa.array([[1]])),
    "views of bytes": lambda: pa.array([b"a", b"b"], pa.binary_view()),
}


@pytest.mark.parametrize("kind", TYPES)
@pytest.mark.parametrize("name", ["note", "loading.stations.a", "loading.stations.a [kg]"])
def test_columns_that_are_no_cells_are_refused(service, kind, name):
    document = problem(post_stream(service, stream({name: TYPES[kind]()})), 422)
    assert "send numbers or texts" in document["detail"]


def nested(levels):
    column = pa.array([1])
    for _ in range(levels):
        column = pa.ListArray.from_arrays(pa.array([0, 1], pa.int32()), column)
    return column


@pytest.mark.parametrize("levels", [5, 30, 60])
def test_a_deep_type_is_refused(service, levels):
    problem(post_stream(service, stream({"note": nested(levels)})), 400, 422)


TEXT = "ab" * 5_000
LENGTHS = [-2, 0, 1, len(TEXT) - 1, len(TEXT) + 1, BODY - 1, BODY + 1, 1 << 31, 1 << 62, (1 << 63) - 1, -(1 << 63)]


@pytest.mark.parametrize("compression", ["lz4", "zstd"])
@pytest.mark.parametrize("length", LENGTHS)
def test_a_compressed_buffer_that_lies_about_its_length(service, compression, length):
    body = lie(stream({"note": [TEXT]}, compression), len(TEXT), length)
    problem(post_stream(service, body), 400, 413)


@pytest.mark.parametrize("length", [-1, 1, ROWS, ROWS + 1, 1 << 40, (1 << 63) - 1, -(1 << 63)])
def test_a_batch_that_lies_about_its_rows(service, length):
    """Its buffers may be of any length, none too."""
    rows = 1234
    for column in (pa.nulls(rows), pa.array(["x"] * rows), pa.array([1.0] * rows), repeated(rows, "x")):
        body = lie(stream({"note": column}), rows, length, every=True)
        status, _, _ = post_stream(service, body)
        assert status in (400, 413, 422), status


def test_a_view_whose_gap_points_astray(service):
    """Which the package that reads tables would follow out of its memory."""
    far = struct.pack("<i4sii", 1 << 30, b"aaaa", 0, 1 << 30)
    view = struct.pack("<i12s", 2, b"ab") + far
    column = without_validity(2, pa.string_view(), [pa.py_buffer(b"\x01"), pa.py_buffer(view), pa.py_buffer(b"abcd")])
    for name in ("note", "loading.stations.a"):
        status, _, _ = post_stream(service, stream({name: column}))
        assert status in (200, 400, 422)


def test_packed_forms_that_are_small_go_through_as_the_plain_ones_do(client):
    plain = pa.array(["a", None, "a", "été"])
    answers = []
    for column in (plain, plain.dictionary_encode(), plain.cast(pa.string_view()), plain.cast(pa.large_string())):
        for compression in (None, "lz4", "zstd"):
            table = {"note": column, "loading.stations.seats [kg]": pa.array([80.0, 90.0, 80.0, 90.0])}
            table |= {"loading.stations.fuel": pa.array(["60 L", "50 L", "60 L", "50 L"]).cast(pa.string_view())}
            response = client.post("/v1/fleet", data=parts_of(stream(table, compression)))
            assert response.status_code == 200, response.text
            answers.append(pa.ipc.open_stream(response.data).read_all())
    for answer in answers:
        assert answer["note"].to_pylist() == plain.to_pylist()
        assert answer["weight"].to_pylist() == answers[0]["weight"].to_pylist()
        assert set(answer["status"].to_pylist()) == {"ok"}


def parts_of(table):
    from ..fleet.asking import shared

    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    return {
        "shared": (io.BytesIO(json.dumps(common).encode()), "shared.json", "application/json"),
        "table": (io.BytesIO(table), "table", STREAM),
    }


@pytest.mark.parametrize("kind", ["csv", "json", "arrow"])
def test_a_table_of_gaps_alone(service, kind):
    """Every cell is wrong, and every row is told so once."""
    rows, names = 5_000, [f"loading.stations.{i} [kg]" for i in range(40)]
    if kind == "csv":
        body = ",".join(names) + "\n" + ("," * 39 + "\n") * rows
        answer = service.post("/v1/fleet?measures=weight", body.encode(), kind="text/csv")
    elif kind == "json":
        answer = post_fleet(service, {"columns": {name: [None] * rows for name in names}, "measures": ["weight"]})
    else:
        answer = post_stream(service, stream({name: pa.array([None] * rows, pa.float64()) for name in names}))
    assert answer[0] == 200
    assert answer[2].count(b"the cell is empty") >= (rows if kind != "arrow" else 1)


def test_as_many_faults_as_cells(service):
    """No two of them alike."""
    names = [f"loading.stations.{i} [kg]" for i in range(40)]
    lines = (",".join(f"x{row}y{i}" for i in range(40)) for row in range(5_000))
    body = "\n".join([",".join(names), *lines, ""]).encode()
    assert len(body) < BODY
    status, _, answer = service.post("/v1/fleet?measures=weight", body, kind="text/csv")
    assert status == 200
    assert answer.count(b"is not a plain number") == 5_000


@pytest.mark.parametrize("kind", ["json", "arrow"])
def test_a_text_that_crossing_would_repeat(service, kind):
    text, oat = "a" * 1_000_000, [float(i % 40) for i in range(2_000)]
    if kind == "json":
        columns = {"loading.stations.a [kg]": [80.0], "note": [text], "condition.oat [C]": oat}
        answer = post_fleet(service, {"columns": columns}, "?combine=cross")
        assert "go through" in problem(answer, 413)["detail"]
        return
    boundary = b"boundary"
    tables = {
        "table": stream({"loading.stations.a [kg]": [80.0], "note": [text]}),
        "conditions": stream({"condition.oat [C]": oat}),
    }
    body = b"".join(
        b"--%s\r\nContent-Disposition: form-data; name=%s; filename=x\r\nContent-Type: %s\r\n\r\n%s\r\n"
        % (boundary, name.encode(), STREAM.encode(), table)
        for name, table in tables.items()
    )
    answer = service.post(
        "/v1/fleet?combine=cross", body + b"--boundary--\r\n", kind="multipart/form-data; boundary=boundary"
    )
    assert "go through" in problem(answer, 413)["detail"]


@pytest.mark.parametrize("kind", ["note", "loading.stations.a", "loading.stations.a [kg]"])
def test_rows_of_one_empty_column(service, kind):
    problem(service.post("/v1/fleet", kind.encode() + b"\n" * (BODY - 100), kind="text/csv"), 413)


def test_columns_without_end(service):
    problem(service.post("/v1/fleet", b"a," * 40_000 + b"\n", kind="text/csv"), 422)
    problem(service.post("/v1/fleet", b"a," * 400_000 + b"\n", kind="text/csv"), 400)
    problem(post_fleet(service, {"columns": {f"a{i}": [] for i in range(100_000)}}), 422)
