"""Rate, angle and gradient of climb, and what weight and air do to them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.climb import STALL_MARGIN, climb_angle, climb_gradient, climb_rate

from .machines import airframes, best_rate, density_ratios, lapse_constants, propulsions


@given(st.floats(-3.0, 8.0), st.floats(15.0, 60.0))
def test_rate_angle_and_gradient_are_one_triangle(rate, true):
    angle = climb_angle(rate, true)
    assert_allclose(true * np.sin(angle), rate, rtol=1e-12, atol=1e-12)
    assert_allclose(climb_gradient(rate, true), np.tan(angle), rtol=1e-12, atol=1e-12)


@given(st.floats(500.0, 3000.0), st.floats(300.0, 2000.0), st.floats(2000.0, 9000.0), st.floats(15.0, 60.0))
def test_rate_of_climb_is_excess_power_over_weight(thrust, drag, weight, true):
    assert_allclose(climb_rate(thrust, drag, weight, true) * weight, (thrust - drag) * true, rtol=1e-12, atol=1e-9)


@given(st.floats(0.1, 8.0), st.floats(15.0, 60.0), st.floats(0.1, 12.0))
def test_a_headwind_steepens_and_a_tailwind_flattens(rate, true, wind):
    still = climb_gradient(rate, true)
    assert climb_gradient(rate, true, wind) > still > climb_gradient(rate, true, -wind)


def test_gradient_over_the_ground_by_hand():
    # 3 up and 4 along through the air, of which the wind takes 1
    assert_allclose(climb_gradient(3.0, 5.0, [0.0, 1.0, -2.0]), [0.75, 1.0, 0.5], rtol=1e-14)


@pytest.mark.parametrize(("rate", "true", "headwind"), [(3.0, 20.0, 25.0), (3.0, 5.0, 4.0), (6.0, 5.0, 0.0)])
def test_no_gradient_where_there_is_no_way_over_the_ground(rate, true, headwind):
    assert np.isnan(climb_gradient(rate, true, headwind))


def test_no_angle_where_the_rate_exceeds_the_airspeed():
    assert np.isnan(climb_angle(6.0, 5.0))


def test_the_floor_is_a_fifth_above_the_stall():
    assert STALL_MARGIN == 1.2  # common practice, no source


@settings(max_examples=60)
@given(propulsions, airframes, lapse_constants, density_ratios, st.floats(10.0, 30.0), st.floats(1.01, 1.5))
def test_more_weight_never_climbs_better(propulsion, airframe, lapse_constant, sigma, slowest, more):
    heavier = replace(airframe, weight=more * airframe.weight)
    heavy = best_rate(propulsion, heavier, lapse_constant, slowest * np.sqrt(more), sigma)
    assume(heavy > 0.0)  # below the parasite drag alone a heavier glider sinks no faster
    assert heavy < best_rate(propulsion, airframe, lapse_constant, slowest, sigma)


@settings(max_examples=60)
@given(propulsions, airframes, lapse_constants, density_ratios, st.floats(0.0, 30.0), st.floats(1.01, 1.3))
def test_denser_air_never_climbs_worse(propulsion, airframe, lapse_constant, sigma, slowest, denser):
    """The engine's power follows the same lapse in both."""
    thin = best_rate(propulsion, airframe, lapse_constant, slowest, sigma)
    assert best_rate(propulsion, airframe, lapse_constant, slowest, sigma * denser) > thin
