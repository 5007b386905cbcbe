"""What is wrong with a fleet as a whole is refused with a problem document that names it."""

import io
import json

import pyarrow as pa
import pytest

from ..asking import pointers, refused
from .asking import columns, parts, shared
from .test_forms import STREAM, as_arrow, as_csv


def body(**changes):
    return {"shared": shared(), "columns": columns(3, seed=41), "measures": ["weight"]} | changes


def with_column(name, values):
    return body(columns=columns(3, seed=41) | {name: values})


def column(name, values, word):
    """A case of a column that is refused under its name."""
    return with_column(name, values), f"/columns/{name}", word


def without(given, name):
    return {key: value for key, value in given.items() if key != name}


HP = {"value": [80.0, 90.0, 100.0], "unit": "hp"}
JSON = {
    "no columns": (without(body(), "columns"), "/columns", "missing"),
    "columns that are none": (body(columns=[1]), "/columns", "must be an object"),
    "empty": (body(columns={}), "", "no columns"),
    "a misspelt field": column("aircraft.engine.pwer", HP, "'aircraft.engine.power'"),
    "an unknown part": column("aeroplane.engine.power", HP, "there is no such field"),
    "a part without its field": column("aircraft.engine", HP, "fields of its own"),
    "more than a field": column("aircraft.engine.power.now", HP, "no fields"),
    "a list without a name": column("aircraft.stations.arm", HP, "NAME.FIELD"),
    "a list without names": column("aircraft.envelope.1.arm", HP, "no names"),
    "a member's name": column("aircraft.stations.seats.name", HP, "go by"),
    "all stations": column("loading.stations", HP, "loading.stations.STATION"),
    "no unit": column("aircraft.engine.power", [80.0, 90.0, 100.0], "no unit"),
    "a unit of another kind": column("aircraft.engine.power", HP | {"unit": "kg"}, "not a unit of power"),
    "an ambiguous unit": column("aircraft.engine.power", HP | {"unit": "bhp"}, "ambiguous"),
    "a unit that is none": column("aircraft.engine.power", HP | {"unit": 3}, "must be a text"),
    "a spread": column("aircraft.engine.power", HP | {"plus_minus": 3}, "plus_minus"),
    "the unit twice": column("aircraft.engine.greatest_speed [rpm]", HP, "twice"),
    "a number for a column": column("aircraft.engine.power", 80.0, "is a list"),
    "a value that is no list": column("aircraft.engine.power", {"value": 80.0, "unit": "hp"}, "is a list"),
    "lists of two lengths": column("aircraft.engine.power", HP | {"value": [80.0, 90.0]}, "one for each"),
    "a name of the answer": (with_column("status", ["a", "b", "c"]), "/columns", "column of the answer"),
    "a nameless column": (with_column("", ["a", "b", "c"]), "/columns", "no name"),
    "a column that goes through in objects": column("note", [{}, {}, {}], "list of texts"),
    "an unknown field": (body(colums={}), "/colums", "there is no such field"),
    "an unknown part of shared": (body(shared=shared() | {"loadings": []}), "/shared/loadings", "shared holds"),
    "shared that is none": (body(shared=[]), "/shared", "must be an object"),
    "an aeroplane that is none": (body(shared=shared() | {"aircraft": 3}), "/shared/aircraft", "must be an object"),
    "a fault in shared": (
        body(shared=shared() | {"strip": {"length": "12 kg"}}), "/shared/strip/length", "not a unit of runway distance",
    ),
    "a field that nobody sends": (body(shared=without(shared(), "aircraft")), "/shared/aircraft", "missing"),
    "an unknown measure": (body(measures=["best_clim_rate"]), "/measures/0", "no such measure"),
    "no measures": (body(measures=[]), "/measures", "1 to 100"),
    "shared where a list has to be": (
        body(shared=shared() | {"aircraft": shared()["aircraft"] | {"stations": 3}}), "/shared", "is no list",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", JSON)
def test_json_that_is_wrong_as_a_whole(client, case):
    given, pointer, word = JSON[case]
    document = refused(client.post("/v1/fleet", json=given), 422)
    assert any(found == pointer or found.startswith(pointer + "/") for found in pointers(document)), document
    assert word in " ".join(error["detail"] for error in document["errors"]), document


QUERIES = {
    "combine=both": "combine",
    "spread=sampled": "spread",
    "cautions=yes": "cautions",
    "cost=all": "cost",
    "format=xlsx": "format",
    "format=text": "format",
    "units=imperial": "units",
    "measures=": "measures",
    "measures=weight": "measures",  # and in the body too
    "pick=weight": "pick",
    "working=true": "working",
}


@pytest.mark.parametrize("query", QUERIES)
def test_a_query_that_is_wrong(client, query):
    document = refused(client.post(f"/v1/fleet?{query}", json=body()), 422)
    assert f"/{QUERIES[query]}" in pointers(document)


TABLES = {
    "nothing": (b"", 400, "empty"),
    "semicolons": (b"registration;aircraft.engine.power [hp]\nA;80\n", 400, "commas"),
    "a row too short": (b"a,aircraft.engine.power [hp]\nx,80\ny\n", 400, "line 3 has 1 cells, the heading 2"),
    "a row too long": (b"a,aircraft.engine.power [hp]\nx,80,3\n", 400, "line 2 has 3 cells, the heading 2"),
    "another encoding": ("a,été\nx,80\n".encode("latin-1"), 400, "UTF-8"),
    "cells of another encoding": ("a,aircraft.engine.power [hp]\né,80\n".encode("latin-1"), 400, "UTF-8"),
    "an open quote": (b'"a,b\nx,80\n', 400, "quotes closed"),
    "a heading twice": (b"a,a\nx,y\n", 422, "twice"),
    "a field twice": (b"aircraft.engine.power [hp],aircraft.engine.power [kW]\n80,60\n", 422, "twice"),
    "an empty heading": (b"a,,b\nx,y,z\n", 422, "no name"),
    "a misspelt field": (b"aircraft.engine.pwer [hp]\n80\n", 422, "aircraft.engine.power"),
}


@pytest.mark.parametrize("case", TABLES)
def test_csv_that_is_wrong_as_a_whole(client, case):
    table, status, word = TABLES[case]
    document = refused(client.post("/v1/fleet", data=parts(shared(), table)), status)
    assert word in json.dumps(document, ensure_ascii=False)


def test_arrow_that_is_wrong_as_a_whole(client):
    whole = as_arrow(columns(3, seed=42))
    for table in (b"", b"nonsense", whole[:40], whole[: len(whole) // 2], as_csv(columns(1, seed=42))):
        refused(client.post("/v1/fleet", data=parts(shared(), table, STREAM)), 400)
    one = pa.table({"a": [1]})
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, one.schema) as stream:
        stream.write_table(one)
    document = refused(client.post("/v1/fleet", data=sink.getvalue(), content_type=STREAM), 422)
    assert pointers(document)


def test_parts_that_are_wrong(client):
    good = as_csv(columns(2, seed=43))
    for given in (
        {"shared": (io.BytesIO(b"{}"), "s", "application/json")},
        {"table": (io.BytesIO(good), "t", "text/csv"), "tables": (io.BytesIO(good), "t", "text/csv")},
    ):
        refused(client.post("/v1/fleet", data=given), 422)
    for content in (b"{", b'{"a": NaN}', b'{"aircraft": {}, "aircraft": {}}', b"\xff"):
        given = parts({}, good) | {"shared": (io.BytesIO(content), "s", "application/json")}
        refused(client.post("/v1/fleet", data=given), 400)
    refused(client.post("/v1/fleet", data=parts(shared(), good, "text/html")), 415)
    refused(client.post("/v1/fleet", data=b"--x\r\n", content_type="multipart/form-data"), 400)
    refused(client.post("/v1/fleet", data=b"--x", content_type="multipart/form-data; boundary=x"), 400, 422)


def test_bodies_that_are_none(client):
    for content, kind, *statuses in (
        (b"{", "application/json", 400),
        (b"[]", "application/json", 422),
        (b'{"columns": {"a": [NaN]}}', "application/json", 400),
        (b'{"columns": {"a": [1]}, "columns": {}}', "application/json", 400),
        (b'{"columns": {"a": ["x:y"]}, "columns": {}}', "application/json", 400),
        (b"\xef\xbb\xbf{}", "application/json", 400),
        ("{}".encode("utf-16"), "application/json", 400),
        (b"a", "text/plain", 415),
        (b"a", "", 415),
    ):
        refused(client.post("/v1/fleet", data=content, content_type=kind), *statuses)


def test_too_many_rows_and_bytes_are_refused_with_the_limit(client, app):
    most = app.config["MAXIMUM_ROWS"]
    table = {"loading.stations.seats": {"value": [80] * (most + 1), "unit": "kg"}}
    document = refused(client.post("/v1/fleet", json={"shared": shared(), "columns": table}), 413)
    assert str(most) in document["detail"]
    assert str(most + 1) in document["detail"]
    large = b" " * (app.config["MAXIMUM_FLEET_BODY"] + 1)
    document = refused(client.post("/v1/fleet", data=large, content_type="application/json"), 413)
    assert str(app.config["MAXIMUM_FLEET_BODY"]) in document["detail"]


def test_other_methods_and_formats(client):
    assert client.options("/v1/fleet").headers["Allow"] == "OPTIONS, POST"
    refused(client.get("/v1/fleet"), 405)
    refused(client.post("/v1/fleet", json=body(), headers={"Accept": "text/html"}), 406)


def test_numbers_beyond_all_numbers_are_told_of_their_row(client):
    table = columns(2, seed=44)
    table["aircraft.engine.power"]["value"][1] = 10**400
    text = json.dumps(body(columns=table))
    response = client.post("/v1/fleet", data=text, content_type="application/json")
    assert response.status_code == 200, response.text
    status = response.get_json()["columns"]["status"]
    assert status[1].startswith("aircraft.engine.power: ")
    assert status[0] == "ok"


def test_what_would_swallow_rows_or_columns_is_refused(client):
    whole = as_csv(columns(2, seed=45))
    open_quote = b'note,aircraft.engine.power [hp]\n"x,80\ny,90\n'
    assert "quote is not closed" in refused(client.post("/v1/fleet", data=parts(shared(), open_quote)), 400)["detail"]
    names = ",".join(f"column {i} {'x' * 180}" for i in range(498))
    long = f"{names},aircraft.engine.power [hp]\n".encode() + b"," * 498 + b"80\n"
    assert len(long) > 90_000
    common = shared() | {"condition": {"density_altitude": "5000 ft"}, "loading": {"stations": {"seats": "150 kg"}}}
    response = client.post("/v1/fleet?measures=installed_power_to_weight&format=json", data=parts(common, long))
    told = response.get_json()["columns"]
    assert len(told) == 498 + 2
    weaker = long.replace(b"80\n", b"40\n")
    half = client.post(
        "/v1/fleet?measures=installed_power_to_weight&format=json", data=parts(common, weaker)
    ).get_json()
    assert (
        told["installed_power_to_weight"]["value"][0] == 2.0 * half["columns"]["installed_power_to_weight"]["value"][0]
    )
    longer = long.replace(b"x" * 180, b"x" * 199)
    assert "longer than 100000" in refused(client.post("/v1/fleet", data=parts(shared(), longer)), 400)["detail"]
    only_a_heading = whole.split(b"\r\n")[0]
    response = client.post("/v1/fleet?measures=weight", data=parts(shared(), only_a_heading))
    assert response.status_code == 200
    assert len(response.text.splitlines()) == 1


def test_a_member_that_shared_does_not_have_is_refused(client):
    table = {"aircraft.stations.Seats.arm": {"value": [1.9, 2.0], "unit": "m"}}
    document = refused(client.post("/v1/fleet", json=body(columns=table)), 422)
    assert "there is no 'Seats' in shared, which has seats, fuel" in document["detail"]


def test_a_fault_of_a_whole_column_names_the_column(client):
    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    table = {"loading.stations.seats": {"value": [1.0, 2.0], "unit": "L"}}
    document = refused(client.post("/v1/fleet", json=body(shared=common, columns=table)), 422)
    assert pointers(document) == ["/columns/loading.stations.seats"]
    for name in ("aircraft.engine.cycle [kg]", "aircraft.propeller.pitch_class []"):
        document = refused(client.post("/v1/fleet", json=with_both(name)), 422)
        assert "has no unit" in document["detail"]
    document = refused(client.post("/v1/fleet", json=body(columns={"aircraft.engine.power []": [1.0]})), 422)
    assert "'' is not a unit of power" in document["detail"]


def with_both(name):
    return body(columns=columns(2, seed=46) | {name: ["four-stroke", "two-stroke"]})


def test_more_kinds_of_aeroplane_than_may_be_are_refused(client):
    rules = [f"flap {i}" for i in range(300)]
    table = {"aircraft.rules.configuration": rules}
    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    document = refused(client.post("/v1/fleet", json=body(shared=common, columns=table)), 422)
    assert "300 kinds of aeroplane, at most 200" in document["detail"]


@pytest.mark.parametrize("place", ["name", "cell", "shared"])
def test_half_a_character_is_refused(client, place):
    """No answer could give it back."""
    half, whole = ('"\\ud800"', '"x"')
    name, cell, shared = (half if place == one else whole for one in ("name", "cell", "shared"))
    body = f'{{"shared": {{"aircraft": {{"name": {shared}}}}}, "columns": {{{name}: [{cell}]}}}}'
    document = refused(client.post("/v1/fleet", data=body, content_type="application/json"), 400)
    assert "half a character" in document["detail"]
