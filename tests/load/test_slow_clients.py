"""Clients that say nothing, half of it, or never hang up, hold nobody up; they are let go after a while."""

import contextlib

import pytest

from ..serving import started
from .calling import QUESTION, Callers, Line, until

HEAD = b"GET /health/live HTTP/1.1\r\nHost: here\r\n"
WAYS = {"silent": b"", "half a head": HEAD, "never hanging up": HEAD + b"Connection: close\r\n\r\n"}


@pytest.fixture(scope="module")
def there():
    with started() as (address, _):
        yield address


@pytest.mark.parametrize("sent", WAYS.values(), ids=WAYS)
def test_slow_clients_hold_nobody_up(there, sent):
    """Far more of them than the service has threads."""
    with contextlib.ExitStack() as lines:
        slow = [lines.enter_context(Line(there)) for _ in range(60)]
        for line in slow:
            line.socket.sendall(sent)
        with Callers(there, 4) as callers:
            until(lambda: len(callers.seconds) > 400, seconds=10.0)
        assert callers.lost == []
        assert callers.refused == []
        for line in slow:
            assert not line.file.read() or sent.endswith(b"\r\n\r\n")  # closed by the service


def test_a_head_in_pieces_is_read(there):
    with Line(there) as line:
        for _ in range(3):  # on one connection
            for at in range(0, len(HEAD), 7):
                line.socket.sendall(HEAD[at : at + 7])
            line.socket.sendall(b"\r\n")
            assert line.answer()[0] == 200


def test_two_requests_in_one_piece_are_both_answered(there):
    with Line(there) as line:
        line.socket.sendall(2 * (HEAD + b"\r\n"))
        assert [line.answer()[0] for _ in range(2)] == [200, 200]


def test_a_long_head_is_refused_or_read(there):
    """Longer than what the service reads at a time."""
    fields = tuple(f"X-Field-{n}: {'a' * 8000}" for n in range(12))
    with Line(there) as line:
        assert line.ask(QUESTION, headers=fields)[0] in (200, 400, 431)
    with Line(there) as line:
        assert line.ask(QUESTION)[0] == 200
