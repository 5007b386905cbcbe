"""A fleet through the client is what one request would answer, whatever comes in and however it is cut."""

import asyncio
import csv
import gc
import io
import json
import threading
import time
import weakref
from decimal import Decimal

import httpx
import numpy as np
import pandas as pd
import polars as pl
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from climbwright_client import (
    AsyncClimbwright,
    Climbwright,
    NotAService,
    NotSent,
    NotUnderstood,
    Quantity,
    Retry,
    Unreadable,
    Written,
)
from climbwright_client import arrow as arrow_package
from climbwright_client.pieces import CsvFile

from .asking import EXAMPLES, answering, example, problem

SHARED = example("fleet.shared")
MEASURES = ["weight", "best_climb_rate"]
COUNT = 50


@pytest.fixture(scope="module")
def given():
    """An invented fleet, with a row that is wrong and columns of its own."""
    power = [70.0 + row for row in range(COUNT)]
    power[13] = None
    return pl.DataFrame(
        {
            "registration": [f"invented {row}" for row in range(COUNT)],
            "aircraft.engine.power [hp]": power,
            "loading.stations.seats [kg]": [float(60 + 2 * row) for row in range(COUNT)],
            "day": [row % 7 for row in range(COUNT)],
            "condition.density_altitude [ft]": [100.0 * row for row in range(COUNT)],
        }
    )


@pytest.fixture(scope="module")
def whole(server, given):
    """What one request answers to all of it, as CSV, and its cells."""
    text = posted(server, given.write_csv().encode())
    return text, list(csv.reader(io.StringIO(text)))


def posted(server, table, **query):
    """The answer in CSV to a table in CSV, sent plainly."""
    files = {"shared": (None, json.dumps(SHARED)), "table": ("t", table, "text/csv")}
    response = httpx.post(f"{server}/v1/fleet", params={"measures": ",".join(MEASURES), **query}, files=files)
    assert response.status_code == 200, response.text
    return response.text


def alike(names, rows, whole):
    """Whether headings and cells are those of the CSV table."""
    _, (headings, *expected) = whole
    assert list(names) == headings
    for row, cells in zip(rows, expected, strict=True):
        for got, cell in zip(row, cells, strict=True):
            if got is None or got != got:
                assert cell == ""
            elif isinstance(got, float):
                assert got == float(cell)
            else:
                assert str(got) == cell


@pytest.fixture(params=["with pyarrow", "without"])
def arrow(request, monkeypatch):
    """Whether pyarrow is there."""
    if request.param == "without":
        monkeypatch.setattr(arrow_package, "pyarrow", lambda: None)
    return request.param == "with pyarrow"


@pytest.fixture
def asked():
    return {"shared": SHARED, "measures": MEASURES, "rows": 7}


def test_a_csv_file_becomes_a_csv_file(there, given, whole, arrow, asked, tmp_path):
    given.write_csv(tmp_path / "in.csv")
    written = there.fleet(tmp_path / "in.csv", into=tmp_path / "out.csv", **asked)
    assert written == Written(tmp_path / "out.csv", COUNT, COUNT - 1)
    assert written.wrong == 1
    assert (tmp_path / "out.csv").read_text("utf-8") == whole[0]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["in.csv", "out.csv"]


@pytest.mark.parametrize("kind", ["csv", "parquet"])
def test_files_become_parquet_with_units_beside_the_fields(there, given, whole, asked, tmp_path, kind):
    source, out = tmp_path / f"in.{kind}", tmp_path / "out.parquet"
    given.write_csv(source) if kind == "csv" else pq.write_table(given.to_arrow(), source)
    written = there.fleet(str(source), into=str(out), **asked)
    assert written == Written(out, COUNT, COUNT - 1)
    table = pq.read_table(out)
    assert table.schema.field("weight").metadata == {b"unit": b"kg"}
    assert list(table.schema.metadata) == [b"build"]
    headed = ["registration", "day", "weight [kg]", "best_climb_rate [ft/min]", "status"]
    alike(headed, zip(*table.to_pydict().values(), strict=True), whole)


