"""What is sent and what an answer means, the same for both clients."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, NoReturn

import httpx

from climbwright_client.errors import (
    Busy,
    ClimbwrightError,
    Failed,
    FieldError,
    NotAnswerable,
    NotAService,
    NotOffered,
    NotSent,
    NotUnderstood,
    Refused,
    TooLarge,
    Unreachable,
    Unreadable,
)
from climbwright_client.quantity import plain, with_quantities
from climbwright_client.retrying import retry_after

__all__ = ["Call", "address_of", "call_of", "decoded", "finished", "json_object", "timeout_of"]

_CONNECT = 5.0  # seconds: who listens answers the call itself at once


@dataclass(frozen=True, slots=True)
class Call:
    """A request that is to be sent, perhaps several times."""

    path: str
    query: Mapping[str, str] = field(default_factory=dict)
    content: bytes | None = None
    kind: str = "application/json"
    accept: str = "application/json"

    def request(self, http: httpx.Client | httpx.AsyncClient) -> httpx.Request:
        """The same as httpx sends it."""
        headers = {"Accept": self.accept} | ({} if self.content is None else {"Content-Type": self.kind})
        method = "GET" if self.content is None else "POST"
        return http.build_request(method, self.path, params=self.query, content=self.content, headers=headers)


def call_of(operation: str, request: Any, options: Mapping[str, Any], accept: str = "application/json") -> Call:
    """A call of an operation.

    Parameters
    ----------
    operation : str
        Its name, as in its path.
    request : mapping
        The fields of the request.
    options : mapping
        Options of the answer; one that is None is left out.
    accept : str
        Media type of the answer.

    Raises
    ------
    NotSent
        Something in it cannot be sent.
    """
    if not isinstance(operation, str) or not operation.replace("-", "").isalnum():
        raise NotSent(f"{operation!r} is no name of an operation")
    if not isinstance(request, Mapping):
        raise NotSent(f"a request is an object of its fields, not a {type(request).__name__}")
    try:
        content = json.dumps(plain(request), separators=(",", ":")).encode()
    except RecursionError:
        raise NotSent("it is nested too deeply, or holds itself") from None
    return Call(f"/v1/{operation}", query_of(options), content, accept=accept)


def query_of(options: Mapping[str, Any]) -> dict[str, str]:
    """Options as the query has them."""
    return {name: _word(name, value) for name, value in options.items() if value is not None}


def _word(name: str, value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return value
    if isinstance(value, list | tuple) and all(isinstance(one, str) for one in value):
        return ",".join(value)
    raise NotSent([FieldError(f"/{name}", f"a {type(value).__name__} is no option: send a text, or True or False")])


def address_of(address: str) -> str:
    """The service's address, checked.

    Raises
    ------
    ValueError
        It is none.
    """
    try:
        url = httpx.URL(address)
    except (httpx.InvalidURL, TypeError):
        url = httpx.URL("")
    if url.scheme not in ("http", "https") or not url.host or url.query or url.fragment:
        raise ValueError(f"{address!r} is no address of a service: give one such as 'http://127.0.0.1:8000'")
    return str(url).rstrip("/")


def timeout_of(seconds: float) -> httpx.Timeout:
    """How long to wait for the service.

    Raises
    ------
    ValueError
        It is not a positive number: nothing waits for ever.
    """
    if isinstance(seconds, bool) or not isinstance(seconds, int | float) or not 0.0 < seconds < float("inf"):
        raise ValueError(f"timeout is a positive number of seconds, not {seconds!r}")
    return httpx.Timeout(seconds, connect=min(_CONNECT, seconds))


def finished(outcome: httpx.Response | httpx.RequestError, call: Call, address: str) -> httpx.Response:
    """The response, where it is an answer of the kind that the call asked for.

    Raises
    ------
    ClimbwrightError
        It is a refusal, or none came.
    """
    if isinstance(outcome, httpx.RequestError):
        raise _unreachable(outcome, address) from outcome
    del outcome.stream  # it is read; it and the response hold each other, which would keep both for long
    if outcome.status_code != 200:
        _raise_problem(outcome, address)
    kind = _kind_of(outcome)
    if kind != call.accept:
        raise NotAService(f"200 came with {kind} where {call.accept} was asked for", status=200)
    return outcome


def decoded(response: httpx.Response) -> Any:
    """An answer in JSON, its quantities as such.

    Raises
    ------
    NotAService
        It is none.
    """
    return json_object(response.content, with_quantities)


def json_object(content: bytes, hook: Callable[[dict[str, Any]], Any] | None = None) -> dict[str, Any]:
    """The JSON object that was answered.

    Raises
    ------
    NotAService
        It is none.
    """
    try:
        found = json.loads(content, object_hook=hook)
    except (ValueError, RecursionError):
        found = None
    if not isinstance(found, dict):
        raise NotAService("what came is no JSON object, as every answer is", status=200)
    return found


def _kind_of(response: httpx.Response) -> str:
    """The media type of a response."""
    return str(response.headers.get("Content-Type", "no type")).partition(";")[0].strip()


def _unreachable(error: httpx.RequestError, address: str) -> Unreachable:
    if isinstance(error, httpx.ConnectError | httpx.ConnectTimeout):
        return Unreachable(f"nothing answers at {address} ({error}): is the service running, and the address right?")
    if isinstance(error, httpx.TimeoutException):
        word = f"{address} took longer than the timeout: ask for less at once, or give a longer timeout"
        return Unreachable(word)
    return Unreachable(f"{address} broke off ({error or type(error).__name__}): try again")


def _raise_problem(response: httpx.Response, address: str) -> NoReturn:
    status, problem = response.status_code, _problem(response)
    detail = str(problem.get("detail") or response.reason_phrase or "no reason given")
    if status in (429, 503):
        busy = Busy(detail, status=status)
        busy.retry_after = retry_after(response)
        raise busy
    if status in (502, 504):
        raise Unreachable(f"what stands before {address} answers {status} {response.reason_phrase}", status=status)
    if not problem:
        raise NotAService(_strange(response, address), status=status)
    errors = [
        FieldError(str(one.get("pointer", "")), str(one.get("detail", "")))
        for one in problem.get("errors") or ()
        if isinstance(one, dict)
    ]
    refusal = _kind(status, str(problem.get("type", "")))
    raise refusal(detail, title=str(problem.get("title") or "") or None, status=status, errors=errors)


def _strange(response: httpx.Response, address: str) -> str:
    status = response.status_code
    if response.has_redirect_location:
        return f"{address} sends on to {_service_at(response)} ({status}): give that address"
    return f"{address} answers {status} with {_kind_of(response)}, not with a problem document: is the address right?"


def _service_at(response: httpx.Response) -> str:
    """The address that a response sends on to, without the operation and its query."""
    to = str(response.url.join(response.headers["Location"])).partition("?")[0]
    return to.partition("/v1/")[0].partition("/health/")[0]


def _problem(response: httpx.Response) -> dict[str, Any]:
    """The problem document of a response; empty where it has none."""
    if _kind_of(response) != "application/problem+json":
        return {}
    try:
        return json_object(response.content)
    except NotAService:
        return {}


def _kind(status: int, kind: str) -> type[ClimbwrightError]:
    if kind.endswith("#not-answerable"):
        return NotAnswerable
    kinds: dict[int, type[Refused]] = {400: Unreadable, 413: TooLarge, 422: NotUnderstood}
    if status in kinds:
        return kinds[status]
    return Failed if status >= 500 and status != 501 else NotOffered
