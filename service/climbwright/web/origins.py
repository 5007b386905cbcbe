"""Which pages of other origins may read an answer in a visitor's browser: those that the setting names (CORS).

Source: the Fetch standard, https://fetch.spec.whatwg.org, section "CORS protocol".
"""

from collections.abc import Callable, Collection

from flask import Response, request

__all__ = ["allow_origins"]

_READABLE = "ETag, RateLimit, RateLimit-Policy, Retry-After, X-Request-Id"
_SECONDS_TO_REMEMBER = "7200"


def allow_origins(origins: Collection[str]) -> Callable[[Response], Response]:
    """A step after each request that lets these origins read what is answered, refusals too."""

    def allow(response: Response) -> Response:
        if not origins:
            return response
        response.vary.add("Origin")
        origin = request.headers.get("Origin")
        if origin not in origins:
            return response
        response.headers["Access-Control-Allow-Origin"] = origin
        response.headers["Access-Control-Expose-Headers"] = _READABLE
        if request.method == "OPTIONS" and "Access-Control-Request-Method" in request.headers:
            response.headers["Access-Control-Allow-Methods"] = response.headers.get("Allow", "GET, HEAD, OPTIONS")
            response.headers["Access-Control-Allow-Headers"] = "Authorization, Content-Type, If-None-Match"
            response.headers["Access-Control-Max-Age"] = _SECONDS_TO_REMEMBER
        return response

    return allow
