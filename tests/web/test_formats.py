"""The form of an answer: format by parameter and by Accept, CSV, text, pick, errors as a cell's text."""

import csv
import io
import re

import pytest

from .asking import OPERATIONS, SMALL, ask, pointers, refused, send

QUERY = {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31 C", "dew_point": "9 C"}
TYPES = {"json": "application/json", "csv": "text/csv", "text": "text/plain"}
HEADING = re.compile(r".+ \[[^\[\]]+\]")


def table(text):
    return list(csv.reader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("wanted", TYPES)
def test_format_by_parameter_and_by_accept(client, example, operation, wanted):
    body = example(operation)
    by_parameter = client.post(f"/v1/{operation}?format={wanted}", json=body, headers={"Accept": "image/png"})
    by_header = client.post(f"/v1/{operation}", json=body, headers={"Accept": TYPES[wanted]})
    for response in (by_parameter, by_header):
        assert response.status_code == 200
        assert response.mimetype == TYPES[wanted]
    assert by_parameter.text == by_header.text


@pytest.mark.parametrize("operation", SMALL)
@pytest.mark.parametrize("wanted", TYPES)
def test_get_gives_what_post_gives(client, example, operation, wanted):
    if operation == "balance":
        loads = ["318kg@0.33m", "pilot:82kg@0.46m", "fuel:60L*0.72kg/L@0.61m"]
        got = client.get("/v1/balance", query_string=[*(("load", load) for load in loads), ("format", wanted)])
        posted = client.post(f"/v1/balance?format={wanted}", json={"load": loads})
    else:
        body = example(operation) if operation != "position-error" else example("position-error.query")
        got = client.get(f"/v1/{operation}", query_string=body | {"format": wanted})
        posted = client.post(f"/v1/{operation}?format={wanted}", json=body)
    assert got.status_code == posted.status_code == 200
    assert got.mimetype == posted.mimetype == TYPES[wanted]
    assert got.text == posted.text


@pytest.mark.parametrize(
    ("accept", "status", "mimetype"),
    [
        ("text/csv, application/json;q=0.5", 200, "text/csv"),
        ("text/csv;q=0.1, application/json", 200, "application/json"),
        ("*/*", 200, "application/json"),
        ("text/html,application/xhtml+xml,*/*;q=0.8", 200, "application/json"),
        ("application/*", 200, "application/json"),
        ("image/png", 406, "application/problem+json"),
        ("application/json;q=0", 406, "application/problem+json"),
    ],
)
def test_accept(client, accept, status, mimetype):
    response = client.get("/v1/density-altitude", query_string=QUERY, headers={"Accept": accept})
    assert response.status_code == status
    assert response.mimetype == mimetype


def test_unknown_format(client):
    response = client.get("/v1/density-altitude", query_string=QUERY | {"format": "xlsx"})
    document = refused(response, 422)
    (error,) = document["errors"]
    assert error["pointer"] == "/format"
    assert all(word in error["detail"] for word in ("json", "csv", "text"))


@pytest.mark.parametrize("operation", OPERATIONS)
def test_csv_has_the_unit_in_every_heading(client, example, operation):
    text = client.post(f"/v1/{operation}?format=csv", json=example(operation)).text
    headings, *lines = table(text)
    assert lines
    assert len(set(headings)) == len(headings)
    assert all(len(line) == len(headings) for line in lines)
    numbers = 0
    for i, heading in enumerate(headings):
        for line in lines:
            try:
                float(line[i])
            except ValueError:
                continue
            numbers += 1
            assert HEADING.fullmatch(heading), heading
    assert numbers >= 3


def test_csv_agrees_with_json(client, example):
    body = example("comparison")
    answer = send(client, "comparison", body, units="us,speed:mph")
    headings, *lines = table(client.post("/v1/comparison?format=csv&units=us,speed:mph", json=body).text)
    (option,) = answer["options"]
    assert len(lines) == len(option["results"])
    for line, result in zip(lines, option["results"], strict=True):
        cells = dict(zip(headings, line, strict=True))
        assert (cells["option"], cells["loading"], cells["condition"]) == (
            option["name"],
            result["loading"],
            result["condition"],
        )
        for name, leaf in result["measures"].items():
            if name == "stall_speeds":
                continue
            for when in ("before", "after", "change"):
                assert float(cells[f"{name} {when} [{leaf[when]['unit']}]"]) == leaf[when]["value"]


def test_csv_keeps_names_whole(client, example):
    body = example("performance")
    body["loadings"][0]["name"] = 'two-up, "full", 3/4'
    headings, first, *_ = table(client.post("/v1/performance?format=csv", json=body).text)
    assert first[headings.index("loading")] == 'two-up, "full", 3/4'


def test_csv_of_lists_has_a_row_for_each(client):
    body = {"altitude": {"value": [0, 5000, 10_000], "unit": "ft"}}
    headings, *lines = table(client.post("/v1/atmosphere?format=csv", json=body).text)
    at = headings.index("altitude [ft]")
    assert [float(line[at]) for line in lines] == pytest.approx([0, 5000, 10_000])


@pytest.mark.parametrize("operation", OPERATIONS)
def test_text_is_plain_and_names_the_build(client, example, operation):
    body = example(operation)
    text = client.post(f"/v1/{operation}?format=text", json=body).text
    assert send(client, operation, body)["provenance"]["build"] in text
    assert text.endswith("\n")
    assert all(line.isprintable() for line in text.splitlines())
    assert "nan" not in text.split()


def test_pick_a_unique_name(client):
    response = client.get("/v1/density-altitude", query_string=QUERY | {"pick": "density_altitude"})
    assert response.status_code == 200
    assert response.mimetype == "text/plain"
    expected = ask(client, "density-altitude", QUERY)["density_altitude"]["value"]
    assert float(response.text) == pytest.approx(expected, rel=5e-6)
    assert re.fullmatch(r"-?\d+(\.\d+)?", response.text)
    assert len(response.text.replace(".", "").lstrip("-")) <= 6


@pytest.mark.parametrize(
    ("altitude", "field"), [("0 m", "dynamic_viscosity"), ("19000 m", "pressure_ratio"), ("0 m", "pressure")]
)
def test_pick_never_writes_an_exponent(client, altitude, field):
    response = client.get("/v1/atmosphere", query_string={"altitude": altitude, "pick": field, "units": "si"})
    expected = ask(client, "atmosphere", {"altitude": altitude}, units="si")[field]["value"]
    assert re.fullmatch(r"\d+(\.\d+)?", response.text)
    assert float(response.text) == pytest.approx(expected, rel=1e-5)


def test_pick_by_pointer(client, example):
    body = example("comparison")
    path = "/options/0/results/1/measures/best_climb_rate/change"
    answer = send(client, "comparison", body)
    expected = answer["options"][0]["results"][1]["measures"]["best_climb_rate"]["change"]["value"]
    for pointer in (path, f"{path}/value"):
        response = client.post("/v1/comparison", json=body, query_string={"pick": pointer})
        assert response.status_code == 200
        assert float(response.text) == pytest.approx(expected, rel=1e-5)
    unit = client.post("/v1/comparison", json=body, query_string={"pick": f"{path}/unit"})
    assert unit.text == "ft/min"


def test_pick_in_the_unit_asked_for(client):
    query = {"altitude": "5000 ft", "pick": "temperature"}
    assert float(client.get("/v1/atmosphere", query_string=query | {"units": "us"}).text) == pytest.approx(
        41.17, abs=0.01
    )


def test_pick_a_truth(client):
    loads = {"load": "318kg@0.33m", "pick": "in_limits", "forward": "0.27m"}
    assert client.get("/v1/balance", query_string=loads | {"aft": "0.49m"}).text == "true"
    assert client.get("/v1/balance", query_string=loads | {"aft": "0.30m"}).text == "false"


def test_pick_refuses_an_ambiguous_name_with_the_list(client, example):
    response = client.post("/v1/performance?pick=best_climb_rate", json=example("performance"))
    (error,) = refused(response, 422)["errors"]
    assert error["pointer"] == "/pick"
    for place in ("/results/0/measures/best_climb_rate", "/results/1/measures/best_climb_rate"):
        assert place in error["detail"]


@pytest.mark.parametrize("wanted", ["densityaltitude", "/nowhere", "/results/7", "", "/", "/density_altitude/value/0"])
def test_pick_refuses_what_is_not_there(client, wanted):
    response = client.get("/v1/density-altitude", query_string=QUERY | {"pick": wanted})
    (error,) = refused(response, 422)["errors"]
    assert error["pointer"] == "/pick"


def test_pick_refuses_more_than_one_value(client, example):
    response = client.post("/v1/performance?pick=/results/0/measures", json=example("performance"))
    assert refused(response, 422)["errors"][0]["pointer"] == "/pick"


def test_pick_of_what_does_not_exist_gives_the_reason(client):
    query = {"reference_speed": "38kt", "reference_weight": "520kg", "weight": "575kg", "pick": "stall_speed_true"}
    document = refused(client.get("/v1/stall-speed", query_string=query), 422)
    assert "no air was given" in document["detail"]


def test_errors_as_text(client):
    for method in ("get", "head"):
        response = getattr(client, method)("/v1/density-altitude?elevation=5400&errors=text")
        assert response.status_code == 200
        assert response.mimetype == "text/plain"
        assert response.headers["Cache-Control"] == "no-store"
    text = client.get("/v1/density-altitude?elevation=5400&errors=text").text
    assert 0 < len(text) <= 255
    assert not text.startswith(("=", "+", "-", "@"))
    assert "elevation" in text
    assert text.isprintable()


def test_errors_as_text_for_bytes_that_do_not_parse(client):
    response = client.get("/v1/density-altitude?errors=text&elevation=%zz")
    assert response.status_code == 200
    assert response.mimetype == "text/plain"
    assert len(response.text) <= 255


def test_errors_as_text_whatever_else_is_wrong(client):
    response = client.get("/v1/density-altitude?errors=text&errors=text&elevation=1ft")
    assert response.status_code in (200, 422)
    twice = client.get("/v1/density-altitude?errors=text&elevation=1ft&elevation=2ft")
    assert twice.status_code == 200
    assert twice.mimetype == "text/plain"


@pytest.mark.parametrize("name", ["=1+1", "+a", "-a", "@a", "=" * 300])
def test_errors_as_text_is_never_a_formula(client, name):
    response = client.get("/v1/density-altitude", query_string={name: "1", "errors": "text"})
    assert response.status_code == 200
    assert not response.text.startswith(("=", "+", "-", "@"))
    assert len(response.text) <= 255


def test_errors_as_text_leaves_other_statuses_and_posts_alone(client, example):
    refused(
        client.get("/v1/density-altitude?errors=text", headers={"Accept": "image/png"}, query_string=None), 406, 422
    )
    refused(client.post("/v1/atmosphere?errors=text", json={"altitude": 5}), 422)


def test_unknown_errors_value(client):
    response = client.get("/v1/density-altitude", query_string=QUERY | {"errors": "cell"})
    assert refused(response, 422)["errors"][0]["pointer"] == "/errors"


def test_pick_of_an_unknown_truth_gives_the_reason(client):
    response = client.get("/v1/balance", query_string={"load": "318kg@0.33m", "pick": "in_limits"})
    assert "limits" in refused(response, 422)["detail"].replace("in_limits", "")


@pytest.mark.parametrize(
    ("operation", "query", "named"),
    [
        ("climb-estimate", {"power": "100 bhp", "weight": "500 kg", "density_altitude": "0 ft"}, ("hp", "PS")),
        ("climb-estimate", {"power": "100 cv", "weight": "500 kg", "density_altitude": "0 ft"}, ("hp", "PS")),
        ("balance", {"load": "20gal*0.72kg/L@1m"}, ("US gal", "imp gal")),
        ("balance", {"load": "20oz@1m"}, ("gram", "pound")),
        ("atmosphere", {"altitude": "100"}, ("ft", "m")),
        ("atmosphere", {"altitude": "100 kt"}, ("ft", "speed")),
    ],
)
def test_a_refused_unit_is_answered_with_the_accepted_ones(client, operation, query, named):
    detail = refused(client.get(f"/v1/{operation}", query_string=query), 422)["errors"][0]["detail"]
    assert all(word in detail for word in named), detail


def test_what_would_be_ignored_is_refused(client):
    picked = {"altitude": "6000 ft", "pick": "density", "format": "csv"}
    assert pointers(refused(client.get("/v1/atmosphere", query_string=picked), 422)) == ["/format"]
    assert client.get("/v1/atmosphere", query_string=picked | {"format": "text"}).status_code == 200
    posted = client.post("/v1/atmosphere?errors=text", json={"altitude": "6000 ft"})
    assert pointers(refused(posted, 422)) == ["/errors"]
