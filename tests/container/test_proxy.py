"""The proxy's settings file, tried with nginx: what reaches the service, what is refused before it, and how."""

import contextlib
import gzip
import http.client
import http.server
import json
import re
import socket
import threading
import time
import urllib.parse

import pytest

from climbwright.web.problems import MEDIA_TYPE, Problem
from climbwright.web.settings import read_settings

from ..proxied import proxied
from ..serving import free_port

SETTINGS = read_settings({})
ATMOSPHERE = "/v1/atmosphere?altitude=6150ft"


class Seen(http.server.BaseHTTPRequestHandler):
    """Answers every request with what reached it; the first ones of a path with "die" in it not at all."""

    protocol_version = "HTTP/1.1"

    def answer(self):
        length = int(self.headers.get("Content-Length", 0))
        body = self.rfile.read(length)
        self.server.requests.append((self.command, self.path, len(body)))
        deaths = re.match("/dies/([0-9])", self.path)
        if deaths and len(self.server.requests) <= int(deaths[1]):
            self.close_connection = True  # as when its worker was killed
            return
        told = json.dumps({"path": self.path, "length": length, "headers": dict(self.headers)}).encode()
        if self.path.startswith("/large"):
            told = b"x" * 8_000_000
        self.send_response(200)
        self.send_header("Content-Type", "application/json")
        self.send_header("Content-Length", str(len(told)))
        self.send_header("X-Request-Id", "what the service calls it")
        self.end_headers()
        self.wfile.write(told)
        self.server.answered.set()

    def do_GET(self):
        self.answer()

    def do_POST(self):
        self.answer()

    def log_message(self, *_):
        pass


class Server(http.server.ThreadingHTTPServer):
    daemon_threads = True
    connections = 0

    def process_request(self, *arguments):
        self.connections += 1
        super().process_request(*arguments)

    def handle_error(self, *_):
        pass


@pytest.fixture
def seen():
    """What stands behind the proxy."""
    with Server(("127.0.0.1", 0), Seen) as behind:
        behind.requests, behind.answered = [], threading.Event()
        thread = threading.Thread(target=behind.serve_forever)
        thread.start()
        yield behind
        behind.shutdown()
        thread.join()


@pytest.fixture
def before(seen):
    """The proxy, by its host and port."""
    with proxied(f"127.0.0.1:{seen.server_port}") as address:
        seen.requests.clear()
        seen.answered.clear()
        seen.connections = 0
        yield urllib.parse.urlsplit(address).netloc


@pytest.fixture(scope="module")
def whole(server):
    """The proxy before the service itself."""
    with proxied(server) as address:
        yield urllib.parse.urlsplit(address).netloc


def ask(netloc, method, path, body=None, **headers):
    """Status, headers and body of an answer."""
    connection = http.client.HTTPConnection(netloc, timeout=30)
    with contextlib.closing(connection):
        connection.request(method, path, body, {name.replace("_", "-"): value for name, value in headers.items()})
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read()


def raw(netloc, request):
    """All that is answered to some bytes, until the proxy closes."""
    host, _, port = netloc.partition(":")
    with socket.create_connection((host, int(port)), timeout=10) as connection:
        connection.sendall(request)
        answer = http.client.HTTPResponse(connection)
        answer.begin()
        return answer.status, answer.headers, answer.read()


def is_problem(answer, status):
    """Whether it is a problem document as the service writes them."""
    told, headers, body = answer
    document = json.loads(body)
    assert told == status
    assert headers["Content-Type"] == MEDIA_TYPE
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Request-Id"]
    ours = Problem(status, document["title"], document["detail"]).document()
    assert document == ours
    return document


def started(netloc, path, body, sent):
    """A request of which only the first bytes of the body have come."""
    connection = http.client.HTTPConnection(netloc, timeout=30)
    connection.putrequest("POST", path)
    connection.putheader("Content-Length", str(len(body)))
    connection.endheaders()
    connection.send(body[:sent])
    return connection


def test_who_asks_is_said_by_the_proxy_alone(before):
    lies = {"X_Forwarded_For": "192.0.2.1", "Forwarded": "for=192.0.2.1", "X_Forwarded_Host": "evil.example"}
    _, _, body = ask(before, "GET", "/", Host="club.example:8080", **lies)
    headers = {name.lower(): value for name, value in json.loads(body)["headers"].items()}
    assert headers["x-forwarded-for"] == "127.0.0.1"
    assert headers["x-forwarded-proto"] == "http"
    assert headers["host"] == "club.example:8080"
    assert not {"forwarded", "x-forwarded-host", "x-forwarded-port"} & set(headers)


