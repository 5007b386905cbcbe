"""JSON documents for the targets: the examples of the operations, spoilt node by node, and what a refusal is."""

import copy
import json
from pathlib import Path

from climbwright.web.problems import pointers

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
_LONGEST_REFUSAL = 200_000  # [characters]

_VALUES = (
    *(None, True, False, 0, -0.0, 1, -1, 1e308, -1e308, 5e-324, 10**400, 0.5, 2**63, 1e-300, "", " ", "0", "nan kg"),
    *("1e400 ft", "1e308 kg", "-1e308 m", "5e-324 hp", "1e-300 kg", "0 kg", "-1 kg", "1 kg", "1e9 ft", "40 kt", "1 m2"),
    *("12 %", "1e5 C", "-273.15 C", "1 EUR", "\u202e1 kg", "１ kg", "1 \ud800", "=A1", "a\x00b", "a/b~c", "x" * 300),
    *(
        [],
        {},
        [[]],
        [{}],
        {"": 0},
        {"value": 1},
        {"value": 1, "unit": "kg"},
        {"value": 1, "unit": "m", "plus_minus": 9},
    ),
    *({"value": [1, 2], "unit": "ft"}, {"value": [1, "2"], "unit": "ft"}, {"value": None, "unit": None}, [None], ["a"]),
)


def refused(problem):
    """A refusal of the client's fault, of bounded length, that names what is wrong."""
    assert 400 <= problem.status < 500, problem.status
    document = problem.document()
    assert document["detail"]
    assert document["errors"]
    assert all(one["detail"] and (not one["pointer"] or one["pointer"][0] == "/") for one in document["errors"])
    assert len(json.dumps(document)) < _LONGEST_REFUSAL, "a refusal without bound"


def told(message, longest=3000):
    """A message of bounded length."""
    assert 0 < len(message) < longest, "a message of no length, or as long as what was sent"


def invalid(error):
    """What a schema refuses: messages by field, each a sentence."""
    found = pointers(error.messages)
    assert found
    assert all(isinstance(one["detail"], str) and one["detail"] for one in found)


def spoilt(document, source):
    """A copy of a document with one of its nodes changed, gone, moved or there twice."""
    document = copy.deepcopy(document)
    places = list(_places(document))
    if not places:
        return document
    holder, key = source.choice(places)
    way = source.randrange(6)
    if way == 0:
        del holder[key]
    elif way == 1:
        other, there = source.choice(places)
        holder[key] = copy.deepcopy(_at(other, there, 0))
    elif way == 2 and isinstance(holder, list):
        holder.extend([copy.deepcopy(holder[key])] * source.choice((1, 2, 60)))
    elif way == 3 and isinstance(holder, dict):
        holder[source.choice(("x", "name", "kind", "value", "__class__", "a/b", str(key) + "s"))] = holder.pop(key)
    elif way == 4 and isinstance(holder[key], str):
        holder[key] = _spoilt_text(holder[key], source)
    else:
        holder[key] = copy.deepcopy(source.choice(_VALUES))
    return document


def _at(holder, key, otherwise):
    try:
        return holder[key]
    except (KeyError, IndexError):
        return otherwise


def _places(node):
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in list(inner):
        yield node, key
        yield from _places(value)


def _spoilt_text(text, source):
    number, blank, unit = text.partition(" ")
    scale = 10.0 ** source.choice((-320, -30, -6, -2, -1, 0.1, 1, 2, 3, 6, 30, 300))
    try:
        return f"{float(number) * scale * source.choice((1, 1, -1)):.6g}{blank}{unit}"
    except (ValueError, OverflowError):
        return text[: source.randrange(len(text) + 1)]
