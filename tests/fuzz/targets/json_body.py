"""JSON bodies: small ones, large ones, and what an operation's schema makes of them."""

import json
import math

from marshmallow import ValidationError

from climbwright.refusal import Refusal
from climbwright.web.fleet.tables import decode_large, json_table
from climbwright.web.operations import OPERATIONS
from climbwright.web.problems import Problem
from climbwright.web.reading import DEEPEST, decode_body

from ..documents import EXAMPLES, invalid, refused, spoilt, told
from ..tables import check_table
from ..target import Target

_NAMES = tuple(OPERATIONS)


def check(case):
    """The first byte says whose body it is; a large one must be read as a small one is."""
    if not case:
        return
    which, body = case[0] % (len(_NAMES) + 1), case[1:]
    small, large = _read(decode_body, body), _read(decode_large, body)
    if small is not None:
        _is_plain(body, small)
    if large is not None:
        assert _same(small, large), "two readings of one body"
    else:
        assert small is None or "\\ud" in body.decode().lower(), "a large body is refused that a small one is not"
    if small is None:
        return
    try:
        if which < len(_NAMES):
            OPERATIONS[_NAMES[which]].request.load(small)
        elif large is not None:
            check_table(json_table(large.get("columns")))
    except Problem as problem:
        refused(problem)
    except ValidationError as error:
        invalid(error)
    except Refusal as refusal:
        told(refusal.message)


def _read(decode, body):
    try:
        value = decode(body)
    except Problem as problem:
        refused(problem)
        return None
    assert isinstance(value, dict)
    return value


def _is_plain(body, value):
    """What is read is what the language's own decoder reads, without its leniences."""

    def once(pairs):
        assert len(dict(pairs)) == len(pairs), "a key twice"
        return dict(pairs)

    def never(word):
        raise AssertionError(f"{word} is not JSON")

    assert _same(json.loads(body.decode("utf-8"), object_pairs_hook=once, parse_constant=never), value)
    assert _levels(value) <= DEEPEST


def _levels(value):
    level, deep = [value], 0
    while level:
        deep += 1
        within = [one for node in level for one in (node.values() if isinstance(node, dict) else node)]
        level = [one for one in within if isinstance(one, dict | list)]
    return deep


def _same(one, other):
    """Equal, and numbers of one kind, but for whole ones beyond 64 bits, which a large body gives as floats."""
    if isinstance(one, dict) and isinstance(other, dict):
        return list(one) == list(other) and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list) and isinstance(other, list):
        return len(one) == len(other) and all(map(_same, one, other))
    if isinstance(one, bool) or isinstance(other, bool) or not isinstance(one, int | float):
        return type(one) is type(other) and one == other
    if not isinstance(other, int | float):
        return False
    if isinstance(one, int) and isinstance(other, float):
        return abs(one) >= 2**63 and other == float(one)
    return type(one) is type(other) and (one == other or (math.isnan(one) and math.isnan(other)))


def mutate(case, source):
    """Spoil one node of the document."""
    try:
        document = json.loads(case[1:])
    except (ValueError, RecursionError):
        return case
    separators = source.choice(((",", ":"), (", ", ": ")))
    try:
        text = json.dumps(spoilt(document, source), ensure_ascii=source.random() < 0.5, separators=separators)
    except RecursionError:
        return case
    return case[:1] + text.encode("utf-8", "surrogatepass")


def _seeds():
    for place, name in enumerate(_NAMES):
        example = json.loads((EXAMPLES / f"{name}.json").read_text("utf-8"))
        text = json.dumps(example, separators=(",", ":")).encode()
        if len(text) < 4000:
            yield bytes([place]) + text
    columns = {
        "registration": ["A", "B", None], "aircraft.engine.power": {"value": [80, 100.5, None], "unit": "hp"},
        "condition.oat [C]": [10, "11", True], "loading.stations.fuel": ["60 L", "10 kg", ""], "note": [1, 2.5, "x"],
    }  # fmt: skip
    yield bytes([len(_NAMES)]) + json.dumps({"shared": {}, "columns": columns}).encode()
    yield b"\x00" + b'{"altitude": {"value": 6000, "unit": "ft"}, "temperature_offset": "-5.5e0 K"}'


def _words():
    for one in OPERATIONS.values():
        yield from (f'"{field.data_key or key}":'.encode() for key, field in one.request.load_fields.items())
    yield from (b"{", b"}", b"[", b"]", b'"', b":", b",", b"null", b"true", b"1e400", b"NaN", b"[" * 60, b'{"a":' * 50)
    yield from (b'"value":', b'"unit":', b'"plus_minus":', b'"columns":', b"\\u0000", b"\\ud83d\\ude00", b"\\ud800")
    yield from (b"18446744073709551616", b"-9223372036854775809", b"9" * 5000, b"0.1e-7", b"-0")


TARGET = Target("json_body", check, list(_seeds()), sorted(set(_words())), mutate, longest=8000)