@pytest.mark.parametrize(
    ("given", "kept"), [("job-7.row_12", True), ("x" * 64, True), ("x" * 65, False), ('a"b', False)]
)
def test_a_request_keeps_its_sane_name(before, given, kept):
    _, headers, body = ask(before, "GET", "/", X_Request_Id=given)
    (name,) = headers.get_all("X-Request-Id")
    assert json.loads(body)["headers"]["X-Request-Id"] == name
    assert (name == given) is kept
    assert kept or re.fullmatch("[0-9a-f]{32}", name)


def test_a_request_without_a_name_gets_one_of_its_own(before):
    names = {ask(before, "GET", "/")[1]["X-Request-Id"] for _ in range(5)}
    assert len(names) == 5


def test_the_service_sees_a_request_when_it_is_whole(before, seen):
    body = b"b" * 100_000
    connection = started(before, "/v1/balance", body, 60_000)
    time.sleep(0.5)
    assert seen.requests == []
    assert ask(before, "GET", "/other")[0] == 200  # meanwhile others are served
    connection.send(body[60_000:])
    assert connection.getresponse().status == 200
    connection.close()
    assert seen.requests[-1] == ("POST", "/v1/balance", len(body))


def test_the_service_is_done_before_a_slow_reader_is(before, seen):
    host, _, port = before.partition(":")
    with socket.create_connection((host, int(port)), timeout=10) as connection:
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        connection.sendall(b"GET /large HTTP/1.1\r\nHost: a\r\nConnection: close\r\n\r\n")
        assert seen.answered.wait(10)


def test_a_body_without_a_length_gets_one(before, seen):
    pieces = (piece for piece in (b"a" * 1000, b"b" * 500))
    status, _, body = ask(before, "POST", "/v1/balance", pieces)
    assert (status, json.loads(body)["length"]) == (200, 1500)


@pytest.mark.parametrize(
    ("path", "setting"),
    [
        ("/v1/balance", "MAXIMUM_BODY"),
        ("/v1/fleet/", "MAXIMUM_BODY"),
        ("/v1/fleet", "MAXIMUM_FLEET_BODY"),
        ("/v1/operability?format=csv", "MAXIMUM_FLEET_BODY"),
    ],
)
def test_a_body_may_be_as_large_as_the_service_takes(before, path, setting):
    largest = SETTINGS[setting]
    status, _, body = ask(before, "POST", path, b"x" * largest)
    assert (status, json.loads(body)["length"]) == (200, largest)
    longer = f"POST {path} HTTP/1.1\r\nHost: a\r\nContent-Length: {largest + 1}\r\n\r\n".encode()
    is_problem(raw(before, longer), 413)


def test_a_request_whose_worker_died_is_given_to_another(before, seen):
    for method, body in (("GET", None), ("POST", b"question")):
        seen.requests.clear()
        assert ask(before, method, "/dies/1", body)[0] == 200
        assert seen.requests == [(method, "/dies/1", len(body or b""))] * 2


def test_a_request_that_kills_workers_kills_two(before, seen):
    assert ask(before, "GET", "/")[0] == 200
    seen.requests.clear()
    answer = ask(before, "POST", "/dies/9", b"question")
    document = is_problem(answer, 502)
    assert "again" in document["detail"]
    assert int(answer[1]["Retry-After"]) > 0
    assert len(seen.requests) == 2


def test_a_service_that_is_away():
    with proxied(f"127.0.0.1:{free_port()}") as address:
        is_problem(ask(urllib.parse.urlsplit(address).netloc, "GET", "/health/ready"), 502)


def test_its_log_tells_paths_and_no_queries(seen, tmp_path):
    written = tmp_path / "log"
    with written.open("wb") as output, proxied(f"127.0.0.1:{seen.server_port}", output) as address:
        netloc = urllib.parse.urlsplit(address).netloc
        asked = [
            ("GET", "/v1/performance?aircraft=mine", None, 200),
            ("POST", "/v1/fleet?measures=mine", b"x" * 200_000, 200),  # goes to a file on its way
            ("GET", "/large?mine", None, 200),  # comes back through one
            ("GET", "/dies/9?aircraft=mine", None, 502),
            ("GET", "/metrics?mine", None, 404),
        ]
        for method, path, body, status in asked:
            assert ask(netloc, method, path, body)[0] == status
    lines = [json.loads(line) for line in written.read_text().splitlines()]  # and nothing that is no line of it
    told = [(line["method"], line["path"], line["status"]) for line in lines]
    assert told[-len(asked) :] == [(method, path.partition("?")[0], status) for method, path, _, status in asked]
    assert "mine" not in written.read_text()


