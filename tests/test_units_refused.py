"""Quantities and choices of units that are refused, and what the refusal says."""

import pytest

from climbwright.units import KINDS, QuantityError, display_units, parse, spellings, unit_named

MASSES = r'use kg, lb, g; for example "483 kg"'


@pytest.mark.parametrize(
    ("raw", "kind", "message"),
    [
        (483, "mass", rf"a bare number has no unit: {MASSES}"),
        (48.3, "mass", rf"a bare number has no unit: {MASSES}"),
        ("483", "mass", rf"'483' has no unit: {MASSES}"),
        ({"value": 483}, "mass", rf"the quantity has no unit: {MASSES}"),
        ({"unit": "kg"}, "mass", "has no value"),
        ({"value": 483, "unit": 1}, "mass", rf"the unit must be a text: {MASSES}"),
        ({"value": 483, "unit": None}, "mass", rf"no unit: {MASSES}"),
        ("kg", "mass", rf"does not begin with a number: {MASSES}"),
        ("", "mass", rf"does not begin with a number: {MASSES}"),
        ("483 firkin", "mass", rf"'firkin' is not a unit of mass: {MASSES}"),
        ("483 kt", "mass", rf"'kt' is not a unit of mass \(it is a unit of speed\): {MASSES}"),
        ("10 kg", "length", r"'kg' is not a unit of length \(it is a unit of mass\): use m, ft, in"),
        ("20 C", "pressure", r"not a unit of pressure \(it is a unit of temperature\)"),
        ("10 EURO", "money", r"an ISO 4217 code \(EUR, USD, ...\)"),
        ("10 gal", "volume", "'gal' is ambiguous: a gallon is 'US gal' or 'imp gal'"),
        ("10 gallons", "volume", "ambiguous: a gallon is 'US gal' or 'imp gal'"),
        ("10 gph", "fuel flow", "ambiguous: a gallon is 'US gal' or 'imp gal'"),
        ("10 gal/h", "fuel flow", "ambiguous: a gallon is"),
        ("6 lb/gal", "fuel density", "ambiguous: a gallon is"),
        ("8 oz", "mass", "'oz' is ambiguous: an ounce may be a mass or a volume"),
        ("8 oz", "volume", "'oz' is ambiguous: an ounce may be a mass or a volume"),
        ("6 qt", "volume", "ambiguous: a quart is 'US qt'"),
        ("80 bhp", "power", "'bhp' is ambiguous: a horsepower is 'hp' .* or 'PS'"),
        ("80 cv", "power", "'cv' is ambiguous: a horsepower is 'hp'"),
        ("80 CV", "power", "ambiguous: a horsepower is 'hp'"),
        ("80 ch", "power", "ambiguous: a horsepower is 'hp'"),
        ("nan kg", "mass", "does not begin with a number"),
        ("inf kg", "mass", "does not begin with a number"),
        ("1e400 kg", "mass", "not finite"),
        ("1e308 kW", "power", "not finite"),
        ("1e999999 kg", "mass", "not finite"),
        (float("nan"), "ratio", "not finite"),
        ({"value": float("nan"), "unit": "kg"}, "mass", "not finite"),
        ({"value": float("inf"), "unit": "kg"}, "mass", "not finite"),
        ({"value": 1e308, "unit": "kW"}, "power", "not finite"),
        ({"value": 10**400, "unit": "kg"}, "mass", "too large"),
        ({"value": [1.0, float("inf")], "unit": "kg"}, "mass", "not finite"),
        (True, "mass", "not a quantity"),
        (True, "ratio", "not a quantity"),
        ({"value": True, "unit": "kg"}, "mass", "'value' must be a number"),
        ({"value": "483", "unit": "kg"}, "mass", "'value' must be a number"),
        ({"value": None, "unit": "kg"}, "mass", "'value' must be a number"),
        ({"value": [1, None], "unit": "kg"}, "mass", "'value' must be a number"),
        ({"value": [[1]], "unit": "kg"}, "mass", "'value' must be a number"),
        (None, "mass", rf"not a quantity: {MASSES}, or an object"),
        ([483], "mass", "not a quantity"),
        ("４８３ kg", "mass", "does not begin with a number"),
        ("٤٨٣ kg", "mass", "does not begin with a number"),
        ("1_000 kg", "mass", "not a unit of mass"),
        ("1,5 kg", "mass", "a point as the decimal mark"),
        ("0x10 kg", "mass", "not a unit of mass"),
        ("1 2 kg", "mass", "not a unit of mass"),
        ("--1 kg", "mass", "does not begin with a number"),
        ("1" + " " * 78 + "kg", "mass", rf"longer than 80 characters: {MASSES}"),
        ({"value": 483, "unit": "kg", "plus_minus": -5}, "mass", "one standard deviation and cannot be negative"),
        ({"value": 483, "unit": "kg", "plus_minus": float("nan")}, "mass", "not finite"),
        ({"value": 483, "unit": "kg", "plus_minus": True}, "mass", "'plus_minus' must be a number"),
        ({"value": 483, "unit": "kg", "plus_minus": "5 kg"}, "mass", "'plus_minus' must be a number"),
        ({"value": [1, 2], "unit": "kg", "plus_minus": 1}, "mass", "a list of values takes no plus_minus"),
        ({"value": 483, "unit": "kg", "sigma": 5}, "mass", "value, unit and plus_minus, not sigma"),
    ],
)
def test_refuses(raw, kind, message):
    with pytest.raises(QuantityError, match=message):
        parse(raw, kind)


