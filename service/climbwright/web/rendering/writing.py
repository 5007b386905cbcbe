"""The last step of a JSON answer: bytes."""

from typing import Any

import orjson

__all__ = ["json_bytes"]


def json_bytes(body: dict[str, Any]) -> bytes:
    """An answer as JSON.

    The encoder would write a stray nan as null; none reaches it, because every number is checked where it becomes a
    quantity and raises there.
    """
    return orjson.dumps(body)
