"""What the command refuses: in one line, with what to send instead, before anything is computed or written."""

import json
import os

import pyarrow as pa
import pytest

from .running import SHARED, fleet, numbers, ran, refusal, write


@pytest.fixture
def source(tmp_path):
    return write(fleet(30), tmp_path / "in.csv")


def left(folder):
    return {path.name for path in folder.iterdir()} - {"in.csv", "shared.json"}


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (["--scheduler", "tcp://127.0.0.1:1"], "--scheduler is that of a Dask cluster: send --engine dask too"),
        (["--engine", "dask"], "--engine dask needs a cluster: send its --scheduler ADDRESS"),
        (["--engine", "dask", "--scheduler", "tcp://127.0.0.1:1", "--workers", "2"], "a Dask cluster brings its own"),
        (
            ["--engine", "dask", "--scheduler", "my cluster"],
            "'my cluster' is no address: send one like tcp://HOST:8786",
        ),
        (["--measures", "weight,hight"], "--measures: 'hight': there is no such measure: send a measure's name"),
        (["--measures", ""], "--measures: '': there is no such measure"),
        (["--units", "furlongs"], "--units: "),
        (["--shared", "nowhere.json"], "--shared: 'nowhere.json' cannot be read: No such file or directory"),
    ],
)
def test_options_are_refused_by_name(tmp_path, source, shared, options, said):
    assert said in refusal(source, tmp_path / "out.csv", "--shared", shared, *options)
    assert left(tmp_path) == set()


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ("", "--shared: the file is empty: send a JSON object"),
        ("{", "--shared: the file is not JSON: "),
        ("[1]", "the file must be a JSON object"),
        ('{"aircraft": {}, "aircraft": {}}', "--shared: the field 'aircraft' stands twice in one object"),
        ('{"aeroplane": {}}', "/shared/aeroplane: there is no such field: shared holds aircraft, loading"),
        ('{"aircraft": {"colour": "red"}}', "/shared/aircraft/colour: there is no such field"),
    ],
)
def test_a_wrong_shared_document_is_refused(tmp_path, shared, content, said):
    """Without a column of words, whose rows would say it each."""
    source = write(fleet(30).drop_columns("aircraft.propeller.pitch_class"), tmp_path / "in.csv")
    shared.write_text(content)
    assert said in refusal(source, tmp_path / "out.csv", "--shared", shared)
    assert left(tmp_path) == set()


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (("in.txt", "out.csv"), "IN: 'in.txt' does not say what it is: name a file .csv, .parquet, .arrow, "),
        (("in.csv", "out"), "OUT: 'out' does not say what it is: name a file .csv"),
        (("gone.csv", "out.csv"), "IN: there is no file '"),
        (("in.csv", "nowhere/out.csv"), "cannot be a file: name one in a folder that is there"),
        (("in.csv", "in.csv"), "OUT is IN: name another file"),
    ],
)
def test_files_are_refused_by_argument(tmp_path, source, shared, names, said):
    (tmp_path / "in.txt").write_text("")
    assert said in refusal(*(tmp_path / name for name in names), "--shared", shared)
    assert left(tmp_path) == {"in.txt"}


@pytest.mark.parametrize("name", ["in.parquet", "in.arrow", "in.arrows", "in.feather"])
def test_a_file_that_is_not_what_its_name_says_is_refused(tmp_path, shared, name):
    (tmp_path / name).write_text("nothing of the kind\n" * 10)
    assert refusal(tmp_path / name, tmp_path / "out.csv").startswith(f"IN: '{tmp_path / name}' cannot be read: ")
    assert left(tmp_path) == {name}


