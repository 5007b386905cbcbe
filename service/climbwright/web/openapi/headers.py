"""The headers that answers and refusals carry."""

from typing import Any

__all__ = ["header_references", "headers"]

_ROWS = {
    "X-Request-Id": (
        "string",
        "Name of the request in the log of the service: the one that the request sent in this header, or a new one.",
        "6f1b0c52d4e84b0b9f0c8a3f5d2e7a10",
    ),
    "ETag": ("string", "Tag of the answer, for If-None-Match.", '"0123456789abcdef0123456789abcdef"'),
    "Allow": ("string", "The methods that the address takes.", "GET, HEAD, OPTIONS, POST"),
    "WWW-Authenticate": (
        "string",
        "How a key may be sent.",
        'Basic realm="climbwright", charset="UTF-8", Bearer realm="climbwright"',
    ),
    "Retry-After": ("integer", "Seconds after which to come again.", 2),
    "RateLimit": (
        "string",
        "Which limit it was, what is left of it, and seconds until it is whole.",
        '"client";r=0;t=8',
    ),
    "RateLimit-Policy": ("string", "The limit: how many requests in how many seconds.", '"client";q=600;w=60'),
}


def headers() -> dict[str, dict[str, Any]]:
    """The headers by name."""
    return {
        name: {"description": description, "schema": {"type": kind, "examples": [example]}}
        for name, (kind, description, example) in _ROWS.items()
    }


def header_references(*names: str) -> dict[str, Any]:
    """References to some of them, and to the one that every answer carries."""
    return {name: {"$ref": f"#/components/headers/{name}"} for name in ("X-Request-Id", *names)}
