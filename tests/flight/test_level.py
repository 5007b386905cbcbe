"""The quintic of the longest range in a wind, against the slope that it stands for, and fuel flow."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.flight.level import fuel_flow, longest_range_speed

# power over its scale and its slope, at a speed over the one of equal terms
DRAG_TIMES_SPEED = (lambda x: x**3 + 1.0 / x, lambda x: 3.0 * x**2 - 1.0 / x**2, (2.0, 1.0))
PART_THROTTLE = (
    lambda x: (x**2 + x**-2) ** 1.5,
    lambda x: 1.5 * (x**2 + x**-2) ** 0.5 * (2.0 * x - 2.0 * x**-3),
    (4.0, 3.0),
)
laws = pytest.mark.parametrize(
    ("power", "slope", "coefficients"), [DRAG_TIMES_SPEED, PART_THROTTLE], ids=["drag-times-speed", "part-throttle"]
)


@laws
def test_it_is_where_power_over_ground_speed_has_no_slope(power, slope, coefficients):
    """From a tailwind to a headwind of ten times the speed of equal terms: its rounds leave 2e-13."""
    winds = np.concatenate([np.linspace(-10.0, 10.0, 401), [-1e-9, 0.0, 1e-9, 0.999, 1.0, 1.001]])

    def expected(y):
        return brentq(
            lambda x: slope(x) * (x - y) - power(x), max(y, 0.5), 1.5 * max(y, 0.0) + 2.0, xtol=1e-15, rtol=1e-15
        )

    got = longest_range_speed(1.0, winds, *coefficients)
    assert_allclose(got, [expected(y) for y in winds], rtol=1e-12)


@laws
def test_no_other_speed_over_the_ground_is_cheaper(power, slope, coefficients):
    winds = np.linspace(-3.0, 3.0, 61)
    best = longest_range_speed(1.0, winds, *coefficients)
    assert np.all(best > winds)
    others = np.linspace(0.3, 12.0, 2_000)[:, None]
    with np.errstate(divide="ignore"):
        cost = np.where(others > winds, power(others) / (others - winds), np.inf)
    assert np.all(cost.min(axis=0) >= power(best) / (best - winds) * (1.0 - 1e-13))
    assert slope(best[0]) > 0.0


@given(st.floats(10.0, 80.0), st.floats(-4.0, 4.0), st.sampled_from([(2.0, 1.0), (4.0, 3.0)]))
def test_only_the_ratio_of_the_wind_counts(speed, ratio, coefficients):
    expected = speed * longest_range_speed(1.0, ratio, *coefficients)
    assert_allclose(longest_range_speed(speed, ratio * speed, *coefficients), expected, rtol=1e-12)


def test_a_strong_wind_from_behind_leaves_the_speed_of_least_power_and_against_it_half_as_much_again():
    """The ends of both quintics: least power far below, 1.5 times the headwind far above."""
    for coefficients, slowest in (((2.0, 1.0), 3.0**-0.25), ((4.0, 3.0), 1.0)):
        assert_allclose(longest_range_speed(1.0, -1e6, *coefficients), slowest, rtol=1e-6)
        assert_allclose(longest_range_speed(1.0, 1e3, *coefficients), 1.5e3, rtol=1e-6)


def test_fuel_flow():
    """0.45 lb/(hp h) at 100 hp is 45 lb/h, by definition."""
    pound, horsepower = 0.45359237, 745.699872
    consumption = 0.45 * pound / (horsepower * 3600.0)
    assert_allclose(fuel_flow(100.0 * horsepower, consumption) * 3600.0 / pound, 45.0, rtol=1e-14)
