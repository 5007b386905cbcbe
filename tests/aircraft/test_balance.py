"""Moments, scales, percent of chord and the two-number limits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.balance import chord_fraction, combine, margins, weigh
from climbwright.aircraft.description import Limits, Mass, Scale

parts = st.lists(st.tuples(st.floats(0.5, 500.0), st.floats(-3.0, 8.0)), min_size=1, max_size=8)


@given(parts, st.randoms(use_true_random=False))
def test_moments_add_in_any_order(pairs, random):
    total = combine(Mass(*pair) for pair in pairs)
    shuffled = list(pairs)
    random.shuffle(shuffled)
    again = combine(Mass(*pair) for pair in shuffled)
    assert_allclose(again.mass, total.mass, rtol=1e-13)
    assert_allclose(again.arm, total.arm, rtol=1e-12, atol=1e-13)


@given(parts, parts)
def test_moments_add_in_any_grouping(some, others):
    one, other = [Mass(*pair) for pair in some], [Mass(*pair) for pair in others]
    total, halves = combine([*one, *other]), combine([combine(one), combine(other)])
    assert_allclose(halves.mass, total.mass, rtol=1e-13)
    assert_allclose(halves.arm, total.arm, rtol=1e-12, atol=1e-13)


@given(parts, st.floats(-5.0, 5.0))
def test_moving_the_datum_moves_the_arm_as_much(pairs, shift):
    here = combine(Mass(*pair) for pair in pairs)
    there = combine(Mass(mass, arm + shift) for mass, arm in pairs)
    assert_allclose(there.arm, here.arm + shift, rtol=1e-12, atol=1e-12)


@given(parts)
def test_the_cg_lies_between_the_outermost_parts(pairs):
    arms = [arm for _, arm in pairs]
    assert min(arms) - 1e-9 <= combine(Mass(*pair) for pair in pairs).arm <= max(arms) + 1e-9


def test_what_goes_in_and_comes_out_again_changes_nothing():
    total = combine([Mass(318.0, 0.33), Mass(28.0, -0.6), Mass(-28.0, -0.6)])
    assert_allclose([total.mass, total.arm], [318.0, 0.33], rtol=1e-14)


@pytest.mark.parametrize("nothing", [[], [Mass(0.0, 0.4)], [Mass(5.0, 0.4), Mass(-5.0, 0.4)]])
def test_nothing_has_no_arm(nothing):
    total = combine(nothing)
    assert total.mass == 0.0
    assert np.isnan(total.arm)


def test_an_empty_station_weighs_nothing():
    total = combine([Mass(318.0, 0.33), Mass(0.0, 7.0)])
    assert_allclose([total.mass, total.arm], [318.0, 0.33], rtol=1e-15)


def test_arrays_of_masses_broadcast():
    total = combine([Mass(300.0, 0.3), Mass(np.array([[0.0], [100.0]]), np.array([0.0, 0.5, 1.1]))])
    assert_allclose(total.mass, [[300.0], [400.0]])
    assert_allclose(total.arm, [[0.3, 0.3, 0.3], [0.225, 0.35, 0.5]], rtol=1e-14)


# Invented weighings, worked by hand: sum of net reading times arm over sum of net readings.
@pytest.mark.parametrize(
    ("scales", "mass", "arm"),
    [
        # nosewheel: 62@-0.9 + 128@0.75 + 130@0.75 = 137.7 over 320
        (
            [Scale("nose", 64.0, 2.0, -0.9), Scale("left", 131.0, 3.0, 0.75), Scale("right", 133.0, 3.0, 0.75)],
            320.0,
            137.7 / 320.0,
        ),
        # tailwheel: 140@0.1 + 145@0.1 + 25@4.6 = 143.5 over 310
        (
            [Scale("left", 140.0, 0.0, 0.1), Scale("right", 145.0, 0.0, 0.1), Scale("tail", 33.0, 8.0, 4.6)],
            310.0,
            143.5 / 310.0,
        ),
        ([Scale("only", 100.0, 4.0, 0.5)], 96.0, 0.5),
    ],
)
def test_weighs_any_layout_of_wheels(scales, mass, arm):
    weighed = weigh(scales)
    assert_allclose([weighed.mass, weighed.arm], [mass, arm], rtol=1e-14)


@given(st.floats(20.0, 100.0), st.floats(200.0, 400.0), st.floats(1.0, 2.5), st.floats(-1.0, 3.0))
def test_a_nosewheel_weighing_is_the_handbooks_formula(nose, mains, base, datum_to_mains):
    """CG = D - F L / W, the datum D ahead of the main wheels."""
    weighed = weigh([Scale("nose", nose, 0.0, datum_to_mains - base), Scale("mains", mains, 0.0, datum_to_mains)])
    assert_allclose(weighed.arm, datum_to_mains - nose * base / (nose + mains), rtol=1e-11, atol=1e-11)


# The handbook's four formulas by layout (FAA-H-8083-1, ch. 3, from memory), each with the signs as it prints them: the
# datum D ahead of the main wheels or D aft of them, the nosewheel's F or the tailwheel's R a distance L away.
HANDBOOK = {
    ("nosewheel", "ahead"): lambda d, load, base, weight: d - load * base / weight,
    ("nosewheel", "aft"): lambda d, load, base, weight: -(d + load * base / weight),
    ("tailwheel", "ahead"): lambda d, load, base, weight: d + load * base / weight,
    ("tailwheel", "aft"): lambda d, load, base, weight: -d + load * base / weight,
}


@pytest.mark.parametrize("layout", HANDBOOK, ids="-".join)
@given(
    load=st.floats(5.0, 100.0), left=st.floats(80.0, 250.0), right=st.floats(80.0, 250.0), base=st.floats(1.0, 5.0),
    datum=st.floats(0.0, 5.0),
)  # fmt: skip
def test_the_handbooks_formula_for_each_layout_and_datum(layout, load, left, right, base, datum):
    wheel, side = layout
    mains = datum if side == "ahead" else -datum
    third = mains - base if wheel == "nosewheel" else mains + base
    scales = [Scale("left", left, 0.0, mains), Scale("right", right, 0.0, mains), Scale("third", load, 0.0, third)]
    expected = HANDBOOK[layout](datum, load, base, load + left + right)
    assert_allclose(weigh(scales).arm, expected, rtol=1e-9, atol=1e-9)


def test_a_datum_between_the_wheels():
    # by hand, invented: mains 140 and 144 kg 0.4 m ahead of the datum, tailwheel 26 kg 3.7 m aft of it
    tail = weigh([Scale("l", 140.0, 0.0, -0.4), Scale("r", 144.0, 0.0, -0.4), Scale("t", 26.0, 0.0, 3.7)])
    assert_allclose(tail.arm, (-113.6 + 96.2) / 310.0, rtol=1e-12)
    # nosewheel 60 kg 0.9 m ahead of it, mains 125 and 135 kg 0.6 m aft
    nose = weigh([Scale("n", 60.0, 0.0, -0.9), Scale("l", 125.0, 0.0, 0.6), Scale("r", 135.0, 0.0, 0.6)])
    assert_allclose(nose.arm, (-54.0 + 156.0) / 320.0, rtol=1e-12)


@pytest.mark.parametrize(("arm", "fraction"), [(0.1, 0.0), (0.4, 0.25), (0.7, 0.5), (1.3, 1.0), (-0.2, -0.25)])
def test_chord_fraction(arm, fraction):
    assert_allclose(chord_fraction(arm, 0.1, 1.2), fraction, rtol=1e-14, atol=1e-15)


@pytest.mark.parametrize(
    ("mass", "arm", "arm_margin", "mass_margin", "inside"),
    [
        (500.0, 0.30, 0.03, 60.0, True),
        (500.0, 0.46, 0.03, 60.0, True),
        (500.0, 0.27, 0.0, 60.0, True),
        (560.0, 0.49, 0.0, 0.0, True),
        (500.0, 0.25, -0.02, 60.0, False),
        (500.0, 0.52, -0.03, 60.0, False),
        (570.0, 0.38, 0.11, -10.0, False),
    ],
)
def test_two_number_limits(mass, arm, arm_margin, mass_margin, inside):
    got = margins(mass, arm, Limits(maximum_mass=560.0, forward=0.27, aft=0.49))
    assert_allclose([got.arm, got.mass], [arm_margin, mass_margin], atol=1e-12)
    assert_allclose([got.forward_limit, got.aft_limit], [0.27, 0.49])
    assert np.isnan(got.envelope_distance)
    assert bool(got.inside) is inside


@pytest.mark.parametrize(
    ("limits", "arm_margin", "mass_margin", "inside"),
    [
        (Limits(), np.nan, np.nan, True),
        (Limits(maximum_mass=560.0), np.nan, 60.0, True),
        (Limits(forward=0.27), 0.11, np.nan, True),
        (Limits(aft=0.49), 0.11, np.nan, True),
        (Limits(aft=0.30), -0.08, np.nan, False),
        (Limits(maximum_mass=480.0), np.nan, -20.0, False),
    ],
)
def test_what_is_not_given_does_not_limit(limits, arm_margin, mass_margin, inside):
    got = margins(500.0, 0.38, limits)
    assert_allclose([got.arm, got.mass], [arm_margin, mass_margin], atol=1e-12)
    assert bool(got.inside) is inside
