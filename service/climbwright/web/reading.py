"""Reading a request strictly: JSON without surprises, a query without silence."""

import json
import re
from collections.abc import Collection
from typing import Any
from urllib.parse import parse_qsl

from flask import Request

from climbwright.web.problems import Problem, not_understood, unreadable

__all__ = ["DEEPEST", "body_bytes", "decode", "decode_body", "json_bytes_of", "read_query"]

_BAD_PERCENT = re.compile(r"%(?![0-9A-Fa-f]{2})")
_MOST_PARAMETERS = 200  # more than any operation has
DEEPEST = 40  # levels: more than any request has, fewer than any recursion ends at


class _DuplicateError(ValueError):
    pass


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    built = dict(pairs)
    if len(built) != len(pairs):
        seen: set[str] = set()
        twice = next(key for key, _ in pairs if key in seen or seen.add(key))  # type: ignore[func-returns-value]
        raise _DuplicateError(f"the field '{twice[:40]}' stands twice in one object: send it once")
    return built


def _constant(word: str) -> Any:
    raise _DuplicateError(f"{word} is not a number in JSON: send an ordinary number, or leave the field out")


_DECODER = json.JSONDecoder(object_pairs_hook=_object, parse_constant=_constant)
decode = _DECODER.decode


def body_bytes(request: Request, most: int) -> bytes:
    """The body, never more than the limit. A body without a length is read up to it and refused beyond.

    Raises
    ------
    Problem
        400 it ended early, 411 no length, 413 too large, 415 compressed.
    """
    coding = request.environ.get("HTTP_TRANSFER_ENCODING", "").lower()
    chunked = "chunked" in coding
    if request.environ.get("HTTP_CONTENT_ENCODING", "identity").lower() != "identity" or coding not in ("", "chunked"):
        word = "a compressed body is not read: send it as it is, without Content-Encoding"
        raise Problem(415, "Unsupported Media Type", word, headers={"Accept-Encoding": "identity"})
    if request.content_length is None and not chunked:
        raise Problem(411, "Length Required", "send the body with a Content-Length header")
    if (request.content_length or 0) <= most:
        try:
            body: bytes = request.environ["wsgi.input"].read(most + 1 if chunked else request.content_length or 0)
        except MemoryError:  # ours is short, which is no fault of the body's
            raise
        except Exception:  # each server has its own for chunks that are none and for a client that went away
            raise unreadable("the body ended early or its chunks cannot be read") from None
        if not chunked and len(body) < (request.content_length or 0):
            raise unreadable("the body is shorter than its Content-Length says")
        if len(body) <= most:
            return body
    raise Problem(
        413,
        "Content Too Large",
        f"the body is larger than {most} bytes: send less",
    )


def json_bytes_of(request: Request, most: int) -> bytes:
    """The body of a request that says it is JSON.

    Parameters
    ----------
    request : flask.Request
        A POST.
    most : int
        Greatest body. [bytes]

    Raises
    ------
    Problem
        As `body_bytes`; 415 another type.
    """
    if request.mimetype != "application/json":
        raise Problem(
            415, "Unsupported Media Type", "send the body as application/json", headers={"Accept": "application/json"}
        )
    return body_bytes(request, most)


def decode_body(body: bytes, what: str = "the body", where: str = "") -> dict[str, Any]:
    """The JSON object that a body holds.

    Parameters
    ----------
    body : bytes
        UTF-8.
    what, where : str
        What it is called in a refusal, and its JSON Pointer.

    Raises
    ------
    Problem
        400 bytes that do not parse, 422 not an object.
    """
    try:
        text = body.decode("utf-8")
    except UnicodeDecodeError:
        raise unreadable(f"{what} is not UTF-8: send JSON in UTF-8", where) from None
    if not text.strip():
        raise unreadable(f"{what} is empty: send a JSON object", where)
    try:
        value = decode(text)
    except _DuplicateError as error:
        raise unreadable(str(error), where) from None
    except json.JSONDecodeError as error:
        raise unreadable(
            f"{what} is not JSON: {error.msg} at line {error.lineno}, column {error.colno}", where
        ) from None
    except (ValueError, RecursionError):
        word = "a number or the nesting is too large"
        raise unreadable(f"{what} is not JSON that can be read: {word}", where) from None
    if not isinstance(value, dict):
        raise not_understood({where[1:] or "_schema": [f"{what} must be a JSON object"]})
    if _too_deep(value):
        raise unreadable(f"{what} has more than {DEEPEST} levels of lists and objects: no request has so many", where)
    return value


def _too_deep(value: dict[str, Any]) -> bool:
    """Whether lists and objects stand in one another more levels deep than any request has."""
    level: list[Any] = [value]
    for _ in range(DEEPEST):
        within = (node.values() if isinstance(node, dict) else node for node in level)
        level = [inner for members in within for inner in members if isinstance(inner, (dict, list))]
        if not level:
            return False
    return True


def read_query(request: Request, repeated: Collection[str]) -> dict[str, Any]:
    """The parameters of a request's query.

    Parameters
    ----------
    request : flask.Request
        Any method.
    repeated : collection of str
        Names that may stand more than once; their values come as a list.

    Returns
    -------
    dict
        Texts by name.

    Raises
    ------
    Problem
        400 a bad percent sign or bytes that are not UTF-8, 422 a parameter given twice.
    """
    if not request.query_string:
        return {}
    try:
        raw = request.query_string.decode("utf-8")
    except UnicodeDecodeError:
        raise unreadable("the query is not UTF-8") from None
    if _BAD_PERCENT.search(raw):
        raise unreadable("a percent sign in the query must be followed by two hexadecimal digits: write %25 for it")
    try:
        pairs = parse_qsl(
            raw, keep_blank_values=True, encoding="utf-8", errors="strict", max_num_fields=_MOST_PARAMETERS
        )
    except UnicodeDecodeError:
        raise unreadable("the query is not UTF-8") from None
    except ValueError:
        raise not_understood({"_schema": [f"the query has more than {_MOST_PARAMETERS} parameters"]}) from None
    values: dict[str, Any] = {}
    for name, value in pairs:
        if name in repeated:
            values.setdefault(name, []).append(value)
        elif name in values:
            raise not_understood({name: ["this parameter is given twice: send it once"]})
        else:
            values[name] = value
    return values
