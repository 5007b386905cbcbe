"""Manoeuvring speed, and the load factor that a structure is allowed at a mass."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.stall import allowed_load_factor, manoeuvring_speed, scaled_stall_speed

KNOT = 1852.0 / 3600.0
speeds, factors = st.floats(10.0, 50.0), st.floats(1.0, 6.0)
masses = st.floats(200.0, 1500.0)


@given(speeds, factors)
def test_there_the_wing_stalls_just_as_it_reaches_the_load_factor(stall, factor):
    assert_allclose(
        manoeuvring_speed(stall, factor), scaled_stall_speed(stall, 500.0, 500.0, load_factor=factor), rtol=1e-14
    )


def test_manoeuvring_speed_of_a_lighter_aeroplane():
    """An ATPL question bank (seen): 181 kt at 5.7 t; at 4.1 t about 154 kt."""
    factor = 3.0
    stall = 181.0 * KNOT / np.sqrt(factor)
    lighter = scaled_stall_speed(stall, 5700.0, 4100.0)
    got = manoeuvring_speed(lighter, allowed_load_factor(4100.0, factor, 5700.0))
    assert_allclose(got / KNOT, 154.0, rtol=0.0, atol=0.5)


@pytest.mark.parametrize(("factor", "expected"), [(4.0, 100.0), (9.0, 150.0)])
def test_four_and_nine_times_the_load(factor, expected):
    """STL-04, FAA-H-8083-25 (seen in a reprint): 50 kt at 1."""
    assert_allclose(manoeuvring_speed(50.0, factor), expected, rtol=1e-14)


@given(masses, factors, st.floats(1.0, 2.0))
def test_heavier_than_shown_the_same_load_is_all_the_structure_is_allowed(shown, factor, more):
    allowed = allowed_load_factor(more * shown, factor, shown)
    assert_allclose(allowed * more * shown, factor * shown, rtol=1e-13)


@given(masses, factors, st.floats(0.3, 1.0))
def test_lighter_than_shown_it_is_the_one_that_was_shown(shown, factor, less):
    assert_allclose(allowed_load_factor(less * shown, factor, shown), factor, rtol=1e-15)


@given(speeds, masses, factors, st.floats(1.0, 2.0))
def test_overloaded_the_manoeuvring_speed_stays(stall, shown, factor, more):
    """Stall speed rises by the root by which the root of the load factor falls."""
    heavy = scaled_stall_speed(stall, shown, more * shown)
    got = manoeuvring_speed(heavy, allowed_load_factor(more * shown, factor, shown))
    assert_allclose(got, manoeuvring_speed(stall, factor), rtol=1e-13)


def test_many_at_once():
    got = allowed_load_factor(np.array([[400.0], [600.0]]), np.array([3.8, 4.4, 6.0]), 500.0)
    assert_allclose(got, [[3.8, 4.4, 6.0], [3.8 / 1.2, 4.4 / 1.2, 5.0]], rtol=1e-14)
