"""The same fleet as JSON, CSV, an Arrow stream and in parts, and its answer in each of them."""

import csv
import datetime
import decimal
import io
import json

import numpy as np
import pyarrow as pa
import pytest

from ..asking import refused
from .asking import columns, fleet, numbers, parts, shared

ROWS = 20
STREAM = "application/vnd.apache.arrow.stream"
MEASURES = "weight,best_climb_rate,service_ceiling"


def as_csv(table, extra=()):
    """Columns as CSV with units in the headings."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([*(name for name, _ in extra), *(f"{name} [{column['unit']}]" for name, column in table.items())])
    cells = [values for _, values in extra] + [[repr(v) for v in column["value"]] for column in table.values()]
    writer.writerows(zip(*cells, strict=True))
    return out.getvalue().encode()


def as_arrow(table, extra=(), in_name=False):
    """Columns as an Arrow stream with units in the fields' metadata, or in their names."""
    fields = [pa.field(name, pa.array(values).type) for name, values in extra]
    arrays = [pa.array(values) for _, values in extra]
    for name, column in table.items():
        told = {} if in_name else {"unit": column["unit"]}
        fields.append(pa.field(f"{name} [{column['unit']}]" if in_name else name, pa.float64(), metadata=told))
        arrays.append(pa.array(column["value"], type=pa.float64()))
    sink = io.BytesIO()
    made = pa.table(arrays, schema=pa.schema(fields))
    with pa.ipc.new_stream(sink, made.schema) as stream:
        stream.write_table(made)
    return sink.getvalue()


