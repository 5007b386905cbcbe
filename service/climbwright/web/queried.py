"""An aeroplane in a query, for who can only GET: packed into one parameter, told field by field, or both.

Fields are called as the columns of a fleet are. One told by itself stands in place of what the packed aircraft says.
"""

import base64
import re
import zlib
from collections.abc import Mapping
from typing import Any

from climbwright.refusal import pointer_part
from climbwright.web.paths import (
    FLOWN,
    PARTS,
    PathError,
    Place,
    fields_within,
    is_field,
    name_of,
    named,
    performance_request,
    placed,
)
from climbwright.web.paths import place_of as place_in
from climbwright.web.problems import Problem, not_understood, unreadable
from climbwright.web.reading import decode_body
from climbwright.web.schemas.aircraft import CorrelationField
from climbwright.web.schemas.fields import Truth

__all__ = ["LONGEST_PACKED", "parameters", "pointer_in_query", "request_of", "unpacked"]

LONGEST_PACKED = 1_500  # characters: a spreadsheet's address holds 2,048 with everything else
_MOST_UNPACKED = 65_536  # bytes
_BASE64URL = re.compile(r"[A-Za-z0-9_-]+={0,2}")
_WHERE = "/aircraft"
_PARTS = {**PARTS, **FLOWN}
_HOW = "pack it as base64url of zlib-compressed JSON"


def unpacked(text: str) -> dict[str, Any]:
    """The aircraft that a parameter holds: base64url (RFC 4648) of zlib-compressed (RFC 1950) JSON.

    Raises
    ------
    Problem
        400 it cannot be unpacked, 413 too long or too large, 422 not an object.
    """
    if len(text) > LONGEST_PACKED:
        raise _too_large(f"the packed aircraft has {len(text)} characters, the limit is {LONGEST_PACKED}")
    if not _BASE64URL.fullmatch(text):
        raise unreadable(f"the packed aircraft holds what base64url has not: {_HOW}, with - and _ for + and /", _WHERE)
    try:
        packed = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
        stream = zlib.decompressobj()
        body = stream.decompress(packed, _MOST_UNPACKED + 1)
    except (ValueError, zlib.error):
        raise unreadable(f"the packed aircraft is damaged, or packed in another way: {_HOW}", _WHERE) from None
    if len(body) > _MOST_UNPACKED:
        raise _too_large(f"the packed aircraft unpacks to more than {_MOST_UNPACKED} bytes")
    if not stream.eof or stream.unused_data:
        raise unreadable(f"the packed aircraft ends early or late: was it copied whole? {_HOW}", _WHERE)
    return decode_body(body, "the packed aircraft", _WHERE)


def _too_large(message: str) -> Problem:
    detail = f"{message}: leave out what has a starting value, or POST it"
    return Problem(413, "Content Too Large", detail, errors=[{"pointer": _WHERE, "detail": detail}])


def request_of(query: Mapping[str, str]) -> dict[str, Any]:
    """The request of `performance` that a query makes: one loading in one condition.

    Raises
    ------
    Problem
        As `unpacked`; 422 a parameter that is no field's.
    """
    packed = {"aircraft": unpacked(query["aircraft"])} if "aircraft" in query else {}
    wanted = query["measures"].split(",") if "measures" in query else None
    told = {name: text for name, text in query.items() if name not in ("aircraft", "measures")}
    problems: dict[str, list[str]] = {}
    values: list[tuple[Place, Any]] = []
    for name, text in told.items():
        try:
            place = _place_of(name)
        except PathError as error:
            problems[name] = [str(error)]
        else:
            values.append((place, _value(place, text)))
    if problems:
        raise not_understood(problems)
    try:
        return performance_request(placed(named(packed), values, "the packed aircraft"), wanted)
    except PathError as error:
        raise not_understood({"aircraft": [str(error)]}) from None


def _place_of(name: str) -> Place:
    """The place of a parameter's value."""
    if not is_field(name):
        ways = ", ".join(f"{part}.FIELD" for part in _PARTS)
        raise PathError(f"there is no such field: send aircraft (packed), measures, or a field: {ways}")
    return place_in(name, _PARTS)


def _value(place: Place, text: str) -> Any:
    """What JSON would have in place of a text, where that is no text; the field itself says what is wrong."""
    if isinstance(place.field, Truth):
        return {"true": True, "false": False}.get(text, text)
    return text


def pointer_in_query(pointer: str, request: Mapping[str, Any]) -> str:
    """Where in a query something stands that has a pointer into the request that it makes."""
    if not pointer or pointer.startswith(("/measures", "/pick")):
        return pointer
    return "/" + pointer_part(name_of(pointer, request))


def parameters() -> dict[str, Any]:
    """Fields by the names of their parameters; NAME in one stands for that of a station, a stall or another member."""
    every = (found for part, schema in _PARTS.items() for found in fields_within(schema, part))
    return {name: field for name, field in every if not isinstance(field, CorrelationField)}
