"""Published load factors and stall speeds: STL-01 to STL-08, and the table of load factor by bank.

Not asserted: 5.747 at 80 degrees of bank in the figure of STL-03, a misprint for 5.759.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.flight.stall import load_factor, scaled_stall_speed, stall_speed, wing_load_ratio

from .published import data, named, published, shown, si

KNOT, POUND = 1852.0 / 3600.0, 0.45359237


@pytest.mark.parametrize("row", published("load_factor.csv"), ids=named)
def test_rows(row):
    factor = load_factor(np.radians(float(row["bank_deg"])))
    got = factor if row["quantity"] == "load_factor" else scaled_stall_speed(1.0, 480.0, 480.0, load_factor=factor)
    assert_allclose(got, float(row["expected"]), rtol=0.0, atol=float(row["tolerance"]))


@pytest.mark.parametrize("row", data("load_factor.csv"), ids=lambda row: f"{row['bank_deg']:.0f}deg")
def test_table(row):
    """1/cos, worked independently (derived): to the last digit given."""
    factor = load_factor(np.radians(row["bank_deg"]))
    faster = scaled_stall_speed(1.0, 480.0, 480.0, load_factor=factor)
    assert_allclose(factor, row["n"], rtol=0.0, atol=0.00005001)
    assert_allclose(faster, row["sqrt_n"], rtol=0.0, atol=0.00005001)
    assert_allclose(100.0 * (faster - 1.0), row["stall_increase_pct"], rtol=0.0, atol=0.005001)


@pytest.mark.parametrize(("factor", "knots"), [(4.0, 100.0), (9.0, 150.0)])
def test_load_factor_and_stalling_speed(factor, knots):
    """STL-04, FAA-H-8083-25, load factors and stalling speeds (seen in a reprint): 50 kt at 1."""
    got = scaled_stall_speed(50.0 * KNOT, 480.0, 480.0, load_factor=factor)
    assert_allclose(got / KNOT, knots, rtol=0.0, atol=0.1)


@pytest.mark.parametrize(
    ("weight", "area", "unit", "expected", "tolerance"),
    [
        ((2950.0, "pound_force"), (174.0, "foot**2"), "foot/s", 100.9, 0.1),
        ((2950.0, "pound_force"), (174.0, "foot**2"), "knot", 59.8, 0.1),
        ((2950.0, "pound_force"), (174.0, "foot**2"), "mile/hour", 68.8, 0.1),
        ((13122.0, "N"), (16.0, "m**2"), "m/s", 30.93, 0.01),
        ((13122.0, "N"), (16.0, "m**2"), "knot", 60.1, 0.1),
    ],
)
def test_stall_of_the_textbook_aeroplane(weight, area, unit, expected, tolerance):
    """STL-06, textbook propeller example (inputs seen in a university exercise sheet; result derived), CLmax 1.4."""
    got = stall_speed(si(*weight) / 9.80665, si(*area), 1.4)
    assert_allclose(shown(got, "m/s", unit), expected, rtol=0.0, atol=tolerance)


def test_lift_coefficient_of_a_stall_that_was_flown():
    """STL-07, lift equation in knots (derived): 1320 lb, 130 ft2, 45 kt is 1.481; its constant is 295.37."""
    area = si(130.0, "foot**2")
    got = brentq(lambda cl: stall_speed(1320.0 * POUND, area, cl) - 45.0 * KNOT, 0.5, 4.0)
    assert_allclose(got, 1.481, rtol=0.0, atol=0.001)
    assert_allclose(got * 130.0 * 45.0**2 / 1320.0, 295.37, rtol=0.0, atol=0.01)


@pytest.mark.parametrize(("chord_fraction", "ratio", "percent"), [(0.15, 1.0333, 1.65), (0.30, 0.9833, -0.84)])
def test_tail_load(chord_fraction, ratio, percent):
    """STL-08, balance of moments about the tail (derived; no published worked example found).

    Centre at 25 % of a chord of 1.5 m, tail arm 4.5 m; 0.02 %.
    """
    got = wing_load_ratio(chord_fraction * 1.5, 0.25 * 1.5, 0.25 * 1.5, 4.5)
    assert_allclose(got, ratio, rtol=0.0, atol=0.0002)
    faster = scaled_stall_speed(1.0, 480.0, 480.0, wing_load_ratio=got)
    assert_allclose(100.0 * (faster - 1.0), percent, rtol=0.0, atol=0.02)
