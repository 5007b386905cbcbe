"""Told to stop, the service says so, finishes what is under way, and is gone."""

import json
import os
import signal
import socket
import time

import pytest

from climbwright.web.stopping import turn_deaf

from ..serving import started
from .calling import QUESTION, Callers, Line, children, until

ALTITUDE = b'{"altitude": "6000 ft"}'


def test_readiness_fails_while_all_else_is_served():
    with started(CLIMBWRIGHT_DRAIN="3") as (master, address), Line(address) as kept:
        status, headers, body = kept.ask("/health/ready")
        assert (status, json.loads(body)["status"], headers["connection"]) == (200, "ready", "keep-alive")
        with Callers(address) as callers:
            begun = time.monotonic()
            master.terminate()
            until(lambda: _ready(address)[0] == 503)
            answered = len(callers.seconds)
            status, headers, body = kept.ask("/health/ready")
            assert (status, json.loads(body)["status"], headers["connection"]) == (503, "stopping", "close")
            for path in ("/health/live", QUESTION):
                with Line(address) as line:
                    status, headers, _ = line.ask(path)
                    assert (status, headers["connection"]) == (200, "close")
            assert master.wait(timeout=30) == 0
            assert time.monotonic() - begun >= 3.0
        assert len(callers.seconds) > answered
        assert callers.lost == []
        assert callers.refused == []
        with pytest.raises(ConnectionRefusedError):
            Line(address)


def _ready(address):
    with Line(address) as line:
        return line.ask("/health/ready")


def test_a_second_signal_does_not_wait():
    with started(CLIMBWRIGHT_DRAIN="600") as (master, address):
        master.terminate()
        until(lambda: _ready(address)[0] == 503)
        master.terminate()
        assert master.wait(timeout=30) == 0


def test_a_request_under_way_is_answered():
    with started() as (master, address), Line(address) as half, Line(address) as idle:
        assert idle.ask(QUESTION)[0] == 200
        head = ("POST /v1/atmosphere HTTP/1.1", "Host: here", "Content-Type: application/json")
        lines = "\r\n".join((*head, f"Content-Length: {len(ALTITUDE)}", "", ""))
        half.socket.sendall(lines.encode() + ALTITUDE[:9])
        time.sleep(0.5)
        master.terminate()
        time.sleep(0.5)
        # on a connection kept alive one more may be on its way already
        status, headers, _ = idle.ask(QUESTION)
        assert (status, headers["connection"]) == (200, "close")
        half.socket.sendall(ALTITUDE[9:])
        status, _, body = half.answer()
        assert status == 200
        assert json.loads(body)["altitude"]["value"] == pytest.approx(6000.0)
        assert master.wait(timeout=30) == 0


def test_who_waits_at_the_door_is_let_in():
    with started(WEB_CONCURRENCY="1") as (master, address):
        (worker,) = children(master.pid)
        os.kill(worker, signal.SIGSTOP)
        lines = [Line(address) for _ in range(20)]
        for line in lines:
            line.send(QUESTION)
        master.terminate()
        time.sleep(0.5)
        os.kill(worker, signal.SIGCONT)
        for line in lines:
            status, headers, _ = line.answer()
            assert (status, headers["connection"]) == (200, "close")
            line.close()
        assert master.wait(timeout=30) == 0


def test_a_door_about_to_close_lets_nobody_new_come():
    """Between the last accept and the close somebody could come, and would be sent away unanswered."""
    with socket.create_server(("127.0.0.1", 0)) as door:
        there = door.getsockname()
        with socket.create_connection(there, timeout=5) as came_before:
            turn_deaf([door])
            with pytest.raises(TimeoutError):
                socket.create_connection(there, timeout=0.3)
            accepted, _ = door.accept()
            with accepted:
                came_before.sendall(b"still heard")
                assert accepted.recv(20) == b"still heard"
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection(there, timeout=5)
