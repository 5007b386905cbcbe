"""Requests that break the rules of HTTP, or keep them to the letter and mean harm, over a real socket."""

import gzip
import json
import threading
import time
import zlib

import pytest

from .calling import ASK, post_fleet, problem, received, request

GOOD = b'{"altitude": "6000 ft"}'
POST = "/v1/atmosphere"


def head(*headers, path=POST):
    return request("POST", path, "Content-Type: application/json", *headers)


def chunk(data):
    return b"%x\r\n%s\r\n" % (len(data), data)


def is_the_answer(answer):
    status, headers, body = answer
    assert status == 200, body[:300]
    assert headers["content-type"] == "application/json"
    assert json.loads(body)["altitude"]["value"] == 6000.0


# Headers that the server in front of the application refuses, with a page of its own, before it would read a body
BROKEN = {
    "two lengths": f"Content-Length: {len(GOOD)}\r\nContent-Length: {len(GOOD)}",
    "two lengths that differ": f"Content-Length: {len(GOOD)}\r\nContent-Length: 5",
    "a list of lengths": f"Content-Length: {len(GOOD)}, {len(GOOD)}",
    "a length in hexadecimal": "Content-Length: 0x17",
    "a length with digits of another script": "Content-Length: \xb2\xb3",
    "a length and chunks": f"Content-Length: {len(GOOD)}\r\nTransfer-Encoding: chunked",
    "chunks and a length": f"Transfer-Encoding: chunked\r\nContent-Length: {len(GOOD)}",
    "chunks twice": "Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked",
    "chunks of chunks": "Transfer-Encoding: chunked, chunked",
    "a coding that is not known": "Transfer-Encoding: xchunked",
    "a coding behind chunks": "Transfer-Encoding: chunked, identity",
    "a folded header": f"X-A: b\r\n c\r\nContent-Length: {len(GOOD)}",
    "a header of 100,000 bytes": f"X-A: {'a' * 100_000}\r\nContent-Length: {len(GOOD)}",
    "three hundred headers": "\r\n".join(f"X-{i}: 1" for i in range(300)) + f"\r\nContent-Length: {len(GOOD)}",
    "a null byte": f"X-A: a\0b\r\nContent-Length: {len(GOOD)}",
    "a blank before the colon": f"Content-Length : {len(GOOD)}",
    "no colon": f"nonsense\r\nContent-Length: {len(GOOD)}",
    "no name": f": nonsense\r\nContent-Length: {len(GOOD)}",
    "a line feed alone": f"X-A: b\nContent-Length: {len(GOOD)}",
    "a carriage return alone": f"X-A: b\rX-B: c\r\nContent-Length: {len(GOOD)}",
    "two hosts": f"Host: other.example\r\nContent-Length: {len(GOOD)}",
    "an expectation that is not known": f"Expect: the-best\r\nContent-Length: {len(GOOD)}",
}


@pytest.mark.parametrize("case", BROKEN)
def test_broken_headers_are_refused(service, case):
    status, _, _ = service.exchange(head(BROKEN[case]), GOOD, half=True)
    assert status in (400, 417, 431, 501), status


def test_nothing_is_smuggled_behind_a_body(service):
    """What stands behind a refused request is never answered as another one."""
    hidden = request("GET", ASK)
    for lengths in ("Content-Length: 0\r\nTransfer-Encoding: chunked", "Content-Length: 4\r\nContent-Length: 0"):
        first = b"POST /v1/atmosphere HTTP/1.1\r\nHost: localhost\r\n" + lengths.encode() + b"\r\n\r\n"
        with service.connect() as line:
            line.sendall(first + b"0\r\n\r\n" + hidden)
            answer = received(line)
        assert answer.count(b"HTTP/1.1 ") == 1
        assert b"HTTP/1.1 400 " in answer


HARMLESS = {
    "of a proxy": "X-Forwarded-Host: evil.example\r\nX-Forwarded-For: 192.0.2.1\r\nX-Forwarded-Proto: https",
    "of a proxy's own place": "X-Forwarded-Prefix: /evil\r\nX-Script-Name: /evil\r\nX-Original-URL: /evil",
    "that names the application's place": "SCRIPT_NAME: /evil",
    "that names another path": "PATH_INFO: /evil",
    "that wants another method": "X-HTTP-Method-Override: DELETE\r\nX-Method-Override: PUT",
    "with a false length's name": "Content_Length: 5",
    "of bytes above ASCII": "X-A: \xe9\xff",
    "of a wish for another protocol": "Upgrade: h2c\r\nHTTP2-Settings: AAMAAABkAAQAAP__",
    "that waits to go on": "Expect: 100-continue",
    "of cookies": "Cookie: " + "a=b;" * 1_500,
    "with tags that are none": "If-None-Match: " + "W/" * 3_000,
    "with a range": "Range: bytes=0-1,5-,-9",
    "of an origin that is none": "Origin: null",
}


