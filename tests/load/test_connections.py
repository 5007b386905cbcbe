"""What one connection carries: heads in pieces, requests in one piece, bodies that nobody reads."""

import socket
from types import SimpleNamespace

import pytest

from climbwright.web.worker import Worker

from .calling import QUESTION, Line

HEAD = b"GET /health/live HTTP/1.1\r\nHost: here\r\n"


def test_a_head_in_pieces_is_read(server):
    with Line(server) as line:
        for _ in range(3):  # on one connection
            for at in range(0, len(HEAD), 7):
                line.socket.sendall(HEAD[at : at + 7])
            line.socket.sendall(b"\r\n")
            assert line.answer()[0] == 200


def test_two_requests_in_one_piece_are_both_answered(server):
    with Line(server) as line:
        line.socket.sendall(2 * (HEAD + b"\r\n"))
        assert [line.answer()[0] for _ in range(2)] == [200, 200]


def test_a_long_head_is_refused_or_read(server):
    """Longer than what the service reads at a time."""
    fields = tuple(f"X-Field-{n}: {'a' * 8000}" for n in range(12))
    with Line(server) as line:
        assert line.ask(QUESTION, headers=fields)[0] in (200, 400, 431)
    with Line(server) as line:
        assert line.ask(QUESTION)[0] == 200


@pytest.mark.parametrize("size", [100, 60_000, 70_000, 900_000, 9_000_000])
def test_what_is_said_of_the_connection_holds(server, size):
    """A refusal before the body has been read comes whole, and a connection that is said to be kept is kept."""
    with Line(server) as line:
        status, headers, body = line.ask("/v1/nothing", b" " * size)
        assert status == 404
        assert b"/docs" in body
        if size > 65536:
            assert headers["connection"] == "close"
            assert line.file.read() == b""
        else:
            assert headers["connection"] == "keep-alive"
            assert line.ask(QUESTION)[0] == 200


def test_leave_is_taken_of_a_connection_that_is_closed_already():
    """gunicorn closes it where an answer fails half-way, and then counts one connection less for every error here."""
    ours, theirs = socket.socketpair()
    with theirs:
        ours.close()
        loop = SimpleNamespace(nr_conns=7, pending_conns=[])
        Worker.take_leave(loop, SimpleNamespace(sock=ours))
        assert (loop.nr_conns, loop.pending_conns) == (7, [])
