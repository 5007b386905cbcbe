"""Malformed requests made of the documented examples: one leaf of one example spoilt in one way, drawn with a seed."""

import copy
import json
import random
import re

from .asking import EXAMPLES, OPERATIONS

SEED = 2026
WITH_UNIT = re.compile(r"-?[0-9.]+ (?!%)\S.*")
NAMES = ("name", "configuration", "group")
WORDS = ("kind", "cycle", "pitch_class", "airframe_class", "metar")

# What a quantity cannot be; every one is refused at its own pointer.
QUANTITY = {
    "unit of another kind": lambda text: f"{text.split()[0]} furlong",
    "unit of a fluid's viscosity": lambda text: f"{text.split()[0]} Pa s",
    "a bare number": lambda text: float(text.split()[0]),
    "a bare number as text": lambda text: text.split()[0],
    "no number": lambda text: text.split(" ", 1)[1],
    "two numbers": lambda text: f"{text} {text}",
    "a decimal comma": lambda text: "1," + text,
    "an expression": lambda text: "2*" + text,
    "a hexadecimal number": lambda text: "0x10 " + text.split(" ", 1)[1],
    "digits of another script": lambda text: "\u0661\u0662 " + text.split(" ", 1)[1],
    "not a number": lambda text: "nan " + text.split(" ", 1)[1],
    "infinity": lambda text: "inf " + text.split(" ", 1)[1],
    "beyond a double": lambda text: "1e400 " + text.split(" ", 1)[1],
    "beyond any aeroplane": lambda text: "1e30 " + text.split(" ", 1)[1],
    "far below anything": lambda text: "-1e30 " + text.split(" ", 1)[1],
    "empty": lambda _: "",
    "blank": lambda _: "   ",
    "null": lambda _: None,
    "true": lambda _: True,
    "a list": lambda text: [text],
    "an empty list": lambda _: [],
    "an empty object": lambda _: {},
    "an object without a unit": lambda text: {"value": float(text.split()[0])},
    "an object without a value": lambda text: {"unit": text.split(" ", 1)[1]},
    "a value as text": lambda text: {"value": text.split()[0], "unit": text.split(" ", 1)[1]},
    "a value that is a truth": lambda text: {"value": True, "unit": text.split(" ", 1)[1]},
    "a value that is null": lambda text: {"value": None, "unit": text.split(" ", 1)[1]},
    "a value beyond a double": lambda text: {"value": 10**400, "unit": text.split(" ", 1)[1]},
    "a unit that is a number": lambda text: {"value": float(text.split()[0]), "unit": 7},
    "a unit that is a list": lambda text: {"value": float(text.split()[0]), "unit": [text.split(" ", 1)[1]]},
    "an unknown member": lambda text: {"value": float(text.split()[0]), "unit": text.split(" ", 1)[1], "unti": "kg"},
    "a negative spread": lambda text: {
        "value": float(text.split()[0]),
        "unit": text.split(" ", 1)[1],
        "plus_minus": -1,
    },
    "a spread as text": lambda text: {
        "value": float(text.split()[0]),
        "unit": text.split(" ", 1)[1],
        "plus_minus": "1 kg",
    },
    "an empty list of values": lambda text: {"value": [], "unit": text.split(" ", 1)[1]},
    "a list of lists": lambda text: {"value": [[1.0]], "unit": text.split(" ", 1)[1]},
    "a list with null": lambda text: {"value": [None], "unit": text.split(" ", 1)[1]},
    "a hundred thousand digits": lambda text: "9" * 100_000 + " " + text.split(" ", 1)[1],
    "a long unit": lambda text: text.split()[0] + " " + "k" * 100_000,
    "a lone surrogate": lambda text: text + "\ud800",
    "a control character": lambda text: text.replace(" ", "\x00"),
}
NAME = {
    "a formula": lambda name: "=" + name,
    "a formula with a plus": lambda name: "+" + name,
    "a formula with a minus": lambda name: "-" + name,
    "a formula with an at": lambda name: "@" + name,
    "a control character": lambda name: name + "\x07",
    "a line end": lambda name: name + "\r\nX: y",
    "a lone surrogate": lambda name: name + "\udfff",
    "a leading blank": lambda name: " " + name,
    "too long": lambda name: name * 61,
    "empty": lambda _: "",
    "a number": lambda _: 7,
    "null": lambda _: None,
    "a list": lambda name: [name],
}
WORD = {
    "unknown": lambda _: "no such word",
    "empty": lambda _: "",
    "null": lambda _: None,
    "a number": lambda _: 3,
    "a truth": lambda _: False,
    "a list": lambda word: [word],
    "an object": lambda word: {word: word},
}
LIST = {
    "null": lambda _: None,
    "a text": lambda _: "none",
    "an object": lambda items: {str(i): item for i, item in enumerate(items)},
    "members that are null": lambda items: [None, *items],
    "members that are texts": lambda items: [*items, "x"],
    "far too many": lambda items: [copy.deepcopy(item) | {"name": f"n{i}"} for i in range(3000) for item in items[:1]],
}
# Lists of plain values, where another member is one too many
COLUMN = {how: spoilt for how, spoilt in LIST.items() if how != "far too many"} | {"empty": lambda _: []}
OBJECT = {
    "an unknown field": lambda fields: fields | {"wieght": "1 kg"},
    "a field that looks inherited": lambda fields: fields | {"__class__": "1 kg"},
    "a field named nothing": lambda fields: fields | {"": 1},
    "a list": lambda fields: [fields],
    "a text": lambda fields: json.dumps(fields),
    "null": lambda _: None,
    "empty": lambda _: {},
}


def nodes(node, at=()):
    """Every node of a request by path, its root left out."""
    inner = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for key, value in inner:
        yield (*at, key), value
        yield from nodes(value, (*at, key))


def table_for(path, value):
    if isinstance(value, dict):
        # station names are free; an amount of what is no station is refused by name elsewhere
        return {} if path[-1] in ("stations", "loading") else OBJECT
    if isinstance(value, list):
        plain = not any(isinstance(item, dict) for item in value)
        return {} if path[-1] == "load" else COLUMN if plain else LIST
    if path[-1] in NAMES:
        return NAME
    if path[-1] in WORDS:
        return WORD
    return QUANTITY if isinstance(value, str) and WITH_UNIT.fullmatch(value) else {}


def pointer(path):
    """What a refusal must name; a list of values is named by the column that holds it."""
    return "".join(f"/{part}" for part in (path[:-1] if path[-1] == "value" else path))


def put(body, path, value):
    *way, last = path
    for part in way:
        body = body[part]
    body[last] = value


def drawn(count):
    """Distinct mutations: id, operation, request, and the pointer that a refusal must name or lie under."""
    source, seen, found = random.Random(SEED), set(), []
    examples = {name: json.loads((EXAMPLES / f"{name}.json").read_text("utf-8")) for name in OPERATIONS}
    # operations in turn, so that the small ones are not drowned by the comparison's many leaves
    while len(found) < count:
        operation = OPERATIONS[len(found) % len(OPERATIONS)]
        path, value = source.choice(list(nodes(examples[operation])))
        table = table_for(path, value)
        if not table:
            continue
        how = source.choice(list(table))
        key = (operation, path, how)
        if key in seen:
            continue
        seen.add(key)
        body = copy.deepcopy(examples[operation])
        put(body, path, table[how](value))
        found.append((f"{len(found)}-{operation}-{path[-1]}-{how}", operation, body, pointer(path)))
    return found
