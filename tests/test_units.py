"""Every unit against an independent table of units, every unit there and back, temperatures, and spreads."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.arrays import Measured
from climbwright.units import DISPLAY, KINDS, parse, parse_text, to_unit, unit_named

registry = pint.UnitRegistry()

# The same units in pint's words. A unit without a row here fails; money is no unit of nature.
PINT = {
    "kg": "kg",
    "lb": "pound",
    "g": "gram",
    "m": "m",
    "ft": "foot",
    "in": "inch",
    "cm": "cm",
    "mm": "mm",
    "km": "km",
    "NM": "nautical_mile",
    "mi": "mile",
    "m2": "m**2",
    "ft2": "foot**2",
    "in2": "inch**2",
    "cm2": "cm**2",
    "m3": "m**3",
    "L": "liter",
    "US gal": "gallon",
    "imp gal": "imperial_gallon",
    "US qt": "quart",
    "mL": "milliliter",
    "m/s": "m/s",
    "kt": "knot",
    "mph": "mile/hour",
    "km/h": "km/hour",
    "ft/s": "foot/second",
    "ft/min": "foot/minute",
    "K": "kelvin",
    "C": "degC",
    "F": "degF",
    "R": "degR",
    "Pa": "Pa",
    "hPa": "hPa",
    "inHg": "inHg",
    "kPa": "kPa",
    "psi": "psi",
    "lbf/ft2": "pound_force/foot**2",
    "kg/m3": "kg/m**3",
    "lb/ft3": "pound/foot**3",
    "slug/ft3": "slug/foot**3",
    "kg/L": "kg/liter",
    "lb/US gal": "pound/gallon",
    "lb/imp gal": "pound/imperial_gallon",
    "W": "W",
    "kW": "kW",
    "hp": "horsepower",
    "PS": "metric_horsepower",
    "W/kg": "W/kg",
    "kW/kg": "kW/kg",
    "hp/kg": "horsepower/kg",
    "hp/lb": "horsepower/pound",
    "PS/kg": "metric_horsepower/kg",
    "rad/s": "radian/second",
    "rpm": "revolution/minute",
    "rev/s": "revolution/second",
    "N": "N",
    "kN": "kN",
    "lbf": "pound_force",
    "kgf": "kilogram_force",
    "kg m": "kg*m",
    "kg cm": "kg*cm",
    "kg mm": "kg*mm",
    "lb in": "pound*inch",
    "lb ft": "pound*foot",
    "rad": "radian",
    "deg": "degree",
    "s": "second",
    "min": "minute",
    "h": "hour",
    "m3/s": "m**3/s",
    "L/h": "liter/hour",
    "US gal/h": "gallon/hour",
    "imp gal/h": "imperial_gallon/hour",
    "kg/J": "kg/J",
    "kg/kWh": "kg/(kW*hour)",
    "g/kWh": "gram/(kW*hour)",
    "lb/(hp h)": "pound/(horsepower*hour)",
    "Pa s": "Pa*s",
    "1": "dimensionless",
    "%": "percent",
}
DIFFERENCE = {"K": "kelvin", "F": "delta_degF"}
UNITS = [(kind, name) for kind in KINDS if kind != "money" for name in KINDS[kind].units]
SPELLINGS = [
    (kind, word, unit.name) for kind in KINDS for unit in KINDS[kind].units.values() for word in unit.spellings
]


@pytest.mark.parametrize(("kind", "name"), UNITS)
@pytest.mark.parametrize("value", [1.0, 12.25, -40.0])
def test_agrees_with_pint(kind, name, value):
    word = DIFFERENCE[name] if kind == "temperature difference" else PINT[name]
    expected = registry.Quantity(value, word).to_base_units().magnitude
    # The conventional inch of mercury is rounded to a thousandth of a pascal; all others are exact by definition.
    assert_allclose(parse(f"{value} {name}", kind), expected, rtol=1e-6 if name == "inHg" else 1e-12)


@pytest.mark.parametrize(("kind", "name"), UNITS)
def test_measures_what_its_kind_measures(kind, name):
    words = DIFFERENCE if kind == "temperature difference" else PINT
    first = next(iter(KINDS[kind].units))
    assert registry.Unit(words[name]).dimensionality == registry.Unit(words[first]).dimensionality


@pytest.mark.parametrize(("kind", "name"), UNITS)
@given(value=st.just(0.0) | st.floats(1e-9, 1e9) | st.floats(-1e9, -1e-9))
def test_there_and_back(kind, name, value):
    unit = unit_named(kind, name)
    back = to_unit(parse({"value": value, "unit": name}, kind), unit)
    assert_allclose(back, value, rtol=1e-14, atol=1e-12 if unit.zero else 0.0)


@pytest.mark.parametrize(("kind", "word", "name"), SPELLINGS)
def test_every_spelling_is_read_in_any_case_and_with_any_blanks(kind, word, name):
    for spelt in (word, word.upper(), word.lower(), f"  {word} ", word.replace(" ", "")):
        assert unit_named(kind, spelt).name == name


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("483kg", "mass", 483.0),
        ("+483 KG", "mass", 483.0),
        (" -3.5e2  m ", "length", -350.0),
        (".5 m", "length", 0.5),
        ("5. m", "length", 5.0),
        ("13.4 m²", "area", 13.4),
        ("13.4 m^2", "area", 13.4),
        ("160 kg·m", "moment", 160.0),
        ("12%", "ratio", 0.12),
        ("0.74", "ratio", 0.74),
        ("4800 eur", "money", 4800.0),
    ],
)
def test_reads_text_as_people_write_it(text, kind, expected):
    assert_allclose(parse(text, kind), expected, rtol=1e-15)


def test_money_is_never_converted():
    assert {(unit.factor, unit.zero) for unit in KINDS["money"].units.values()} == {(1.0, 0.0)}
    assert parse_text("4800 usd", "money")[1].name == "USD"


@pytest.mark.parametrize(
    ("text", "kind", "kelvin"),
    [
        ("10 C", "temperature", 283.15),
        ("10 C", "temperature difference", 10.0),
        ("20 F", "temperature difference", 100.0 / 9.0),
        ("59 F", "temperature", 288.15),
        ("-40 F", "temperature", 233.15),
        ("-40 C", "temperature", 233.15),
        ("518.67 R", "temperature", 288.15),
        ("9 R", "temperature difference", 5.0),
        ("0 K", "temperature", 0.0),
    ],
)
def test_the_kind_decides_between_a_temperature_and_a_difference(text, kind, kelvin):
    assert_allclose(parse(text, kind), kelvin, rtol=1e-14)


@pytest.mark.parametrize(
    ("raw", "kind", "value", "spread"),
    [
        ({"value": 483, "unit": "kg", "plus_minus": 5}, "mass", 483.0, 5.0),
        ({"value": 100, "unit": "lb", "plus_minus": 2}, "mass", 45.359237, 0.90718474),
        ({"value": 59, "unit": "F", "plus_minus": 9}, "temperature", 288.15, 5.0),
        ({"value": 15, "unit": "C", "plus_minus": 2}, "temperature", 288.15, 2.0),
        ({"value": 12, "unit": "%", "plus_minus": 3}, "ratio", 0.12, 0.03),
        ({"value": 0.12, "plus_minus": 0.03}, "ratio", 0.12, 0.03),
    ],
)
def test_carries_a_spread_and_takes_a_temperatures_for_a_difference(raw, kind, value, spread):
    got = parse(raw, kind)
    assert isinstance(got, Measured)
    assert_allclose([got.value, got.plus_minus], [value, spread], rtol=1e-14)


def test_a_spread_of_zero_is_no_spread():
    assert parse({"value": 483, "unit": "kg", "plus_minus": 0}, "mass") == 483.0


def test_reads_a_list_of_values():
    assert_allclose(parse({"value": [32, 59, 212], "unit": "F"}, "temperature"), [273.15, 288.15, 373.15], rtol=1e-14)
    assert parse({"value": [], "unit": "kg"}, "mass") == []


@pytest.mark.parametrize("value", [3, 0.74])
def test_a_ratio_may_be_a_bare_number(value):
    assert parse(value, "ratio") == value


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_of_a_kind_is_one(kind):
    assert parse(KINDS[kind].example, kind) > 0.0


@pytest.mark.parametrize("system", DISPLAY)
def test_a_system_has_a_unit_for_every_kind(system):
    assert DISPLAY[system].keys() == KINDS.keys() - {"money"}
    for kind, name in DISPLAY[system].items():
        assert name in KINDS[kind].units


def test_si_shows_what_the_package_computes_with():
    for kind, name in DISPLAY["si"].items():
        unit = KINDS[kind].units[name]
        assert (unit.factor, unit.zero) == (1.0, 0.0)