@pytest.mark.parametrize(
    ("status", "request_"),
    [
        (400, b"nonsense\r\n\r\n"),
        (400, b"GET / HTTP/1.1\r\n\r\n"),
        (400, b"GET /a%zz HTTP/1.1\r\nHost: a\r\n\r\n"),
        (400, b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nab"),
        (404, b"GET /metrics HTTP/1.1\r\nHost: a\r\n\r\n"),
        (405, b"TRACE / HTTP/1.1\r\nHost: a\r\n\r\n"),
        (414, b"GET /" + b"a" * 9000 + b" HTTP/1.1\r\nHost: a\r\n\r\n"),
        (431, b"GET / HTTP/1.1\r\nHost: a\r\nX-A: " + b"a" * 9000 + b"\r\n\r\n"),
        (431, b"GET / HTTP/1.1\r\nHost: a\r\n" + (b"X-A: " + b"a" * 8000 + b"\r\n") * 5 + b"\r\n"),
        (501, b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: odd\r\n\r\n"),
        (505, b"GET / HTTP/3.0\r\nHost: a\r\n\r\n"),
    ],
)
def test_what_the_proxy_refuses_itself_is_a_problem_document(before, seen, status, request_):
    is_problem(raw(before, request_), status)
    assert seen.requests == []


@pytest.mark.parametrize(
    "path", ["/metrics", "/metrics/", "/%6Detrics", "//metrics", "/./metrics", "/x/../metrics?a=1"]
)
def test_metrics_are_not_for_the_world(before, seen, path):
    is_problem(ask(before, "GET", path), 404)
    assert seen.requests == []


def test_the_inner_addresses_of_the_proxy_are_the_services(whole):
    status, headers, _ = ask(whole, "GET", "/problem/400")
    assert (status, headers["Content-Type"]) == (404, MEDIA_TYPE)


def test_large_requests_of_one_address_wait_outside(before, seen):
    body = b"b" * 1000
    open_ones = [started(before, "/v1/fleet", body, 10) for _ in range(16)]
    time.sleep(0.5)
    answer = ask(before, "POST", "/v1/operability", body)
    is_problem(answer, 429)
    assert int(answer[1]["Retry-After"]) > 0
    assert ask(before, "POST", "/v1/balance", body)[0] == 200
    for connection in open_ones:
        connection.send(body[10:])
        assert connection.getresponse().status == 200
        connection.close()


def test_a_query_may_be_as_long_as_the_service_takes(whole):
    start = "/v1/density-altitude?x="
    statuses = []
    for length in range(8180, 8200):  # of the whole line
        answer = ask(whole, "GET", start + "a" * (length - len(f"GET {start} HTTP/1.1")))
        assert answer[1]["Content-Type"] == MEDIA_TYPE
        statuses.append(answer[0])
    assert statuses == sorted(statuses, reverse=True)
    assert set(statuses) == {422, 414}  # x is no field; then too long
    assert statuses[8190 - 8180] == 422


@pytest.mark.parametrize("path", ["/openapi.json", "/static/style.css", "/static/home.js", "/docs", "/elements.js"])
def test_text_is_compressed_on_the_way(whole, path):
    plain = ask(whole, "GET", path)
    packed = ask(whole, "GET", path, Accept_Encoding="gzip")
    assert "Content-Encoding" not in plain[1]
    assert packed[1]["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in ",".join(packed[1].get_all("Vary"))
    assert gzip.decompress(packed[2]) == plain[2]
    assert len(packed[2]) < len(plain[2]) / 2


def test_a_cached_answer_is_still_known_when_compressed(whole):
    tag = ask(whole, "GET", ATMOSPHERE + "&working=true", Accept_Encoding="gzip")[1]["ETag"]
    assert tag.startswith("W/")
    assert ask(whole, "GET", ATMOSPHERE + "&working=true", If_None_Match=tag)[0] == 304


def test_a_refusal_of_the_service_stays_its_own(whole, server):
    direct = urllib.parse.urlsplit(server).netloc
    for method, path, body in (
        ("GET", "/v1/atmosphere?altitude=much", None),
        ("POST", "/v1/comparison", b"{"),
        ("GET", "/no", None),
    ):
        through, straight = ask(whole, method, path, body), ask(direct, method, path, body)
        assert (through[0], through[1]["Content-Type"], through[2]) == (
            straight[0],
            straight[1]["Content-Type"],
            straight[2],
        )


def test_connections_to_the_service_are_kept(before, seen):
    for _ in range(20):
        assert ask(before, "GET", "/")[0] == 200
    assert len(seen.requests) == 20
    assert seen.connections <= 2


def test_a_refusal_before_the_body_was_read_arrives(whole):
    for path, kind, status in (("/v1/balance", "text/odd", 415), ("/no", "application/json", 404)) * 20:
        assert ask(whole, "POST", path, b"x" * 1_000_000, Content_Type=kind)[0] == status
