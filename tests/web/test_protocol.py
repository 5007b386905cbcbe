"""What HTTP promises: methods, statuses, headers, caching, and a fault of ours that shows nothing of itself."""

import json

import pytest

from climbwright.answers.single import Single
from climbwright.web import create_app
from climbwright.web import operations as table

from .asking import OPERATIONS, QUERIED, SMALL, ask, refused, send

QUERY = {"altitude": "6000 ft"}


@pytest.mark.parametrize("operation", OPERATIONS)
def test_options(client, operation):
    response = client.options(f"/v1/{operation}")
    assert response.status_code == 204
    assert response.data == b""
    allowed = {"POST", "OPTIONS"} | ({"GET", "HEAD"} if operation in QUERIED else set())
    assert {word.strip() for word in response.headers["Allow"].split(",")} == allowed


@pytest.mark.parametrize("operation", [name for name in SMALL if name != "balance"])
def test_head_is_get_without_a_body(client, example, operation):
    query = example(operation if operation != "position-error" else "position-error.query")
    get, head = client.get(f"/v1/{operation}", query_string=query), client.head(f"/v1/{operation}", query_string=query)
    assert head.status_code == 200
    assert head.data == b""
    for name in ("Content-Type", "Content-Length", "ETag", "Vary", "Cache-Control"):
        assert head.headers[name] == get.headers[name]
    assert int(head.headers["Content-Length"]) == len(get.data)


def test_head_of_a_balance(client):
    response = client.head("/v1/balance?load=318kg@0.33m")
    assert response.status_code == 200
    assert response.data == b""


def test_head_of_a_refusal_has_no_body(client):
    response = client.head("/v1/atmosphere?altitude=6000")
    assert response.status_code == 422
    assert response.data == b""


@pytest.mark.parametrize("path", ["/v1/", "/v1/atmospheres", "/v1/atmosphere/", "/v2/atmosphere", "/nothing", "/v1"])
@pytest.mark.parametrize("method", ["get", "post"])
def test_not_found(client, path, method):
    document = refused(getattr(client, method)(path), 404)
    assert "/docs" in document["detail"]


NOT_ALLOWED = [
    (operation, method)
    for operation in OPERATIONS
    for method in ("GET", "HEAD", "PUT", "DELETE", "PATCH", "TRACE")
    if not (operation in QUERIED and method in ("GET", "HEAD"))
]


@pytest.mark.parametrize(("operation", "method"), NOT_ALLOWED)
def test_method_not_allowed(client, operation, method):
    response = client.open(f"/v1/{operation}", method=method)
    assert response.status_code == 405
    allowed = {word.strip() for word in response.headers["Allow"].split(",")}
    assert "POST" in allowed
    assert ("GET" in allowed) == (operation in QUERIED)
    if method != "HEAD":
        assert method in refused(response, 405)["detail"]


def test_other_pages_refuse_other_methods(client):
    for path in ("/health/live", "/health/ready"):
        response = client.post(path)
        refused(response, 405)
        assert "GET" in response.headers["Allow"]


@pytest.mark.parametrize("path", ["/health/live", "/health/ready"])
def test_health(client, path):
    response = client.get(path)
    assert response.status_code == 200
    assert json.loads(response.text)["status"]
    assert response.headers["Cache-Control"] == "no-store"


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", "application/xml", "", "json"])
def test_unsupported_media_type(client, kind):
    response = client.post("/v1/atmosphere", data=b'{"altitude": "6000 ft"}', content_type=kind)
    refused(response, 415)
    assert response.headers["Accept"] == "application/json"


def test_a_charset_may_be_named(client):
    for kind in ("application/json; charset=utf-8", "Application/JSON"):
        response = client.post("/v1/atmosphere", data=b'{"altitude": "6000 ft"}', content_type=kind)
        assert response.status_code == 200


def test_content_too_large():
    small = create_app({"MAXIMUM_BODY": 200}).test_client()
    fits = json.dumps({"altitude": "6000 ft"}).ljust(200).encode()
    assert small.post("/v1/atmosphere", data=fits, content_type="application/json").status_code == 200
    document = refused(small.post("/v1/atmosphere", data=fits + b" ", content_type="application/json"), 413)
    assert "200" in document["detail"]


def test_a_refused_body_does_not_spoil_the_next(client):
    refused(client.post("/v1/atmosphere", data=b" " * 2_000_000, content_type="application/json"), 413)
    assert send(client, "atmosphere", QUERY)


