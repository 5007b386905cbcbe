"""The log: a line for each request or for faults alone, and nothing in it of what was asked."""

import hashlib
import json
import socket
import time
import urllib.request
from datetime import UTC, datetime, timedelta

import pytest

from climbwright.web import create_app
from climbwright.web.fleet.writing import WRITERS
from climbwright.web.settings import read_settings
from climbwright.web.watch import lines

from ...serving import started
from ..asking import EXAMPLES, refused

ATMOSPHERE = "/v1/atmosphere?altitude=6150ft"
SECRET = "hangar7elephant"
FIELDS = ["time", "event", "id", "method", "route", "status", "seconds", "rows", "bytes", "refusal", "key", "ended"]


def example(name):
    return json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))


def fleet_of(rows):
    """The documented fleet, over and over."""
    fleet = example("fleet")
    columns = {}
    for name, column in fleet["columns"].items():
        cells = column["value"] if isinstance(column, dict) else column
        if isinstance(cells, list):
            cells = (cells * rows)[:rows]
        columns[name] = column | {"value": cells} if isinstance(column, dict) else cells
    return fleet | {"columns": columns}


@pytest.fixture(scope="module")
def logged():
    """A service that logs each request."""
    return create_app({"LOG": "requests"}).test_client()


def told(capfd):
    return [json.loads(line) for line in capfd.readouterr().out.splitlines()]


@pytest.mark.parametrize("level", ["requests", "faults"])
def test_a_line_for_each_request_where_wanted(capfd, level):
    service = create_app({"LOG": level}).test_client()
    service.get(ATMOSPHERE)
    service.get("/nowhere")
    assert len(told(capfd)) == (2 if level == "requests" else 0)


def test_what_a_line_says(logged, capfd):
    before = datetime.now(UTC)
    answer = logged.get(ATMOSPHERE, headers={"X-Request-Id": "one"})
    after = datetime.now(UTC)
    (line,) = told(capfd)
    assert list(line) == FIELDS
    assert line["time"].endswith("Z")
    assert before <= datetime.fromisoformat(line["time"]) <= after
    assert timedelta(0) < timedelta(seconds=line["seconds"]) <= after - before
    del line["time"], line["seconds"]
    assert line == {
        "event": "request",
        "id": "one",
        "method": "GET",
        "route": "/v1/atmosphere",
        "status": 200,
        "rows": 1,
        "bytes": len(answer.data),
        "refusal": None,
        "key": None,
        "ended": "answered",
    }


@pytest.mark.parametrize(
    ("operation", "scenes"),
    [
        ("balance", lambda asked: 1),
        ("performance", lambda asked: len(asked["loadings"]) * len(asked["conditions"])),
        ("comparison", lambda asked: len(asked["options"]) * len(asked["loadings"]) * len(asked["conditions"])),
        ("requirement", lambda asked: 1),
        ("operability", lambda asked: len(asked["weather"]["time"])),
        ("fleet", lambda asked: len(asked["columns"]["registration"])),
    ],
)
def test_rows(logged, capfd, operation, scenes):
    asked = example(operation)
    for query in ("", "?format=csv"):
        answer = logged.post(f"/v1/{operation}{query}", json=asked, buffered=True)
        (line,) = told(capfd)
        assert (line["status"], line["rows"], line["bytes"]) == (200, scenes(asked), len(answer.data))


def test_rows_of_a_season_as_a_table(logged, capfd):
    table = (EXAMPLES / "operability.csv").read_bytes()
    with (EXAMPLES / "operability.shared.json").open("rb") as shared, (EXAMPLES / "operability.csv").open("rb") as sent:
        parts = {"shared": (shared, "", "application/json"), "table": (sent, "hours.csv", "text/csv")}
        answer = logged.post("/v1/operability", data=parts)
    assert answer.status_code == 200, answer.text
    assert told(capfd)[0]["rows"] == len(table.strip().splitlines()) - 1


def test_the_route_is_the_rule(logged, capfd):
    for address, route in (
        ("/", "/"),
        ("/static/place.js", "/static/<path:filename>"),
        ("/static/none.js", "/static/<path:filename>"),
        (f"/{SECRET}", "unmatched"),
        ("/v1/atmosphere/", "unmatched"),
    ):
        answer = logged.get(address, buffered=True)
        (line,) = told(capfd)
        assert (line["route"], line["bytes"]) == (route, len(answer.data))


