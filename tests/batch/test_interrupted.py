"""A run that was interrupted goes on where it stopped: what is finished is not computed again, and nothing is lost."""

import json
import os
import signal
import time

import pyarrow as pa
import pytest

from climbwright.batch.parts import Parts, parts_of

from .running import SHARED, fleet, numbers, ran, read, refusal, run, start, wait_for_parts, write

ROWS, CUT = 30_000, 500


@pytest.fixture
def source(tmp_path):
    return write(numbers(fleet(200)), tmp_path / "in.arrow")


@pytest.fixture
def interrupted(tmp_path, source, shared, monkeypatch):
    """A run of ten partitions that Ctrl-C ended when three of them were finished: its arguments."""
    kept = Parts.write

    def write_three(parts, number, answer):
        if number == 3:
            raise KeyboardInterrupt
        kept(parts, number, answer)

    arguments = (source, tmp_path / "out.arrow", "--shared", shared, "--rows", 20)
    with monkeypatch.context() as here:
        here.setattr(Parts, "write", write_three)
        outcome = run(*arguments)
    assert outcome.exit_code == 130
    assert outcome.stderr.splitlines()[-1] == (
        f"Interrupted: what is finished is kept in {tmp_path / 'out.arrow.parts'}; the same command goes on from it."
    )
    assert not (tmp_path / "out.arrow").exists()
    return arguments


def test_what_is_finished_is_not_computed_again(tmp_path, interrupted):
    """A part that was changed by hand shows in OUT as it was changed."""
    part = tmp_path / "out.arrow.parts" / "000000001.arrows"
    table = pa.ipc.open_stream(part.read_bytes()).read_all()
    place = table.column_names.index("note")
    marked = table.set_column(place, table.schema.field("note"), pa.array(["finished before"] * 20))
    with pa.ipc.new_stream(part, marked.schema) as stream:
        stream.write_table(marked)
    line = ran(*interrupted)
    assert "200 rows, 200 right and 0 wrong; 10 partitions, 3 of them from an earlier run; " in line
    found = read(tmp_path / "out.arrow").column("note").to_pylist()
    expected = numbers(fleet(200)).column("note").to_pylist()
    assert found == [*expected[:20], *["finished before"] * 20, *expected[40:]]
    assert not (tmp_path / "out.arrow.parts").exists()


def test_it_ends_as_if_it_had_not_been_interrupted(tmp_path, interrupted):
    ran(*interrupted)
    ran(interrupted[0], tmp_path / "other.arrow", *interrupted[2:])
    assert (tmp_path / "out.arrow").read_bytes() == (tmp_path / "other.arrow").read_bytes()


def ended(group):
    """Whether all processes of a group end within some seconds."""
    for _ in range(100):
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.1)
    return False


@pytest.mark.parametrize("number", [signal.SIGKILL, signal.SIGINT])
@pytest.mark.parametrize("options", [(), ("--workers", 2)])
def test_a_process_that_was_killed(tmp_path, shared, number, options):
    source = write(numbers(fleet(ROWS)), tmp_path / "in.parquet")
    out = tmp_path / "out.parquet"
    arguments = (source, out, "--shared", shared, "--rows", CUT, "--spread", "linear")
    with start(*arguments, *options, start_new_session=True) as process:
        finished = wait_for_parts(process, out, 3)
        os.killpg(process.pid, number) if number == signal.SIGINT else os.kill(process.pid, number)
        said = process.communicate(timeout=30)[1]
    assert ended(process.pid)
    assert process.returncode == (130 if number == signal.SIGINT else -number)
    assert ("Interrupted: what is finished is kept in" in said) == (number == signal.SIGINT)
    assert "Traceback" not in said
    assert len(finished) < ROWS // CUT
    assert not out.exists()
    kept = len(list((tmp_path / "out.parquet.parts").glob("*.arrows")))
    line = ran(*arguments)
    assert (
        f"{ROWS} rows, {ROWS} right and 0 wrong; {ROWS // CUT} partitions, {kept} of them from an earlier run" in line
    )
    assert read(out).column("note").to_pylist() == fleet(ROWS).column("note").to_pylist()


