"""The patterns of the document take the texts of quantities that the service takes, and no others."""

import pytest

from climbwright.units import KINDS, QuantityError, parse

from .document import DOCUMENT, validator

SCHEMAS = DOCUMENT["components"]["schemas"]
TEXTS = {schema["x-kind"]: schema for name, schema in SCHEMAS.items() if name.endswith("Text")}
WRITTEN = {
    "apart": "5 {}",
    "together": "5{}",
    "wide": "\u00a0 5 \t{} ",
    "a product sign": "5·{}",
    "a power sign": "5^{}",
    "no number": "{}",
    "two numbers": "5 5 {}",
    "a comma": "5,5 {}",
    "an exponent": "-.5e+2{}",
    "an exponent alone": "e5 {}",
    "other digits": "\u0665 {}",
}
SPELT = {
    "as it is": str,
    "in capitals": str.upper,
    "with wide blanks": lambda unit: unit.replace(" ", "  "),
    "with blanks at its signs": lambda unit: unit.replace("/", " / ").replace("(", " ( "),
    "with blanks in its words": " ".join,
    "with raised powers": lambda unit: unit.replace("2", "²").replace("3", "³"),
    "with powers by a sign": lambda unit: unit.replace("2", "^2").replace("3", "^3"),
    "cut short": lambda unit: unit[:-1],
    "with more behind": "{}x".format,
}


def taken(text, kind):
    try:
        parse(text, kind)
    except QuantityError:
        return False
    return True


@pytest.mark.parametrize("kind", TEXTS)
def test_a_pattern_takes_what_the_service_takes(kind):
    judge = validator(TEXTS[kind])
    every = {
        written.format(spelt(unit))
        for unit in (*KINDS[kind].by_spelling, *KINDS[kind].units, *KINDS[kind].ambiguous)
        for spelt in SPELT.values()
        for written in WRITTEN.values()
    }
    wrong = [text for text in every if judge.is_valid(text) != taken(text, kind)]
    assert not wrong
    assert len({judge.is_valid(text) for text in every}) == 2  # some are taken, some are not


def test_kinds_that_a_query_or_a_body_takes_have_a_pattern():
    assert len(TEXTS) >= 20
