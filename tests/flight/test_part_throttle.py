"""Part throttle: level speed and shaft power as each other's inverse, and the speeds of least fuel by search."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch

from .crowds import crowd, linear_terms, written_out_drag
from .machines import SEA_LEVEL_DENSITY, airframes, density_ratios, propulsions, top

MANY = 10_000
CLOSE = 5e-7  # [m/s]
headwinds = st.floats(-40.0, 40.0)
KINDS = ["torque", "power", "even"]
kinds = pytest.mark.parametrize("kind", KINDS)


def many(kind, seed):
    """A crowd whose propulsion is a fixed pitch limited by torque or power, or one of even efficiency."""
    all_ = crowd(MANY, seed, "torque" if kind == "even" else kind)
    fixed = all_.propulsion
    if kind == "even":
        return all_._replace(propulsion=ConstantEfficiency(fixed.power, fixed.best_efficiency))
    return all_


def level_power(propulsion, airframe, sigma):
    """Shaft power of level flight as a function of true airspeed."""
    return lambda v: propulsion.power_for(airframe.drag(v, sigma * SEA_LEVEL_DENSITY), v, sigma)


def settings(propulsion, phi, sigma, seed):
    """Shaft powers from a twentieth to one and a half times of what full throttle gives."""
    return propulsion.delivered(phi, sigma) * np.random.default_rng(seed).uniform(0.05, 1.5, MANY)


@kinds
def test_level_speed_takes_the_power_it_was_asked_for(kind):
    """10,000 settings: power for the drag at the level speed gives the setting back, or full throttle's power."""
    propulsion, airframe, phi, sigma, _ = many(kind, 41)
    asked = settings(propulsion, phi, sigma, 42)
    speed = propulsion.level_speed(airframe, asked, phi, sigma)
    flies = np.isfinite(speed)
    assert 2_000 < flies.sum() < 8_000
    drag = written_out_drag(airframe, speed, sigma * SEA_LEVEL_DENSITY)
    got = propulsion.power_for(drag, speed, sigma)[flies]
    assert_allclose(got, np.minimum(asked, propulsion.delivered(phi, sigma))[flies], rtol=1e-9)


@kinds
def test_level_flight_is_held_where_the_setting_gives_the_least_power_and_on_its_fast_side(kind):
    propulsion, airframe, phi, sigma, _ = many(kind, 43)
    asked = settings(propulsion, phi, sigma, 44)
    power, slowest = level_power(propulsion, airframe, sigma), propulsion.longest_endurance_speed(airframe, sigma)
    given = np.minimum(asked, propulsion.delivered(phi, sigma)) / power(slowest)
    assert np.all(np.abs(given - 1.0) > 1e-9)  # where the two speeds of one power meet neither is sharp
    speed = propulsion.level_speed(airframe, asked, phi, sigma)
    assert np.array_equal(np.isfinite(speed), given > 1.0)
    flies = np.isfinite(speed)
    assert np.all(speed[flies] > slowest[flies])


@kinds
def test_a_speed_comes_back_from_the_power_that_it_takes(kind):
    """The other way round, at speeds above that of least power."""
    propulsion, airframe, phi, sigma, _ = many(kind, 45)
    slowest = propulsion.longest_endurance_speed(airframe, sigma)
    speed = slowest * np.random.default_rng(46).uniform(1.05, 4.0, MANY)
    asked = level_power(propulsion, airframe, sigma)(speed)
    enough = asked < propulsion.delivered(phi, sigma)
    assert enough.sum() > 1_000
    assert_allclose(propulsion.level_speed(airframe, asked, phi, sigma)[enough], speed[enough], rtol=1e-9)


@kinds
def test_at_full_throttle_level_speed_is_the_greatest(kind):
    propulsion, airframe, phi, sigma, _ = many(kind, 47)
    greatest = propulsion.greatest_level_speed(airframe, phi, sigma)
    assert np.array_equal(propulsion.level_speed(airframe, np.inf, phi, sigma), greatest, equal_nan=True)
    least = level_power(propulsion, airframe, sigma)(propulsion.longest_endurance_speed(airframe, sigma))
    full = propulsion.delivered(phi, sigma)
    clear = np.abs(full / least - 1.0) > 1e-4  # closer to the ceiling a rounding of power is magnified in the speed
    got = propulsion.level_speed(airframe, full, phi, sigma)
    assert_allclose(got[clear], greatest[clear], rtol=1e-11)
    assert np.isfinite(greatest[clear]).sum() > 1_000