def read_csv(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.fixture
def asked(client):
    """A fleet with a registration and a date, and what JSON answers of it."""
    table = columns(ROWS, seed=21)
    extra = [("registration", [f"AB-{i:03d}" for i in range(ROWS)]), ("date", ["2026-07-01"] * ROWS)]
    body = {"shared": shared(), "columns": {**dict(extra), **table}, "measures": MEASURES.split(",")}
    return table, extra, fleet(client, body)["columns"]


def test_csv_in_parts_gives_the_same_numbers(client, asked):
    table, extra, expected = asked
    response = client.post(f"/v1/fleet?measures={MEASURES}", data=parts(shared(), as_csv(table, extra)))
    assert response.status_code == 200, response.text
    assert response.content_type == "text/csv; charset=utf-8"
    rows = read_csv(response.text)
    assert list(rows[0])[:2] == ["registration", "date"]
    assert [row["registration"] for row in rows] == expected["registration"]
    assert [row["status"] for row in rows] == expected["status"]
    for name in MEASURES.split(","):
        heading = f"{name} [{expected[name]['unit']}]"
        assert [float(row[heading]) for row in rows] == expected[name]["value"]


@pytest.mark.parametrize("in_name", [False, True])
def test_arrow_gives_the_same_numbers(client, asked, in_name):
    table, extra, expected = asked
    body = as_arrow(table, extra, in_name)
    response = client.post(f"/v1/fleet?measures={MEASURES}", data=parts(shared(), body, STREAM))
    assert response.status_code == 200, response.text
    assert response.content_type == STREAM
    answer = pa.ipc.open_stream(response.data).read_all()
    assert answer.column_names == ["registration", "date", *MEASURES.split(","), "status"]
    assert answer.schema.metadata[b"build"].decode() == response.headers["Climbwright-Build"]
    for name in MEASURES.split(","):
        assert answer.schema.field(name).metadata[b"unit"].decode() == expected[name]["unit"]
        assert answer[name].to_pylist() == expected[name]["value"]
    assert answer["status"].to_pylist() == expected["status"]


def test_a_table_alone_where_every_field_is_a_column(client):
    """An aeroplane wholly in columns: its station and its stall are made by their names."""
    text = (
        "registration,aircraft.wing.area [m2],aircraft.wing.span [m],aircraft.empty.weight [kg],aircraft.empty.arm [m],"
        "aircraft.stations.seats.arm [m],loading.stations.seats [kg],aircraft.engine.power [hp],"
        "aircraft.propeller.kind,aircraft.propeller.efficiency,aircraft.drag.parasite_area [m2],"
        "aircraft.drag.span_efficiency [1],aircraft.stalls.clean.speed [kt],aircraft.stalls.clean.weight [kg],"
        "condition.density_altitude [ft]\n"
        "AB-1,13.4,9.9,318,0.33,0.46,160,80,constant-efficiency,0.7,0.6,0.74,39,480,7000\n"
        "AB-2,13.4,9.9,318,0.33,0.46,160,100,constant-efficiency,70 %,0.6,0.74,39,480,7000\n"
    )
    response = client.post("/v1/fleet?measures=weight,best_climb_rate", data=text, content_type="text/csv")
    assert response.status_code == 200, response.text
    first, second = read_csv(response.text)
    assert [first["status"], second["status"]] == ["ok", "ok"]
    assert float(first["weight [kg]"]) == 478.0
    assert float(first["best_climb_rate [ft/min]"]) < float(second["best_climb_rate [ft/min]"])
    body = {
        "aircraft": {
            "name": "the same", "wing": {"area": "13.4 m2", "span": "9.9 m"},
            "empty": {"weight": "318 kg", "arm": "0.33 m"}, "stations": [{"name": "seats", "arm": "0.46 m"}],
            "engine": {"power": "80 hp"}, "propeller": {"kind": "constant-efficiency", "efficiency": 0.7},
            "drag": {"parasite_area": "0.6 m2", "span_efficiency": 0.74},
            "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}],
        },
        "loadings": [{"name": "so", "stations": {"seats": "160 kg"}}],
        "conditions": [{"name": "here", "density_altitude": "7000 ft"}],
    }  # fmt: skip
    single = client.post("/v1/performance?spread=linear", json=body).get_json()["results"][0]["measures"]
    assert np.isclose(float(first["best_climb_rate [ft/min]"]), single["best_climb_rate"]["value"], rtol=1e-12)


def test_cells_that_are_no_numbers_are_told_in_every_form(client):
    """The same wrong cells in JSON and in CSV get the same status."""
    table = columns(4, seed=22)
    table["aircraft.engine.power"]["value"] = [80.0, None, "n/a", 90.0]
    told = fleet(client, {"shared": shared(), "columns": table, "measures": ["weight"]})["columns"]["status"]
    text = as_csv(table).replace(b"'n/a'", b"n/a").replace(b"None", b"")
    response = client.post("/v1/fleet?measures=weight", data=parts(shared(), text))
    assert [row["status"] for row in read_csv(response.text)] == told
    assert told[0] == told[3] == "ok"
    assert "is empty" in told[1]
    assert "'n/a' is not a plain number" in told[2]


def test_cells_may_have_units_of_their_own(client):
    table = columns(3, seed=23)
    table["aircraft.engine.power"] = ["80 hp", "59.655989760 kW", "80 kg"]
    answer = fleet(client, {"shared": shared(), "columns": table, "measures": ["installed_power_to_weight", "weight"]})
    power = numbers(answer["columns"]["installed_power_to_weight"]) * numbers(answer["columns"]["weight"])
    assert np.allclose(power[:2], 80.0, rtol=1e-9)
    assert "'kg' is not a unit of power" in answer["columns"]["status"][2]


@pytest.mark.parametrize(("asked_for", "kind"), [("json", "application/json"), ("csv", "text/csv"), ("arrow", STREAM)])
def test_the_answer_comes_as_asked(client, asked_for, kind):
    table = as_csv(columns(3, seed=24))
    by_query = client.post(f"/v1/fleet?measures=weight&format={asked_for}", data=parts(shared(), table))
    accept = {"Accept": kind}
    by_header = client.post("/v1/fleet?measures=weight", data=parts(shared(), table), headers=accept)
    assert by_query.mimetype == by_header.mimetype == kind
    assert by_query.headers["Climbwright-Build"] == by_header.headers["Climbwright-Build"]
    assert "estimate" in by_query.headers["Climbwright-Caution"]


def test_units_are_the_readers(client):
    body = {"shared": shared(), "columns": columns(3, seed=25), "measures": ["weight", "best_climb_rate"]}
    si, us = (fleet(client, body, units=units)["columns"] for units in ("si", "us"))
    assert [si["weight"]["unit"], us["weight"]["unit"]] == ["kg", "lb"]
    assert np.allclose(numbers(us["weight"]) * 0.45359237, numbers(si["weight"]), rtol=1e-14)
    assert np.allclose(numbers(us["best_climb_rate"]) * 0.3048 / 60.0, numbers(si["best_climb_rate"]), rtol=1e-14)


def test_rows_beyond_a_block_are_streamed_in_order(client):
    rows = 40_000
    table = {
        "number": [str(i) for i in range(rows)],
        "loading.stations.seats": {"value": [60.0 + 1e-3 * i for i in range(rows)], "unit": "kg"},
    }
    common = shared()
    common["condition"] = {"density_altitude": "5000 ft"}
    response = client.post(
        "/v1/fleet?format=csv", json={"shared": common, "columns": table, "measures": ["weight"]}, buffered=False
    )
    pieces = list(response.response)
    assert len(pieces) >= 3
    found = read_csv(b"".join(pieces).decode())
    assert [row["number"] for row in found] == table["number"]
    weights = np.array([float(row["weight [kg]"]) for row in found])
    assert np.allclose(np.diff(weights), 1e-3, atol=1e-9)


def test_the_cost_is_told_without_the_answer(client):
    body = {"shared": shared(), "columns": columns(300, seed=26)}
    plain, spread = (fleet(client, body, cost="only", **more) for more in ({}, {"spread": "linear"}))
    assert plain.keys() == spread.keys()
    assert plain["rows"] == 300
    assert plain["evaluations"] == 300
    assert spread["evaluations"] > 10 * plain["evaluations"]
    assert plain["seconds"] > 0.0
    assert plain["most_rows"] >= 100_000


def test_one_at_a_time_and_others_come_again(app, client):
    """While as many fleets as may be are computed, another is asked to come again, and small requests are answered."""
    body = {"shared": shared(), "columns": columns(2, seed=27), "measures": ["weight"]}
    turns = app.extensions["climbwright-fleets"]
    taken = 0
    while turns.acquire(blocking=False):
        taken += 1
    try:
        response = client.post("/v1/fleet", json=body)
        assert refused(response, 503)["title"] == "Service Unavailable"
        assert response.headers["Retry-After"] == "1"
        assert client.get("/v1/atmosphere?altitude=6000ft").status_code == 200
    finally:
        for _ in range(taken):
            turns.release()
    assert taken == app.config["MAXIMUM_FLEETS"]
    for _ in range(2 * taken):  # a turn ends with its answer, a refusal too
        assert client.post("/v1/fleet", json=body).status_code == 200
        assert client.post("/v1/fleet", json={"columns": {}}).status_code == 422


def test_the_input_is_named(client):
    body = {"shared": shared(), "columns": columns(2, seed=28), "measures": ["weight"]}
    first, again = fleet(client, body), fleet(client, body)
    other = fleet(client, body, units="us")
    assert first["provenance"] == again["provenance"]
    assert first["provenance"]["input"] != other["provenance"]["input"]
    assert first["provenance"]["build"]


def test_a_body_with_colons_in_its_texts_is_read_as_strictly(client):
    body = {"shared": shared(), "columns": {"hour": ["12:00", "13:00"], **columns(2, seed=29)}, "measures": ["weight"]}
    assert fleet(client, body)["columns"]["hour"] == ["12:00", "13:00"]
    text = json.dumps(body).replace('"measures"', '"measures": ["cg_arm"], "measures"')
    twice = client.post("/v1/fleet", data=text, content_type="application/json")
    assert "stands twice" in refused(twice, 400)["detail"]


def arrow_of(**arrays):
    table = pa.table(arrays)
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema) as stream:
        stream.write_table(table)
    return sink.getvalue()


