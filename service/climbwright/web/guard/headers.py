"""What a browser may do with an answer: headers that every answer carries, made once for each kind of answer.

Sources: Content Security Policy Level 3, the Fetch standard (Cross-Origin-Resource-Policy), the HTML standard
(Cross-Origin-Opener-Policy), RFC 6797 (Strict-Transport-Security).
"""

import base64
import hashlib
import re
from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from climbwright.web.guard.caller import Proxies

if TYPE_CHECKING:
    from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

__all__ = ["TOLD", "with_headers"]

TOLD = "climbwright.guard.told"  # headers of one answer, noted in its request's environment
_PAGES = ("/", "/docs", "/club")
_CLUB = Path(__file__).parents[1] / "club.html"

# A page of another origin loads the elements and the answers with CORS, which this policy leaves alone.
_ALL = [
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "no-referrer"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
]
_DATA = [*_ALL, ("Content-Security-Policy", "default-src 'none'; frame-ancestors 'none'")]
_SECURE = ("Strict-Transport-Security", "max-age=31536000")


def _page() -> list[tuple[str, str]]:
    """Of our own pages: their own scripts and styles, their own questions, and the empty picture that is their icon."""
    allowed = [
        "default-src 'none'",
        "script-src 'self'",
        f"style-src 'self' {' '.join(_style_hashes(_CLUB.read_text('utf-8')))}",
        "connect-src 'self'",
        "img-src data:",
        "base-uri 'none'",
        "form-action 'none'",
        "frame-ancestors 'none'",
    ]
    return [
        *_ALL,
        ("Content-Security-Policy", "; ".join(allowed)),
        ("Cross-Origin-Opener-Policy", "same-origin"),
        ("Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
    ]


def _style_hashes(html: str) -> list[str]:
    """Of the club's page, which keeps its style in itself since it is there to be copied."""
    styles = re.findall(r"<style>(.*?)</style>", html, re.DOTALL)
    return [f"'sha256-{base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()}'" for style in styles]


def with_headers(wsgi_app: "WSGIApplication", proxies: Proxies) -> "WSGIApplication":
    """The application with these headers on all that it answers, and those noted under `TOLD`."""
    data, page = _DATA, _page()
    pages = dict.fromkeys(_PAGES, page)

    def application(environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        secure = proxies.secure(environ)
        if secure:
            environ["wsgi.url_scheme"] = "https"  # for the addresses that a page shows

        def start(status: str, headers: list[tuple[str, str]], *failed: Any) -> Any:
            more = pages.get(environ["PATH_INFO"], data)
            told = environ.get(TOLD, ())
            held = (_SECURE,) if secure else ()
            return start_response(status, [*headers, *more, *told, *held], *failed)

        return wsgi_app(environ, start)

    return application
