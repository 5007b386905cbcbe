"""Cells of CSV that a spreadsheet would compute: an apostrophe stands before them, and numbers stay numbers."""

import csv
import io

import pyarrow as pa
import pytest

from .asking import send
from .fleet.asking import columns, parts, shared
from .hostile.calling import STREAM, stream

FORMULAS = [
    *("=1+1", '=HYPERLINK("http://evil.example")', "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1+1", "\n=1+1", "=", "-"),
    *("=cmd|' /C calc'!A0", "-5 kg", "+", "\uff1d1+1", "\uff0b1", "\uff0d1", "\uff201", "--5", "-1e", "-.", '="a",b'),
]
NUMBERS = ["-5", "+3", "-0.25", "-.5", "-1e-5", "+1.5E+10", "-7."]
TEXTS = ["a", "", "a=b", "1-2", "'=1", " x", "été", "5", "1e5"]
STARTS = tuple("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20")


def is_a_number(text):
    try:
        float(text)
    except ValueError:
        return False
    return True


def is_safe(cell):
    return not cell.startswith(STARTS) or is_a_number(cell)


def table_of(text):
    return list(csv.reader(io.StringIO(text, newline="")))


def with_notes(notes, **more):
    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    table = columns(len(notes), seed=51)
    table = {name: column for name, column in table.items() if not name.startswith("condition.")}
    return {"shared": common, "columns": {"note": notes, **more, **table}, "measures": ["weight", "cg_margin"]}


def test_cells_that_go_through_a_fleet(client):
    notes = [*FORMULAS, *NUMBERS, *TEXTS]
    body = with_notes(notes, whole=list(range(-3, len(notes) - 3)), broken=[-0.5] * len(notes))
    heading, *rows = table_of(client.post("/v1/fleet?format=csv", json=body).text)
    assert len(rows) == len(notes)
    assert all(is_safe(cell) for row in (heading, *rows) for cell in row)
    found = dict(zip(heading, zip(*rows, strict=True), strict=True))
    assert list(found["note"]) == [f"'{note}" for note in FORMULAS] + NUMBERS + TEXTS
    assert list(map(int, found["whole"])) == body["columns"]["whole"]
    assert set(map(float, found["broken"])) == {-0.5}
    margins = found["cg_margin [m]"]
    assert any(float(one) < 0.0 for one in margins if one)
    exact = client.post("/v1/fleet", json=body).get_json()["columns"]
    assert exact["note"] == notes
    assert [float(one) if one else None for one in margins] == exact["cg_margin"]["value"]
    answer = pa.ipc.open_stream(client.post("/v1/fleet?format=arrow", json=body).data).read_all()
    assert answer["note"].to_pylist() == notes


@pytest.mark.parametrize("kind", ["string", "large_string", "dictionary", "view"])
def test_cells_of_every_kind_of_text(client, kind):
    notes = pa.array([*FORMULAS, None])
    made = {
        "string": notes,
        "large_string": notes.cast(pa.large_string()),
        "dictionary": notes.dictionary_encode(),
        "view": notes.cast(pa.string_view()),
    }
    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    table = stream({"note": made[kind], "loading.stations.seats [kg]": pa.array([80.0] * len(notes))})
    response = client.post("/v1/fleet?format=csv&measures=weight", data=parts(common, table, STREAM))
    assert response.status_code == 200, response.text
    assert [row[0] for row in table_of(response.text)[1:]] == [f"'{note}" for note in FORMULAS] + [""]


def test_headings_that_go_through_a_fleet(client):
    names = ["=1+1", "+a", "-a", "@a", "\uff1da"]
    body = with_notes(["a"], **{name: ["x"] for name in names})
    heading, _ = table_of(client.post("/v1/fleet?format=csv", json=body).text)
    assert {f"'{name}" for name in names} < set(heading)
    assert all(map(is_safe, heading))


def test_reasons_that_quote_a_formula(client):
    body = with_notes(["a"])
    body["columns"]["aircraft.name"] = ["=1+1"]
    body["columns"]["loading.stations.seats"] = ["=1+1"]
    for cell in table_of(client.post("/v1/fleet?format=csv", json=body).text)[1]:
        assert is_safe(cell)


@pytest.mark.parametrize("operation", ["performance", "comparison"])
def test_names_in_the_tables_of_operations(client, example, operation):
    """Names may not begin with a sign of ours; those of another script may."""
    body = example(operation)
    lists = [body["loadings"], body["conditions"], body.get("options", [])]
    members = [member for one in lists for member in one]
    for member in members:
        member["name"] = "\uff1d" + member["name"]
    response = client.post(f"/v1/{operation}?format=csv", json=body)
    assert response.status_code == 200, response.text
    rows = table_of(response.text)
    assert all(is_safe(cell) for row in rows for cell in row)
    cells = {cell for row in rows for cell in row}
    assert {"'" + member["name"] for member in members} <= cells


def test_an_answer_as_csv_has_the_same_negative_numbers(client):
    query = {"altitude": "-1000 ft", "temperature_offset": "-20 K"}
    heading, row = table_of(client.get("/v1/atmosphere", query_string=query | {"format": "csv"}).text)
    exact = send(client, "atmosphere", query)
    assert float(row[heading.index("altitude [ft]")]) == exact["altitude"]["value"] < 0.0
