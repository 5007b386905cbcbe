"""Problem documents (RFC 9457): one shape for every refusal."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from climbwright.refusal import pointer_part

__all__ = ["MEDIA_TYPE", "Problem", "not_answerable", "not_understood", "pointers", "renamed", "too_much", "unreadable"]

MEDIA_TYPE = "application/problem+json"
_MOST_ERRORS = 50
_WHOLE = ("_schema", "_air")


class Problem(Exception):
    """An answer that is a refusal; everything in it is safe to show."""

    def __init__(
        self,
        status: int,
        title: str,
        detail: str,
        *,
        errors: Iterable[Mapping[str, str]] = (),
        kind: str = "about:blank",
        headers: Mapping[str, str] | None = None,
    ) -> None:
        super().__init__(detail)
        self.status, self.title, self.detail, self.kind = status, title, detail, kind
        self.errors = list(errors)[:_MOST_ERRORS]
        if not self.errors and status < 500:
            self.errors = [{"pointer": "", "detail": detail}]
        self.headers = dict(headers or {})

    def document(self) -> dict[str, Any]:
        """The document, as JSON holds it."""
        body: dict[str, Any] = {
            "type": self.kind,
            "title": self.title,
            "status": self.status,
            "detail": self.detail,
            "errors": self.errors,
        }
        return body


def pointers(messages: Any, at: str = "") -> list[dict[str, str]]:
    """Flatten marshmallow's nested messages into pointers and sentences."""
    if isinstance(messages, str):
        return [{"pointer": at, "detail": messages}]
    if isinstance(messages, list):
        return [entry for message in messages for entry in pointers(message, at)]
    found: list[dict[str, str]] = []
    for name, inner in messages.items():
        found += pointers(inner, at if name in _WHOLE else f"{at}/{pointer_part(str(name)[:80])}")
    return found


def _summary(errors: list[dict[str, str]]) -> str:
    first = errors[0]
    more = f" (and {len(errors) - 1} more)" if len(errors) > 1 else ""
    return f"{first['pointer'] or 'the request'}: {first['detail']}{more}"


def not_understood(messages: Any) -> Problem:
    """A request that does not fit its schema."""
    errors = pointers(messages)
    return Problem(422, "The request is not understood", _summary(errors), errors=errors, kind="/docs#not-understood")


def not_answerable(where: str, message: str) -> Problem:
    """A request that is understood and that physics or arithmetic cannot answer."""
    errors = [{"pointer": where, "detail": message}]
    return Problem(422, "The request cannot be answered", _summary(errors), errors=errors, kind="/docs#not-answerable")


def unreadable(message: str, where: str = "") -> Problem:
    """Bytes that do not parse."""
    errors = [{"pointer": where, "detail": message}]
    return Problem(400, "The request cannot be read", message, errors=errors, kind="/docs#unreadable")


def too_much(message: str) -> Problem:
    """More work than this service does for one request."""
    return Problem(413, "The request asks for too much", message, kind="/docs#too-much")


def renamed(problem: Problem, name: Callable[[str], str]) -> Problem:
    """The same refusal where fields are called otherwise; `name` makes of a pointer another one."""
    errors = [{**error, "pointer": name(error["pointer"])} for error in problem.errors]
    return Problem(
        problem.status, problem.title, _summary(errors), errors=errors, kind=problem.kind, headers=problem.headers
    )
