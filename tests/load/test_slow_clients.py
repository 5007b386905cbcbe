"""Clients that say nothing, half of it, or never hang up, hold nobody up; they are let go after a while."""

import contextlib

import pytest

from .calling import Callers, Line, until

HEAD = b"GET /health/live HTTP/1.1\r\nHost: here\r\n"
WAYS = {"silent": b"", "half a head": HEAD, "never hanging up": HEAD + b"Connection: close\r\n\r\n"}


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
            assert not line.file.read() or sent.endswith(b"\r\n\r\n")  # closed by the service
