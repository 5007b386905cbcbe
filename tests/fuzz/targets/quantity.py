"""Quantities: text and object into SI, and the units of an answer."""

import json
import math
from fractions import Fraction

from climbwright.arrays import Measured
from climbwright.units import DISPLAY, KINDS, QuantityError, display_units, parse, parse_text, speaks_of, to_unit

from ..documents import told
from ..target import Target

_KINDS = tuple(KINDS)


def check(case):
    """The first byte says what is read; a text must be read as exact arithmetic reads it."""
    if not case:
        return
    which, rest = case[0] % (len(_KINDS) + 1), case[1:].decode("utf-8", "replace")
    try:
        if which == len(_KINDS):
            _displayed(display_units(rest))
        elif rest[:1] == "{":
            _object(rest, _KINDS[which])
        else:
            _text(rest, _KINDS[which])
    except QuantityError as error:
        told(str(error))


def _text(text, kind):
    number, unit = parse_text(text, kind)
    assert unit in KINDS[kind].units.values()
    assert speaks_of(text, kind) or kind == "ratio"
    numeral = text.split(maxsplit=1)[0]
    while numeral and not _is_numeral(numeral):
        numeral = numeral[:-1]
    exact = Fraction(numeral) if abs(number) > 1e-300 and len(numeral) < 60 else Fraction(number)
    assert math.isclose(number, float(exact), rel_tol=1e-15, abs_tol=0.0), (number, numeral)
    value = parse(text, kind)
    assert isinstance(value, float)
    assert math.isfinite(value)
    expected = exact * Fraction(unit.factor) + Fraction(unit.zero)
    allowed = 1e-15 * (abs(exact) * Fraction(unit.factor) + abs(Fraction(unit.zero))) + Fraction(5e-324)
    assert abs(Fraction(value) - expected) <= allowed
    assert parse({"value": number, "unit": unit.name}, kind) == value
    assert parse(f"{number!r} {unit.name}", kind) == value
    shown = to_unit(value, unit)
    back = parse({"value": shown, "unit": unit.name}, kind) if math.isfinite(shown) else value
    assert math.isclose(back, value, rel_tol=1e-12, abs_tol=1e-12 * abs(unit.zero) + 1e-320)


def _is_numeral(text):
    if not text.isascii() or "_" in text or text[-1:].isalpha():
        return False
    try:
        return math.isfinite(float(text))
    except ValueError:
        return False


def _object(text, kind):
    try:
        raw = json.loads(text)
    except (ValueError, RecursionError):
        return
    speaks_of(raw, kind)
    value = parse(raw, kind)
    if isinstance(value, list):
        assert all(isinstance(one, float) and math.isfinite(one) for one in value)
        assert len(value) == len(raw["value"])
    elif isinstance(value, Measured):
        assert math.isfinite(value.value)
        assert 0.0 < value.plus_minus < math.inf
    else:
        assert isinstance(value, float)
        assert math.isfinite(value)


def _displayed(units):
    assert units.keys() == DISPLAY["aviation"].keys()
    for kind, unit in units.items():
        assert unit in KINDS[kind].units.values()


def mutate(case, source):
    """A number and a unit of the kind, written in one of the ways."""
    which = source.randrange(len(_KINDS))
    kind = KINDS[_KINDS[which]]
    number = source.choice(
        (f"{source.uniform(-1e3, 1e3):.6g}", f"{source.random()}e{source.randint(-330, 320)}", "007.50", ".5", "3.")
    )
    unit = source.choice(list(kind.by_spelling)) if source.random() < 0.9 else source.choice(TARGET.words).decode()
    if source.random() < 0.5:
        blank = source.choice(("", " ", "   ", "\t", "\u00a0"))
        text = f"{number}{blank}{source.choice((unit, unit.upper(), ' '.join(unit)))}"
    else:
        spread = source.choice(("", f', "plus_minus": {source.uniform(-1, 9):.3g}'))
        text = f'{{"value": {number}, "unit": {json.dumps(unit)}{spread}}}'
    return bytes([which]) + text.encode()


def _seeds():
    for place, (name, kind) in enumerate(KINDS.items()):
        yield bytes([place]) + kind.example.encode()
        for unit in list(kind.units.values())[:8]:
            yield bytes([place]) + f"12.5 {unit.name}".encode()
            yield bytes([place]) + json.dumps({"value": -3.25, "unit": unit.name, "plus_minus": 0.5}).encode()
        yield bytes([place]) + json.dumps({"value": [1, 2.5], "unit": next(iter(kind.units))}).encode()
        assert name
    for text in ("us", "si,speed:mph", "aviation, fuel_flow: US gal/h ,mass:lb"):
        yield bytes([len(KINDS)]) + text.encode()


def _words():
    for kind in KINDS.values():
        for unit in list(kind.units.values())[:8]:
            yield from (word.encode() for word in unit.spellings)
        yield from (word.encode() for word in kind.ambiguous)
    yield from (b'"value"', b'"unit"', b'"plus_minus"', b"speed:", b",mass:", b"si")


TARGET = Target("quantity", check, list(_seeds()), sorted(set(_words())), mutate)