def test_a_parquet_file_becomes_a_csv_file(there, given, whole, asked, tmp_path):
    pq.write_table(given.to_arrow(), tmp_path / "in.parquet")
    there.fleet(tmp_path / "in.parquet", into=tmp_path / "out.csv", **asked)
    rows = list(csv.reader(io.StringIO((tmp_path / "out.csv").read_text("utf-8"))))
    assert rows == whole[1]


def test_a_pandas_frame_becomes_one_with_its_index_and_its_own_columns(there, given, whole, arrow, asked):
    frame = given.to_pandas().set_index(pd.Index(range(1000, 1000 + COUNT), name="serial"))
    frame["registration"] = frame["registration"].astype("category")
    answer = there.fleet(frame, **asked)
    assert isinstance(answer, pd.DataFrame)
    pd.testing.assert_index_equal(answer.index, frame.index)
    pd.testing.assert_series_equal(answer["registration"], frame["registration"])
    pd.testing.assert_series_equal(answer["day"], frame["day"])
    alike(answer.columns, answer.itertuples(index=False), whole)


def test_a_polars_frame_becomes_one_with_its_own_columns(there, given, whole, arrow, asked):
    frame = given.with_columns(pl.col("registration").cast(pl.Categorical))
    answer = there.fleet(frame, **asked)
    assert isinstance(answer, pl.DataFrame)
    assert answer["registration"].equals(frame["registration"])
    assert answer.schema["registration"] == pl.Categorical
    assert answer.schema["day"] == pl.Int64
    alike(answer.columns, answer.iter_rows(), whole)


def test_a_table_of_arrow_becomes_one(there, given, whole, asked):
    answer = there.fleet(given.to_arrow(), **asked)
    assert isinstance(answer, pa.Table)
    assert answer.schema.field("best_climb_rate").metadata == {b"unit": b"ft/min"}
    headed = ["registration", "day", "weight [kg]", "best_climb_rate [ft/min]", "status"]
    alike(headed, zip(*answer.to_pydict().values(), strict=True), whole)


def test_dicts_become_dicts(there, given, whole, arrow, asked):
    answers = list(there.fleet(given.iter_rows(named=True), **asked))
    assert all(list(row) == whole[1][0] for row in answers)
    alike(answers[0], (row.values() for row in answers), whole)
    assert "engine.power" in answers[13]["status"]


def test_cells_may_be_quantities_texts_and_gaps(there, arrow):
    rows = [
        {"aircraft.engine.power": Quantity(80, "hp"), "loading.stations.seats": "84 kg", "id": 2**60},
        {"aircraft.engine.power": "59.656 kW", "loading.stations.seats": Quantity(84, "kg"), "id": "two"},
        {"aircraft.engine.power": "80 hp", "id": None},
        {"aircraft.engine.power": float("nan"), "loading.stations.seats": "84 kg", "id": 1.5},
        {"aircraft.engine.power": "80 furlong", "loading.stations.seats": np.float64(84.0), "id": True},
    ]
    shared = {**SHARED, "condition": {"density_altitude": "7500 ft"}}
    answers = list(there.fleet(rows, shared=shared, measures="weight"))
    one = there.fleet([{"aircraft.engine.power": "80 hp", "loading.stations.seats": "84 kg"}], shared=shared)
    expected = next(one)["weight [kg]"]
    assert [row["weight [kg]"] for row in answers[:2]] == pytest.approx([expected] * 2)
    assert [row["id"] for row in answers] == [2**60, "two", None, 1.5, True]
    assert [row["status"] == "ok" for row in answers] == [True, True, False, False, False]
    assert "empty" in answers[2]["status"]
    assert "furlong" in answers[4]["status"]


