"""Momentum theory: its cubic against fifty decimals and against a search, its balance of energy, its ends."""

from decimal import Decimal, getcontext

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.flight.momentum import (
    disc_term,
    ideal_efficiency,
    induced_speed,
    momentum_thrust,
    shaft_power_for,
    through_disc,
)
from climbwright.flight.rotation import ideal_static_thrust

getcontext().prec = 50

powers, diameters = st.floats(1e3, 3e5), st.floats(0.9, 3.0)
densities, airspeeds = st.floats(0.3, 1.4), st.floats(0.0, 130.0)


def in_decimals(power, disc, true):
    """T, u and w by Newton's steps down from above on u³ - V u² = P/(2 rho A), with fifty decimals."""
    p, v = Decimal(float(power)), Decimal(float(true))
    cube = p / Decimal(float(disc))
    u = v + (cube.ln() / 3).exp()
    for _ in range(300):
        step = (u**3 - v * u**2 - cube) / (3 * u**2 - 2 * v * u)
        u -= step
        if abs(step) < u * Decimal(10) ** -45:
            return float(p / u), float(u), float(cube / u**2)
    raise AssertionError("no root")


def test_fifty_decimals_agree_from_standstill_to_a_thousand_metres_a_second():
    random = np.random.default_rng(3)
    power, disc = 10.0 ** random.uniform(-3.0, 7.0, 600), 10.0 ** random.uniform(-1.0, 2.0, 600)
    true = np.concatenate([10.0 ** random.uniform(-20.0, 3.0, 596), [0.0, 1e-300, 1e-8, 1e5]])
    expected = np.array([in_decimals(*case) for case in zip(power, disc, true, strict=True)])
    for got, column in zip(through_disc(power, disc, true), expected.T, strict=True):
        assert_allclose(got, column, rtol=1e-14)


@given(powers, diameters, densities, airspeeds)
def test_the_thrust_is_the_one_that_takes_the_power(power, diameter, density, true):
    area = np.pi * diameter**2 / 4.0

    def taken(thrust):
        return thrust * (true / 2.0 + np.sqrt(true**2 / 4.0 + thrust / (2.0 * density * area)))

    expected = brentq(lambda thrust: taken(thrust) - power, 0.0, 1e5, xtol=1e-300, rtol=1e-15)
    assert_allclose(momentum_thrust(power, diameter, density, true), expected, rtol=1e-13)
    assert_allclose(shaft_power_for(expected, diameter, density, true), power, rtol=1e-13)


@given(powers, diameters, densities, airspeeds)
def test_power_drives_the_aeroplane_and_the_stream(power, diameter, density, true):
    """P = T V + T w, and T is the momentum given each second to the air that the disc passes, rho A (V + w) 2 w."""
    area = np.pi * diameter**2 / 4.0
    thrust, through, w = through_disc(power, disc_term(diameter, density), true)
    assert_allclose(thrust * true + thrust * w, power, rtol=1e-13)
    assert_allclose(density * area * (true + w) * 2.0 * w, thrust, rtol=1e-13)
    assert_allclose(through, true + w, rtol=1e-13)
    # the stream far behind is faster by 2 w and carries the lost energy away
    flow = density * area * through
    assert_allclose(0.5 * flow * ((true + 2.0 * w) ** 2 - true**2), power, rtol=1e-11)


@given(st.floats(1.0, 1e4), diameters, densities, airspeeds)
def test_induced_speed_is_the_positive_root_of_its_quadratic(thrust, diameter, density, true):
    per_disc = thrust / (2.0 * density * np.pi * diameter**2 / 4.0)
    expected = np.roots([1.0, true, -per_disc]).max()
    assert_allclose(induced_speed(thrust, diameter, density, true), expected, rtol=1e-9)


@given(powers, diameters, densities, airspeeds.filter(lambda v: v > 0.1))
def test_ideal_efficiency_is_thrust_power_over_power(power, diameter, density, true):
    thrust = momentum_thrust(power, diameter, density, true)
    coefficient = thrust / (0.5 * density * true**2 * np.pi * diameter**2 / 4.0)
    assert_allclose(ideal_efficiency(coefficient), thrust * true / power, rtol=1e-12)


def test_ideal_efficiency_standing_still_is_none():
    assert ideal_efficiency(np.inf) == 0.0
    assert ideal_efficiency(0.0) == 1.0


@given(powers, diameters, densities)
def test_standing_still_it_is_the_static_thrust(power, diameter, density):
    static = ideal_static_thrust(power, diameter, density)
    assert_allclose(momentum_thrust(power, diameter, density, [0.0, 1e-12, -5.0]), np.full(3, static), rtol=1e-13)


@given(powers, diameters, densities, airspeeds, st.floats(1e-6, 10.0))
def test_thrust_falls_with_airspeed(power, diameter, density, true, more):
    assert momentum_thrust(power, diameter, density, true + more) < momentum_thrust(power, diameter, density, true)


@pytest.mark.parametrize("true", [0.0, 1e-9, 30.0])
def test_no_power_no_thrust(true):
    assert momentum_thrust(0.0, 1.7, 1.2, true) == 0.0
    assert shaft_power_for(0.0, 1.7, 1.2, true) == 0.0
    assert_allclose(through_disc(0.0, 5.0, 30.0), [0.0, 30.0, 0.0], rtol=1e-15)


def test_no_thrust_induces_nothing_in_flight():
    assert induced_speed(0.0, 1.7, 1.2, 30.0) == 0.0
    assert np.isnan(induced_speed(0.0, 1.7, 1.2, 0.0))
