"""Follow each request from its start until its answer is out, and tell those who want to know.

An answer in one piece counts as out when it is handed to the server. A stream counts when its last piece has gone
out, when its client has left, or when it failed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from time import perf_counter
from typing import TYPE_CHECKING, Any

from flask import Flask, Request, Response, g, request

from climbwright.web.watch import lines
from climbwright.web.watch.identity import HEADER, request_id
from climbwright.web.watch.seen import Seen, seen_of

__all__ = ["log_fault", "watch"]

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

Follower = Callable[[Seen], None]
_STARTED = "climbwright.started"


def watch(app: Flask) -> None:
    """Give every answer its id, and follow requests as the settings say; call it before other hooks are added."""
    followers: list[Follower] = []
    counts = None
    if app.config["LOG"] == "requests":
        followers.append(lines.request_line)
    if app.config["METRICS"]:
        from climbwright.web.watch.counting import Counts

        counts = Counts()
        followers.append(counts.ended)
        app.add_url_rule("/metrics", "metrics", counts.page)
    if app.config["TRACES"]:
        from climbwright.web.watch.tracing import Spans

        followers.append(Spans().ended)
    if followers:
        app.wsgi_app = _begun(app.wsgi_app, counts.begun if counts else None)  # type: ignore[method-assign, assignment]
    app.after_request(_answered(tuple(followers)))


def log_fault(error: BaseException) -> None:
    """Log a fault of the request under way."""
    rule = request.url_rule
    lines.fault_line(error, request_id(request.environ), "unmatched" if rule is None else rule.rule)


def _begun(application: WSGIApplication, tell: Callable[[], None] | None) -> WSGIApplication:
    """The application, knowing when a request began; a hook before each request would cost more."""

    def begin(environ: WSGIEnvironment, start_response: StartResponse) -> Iterable[bytes]:
        environ[_STARTED] = perf_counter()
        if tell is not None:
            tell()
        return application(environ, start_response)

    return begin


def _answered(followers: tuple[Follower, ...]) -> Callable[[Response], Response]:
    def answered(response: Response) -> Response:
        asked: Request = request._get_current_object()  # type: ignore[attr-defined]  # each look through it costs 1 us
        identity = request_id(asked.environ)
        response.headers.add(HEADER, identity)
        if not followers:
            return response
        started = asked.environ[_STARTED]
        streamed = response.is_streamed and not response.direct_passthrough
        seen = seen_of(asked, vars(g._get_current_object()), response, identity, streamed)
        if streamed:
            response.response = _pieces(response.response, seen)
            response.call_on_close(lambda: _tell(followers, seen, started))
        else:
            _tell(followers, seen, started)
        return response

    return answered


def _tell(followers: tuple[Follower, ...], seen: Seen, started: float) -> None:
    seen.seconds = perf_counter() - started
    for follower in followers:
        follower(seen)


def _pieces(pieces: Iterable[Any], seen: Seen) -> Iterator[Any]:
    """The pieces of a stream, counted as they go out; of one that is never read to its end the client has left."""
    try:
        for piece in pieces:
            seen.bytes += len(piece)
            yield piece
    except Exception as error:
        seen.ended = "failed"
        lines.fault_line(error, seen.id, seen.route)
        raise
    seen.ended = "sent"
