"""Published weight and balance: WB-01 to WB-26, in pounds and inches put into kilograms and metres.

Not asserted: WB-02, a quotient of two printed numbers; WB-19, a fuel rule that is not built; the printed 18.6 of WB-20
(38 466 over 2100 is 18.3) and the printed "forward 2.31" of WB-07, which are wrong.
"""

import pytest
from numpy.testing import assert_allclose

from climbwright.aircraft.balance import chord_fraction, combine, weigh
from climbwright.aircraft.description import Mass, Scale

from .published import named, published

POUND, INCH = 0.45359237, 0.0254


def part(text):
    pounds, _, inches = text.partition("@")
    return Mass(float(pounds) * POUND, float(inches) * INCH)


def scale(text):
    reading, _, inches = text.partition("@")
    gross, tare = (float(number) * POUND for number in reading.split("-"))
    return Scale("", gross, tare, float(inches) * INCH)


def assert_row(total, row):
    got = {
        "mass": total.mass / POUND,
        "arm": total.arm / INCH,
        "moment": total.mass * total.arm / (POUND * INCH),
    }[row["quantity"]]
    assert_allclose(got, float(row["expected"]), rtol=0.0, atol=float(row["tolerance"]))


@pytest.mark.parametrize("row", published("moments.csv"), ids=named)
def test_moments(row):
    assert_row(combine(map(part, row["parts"].split())), row)


@pytest.mark.parametrize("row", published("scales.csv"), ids=named)
def test_scales(row):
    assert_row(weigh([scale(text) for text in row["scales"].split()]), row)


def test_scales_with_fuel_taken_out_and_what_cannot_be_used_put_back():
    """WB-14, FAA-H-8083-30, ch. 4, fig. 4-20 (inputs seen, result memory): 1331.5 lb, 66 698 lb in, +50.1 in."""
    weighed = weigh([scale(text) for text in ("650-5@70", "640-5@70", "225-2.5@-30")])
    empty = combine([weighed, part(f"{-30 * 5.9}@95"), part("6@98")])
    assert_allclose(empty.mass / POUND, 1331.5, rtol=0.0, atol=0.001)
    assert_allclose(empty.mass * empty.arm / (POUND * INCH), 66698.0, rtol=0.0, atol=1.0)
    assert_allclose(empty.arm / INCH, 50.1, rtol=0.0, atol=0.05)


def test_ballast():
    """WB-08, ATPL question bank (seen): 136 kg at 8.73 m, to 0.01 m, brings 2222 kg at 6.13 m to 6.28 m."""
    total = combine([Mass(2222.0, 6.13), Mass(136.0, 8.73)])
    assert_allclose(total.arm, 6.28, rtol=0.0, atol=0.01 * 136.0 / 2358.0)


def test_percent_of_chord():
    """WB-16, FAA-H-8083-1, CG in % MAC (memory): leading edge 144, trailing edge 206, 17 in aft of the leading one."""
    got = chord_fraction((144.0 + 17.0) * INCH, 144.0 * INCH, (206.0 - 144.0) * INCH)
    assert_allclose(100.0 * got, 27.4, rtol=0.0, atol=0.05)
