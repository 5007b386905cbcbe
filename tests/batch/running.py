"""How these tests run the command: the invented fleet they send, and OUT read back as anyone would read it."""

import io
import json
import subprocess
import sys
import time
from pathlib import Path

import pyarrow as pa
import pyarrow.csv
import pyarrow.feather
import pyarrow.ipc
import pyarrow.parquet
from click.testing import CliRunner

from climbwright.batch.command import main

ROOT = Path(__file__).parents[2]
COMMAND = Path(sys.executable).with_name("climbwright")
AEROPLANE = json.loads((ROOT / "openapi" / "examples" / "performance.json").read_text("utf-8"))["aircraft"]
SHARED = {"aircraft": AEROPLANE, "cruise": {"power_fraction": "65 %"}}
PITCHES = ("climb", "cruise", "middle")


def fleet(rows, wrong=()):
    """Invented rows, no two alike; those that are wrong have a word where a number belongs."""
    places = range(rows)
    weights = [repr(350 + place % 97 + place / 1e6) for place in places]
    for place in wrong:
        weights[place] = "heavy"
    columns = {
        "note": [f'number {place}, "invented"\nby nobody' if place % 7 == 0 else f"number {place}" for place in places],
        "aircraft.empty.weight [kg]": weights,
        "aircraft.propeller.pitch_class": [PITCHES[place % 3] for place in places],
        "loading.stations.seats [kg]": [repr(70 + place % 41 + 0.25) for place in places],
        "condition.density_altitude [ft]": [repr(float(place * 37 % 9000)) for place in places],
    }
    return pa.table(columns)


def numbers(table):
    """The same with numbers as numbers and units in the metadata, as a program would write Arrow or Parquet."""
    fields, columns = [], []
    for heading, column in zip(table.column_names, table.columns, strict=True):
        name, _, unit = heading.removesuffix("]").partition(" [")
        column = column.cast(pa.float64()) if unit else column
        fields.append(pa.field(name, column.type, metadata={"unit": unit} if unit else None))
        columns.append(column)
    return pa.table(columns, schema=pa.schema(fields))


def write(table, path):
    """A file of the kind that its name says."""
    if path.suffix == ".csv":
        pyarrow.csv.write_csv(table, path)
    elif path.suffix == ".parquet":
        pyarrow.parquet.write_table(table, path, row_group_size=333)
    else:
        opened = pa.ipc.new_stream if path.suffix == ".arrows" else pa.ipc.new_file
        with opened(path, table.schema) as file:
            file.write_table(table, max_chunksize=333)
    return path


def read(path):
    """OUT, by the usual reader of its kind."""
    if path.suffix == ".csv":
        options = pyarrow.csv.ParseOptions(newlines_in_values=True)
        return pyarrow.csv.read_csv(path, parse_options=options)
    if path.suffix == ".parquet":
        return pyarrow.parquet.read_table(path)
    if path.suffix == ".arrows":
        return pa.ipc.open_stream(path.read_bytes()).read_all()
    return pyarrow.feather.read_table(path)


def run(*arguments):
    """The command in this process."""
    return CliRunner().invoke(main, ["fleet", *map(str, arguments)])


def ran(*arguments):
    """The command's closing line, all well."""
    outcome = run(*arguments)
    assert outcome.exit_code == 0, (outcome.output, outcome.exception)
    return outcome.stdout.splitlines()[-1] if outcome.stdout else ""


def refusal(*arguments):
    """What the command says when it refuses, which is one line."""
    outcome = run(*arguments)
    assert outcome.exit_code == 1, (outcome.output, outcome.exception)
    assert isinstance(outcome.exception, SystemExit), outcome.exception
    assert outcome.stdout == ""
    lines = [line for line in outcome.stderr.splitlines() if line not in ("answering", "joining")]
    assert len(lines) == 1, lines
    return lines[0].removeprefix("Error: ")


def start(*arguments, **options):
    """The installed command in a process of its own."""
    command = [COMMAND, "fleet", *map(str, arguments)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, **options)


def wait_for_parts(process, out, count):
    """Wait until a running command has finished so many partitions and not all; their numbers."""
    folder = out.with_name(out.name + ".parts")
    while len(found := sorted(folder.glob("*.arrows"))) < count:
        assert process.poll() is None, process.communicate()
        time.sleep(0.01)
    assert process.poll() is None, process.communicate()
    return [int(path.stem) for path in found]


def posted(client, content, kind, **query):
    """The answer of the service to the same table, in the form that it came in."""
    parts = {"shared": json.dumps(SHARED), "table": (io.BytesIO(content), "table", kind)}
    response = client.post("/v1/fleet", data=parts, query_string=query)
    assert response.status_code == 200, response.text
    return response.data