@pytest.mark.parametrize("kind", KINDS)
def test_the_message_lists_what_is_accepted(kind):
    listed = spellings(kind)
    assert KINDS[kind].example in listed
    if kind != "money":
        assert all(name in listed for name in KINDS[kind].units)
    with pytest.raises(QuantityError, match="for example"):
        parse("1 furlong-per-fortnight", kind)


def test_a_long_unit_is_cut_in_the_message():
    with pytest.raises(QuantityError, match=r"'x{24}\.\.\.' is not a unit") as refused:
        unit_named("mass", "x" * 5000)
    assert len(str(refused.value)) < 200


def test_an_address_line_cannot_smuggle_a_second_line_into_a_number():
    with pytest.raises(QuantityError, match="not a unit of mass"):
        parse("1 kg\n2 lb", "mass")


@pytest.mark.parametrize(
    ("wanted", "kind", "name"),
    [
        ("aviation", "altitude", "ft"),
        ("metric", "speed", "km/h"),
        ("us", "mass", "lb"),
        ("us", "altitude", "ft"),
        ("si", "temperature", "K"),
        ("us,speed:mph", "speed", "mph"),
        ("us,speed:mph", "mass", "lb"),
        ("speed:mph", "speed", "mph"),
        ("speed:mph", "mass", "kg"),
        (" us , speed : mph ", "speed", "mph"),
        ("si,vertical_speed:fpm,speed:kt", "vertical speed", "ft/min"),
        ("temperature:F,temperature_difference:F", "temperature difference", "F"),
    ],
)
def test_chooses_the_units_of_an_answer(wanted, kind, name):
    assert display_units(wanted)[kind].name == name


@pytest.mark.parametrize(
    ("wanted", "message"),
    [
        ("imperial", "'imperial' is not a system of units: use aviation, metric, us, si"),
        ("", "is not a system of units"),
        ("US", "is not a system of units"),
        ("us,colour:red", "'colour:red' is not kind:unit; the kinds are mass, length"),
        ("us,speed", "'speed' is not kind:unit"),
        ("us,metric", "'metric' is not kind:unit"),
        ("us,speed:mph,speed:kt", "speed is given twice"),
        ("vertical_speed:kt,vertical speed:fpm", "vertical speed is given twice"),
        ("us,speed:kg", r"'kg' is not a unit of speed \(it is a unit of mass\): use m/s, kt"),
        ("us,volume:gal", "ambiguous: a gallon is"),
        ("us,money:EUR", "'money:EUR' is not kind:unit"),
        ("us,speed:", "'' is not a unit of speed"),
        ("us,", "'' is not kind:unit"),
    ],
)
def test_refuses_units_of_an_answer(wanted, message):
    with pytest.raises(QuantityError, match=message):
        display_units(wanted)