def some(rows=2):
    common = shared()
    common["condition"] = {"density_altitude": "5000 ft"}
    return common, {"loading.stations.seats [kg]": pa.array([80.0] * rows)}


THROUGH = {
    "prices": pa.array([decimal.Decimal("1.50"), None], type=pa.decimal128(9, 2)),
    "days": pa.array([datetime.date(2026, 7, 1), None]),
    "times": pa.array([datetime.datetime(2026, 7, 1, 12), None]),
    "in a zone": pa.array([datetime.datetime(2026, 7, 1, 12), None], type=pa.timestamp("us", tz="UTC")),
    "words": pa.array(["a", None]).dictionary_encode(),
    "large texts": pa.array(["a", None], type=pa.large_string()),
    "whole numbers": pa.array([1, None]),
    "half floats": pa.array([np.float16(1.5), None], type=pa.float16()),
    "truths": pa.array([True, None]),
    "nothing": pa.nulls(2),
}


@pytest.mark.parametrize("form", ["json", "csv", "arrow"])
@pytest.mark.parametrize("kind", THROUGH)
def test_columns_of_many_types_go_through(client, kind, form):
    common, table = some()
    body = arrow_of(**{"it": THROUGH[kind], **table})
    response = client.post(f"/v1/fleet?measures=weight&format={form}", data=parts(common, body, STREAM))
    assert response.status_code == 200, response.text
    if form == "json":
        cells = json.loads(response.text)["columns"]["it"]
    elif form == "csv":
        cells = [row["it"] or None for row in read_csv(response.text)]
    else:
        cells = pa.ipc.open_stream(response.data).read_all()["it"].to_pylist()
    assert cells[1] is None
    assert (cells[0] is None) == (kind == "nothing")