def test_methods_are_known_ones(logged, capfd):
    for method, name in (("HEAD", "HEAD"), ("DELETE", "DELETE"), ("BREW", "other")):
        logged.open(ATMOSPHERE, method=method)
        (line,) = told(capfd)
        assert line["method"] == name
    assert line["route"] == "unmatched"  # which takes no such method


def test_an_answer_without_a_body_has_no_bytes(logged, capfd):
    tag = logged.get(ATMOSPHERE).headers["ETag"]
    logged.head(ATMOSPHERE)
    logged.get(ATMOSPHERE, headers={"If-None-Match": tag})
    logged.options("/v1/atmosphere")
    assert [(line["status"], line["bytes"]) for line in told(capfd)[1:]] == [(200, 0), (304, 0), (204, 0)]


def test_a_refusal_by_its_kind(logged, capfd):
    for query, status in (("", 422), ("&errors=text", 200)):
        answer = logged.get(f"/v1/atmosphere?altitude=6150{query}")
        (line,) = told(capfd)
        assert (answer.status_code, line["status"], line["rows"]) == (status, status, 0)
        assert line["refusal"] == "/docs#not-understood"
    kind = refused(logged.get("/nowhere"), 404)["type"]
    assert told(capfd)[0]["refusal"] == kind


def test_a_key_by_its_name(capfd):
    key = f"{SECRET}{SECRET}{SECRET}"
    entry = f"club:{hashlib.sha256(key.encode()).hexdigest()}"
    service = create_app(read_settings({"CLIMBWRIGHT_KEYS": entry, "CLIMBWRIGHT_LOG": "requests"})).test_client()
    for sent, name, status in ((key, "club", 200), (f"{key}x", None, 401)):
        answer = service.get(ATMOSPHERE, headers={"Authorization": f"Bearer {sent}"})
        (line,) = told(capfd)
        assert (answer.status_code, line["status"], line["key"]) == (status, status, name)
        assert line["route"] == "/v1/atmosphere"
        assert SECRET not in json.dumps(line)
        assert entry.partition(":")[2] not in json.dumps(line)


def test_a_stream_is_logged_when_it_has_gone_out(logged, capfd):
    answer = logged.post("/v1/fleet?format=csv", json=fleet_of(20_000))
    pieces = iter(answer.response)
    first = next(pieces)
    assert told(capfd) == []
    rest = list(pieces)
    answer.close()
    (line,) = told(capfd)
    assert rest
    assert (line["ended"], line["bytes"]) == ("sent", len(first) + sum(map(len, rest)))


def test_a_stream_that_its_client_left(logged, capfd):
    for taken in (0, 1):
        answer = logged.post("/v1/fleet?format=csv", json=fleet_of(20_000))
        # the test client itself takes the first piece, as a server would
        pieces = [piece for piece, _ in zip(answer.response, range(taken), strict=False)]
        answer.close()
        (line,) = told(capfd)
        assert line["ended"] == "left"
        assert line["bytes"] >= sum(map(len, pieces))


def test_a_stream_that_failed(capfd, monkeypatch):
    def failing(answer):
        yield b"{"
        raise ValueError(SECRET)

    monkeypatch.setitem(WRITERS, "json", failing)
    service = create_app({"LOG": "requests"}).test_client()
    answer = service.post("/v1/fleet", json=example("fleet"), headers={"X-Request-Id": "one"})
    with pytest.raises(ValueError, match=SECRET):
        list(answer.response)
    answer.close()
    fault, line = told(capfd)
    assert (fault["event"], fault["id"], fault["error"]) == ("fault", "one", "ValueError")
    assert (line["event"], line["id"], line["ended"], line["bytes"]) == ("request", "one", "failed", 1)
    assert SECRET not in json.dumps([fault, line])


@pytest.mark.parametrize("level", ["requests", "faults"])
def test_a_fault_without_what_was_sent(capfd, monkeypatch, level):
    def fail(*_):
        try:
            float(SECRET)
        except ValueError as error:
            raise RuntimeError(f"cannot read {SECRET}") from error

    monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", fail)
    answer = create_app({"LOG": level}).test_client().get(ATMOSPHERE, headers={"X-Request-Id": "one"})
    assert answer.status_code == 500
    out = capfd.readouterr().out
    fault, *requests = [json.loads(line) for line in out.splitlines()]
    assert len(requests) == (level == "requests")
    assert list(fault) == ["time", "event", "id", "route", "error", "traceback"]
    assert (fault["event"], fault["id"], fault["route"]) == ("fault", "one", "/v1/atmosphere")
    assert fault["error"] == "RuntimeError"
    assert any(frame.endswith(" fail") for frame in fault["traceback"])
    assert fault["traceback"].index("ValueError") < fault["traceback"].index("RuntimeError")
    assert SECRET not in out


