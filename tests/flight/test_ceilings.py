"""Absolute and service ceiling: closed form and iteration against a search over speed and density."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import altitude_lapse

from .machines import airframes, best_rate, ceiling, fixed_pitches, lapse_constants, propulsions

SERVICE = 0.508  # 100 ft/min [m/s]
# a floor that never binds, one that sometimes does, one that nearly always does
floors = st.sampled_from([0.0]) | st.floats(10.0, 40.0)


@settings(max_examples=40)
@given(propulsions, airframes, lapse_constants, floors)
def test_absolute_ceiling(propulsion, airframe, lapse_constant, slowest):
    expected = ceiling(propulsion, airframe, lapse_constant, slowest, 0.0)
    assert_allclose(propulsion.absolute_ceiling(airframe, lapse_constant, slowest), expected, rtol=1e-6)


@settings(max_examples=40)
@given(propulsions, airframes, lapse_constants, floors, st.floats(0.1, 2.5))
def test_service_ceiling(propulsion, airframe, lapse_constant, slowest, rate):
    expected = ceiling(propulsion, airframe, lapse_constant, slowest, rate)
    assert_allclose(propulsion.service_ceiling(airframe, lapse_constant, slowest, rate), expected, rtol=1e-6)


@given(fixed_pitches, airframes, lapse_constants)
def test_without_a_floor_the_power_left_at_the_absolute_ceiling_is_twice_the_root_of_drag_terms(
    propulsion, airframe, lapse_constant
):
    """Phi = 2 sqrt(-K0 H0)/E0, worked here from the owner's numbers."""
    v, p = propulsion.best_efficiency_speed, propulsion.best_efficiency * propulsion.power
    E0, K0 = 1.5 * p / v, -0.5 * p / v**3 - 0.5 * 1.225 * airframe.parasite_area
    H0 = 2.0 * airframe.weight**2 / (np.pi * 1.225 * airframe.span_efficiency * airframe.span**2)
    sigma = propulsion.absolute_ceiling(airframe, lapse_constant, 0.0)
    expected = 2.0 * np.sqrt(-K0 * H0) / E0
    assert_allclose((sigma - lapse_constant) / (1.0 - lapse_constant), expected, rtol=1e-7)


@given(fixed_pitches, airframes, lapse_constants)
def test_no_rate_left_is_the_absolute_ceiling(propulsion, airframe, lapse_constant):
    absolute = propulsion.absolute_ceiling(airframe, lapse_constant, 25.0)
    assert_allclose(propulsion.service_ceiling(airframe, lapse_constant, 25.0, 0.0), absolute, rtol=1e-6)


@given(propulsions, airframes, lapse_constants, floors)
def test_the_service_ceiling_is_below_the_absolute(propulsion, airframe, lapse_constant, slowest):
    absolute = propulsion.absolute_ceiling(airframe, lapse_constant, slowest)
    assert propulsion.service_ceiling(airframe, lapse_constant, slowest, SERVICE) > absolute


@given(propulsions, airframes, lapse_constants, st.floats(0.0, 40.0), st.floats(0.1, 10.0))
def test_a_floor_never_lifts_a_ceiling(propulsion, airframe, lapse_constant, slowest, more):
    for name, extra in (("absolute_ceiling", ()), ("service_ceiling", (SERVICE,))):
        find = getattr(propulsion, name)
        lower, higher = (
            find(airframe, lapse_constant, slowest, *extra),
            find(airframe, lapse_constant, slowest + more, *extra),
        )
        assert higher >= lower * (1.0 - 1e-9)


@pytest.mark.parametrize("propulsion", [FixedPitch(60e3, 0.71, 42.0), ConstantEfficiency(60e3, 0.7)])
@pytest.mark.parametrize("slowest", [0.0, 24.0, 30.0])
def test_the_rate_at_the_ceiling_is_the_rate_asked_for(propulsion, slowest):
    airframe = Airframe(4800.0, 0.6, 9.9, 0.74)
    sigma = propulsion.service_ceiling(airframe, 0.117, slowest, SERVICE)
    assert_allclose(best_rate(propulsion, airframe, 0.117, slowest, sigma), SERVICE, rtol=1e-6)
    assert altitude_lapse(sigma) < 1.0


@pytest.mark.parametrize("propulsion", [FixedPitch(60e3, 0.71, 42.0), ConstantEfficiency(60e3, 0.7)])
def test_ceilings_of_many_aeroplanes_at_once(propulsion):
    weights, floors_ = np.array([[4000.0], [5000.0]]), np.array([0.0, 24.0, 33.0])
    many = propulsion.service_ceiling(Airframe(weights, 0.6, 9.9, 0.74), 0.117, floors_, SERVICE)
    assert many.shape == (2, 3)
    for i, weight in enumerate(weights[:, 0]):
        for j, floor in enumerate(floors_):
            one = propulsion.service_ceiling(Airframe(weight, 0.6, 9.9, 0.74), 0.117, floor, SERVICE)
            assert_allclose(many[i, j], one, rtol=1e-13)
