"""A service that is about to stop: it says so for a while, and serves on, before it does."""

import contextlib
import ctypes
import mmap
import signal
import socket
import struct
from collections.abc import Sequence
from typing import Any

__all__ = ["announce_before_stopping", "is_stopping", "turn_deaf"]

# Of each packet to the door, the flags of its TCP header: who asks for a connection (SYN without ACK) is not heard, and
# asks again in a second; all else is. In the classic filter language of linux/filter.h: operation, jumps, constant.
_DEAF = ((0x30, 0, 0, 13), (0x54, 0, 0, 0x12), (0x15, 0, 1, 0x02), (0x06, 0, 0, 0), (0x06, 0, 0, 0xFFFFFFFF))
_SO_ATTACH_FILTER = 26  # Linux; the socket module has no name for it

_told = mmap.mmap(-1, 1)  # shared by gunicorn's master and the workers that it forks


def is_stopping() -> bool:
    """Whether the service has been told to stop."""
    return _told[0] != 0


def announce_before_stopping(arbiter: Any, seconds: int) -> None:
    """Let SIGTERM fail readiness first, and stop gunicorn after that many seconds; a second SIGTERM does so at once.

    A load balancer takes the service out meanwhile. Where another master serves at the same address (after SIGUSR2),
    there is nothing to take out, and gunicorn stops at once.
    """
    stop = arbiter.handle_term

    def terminate() -> None:
        if arbiter.reexec_pid or arbiter.master_pid:
            stop()
        at_once, _told[0] = is_stopping() or not seconds, 1
        if at_once:
            turn_deaf([listener.sock for listener in arbiter.LISTENERS])
            stop()
        arbiter.log.info("Stopping in %d s: until then /health/ready answers 503, and all else is served", seconds)
        signal.signal(signal.SIGALRM, lambda *_: arbiter.signal(signal.SIGTERM, None))
        signal.alarm(seconds)

    arbiter.handle_term = terminate


def turn_deaf(doors: Sequence[socket.socket]) -> None:
    """Let nobody new come to a door that is about to close: who came in that moment would be sent away, unanswered.

    Who is at the door already is let in by the workers, which share it. Where this is no Linux, nothing is done.
    """
    steps = b"".join(struct.pack("HBBI", *step) for step in _DEAF)
    kept = ctypes.create_string_buffer(steps)
    program = struct.pack("HP", len(_DEAF), ctypes.addressof(kept))
    for door in doors:
        if door.family not in (socket.AF_INET, socket.AF_INET6):
            continue
        with contextlib.suppress(OSError):
            door.setsockopt(socket.SOL_SOCKET, _SO_ATTACH_FILTER, program)
