"""Best rate, best angle and greatest level speed: the closed forms against a search for the same."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch

from .machines import (
    SEA_LEVEL_DENSITY,
    airframes,
    constant_efficiencies,
    density_ratios,
    excess_power,
    excess_thrust,
    fixed_pitches,
    greatest_crossing,
    propulsions,
    top,
)

CLOSE = 5e-7  # [m/s]
power_ratios = st.floats(0.3, 1.1)


@given(propulsions, airframes, power_ratios, density_ratios)
def test_best_rate_speed(propulsion, airframe, phi, sigma):
    expected = top(excess_power(propulsion, airframe, phi, sigma))
    assert_allclose(propulsion.best_rate_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)


@given(fixed_pitches, airframes, power_ratios, density_ratios)
def test_best_angle_speed_of_a_fixed_pitch(propulsion, airframe, phi, sigma):
    expected = top(excess_thrust(propulsion, airframe, phi, sigma))
    assert_allclose(propulsion.best_angle_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)


@given(constant_efficiencies, airframes, power_ratios, density_ratios)
def test_best_angle_speed_of_a_constant_efficiency(propulsion, airframe, phi, sigma):
    thrust = excess_thrust(propulsion, airframe, phi, sigma)
    got = propulsion.best_angle_speed(airframe, phi, sigma)
    # with more power it sinks towards standstill, where thrust grows without bound
    expected = top(thrust, low=1.0 if got > 1.1 else 1e-3)
    assert_allclose(got, expected, rtol=0.0, atol=CLOSE)


@given(propulsions, airframes, power_ratios, density_ratios)
def test_greatest_level_speed(propulsion, airframe, phi, sigma):
    power = excess_power(propulsion, airframe, phi, sigma)
    most = power(top(power))
    assume(abs(most) > 1.0)  # within a watt of the ceiling the two crossings meet and neither is sharp
    expected = greatest_crossing(power)
    assert np.isnan(expected) == (most < 0.0)
    got = propulsion.greatest_level_speed(airframe, phi, sigma)
    assert np.isnan(got) == np.isnan(expected)
    assert_allclose(got, expected, rtol=0.0, atol=CLOSE)


@given(propulsions, airframes, power_ratios, density_ratios)
def test_the_speeds_come_in_order(propulsion, airframe, phi, sigma):
    """Angle below rate below level, where the aeroplane can fly at all."""
    angle = propulsion.best_angle_speed(airframe, phi, sigma)
    rate = propulsion.best_rate_speed(airframe, phi, sigma)
    level = propulsion.greatest_level_speed(airframe, phi, sigma)
    assume(excess_power(propulsion, airframe, phi, sigma)(rate) > 1.0)
    assert angle < rate < level


@given(fixed_pitches, density_ratios)
def test_the_owners_words_hold_for_the_fixed_pitch(propulsion, sigma):
    """The greatest thrust power at sea level is best efficiency times power, at the best-efficiency speed."""
    v = propulsion.best_efficiency_speed
    assert_allclose(top(lambda x: x * propulsion.thrust(x, 1.0, 1.0), high=200.0), v, rtol=1e-9)
    assert_allclose(v * propulsion.thrust(v, 1.0, 1.0), propulsion.best_efficiency * propulsion.power, rtol=1e-13)
    assert_allclose(propulsion.thrust(0.0, 1.0, sigma), propulsion.E0, rtol=1e-14)


@given(constant_efficiencies, st.floats(1.0, 100.0), power_ratios, density_ratios)
def test_thrust_power_of_a_constant_efficiency_is_the_same_at_every_speed(propulsion, v, phi, sigma):
    expected = propulsion.efficiency * propulsion.power * phi
    assert_allclose(v * propulsion.thrust(v, phi, sigma), expected, rtol=1e-13)


@given(airframes, st.floats(10.0, 100.0), st.floats(0.5, 1.3), st.floats(1.0, 4.0))
def test_drag_is_parasite_and_induced(airframe, v, rho, load_factor):
    turning = Airframe(airframe.weight, airframe.parasite_area, airframe.span, airframe.span_efficiency, load_factor)
    q = 0.5 * rho * v**2
    lift = airframe.weight * load_factor
    expected = q * airframe.parasite_area + lift**2 / (q * np.pi * airframe.span**2 * airframe.span_efficiency)
    assert_allclose(turning.drag(v, rho), expected, rtol=1e-13)


@pytest.mark.parametrize("power", [1.0, 1e4, 1e5, 1e6, 1e8, 1e10])
def test_a_glut_of_power_leaves_the_best_angle_its_digits(power):
    """Ferrari's resolvent alone loses them: the slopes of thrust and drag must meet all the same."""
    airframe = Airframe(4800.0, 0.6, 9.9, 0.74)
    v = ConstantEfficiency(power, 0.8).best_angle_speed(airframe, 1.0, 1.0)
    # dT/dV = dD/dV: -eta P/V^2 = rho f V - 2 H/V^3
    twice_h = 4.0 * 4800.0**2 / (np.pi * SEA_LEVEL_DENSITY * 0.74 * 9.9**2)
    assert_allclose(0.8 * power * v + SEA_LEVEL_DENSITY * 0.6 * v**4, twice_h, rtol=1e-12)


def test_no_power_leaves_the_constant_efficiency_the_speed_of_least_drag():
    airframe = Airframe(4800.0, 0.6, 9.9, 0.74)
    expected = top(lambda v: -airframe.drag(v, 1.225))
    assert_allclose(ConstantEfficiency(0.0, 0.8).best_angle_speed(airframe, 1.0, 1.0), expected, atol=CLOSE)


def test_more_aeroplanes_at_once_are_the_same_as_one_by_one():
    weights, sigmas = np.array([[4000.0], [6000.0]]), np.array([1.0, 0.8, 0.6])
    for propulsion in (FixedPitch(60e3, 0.7, 40.0), ConstantEfficiency(60e3, 0.7)):
        for name in ("best_rate_speed", "best_angle_speed", "greatest_level_speed"):
            many = getattr(propulsion, name)(Airframe(weights, 0.6, 9.9, 0.74), 0.9 * sigmas, sigmas)
            for i, weight in enumerate(weights[:, 0]):
                for j, sigma in enumerate(sigmas):
                    one = getattr(propulsion, name)(Airframe(weight, 0.6, 9.9, 0.74), 0.9 * sigma, sigma)
                    assert_allclose(many[i, j], one, rtol=1e-13)
