"""Over the obstacle: the climb after lift-off and the approach with its flare, against energy, geometry and motion."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import solve_ivp

from climbwright.flight.runway import airborne_distance, approach_distance

G = 9.80665
gradients = st.floats(0.04, 0.25)
speeds = st.floats(15.0, 40.0)
heights = st.floats(5.0, 30.0)
slopes = st.floats(-0.03, 0.03)
winds = st.floats(-6.0, 12.0)
angles = st.floats(2.0, 9.0)  # [deg]
increments = st.floats(0.05, 0.3)


@given(gradients, speeds, st.floats(1.0, 1.2), heights, winds, slopes, st.floats(0.0, 3.0))
def test_energy_of_the_climb(gradient, lift_off, faster, height, wind, slope, rotation):
    """Excess thrust times the way through the air buys height, the ground's rise included, and speed."""
    weight, obstacle_speed = 4800.0, faster * lift_off
    got = airborne_distance(gradient * weight, weight, lift_off, obstacle_speed, height, wind, slope, rotation)
    over_ground = got - (lift_off - wind) * rotation
    mean = 0.5 * (lift_off + obstacle_speed)
    through_air = over_ground + wind * over_ground / (mean - wind)
    bought = weight * (height + slope * over_ground) + 0.5 * weight / G * (obstacle_speed**2 - lift_off**2)
    assert_allclose(gradient * weight * through_air, bought, rtol=1e-11)


@given(gradients, speeds, heights, winds, slopes)
def test_climb_step_by_step(gradient, speed, height, wind, slope):
    """A point that flies at a steady speed until it is that far above ground that rises or falls."""
    climb = gradient * speed

    def above(_, state):
        return state[1] - slope * state[0] - height

    above.terminal = True
    start = [(speed - wind) * 1.0, slope * (speed - wind) * 1.0]  # a second of rotation on the ground
    run = solve_ivp(lambda _, state: [speed - wind, climb], (0.0, 1e4), start, events=above, rtol=1e-10, max_step=1e3)
    assert_allclose(airborne_distance(gradient * 1e3, 1e3, speed, speed, height, wind, slope), run.y[0, -1], rtol=1e-9)


def test_climb_by_hand():
    # 10 m up and 2.5 m of energy height at one in eight: 100 m; a second at 20 m/s before it
    assert_allclose(airborne_distance(600.0, 4800.0, 20.0, np.sqrt(400.0 + 5.0 * G), 10.0), 120.0, rtol=1e-14)


def test_no_climb_no_distance():
    excess = np.array([-100.0, 0.0, 90.0, 110.0])
    got = airborne_distance(excess, 5000.0, 20.0, 22.0, 15.0, slope=0.02)
    assert np.isnan(got).tolist() == [True, True, True, False]
    # a tailwind takes it over more of the rising ground in the same time
    assert np.isnan(airborne_distance(110.0, 5000.0, 20.0, 22.0, 15.0, headwind=-5.0, slope=0.02))


def test_wind_as_fast_as_the_climb_needs_no_ground():
    assert airborne_distance(600.0, 4800.0, 20.0, 22.0, 15.0, headwind=25.0) == 0.0


def test_speed_to_spare_carries_over_the_obstacle_at_once():
    assert airborne_distance(600.0, 4800.0, 30.0, 20.0, 10.0, rotation_time=0.0) == 0.0


def flown_backwards(height, approach, touchdown, angle, increment, wind):
    """From the touchdown back: the path bends by the extra load, then runs straight, until the height is there."""
    mean = 0.5 * (approach + touchdown)
    turn = increment * G / mean  # [rad/s]

    def high(_, state):
        return state[1] - height

    def straight(_, state):
        return state[2] - angle

    def bending(_, state):
        return [mean * np.cos(state[2]) - wind, mean * np.sin(state[2]), turn]

    high.terminal = straight.terminal = True
    close = {"rtol": 1e-11, "atol": 1e-11}
    flare = solve_ivp(bending, (0.0, 1e3), [0.0, 0.0, 0.0], events=[high, straight], **close)
    x, h, _ = flare.y[:, -1]
    if h >= height - 1e-9:
        return x
    time = (height - h) / (approach * np.sin(angle))
    return x + (approach * np.cos(angle) - wind) * time


@given(st.floats(0.5, 30.0), speeds, st.floats(0.8, 1.0), angles, increments, winds)
def test_approach_and_flare_flown_backwards(height, approach, slower, angle, increment, wind):
    """In still air exactly; the wind is given the time of the level distance, 1 - cos(angle) less than it has."""
    angle = np.radians(angle)
    for w in (0.0, wind):
        got = approach_distance(height, approach, slower * approach, angle, increment, w)
        expected = flown_backwards(height, approach, slower * approach, angle, increment, w)
        still = flown_backwards(height, approach, slower * approach, angle, increment, 0.0)
        margin = abs(w) / (slower * approach) * (1.0 / np.cos(angle) - 1.0) * still
        assert_allclose(got, expected, rtol=1e-8, atol=margin + 1e-8)


@given(st.floats(10.0, 30.0), speeds, angles, increments, st.floats(-0.02, 0.03))
def test_approach_above_sloping_ground(height, speed, angle, increment, slope):
    """The same path turned by the slope; heights above the ground upright, good to the slope times the angle."""
    angle = np.radians(angle)
    assume(np.tan(angle) + slope > 0.02)
    got = approach_distance(height, speed, speed, angle, increment, slope=slope)
    turned = np.arctan(slope)
    radius = speed**2 / (G * increment)
    steeper = angle + turned
    arc = min(height, radius * (1.0 - np.cos(steeper)))
    expected = np.sqrt(arc * (2.0 * radius - arc)) + (height - arc) / np.tan(steeper)
    assert_allclose(got, expected, rtol=0.0, atol=3.0 * abs(slope) * steeper * expected + 1e-9)


def test_an_obstacle_within_the_flare_joins_on_without_a_step():
    radius, angle = 22.5**2 / (G * 0.1), np.radians(4.0)
    top = radius * (1.0 - np.cos(angle))
    heights = top + np.array([-1e-6, 0.0, 1e-6])
    got = approach_distance(heights, 24.0, 21.0, angle, 0.1)
    assert_allclose(got[1], radius * np.sin(angle), rtol=1e-12)
    # up to the top and beyond it the path falls by its angle
    assert_allclose(np.diff(got), 1e-6 / np.tan(angle), rtol=1e-3)
    assert approach_distance(0.0, 24.0, 21.0, angle, 0.1) == 0.0


def test_ground_that_falls_away_is_never_reached():
    got = approach_distance(15.0, 25.0, 22.0, np.radians(3.0), 0.1, slope=[-0.06, -0.05, 0.0])
    assert np.isnan(got).tolist() == [True, False, False]


@pytest.mark.parametrize("wind", [25.0, 40.0])
def test_approach_against_a_wind_as_fast(wind):
    assert approach_distance(15.0, 25.0, 22.0, np.radians(4.0), 0.1, headwind=wind) == 0.0
