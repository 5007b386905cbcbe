"""How large a table may be: rows, and bytes once everything in it is unpacked."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from climbwright.web.problems import Problem

__all__ = ["Limits", "limits_of", "refuse_too_large", "refuse_too_many"]


@dataclass(frozen=True, slots=True)
class Limits:
    """Most rows, and most bytes, of one table."""

    rows: int
    size: int


def limits_of(settings: Mapping[str, Any]) -> Limits:
    """The limits that the settings give."""
    return Limits(settings["MAXIMUM_ROWS"], settings["MAXIMUM_FLEET_BODY"])


def refuse_too_many(rows: int, most: int) -> None:
    """Refuse more rows than the service takes at once.

    Raises
    ------
    Problem
        413.
    """
    if rows > most:
        raise Problem(413, "Content Too Large", f"the table has {rows} rows, the limit is {most}: send it in parts")


def refuse_too_large(size: int, most: int, what: str = "unpacked, the table has") -> None:
    """Refuse what would grow beyond the body that may be sent.

    Raises
    ------
    Problem
        413.
    """
    if size > most:
        word = f"{what} {size} bytes, the limit is {most}: send it in parts, with shorter texts or fewer columns"
        raise Problem(413, "Content Too Large", word)
