"""A file is answered to the bit as the service answers it, whatever kinds IN and OUT are and wherever it is cut."""

import json
from datetime import datetime
from decimal import Decimal

import pyarrow as pa
import pytest

from .running import SHARED, fleet, numbers, posted, ran, read, run, write

ROWS = 2003
CSV, STREAM = "text/csv", "application/vnd.apache.arrow.stream"


@pytest.fixture(scope="module")
def answer(app):
    """The service's answer to the whole table in one request."""
    table = numbers(fleet(ROWS))
    sink = pa.BufferOutputStream()
    with pa.ipc.new_stream(sink, table.schema) as stream:
        stream.write_table(table)
    content = posted(app.test_client(), sink.getvalue().to_pybytes(), STREAM)
    return pa.ipc.open_stream(content).read_all()


@pytest.mark.parametrize(
    ("source", "out"),
    [
        ("in.csv", "out.parquet"),
        ("in.parquet", "out.arrow"),
        ("in.arrow", "out.arrows"),
        ("in.arrows", "out.feather"),
        ("in.feather", "out.parquet"),
    ],
)
@pytest.mark.parametrize("rows", [ROWS, 500])
def test_numbers_and_units_are_those_of_the_service(tmp_path, shared, answer, source, out, rows):
    table = fleet(ROWS)
    source = write(table if source.endswith("csv") else numbers(table), tmp_path / source)
    ran(source, tmp_path / out, "--shared", shared, "--rows", rows)
    found = read(tmp_path / out)
    assert found.equals(answer)
    assert [field.metadata for field in found.schema] == [field.metadata for field in answer.schema]


@pytest.mark.parametrize("source", ["in.csv", "in.parquet", "in.arrow"])
def test_csv_is_that_of_the_service_byte_by_byte(tmp_path, shared, client, source):
    table = fleet(ROWS)
    content = write(table, tmp_path / "posted.csv").read_bytes()
    source = write(table if source.endswith("csv") else numbers(table), tmp_path / source)
    ran(source, tmp_path / "out.csv", "--shared", shared, "--rows", 700)
    assert (tmp_path / "out.csv").read_bytes() == posted(client, content, CSV)


def test_options_are_those_of_the_query(tmp_path, shared, client):
    table = fleet(300, wrong=[7])
    source = write(table, tmp_path / "in.csv")
    options = ("--units", "us,speed:mph", "--measures", "weight, best_climb_rate,cruise", "--spread", "linear")
    ran(source, tmp_path / "out.csv", "--shared", shared, "--rows", 64, *options, "--cautions")
    query = {"units": "us,speed:mph", "measures": "weight,best_climb_rate,cruise", "spread": "linear"}
    expected = posted(client, source.read_bytes(), CSV, cautions="true", **query)
    assert b"plus_minus [mph]" in expected
    assert (tmp_path / "out.csv").read_bytes() == expected


def test_several_processes_answer_the_same_in_the_same_order(tmp_path, shared):
    source = write(numbers(fleet(ROWS)), tmp_path / "in.arrow")
    ran(source, tmp_path / "one.arrow", "--shared", shared, "--rows", 100)
    ran(source, tmp_path / "two.arrow", "--shared", shared, "--rows", 100, "--workers", 2)
    assert (tmp_path / "one.arrow").read_bytes() == (tmp_path / "two.arrow").read_bytes()


def test_wrong_rows_keep_their_place_and_say_why(tmp_path, shared, client):
    """The third partition has nothing but wrong rows, and the same columns as the others."""
    wrong = [3, *range(100, 150), 199]
    source = write(fleet(200, wrong), tmp_path / "in.csv")
    line = ran(source, tmp_path / "out.csv", "--shared", shared, "--rows", 50)
    assert "200 rows, 148 right and 52 wrong, whose column status says why" in line
    assert (tmp_path / "out.csv").read_bytes() == posted(client, source.read_bytes(), CSV)
    status = read(tmp_path / "out.csv").column("status").to_pylist()
    assert [place for place, said in enumerate(status) if said != "ok"] == wrong
    assert status[3].startswith("aircraft.empty.weight: 'heavy' is not a plain number")


@pytest.mark.parametrize("first", [True, False])
def test_wrong_words_alone_in_a_partition_change_no_columns(tmp_path, shared, first):
    table = fleet(20)
    words = ["bent" if (place < 10) == first else "climb" for place in range(20)]
    table = table.set_column(2, "aircraft.propeller.pitch_class", pa.array(words))
    source = write(table, tmp_path / "in.csv")
    assert "20 rows, 10 right" in ran(source, tmp_path / "out.parquet", "--shared", shared, "--rows", 10)
    right = read(tmp_path / "out.parquet").column("stall_speeds.landing flap").is_valid().to_pylist()
    assert right == [(place < 10) != first for place in range(20)]


