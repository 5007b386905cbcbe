"""The gate before every answer: whose key, whose count. Where nothing is set, nothing stands there."""

import zlib
from typing import Protocol

from flask import Flask, request

from climbwright.web.guard.caller import Proxies
from climbwright.web.guard.counts import Counts
from climbwright.web.guard.headers import TOLD, with_headers
from climbwright.web.guard.keys import NEEDED_FOR, Keys
from climbwright.web.guard.rates import COSTS, Rate, Verdict
from climbwright.web.problems import Problem
from climbwright.web.watch.seen import note_key

__all__ = ["guard"]

_METRICS = "/metrics"
_CHALLENGE = 'Basic realm="climbwright", charset="UTF-8", Bearer realm="climbwright"'  # Chromium reads the first alone
_NEEDED = (
    "this needs a key: send the one that whoever runs this service gave you, as 'Authorization: Bearer KEY', or as the "
    "password of Basic with any user name"
)
_UNKNOWN = (
    "this service does not know the key that was sent: ask whoever runs it for one, or send none where none is needed"
)


class _Counting(Protocol):
    """Counts of this machine, or of several."""

    def take(self, client: str, cost: int, question: int = 0, ahead: bool = False) -> Verdict:
        """Charge a client."""


def guard(app: Flask) -> None:
    """Give every answer its headers, and let in who may ask and as often as they may, by the settings."""
    proxies = Proxies(app.config["PROXIES"])
    app.wsgi_app = with_headers(app.wsgi_app, proxies)  # type: ignore[assignment, method-assign]
    keys, rate = Keys(app.config["KEYS"]), app.config["RATE"]
    if keys or rate:
        gate = _Gate(keys, app.config["KEYS_FOR"], rate, app.config["REDIS"], proxies)
        app.before_request(gate.admit)


class _Gate:
    def __init__(self, keys: Keys, needed_for: str, rate: Rate | None, redis: str, proxies: Proxies) -> None:
        self._keys, self._needed = keys, NEEDED_FOR[needed_for]
        self._counter = _Counter(rate, redis) if rate else None
        self._proxies = proxies

    def admit(self) -> None:
        """Let a request in, or raise the problem that keeps it out. A browser's asking first is always let in."""
        path = request.path
        asks = path.startswith("/v1/")
        if not (asks or path == _METRICS) or request.method == "OPTIONS":
            return
        holder = self._holder(asks, path) if self._keys else None
        if asks and self._counter:
            client = f"key {holder}" if holder else self._proxies.client(request.environ)
            self._counter.count(client, path)

    def _holder(self, asks: bool, path: str) -> str | None:
        """Whose key was sent; None where none was, and none is needed."""
        holder = self._keys.holder(request.authorization)
        if holder is not None:
            note_key(holder)
            return holder
        sent = "Authorization" in request.headers
        if sent or not asks or self._needed(request.method, path):
            raise Problem(401, "Unauthorized", _UNKNOWN if sent else _NEEDED, headers={"WWW-Authenticate": _CHALLENGE})
        return None


class _Counter:
    def __init__(self, rate: Rate, redis: str) -> None:
        self._rate, self._counts = rate, _counts(rate, redis)
        self._policy = ("RateLimit-Policy", rate.policy)

    def count(self, client: str, path: str) -> None:
        """Charge a client for this request and note for its answer how much is left, or raise the problem."""
        environ, question = request.environ, 0
        if request.method != "POST":
            question = zlib.crc32(f"{path}?{environ.get('QUERY_STRING', '')}".encode("utf-8", "surrogatepass"))
        cost = min(COSTS.get(path, 1), self._rate.quota)
        verdict = self._counts.take(client, cost, question, request.method == "HEAD")
        environ[TOLD] = (("RateLimit", verdict.told), self._policy)
        if not verdict.admitted:
            seconds = verdict.retry_after
            detail = f"you have asked as often as one may here, which is {self._rate.words}: ask again in {seconds} s"
            raise Problem(429, "Too Many Requests", detail, headers={"Retry-After": str(seconds)})


def _counts(rate: Rate, redis: str) -> _Counting:
    if not redis:
        return Counts(rate)
    from climbwright.web.guard.shared_counts import SharedCounts  # the client is large: only where it is asked for

    return SharedCounts(rate, redis)
