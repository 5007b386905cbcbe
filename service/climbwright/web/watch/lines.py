"""Log lines: one JSON object each, on standard output."""

import contextlib
import sys
import traceback
from datetime import UTC, datetime
from typing import Any

import orjson

from climbwright.web.watch.seen import Seen

__all__ = ["fault_line", "line", "request_line", "told", "write"]

_MOST_FRAMES = 40  # the innermost ones: a recursion has a thousand


def line(event: str, **fields: Any) -> str:
    """A line of the log, its time first. [RFC 3339, UTC]"""
    whole = {"time": datetime.now(UTC), "event": event, **fields}
    return orjson.dumps(whole, option=orjson.OPT_UTC_Z | orjson.OPT_APPEND_NEWLINE).decode()


def write(text: str) -> None:
    """A whole line at once, so that the lines of several workers do not mix; no request fails for want of a log."""
    with contextlib.suppress(OSError):
        sys.stdout.write(text)
        sys.stdout.flush()


def request_line(seen: Seen) -> None:
    """Log a request that has ended."""
    write(
        line(
            "request",
            id=seen.id,
            method=seen.method,
            route=seen.route,
            status=seen.status,
            seconds=round(seen.seconds, 6),
            rows=seen.rows,
            bytes=seen.bytes,
            refusal=seen.refusal,
            key=seen.key,
            ended=seen.ended,
        )
    )


def fault_line(error: BaseException, identity: str, route: str) -> None:
    """Log a fault of ours."""
    write(line("fault", id=identity, route=route, **told(error)))


def told(error: BaseException) -> dict[str, Any]:
    """What an error was and where, without its message: that may quote what was sent."""
    chain: list[BaseException] = []
    one: BaseException | None = error
    while one is not None and one not in chain:
        chain.append(one)
        one = one.__cause__ or (None if one.__suppress_context__ else one.__context__)
    return {
        "error": type(error).__name__,
        "traceback": [text for one in reversed(chain) for text in (*_frames(one), type(one).__name__)],
    }


def _frames(error: BaseException) -> list[str]:
    found = traceback.extract_tb(error.__traceback__, limit=-_MOST_FRAMES)
    return [f"{frame.filename}:{frame.lineno} {frame.name}" for frame in found]