@pytest.mark.parametrize("out", ["out.csv", "out.parquet", "out.arrow"])
def test_a_table_without_rows_has_its_columns(tmp_path, shared, out):
    empty = write(fleet(0), tmp_path / "empty.csv")
    full = write(fleet(5), tmp_path / "full.csv")
    assert "0 rows, 0 right and 0 wrong; 1 partition; " in ran(empty, tmp_path / out, "--shared", shared)
    ran(full, tmp_path / f"full-{out}", "--shared", shared)
    assert read(tmp_path / out).column_names == read(tmp_path / f"full-{out}").column_names
    assert read(tmp_path / out).num_rows == 0


def test_columns_of_ones_own_go_through_as_they_are(tmp_path, shared):
    table = numbers(fleet(12))
    own = {
        "kind": pa.array(["low", "high", None] * 4).dictionary_encode(),
        "built": pa.array(range(12), pa.int16()),
        "checked": pa.array([True, None, False] * 4),
    }
    for name, column in own.items():
        table = table.append_column(name, column)
    source = write(table, tmp_path / "in.parquet")
    ran(source, tmp_path / "out.arrow", "--shared", shared, "--rows", 5)
    found = read(tmp_path / "out.arrow")
    assert found.column("kind").to_pylist() == ["low", "high", None] * 4
    assert found.schema.field("built").type == pa.int16()
    assert found.column("checked").to_pylist() == [True, None, False] * 4
    assert found.column("note").to_pylist() == table.column("note").to_pylist()


def test_types_that_csv_does_not_hold_are_texts_as_in_the_service(tmp_path, shared, client):
    table = numbers(fleet(4))
    table = table.append_column("weighed", pa.array([datetime(2026, 5, day, 9, 30) for day in range(1, 5)]))
    table = table.append_column("price", pa.array([Decimal("1.50"), None, Decimal("2.25"), Decimal("0.10")]))
    table = table.append_column("kind", pa.array(["low", "high", "low", None]).dictionary_encode())
    source = write(table, tmp_path / "in.arrows")
    ran(source, tmp_path / "out.csv", "--shared", shared, "--rows", 3)
    assert (tmp_path / "out.csv").read_bytes() == posted(client, source.read_bytes(), STREAM, format="csv")
    ran(source, tmp_path / "out.parquet", "--shared", shared, "--rows", 3)
    found = read(tmp_path / "out.parquet")
    assert found.column("weighed").to_pylist() == table.column("weighed").to_pylist()
    assert found.column("price").to_pylist() == table.column("price").to_pylist()


def test_everything_may_stand_in_the_table(tmp_path):
    """Without a shared document."""
    cells = {
        "aircraft.wing.area [m2]": "13.4",
        "aircraft.wing.span [m]": "9.9",
        "aircraft.engine.power [hp]": "80",
        "aircraft.propeller.kind": "fixed-pitch",
        "aircraft.propeller.pitch_class": "climb",
        "aircraft.drag.airframe_class": "strut-braced-fabric",
        "aircraft.empty.weight [kg]": "318",
        "aircraft.empty.arm [m]": "0.33",
        "condition.density_altitude [ft]": "2000",
    }
    (tmp_path / "in.csv").write_text(",".join(cells) + "\n" + ",".join(cells.values()) + "\n")
    ran(tmp_path / "in.csv", tmp_path / "out.csv", "--measures", "weight,cg_arm")
    assert (tmp_path / "out.csv").read_text() == '"weight [kg]","cg_arm [m]","status"\n318,0.33,"ok"\n'


def test_out_names_what_its_numbers_follow_from(tmp_path, shared):
    """A change of any of them is seen."""
    source = write(fleet(5), tmp_path / "in.csv")
    other = tmp_path / "other.json"
    other.write_text(json.dumps({**SHARED, "landing": {}}))

    def named(out, *options):
        line = ran(source, tmp_path / out, *options)
        metadata = {key.decode(): value.decode() for key, value in read(tmp_path / out).schema.metadata.items()}
        assert all(f"{name} {metadata[name]}" in line for name in ("build", "input", "shared"))
        return {name: metadata[name] for name in ("build", "input", "shared", "options")}

    first = named("1.parquet", "--shared", shared)
    assert named("2.arrow", "--shared", shared) == first
    differs = {
        "shared": named("3.arrow", "--shared", other),
        "options": named("4.arrow", "--shared", shared, "--measures", "weight"),
    }
    with source.open("a") as file:
        file.write('"",400,"climb",80,1000\n')
    differs["input"] = named("5.arrow", "--shared", shared)
    for name, found in differs.items():
        assert {key for key in first if first[key] != found[key]} == {name}


def test_standard_output_says_that_it_is_an_estimate(tmp_path, shared):
    source = write(fleet(5), tmp_path / "in.csv")
    said = run(source, tmp_path / "out.csv", "--shared", shared).stdout
    assert said.startswith("This is an estimate, not a flight manual.")