def test_a_fault_of_ours_shows_nothing(monkeypatch, capfd):
    application = create_app()

    def fail(*_):
        raise RuntimeError("a secret of ours")

    monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", fail)
    assert "atmosphere" in table.OPERATIONS
    response = application.test_client().get("/v1/atmosphere", query_string=QUERY)
    document = refused(response, 500)
    assert "secret" not in response.text
    assert "RuntimeError" not in response.text
    assert document["errors"] == []
    (line,) = capfd.readouterr().out.splitlines()
    record = json.loads(line)
    assert record["event"] == "fault"
    assert (record["route"], record["error"]) == ("/v1/atmosphere", "RuntimeError")
    assert "secret" not in line
    assert record["id"] == response.headers["X-Request-Id"]
    assert f"(request ID {record['id']})" in document["detail"]


def test_a_number_that_is_none_is_a_fault_of_ours(monkeypatch, capfd):
    # a stray nan is our 500 with a log line, never the client's parse error
    def astray(*_):
        return dict.fromkeys(table.ATMOSPHERE, Single(float("inf")))

    monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", astray)
    refused(create_app().test_client().get("/v1/atmosphere", query_string=QUERY), 500)
    assert len(capfd.readouterr().out.splitlines()) == 1


def test_etag(client):
    first = client.get("/v1/atmosphere", query_string=QUERY)
    tag = first.headers["ETag"]
    same = client.get("/v1/atmosphere", query_string=QUERY, headers={"If-None-Match": tag})
    assert same.status_code == 304
    assert same.data == b""
    assert same.headers["ETag"] == tag
    assert same.headers["Vary"] == first.headers["Vary"]
    assert same.headers["Cache-Control"] == first.headers["Cache-Control"]
    assert client.get("/v1/atmosphere", query_string=QUERY, headers={"If-None-Match": '"x"'}).status_code == 200
    assert client.head("/v1/atmosphere", query_string=QUERY, headers={"If-None-Match": tag}).status_code == 304
    assert client.get("/v1/atmosphere", query_string=QUERY, headers={"If-None-Match": "*"}).status_code == 304


def test_a_star_hides_no_refusal(client):
    """Any answer will do, but there is none."""
    for query, status in ((QUERY | {"altitude": "6000 furlong"}, 422), ("altitude=%zz", 400)):
        response = client.get("/v1/atmosphere", query_string=query, headers={"If-None-Match": "*"})
        assert response.status_code == status


def test_etag_follows_query_units_format_and_operation(client):
    def tag(operation, **query):
        return client.get(f"/v1/{operation}", query_string=query).headers["ETag"]

    air = {"pressure_altitude": "6000 ft", "oat": "10 C"}
    tags = [
        tag("atmosphere", **QUERY),
        tag("atmosphere", altitude="6001 ft"),
        tag("atmosphere", **QUERY, units="si"),
        tag("atmosphere", **QUERY, format="csv"),
        tag("atmosphere", **QUERY, pick="density"),
        tag("density-altitude", **air),
        tag("density-altitude", **air, units="us"),
    ]
    assert len(set(tags)) == len(tags)
    swapped = client.get("/v1/density-altitude?oat=10+C&pressure_altitude=6000+ft").headers["ETag"]
    assert swapped == tag("density-altitude", **air)
    by_header = client.get("/v1/atmosphere", query_string=QUERY, headers={"Accept": "text/csv"}).headers["ETag"]
    assert by_header != tags[0]


def test_a_refusal_has_no_etag_and_is_not_answered_304(client):
    for query in ({"altitude": "6000"}, {"altitude": "6000 ft", "units": "x"}):
        response = client.get("/v1/atmosphere", query_string=query)
        refused(response, 422)
        assert "ETag" not in response.headers


@pytest.mark.parametrize("operation", OPERATIONS)
def test_vary(client, example, operation):
    response = client.post(f"/v1/{operation}", json=example(operation))
    assert {word.strip() for word in response.headers["Vary"].split(",")} >= {"Accept", "Origin"}


def test_vary_of_a_refusal(client):
    for response in (
        client.get("/v1/atmosphere", query_string=QUERY, headers={"Accept": "image/png"}),
        client.get("/v1/atmosphere?altitude=6000"),
    ):
        assert "Accept" in response.headers.get("Vary", ""), response.status_code


def test_an_answer_to_a_get_may_be_kept(client):
    control = client.get("/v1/atmosphere", query_string=QUERY).headers["Cache-Control"]
    assert "max-age" in control
    assert "no-store" not in control


@pytest.mark.parametrize("operation", OPERATIONS)
def test_provenance(client, example, operation):
    body = example(operation)
    first, again = send(client, operation, body), send(client, operation, dict(reversed(body.items())), units="si")
    assert first["provenance"].keys() == {"build", "input"}
    assert first["provenance"] == again["provenance"]
    body["units_of_mine"] = 1
    refused(client.post(f"/v1/{operation}", json=body), 422)


def test_provenance_follows_the_input(client):
    one, other = (ask(client, "atmosphere", {"altitude": text})["provenance"] for text in ("6000 ft", "6001 ft"))
    assert one["build"] == other["build"]
    assert one["input"] != other["input"]
