"""Cases made from seeds: spoilt byte by byte, word by word, or as the target itself knows how."""

import random
import re

# Numbers, texts and bytes that readers stumble over, whatever they read
_TEXTS = (
    *("0", "-0", "1", "-1", "00", "1.", ".5", ".", "-", "+", "1e5", "1e400", "-1e400", "1e-400", "5e-324", "1e308"),
    *("1.7976931348623157e308", "1e99999", "1e999999", "9" * 400, "0." + "0" * 400 + "1", "0x10", "1_000", "1,5"),
    *("nan", "NaN", "inf", "-Infinity", "9223372036854775808", "4294967296", "2147483647", "١٢", "１２", "²", "½"),
    *("\u202e", "\u200b", "\u2066", "\ufeff", "\u00a0", "\u2028", "\ud800", "\udfff", "\U0001f6e9", "İ", "ß", "ﬀ"),
    *("\x00", "\x1b", "\x7f", "\x85", "\r\n", "\n", "\r", "\t", " ", '"', "'", "\\", "\\u0000", "\\ud800", "%00"),
    *("=", "+1", "@", "|", ";", ",", ":", "/", "~", "~0", "~1", "../", "%", "%25", "{}", "[]", "null", "true"),
    *("__class__", "constructor", "${x}", "{0}", "%s", "<b>", "é", "e\u0301", "°", "²³^"),
)
_BYTES = (b"\xff", b"\xc0\xaf", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\x80", b"\xef\xbb\xbf")
HOSTILE = (*(text.encode("utf-8", "surrogatepass") for text in _TEXTS), *_BYTES)
_NUMBER = re.compile(rb"[+-]?[0-9]+(?:\.[0-9]*)?(?:[eE][+-]?[0-9]+)?")
_MOST_STEPS = 4


def mutated(target, case, source):
    """A case made of another one.

    Parameters
    ----------
    target : Target
        Whose words and whose own way to spoil are used.
    case : bytes
        To begin with.
    source : random.Random
        Of all choices.
    """
    built = 0.0 if target.mutate is None else source.choice((0.0, 0.5, 1.0, 1.0))  # share of steps that keep the form
    for _ in range(source.randint(1, _MOST_STEPS)):
        keeps = source.random() < built
        case = target.mutate(case, source) if keeps else source.choice(_WAYS)(case, source, target)
    return case[: target.longest]


def cases(target, count, seed):
    """So many cases, the same for the same seed."""
    source = random.Random(f"{target.name} {seed}")
    for _ in range(count):
        yield mutated(target, source.choice(target.seeds), source)


def _place(case, source):
    return source.randrange(len(case) + 1)


def _span(case, source):
    start = _place(case, source)
    return start, min(len(case), start + source.choice((1, 1, 2, 4, 8, 30, 200)))


def _bit(case, source, _):
    if not case:
        return b"\x00"
    place = source.randrange(len(case))
    return case[:place] + bytes([case[place] ^ 1 << source.randrange(8)]) + case[place + 1 :]


def _byte(case, source, _):
    start, end = _span(case, source)
    return case[:start] + bytes([source.randrange(256)]) + case[end:]


def _word(case, source, target):
    start = _place(case, source)
    end = start if source.random() < 0.5 else _span(case, source)[1]
    word = source.choice(target.words if target.words and source.random() < 0.6 else HOSTILE)
    return case[:start] + word + case[max(start, end) :]


def _number(case, source, _):
    found = list(_NUMBER.finditer(case))
    if not found:
        return case + source.choice(HOSTILE)
    one = source.choice(found)
    return case[: one.start()] + source.choice(HOSTILE) + case[one.end() :]


def _without(case, source, _):
    start, end = _span(case, source)
    return case[:start] + case[end:]


def _twice(case, source, target):
    start, end = _span(case, source)
    times = source.choice((1, 1, 1, 2, 10, 100))
    return (case[:start] + case[start:end] * times + case[start:])[: target.longest]


def _spliced(case, source, target):
    other = source.choice(target.seeds)
    start, end = sorted((_place(other, source), _place(other, source)))
    place = _place(case, source)
    return case[:place] + other[start:end] + case[place:]


def _cut(case, source, _):
    return case[: _place(case, source)]


_WAYS = (_bit, _byte, _word, _word, _number, _number, _without, _twice, _spliced, _cut)