@pytest.mark.parametrize(
    "array",
    [
        pa.array([[1], [2]]),
        pa.array([{"a": 1}, {"a": 2}]),
        pa.array([b"\xff", b"a"], type=pa.binary()),
        pa.array([2**62, 1], type=pa.timestamp("s")),
    ],
    ids=["lists", "structures", "bytes", "times beyond all years"],
)
def test_columns_that_cannot_go_through_are_refused_or_go_through(client, array):
    common, table = some()
    for name in ("it", "aircraft.name"):
        for form in ("json", "csv", "arrow"):
            response = client.post(
                f"/v1/fleet?measures=weight&format={form}",
                data=parts(common, arrow_of(**{name: array, **table}), STREAM),
            )
            if response.status_code != 200:
                assert "Arrow type" in refused(response, 422)["detail"]
            else:
                assert response.data


def test_fields_of_types_that_are_no_numbers_are_refused(client):
    common, _ = some()
    for array in (
        pa.array([2**62, 1], type=pa.timestamp("s")),
        pa.array([10**9, 1], type=pa.int32()).cast(pa.date32()),
        pa.array([[1.0], [2.0]]),
        pa.array([datetime.datetime(2026, 7, 1, 12), None], type=pa.timestamp("ns", tz="Nowhere/Bad")),
    ):
        body = arrow_of(**{"loading.stations.seats [kg]": array})
        document = refused(client.post("/v1/fleet?measures=weight", data=parts(common, body, STREAM)), 422)
        assert "Arrow type" in document["detail"]


def test_flipped_bytes_of_a_stream_are_no_fault_of_the_service(client):
    common, table = some(20)
    body, random = arrow_of(**{"abc": pa.array(["x"] * 20), **table}), np.random.default_rng(61)
    bad_name = body.replace(b"abc", b"a\xffc")
    refused(client.post("/v1/fleet?measures=weight", data=parts(common, bad_name, STREAM)), 400)
    for _ in range(300):
        flipped = bytearray(body)
        flipped[random.integers(len(flipped))] ^= 1 << random.integers(8)
        response = client.post("/v1/fleet?measures=weight&format=json", data=parts(common, bytes(flipped), STREAM))
        assert response.status_code < 500, response.text
        assert response.status_code == 200 or refused(response, 400, 413, 422)