@pytest.mark.parametrize("case", HARMLESS)
def test_headers_that_change_nothing(service, case):
    answer = service.exchange(head(f"Content-Length: {len(GOOD)}", *HARMLESS[case].split("\r\n")), GOOD)
    is_the_answer(answer)
    assert "evil" not in str(answer)


@pytest.mark.parametrize(
    "accept", [";;q=x,,/", "a/b;q=0.1," * 700, "*/*;q=-1", "text/html;q=1e999", "\xff/\xff", "/", "q"]
)
def test_an_accept_header_that_is_odd(service, accept):
    status, headers, _ = service.get(ASK, f"Accept: {accept}")
    assert status in (200, 406)
    assert headers["content-type"] in ("application/json", "application/problem+json")


@pytest.mark.parametrize("host", ["evil.example", "a b/<x>", "[::1", "x" * 5_000, "localhost:99999999", ""])
@pytest.mark.parametrize("path", [ASK, "/v1//atmosphere?altitude=6000ft", "/docs/", "/nowhere"])
def test_a_host_that_lies_is_repeated_nowhere(service, host, path):
    told = f"GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n".encode("latin-1")
    status, headers, body = service.exchange(told)
    assert status in (200, 400, 404)
    assert "location" not in headers
    assert not host or host.encode() not in body


def test_a_host_that_is_markup_is_none_in_a_page(service):
    """The home page shows the address that it was asked at."""
    _, _, body = service.exchange(b'GET / HTTP/1.1\r\nHost: a"><b id=evil>x\r\nConnection: close\r\n\r\n')
    assert b"<b id=evil>" not in body


NOWHERE = [
    *("/v1//atmosphere", "/v1/./atmosphere", "/v1/../v1/atmosphere", "/%2e%2e/v1/atmosphere", "/v1/%2e%2e/docs"),
    *("/v1/atmosphere%00", "/v1/atmosphere;x=1", "/v1/atmosphere%3Bx", "/v1/atmosphere%20", "/v1/ATMOSPHERE"),
    *("/v1/atmosphere/..", "/v1/atmosphere%ff", "/v1%5Catmosphere", "/v1\\atmosphere", "/.git/config", "/.env"),
    *("/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2fapp.py", "/static/..\\app.py", "/static/..%5capp.py"),
    *("/static//etc/passwd", "/static/%2fetc%2fpasswd", "/static/%00", "/static/%ff", "/static/", "/static/.."),
    *("/static/....//app.py", "/static/%252e%252e/app.py", "/static/" + "a/" * 2_000, "/static/" + "a" * 300),
    *("/" + "a" * 8_000, "/" + "%41" * 2_500, "/v1/" + "/" * 2_000, "/docs/../docs", "/openapi.json/", "/docs/x"),
]  # fmt: skip


@pytest.mark.parametrize("path", NOWHERE, ids=[f"{i}-{path[:30]}" for i, path in enumerate(NOWHERE)])
def test_a_path_that_leads_nowhere(service, path):
    document = problem(service.get(path), 404)
    assert "passwd" not in json.dumps(document)


@pytest.mark.parametrize(
    "target", [f"http://evil.example{ASK}", f"//{ASK[1:]}", f"{ASK}#x", ASK.replace("/atm", "%2Fatm")]
)
def test_other_ways_to_write_the_same_address(service, target):
    """An absolute address is one of this service, whatever host it names; so is an escaped slash."""
    is_the_answer(service.get(target))


@pytest.mark.parametrize("method", ["BREW", "PROPFIND", "A" * 20, "GE-T", "TRACE", "CONNECT"])
def test_methods_that_are_not_known(service, method):
    problem(service.exchange(request(method, ASK)), 405)


