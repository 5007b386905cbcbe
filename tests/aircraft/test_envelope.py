"""The envelope as a polygon: sides, edges, a notch, distances, and corners that make no polygon."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.balance import arm_margin, margins, refuse_crossing
from climbwright.aircraft.description import EnvelopePoint, Limits
from climbwright.refusal import Refusal

# (arm, mass), invented: the forward limit moves aft above 450 kg
PLAIN = [(0.27, 320.0), (0.27, 450.0), (0.33, 560.0), (0.49, 560.0), (0.49, 320.0)]
# a bite out of the aft side between 400 and 500 kg
NOTCHED = [(0.2, 300.0), (0.2, 600.0), (0.6, 600.0), (0.6, 500.0), (0.4, 450.0), (0.6, 400.0), (0.6, 300.0)]


def limits(corners):
    return Limits(envelope=tuple(EnvelopePoint(mass, arm) for arm, mass in corners))


@pytest.mark.parametrize(
    ("mass", "arm", "arm_margin", "inside"),
    [
        (400.0, 0.38, 0.11, True),
        (400.0, 0.30, 0.03, True),
        (505.0, 0.32, 0.02, True),  # half way up the slope the forward limit is 0.30
        (505.0, 0.29, -0.01, False),
        (400.0, 0.25, -0.02, False),
        (400.0, 0.52, -0.03, False),
        (400.0, 0.27, 0.0, True),
        (400.0, 0.49, 0.0, True),
        (505.0, 0.30, 0.0, True),
    ],
)
def test_margin_along_the_arm(mass, arm, arm_margin, inside):
    got = margins(mass, arm, limits(PLAIN))
    assert_allclose(got.arm, arm_margin, atol=1e-12)
    assert bool(got.inside) is inside


@pytest.mark.parametrize(("mass", "forward", "aft"), [(400.0, 0.27, 0.49), (505.0, 0.30, 0.49), (560.0, 0.33, 0.49)])
def test_limits_at_a_mass(mass, forward, aft):
    got = margins(mass, 0.4, limits(PLAIN))
    assert_allclose([got.forward_limit, got.aft_limit], [forward, aft], rtol=1e-12)


def test_above_the_heaviest_corner_is_outside_and_too_heavy():
    got = margins(580.0, 0.40, limits(PLAIN))
    assert not got.inside
    assert_allclose(got.mass, -20.0)
    assert np.isnan([got.forward_limit, got.aft_limit, got.nearest_limit, got.arm]).all()  # no limit at this mass
    assert_allclose(got.envelope_distance, -20.0 / 240.0, rtol=1e-12)


def test_below_the_lightest_corner_is_outside_though_not_too_heavy():
    got = margins(300.0, 0.40, limits(PLAIN))
    assert not got.inside
    assert_allclose(got.mass, 260.0)
    assert_allclose(got.lightest, -20.0)
    assert np.isnan([got.forward_limit, got.aft_limit, got.nearest_limit, got.arm]).all()
    assert_allclose(got.envelope_distance, -20.0 / 240.0, rtol=1e-12)


@pytest.mark.parametrize(
    ("arm", "mass"),
    [*PLAIN, *[((a + c) / 2, (b + d) / 2) for (a, b), (c, d) in zip(PLAIN, [*PLAIN[1:], PLAIN[0]], strict=True)]],
)
def test_corners_and_edges_belong_to_the_envelope(arm, mass):
    got = margins(mass, arm, limits(PLAIN))
    assert_allclose(got.envelope_distance, 0.0, atol=1e-12)
    assert got.inside


@pytest.mark.parametrize(
    ("mass", "arm", "arm_margin", "inside"),
    [
        (450.0, 0.39, 0.01, True),
        (450.0, 0.45, -0.05, False),
        (450.0, 0.59, -0.19, False),
        (475.0, 0.45, 0.05, True),  # the notch begins at 0.5 there
        (475.0, 0.55, -0.05, False),
        (550.0, 0.55, 0.05, True),
        (350.0, 0.59, 0.01, True),
        (450.0, 0.65, -0.25, False),
    ],
)
def test_a_notch_is_outside(mass, arm, arm_margin, inside):
    got = margins(mass, arm, limits(NOTCHED))
    assert bool(got.inside) is inside
    assert_allclose(got.arm, arm_margin, atol=1e-12)


@pytest.mark.parametrize("corners", [PLAIN, NOTCHED])
@given(mass=st.floats(250.0, 650.0), arm=st.floats(0.1, 0.7), start=st.integers(0, 6), turn=st.sampled_from([1, -1]))
def test_it_does_not_matter_where_the_corners_begin_or_which_way_round(corners, mass, arm, start, turn):
    start %= len(corners)
    turned = (corners[start:] + corners[:start])[::turn]
    one, other = margins(mass, arm, limits(corners)), margins(mass, arm, limits(turned))
    assert_allclose(other.envelope_distance, one.envelope_distance, atol=1e-12)
    assert_allclose(other.arm, one.arm, atol=1e-12)


def nearest_sample(corners, arm, mass, count=20000):
    """Distance to the nearest of many points strewn along the edges, in the unit square."""
    corner = np.array(corners)
    size = corner.max(axis=0) - corner.min(axis=0)
    along = np.linspace(0.0, 1.0, count)[:, None, None]
    points = corner + along * (np.roll(corner, -1, axis=0) - corner)
    return np.linalg.norm((points - [arm, mass]) / size, axis=-1).min()


@pytest.mark.parametrize("corners", [PLAIN, NOTCHED])
@pytest.mark.parametrize(
    ("mass", "arm"),
    [
        (400.0, 0.38),
        (530.0, 0.30),
        (545.0, 0.32),
        (600.0, 0.1),
        (250.0, 0.6),
        (450.0, 0.5),
        (460.0, 0.39),
        (590.0, 0.59),
    ],
)
def test_distance_agrees_with_the_nearest_of_many_points_on_the_edges(corners, mass, arm):
    got = margins(mass, arm, limits(corners)).envelope_distance
    # samples lie at most 1/20000 of an edge apart, which may only lengthen the distance
    assert_allclose(np.abs(got), nearest_sample(corners, arm, mass), atol=1e-4)


@pytest.mark.parametrize("corners", [PLAIN, NOTCHED])
@given(mass=st.floats(250.0, 650.0), arm=st.floats(0.1, 0.7))
def test_inside_agrees_with_the_winding_number(corners, mass, arm):
    got = margins(mass, arm, limits(corners))
    angles = np.unwrap([np.arctan2((b - mass) / 300.0, a - arm) for a, b in [*corners, corners[0]]])
    winding = round((angles[-1] - angles[0]) / (2.0 * np.pi))
    if abs(got.envelope_distance) > 1e-9:
        assert bool(got.inside) is (winding != 0)


def test_a_lower_greatest_mass_than_the_envelope_counts():
    both = Limits(maximum_mass=500.0, envelope=limits(PLAIN).envelope)
    assert_allclose(margins(520.0, 0.4, both).mass, -20.0)
    assert not margins(520.0, 0.4, both).inside
    assert margins(490.0, 0.4, both).inside


def test_many_points_at_once_are_the_same_as_one_by_one():
    masses, arms = np.array([[300.0], [450.0], [505.0]]), np.array([0.25, 0.30, 0.40, 0.55])
    got = margins(masses, arms, limits(NOTCHED))
    for i, mass in enumerate(masses[:, 0]):
        for j, arm in enumerate(arms):
            one = margins(mass, arm, limits(NOTCHED))
            assert_allclose(got.envelope_distance[i, j], one.envelope_distance, rtol=1e-14)
            assert_allclose(got.arm[i, j], one.arm, rtol=1e-14)
            assert got.inside[i, j] == one.inside


@pytest.mark.parametrize(
    ("corners", "message"),
    [
        ([], "at least three corners"),
        (PLAIN[:2], "at least three corners"),
        ([(0.2, 300.0), (0.4, 400.0), (0.6, 500.0)], "has no area"),
        ([(0.3, 300.0), (0.3, 400.0), (0.3, 500.0)], "has no area"),
        ([*PLAIN, PLAIN[0]], "two corners of the envelope are the same"),
        ([(0.2, 300.0), (0.6, 600.0), (0.6, 300.0), (0.2, 600.0)], "has no area"),
        ([(0.2, 300.0), (0.6, 600.0), (0.5, 300.0), (0.2, 550.0)], "edges of the envelope cross"),
        ([(0.2, 300.0), (0.2, 600.0), (0.6, 600.0), (0.1, 450.0), (0.6, 300.0)], "edges of the envelope cross"),
        # a spike that turns back along its own edge, and a corner that touches another edge
        ([(0.2, 300.0), (0.2, 600.0), (0.2, 450.0), (0.6, 450.0)], "edges of the envelope"),
        ([(0.2, 300.0), (0.2, 600.0), (0.6, 600.0), (0.2, 450.0), (0.6, 300.0)], "edges of the envelope"),
    ],
)
def test_refuses_what_is_no_polygon(corners, message):
    with pytest.raises(Refusal, match=message) as refused:
        refuse_crossing(limits(corners).envelope, "/aircraft/envelope")
    assert refused.value.where == "/aircraft/envelope"


@pytest.mark.parametrize("corners", [PLAIN, NOTCHED, PLAIN[::-1], [(0.2, 300.0), (0.6, 300.0), (0.4, 500.0)]])
def test_accepts_a_polygon(corners):
    refuse_crossing(limits(corners).envelope, "/aircraft/envelope")


@pytest.mark.parametrize("corners", [PLAIN, NOTCHED])
def test_the_margin_along_the_arm_alone_is_that_of_all_margins(corners):
    random = np.random.default_rng(7)
    mass, arm = random.uniform(250.0, 650.0, 2000), random.uniform(0.1, 0.7, 2000)
    np.testing.assert_array_equal(arm_margin(mass, arm, limits(corners)), margins(mass, arm, limits(corners)).arm)
    plain = Limits(forward=0.27, aft=0.49)
    np.testing.assert_array_equal(arm_margin(mass, arm, plain), margins(mass, arm, plain).arm)