@pytest.mark.parametrize(
    ("column", "said"),
    [
        ("condition.elevation [kg]", "'kg' is not a unit of altitude"),
        ("aircraft.engine.colour", "'aircraft.engine' has no field 'colour': "),
        ("status", "'status' is a column of the answer: give yours another name"),
        ("weight", "'weight' is a column of the answer: give yours another name"),
        ("weight [kg]", "'weight' is a column of the answer: give yours another name"),
        ("note", "the column 'note' is there twice: send it once"),
    ],
)
def test_a_column_is_refused_by_name(tmp_path, source, shared, column, said):
    lines = source.read_text().splitlines()
    rows = fleet(3).append_column("x", pa.array(["1", "2", "3"]))
    content = write(rows, source).read_text()
    source.write_text(content.replace('"x"', f'"{column}"', 1))
    assert len(lines) > 3
    assert said in refusal(source, tmp_path / "out.csv", "--shared", shared)
    assert left(tmp_path) == set()


def test_a_line_is_counted_in_the_whole_file(tmp_path, source, shared):
    table = fleet(30).drop_columns("note")
    lines = write(table, source).read_text().splitlines()
    lines[24] += ",7"
    source.write_text("\n".join(lines) + "\n")
    said = refusal(source, tmp_path / "out.csv", "--shared", shared, "--rows", 10)
    assert said == "in the rows from 21 on: line 25 has 5 cells, the heading 4"


@pytest.mark.parametrize("out", ["out.csv", "out.parquet"])
def test_a_column_of_lists_is_refused_as_in_the_service(tmp_path, shared, out):
    table = numbers(fleet(3)).append_column("marks", pa.array([[1], [2, 3], []]))
    source = write(table, tmp_path / "in.arrow")
    said = refusal(source, tmp_path / out, "--shared", shared)
    assert "the column 'marks' is of the Arrow type list<item: int64>, which cannot go through" in said
    assert left(tmp_path) == {"in.arrow"}


def test_out_that_is_there_is_kept(tmp_path, source, shared):
    out = tmp_path / "out.csv"
    out.write_text("precious")
    said = refusal(source, out, "--shared", shared)
    assert said == f"OUT: '{out}' is there already: name another, or send --fresh to replace it"
    assert out.read_text() == "precious"
    ran(source, out, "--shared", shared, "--fresh")
    assert out.read_text().startswith('"note"')
    assert left(tmp_path) == {"out.csv"}


def test_a_folder_of_something_else_is_kept(tmp_path, source, shared):
    folder = tmp_path / "out.csv.parts"
    folder.mkdir()
    (folder / "letter.txt").write_text("precious")
    for options in ([], ["--fresh"]):
        said = refusal(source, tmp_path / "out.csv", "--shared", shared, *options)
        assert said == f"'{folder}' is no folder of parts: move it away, or name another OUT"
    assert (folder / "letter.txt").read_text() == "precious"


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_not_be_written_is_named(tmp_path, source, shared):
    (tmp_path / "closed").mkdir(mode=0o500)
    assert "Permission denied" in refusal(source, tmp_path / "closed" / "out.csv", "--shared", shared)


def test_a_file_that_changes_meanwhile_is_not_answered(tmp_path, source, shared, monkeypatch):
    def changing(asked, partitions):
        from climbwright.batch.engines import in_this_process

        yield from in_this_process(asked, partitions)
        source.write_text(source.read_text() + "\n")

    monkeypatch.setattr("climbwright.batch.command.in_this_process", changing)
    said = refusal(source, tmp_path / "out.csv", "--shared", shared)
    assert said == f"IN: '{source}' changed while it was read: leave it alone and send --fresh"
    assert not (tmp_path / "out.csv").exists()


def test_a_wrong_phase_is_refused_even_where_no_row_is_right(tmp_path, shared):
    shared.write_text(json.dumps({**SHARED, "climb": {"speed": "66 lb"}}))
    source = write(fleet(5, wrong=range(5)), tmp_path / "in.csv")
    assert "/shared/climb/speed: 'lb' is not a unit of speed" in refusal(source, tmp_path / "o.csv", "--shared", shared)
