"""Units: the only file that knows one.

Inside the package every number is SI. At the edge a quantity is a text with its unit (``"483 kg"``)
or an object (``{"value": 483, "unit": "kg", "plus_minus": 5}``), and the kind of the quantity decides which
spellings are understood. The table is closed: nothing is evaluated, no prefix is guessed.

Factors follow from the exact definitions (1959 yard and pound, 1929 nautical mile, 1901 standard gravity,
231 cubic inches to the US gallon, 4.546 09 litres to the imperial one). The inch of mercury is the
conventional one at 0 °C (NIST SP 811).
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from climbwright.arrays import Measured

__all__ = [
    "DISPLAY",
    "KINDS",
    "Kind",
    "QuantityError",
    "display_units",
    "parse",
    "parse_text",
    "speaks_of",
    "spellings",
    "to_unit",
    "unit_named",
]

FOOT = 0.3048
INCH = 0.0254
NAUTICAL_MILE = 1852.0
STATUTE_MILE = 1609.344
POUND = 0.45359237
STANDARD_GRAVITY = 9.80665
POUND_FORCE = POUND * STANDARD_GRAVITY
HORSEPOWER = 550.0 * FOOT * POUND_FORCE
METRIC_HORSEPOWER = 75.0 * STANDARD_GRAVITY
LITRE = 1e-3
US_GALLON = 231.0 * INCH**3
IMPERIAL_GALLON = 4.54609 * LITRE
INCH_OF_MERCURY = 3386.389
ZERO_CELSIUS = 273.15
ZERO_FAHRENHEIT = 273.15 - 32.0 / 1.8


class QuantityError(ValueError):
    """A quantity that cannot be read; the message says what is wrong and what to send and is safe to show."""


@dataclass(frozen=True)
class Unit:
    """One unit of a kind: SI value = (value in this unit) * factor + zero."""

    name: str
    factor: float
    zero: float
    spellings: tuple[str, ...]


@dataclass(frozen=True)
class Kind:
    """A kind of quantity and the units it may be written in, the first spelling of each being its name."""

    name: str
    example: str
    units: Mapping[str, Unit]
    by_spelling: Mapping[str, Unit]
    ambiguous: Mapping[str, str]


_POWERS = str.maketrans({"²": "2", "³": "3", "·": " "})
# Blanks that part no two words: before or after a sign, or at an end
_IDLE_BLANKS = re.compile(r"(?<![a-z0-9])\s+|\s+(?![a-z0-9])")


def _fold(spelling: str) -> str:
    """Ignore case, the ways to write a power or a product, and blanks but those between two words."""
    text = spelling.casefold().translate(_POWERS).replace("^2", "2").replace("^3", "3")
    return _IDLE_BLANKS.sub("", " ".join(text.split()))


def _spelt(words: Iterable[str]) -> Iterator[str]:
    """Units folded; those of several words with or without each blank between them."""
    for word in words:
        spelt = [""]
        for character in _fold(word):
            spelt = [before + one for before in spelt for one in ((" ", "") if character == " " else (character,))]
        yield from spelt


def _kind(
    name: str,
    example: str,
    *rows: tuple[float, str] | tuple[float, str, float],
    ambiguous: Mapping[str, str] | None = None,
) -> Kind:
    units: dict[str, Unit] = {}
    by_spelling: dict[str, Unit] = {}
    for row in rows:
        words = tuple(word.strip() for word in row[1].split("|"))
        unit = Unit(words[0], row[0], row[2] if len(row) == 3 else 0.0, words)
        units[unit.name] = unit
        for word in _spelt(words):
            if by_spelling.setdefault(word, unit) is not unit:
                raise AssertionError(f"{name}: {word!r} is spelt by two units")
    unclear = {spelt: told for word, told in (ambiguous or {}).items() for spelt in _spelt([word])}
    clash = unclear.keys() & by_spelling.keys()
    if clash:
        raise AssertionError(f"{name}: {clash} is both a unit and ambiguous")
    return Kind(name, example, units, by_spelling, unclear)


_GALLON = "a gallon is 'US gal' or 'imp gal'"
_OUNCE = "an ounce may be a mass or a volume: send grams or pounds"
_HORSEPOWER = "a horsepower is 'hp' (550 ft lbf/s, 745.7 W) or 'PS' (75 kgf m/s, 735.5 W)"
_GALLONS = {"gal": _GALLON, "gallon": _GALLON, "gallons": _GALLON}
_HORSEPOWERS = dict.fromkeys(["bhp", "shp", "cv", "ch", "pk", "horsepower", "metric hp", "whp"], _HORSEPOWER)
_LENGTHS = (
    (1.0, "m | metre | metres | meter | meters"),
    (FOOT, "ft | foot | feet"),
    (INCH, "in | inch | inches"),
    (0.01, "cm"),
    (0.001, "mm"),
    (1000.0, "km"),
    (NAUTICAL_MILE, "NM | nmi"),
    (STATUTE_MILE, "mi | sm | statute mile | statute miles"),
)
_SPEEDS = (
    (1.0, "m/s"),
    (NAUTICAL_MILE / 3600.0, "kt | kts | knot | knots | kn"),
    (STATUTE_MILE / 3600.0, "mph"),
    (1.0 / 3.6, "km/h | kph | kmh"),
    (FOOT, "ft/s | fps"),
    (FOOT / 60.0, "ft/min | fpm | feet per minute"),
)

_TABLE = (
    _kind(
        "mass",
        "483 kg",
        (1.0, "kg | kgs | kilogram | kilograms"),
        (POUND, "lb | lbs | pound | pounds"),
        (1e-3, "g | gram | grams"),
        ambiguous={"oz": _OUNCE, "ounce": _OUNCE, "ounces": _OUNCE},
    ),
    _kind("length", "1.62 m", *_LENGTHS),
    _kind("altitude", "6200 ft", *_LENGTHS),
    _kind("runway distance", "350 m", *_LENGTHS),
    _kind("distance", "120 NM", *_LENGTHS),
    _kind(
        "area",
        "13.4 m2",
        (1.0, "m2 | sq m"),
        (FOOT**2, "ft2 | sq ft"),
        (INCH**2, "in2 | sq in"),
        (1e-4, "cm2 | sq cm"),
    ),
    _kind(
        "volume",
        "60 L",
        (1.0, "m3"),
        (LITRE, "L | litre | litres | liter | liters"),
        (US_GALLON, "US gal | USG | US gallon | US gallons"),
        (IMPERIAL_GALLON, "imp gal | imperial gallon | imperial gallons"),
        (US_GALLON / 4.0, "US qt | US quart | US quarts"),
        (1e-6, "mL | cm3 | cc"),
        ambiguous={**_GALLONS, "oz": _OUNCE, "qt": "a quart is 'US qt' (0.946 L)"},
    ),
    _kind("speed", "82 kt", *_SPEEDS),
    _kind("vertical speed", "410 ft/min", *_SPEEDS),
    _kind(
        "temperature",
        "29 C",
        (1.0, "K | kelvin"),
        (1.0, "C | °C | degC | deg C | celsius", ZERO_CELSIUS),
        (1.0 / 1.8, "F | °F | degF | deg F | fahrenheit", ZERO_FAHRENHEIT),
        (1.0 / 1.8, "R | °R | degR | rankine"),
    ),
    _kind(
        "temperature difference",
        "20 K",
        (1.0, "K | C | °C | degC | deg C | delta C | kelvin | celsius"),
        (1.0 / 1.8, "F | °F | degF | deg F | delta F | fahrenheit | R | °R | degR | rankine"),
    ),
    _kind(
        "pressure",
        "1017 hPa",
        (1.0, "Pa"),
        (100.0, "hPa | mbar | mb | millibar"),
        (INCH_OF_MERCURY, "inHg | in Hg | inches of mercury"),
        (1000.0, "kPa"),
        (POUND_FORCE / INCH**2, "psi | lbf/in2"),
        (POUND_FORCE / FOOT**2, "lbf/ft2 | psf"),
    ),
    _kind(
        "density",
        "0.96 kg/m3",
        (1.0, "kg/m3"),
        (POUND / FOOT**3, "lb/ft3"),
        (POUND_FORCE / FOOT**4, "slug/ft3"),
    ),
    _kind(
        "fuel density",
        "0.72 kg/L",
        (1.0, "kg/m3"),
        (1000.0, "kg/L"),
        (POUND / US_GALLON, "lb/US gal | lb/USG"),
        (POUND / IMPERIAL_GALLON, "lb/imp gal"),
        ambiguous={"lb/gal": _GALLON},
    ),
    _kind(
        "power",
        "118 hp",
        (1.0, "W | watt | watts"),
        (1000.0, "kW"),
        (HORSEPOWER, "hp"),
        (METRIC_HORSEPOWER, "PS"),
        ambiguous=_HORSEPOWERS,
    ),
    _kind(
        "power to weight",
        "0.15 hp/kg",
        (1.0, "W/kg"),
        (1000.0, "kW/kg"),
        (HORSEPOWER, "hp/kg"),
        (HORSEPOWER / POUND, "hp/lb"),
        (METRIC_HORSEPOWER, "PS/kg"),
    ),
    _kind(
        "rotational speed",
        "3300 rpm",
        (1.0, "rad/s"),
        (2.0 * math.pi / 60.0, "rpm | rev/min | 1/min"),
        (2.0 * math.pi, "rev/s | rps"),
    ),
    _kind(
        "force",
        "1200 N",
        (1.0, "N | newton | newtons"),
        (1000.0, "kN"),
        (POUND_FORCE, "lbf"),
        (STANDARD_GRAVITY, "kgf"),
    ),
    _kind(
        "moment",
        "160 kg m",
        (1.0, "kg m | kgm"),
        (0.01, "kg cm"),
        (0.001, "kg mm"),
        (POUND * INCH, "lb in"),
        (POUND * FOOT, "lb ft"),
    ),
    _kind(
        "angle",
        "30 deg",
        (1.0, "rad"),
        (math.pi / 180.0, "deg | ° | degree | degrees"),
    ),
    _kind(
        "time",
        "8 min",
        (1.0, "s | sec | second | seconds"),
        (60.0, "min | minute | minutes"),
        (3600.0, "h | hr | hour | hours"),
    ),
    _kind(
        "duration",
        "2 s",
        (1.0, "s | sec | second | seconds"),
        (60.0, "min | minute | minutes"),
        (3600.0, "h | hr | hour | hours"),
    ),
    _kind(
        "fuel flow",
        "18 L/h",
        (1.0, "m3/s"),
        (LITRE / 3600.0, "L/h | litres per hour"),
        (US_GALLON / 3600.0, "US gal/h | USG/h"),
        (IMPERIAL_GALLON / 3600.0, "imp gal/h"),
        ambiguous={"gal/h": _GALLON, "gph": _GALLON},
    ),
    _kind(
        "specific fuel consumption",
        "0.30 kg/kWh",
        (1.0, "kg/J"),
        (1.0 / 3.6e6, "kg/kWh | kg/(kW h)"),
        (1e-3 / 3.6e6, "g/kWh | g/(kW h)"),
        (POUND / (HORSEPOWER * 3600.0), "lb/(hp h) | lb/hp/h | lb/hph"),
    ),
    _kind("dynamic viscosity", "1.79e-5 Pa s", (1.0, "Pa s")),
    _kind("ratio", "0.74", (1.0, "1"), (0.01, "% | percent")),
    # ISO 4217 codes in use (list 1, from memory); a currency is its own unit and is never converted.
    _kind(
        "money",
        "4800 EUR",
        *(
            (1.0, code)
            for code in (
                "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD "
                "CAD CDF CHF CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP "
                "GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD "
                "KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN "
                "NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP "
                "SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD UYU UZS VED VES "
                "VND VUV WST XAF XCD XOF XPF YER ZAR ZMW ZWG"
            ).split()
        ),
    ),
)

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _TABLE}

# Which unit an answer uses, by system and kind; money keeps the unit it came with.
_AVIATION = {
    "mass": "kg",
    "length": "m",
    "altitude": "ft",
    "runway distance": "m",
    "distance": "NM",
    "area": "m2",
    "volume": "L",
    "speed": "kt",
    "vertical speed": "ft/min",
    "temperature": "C",
    "temperature difference": "K",
    "pressure": "hPa",
    "density": "kg/m3",
    "fuel density": "kg/L",
    "power": "hp",
    "power to weight": "hp/kg",
    "rotational speed": "rpm",
    "force": "N",
    "moment": "kg m",
    "angle": "deg",
    "time": "min",
    "duration": "s",
    "fuel flow": "L/h",
    "specific fuel consumption": "kg/kWh",
    "dynamic viscosity": "Pa s",
    "ratio": "1",
}
_METRIC = {
    "altitude": "m",
    "distance": "km",
    "speed": "km/h",
    "vertical speed": "m/s",
    "power": "kW",
    "power to weight": "kW/kg",
}
_US = {
    "mass": "lb",
    "length": "ft",
    "runway distance": "ft",
    "area": "ft2",
    "volume": "US gal",
    "temperature": "F",
    "temperature difference": "F",
    "pressure": "inHg",
    "density": "slug/ft3",
    "fuel density": "lb/US gal",
    "power to weight": "hp/lb",
    "force": "lbf",
    "moment": "lb in",
    "fuel flow": "US gal/h",
    "specific fuel consumption": "lb/(hp h)",
}
_SI = {name: next(u.name for u in kind.units.values() if u.factor == 1.0) for name, kind in KINDS.items()}
del _SI["money"]
DISPLAY: Mapping[str, Mapping[str, str]] = {
    "aviation": _AVIATION,
    "metric": {**_AVIATION, **_METRIC},
    "us": {**_AVIATION, **_US},
    "si": {**_SI, "temperature": "K"},
}

_DISPLAYED = {
    system: {kind: KINDS[kind].units[name] for kind, name in names.items()} for system, names in DISPLAY.items()
}

_TEXT = re.compile(r"\s*([+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,5})?)\s*(.*?)\s*", re.DOTALL)
_LONGEST_TEXT = 80


def spellings(kind: str) -> str:
    """The units accepted for a kind, for a message: the names, and an example."""
    known = KINDS[kind]
    names = ["an ISO 4217 code (EUR, USD, ...)"] if kind == "money" else list(known.units)
    return f'{", ".join(names)}; for example "{known.example}"'


def unit_named(kind: str, spelling: str) -> Unit:
    """The unit of a kind with this spelling.

    Raises
    ------
    QuantityError
        The spelling is unknown, ambiguous or of another kind.
    """
    known = KINDS[kind]
    unit = known.units.get(spelling)
    if unit is not None:
        return unit
    folded = _fold(spelling)
    unit = known.by_spelling.get(folded)
    if unit is not None:
        return unit
    shown = spelling if len(spelling) <= 24 else spelling[:24] + "..."
    if folded in known.ambiguous:
        raise QuantityError(f"'{shown}' is ambiguous: {known.ambiguous[folded]}")
    others = [name for name, other in KINDS.items() if folded in other.by_spelling]
    hint = f" (it is a unit of {others[0]})" if others else ""
    raise QuantityError(f"'{shown}' is not a unit of {kind}{hint}: use {spellings(kind)}")


@lru_cache(maxsize=8192)
def _speaks_of(text: str, kind: str) -> bool:
    match = _TEXT.fullmatch(text) if len(text) <= _LONGEST_TEXT else None
    return match is not None and _is_spelling(match[2], kind)


def _is_spelling(spelling: str, kind: str) -> bool:
    known = KINDS[kind]
    return spelling in known.units or _fold(spelling) in known.by_spelling or _fold(spelling) in known.ambiguous


def speaks_of(raw: object, kind: str) -> bool:
    """Whether a quantity as it came in has a unit of a kind, where one of several kinds may be sent."""
    if isinstance(raw, str):
        return _speaks_of(raw, kind)
    unit = raw.get("unit") if isinstance(raw, dict) else None
    return isinstance(unit, str) and _is_spelling(unit, kind)


def _finite(number: float) -> float:
    if not math.isfinite(number):
        raise QuantityError("the number is not finite: send an ordinary number")
    return number


def parse_text(text: str, kind: str) -> tuple[float, Unit]:
    """Read ``"483 kg"`` as a number and its unit, without converting it.

    Raises
    ------
    QuantityError
        No number, no unit, or a unit of the wrong kind.
    """
    if len(text) > _LONGEST_TEXT:
        raise QuantityError(f"the text is longer than {_LONGEST_TEXT} characters: use {spellings(kind)}")
    match = _TEXT.fullmatch(text)
    if match is None:
        raise QuantityError(f"'{text}' does not begin with a number: use {spellings(kind)}")
    number, spelling = float(match[1]), match[2]
    if spelling[:1] == "," and spelling[1:2].isdigit():
        raise QuantityError(f"'{text}' has a comma in its number: use a point as the decimal mark")
    if not spelling:
        if kind != "ratio":
            raise QuantityError(f"'{text}' has no unit: use {spellings(kind)}")
        spelling = "1"
    return _finite(number), unit_named(kind, spelling)


def _number(raw: object, name: str, kind: str) -> float:
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        raise QuantityError(f"'{name}' must be a number: use {spellings(kind)}")
    try:
        return _finite(float(raw))
    except OverflowError:
        raise QuantityError("the number is too large: send an ordinary number") from None


@lru_cache(maxsize=8192)
def _read(text: str, kind: str) -> float:
    """A text in SI; the same aeroplane is sent again and again, and each of its texts is read once."""
    number, unit = parse_text(text, kind)
    return _finite(number * unit.factor + unit.zero)


def parse(raw: object, kind: str) -> float | Measured | list[float]:
    """Read a quantity as it came in, text or object, into SI.

    Parameters
    ----------
    raw : object
        ``"483 kg"``, ``{"value": 483, "unit": "kg", "plus_minus": 5}``, or a bare number for a ratio. The object's
        value may be a list of numbers.
    kind : str
        One of `KINDS`; it decides whether "10 C" is a temperature or a difference.

    Returns
    -------
    float, Measured or list of float
        SI. `Measured` when the object carries a spread above zero, which must be one number.

    Raises
    ------
    QuantityError
        Not a quantity of this kind; the message lists the accepted spellings.
    """
    if isinstance(raw, str):
        return _read(raw, kind)
    if isinstance(raw, dict):
        return _parse_object(raw, kind)
    if kind == "ratio" and isinstance(raw, int | float) and not isinstance(raw, bool):
        return _number(raw, "value", kind)
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        raise QuantityError(f"a bare number has no unit: use {spellings(kind)}")
    raise QuantityError(f"not a quantity: use {spellings(kind)}, or an object with value and unit")


def _parse_object(raw: Mapping[str, object], kind: str) -> float | Measured | list[float]:
    unknown = raw.keys() - {"value", "unit", "plus_minus"}
    if unknown:
        shown = ", ".join(sorted(str(key)[:24] for key in unknown)[:5])
        more = f" and {len(unknown) - 5} more" if len(unknown) > 5 else ""
        raise QuantityError(f"a quantity has value, unit and plus_minus, not {shown}{more}")
    if "value" not in raw:
        raise QuantityError("the quantity has no value")
    spelling = raw.get("unit", "1" if kind == "ratio" else None)
    if spelling is None:
        raise QuantityError(f"the quantity has no unit: use {spellings(kind)}")
    if not isinstance(spelling, str):
        raise QuantityError(f"the unit must be a text: use {spellings(kind)}")
    unit = unit_named(kind, spelling)
    value = raw["value"]
    if isinstance(value, list):
        if "plus_minus" in raw:
            raise QuantityError("a list of values takes no plus_minus")
        return [_finite(_number(item, "value", kind) * unit.factor + unit.zero) for item in value]
    number = _finite(_number(value, "value", kind) * unit.factor + unit.zero)
    if "plus_minus" not in raw:
        return number
    spread = _number(raw["plus_minus"], "plus_minus", kind)
    if spread < 0:
        raise QuantityError("plus_minus is one standard deviation and cannot be negative")
    spread = _finite(spread * unit.factor)  # which may be too small to be there
    return Measured(number, spread) if spread > 0 else number


def to_unit(value: Any, unit: Unit) -> Any:
    """An SI value in a unit; a float or an array."""
    return (value - unit.zero) / unit.factor


def display_units(wanted: str) -> dict[str, Unit]:
    """Read ``units=us,speed:mph`` into the unit of each kind for an answer.

    Raises
    ------
    QuantityError
        An unknown system or kind, a unit of another kind, or a kind named twice.
    """
    parts = [part.strip() for part in wanted.split(",")]
    system = parts.pop(0) if parts and ":" not in parts[0] else "aviation"
    if system not in DISPLAY:
        raise QuantityError(f"'{system[:24]}' is not a system of units: use {', '.join(DISPLAY)}, then kind:unit")
    chosen = dict(_DISPLAYED[system])
    seen: set[str] = set()
    for part in parts:
        name, colon, spelling = part.partition(":")
        kind = name.strip().replace("_", " ")
        if not colon or kind not in chosen:
            kinds = ", ".join(k.replace(" ", "_") for k in chosen)
            raise QuantityError(f"'{part[:40]}' is not kind:unit; the kinds are {kinds}")
        if kind in seen:
            raise QuantityError(f"{kind} is given twice")
        seen.add(kind)
        chosen[kind] = unit_named(kind, spelling)
    return chosen
