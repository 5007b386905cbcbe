"""Published definitions of units: UNT-01 to UNT-08, and the standard weights of fluids, WB-26."""

import pytest
from numpy.testing import assert_allclose

from climbwright.units import parse, to_unit, unit_named

from .published import published


@pytest.mark.parametrize("row", published("units.csv"), ids=lambda row: f"{row['id']}-{row['text']}-{row['unit']}")
def test_rows(row):
    got = to_unit(parse(row["text"], row["kind"]), unit_named(row["kind"], row["unit"]))
    # exact means to the last bits of a float
    assert_allclose(got, float(row["expected"]), rtol=1e-15, atol=float(row["tolerance"]))


def test_the_nautical_mile_in_feet():
    """UNT-01: 6076.1155 ft (definition)."""
    got = to_unit(parse("1 NM", "length"), unit_named("length", "ft"))
    assert_allclose(got, 6076.1155, rtol=0.0, atol=0.00005)


def test_the_slug():
    """UNT-03: 14.593903 kg (definition), through a density of one slug in a cubic foot."""
    assert_allclose(parse("1 slug/ft3", "density") * 0.3048**3, 14.593903, rtol=0.0, atol=1e-6)
