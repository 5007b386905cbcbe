"""Clients that say nothing, half of it, or never hang up, hold nobody up; they are let go after a while."""

import contextlib
import json
import socket
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from climbwright.web import worker
from climbwright.web.openapi import read_example

from ..serving import started
from .calling import Callers, Line, until

HEAD = b"GET /health/live HTTP/1.1\r\nHost: here\r\n"
WAYS = {
    "silent": b"",
    "half a head": HEAD,
    "half a head behind a request": HEAD + b"\r\n" + HEAD,
    "never hanging up": HEAD + b"Connection: close\r\n\r\n",
}


@pytest.mark.parametrize("sent", WAYS.values(), ids=WAYS)
def test_slow_clients_hold_nobody_up(server, sent):
    """Far more of them than the service has threads."""
    with contextlib.ExitStack() as lines:
        slow = [lines.enter_context(Line(server)) for _ in range(60)]
        for line in slow:
            line.socket.sendall(sent)
        with Callers(server, 4) as callers:
            until(lambda: len(callers.seconds) > 400, seconds=10.0)
        assert callers.lost == []
        assert callers.refused == []
        for line in slow:
            assert bool(line.file.read()) == (b"\r\n\r\n" in sent)  # closed by the service


@pytest.mark.parametrize(("pause", "read"), [(0.0001, 1000), (2.0, 15), (29.0, 1)])
def test_a_request_may_take_half_a_minute_in_all_or_as_long_as_a_slow_line_takes(monkeypatch, pause, read):
    """A byte after each pause, none of which is long."""
    now = [0.0]

    class Client:
        def recv(self, _most):
            now[0] += pause
            return b"x"

    monkeypatch.setattr(worker, "time", SimpleNamespace(monotonic=lambda: now[0]))
    patient = worker.Patient(Client(), lambda: None)
    for _ in range(2):  # anew with each request
        patient.begin()
        came = b""
        with contextlib.suppress(ConnectionResetError):
            for _ in range(1000):
                came += patient.chunk()
        assert len(came) == read


@pytest.mark.parametrize(("pause", "sent"), [(0.0001, 1000), (2.0, 16), (29.0, 2)])
def test_so_may_an_answer(monkeypatch, pause, sent):
    now, gone = [0.0], []

    class Slow(worker.Sending):
        def send(self, data, _flags):
            now[0] += pause
            gone.append(bytes(data[:1]))
            return 1

    monkeypatch.setattr(worker, "time", SimpleNamespace(monotonic=lambda: now[0]))
    with Slow() as line, contextlib.suppress(ConnectionResetError):
        line.sendall(b"x" * 1000)
    assert len(gone) == sent


def test_who_takes_a_large_answer_by_drops_gives_back_the_thread():
    """The one that there is."""
    large = read_example("comparison")
    for name, count in (("options", 12), ("loadings", 6), ("conditions", 12)):
        large[name] = [large[name][0] | {"name": str(i)} for i in range(count)]
    one = {"WEB_CONCURRENCY": "1", "GUNICORN_THREADS": "1", "PYTHONPATH": str(Path(__file__).parent)}
    with started(application="hurried:hurried()", **one) as (_, address), Line(address) as slow:
        slow.socket.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 50_000)
        slow.send("/v1/comparison?working=true", json.dumps(large).encode())
        time.sleep(0.5)  # it is being answered
        with Line(address) as other:
            other.send("/health/live")
            other.socket.settimeout(0.1)
            answered = False
            for _ in range(60):  # each of which goes on with it
                assert slow.socket.recv(50_000)
                with contextlib.suppress(TimeoutError):
                    answered = bool(other.socket.recv(1))
                if answered:
                    break
        assert answered


def test_what_comes_after_its_time_is_no_request():
    """A body that is given up ends its connection: its rest would be read as somebody's request."""
    with (
        started(application="hurried:hurried()", PYTHONPATH=str(Path(__file__).parent)) as (_, address),
        Line(address) as line,
    ):
        line.socket.sendall(HEAD.replace(b"GET /health/live", b"POST /v1/atmosphere"))
        line.socket.sendall(b"Content-Type: application/json\r\nContent-Length: 500\r\n\r\n")
        for _ in range(8):
            time.sleep(0.1)
            line.socket.sendall(b" ")
        with contextlib.suppress(OSError):
            line.socket.sendall(HEAD + b"\r\n")
        status, headers, body = line.answer()
        assert (status, headers["connection"]) == (400, "close")
        assert b"ended early" in body
        assert line.file.read() == b""
