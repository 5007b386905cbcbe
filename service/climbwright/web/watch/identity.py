"""Request ids: a client's own where it is plain, else a new one."""

import os
import re
from collections.abc import MutableMapping
from typing import Any

__all__ = ["HEADER", "request_id"]

HEADER = "X-Request-Id"
_KNOWN = "climbwright.request_id"
_PLAIN = re.compile(r"[A-Za-z0-9._-]{1,64}")


def request_id(environ: MutableMapping[str, Any]) -> str:
    """The id of a request, the same each time it is asked for."""
    known: str | None = environ.get(_KNOWN)
    if known is None:
        given = environ.get("HTTP_X_REQUEST_ID", "")
        known = environ[_KNOWN] = given if _PLAIN.fullmatch(given) else os.urandom(16).hex()
    return known
