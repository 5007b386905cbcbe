"""A file is cut into partitions of so many rows, always the same, whatever is in its cells."""

import csv
import io

import pyarrow as pa
import pytest
from hypothesis import given
from hypothesis import strategies as st

from climbwright.batch.reading import open_source
from climbwright.batch.refused import Refused

from .running import fleet, numbers, ran, read, write

CELLS = st.text(alphabet='ab ,"\n;é', max_size=6)
TABLES = st.integers(2, 4).flatmap(
    lambda width: st.lists(st.lists(CELLS, min_size=width, max_size=width), min_size=1, max_size=40)
)


def cut(path, rows):
    return list(open_source(path, rows).partitions)


def records(content):
    return list(csv.reader(io.StringIO(content.decode(), newline="")))


@given(TABLES, st.integers(1, 9), st.sampled_from(["\n", "\r\n"]), st.booleans(), st.booleans())
def test_rows_of_csv_are_what_a_reader_of_csv_finds(tmp_path_factory, table, rows, ending, quoted, ended):
    text = io.StringIO(newline="")
    quoting = csv.QUOTE_ALL if quoted else csv.QUOTE_MINIMAL
    csv.writer(text, lineterminator=ending, quoting=quoting).writerows([["heading"] * len(table[0]), *table])
    content = text.getvalue() if ended else text.getvalue().removesuffix(ending)
    path = tmp_path_factory.mktemp("cut") / "in.csv"
    path.write_bytes(content.encode())
    partitions = cut(path, rows)
    found = [records(partition.table) for partition in partitions]
    assert [row for one in found for row in one[1:]] == records(content.encode())[1:]
    assert all(one[0] == ["heading"] * len(table[0]) for one in found)
    assert [len(one) - 1 for one in found[:-1]] == [rows] * (len(found) - 1)
    assert 1 <= len(found[-1]) - 1 <= rows
    assert sum(partition.step for partition in partitions) == path.stat().st_size
    assert [(one.number, one.before) for one in partitions] == [(i, i * rows) for i in range(len(found))]


@pytest.mark.parametrize("size", [1, 2, 3, 7, 64])
def test_where_a_file_is_read_in_pieces_makes_no_difference(tmp_path, monkeypatch, size):
    monkeypatch.setattr("climbwright.batch.reading._PIECE", size)
    path = write(fleet(20), tmp_path / "in.csv")
    found = [row for partition in cut(path, 3) for row in records(partition.table)[1:]]
    assert found == records(path.read_bytes())[1:]


def test_a_quote_within_a_cell_is_a_sign_for_inches(tmp_path, shared):
    """As many readers of CSV take it; a cell that begins with a quote is still a quoted one."""
    heading = 'note,"aircraft.empty.weight [kg]",condition.density_altitude [ft]\n'
    rows = ['38" tyres,370,1000', '"two\nlines, ""one"" row",371,1000', '5" higher,372,"1000"', "plain,373,1000"]
    (tmp_path / "in.csv").write_text(heading + "\n".join(rows) + "\n")
    ran(tmp_path / "in.csv", tmp_path / "out.arrow", "--shared", shared, "--rows", 1, "--measures", "weight")
    found = read(tmp_path / "out.arrow")
    assert found.column("note").to_pylist() == ['38" tyres', 'two\nlines, "one" row', '5" higher', "plain"]
    assert found.column("weight").to_pylist() == [370, 371, 372, 373]


def test_a_quote_that_is_never_closed_does_not_swallow_the_file(tmp_path, monkeypatch):
    monkeypatch.setattr("climbwright.batch.reading._PIECE", 1000)
    monkeypatch.setattr("climbwright.batch.reading._LONGEST", 5000)
    (tmp_path / "in.csv").write_text("a,b\n" + "1,2\n" * 3000 + '3,"4\n' + "5,6\n" * 3000)
    source = open_source(tmp_path / "in.csv", 100)
    found = []
    with pytest.raises(Refused, match=r"a row is longer than 5000 bytes, close the quote that is open in it: b'3,\"4"):
        found.extend(source.partitions)
    assert len(found) == 30


@pytest.mark.parametrize("name", ["in.parquet", "in.arrow", "in.arrows"])
@pytest.mark.parametrize("rows", [1, 100, 333, 1000, 5000])
def test_rows_of_other_files_keep_their_order(tmp_path, name, rows):
    table = numbers(fleet(1000))
    path = write(table, tmp_path / name)
    source = open_source(path, rows)
    found = [pa.ipc.open_stream(one.table).read_all() for one in source.partitions]
    assert [one.num_rows for one in found[:-1]] == [rows] * (len(found) - 1)
    assert pa.concat_tables(found).equals(table)
    assert found[0].schema.equals(table.schema, check_metadata=True)


@pytest.mark.parametrize("name", ["in.csv", "in.parquet", "in.arrow", "in.arrows"])
def test_steps_add_up_to_the_length(tmp_path, name):
    source = open_source(write(numbers(fleet(1000)), tmp_path / name), 300)
    assert sum(partition.step for partition in source.partitions) == source.length


@pytest.mark.parametrize("name", ["in.csv", "in.parquet", "in.arrow", "in.arrows"])
def test_a_file_is_not_read_further_than_asked(tmp_path, monkeypatch, name):
    """What is broken behind the first partition is not noticed before it is reached."""
    monkeypatch.setattr("climbwright.batch.reading._PIECE", 4096)
    path = write(numbers(fleet(20_000)), tmp_path / name)
    size = path.stat().st_size
    if name == "in.csv":
        content = path.read_bytes()
        path.write_bytes(content[: size // 2] + b"1,2,3\n" + content[size // 2 :])
    partitions = open_source(path, 100).partitions
    first = next(partitions)
    with path.open("r+b") as file:
        file.truncate(size // 2)
    assert first.number == 0
    if name != "in.csv":
        with pytest.raises(Refused, match="cannot be read"):
            list(partitions)