def test_cells_mean_the_same_with_and_without_pyarrow(there, arrow):
    shared = {**SHARED, "condition": {"density_altitude": "7500 ft"}, "loading": {"stations": {"seats": "84 kg"}}}
    power = "aircraft.engine.power [hp]"
    plain = [" 80 ", "+80", "8e1", "80."]
    odd = ["1_000", "nan", "inf", "1e999", "\u0668\u0660", "80 hp", "80,5"]
    statuses = [row["status"] for row in there.fleet([{power: cell} for cell in plain + odd], shared=shared)]
    assert statuses[: len(plain)] == ["ok"] * len(plain)
    for cell, status in zip(odd, statuses[len(plain) :], strict=True):
        assert power[:-5] in status, cell
    numbers = [80.0, float("inf"), float("nan"), 81.0]
    statuses = [row["status"] for row in there.fleet([{power: cell} for cell in numbers], shared=shared)]
    assert [status == "ok" for status in statuses] == [True, False, False, True]
    assert "empty" in statuses[2]


def test_quantities_of_numpy_are_cells_and_numbers(there, arrow):
    shared = {**SHARED, "condition": {"density_altitude": "7500 ft"}, "loading": {"stations": {"seats": "84 kg"}}}
    kinds = [float, np.float64, np.float32, np.int64]
    rows = [{"aircraft.engine.power": Quantity(kind(80), "hp")} for kind in kinds]
    assert [row["status"] for row in there.fleet(rows, shared=shared)] == ["ok"] * len(kinds)
    assert [float(row["aircraft.engine.power"]) for row in rows] == [80.0] * len(kinds)


def test_half_a_character_is_named_with_its_row(here, arrow):
    with pytest.raises(NotSent, match=r"row 2, note: .* holds half a character"):
        list(here.fleet([{"note": "wh\u00f6le"}, {"note": "\ud800"}], shared=SHARED))


@pytest.mark.parametrize("rows", [1, 4])
def test_a_piece_may_hold_nothing_but_gaps(there, arrow, rows):
    shared = {**SHARED, "condition": {"density_altitude": "7500 ft"}, "loading": {"stations": {"seats": "84 kg"}}}
    power = "aircraft.engine.power [hp]"
    given = [
        {"note": None, power: None},
        {"note": "two", power: 80.0},
        {"note": None, power: None},
        {"note": None, power: 90.0},
    ]
    answers = list(there.fleet(given, shared=shared, measures="weight", rows=rows))
    assert [row["note"] for row in answers] == [None, "two", None, None]
    assert [row["status"] == "ok" for row in answers] == [False, True, False, True]
    assert "empty" in answers[0]["status"]


@pytest.mark.parametrize("options", [{"units": "si"}, {"spread": "linear"}, {"cautions": True}])
def test_options_are_those_of_the_service(server, there, given, arrow, asked, options):
    query = {name: "true" if value is True else value for name, value in options.items()}
    text = posted(server, given.write_csv().encode(), **query)
    rows = list(there.fleet(given.iter_rows(named=True), **asked, **options))
    alike(rows[0], (row.values() for row in rows), (text, list(csv.reader(io.StringIO(text)))))
    frame = there.fleet(given.to_pandas(), **asked, **options)
    alike(frame.columns, frame.itertuples(index=False), (text, list(csv.reader(io.StringIO(text)))))


@pytest.mark.parametrize(
    "text",
    [
        'note,aircraft.engine.power [hp]\n"of\ntwo lines",80\n"a ""word""\n",90\nplain,100\n"x",110\n',
        'note,aircraft.engine.power [hp]\n38" tyres,80\n40" tyres,90\nplain,100\n',
        "note,aircraft.engine.power [hp]\r\none,80\r\ntwo,90\r\n\r\nthree,100",
        "\ufeffnote,aircraft.engine.power [hp]\nõne,80\ntwo,\nthree,100\n",
        'note,aircraft.engine.power [hp]\n"ok",80\nok,90\n"x,""ok""\n",100\n',
    ],
    ids=["lines", "inches", "crlf", "bom", "ok"],
)
@pytest.mark.parametrize("rows", [1, 2, 100])
def test_csv_is_cut_where_its_rows_end(server, there, tmp_path, text, rows):
    shared = {**SHARED, "condition": {"density_altitude": "7500 ft"}, "loading": {"stations": {"seats": "84 kg"}}}
    (tmp_path / "in.csv").write_bytes(text.encode())
    one = there.fleet(tmp_path / "in.csv", into=tmp_path / "one.csv", shared=shared, measures="weight", rows=1000)
    cut = there.fleet(tmp_path / "in.csv", into=tmp_path / "cut.csv", shared=shared, measures="weight", rows=rows)
    assert (tmp_path / "cut.csv").read_bytes() == (tmp_path / "one.csv").read_bytes()
    statuses = [row[-1] for row in csv.reader(io.StringIO((tmp_path / "one.csv").read_text("utf-8"), newline=""))][1:]
    assert (one.rows, one.right) == (cut.rows, cut.right) == (len(statuses), statuses.count("ok"))


