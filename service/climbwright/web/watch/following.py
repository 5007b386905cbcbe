"""Follow each request from its start until its answer is out, and tell those who want to know.

An answer in one piece counts as out when it is handed to the server. A stream counts when its last piece has gone
out, when its client has left, or when it failed.
"""

from collections.abc import Callable, Iterable, Iterator
from time import perf_counter
from typing import Any

from flask import Flask, Response, g, request

from climbwright.web.watch import lines
from climbwright.web.watch.identity import HEADER, request_id
from climbwright.web.watch.seen import Seen, seen_of

__all__ = ["log_fault", "watch"]

Follower = Callable[[Seen], None]


def watch(app: Flask) -> None:
    """Give every answer its id, and follow requests as the settings say; call it before other hooks are added."""
    followers: list[Follower] = []
    beginners: list[Callable[[], None]] = []
    if app.config["LOG"] == "requests":
        followers.append(lines.request_line)
    if app.config["METRICS"]:
        from climbwright.web.watch.counting import Counts

        counts = Counts()
        followers.append(counts.ended)
        beginners.append(counts.begun)
        app.add_url_rule("/metrics", "metrics", counts.page)
    if app.config["TRACES"]:
        from climbwright.web.watch.tracing import Spans

        followers.append(Spans().ended)
    if followers:
        app.before_request(_begin(beginners))
    app.after_request(_end(followers))


def log_fault(error: BaseException) -> None:
    """Log a fault of the request under way."""
    rule = request.url_rule
    lines.fault_line(error, request_id(), "unmatched" if rule is None else rule.rule)


def _begin(beginners: list[Callable[[], None]]) -> Callable[[], None]:
    def begin() -> None:
        g.started = perf_counter()
        for beginner in beginners:
            beginner()

    return begin


def _end(followers: list[Follower]) -> Callable[[Response], Response]:
    def end(response: Response) -> Response:
        identity = request_id()
        response.headers[HEADER] = identity
        if not followers:
            return response
        streamed = response.is_streamed and not response.direct_passthrough
        seen = seen_of(request, response, identity, streamed)
        if streamed:
            seen.ended = "left"
            response.response = _pieces(response.response, seen)
            response.call_on_close(lambda: _tell(followers, seen))
        else:
            _tell(followers, seen)
        return response

    return end


def _tell(followers: list[Follower], seen: Seen) -> None:
    seen.seconds = perf_counter() - seen.started
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
