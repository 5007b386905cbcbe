"""True airspeed and wind from ground speeds: made from a known wind and found again, solved by others, and refused."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import fsolve, least_squares

from climbwright.air.ground_speed import from_headings, from_tracks, widest_three

SOLVED = {"track": from_tracks, "heading": from_headings}
every_kind = pytest.mark.parametrize("kind", SOLVED)


def flown(true, wind_speed, wind_from, headings):
    """Ground speeds and tracks of legs in a wind: the sum of two vectors, with north real and east imaginary."""
    ground = true * np.exp(1j * np.asarray(headings)) - wind_speed * np.exp(1j * np.asarray(wind_from))
    return np.abs(ground), np.mod(np.angle(ground), 2.0 * np.pi)


def solved(kind, true, wind_speed, wind_from, headings):
    speeds, tracks = flown(true, wind_speed, wind_from, headings)
    return SOLVED[kind](list(speeds), list(tracks if kind == "track" else headings))


def drawn(count, legs, seed, strongest=0.9):
    """Airspeeds, winds and headings that lie at least 25 deg apart round the compass."""
    draw = np.random.default_rng(seed)
    true = draw.uniform(10.0, 150.0, count)
    slots = np.arange(legs)[:, None] + draw.uniform(0.0, 0.4, (legs, count))
    headings = np.mod(2.0 * np.pi / legs * slots + draw.uniform(0.0, 2.0 * np.pi, count), 2.0 * np.pi)
    headings = draw.permuted(headings, axis=0)  # flown in any order
    return true, true * draw.uniform(0.01, strongest, count), draw.uniform(0.0, 2.0 * np.pi, count), headings


@every_kind
@pytest.mark.parametrize("legs", [3, 4, 5, 8])
def test_a_known_airspeed_and_wind_are_found_again(kind, legs):
    true, wind_speed, wind_from, headings = drawn(5000, legs, seed=legs)
    found = solved(kind, true, wind_speed, wind_from, headings)
    assert_allclose(found.true, true, rtol=1e-9)
    assert_allclose(found.wind_speed, wind_speed, rtol=1e-9)
    assert_allclose(np.exp(1j * found.wind_direction), np.exp(1j * wind_from), atol=1e-9)
    assert np.all((found.wind_direction >= 0.0) & (found.wind_direction <= 2.0 * np.pi))
    if legs == 3:
        assert np.isnan(found.residual).all()
    else:
        assert_allclose(found.residual / true, 0.0, atol=1e-9)


def test_tracks_tell_a_wind_above_the_airspeed():
    true, wind_speed, wind_from, headings = drawn(2000, 3, seed=17, strongest=0.9)
    found = solved("track", true, wind_speed + true, wind_from, headings)
    assert_allclose(found.true, true, rtol=1e-9)
    assert_allclose(found.wind_speed, wind_speed + true, rtol=1e-9)


def test_headings_cannot_tell_airspeed_and_wind_apart():
    headings = np.radians([20.0, 130.0, 260.0])
    found = from_headings(list(flown(15.0, 40.0, 1.0, headings)[0]), list(headings))
    assert_allclose([found.true, found.wind_speed], [40.0, 15.0], rtol=1e-12)


def test_agrees_with_the_published_example():
    """D. Gray 1998 (seen as quoted in a public derivation): 130 kt, wind 20.6 kt from 314.8, on 199.7, 287.8, 11.7."""
    speeds, tracks = [140.0, 112.0, 120.0], np.radians([192.0, 283.0, 20.0])
    found = from_tracks(speeds, list(tracks))
    assert_allclose(found.true, 130.0, atol=0.05)
    assert_allclose(found.wind_speed, 20.6, atol=0.05)
    assert_allclose(np.degrees(found.wind_direction), 314.8, atol=0.05)
    # and on the headings that it prints, to their tenth of a degree
    by_heading = from_headings(speeds, list(np.radians([199.7, 287.8, 11.7])))
    assert_allclose([by_heading.true, by_heading.wind_speed], [130.0, 20.6], atol=0.1)


@given(st.floats(30.0, 200.0), st.floats(0.02, 0.9), st.floats(0.0, 6.28), st.floats(0.0, 6.28))
def test_agrees_with_the_formula_for_a_third_of_a_turn(true, share, wind_from, first):
    """Aviation formulary (formula seen as quoted): roots of b^2 - b + mu for headings 120 deg apart."""
    headings = first + np.radians([0.0, 120.0, 240.0])
    square = flown(true, share * true, wind_from, headings)[0] ** 2
    mean = square.mean()
    mu = np.sum((square / mean - 1.0) ** 2) / 6.0
    greater = 0.5 + np.sqrt(max(0.25 - mu, 0.0))
    found = from_headings(list(np.sqrt(square)), list(headings))
    # at the double root V = w the formula loses half of its digits
    assert_allclose(found.true, np.sqrt(mean * greater), rtol=1e-7)
    assert_allclose(found.wind_speed, np.sqrt(mean * mu / greater), rtol=1e-7)


NOTED = [44.7, 36.6, 41.2]  # [m/s]
COURSES = np.radians([8.0, 131.0, 243.0])


@every_kind
def test_agrees_with_a_search_for_the_roots(kind):
    """Three equations in three unknowns, solved by search from a poor start."""
    ground = NOTED * np.exp(1j * COURSES)

    def wrong(unknown):
        true, north, east = unknown
        wind = north + 1j * east
        if kind == "track":
            return np.abs(ground - wind) - true
        return np.abs(true * np.exp(1j * COURSES) + wind) - NOTED

    true, north, east = fsolve(wrong, [30.0, 1.0, 1.0], xtol=1e-13)
    found = SOLVED[kind](NOTED, list(COURSES))
    assert_allclose(found.true, true, rtol=1e-9)
    assert_allclose(found.wind_speed, np.hypot(north, east), rtol=1e-9)
    assert_allclose(found.wind_direction, np.mod(np.arctan2(-east, -north), 2.0 * np.pi), rtol=1e-9)


@every_kind
@pytest.mark.parametrize("legs", [4, 6, 8])
def test_agrees_with_a_search_for_the_least_squares(kind, legs):
    """Legs with errors, fitted by search; what differs is of the second order of the errors, V (error / V)^2."""
    true, wind_speed, wind_from, headings = (x[..., 0] for x in drawn(1, legs, seed=40 + legs, strongest=0.4))
    speeds, tracks = flown(true, wind_speed, wind_from, headings)
    noise = 0.004 * true
    speeds = speeds + np.random.default_rng(legs).normal(0.0, noise, legs)
    courses = tracks if kind == "track" else headings

    def wrong(unknown):
        fitted, wind = unknown[0], unknown[1] + 1j * unknown[2]
        if kind == "track":
            return np.abs(speeds * np.exp(1j * tracks) - wind) - fitted
        return np.abs(fitted * np.exp(1j * headings) + wind) - speeds

    best = least_squares(wrong, [true, 0.1, 0.1], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    found = SOLVED[kind](list(speeds), list(courses))
    second_order = true * 0.004**2
    assert_allclose(found.true, best.x[0], atol=3.0 * second_order)
    assert_allclose(found.wind_speed, np.hypot(*best.x[1:]), atol=3.0 * second_order)
    assert_allclose(found.residual, np.sqrt(2.0 * best.cost / (legs - 3)), rtol=0.01)
    assert abs(found.true - true) > 10.0 * second_order  # the errors did move it


@every_kind
def test_the_residual_is_the_spread_of_a_ground_speed(kind):
    """Over many flights the mean of its square is the variance of the noise (identity of least squares)."""
    headings = np.radians([0.0, 60.0, 120.0, 180.0, 240.0, 300.0])
    speeds, tracks = flown(40.0, 5.0, 1.0, headings[:, None])
    noisy = speeds + np.random.default_rng(5).normal(0.0, 0.2, (6, 40_000))
    found = SOLVED[kind](list(noisy), list(tracks if kind == "track" else headings))
    # 40,000 draws of 3 degrees of freedom: 0.4 % of one standard deviation; the drift's cosine takes up to 1.6 %
    assert_allclose(np.sqrt(np.mean(found.residual**2)), 0.2, rtol=0.02)


@every_kind
@given(turn=st.floats(0.0, 6.28), scale=st.floats(0.1, 3.0))
def test_another_north_turns_the_wind_alone(kind, turn, scale):
    found = SOLVED[kind]([scale * speed for speed in NOTED], list(COURSES + turn))
    plain = SOLVED[kind](NOTED, list(COURSES))
    assert_allclose(found.true, scale * plain.true, rtol=1e-12)
    assert_allclose(found.wind_speed, scale * plain.wind_speed, rtol=1e-11)
    assert_allclose(np.exp(1j * found.wind_direction), np.exp(1j * (plain.wind_direction + turn)), atol=1e-11)


@every_kind
def test_a_full_turn_more_is_no_other_course(kind):
    once, again = (SOLVED[kind](NOTED, list(COURSES + turns)) for turns in (0.0, [2.0 * np.pi, 0.0, -2.0 * np.pi]))
    assert_allclose(again.true, once.true, rtol=1e-13)


@every_kind
def test_a_calm_has_no_direction(kind):
    found = SOLVED[kind]([40.0, 40.0, 40.0], list(np.radians([10.0, 130.0, 250.0])))
    assert_allclose([found.true, found.wind_speed], [40.0, 0.0], atol=1e-12)
    assert np.isnan(found.wind_direction)


@pytest.mark.parametrize(
    ("speeds", "tracks"),
    [
        ([1.0, np.sqrt(0.5), 1.0], [0.0, 45.0, 90.0]),  # ends on a line across
        ([1.0, 1.1, 0.9], [30.0, 30.0, 30.0]),  # ends on the line of flight
        ([1.0, 1.0, 1.0], [30.0, 30.0, 30.0]),  # one point
        ([1.0, 1.0, 1.2], [30.0, 30.0, 90.0]),  # two points
    ],
)
def test_points_on_a_line_have_no_circle(speeds, tracks):
    for scale in (1e-3, 40.0, 1e3):
        found = from_tracks(list(scale * np.array(speeds)), list(np.radians(tracks)))
        assert np.isnan([found.true, found.wind_speed, found.wind_direction, found.residual]).all()


@pytest.mark.parametrize(
    ("speeds", "headings"),
    [
        ([60.0, 62.0, 60.0], [0.0, 5.0, 10.0]),  # a wind that stirs so much within 5 deg carries all away
        ([10.0, 10.0, 80.0], [0.0, 120.0, 240.0]),
    ],
)
def test_ground_speeds_that_no_airspeed_gives(speeds, headings):
    headings = np.radians(headings)
    found = from_headings(speeds, list(headings))
    assert np.isnan([found.true, found.wind_speed, found.wind_direction, found.residual]).all()

    def wrong(unknown):
        return np.abs(unknown[0] * np.exp(1j * headings) + unknown[1] + 1j * unknown[2]) - speeds

    # a search from many starts finds none either
    starts = np.random.default_rng(3).normal(0.0, 60.0, (20, 3))
    assert min(least_squares(wrong, start).cost for start in starts) > 1e-6


@pytest.mark.parametrize("third", [40.0, 41.0])
def test_two_headings_leave_it_open(third):
    found = from_headings([40.0, 40.0, third], list(np.radians([30.0, 30.0, 90.0])))
    assert np.isnan([found.true, found.wind_speed, found.wind_direction, found.residual]).all()


def test_one_bad_flight_leaves_the_others():
    good = np.array([44.7, 36.6, 41.2])
    speeds = np.stack([good, [60.0, 60.0, 200.0], good], axis=1)
    found = from_headings(list(speeds), list(COURSES))
    assert np.isnan(found.true[1])
    assert_allclose(found.true[[0, 2]], from_headings(NOTED, list(COURSES)).true, rtol=1e-14)


@pytest.mark.parametrize(
    ("courses", "angle"),
    [
        ([0.0, 120.0, 240.0], 120.0),
        ([350.0, 10.0, 180.0], 20.0),
        ([10.0, 10.0, 180.0], 0.0),
        ([0.0, 360.0, 180.0], 0.0),
        ([0.0, 90.0, 180.0, 270.0], 90.0),
        ([0.0, 0.0, 120.0, 240.0], 120.0),  # a leg flown twice takes nothing away
        ([0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0], 90.0),
        ([0.0, 1.0, 2.0, 3.0], 1.0),
    ],
)
def test_how_far_apart_three_legs_lie(courses, angle):
    assert_allclose(np.degrees(widest_three(list(np.radians(courses)))), angle, atol=1e-12)


@pytest.mark.parametrize(
    ("speeds", "courses"), [([40.0, 41.0], [0.0, 2.0]), ([40.0, 41.0, 42.0], [0.0, 2.0]), ([], [])]
)
def test_refuses_fewer_than_three_legs(speeds, courses):
    for solve in SOLVED.values():
        with pytest.raises(ValueError, match="at least 3 legs"):
            solve(speeds, courses)
    with pytest.raises(ValueError, match="at least 3 legs"):
        widest_three(courses)