@pytest.mark.parametrize("rows", [1, 7, 1000])
def test_the_pieces_of_a_csv_file_are_as_large_as_the_file(given, tmp_path, rows):
    given.write_csv(tmp_path / "in.csv")
    pieces = list(CsvFile(tmp_path / "in.csv").pieces(rows))
    assert sum(piece.size for piece in pieces) == (tmp_path / "in.csv").stat().st_size
    assert sum(piece.rows for piece in pieces) == COUNT


def test_a_quote_that_is_never_closed_is_refused(there, tmp_path):
    (tmp_path / "in.csv").write_text('note,aircraft.engine.power [hp]\n"never closed,80\n' + "x,90\n" * 100_000)
    with pytest.raises(NotSent, match="is a quote not closed"):
        there.fleet(tmp_path / "in.csv", into=tmp_path / "out.csv", shared=SHARED)
    assert [path.name for path in tmp_path.iterdir()] == ["in.csv"]


@pytest.mark.parametrize("kind", ["csv", "parquet", "frame", "table", "dicts"])
def test_a_table_without_rows_has_the_columns_of_one_with_rows(there, given, whole, asked, tmp_path, kind):
    none = given.clear()
    if kind == "dicts":
        assert list(there.fleet([], **asked)) == []
    elif kind == "frame":
        assert list(there.fleet(none, **asked).columns) == whole[1][0]
        assert list(there.fleet(none.to_pandas(), **asked).columns) == whole[1][0]
    elif kind == "table":
        assert there.fleet(none.to_arrow(), **asked).num_rows == 0
    else:
        source = tmp_path / f"in.{kind}"
        none.write_csv(source) if kind == "csv" else pq.write_table(none.to_arrow(), source)
        assert there.fleet(source, into=tmp_path / "out.csv", **asked) == Written(tmp_path / "out.csv", 0, 0)
        assert list(csv.reader([(tmp_path / "out.csv").read_text("utf-8")])) == whole[1][:1]


class Watched(httpx.BaseTransport):
    """Counts the requests that are under way."""

    def __init__(self, app):
        self.inner, self.lock = httpx.WSGITransport(app=app), threading.Lock()
        self.now = self.most = self.requests = 0

    def handle_request(self, request):
        with self.lock:
            self.now, self.requests = self.now + 1, self.requests + 1
            self.most = max(self.most, self.now)
        time.sleep(0.01)
        try:
            return self.inner.handle_request(request)
        finally:
            with self.lock:
                self.now -= 1


@pytest.mark.parametrize("parallel", [1, 2])
def test_no_more_than_a_few_pieces_are_in_flight(app, given, asked, parallel):
    transport, taken = Watched(app), 0

    def rows():
        nonlocal taken
        for row in given.iter_rows(named=True):
            taken += 1
            yield row

    with Climbwright("http://service.example", transport=transport) as client:
        ahead = []
        for told, _ in enumerate(client.fleet(rows(), parallel=parallel, **asked)):
            ahead.append(taken - told)
    assert transport.requests == 8
    assert transport.most == parallel
    assert max(ahead) <= (parallel + 1) * asked["rows"]


