"""The range of what may be put in one place: the handbook's ballast, and an independent search along the weight."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.balance import margins
from climbwright.aircraft.description import EnvelopePoint, Limits
from climbwright.aircraft.permitted import permitted_mass

PLAIN = Limits(maximum_mass=560.0, forward=0.27, aft=0.49)
# invented: the forward limit moves aft above 450 kg, the aft one forward
SLOPED = [(0.27, 320.0), (0.27, 450.0), (0.33, 560.0), (0.47, 560.0), (0.49, 430.0), (0.49, 320.0)]
# a bite out of the aft side between 400 and 500 kg
NOTCHED = [(0.2, 300.0), (0.2, 600.0), (0.6, 600.0), (0.6, 500.0), (0.4, 450.0), (0.6, 400.0), (0.6, 300.0)]


def envelope(corners, maximum=None):
    return Limits(maximum_mass=maximum, envelope=tuple(EnvelopePoint(mass, arm) for arm, mass in corners))


LIMITS = [PLAIN, Limits(forward=0.27), Limits(aft=0.49), envelope(SLOPED), envelope(SLOPED, 540.0), envelope(NOTCHED)]


def searched(mass, arm, place, limits, most, count=4001):
    """The first unbroken range of a fine grid of added weights; None where no weight of it keeps all limits."""
    added = np.linspace(0.0, most, count)
    kept = margins(mass + added, (mass * arm + place * added) / (mass + added), limits).inside
    if not kept.any():
        return None
    first = int(kept.argmax())
    broken = np.flatnonzero(~kept[first:])
    last = first + (broken[0] if broken.size else len(added) - first) - 1
    return added[first], added[last]


@settings(max_examples=300)
@given(
    limits=st.sampled_from(LIMITS), mass=st.floats(200.0, 500.0), arm=st.floats(0.1, 0.7), place=st.floats(-1.0, 2.0)
)
def test_agrees_with_a_search_along_the_weight(limits, mass, arm, place):
    most = 250.0
    step = most / 4000.0
    least, greatest = permitted_mass(mass, arm, place, limits, 0.0, most)
    found = searched(mass, arm, place, limits, most)
    if found is None:  # or a range so short that it fell between two points of the grid
        assert np.isnan(least) or greatest - least <= step
    elif greatest - least > step:
        assert_allclose([least, greatest], found, rtol=0.0, atol=1.001 * step)


@settings(max_examples=200)
@example(limits=LIMITS[-1], mass=200.0, arm=0.2, place=0.2)  # all the way up along an edge of the envelope
@given(
    limits=st.sampled_from(LIMITS), mass=st.floats(200.0, 500.0), arm=st.floats(0.1, 0.7), place=st.floats(-1.0, 2.0)
)
def test_inside_between_the_ends_and_not_beyond_them(limits, mass, arm, place):
    least, greatest = permitted_mass(mass, arm, place, limits, 0.0, 250.0)
    if np.isnan(least):
        return

    def kept(added):
        return bool(margins(mass + added, (mass * arm + place * added) / (mass + added), limits).inside)

    if greatest - least > 1e-3:
        assert all(kept(least + part * (greatest - least)) for part in (0.001, 0.3, 0.7, 0.999))
    if least > 1e-3:
        assert not kept(least - 1e-3 * min(1.0, least))
    if greatest < 250.0 - 1e-3:
        edge = greatest + 1e-3  # a notch narrower than that would hide it
        assert not kept(edge) or not kept(greatest + 1e-5)


def test_the_handbooks_permanent_ballast():
    """WB-22, FAA-H-8083-1 (weight and CG seen, the rest memory): 1876 lb at 32.2, limit 33.0, station 228: 7.7 lb."""
    least, _ = permitted_mass(1876.0, 32.2, 228.0, Limits(forward=33.0))
    assert_allclose(least, 7.7, rtol=0.0, atol=0.05)


def test_by_hand_between_plain_limits():
    # 300 kg at 0.52 need m at 0.30: (156 + 0.3 m) / (300 + m) = 0.49 at m = 9 / 0.19, and 560 kg are full at 260
    assert_allclose(permitted_mass(300.0, 0.52, 0.30, PLAIN), [9.0 / 0.19, 260.0], rtol=1e-13)


@pytest.mark.parametrize(
    ("mass", "arm", "place", "limits", "expected"),
    [
        (400.0, 0.40, 0.40, Limits(), (0.0, np.inf)),
        (400.0, 0.40, 0.30, Limits(forward=0.27), (0.0, np.inf)),
        (400.0, 0.55, 0.60, PLAIN, (np.nan, np.nan)),  # behind already, and further behind with more
        (600.0, 0.40, 0.40, PLAIN, (np.nan, np.nan)),  # too heavy
        (560.0, 0.40, 0.40, PLAIN, (0.0, 0.0)),  # just full
        (0.0, np.nan, 0.40, PLAIN, (0.0, 560.0)),  # nothing there but what is added
        (300.0, 0.40, 0.40, envelope(SLOPED), (20.0, 260.0)),  # below the envelope until there is more
    ],
)
def test_the_ends(mass, arm, place, limits, expected):
    assert_allclose(permitted_mass(mass, arm, place, limits), expected, rtol=1e-12, atol=1e-12)


def test_the_bounds_of_the_place_bound_the_range():
    assert_allclose(permitted_mass(300.0, 0.40, 0.40, PLAIN, 60.0, 120.0), [60.0, 120.0])
    assert_allclose(permitted_mass(300.0, 0.40, 0.40, PLAIN, 80.0, 80.0), [80.0, 80.0])
    assert np.isnan(permitted_mass(300.0, 0.40, 0.40, PLAIN, 120.0, 60.0)).all()
    assert np.isnan(permitted_mass(300.0, 0.40, 0.40, PLAIN, 270.0, 300.0)).all()


def test_a_notch_ends_the_lightest_range():
    # at 0.5 all the way up: the notch begins where 0.6 - 0.2 (m - 400) / 50 is 0.5, at 425 kg, and ends at 475
    assert_allclose(permitted_mass(320.0, 0.5, 0.5, envelope(NOTCHED)), [0.0, 105.0], rtol=1e-12)
    assert_allclose(permitted_mass(430.0, 0.5, 0.5, envelope(NOTCHED)), [45.0, 170.0], rtol=1e-12)


def test_many_at_once_are_the_same_as_one_by_one():
    masses, places = np.array([[320.0], [380.0], [440.0]]), np.array([-0.4, 0.1, 0.5, 1.2])
    for limits in LIMITS:
        least, greatest = permitted_mass(masses, 0.5, places, limits, 0.0, 150.0)
        for i, mass in enumerate(masses[:, 0]):
            for j, place in enumerate(places):
                one = permitted_mass(mass, 0.5, place, limits, 0.0, 150.0)
                assert_allclose([least[i, j], greatest[i, j]], one, rtol=1e-14)


def test_limits_may_differ_from_one_to_the_next():
    limits = Limits(maximum_mass=np.array([500.0, 560.0]), aft=np.array([0.45, 0.49]))
    least, greatest = permitted_mass(300.0, 0.52, 0.30, limits)
    for i, one in enumerate([Limits(maximum_mass=500.0, aft=0.45), Limits(maximum_mass=560.0, aft=0.49)]):
        assert_allclose([least[i], greatest[i]], permitted_mass(300.0, 0.52, 0.30, one), rtol=1e-14)
