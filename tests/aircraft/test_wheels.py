"""What each wheel carries: published loads, balance of forces and moments, and the weighing turned round."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.balance import weigh
from climbwright.aircraft.description import Scale
from climbwright.aircraft.wheels import abreast, wheel_loads
from climbwright.arrays import Measured


@pytest.mark.parametrize(
    ("weight", "to_main", "to_nose", "on_nose", "on_each_main"),
    [(127_000.0, 60.0, 520.0, 13_138.0, 56_931.0), (64_905.0, 20.0, 185.0, 6_332.0, 29_286.0)],
)
def test_the_textbooks_static_loads(weight, to_main, to_nose, on_nose, on_each_main):
    """Roskam, Airplane Design, Part II, sec. 9.2 (seen in notes on the book), pounds and inches, to a pound."""
    nose, left, right = wheel_loads(weight, 0.0, [-to_nose, to_main, to_main])
    assert_allclose([nose, left, right], [on_nose, on_each_main, on_each_main], rtol=0.0, atol=0.5)


def test_the_textbooks_fractions_where_it_prints_no_weight():
    """Roskam, Part II, sec. 9.2.1 (seen in notes): 34 and 171 in give 0.17 on the nosewheel and 0.83 on the mains."""
    nose, left, right = wheel_loads(1.0, 0.0, [-171.0, 34.0, 34.0])
    assert_allclose([nose, left + right], [0.17, 0.83], rtol=0.0, atol=0.005)


@given(
    mass=st.floats(100.0, 2000.0),
    arm=st.floats(-2.0, 6.0),
    main=st.floats(-1.0, 1.0),
    base=st.floats(1.0, 5.0),
    tail=st.booleans(),
)
def test_forces_and_moments_are_in_balance(mass, arm, main, base, tail):
    arms = [main, main, main + base if tail else main - base]
    loads = wheel_loads(mass, arm, arms)
    assert_allclose(sum(loads), mass, rtol=1e-12)
    assert_allclose(sum(load * x for load, x in zip(loads, arms, strict=True)), mass * arm, rtol=1e-9, atol=1e-9)
    assert_allclose(loads[0], loads[1], rtol=1e-14)


@given(nose=st.floats(0.0, 150.0), main=st.floats(50.0, 400.0), base=st.floats(1.0, 3.0), datum=st.floats(-4.0, 4.0))
def test_a_weighing_comes_back(nose, main, base, datum):
    arms = [datum - base, datum, datum]
    readings = [nose, main, main]
    weighed = weigh([Scale("", reading, 0.0, arm) for reading, arm in zip(readings, arms, strict=True)])
    assert_allclose(wheel_loads(weighed.mass, weighed.arm, arms), readings, rtol=1e-9, atol=1e-9)


def test_left_and_right_measured_a_little_apart_carry_alike():
    # by hand: the pair acts half way, at 0.151; (0.5 - 0.151) / (4.6 - 0.151) of 400 kg rest on the tail
    left, right, tail = wheel_loads(400.0, 0.5, [0.150, 0.152, 4.6])
    assert_allclose(tail, 400.0 * 0.349 / 4.449, rtol=1e-12)
    assert_allclose([left, right], (400.0 - tail) / 2.0, rtol=1e-12)


def test_outside_the_wheels_one_of_them_would_have_to_pull():
    nose, *mains = wheel_loads(500.0, 0.7, [-0.9, 0.6, 0.6])
    assert nose < 0.0
    assert_allclose(sum(mains), 500.0 - nose)


def test_two_wheels_in_line_and_arrays():
    loads = wheel_loads(np.array([[300.0], [400.0]]), np.array([0.1, 0.5, 1.0]), [0.0, 1.0])
    assert_allclose(loads[1], [[30.0, 150.0, 300.0], [40.0, 200.0, 400.0]], rtol=1e-14)


@pytest.mark.parametrize(
    ("arms", "groups"),
    [
        ([0.1, 0.1, 4.6], ((0, 1), (2,))),
        ([4.6, 0.1, 0.1], ((1, 2), (0,))),
        ([-0.9, 0.6], ((0,), (1,))),
        ([0.6, -0.9, 0.601, -0.9], ((1, 3), (0, 2))),
        ([Measured(0.1, 0.01), 0.1, 4.6], ((0, 1), (2,))),
        ([0.0, 1.0, 2.0], None),
        ([0.0, 0.4, 2.0], None),
        ([0.5, 0.5, 0.5], None),
        ([0.5], None),
        ([], None),
    ],
)
def test_which_wheels_stand_abreast(arms, groups):
    assert abreast(arms) == groups


def test_wheels_in_a_row_are_refused():
    with pytest.raises(ValueError, match="two arms"):
        wheel_loads(400.0, 0.5, [0.0, 1.0, 2.0])