@pytest.mark.parametrize("awaited", [False, True], ids=["waiting", "awaited"])
def test_what_is_answered_is_not_kept(app, given, asked, awaited):
    inner, answers, alive = httpx.WSGITransport(app=app), [], []

    def handle(request):
        got = inner.handle_request(request)
        response = httpx.Response(got.status_code, headers=got.headers, content=b"".join(got.stream))
        answers.append(weakref.ref(response))
        return response

    def looked_at():
        alive.append(sum(answer() is not None for answer in answers))

    async def read():
        async with AsyncClimbwright("http://service.example", transport=httpx.MockTransport(handle)) as client:
            async for _ in await client.fleet(given.iter_rows(named=True), **asked | {"rows": 2}):
                looked_at()

    gc.disable()  # nothing waits for it
    try:
        if awaited:
            asyncio.run(read())
        else:
            with Climbwright("http://service.example", transport=httpx.MockTransport(handle)) as client:
                for _ in client.fleet(given.iter_rows(named=True), **asked | {"rows": 2}):
                    looked_at()
    finally:
        gc.enable()
    assert len(answers) == COUNT // 2
    assert max(alive) <= 4


@pytest.mark.parametrize("end", ["closed", "refused"])
def test_an_end_does_not_wait_for_slow_answers(app, given, asked, end):
    inner, slow, go_on = httpx.WSGITransport(app=app), threading.Event(), threading.Event()
    requests, lock = [], threading.Lock()

    def handle(request):
        with lock:
            requests.append(request)
            first = len(requests) == 1
        if not first:
            slow.set()
            assert go_on.wait(30)
        elif end == "refused":
            assert slow.wait(30)
            return problem(422)
        response = inner.handle_request(request)
        return httpx.Response(response.status_code, headers=response.headers, content=b"".join(response.stream))

    threads = set(threading.enumerate())
    with Climbwright("http://service.example", transport=httpx.MockTransport(handle)) as client:
        answers = client.fleet(given.iter_rows(named=True), **asked)
        if end == "closed":
            next(answers)
            answers.close()
        else:
            with pytest.raises(NotUnderstood):
                next(answers)
        left = set(threading.enumerate()) - threads
        assert left, "the slow ones are still on their way"
        go_on.set()
        for thread in left:
            thread.join(30)
    assert 2 <= len(requests) <= 3  # and none that waited for its turn was sent after the end


def test_rows_that_nobody_reads_are_not_asked_for(app, given, asked):
    transport = Watched(app)
    with Climbwright("http://service.example", transport=transport) as client:
        answers = client.fleet(given.iter_rows(named=True), **asked)
        assert transport.requests == 0
        assert next(answers)["registration"] == "invented 0"
        answers.close()
        assert transport.requests <= 3


def test_a_piece_that_is_refused_says_which_rows(there, tmp_path, asked):
    lines = "".join(f"{80 + row},{7000 + row}\n" for row in range(20))
    text = "aircraft.engine.power [hp],condition.density_altitude [ft]\n" + lines + "80,7000,ragged\n"
    (tmp_path / "in.csv").write_text(text)
    with pytest.raises(Unreadable, match=r"\(in rows 15 to 21\)") as raised:
        there.fleet(tmp_path / "in.csv", into=tmp_path / "out.csv", **asked)
    assert raised.value.rows == range(14, 21)
    assert [path.name for path in tmp_path.iterdir()] == ["in.csv"]


def test_what_is_shared_is_refused_with_its_field(there, given, asked):
    wrong = {**asked, "shared": {"aircraft": {**SHARED["aircraft"], "drag": {"airframe": "odd"}}}}
    with pytest.raises(NotUnderstood) as raised:
        there.fleet(given, **wrong)
    assert raised.value.errors[0].field == "/shared/aircraft/drag/airframe"
    assert raised.value.rows is None


def test_a_busy_service_is_asked_again_for_the_piece(app, given, whole, asked):
    inner, refused, waits = httpx.WSGITransport(app=app), [], []

    def handle(request):
        if len(refused) < 3:
            refused.append(request)
            return problem(503, Retry_After="1")
        response = inner.handle_request(request)
        return httpx.Response(response.status_code, headers=response.headers, content=b"".join(response.stream))

    with Climbwright("http://service.example", transport=httpx.MockTransport(handle)) as client:
        client._sleep = waits.append
        answer = client.fleet(given, **asked)
    assert len(waits) == 3
    alike(answer.columns, answer.iter_rows(), whole)


