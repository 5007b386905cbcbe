"""Picking one number out of an answer, for a spreadsheet cell."""

from collections.abc import Iterator
from typing import Any

import numpy as np

from climbwright.refusal import pointer_part
from climbwright.web.problems import Problem, not_answerable, not_understood
from climbwright.web.words.reasons import REASONS

__all__ = ["pick"]

_NOT_SEARCHED = ("assumed", "cautions", "provenance")


def pick(body: dict[str, Any], wanted: str) -> str:
    """One value as text: a field's name where it is unique, else a JSON Pointer.

    Parameters
    ----------
    body : dict
        The whole answer.
    wanted : str
        ``density_altitude``, or ``/results/0/measures/weight``; a field of the answer itself comes before deeper ones.
        ``cautions`` and ``assumed`` are picked as their texts.

    Returns
    -------
    str
        Six significant digits, point as decimal mark; a list one value a line, ``none`` where it is empty.

    Raises
    ------
    Problem
        No such field, several of that name, or a value that does not exist.
    """
    if wanted.startswith("/"):
        found = _at(body, wanted)
    elif wanted in body:
        found = body[wanted]  # the answer's own field, whatever stands deeper
    else:
        places = list(_places(body, wanted, ""))
        if len(places) > 1:
            listed = ", ".join(pointer for pointer, _ in places[:12])
            raise not_understood({"pick": [f"'{wanted[:60]}' stands in {len(places)} places: send one of {listed}"]})
        if not places:
            raise _nothing(body, wanted)
        found = places[0][1]
    return _text(found)


def _nothing(body: dict[str, Any], wanted: str) -> Problem:
    known = ", ".join(name for name in body if name != "provenance")
    return not_understood({"pick": [f"there is no '{wanted[:60]}' in this answer, which has {known}"]})


def _places(node: Any, wanted: str, at: str) -> Iterator[tuple[str, Any]]:
    if isinstance(node, dict):
        for name, inner in node.items():
            if at == "" and name in _NOT_SEARCHED:
                continue
            here = f"{at}/{pointer_part(name)}"
            if name == wanted:
                yield here, inner
            else:
                yield from _places(inner, wanted, here)
    elif isinstance(node, list):
        for i, inner in enumerate(node):
            yield from _places(inner, wanted, f"{at}/{i}")


def _at(body: dict[str, Any], wanted: str) -> Any:
    node: Any = body
    for part in wanted[1:].split("/"):
        name = part.replace("~1", "/").replace("~0", "~")
        if isinstance(node, dict) and name in node:
            node = node[name]
        elif isinstance(node, list) and name.isascii() and name.isdigit() and int(name[:9]) < len(node):
            node = node[int(name[:9])]
        else:
            raise not_understood({"pick": [f"'{wanted[:120]}' is not in this answer"]})
    return node


def _text(found: Any) -> str:
    if isinstance(found, dict) and "value" in found and "unit" in found:
        if found["value"] is None:
            raise not_answerable("", f"this value does not exist: {found['reason']}")
        found = found["value"]
    if found is None:  # the one answer that is neither yes nor no
        raise not_answerable("", f"this value does not exist: {REASONS['no-limits']}")
    if isinstance(found, bool):
        return "true" if found else "false"
    if isinstance(found, int | float):
        return np.format_float_positional(found, precision=6, fractional=False, trim="-")
    if isinstance(found, str):
        return found
    if isinstance(found, list):
        told = [item["text"] if isinstance(item, dict) and "text" in item else item for item in found]
        if all(isinstance(item, int | float | str) for item in told):
            return "\n".join(_text(item) for item in told) or "none"
    inside = (
        ", ".join(found) if isinstance(found, dict) else f"{len(found)} members" if isinstance(found, list) else "null"
    )
    raise not_understood({"pick": [f"this is not one value ({inside[:200]}): send a JSON Pointer to one"]})