def test_a_part_is_there_whole_or_not_at_all(tmp_path, source, shared, monkeypatch):
    """The power goes before the second part has its name."""
    replace = type(tmp_path).replace

    def cut(path, target):
        if "000000001" in path.name:
            raise OSError(28, "No space left on device", str(path))
        return replace(path, target)

    arguments = (source, tmp_path / "out.arrow", "--shared", shared, "--rows", 50)
    with monkeypatch.context() as here:
        here.setattr(type(tmp_path), "replace", cut)
        assert "000000001.arrows.writing': No space left on device" in refusal(*arguments)
    assert "4 partitions, 1 of them from an earlier run" in ran(*arguments)


@pytest.mark.parametrize(
    ("options", "what"),
    [
        (["--measures", "weight"], "options"),
        (["--units", "si"], "options"),
        (["--rows", 21], "rows"),
    ],
)
def test_parts_of_another_run_are_not_mixed_in(tmp_path, interrupted, options, what):
    said = refusal(*interrupted, *options)
    assert said == (
        f"'{tmp_path / 'out.arrow.parts'}' holds parts of another run ({what} is not the same): "
        "remove the folder, name another OUT, or send --fresh to begin anew"
    )
    assert "3 of them from an earlier run" in ran(*interrupted)


def test_parts_of_another_input_shared_document_or_build_are_not_mixed_in(tmp_path, interrupted, shared, monkeypatch):
    whole = shared.read_text()
    shared.write_text(json.dumps({**SHARED, "landing": {}}))
    assert "(shared is not the same)" in refusal(*interrupted)
    shared.write_text(whole)
    with monkeypatch.context() as here:
        here.setattr("climbwright.batch.asking.build", lambda: "another")
        assert "(build is not the same)" in refusal(*interrupted)
    write(numbers(fleet(201)), interrupted[0])
    assert "(input is not the same)" in refusal(*interrupted)


def test_fresh_begins_anew(tmp_path, interrupted):
    line = ran(*interrupted, "--measures", "weight", "--fresh")
    assert "10 partitions; " in line
    assert read(tmp_path / "out.arrow").num_rows == 200


def test_a_file_that_is_replaced_stays_until_the_new_one_is_whole(tmp_path, source, shared, monkeypatch):
    out = tmp_path / "out.arrow"
    out.write_text("the old one")

    def interrupt(parts, number, answer):
        raise KeyboardInterrupt

    with monkeypatch.context() as here:
        here.setattr("climbwright.batch.command.join", interrupt)
        outcome = run(source, out, "--shared", shared, "--rows", 50, "--fresh")
    assert "the same command without --fresh goes on from it" in outcome.stderr
    assert out.read_text() == "the old one"
    assert "4 partitions, 4 of them from an earlier run" in ran(source, out, "--shared", shared, "--rows", 50)
    assert read(out).num_rows == 200


def test_two_runs_do_not_write_into_one_folder(tmp_path, source, shared):
    with parts_of(tmp_path / "out.arrow", {"rows": "1"}, fresh=False):
        said = refusal(source, tmp_path / "out.arrow", "--shared", shared, "--fresh")
        assert said.startswith(f"another run writes into '{tmp_path / 'out.arrow.parts'}': wait for its end")
    ran(source, tmp_path / "out.arrow", "--shared", shared)


def test_a_refused_run_leaves_nothing_in_the_way(tmp_path, source, shared):
    """Once its mistake is mended, the same command runs."""
    whole = shared.read_text()
    shared.write_text("{}")
    table = read(source).drop_columns("aircraft.propeller.pitch_class")
    write(table, source)
    assert "/shared/aircraft" in refusal(source, tmp_path / "out.arrow", "--shared", shared)
    shared.write_text(whole)
    ran(source, tmp_path / "out.arrow", "--shared", shared)


def test_a_part_that_cannot_be_read_is_named(tmp_path, interrupted):
    part = tmp_path / "out.arrow.parts" / "000000002.arrows"
    part.write_bytes(part.read_bytes()[:100])
    said = refusal(*interrupted)
    assert said.startswith(f"the part '{part}' cannot be read (")
    assert said.endswith("send --fresh to begin anew")


def test_a_part_with_other_columns_is_named(tmp_path, interrupted):
    part = tmp_path / "out.arrow.parts" / "000000002.arrows"
    table = pa.ipc.open_stream(part.read_bytes()).read_all().drop_columns("weight")
    with pa.ipc.new_stream(part, table.schema) as stream:
        stream.write_table(table)
    said = refusal(*interrupted)
    assert said == f"'{part}' has other columns than the parts before it: send --fresh to begin anew"