def test_an_answer_of_another_kind_is_no_table(given, asked):
    client, _ = answering(httpx.Response(200, html="<h1>welcome</h1>"), retry=Retry(attempts=1))
    with pytest.raises(NotAService, match="text/html"):
        client.fleet(given, **asked)
    said = {"Content-Type": "application/vnd.apache.arrow.stream"}
    client, _ = answering(httpx.Response(200, content=b"<h1>welcome</h1>", headers=said))
    with pytest.raises(NotAService, match="no Arrow stream"):
        client.fleet(given, **asked)


@pytest.mark.parametrize(
    ("table", "more", "word"),
    [
        (5, {}, "a int is no table"),
        (b"a,b\n", {}, "a bytes is no table"),
        (None, {}, "a NoneType is no table"),
        ({"a": [1]}, {}, "a dict of columns goes to ask"),
        ("in.xlsx", {"into": "out.csv"}, "ends with .csv or .parquet"),
        ("in.csv", {"into": "out.txt"}, "ends with .csv or .parquet"),
        ("in.csv", {}, "name it with into"),
        ("in.csv", {"into": "nowhere/out.csv"}, "nowhere, where the answers shall go, is no folder"),
        ([], {"into": "out.csv"}, "goes with a table that is a file"),
        ([], {"rows": 0}, "rows is a whole number"),
        ([], {"parallel": 1.5}, "parallel is a whole number"),
        ([], {"shared": [1]}, "shared is an object"),
        ([], {"shared": {"aircraft": {1, 2}}}, "/shared/aircraft"),
        ([], {"measures": 5}, "/measures"),
        ([1], {}, "row 1 is a int"),
        ([{}], {}, "row 1 has no cells"),
        ([{"a": 1}, [2]], {}, "row 2 is a list"),
        ([{"a": 1}, {"a": 1, "b": 2}], {}, "row 2 has 'b'"),
        ([{5: 1}], {}, "the column 5 has no text"),
        ([{"a": 1}, {"a": {1}}], {}, "row 2, a"),
        ([{"a": Quantity(1, "kg", plus_minus=1)}], {}, "row 1, a: a cell takes no plus_minus"),
        ([{"a": Quantity([1, 2], "kg")}], {}, "row 1, a: this quantity has no number"),
        (pd.DataFrame({5: [1]}), {}, "the column 5 has no text"),
        (pd.DataFrame([[1, 2]], columns=["a", "a"]), {}, "'a' is there twice"),
        (pd.DataFrame({"a": [1, "x", Decimal(3)]}), {}, "Arrow cannot read the frame"),
        (pl.LazyFrame({"a": [1]}), {}, "LazyFrame is no table"),
    ],
)
def test_what_is_no_table_is_not_sent(here, tmp_path, monkeypatch, table, more, word):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "in.csv").write_text("a\n1\n")
    with pytest.raises(NotSent, match=word):
        list(here.fleet(table, **more))
    assert [path.name for path in tmp_path.iterdir()] == ["in.csv"]


def test_a_file_that_is_there_is_replaced_only_when_asked(there, tmp_path, asked):
    out = tmp_path / "out.csv"
    out.write_text("precious")
    with pytest.raises(NotSent, match="is there already"):
        there.fleet(EXAMPLES / "fleet.csv", into=out, **asked)
    assert out.read_text() == "precious"
    (tmp_path / "folder.csv").mkdir()
    with pytest.raises(NotSent, match="is a folder"):
        there.fleet(EXAMPLES / "fleet.csv", into=tmp_path / "folder.csv", replace=True, **asked)
    there.fleet(EXAMPLES / "fleet.csv", into=out, replace=True, **asked)
    assert out.read_text().startswith('"registration"')


