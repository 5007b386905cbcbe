"""Following a shown calculation as a person with a calculator does: strip the unit words, put the numbers in."""

import math
import re

# Unit words of steps, all of them products of SI base and derived units
UNITS = (
    "m/s2", "J/(kg K)", "K/m", "m2/s2", "m3/s3", "s2/m2", "N s2/m2", "N m2/s2", "kg/s", "1/m", "kg/m", "s/kg", "m3/s",
    "kg/J", "kg/m3", "rad/s", "W/kg", "kg m", "Pa s", "m/s", "kg", "m", "m2", "m3", "K", "Pa", "W", "N", "rad", "s",
)  # fmt: skip
FUNCTIONS = {
    "sqrt": math.sqrt, "cbrt": math.cbrt, "sin": math.sin, "cos": math.cos, "tan": math.tan, "asin": math.asin,
    "atan": math.atan, "ln": math.log, "exp": math.exp, "min": min, "max": max, "abs": abs, "pi": math.pi,
}  # fmt: skip
_UNIT = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
_WITH_UNIT = re.compile(rf"(?<=[0-9.]) (?:{_UNIT})(?![A-Za-z0-9])")
_NUMBER = re.compile(r"(?<![A-Za-z_0-9.])[0-9]+(?:\.[0-9]+)?(?:e[-+]?[0-9]+)?")
_ALLOWED = re.compile(r"sqrt|cbrt|asin|atan|sin|cos|tan|ln|exp|min|max|abs|pi|[+\-*/^(), ]")


def plain(text):
    """An expression without its unit words; nothing else than a calculator knows may be left."""
    bare = _WITH_UNIT.sub("", text)
    left = _ALLOWED.sub("", _NUMBER.sub("", bare))
    assert not left, (text, left)
    return bare


def calculate(text):
    """What the numbers put in give, and how much their own rounding may be worth."""
    bare = plain(text)
    value = _evaluate(bare)
    doubt = 0.0
    for match in _NUMBER.finditer(bare):
        if match[0].isdigit() and len(match[0]) < 2:
            continue  # a power, a factor
        half = 0.5 * 10.0 ** (math.floor(math.log10(float(match[0]))) - 6) if float(match[0]) else 0.0
        nudged = f"({match[0]} + {half!r})"
        doubt += abs(_evaluate(bare[: match.start()] + nudged + bare[match.end() :]) - value)
    return value, doubt


def _evaluate(bare):
    return float(eval(bare.replace("^", "**"), {"__builtins__": {}}, FUNCTIONS))


def number(text):
    """The number of a result and its unit."""
    value, _, unit = text.partition(" ")
    assert unit == "" or unit in UNITS, text
    return float(value), unit


def agrees(step):
    """Whether the numbers put in give the result to the digits shown."""
    shown, _ = number(step["result"])
    value, doubt = calculate(step["with_numbers"])
    last = 0.0 if shown == 0.0 else 10.0 ** (math.floor(math.log10(abs(shown))) - 4)
    least = 1e-12 if shown == 0.0 else 0.0
    assert abs(value - shown) <= 0.5000001 * min(last, 1.0) + doubt + least, (step, value, doubt)
    return True