@kinds
def test_part_throttle_is_never_faster_than_full_nor_than_more(kind):
    propulsion, airframe, phi, sigma, _ = many(kind, 48)
    greatest = propulsion.greatest_level_speed(airframe, phi, sigma)
    shares = np.linspace(0.05, 3.0, 60)[:, None]
    speeds = propulsion.level_speed(airframe, shares * propulsion.delivered(phi, sigma), phi, sigma)
    holds = np.isfinite(speeds)
    assert np.all((speeds <= greatest * (1.0 + 1e-12)) | ~holds)  # equal at full throttle but for rounding
    assert np.all(np.isfinite(greatest) | ~holds)
    assert np.all(holds[1:] | ~holds[:-1])
    with np.errstate(invalid="ignore"):
        assert not np.any(np.diff(speeds, axis=0) / greatest < -1e-12)


@pytest.mark.parametrize("limited_by", ["torque", "power"])
def test_full_throttle_of_a_fixed_pitch_is_part_throttle_at_the_delivered_power(limited_by):
    """10,000 states: the power for full throttle's thrust is what is delivered, at any airspeed."""
    propulsion, _, phi, sigma, true = crowd(MANY, 49, limited_by)
    E0, F0 = linear_terms(propulsion)
    thrust = propulsion.thrust(true, phi, sigma)
    kept = (thrust - F0 * sigma * true**2) / np.abs(F0 * sigma * true**2)
    sharp = kept > 1e-2  # else F V² has taken E's digits from the thrust
    got = propulsion.power_for(thrust, true, sigma)
    assert_allclose(got[sharp], propulsion.delivered(phi, sigma)[sharp], rtol=1e-11)
    # and at p of rated power E = E0 (p² sigma)^(1/3)
    p = propulsion.delivered(phi, sigma) / propulsion.power
    assert_allclose(E0 * propulsion.thrust_ratio(phi, sigma), E0 * (p**2 * sigma) ** (1.0 / 3.0), rtol=1e-13)


@given(propulsions, airframes, density_ratios)
def test_longest_endurance_speed(propulsion, airframe, sigma):
    power = level_power(propulsion, airframe, sigma)
    expected = top(lambda v: -power(v))
    assert_allclose(propulsion.longest_endurance_speed(airframe, sigma), expected, rtol=0.0, atol=CLOSE)


@given(propulsions, airframes, density_ratios, headwinds)
def test_longest_range_speed(propulsion, airframe, sigma, headwind):
    """Head- and tailwinds to 40 m/s."""
    power = level_power(propulsion, airframe, sigma)
    expected = top(lambda v: (v - headwind) / power(v), low=max(2.0, 1.01 * headwind))
    got = propulsion.longest_range_speed(airframe, sigma, headwind)
    assert_allclose(got, expected, rtol=0.0, atol=CLOSE)


@given(propulsions, airframes, density_ratios)
def test_without_wind_range_is_flown_faster_than_endurance(propulsion, airframe, sigma):
    """By 3^(1/4) where power is drag times speed, by 2^(1/4) with a fixed pitch, whose best J moves with it."""
    faster = 2.0 if isinstance(propulsion, FixedPitch) else 3.0
    endurance = propulsion.longest_endurance_speed(airframe, sigma)
    assert_allclose(propulsion.longest_range_speed(airframe, sigma), faster**0.25 * endurance, rtol=1e-13)
    assert_allclose(propulsion.longest_range_speed(airframe, sigma, 0.0), faster**0.25 * endurance, rtol=1e-13)


@given(propulsions, airframes, density_ratios, st.floats(-40.0, 39.0), st.floats(0.01, 1.0))
def test_into_wind_faster_and_always_above_the_endurance_speed(propulsion, airframe, sigma, wind, more):
    slow, fast = (propulsion.longest_range_speed(airframe, sigma, w) for w in (wind, wind + more))
    assert propulsion.longest_endurance_speed(airframe, sigma) < slow < fast


def test_more_aeroplanes_at_once_are_the_same_as_one_by_one():
    weights, sigmas, asked = np.array([[4000.0], [6000.0]]), np.array([1.0, 0.8, 0.6]), 40e3
    for propulsion in (FixedPitch(60e3, 0.7, 40.0), ConstantEfficiency(60e3, 0.7)):
        level = propulsion.level_speed(Airframe(weights, 0.6, 9.9, 0.74), asked, 0.9 * sigmas, sigmas)
        windy = propulsion.longest_range_speed(Airframe(weights, 0.6, 9.9, 0.74), sigmas, 7.0)
        for i, j in np.ndindex(2, 3):
            airframe, sigma = Airframe(weights[i, 0], 0.6, 9.9, 0.74), sigmas[j]
            assert_allclose(level[i, j], propulsion.level_speed(airframe, asked, 0.9 * sigma, sigma), rtol=1e-13)
            assert_allclose(windy[i, j], propulsion.longest_range_speed(airframe, sigma, 7.0), rtol=1e-13)