def test_a_file_that_is_not_there_or_not_what_it_says(there, tmp_path, asked):
    for name in ("none.csv", "none.parquet"):
        with pytest.raises(FileNotFoundError):
            there.fleet(tmp_path / name, into=tmp_path / "out.csv", **asked)
    (tmp_path / "in.parquet").write_text("no parquet")
    with pytest.raises(NotSent, match=r"Arrow cannot read .*in\.parquet"):
        there.fleet(tmp_path / "in.parquet", into=tmp_path / "out.csv", **asked)
    (tmp_path / "empty.csv").write_text("")
    with pytest.raises(Unreadable, match="empty"):
        there.fleet(tmp_path / "empty.csv", into=tmp_path / "out.csv", **asked)


def test_parquet_without_pyarrow_says_what_to_install(there, tmp_path, monkeypatch, asked):
    monkeypatch.setattr(arrow_package, "pyarrow", lambda: None)
    with pytest.raises(NotSent, match="install it, or use CSV"):
        there.fleet(EXAMPLES / "fleet.csv", into=tmp_path / "out.parquet", **asked)
    assert not list(tmp_path.iterdir())


def test_a_bar_shows_how_far_it_is_only_where_it_is_wanted(there, given, asked, capsys, tmp_path):
    there.fleet(given, **asked)
    assert capsys.readouterr() == ("", "")
    there.fleet(given, progress=True, **asked)
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith(f"|{'=' * 30}| 100 %, {COUNT} rows\n")
    given.write_csv(tmp_path / "in.csv")
    there.fleet(tmp_path / "in.csv", into=tmp_path / "out.csv", progress=True, **asked)
    assert capsys.readouterr().err.endswith(f"| 100 %, {COUNT} rows\n")
    list(there.fleet(given.iter_rows(named=True), progress=True, **asked))
    assert capsys.readouterr().err.endswith(f"\r{COUNT} rows\n")


def test_awaited_every_kind_is_answered_the_same(server, there, given, whole, asked, tmp_path):
    given.write_csv(tmp_path / "in.csv")

    async def awaited():
        async with AsyncClimbwright(server) as client:
            rows = [row async for row in await client.fleet(given.iter_rows(named=True), **asked)]
            frames = await asyncio.gather(client.fleet(given, **asked), client.fleet(given.to_pandas(), **asked))
            written = await client.fleet(tmp_path / "in.csv", into=tmp_path / "out.csv", **asked)
            with pytest.raises(NotUnderstood, match="no such measure"):
                await client.fleet(given, measures="nonsense", shared=SHARED)
            with pytest.raises(NotUnderstood, match="no such measure"):
                await client.fleet(tmp_path / "in.csv", into=tmp_path / "no.csv", measures="nonsense")
            return rows, frames, written

    rows, (polars, pandas), written = asyncio.run(awaited())
    alike(rows[0], (row.values() for row in rows), whole)
    alike(polars.columns, polars.iter_rows(), whole)
    alike(pandas.columns, pandas.itertuples(index=False), whole)
    assert written == Written(tmp_path / "out.csv", COUNT, COUNT - 1)
    assert (tmp_path / "out.csv").read_text("utf-8") == whole[0]
    assert not (tmp_path / "no.csv").exists()


def test_awaited_no_more_than_a_few_pieces_are_in_flight(app, given, asked):
    watched = Watched(app)
    taken, ahead = 0, []

    class Transport(httpx.AsyncBaseTransport):
        async def handle_async_request(self, request):
            content = await request.aread()
            again = httpx.Request(request.method, request.url, headers=request.headers, content=content)
            response = await asyncio.to_thread(watched.handle_request, again)
            return httpx.Response(response.status_code, headers=response.headers, content=b"".join(response.stream))

    def rows():
        nonlocal taken
        for row in given.iter_rows(named=True):
            taken += 1
            yield row

    async def awaited():
        async with AsyncClimbwright("http://service.example", transport=Transport()) as client:
            told = 0
            async for _ in await client.fleet(rows(), **asked):
                ahead.append(taken - told)
                told += 1

    asyncio.run(awaited())
    assert len(ahead) == COUNT
    assert watched.most == 2
    assert max(ahead) <= 3 * asked["rows"]
