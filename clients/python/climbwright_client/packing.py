"""A whole aircraft packed into one parameter of a GET, for a spreadsheet's cell or a link."""

import base64
import json
import zlib
from collections.abc import Mapping
from typing import Any

from climbwright_client.errors import NotSent
from climbwright_client.quantity import plain
from climbwright_client.shapes import Aircraft

__all__ = ["LONGEST", "pack"]

LONGEST = 1500  # characters that the service takes


def pack(aircraft: Mapping[str, Any]) -> str:
    """An aircraft as the value of `aircraft=`: its JSON compressed, in letters that an address may hold.

    Raises
    ------
    NotSent
        It is no aircraft that can be sent, or too long.

    Examples
    --------
    >>> len(pack({"name": "an invented high wing", "wing": {"area": "13.4 m2", "span": "9.9 m"}})) < LONGEST
    True
    """
    if not isinstance(aircraft, Mapping):
        raise NotSent(f"an aircraft is an object of its fields, not a {type(aircraft).__name__}")
    unknown = [name for name in aircraft if name not in Aircraft.__annotations__]
    if unknown:
        raise NotSent(f"an aircraft has no field {unknown[0]!r}: its fields are {', '.join(Aircraft.__annotations__)}")
    text = json.dumps(plain(aircraft), ensure_ascii=False, separators=(",", ":"))
    packed = base64.urlsafe_b64encode(zlib.compress(text.encode("utf-8", "surrogatepass"), 9)).decode().rstrip("=")
    if len(packed) > LONGEST:
        raise NotSent(f"packed it takes {len(packed)} characters, at most {LONGEST} fit: send it in a POST")
    return packed
