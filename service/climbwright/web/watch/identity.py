"""Request ids: a client's own where it is plain, else a new one."""

import os
import re

from flask import g, request

__all__ = ["HEADER", "request_id"]

HEADER = "X-Request-Id"
_PLAIN = re.compile(r"[A-Za-z0-9._-]{1,64}")


def request_id() -> str:
    """The id of the request under way, the same each time it is asked for."""
    known: str | None = g.get("request_id")
    if known is None:
        given = request.environ.get("HTTP_X_REQUEST_ID", "")
        known = g.request_id = given if _PLAIN.fullmatch(given) else os.urandom(16).hex()
    return known
