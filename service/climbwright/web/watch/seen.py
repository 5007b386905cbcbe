"""What is seen of one request: never its path, its query, its body or a key."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import Request, Response, g

__all__ = ["Seen", "note_key", "note_refusal", "note_rows", "seen_of"]

_METHODS = frozenset(("GET", "HEAD", "POST", "OPTIONS", "PUT", "PATCH", "DELETE"))
_NO_BODY = frozenset((204, 304))


@dataclass(slots=True)
class Seen:
    """One request and its answer.

    `route` is the rule that was met; `rows` are those of a fleet, hours of a season, or scenes answered; `ended` is
    `answered` (handed over in one piece), or of a stream `sent`, `left` (by its client) or `failed`.
    """

    id: str
    method: str
    route: str
    status: int
    rows: int
    bytes: int
    refusal: str | None
    key: str | None
    traceparent: str | None
    tracestate: str | None
    ended: str
    seconds: float = 0.0


def note_rows(rows: int) -> None:
    """How much this request asked for, known once its answer is."""
    g.rows = rows


def note_refusal(kind: str) -> None:
    """That this request is refused, and the kind of problem, whatever the status of its answer."""
    g.refusal = kind


def note_key(name: str) -> None:
    """Whose key this request came with: the key's name, never the key."""
    g.key = name


def seen_of(request: Request, noted: Mapping[str, Any], response: Response, identity: str, streamed: bool) -> Seen:
    """What is seen once the answer is there; of a stream the bytes are still to come."""
    rule, environ, status = request.url_rule, request.environ, response.status_code
    method = environ["REQUEST_METHOD"]
    return Seen(
        identity,
        method if method in _METHODS else "other",
        "unmatched" if rule is None else rule.rule,
        status,
        noted.get("rows", 0),
        0 if streamed or method == "HEAD" or status in _NO_BODY else _length(response),
        noted.get("refusal"),
        noted.get("key"),
        environ.get("HTTP_TRACEPARENT"),
        environ.get("HTTP_TRACESTATE"),
        "left" if streamed else "answered",
    )


def _length(response: Response) -> int:
    if response.direct_passthrough:
        return response.content_length or 0
    return sum(map(len, response.response))