STARTS = [
    *(b"get / HTTP/1.1\r\n\r\n", b"GET / HTTP/9.9\r\n\r\n", b"GET /\r\n\r\n", b"GET  / HTTP/1.1\r\n\r\n", b"\0" * 100),
    *(b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03", b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", b"\r\n" * 1_000, b"GET"),
    *(b"GET / HTTP/1.1\n\n", b"GET / HTTP/1.1", b"A" * 10_000, b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\n\r\n"),
    *(b"GET /\xff HTTP/1.1\r\n\r\n", b"PROXY TCP4 192.0.2.1 192.0.2.2 1 2\r\nGET / HTTP/1.1\r\n\r\n", b"* * *\r\n\r\n"),
]  # fmt: skip


@pytest.mark.parametrize("start", STARTS, ids=range(len(STARTS)))
def test_what_is_no_request(service, start):
    status, _, _ = service.exchange(start, half=True)
    assert status in (0, 400, 404, 414, 505)


@pytest.mark.parametrize("path", [POST, "/v1/fleet", "/v1/operability", "/v1/performance"])
@pytest.mark.parametrize("coding", ["gzip", "deflate", "br", "zstd", "GZIP", "gzip, gzip", "x-unknown", "aes128gcm"])
def test_a_compressed_body_is_refused_by_name(service, path, coding):
    """Whatever is in it: never read as if it were plain, and never unpacked."""
    for body in (GOOD, gzip.compress(GOOD), zlib.compress(GOOD), gzip.compress(b" " * 50_000_000)):
        answer = service.post(path, body, f"Content-Encoding: {coding}")
        assert "Content-Encoding" in problem(answer, 415)["detail"]
        assert answer[1]["accept-encoding"] == "identity"


def test_a_compressed_table_is_refused_by_name(service):
    body = gzip.compress(b"condition.oat [C]\n1\n")
    for kind in ("text/csv", "application/vnd.apache.arrow.stream", "multipart/form-data; boundary=x"):
        problem(service.post("/v1/fleet", body, "Content-Encoding: gzip", kind=kind), 415)


@pytest.mark.parametrize("coding", ["gzip, chunked", "deflate, chunked", "gzip,chunked"])
def test_compressed_chunks_are_refused(service, coding):
    body = chunk(gzip.compress(GOOD)) + b"0\r\n\r\n"
    status, _, _ = service.exchange(head(f"Transfer-Encoding: {coding}"), body)
    assert status in (400, 415, 501)


def test_a_body_that_says_it_is_not_compressed(service):
    is_the_answer(service.post(POST, GOOD, "Content-Encoding: identity"))


CHUNKS = {
    "a size that is none": b"zz\r\nhello\r\n0\r\n\r\n",
    "a negative size": b"-5\r\nhello\r\n0\r\n\r\n",
    "a size with a sign": b"+17\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "a size with a prefix": b"0x17\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "a size with an underscore": b"1_7\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "a size that is too small": b"5\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "a size that is too large": b"ff\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "a size without end": b"1" * 100_000,
    "a size beyond all memory": b"ffffffffffffffff\r\n" + GOOD,
    "an extension without end": b"17;" + b"a" * 100_000 + b"\r\n" + GOOD + b"\r\n0\r\n\r\n",
    "no end": chunk(GOOD),
    "no line end": b"17\r\n" + GOOD + b"0\r\n\r\n",
    "nothing": b"",
    "chunks of one byte without end": b"1\r\n \r\n" * 300_000,
    "a trailer without end": chunk(GOOD) + b"0\r\n" + b"X-A: b\r\n" * 20_000,
}


@pytest.mark.parametrize("case", CHUNKS)
def test_chunks_that_lie(service, case):
    status, _, body = service.exchange(head("Transfer-Encoding: chunked"), CHUNKS[case], half=True)
    assert status in (0, 400, 413, 431) or (status == 200 and case == "a trailer without end"), (status, body[:200])


def test_a_fleet_in_endless_chunks_ends_at_the_limit(service):
    pieces = [chunk(b" " * 100_000)] * 80
    answer = service.exchange(head("Transfer-Encoding: chunked", path="/v1/fleet"), *pieces)
    problem(answer, 413)


def test_a_client_that_sends_a_byte_at_a_time_delays_nobody(service):
    """One of four threads waits for it, and the others answer."""
    with service.connect() as slow:
        slow.sendall(head(f"Content-Length: {len(GOOD)}"))
        for byte in GOOD:
            slow.sendall(bytes([byte]))
            time.sleep(0.02)
            if byte in b'"':
                is_the_answer(service.get())
        status = received(slow).split(b" ", 2)[1]
    assert status == b"200"


def test_slow_heads_delay_nobody(service):
    lines = [service.connect() for _ in range(3)]
    try:
        for line in lines:
            line.sendall(b"GET /v1/atm")
        is_the_answer(service.get())
    finally:
        for line in lines:
            line.close()


def test_idle_lines_delay_nobody(service):
    lines = [service.connect() for _ in range(100)]
    try:
        is_the_answer(service.get())
    finally:
        for line in lines:
            line.close()


@pytest.mark.parametrize("path", [POST, "/v1/fleet"])
def test_a_client_that_goes_away_within_its_body(service, path):
    for sent in (b"", GOOD[:5], GOOD * 1_000):
        with service.connect() as line:
            line.sendall(head("Content-Length: 500000", path=path) + sent)
        with service.connect() as line:
            line.sendall(head("Transfer-Encoding: chunked", path=path) + b"ffff\r\n" + sent)


def test_a_client_that_has_said_all_is_answered(service):
    """It shut down its own side after the request."""
    is_the_answer(service.exchange(request("GET", ASK), half=True))
    is_the_answer(service.exchange(head(f"Content-Length: {len(GOOD)}"), GOOD, half=True))
    is_the_answer(service.exchange(head("Transfer-Encoding: chunked"), chunk(GOOD) + b"0\r\n\r\n", half=True))


def large_fleet():
    from ..fleet.asking import columns, shared

    return json.dumps({"shared": shared(), "columns": columns(5_000, seed=3), "measures": ["weight"]}).encode()


def test_a_client_that_goes_away_before_its_answer(service):
    """No fault is logged, and the turn of a fleet ends."""
    body = large_fleet()
    for _ in range(3):
        with service.connect() as line:
            line.sendall(head(f"Content-Length: {len(body)}", path="/v1/fleet") + body)
    for _ in range(20):
        with service.connect() as line:
            line.sendall(request("GET", ASK))
    for _ in range(100):
        status, _, answer = service.exchange(head(f"Content-Length: {len(body)}", path="/v1/fleet"), body)
        if status != 503:
            break
        time.sleep(0.1)
    assert status == 200, answer[:300]


def test_a_client_that_reads_only_the_beginning(service):
    body = large_fleet()
    with service.connect() as line:
        line.sendall(head(f"Content-Length: {len(body)}", path="/v1/fleet") + body)
        assert line.recv(12) == b"HTTP/1.1 200"
    assert post_fleet(service, {"columns": {}})[0] in (422, 503)


def test_requests_that_come_all_at_once_are_answered_in_turn(service):
    with service.connect() as line:
        asked = [f"/v1/atmosphere?altitude={1000 * i}ft" for i in range(1, 30)]
        first = b"".join(request("GET", path, closing=False) for path in asked[:-1])
        line.sendall(first + request("GET", asked[-1]))
        answers = received(line).split(b"HTTP/1.1 ")[1:]
    bodies = [json.loads(one.partition(b"\r\n\r\n")[2]) for one in answers]
    assert [round(body["altitude"]["value"], 6) for body in bodies] == [1000.0 * i for i in range(1, 30)]


def test_a_request_behind_one_that_is_refused(service):
    """The next one is read where it begins, though the body before it was not wanted."""
    hidden = b"GET / 123"
    refused = (
        request("POST", POST, "Content-Type: text/plain", f"Content-Length: {len(hidden)}", closing=False) + hidden
    )
    with service.connect() as line:
        line.sendall(refused + request("GET", ASK))
        answers = received(line).split(b"HTTP/1.1 ")[1:]
    assert [one[:3] for one in answers] in ([b"415", b"200"], [b"415"])


def test_many_at_once_that_are_all_wrong(service):
    """Whatever comes from one side, the other side is answered."""
    wrong = [head(f"Content-Length: {len(GOOD)}") + b"[" * len(GOOD), head(BROKEN["a length and chunks"]) + GOOD]

    def storm():
        for i in range(60):
            service.exchange(wrong[i % 2])

    threads = [threading.Thread(target=storm) for _ in range(4)]
    for thread in threads:
        thread.start()
    for _ in range(20):
        is_the_answer(service.get())
    for thread in threads:
        thread.join()
