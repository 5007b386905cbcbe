"""Constant-speed propellers: the momentum bound, the balance of energy, and every speed against a search for it."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight import constant_speed
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.momentum import momentum_thrust
from climbwright.roots import falling_root

from .machines import (
    SEA_LEVEL_DENSITY,
    airframes,
    density_ratios,
    excess_power,
    excess_thrust,
    greatest_crossing,
    top,
)

CLOSE = 5e-7  # [m/s]
power_ratios = st.floats(0.3, 1.1)
headwinds = st.floats(-20.0, 20.0)
propellers = st.builds(
    ConstantSpeed,
    power=st.floats(25e3, 200e3),
    diameter=st.floats(1.3, 2.2),
    quality=st.floats(0.75, 0.95),
    static_quality=st.floats(0.45, 0.75),
    quality_speed=st.floats(15.0, 50.0),
)


def many(count, seed):
    """Propellers, airframes and air at random over a wide range; a static quality may even be above the quality."""
    random = np.random.default_rng(seed)

    def evenly(low, high):
        return random.uniform(low, high, count)

    def by_ratio(low, high):
        return np.exp(evenly(np.log(low), np.log(high)))

    propeller = ConstantSpeed(
        power=by_ratio(15e3, 300e3),
        diameter=evenly(1.1, 2.6),
        quality=evenly(0.6, 0.95),
        static_quality=evenly(0.4, 0.9),
        quality_speed=evenly(10.0, 80.0),
    )
    airframe = Airframe(
        weight=by_ratio(1500.0, 20000.0),
        parasite_area=by_ratio(0.15, 1.2),
        span=evenly(6.0, 14.0),
        span_efficiency=evenly(0.6, 0.9),
        load_factor=evenly(1.0, 2.0),
    )
    return propeller, airframe, evenly(0.05, 1.2), evenly(0.3, 1.2), evenly(0.0, 120.0)


def share_into_the_stream(propeller, true):
    """Quality, written out."""
    gap, fraction = propeller.quality - propeller.static_quality, true / propeller.quality_speed
    return np.where(fraction < 1.0, propeller.static_quality + gap * (2.0 * fraction - fraction**2), propeller.quality)


def induced(thrust, diameter, density, true):
    """w of T = 2 rho A (V + w) w by the formula for a quadratic."""
    two_rho_area = density * np.pi * diameter**2 / 2.0
    return (np.sqrt(true**2 + 4.0 * thrust / two_rho_area) - true) / 2.0


def test_no_thrust_exceeds_the_momentum_bound_at_any_speed():
    """10,000 propellers: a loss-free disc would need less power for the thrust; that share is the quality."""
    propeller, _, phi, sigma, true = many(10_000, 1)
    for v in (true, np.zeros(10_000)):
        thrust = propeller.thrust(v, phi, sigma)
        density, power = sigma * SEA_LEVEL_DENSITY, propeller.power * phi
        least = thrust * (v + induced(thrust, propeller.diameter, density, v))
        assert np.all(least < power)
        assert np.all(thrust < momentum_thrust(power, propeller.diameter, density, v))
        assert_allclose(least / power, share_into_the_stream(propeller, v), rtol=1e-9)


def test_shaft_power_is_drag_power_climb_power_and_losses():
    """10,000 states: P = D V + W dh/dt + T w + (1 - q) P."""
    propeller, airframe, phi, sigma, true = many(10_000, 2)
    true = np.maximum(true, 1.0)
    density, power = sigma * SEA_LEVEL_DENSITY, propeller.power * phi
    thrust, drag = propeller.thrust(true, phi, sigma), airframe.drag(true, density)
    rate = true * (thrust - drag) / airframe.weight
    stream = thrust * induced(thrust, propeller.diameter, density, true)
    blades = (1.0 - share_into_the_stream(propeller, true)) * power
    spent = drag * true + airframe.weight * rate + stream + blades
    assert np.max(np.abs(spent - power) / np.maximum(power, drag * true)) < 1e-9


def test_in_level_flight_at_part_throttle_too():
    """10,000 states: P = D V + D w + (1 - q) P."""
    propeller, airframe, _, sigma, true = many(10_000, 3)
    true = np.maximum(true, 1.0)
    density = sigma * SEA_LEVEL_DENSITY
    drag = airframe.drag(true, density)
    power = propeller.power_for(drag, true, sigma)
    stream = drag * induced(drag, propeller.diameter, density, true)
    blades = (1.0 - share_into_the_stream(propeller, true)) * power
    assert_allclose(drag * true + stream + blades, power, rtol=1e-9)


def test_power_for_a_thrust_is_the_inverse_of_thrust():
    propeller, _, phi, sigma, true = many(10_000, 4)
    thrust = propeller.thrust(true, phi, sigma)
    assert_allclose(propeller.power_for(thrust, true, sigma), propeller.power * phi, rtol=1e-13)
    assert_allclose(propeller.delivered(phi, sigma), propeller.power * phi, rtol=1e-15)


@given(propellers)
def test_quality_rises_smoothly_to_its_full_value(propeller):
    static, full, speed = propeller.static_quality, propeller.quality, propeller.quality_speed
    assert_allclose(propeller.quality_at([0.0, speed, 2.0 * speed]), [static, full, full], rtol=1e-15)
    steps = propeller.quality_at(np.linspace(0.0, 1.5 * speed, 301))
    assert np.all(np.diff(steps) >= 0.0)
    bends = np.diff(steps, 2)  # ever less steep, and without a corner where the rise ends
    assert np.all((bends <= 1e-15) & (bends >= -2.001 * (full - static) * 0.005**2 - 1e-15))


@given(propellers, airframes, power_ratios, density_ratios)
def test_best_rate_speed(propeller, airframe, phi, sigma):
    expected = top(excess_power(propeller, airframe, phi, sigma))
    assume(abs(expected / propeller.quality_speed - 1.0) > 0.01)  # where the search's slope is blurred
    assert_allclose(propeller.best_rate_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)


@given(propellers, airframes, power_ratios, density_ratios)
def test_best_angle_speed(propeller, airframe, phi, sigma):
    expected = top(excess_thrust(propeller, airframe, phi, sigma))
    assume(abs(expected / propeller.quality_speed - 1.0) > 0.01)
    assert_allclose(propeller.best_angle_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)


@given(propellers, airframes, power_ratios, density_ratios)
def test_greatest_level_speed(propeller, airframe, phi, sigma):
    power = excess_power(propeller, airframe, phi, sigma)
    most = power(top(power))
    assume(abs(most) > 1.0)  # within a watt of the ceiling the two crossings meet and neither is sharp
    expected = greatest_crossing(power)
    assert np.isnan(expected) == (most < 0.0)
    got = propeller.greatest_level_speed(airframe, phi, sigma)
    assert_allclose(got, expected, rtol=0.0, atol=CLOSE)


@given(propellers, airframes, density_ratios)
def test_longest_endurance_speed(propeller, airframe, sigma):
    def spared(true):
        return -propeller.power_for(airframe.drag(true, sigma * SEA_LEVEL_DENSITY), true, sigma)

    expected = top(spared)
    assume(abs(expected / propeller.quality_speed - 1.0) > 0.01)
    assert_allclose(propeller.longest_endurance_speed(airframe, sigma), expected, rtol=0.0, atol=CLOSE)


@given(propellers, airframes, density_ratios, headwinds)
def test_longest_range_speed(propeller, airframe, sigma, headwind):
    def distance(true):
        power = propeller.power_for(airframe.drag(true, sigma * SEA_LEVEL_DENSITY), true, sigma)
        return (true - headwind) / power

    expected = top(distance, low=max(2.0, 1.01 * headwind))
    assume(abs(expected / propeller.quality_speed - 1.0) > 0.01)
    got = propeller.longest_range_speed(airframe, sigma, headwind)
    assert_allclose(got, expected, rtol=0.0, atol=CLOSE)


def greatest(function, low, high):
    """The greatest value between two ends for many functions at once: a scan, then a golden section."""
    places = low + (high - low) * np.linspace(0.0, 1.0, 241)[:, None]
    best = np.argmax([function(place) for place in places], axis=0)
    step, here = (high - low) / 240.0, np.take_along_axis(places, best[None], axis=0)[0]
    a, b = np.maximum(here - step, low), np.minimum(here + step, high)
    share = (np.sqrt(5.0) - 1.0) / 2.0
    for _ in range(60):
        c, d = b - share * (b - a), a + share * (b - a)
        left = function(c) > function(d)
        a, b = np.where(left, a, c), np.where(left, d, b)
    return function(0.5 * (a + b))


@pytest.mark.parametrize("excess", [excess_power, excess_thrust])
def test_nothing_better_is_found_at_any_speed_by_thousands_of_aeroplanes(excess):
    """Of the wide range too, and the values agree to 1e-10 of the drag that is flown against."""
    propeller, airframe, phi, sigma, _ = many(5_000, 5)
    function = excess(propeller, airframe, phi, sigma)
    name = "best_rate_speed" if excess is excess_power else "best_angle_speed"
    speed = getattr(propeller, name)(airframe, phi, sigma)
    found = greatest(function, 1.0, 400.0)
    scale = airframe.drag(speed, sigma * SEA_LEVEL_DENSITY) * (speed if excess is excess_power else 1.0)
    assert np.all(np.isfinite(speed))
    assert np.max(np.abs(function(speed) - found) / scale) < 1e-10


def test_level_flight_of_thousands_of_aeroplanes():
    """Held where the best rate says so, with all of the power; none faster to the last metre a second searched."""
    propeller, airframe, phi, sigma, _ = many(5_000, 6)
    power = excess_power(propeller, airframe, phi, sigma)
    speed, best = (
        getattr(propeller, name)(airframe, phi, sigma) for name in ("greatest_level_speed", "best_rate_speed")
    )
    flies = np.isfinite(speed)
    assert np.array_equal(flies, power(best) >= 0.0)
    assert 1_000 < flies.sum() < 4_000
    shaft = propeller.power_for(airframe.drag(speed, sigma * SEA_LEVEL_DENSITY), speed, sigma)
    assert_allclose(shaft[flies], (propeller.power * phi)[flies], rtol=1e-12)
    assert np.all(speed[flies] >= best[flies])
    for more in (0.01, 0.1, 1.0, 10.0, 100.0):
        assert np.all(power(speed + more)[flies] < 0.0)


def test_level_speed_at_a_power():
    propeller, airframe = ConstantSpeed(90e3, 1.8, 0.85, 0.62, 30.0), Airframe(5500.0, 0.5, 9.8, 0.77)
    speed = propeller.level_speed(airframe, [55e3, 80e3, 200e3], 0.9, 0.8)
    shaft = propeller.power_for(airframe.drag(speed, 0.8 * SEA_LEVEL_DENSITY), speed, 0.8)
    assert_allclose(shaft, [55e3, 80e3, 81e3], rtol=1e-12)
    assert np.isnan(propeller.level_speed(airframe, 5e3, 0.9, 0.8))


@given(propellers, airframes, power_ratios, density_ratios)
def test_the_speeds_come_in_order(propeller, airframe, phi, sigma):
    """Angle below rate below level, and endurance below range, where the aeroplane can fly at all."""
    angle, rate, level = (
        getattr(propeller, name)(airframe, phi, sigma)
        for name in ("best_angle_speed", "best_rate_speed", "greatest_level_speed")
    )
    assume(excess_power(propeller, airframe, phi, sigma)(rate) > 1.0)
    assert angle < rate < level
    assert propeller.longest_endurance_speed(airframe, sigma) < propeller.longest_range_speed(airframe, sigma)


def test_a_best_speed_right_at_the_quality_speed():
    """Where the slope has its corner."""
    airframe = Airframe(5500.0, 0.5, 9.8, 0.77)
    for name, excess in (("best_rate_speed", excess_power), ("best_angle_speed", excess_thrust)):
        speed = 30.0
        for _ in range(60):  # the quality speed that is its own best speed
            speed = getattr(ConstantSpeed(90e3, 1.8, 0.85, 0.62, speed), name)(airframe, 1.0, 1.0)
        propeller = ConstantSpeed(90e3, 1.8, 0.85, 0.62, speed)
        function = excess(propeller, airframe, 1.0, 1.0)
        got = getattr(propeller, name)(airframe, 1.0, 1.0)
        assert_allclose(function(got), greatest(function, np.array([5.0]), np.array([90.0]))[0], rtol=1e-12)


@given(airframes, density_ratios)
def test_without_power_the_best_speeds_are_those_of_the_glide(airframe, sigma):
    propeller = ConstantSpeed(60e3, 1.7, 0.85, 0.62, 28.0)
    drag = excess_power(ConstantSpeed(0.0, 1.7, 0.85, 0.62, 28.0), airframe, 1.0, sigma)
    assert_allclose(propeller.best_rate_speed(airframe, 0.0, sigma), top(drag), rtol=0.0, atol=CLOSE)
    flattest = top(lambda v: drag(v) / v)
    assert_allclose(propeller.best_angle_speed(airframe, 0.0, sigma), flattest, rtol=0.0, atol=CLOSE)
    assert np.isnan(propeller.greatest_level_speed(airframe, 0.0, sigma))
    assert propeller.thrust(20.0, 0.0, sigma) == 0.0


def test_more_aeroplanes_at_once_are_the_same_as_one_by_one():
    weights, sigmas, speeds = np.array([[4000.0], [6000.0]]), np.array([1.0, 0.8, 0.6]), np.array([25.0, 60.0])
    for name in ("best_rate_speed", "best_angle_speed", "greatest_level_speed"):
        together = ConstantSpeed(80e3, 1.7, 0.85, 0.62, speeds[:, None, None])
        got = getattr(together, name)(Airframe(weights, 0.6, 9.9, 0.74), 0.9 * sigmas, sigmas)
        assert got.shape == (2, 2, 3)
        for i, j, k in np.ndindex(got.shape):
            alone = ConstantSpeed(80e3, 1.7, 0.85, 0.62, speeds[i])
            airframe = Airframe(weights[j, 0], 0.6, 9.9, 0.74)
            one = getattr(alone, name)(airframe, 0.9 * sigmas[k], sigmas[k])
            assert_allclose(got[i, j, k], one, rtol=1e-13)


def test_what_is_not_known_of_one_aeroplane_does_not_touch_the_others():
    airframe = Airframe(np.array([4500.0, np.nan, 5500.0]), 0.6, 9.9, 0.74)
    propeller = ConstantSpeed(80e3, 1.7, 0.85, 0.62, 28.0)
    for name in ("best_rate_speed", "best_angle_speed", "greatest_level_speed"):
        got = getattr(propeller, name)(airframe, 1.0, 1.0)
        assert np.array_equal(np.isnan(got), [False, True, False])


@pytest.mark.parametrize("name", ["best_rate_speed", "best_angle_speed", "greatest_level_speed"])
def test_a_few_rounds_are_enough(name, monkeypatch):
    """Slopes that were wrong would still lead there, slowly. With little power to spare level flight takes longest."""
    rounds = []

    def counted(function, *others):
        def wrapped(true):
            rounds.append(true)
            return function(true)

        return falling_root(wrapped, *others)

    monkeypatch.setattr(constant_speed, "falling_root", counted)
    _, airframe, _, _, _ = many(2_000, 7)
    propeller = ConstantSpeed(np.linspace(150e3, 250e3, 2_000), 1.9, 0.85, 0.62, 35.0)
    light = Airframe(np.minimum(airframe.weight, 9000.0), airframe.parasite_area, airframe.span, 0.75)
    assert np.all(np.isfinite(getattr(propeller, name)(light, 0.9, 0.8)))
    assert len(rounds) <= 7
