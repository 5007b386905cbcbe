"""Numbers as the trade rounds them, for sentences and tables."""

from collections.abc import Mapping

from climbwright.arrays import Measured
from climbwright.units import Unit, to_unit

__all__ = ["decimals", "measured_pair", "number_text", "shown", "spread_text"]

_DECIMALS = {
    "kg": 1, "lb": 1, "m": 3, "ft": 0, "kt": 1, "km/h": 1, "mph": 1, "m/s": 2, "ft/min": 0, "hp": 1, "kW": 1,
    "W": 0, "C": 1, "F": 1, "K": 1, "hPa": 1, "inHg": 2, "Pa": 0, "kg/m3": 4, "slug/ft3": 6, "hp/kg": 4, "kW/kg": 4,
    "hp/lb": 4, "W/kg": 1, "deg": 2, "rad": 4, "1": 3, "%": 1, "m2": 3, "ft2": 2, "L": 1, "US gal": 1,
    "kg m": 1, "lb in": 0, "rpm": 0,
    "min": 1, "h": 2, "s": 0, "L/h": 1, "US gal/h": 1, "NM": 0, "N": 0, "lbf": 1, "in": 2, "cm": 1, "mm": 0, "km": 3,
}  # fmt: skip


_DECIMALS_OF_KIND = {
    ("runway distance", "m"): 0,
    ("runway distance", "ft"): 0,
    ("distance", "km"): 0,
    ("distance", "NM"): 0,
    ("length", "ft"): 3,
    ("altitude", "m"): 0,
    ("altitude", "km"): 2,
    ("altitude", "in"): 0,
}


def decimals(kind: str, unit: Unit) -> int | None:
    """How many decimals a number of a kind has in a unit; None where the trade has no number of them."""
    return _DECIMALS_OF_KIND.get((kind, unit.name), _DECIMALS.get(unit.name))


def number_text(value: float, kind: str, unit: Unit) -> str:
    """A number in a unit, rounded as the trade rounds it, without the unit's name."""
    number, places = float(to_unit(value, unit)), decimals(kind, unit)
    return f"{number:.6g}" if places is None else f"{number:.{places}f}"


def spread_text(spread: float, kind: str, unit: Unit) -> str:
    """A spread, already in the unit, with the digits of its number, or one digit where those would show nothing."""
    places = decimals(kind, unit)
    text = f"{spread:.2g}" if places is None else f"{spread:.{places}f}"
    return text if float(text) else f"{spread:.1g}"


def shown(value: float, kind: str, units: Mapping[str, Unit]) -> str:
    """A number with its unit, for a sentence."""
    unit = units[kind]
    number = number_text(value, kind, unit)
    return number if unit.name == "1" else f"{number} {unit.name}"


def measured_pair(value: float | Measured) -> tuple[float, float | None]:
    """A number and its spread."""
    return (value.value, value.plus_minus) if isinstance(value, Measured) else (value, None)
