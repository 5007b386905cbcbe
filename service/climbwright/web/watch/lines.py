"""Log lines: one JSON object each, on standard output."""

import contextlib
import os
import traceback
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

import orjson

from climbwright.web.watch.seen import Seen

__all__ = ["fault_line", "line", "request_line", "told", "write"]

_FORM = orjson.OPT_UTC_Z | orjson.OPT_APPEND_NEWLINE
_STANDARD_OUTPUT = 1
_MOST_FRAMES = 25  # the innermost ones: a recursion has a thousand


def line(event: str, fields: Mapping[str, Any]) -> bytes:
    """A line of the log, its time first. [RFC 3339, UTC]"""
    return orjson.dumps({"time": datetime.now(UTC), "event": event, **fields}, option=_FORM)


def write(text: bytes) -> None:
    """A whole line at once, so that the lines of several workers do not mix; no request fails for want of a log."""
    with contextlib.suppress(OSError):
        os.write(_STANDARD_OUTPUT, text)


def request_line(seen: Seen) -> None:
    """Log a request that has ended."""
    fields = {  # not by line(): this is paid for each request
        "time": datetime.now(UTC),
        "event": "request",
        "id": seen.id,
        "method": seen.method,
        "route": seen.route,
        "status": seen.status,
        "seconds": round(seen.seconds, 6),
        "rows": seen.rows,
        "bytes": seen.bytes,
        "refusal": seen.refusal,
        "key": seen.key,
        "ended": seen.ended,
    }
    write(orjson.dumps(fields, option=_FORM))


def fault_line(error: BaseException, identity: str, route: str) -> None:
    """Log a fault of ours."""
    write(line("fault", {"id": identity, "route": route, **told(error)}))


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