def test_a_deep_fault_is_a_short_line():
    def deeper():
        deeper()

    with pytest.raises(RecursionError) as caught:
        deeper()
    assert 20 < len(lines.told(caught.value)["traceback"]) < 40


def test_causes_that_go_round_end():
    first, second = ValueError(), KeyError()
    first.__cause__, second.__cause__ = second, first
    assert lines.told(first)["traceback"] == ["KeyError", "ValueError"]


def test_no_request_fails_for_want_of_a_log(logged, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("climbwright.web.watch.lines.os.write", full)
    assert logged.get(ATMOSPHERE).status_code == 200


def events(log, event):
    return [line for line in map(json.loads, log.read_text("utf-8").splitlines()) if line["event"] == event]


def test_nothing_of_what_was_asked_from_a_real_server(tmp_path):
    log = tmp_path / "log"
    with log.open("ab") as output, started(output, CLIMBWRIGHT_LOG="requests") as (_, address):
        port = int(address.rpartition(":")[2])
        body = json.dumps({"aircraft": SECRET}).encode()
        head = f"Host: x\r\nX-Request-Id: {SECRET} {SECRET}\r\nAuthorization: Bearer {SECRET}\r\nConnection: close\r\n"
        for start, rest in (
            (f"GET /{SECRET}?q={SECRET} HTTP/1.1", b""),
            (f"GET /v1/balance?load={SECRET} HTTP/1.1", b""),
            (f"GET /v1/balance?load={SECRET}", b""),
            (f"GET /v1/balance?load={SECRET} NOTHTTP/9", b""),
            (f"GET /v1/balance?load={SECRET * 1000} HTTP/1.1", b""),
            (f"{SECRET} / HTTP/1.1", b""),
            (f"{SECRET.upper()} / HTTP/1.1", b""),
            (f"GET / HTTP/1.1\r\n{SECRET}", b""),
            (f"GET / HTTP/1.1\r\n{SECRET} {SECRET}: 1", b""),
            (f"POST /v1/performance HTTP/1.1\r\nContent-Length: {len(body)}", body),
            (f"POST /v1/performance HTTP/1.1\r\nContent-Length: 9{len(body)}", body),
            ("POST /v1/performance HTTP/1.1\r\nTransfer-Encoding: chunked", b"zz" + body),
        ):
            with socket.create_connection(("127.0.0.1", port), timeout=20) as connection:
                connection.sendall(f"{start}\r\n{head}\r\n".encode() + rest)
                connection.shutdown(socket.SHUT_WR)
                while connection.recv(65536):
                    pass
        with urllib.request.urlopen(f"{address}/metrics") as metrics:
            counted = metrics.read().decode()
    whole = log.read_text("utf-8")
    assert len(events(log, "request")) > 4
    assert any("not HTTP" in line["text"] for line in events(log, "server"))
    for found in (whole, counted):
        assert SECRET not in found.lower()


def test_all_lines_of_a_real_server_are_json(tmp_path):
    log = tmp_path / "log"
    with log.open("ab") as output, started(output, CLIMBWRIGHT_LOG="requests") as (_, address):
        for _ in range(20):
            urllib.request.urlopen(f"{address}{ATMOSPHERE}").close()
    lines = [json.loads(line) for line in log.read_text("utf-8").splitlines()]
    assert {line["event"] for line in lines} == {"request", "server"}
    assert len([line for line in lines if line.get("route") == "/v1/atmosphere"]) == 20
    assert {"level", "process", "text"} < set(events(log, "server")[0])


def test_a_client_that_leaves_a_real_server(tmp_path):
    log = tmp_path / "log"
    body = json.dumps(fleet_of(100_000)).encode()
    with log.open("ab") as output, started(output, CLIMBWRIGHT_LOG="requests") as (_, address):
        port = int(address.rpartition(":")[2])
        with socket.create_connection(("127.0.0.1", port), timeout=60) as connection:
            head = "POST /v1/fleet?format=csv HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"
            connection.sendall(f"{head}Content-Length: {len(body)}\r\n\r\n".encode() + body)
            assert connection.recv(12) == b"HTTP/1.1 200"
        deadline = time.monotonic() + 60
        while not (found := [line for line in events(log, "request") if line["route"] == "/v1/fleet"]):
            assert time.monotonic() < deadline
            time.sleep(0.05)
    assert [(line["ended"], line["status"], line["rows"]) for line in found] == [("left", 200, 100_000)]
    assert events(log, "fault") == []
