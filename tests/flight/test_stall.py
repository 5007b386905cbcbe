"""Stall speeds by weight, load factor, lift gain, and the load that the tail adds."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.stall import load_factor, scaled_stall_speed, stall_speed, wing_load_ratio

masses, areas, coefficients = st.floats(100.0, 2000.0), st.floats(5.0, 30.0), st.floats(0.8, 3.0)
speeds, factors, gains = st.floats(10.0, 50.0), st.floats(1.0, 4.0), st.floats(0.0, 0.5)


@given(masses, areas, coefficients)
def test_four_times_the_weight_doubles_the_stall_speed(mass, area, coefficient):
    assert_allclose(stall_speed(4.0 * mass, area, coefficient), 2.0 * stall_speed(mass, area, coefficient), rtol=1e-13)
    assert_allclose(scaled_stall_speed(20.0, mass, 4.0 * mass), 40.0, rtol=1e-13)


@given(masses, areas, coefficients, factors, gains)
def test_at_the_stall_the_wing_carries_the_load(mass, area, coefficient, factor, gain):
    speed = stall_speed(mass, area, coefficient, factor, gain)
    lift = 0.5 * 1.225 * speed**2 * area * coefficient * (1.0 + gain)
    assert_allclose(lift, factor * mass * 9.80665, rtol=1e-7)  # sea-level density is 1.225 to eight digits


@given(masses, masses, areas, coefficients, factors, gains)
def test_scaling_a_stall_that_was_flown_is_the_lift_equation(mass, flown, area, coefficient, factor, gain):
    reference = stall_speed(flown, area, coefficient)
    expected = stall_speed(mass, area, coefficient, factor, gain)
    assert_allclose(scaled_stall_speed(reference, flown, mass, factor, gain), expected, rtol=1e-12)


@given(speeds, masses)
def test_as_it_was_flown_the_stall_is_what_was_flown(speed, mass):
    assert_allclose(scaled_stall_speed(speed, mass, mass), speed, rtol=1e-14)


@given(st.floats(-1.5, 1.5))
def test_in_a_level_turn_the_upright_part_of_lift_carries_the_weight(bank):
    assert_allclose(load_factor(bank) * np.cos(bank), 1.0, rtol=1e-14)
    assert_allclose(load_factor(-bank), load_factor(bank), rtol=1e-15)


@pytest.mark.parametrize(("gain", "slower"), [(0.0, 1.0), (0.21, 1.1), (0.44, 1.2)])
def test_a_lift_gain_slows_the_stall_by_its_root(gain, slower):
    assert_allclose(scaled_stall_speed(22.0, 480.0, 480.0, lift_gain=gain), 22.0 / slower, rtol=1e-13)


centres, tails = st.floats(0.2, 0.6), st.floats(2.5, 6.0)
arms = st.floats(0.0, 0.8)


@given(arms, centres, tails)
def test_at_the_cg_of_the_stall_that_was_flown_the_tail_adds_nothing(arm, centre, tail):
    assert_allclose(wing_load_ratio(arm, arm, centre, tail), 1.0, rtol=1e-15)


@given(arms, st.floats(0.001, 0.3), arms, centres, tails)
def test_a_cg_further_forward_costs_lift(arm, forward, reference, centre, tail):
    assert wing_load_ratio(arm - forward, reference, centre, tail) > wing_load_ratio(arm, reference, centre, tail)


@given(arms, centres, tails, masses)
def test_the_tail_load_balances_forces_and_moments(arm, centre, tail, mass):
    """Wing lift at the aerodynamic centre and the tail's at its arm hold the weight at the CG."""
    wing = mass * wing_load_ratio(arm, centre, centre, tail)  # the reference CG at the centre: no tail load there
    on_tail = mass - wing
    assert_allclose(wing * centre + on_tail * (centre + tail), mass * arm, rtol=1e-11, atol=1e-9)
