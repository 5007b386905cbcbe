"""Over a real socket: chunked bodies, a missing length, a body cut short, and the next request answered."""

import json
import socket

import pytest

from ..serving import serving

GOOD = b'{"altitude": "6000 ft"}'
HOST = "127.0.0.1"


@pytest.fixture(scope="module")
def port():
    with serving(WEB_CONCURRENCY="1", GUNICORN_THREADS="2") as address:
        yield int(address.rpartition(":")[2])


def exchange(port, head, *pieces):
    """Status, headers and body of a raw request; the server may answer before it has read everything."""
    with socket.create_connection((HOST, port), timeout=20) as line:
        line.sendall("\r\n".join([*head, "Host: localhost", "Connection: close", "", ""]).encode())
        try:
            for piece in pieces:
                line.sendall(piece)
        except OSError:
            pass  # refused already, which is what the test is about
        received = b""
        try:
            while data := line.recv(65536):
                received += data
        except ConnectionResetError:
            pass
    top, _, body = received.partition(b"\r\n\r\n")
    status, *lines = top.decode("latin-1").split("\r\n")
    headers = {name.lower(): value.strip() for name, _, value in (entry.partition(":") for entry in lines)}
    return int(status.split()[1]), headers, body


def chunk(data):
    return f"{len(data):x}\r\n".encode() + data + b"\r\n"


def post(*headers, kind="application/json"):
    return ["POST /v1/atmosphere HTTP/1.1", f"Content-Type: {kind}", *headers]


def problem(answer, status):
    found, headers, body = answer
    assert found == status, body[:300]
    assert headers["content-type"] == "application/problem+json"
    document = json.loads(body)
    assert document["status"] == status
    assert document["title"]
    assert document["detail"]


def still_answers(port):
    status, _, body = exchange(port, ["GET /v1/atmosphere?altitude=6000ft HTTP/1.1"])
    assert status == 200
    assert json.loads(body)["altitude"]["value"] == pytest.approx(6000)


@pytest.mark.parametrize("size", [1, 7, 1000])
def test_a_chunked_body_is_read(port, size):
    pieces = [chunk(GOOD[i : i + size]) for i in range(0, len(GOOD), size)]
    status, _, body = exchange(port, post("Transfer-Encoding: chunked"), *pieces, b"0\r\n\r\n")
    assert status == 200, body
    assert json.loads(body)["altitude"]["value"] == pytest.approx(6000)


def test_a_chunked_body_over_the_limit(port):
    pieces = [chunk(b" " * 65_536)] * 40
    problem(exchange(port, post("Transfer-Encoding: chunked"), *pieces, b"0\r\n\r\n"), 413)
    still_answers(port)


def test_a_long_body_over_the_limit(port):
    head = post("Content-Length: 3000000")
    problem(exchange(port, head, b" " * 3_000_000), 413)
    still_answers(port)


def test_a_length_over_the_limit_is_refused_before_the_body_comes(port):
    problem(exchange(port, post("Content-Length: 99999999999")), 413)
    still_answers(port)


def test_no_length_at_all(port):
    problem(exchange(port, post()), 411)
    still_answers(port)


def test_an_empty_body(port):
    problem(exchange(port, post("Content-Length: 0")), 400)
    still_answers(port)


def test_a_chunked_body_that_is_empty(port):
    problem(exchange(port, post("Transfer-Encoding: chunked"), b"0\r\n\r\n"), 400)
    still_answers(port)


def test_chunks_that_are_no_json(port):
    problem(exchange(port, post("Transfer-Encoding: chunked"), chunk(b"[" * 5000), b"0\r\n\r\n"), 400)
    still_answers(port)


def test_chunks_that_are_no_chunks(port):
    status, _, _ = exchange(port, post("Transfer-Encoding: chunked"), b"zz\r\nhello\r\n0\r\n\r\n")
    assert 400 <= status < 500
    still_answers(port)


def test_a_wrong_type_with_a_large_body(port):
    problem(exchange(port, post("Content-Length: 3000000", kind="text/plain"), b" " * 3_000_000), 415)
    still_answers(port)


def test_a_body_cut_short(port):
    with socket.create_connection((HOST, port), timeout=20) as line:
        line.sendall("\r\n".join([*post("Content-Length: 500"), "Host: localhost", "", ""]).encode() + GOOD)
        line.shutdown(socket.SHUT_WR)
        answer = line.recv(65536)
    assert not answer or b" 400 " in answer.split(b"\r\n")[0]
    still_answers(port)


@pytest.mark.parametrize("length", ["-1", "abc", "1e3", "+5"])
def test_a_length_that_is_none(port, length):
    status, _, _ = exchange(port, post(f"Content-Length: {length}"), GOOD)
    assert 400 <= status < 500
    still_answers(port)


def test_head_sends_no_body(port):
    status, headers, body = exchange(port, ["HEAD /v1/atmosphere?altitude=6000ft HTTP/1.1"])
    assert status == 200
    assert int(headers["content-length"]) > 100
    assert body == b""


def test_options_and_refusals_over_the_wire(port):
    status, headers, body = exchange(port, ["OPTIONS /v1/comparison HTTP/1.1"])
    assert (status, body) == (204, b"")
    assert "POST" in headers["allow"]
    status, headers, body = exchange(port, ["DELETE /v1/comparison HTTP/1.1"])
    assert status == 405
    assert "POST" in headers["allow"]
    problem((status, headers, body), 405)
    problem(exchange(port, ["GET /v1/atmosphere?altitude=%zz HTTP/1.1"]), 400)
    problem(exchange(port, ["GET /nowhere HTTP/1.1"]), 404)
