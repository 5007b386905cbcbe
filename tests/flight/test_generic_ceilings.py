"""Ceilings by search over the standard atmosphere: against the closed forms, and where there is no closed form."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize_scalar

from climbwright.air import standard
from climbwright.flight.ceilings import standard_ceiling
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import altitude_lapse

from .machines import SEA_LEVEL_DENSITY, airframes, ceiling, excess_power, lapse_constants, propulsions

SERVICE = 0.508  # 100 ft/min [m/s]
THINNEST, DENSEST = standard.density(32000.0) / SEA_LEVEL_DENSITY, standard.density(-5000.0) / SEA_LEVEL_DENSITY
floors = st.sampled_from([0.0]) | st.floats(10.0, 40.0)


def rate_of(propulsion, airframe, lapse, slowest):
    """Best rate of climb as a function of the density ratio, at or above an equivalent airspeed."""

    def best(sigma):
        phi, density = lapse(sigma), sigma * SEA_LEVEL_DENSITY
        speed = np.maximum(propulsion.best_rate_speed(airframe, phi, sigma), slowest / np.sqrt(sigma))
        return speed * (propulsion.thrust(speed, phi, sigma) - airframe.drag(speed, density)) / airframe.weight

    return best


def natural(constant):
    return lambda sigma: altitude_lapse(sigma, constant)


def turbocharged(critical):
    return lambda sigma: np.minimum(altitude_lapse(sigma) / altitude_lapse(critical), 1.0)


def within(sigma):
    """A closed form's density ratio, nan beyond the heights that the standard atmosphere covers."""
    return np.where((sigma >= THINNEST) & (sigma <= DENSEST), sigma, np.nan)


@given(propulsions, airframes, lapse_constants, floors)
def test_it_is_the_closed_form_of_the_absolute_ceiling(propulsion, airframe, constant, slowest):
    expected = within(propulsion.absolute_ceiling(airframe, constant, slowest))
    got = standard_ceiling(rate_of(propulsion, airframe, natural(constant), slowest), 0.0)
    assert_allclose(got, expected, rtol=1e-9)


@given(propulsions, airframes, lapse_constants, floors, st.floats(0.1, 2.5))
def test_it_is_the_closed_form_of_the_service_ceiling(propulsion, airframe, constant, slowest, rate):
    expected = within(propulsion.service_ceiling(airframe, constant, slowest, rate))
    got = standard_ceiling(rate_of(propulsion, airframe, natural(constant), slowest), rate)
    assert_allclose(got, expected, rtol=1e-9)


@given(airframes, st.floats(60e3, 150e3), lapse_constants, floors, st.sampled_from([0.0, SERVICE]))
def test_constant_speed_against_a_search_over_speed_and_density(airframe, power, constant, slowest, rate):
    propulsion = ConstantSpeed(power, 1.75, 0.85, 0.62, 28.0)
    expected = within(ceiling(propulsion, airframe, constant, slowest, rate))
    got = standard_ceiling(rate_of(propulsion, airframe, natural(constant), slowest), rate)
    assert_allclose(got, expected, rtol=1e-6)


def searched_rate(propulsion, airframe, phi, slowest, sigma):
    """Greatest rate of climb at or above an equivalent airspeed, by search over the speed."""
    power, floor = excess_power(propulsion, airframe, phi, sigma), slowest / np.sqrt(sigma)
    found = minimize_scalar(
        lambda v: -power(v), bounds=(floor, floor + 250.0), method="bounded", options={"xatol": 1e-9}
    )
    return max(-found.fun, power(floor)) / airframe.weight


@pytest.mark.parametrize("propulsion", [FixedPitch(60e3, 0.71, 42.0), ConstantSpeed(60e3, 1.75, 0.85, 0.62, 28.0)])
@pytest.mark.parametrize("rate", [0.0, SERVICE])
@pytest.mark.parametrize("critical", [0.9, 0.6, 0.3])
def test_a_turbocharged_engine(propulsion, rate, critical):
    """The lapse has a corner at the critical altitude."""
    airframe, lapse = Airframe(5800.0, 0.6, 9.9, 0.74), turbocharged(critical)
    got = standard_ceiling(rate_of(propulsion, airframe, lapse, 24.0), rate)
    expected = brentq(lambda s: searched_rate(propulsion, airframe, lapse(s), 24.0, s) - rate, 0.05, 1.5, xtol=1e-12)
    assert_allclose(got, expected, rtol=1e-7)


def no_lapse(sigma):
    return np.ones_like(sigma)


@pytest.mark.parametrize("rate", [0.0, SERVICE])
def test_an_engine_without_lapse_climbs_higher(rate):
    airframe, propulsion = Airframe(5800.0, 0.6, 9.9, 0.74), ConstantSpeed(45e3, 1.75, 0.85, 0.62, 28.0)
    got = standard_ceiling(rate_of(propulsion, airframe, no_lapse, 24.0), rate)
    expected = brentq(lambda s: searched_rate(propulsion, airframe, 1.0, 24.0, s) - rate, 0.05, 1.5, xtol=1e-12)
    assert_allclose(got, expected, rtol=1e-7)
    assert got < standard_ceiling(rate_of(propulsion, airframe, natural(0.117), 24.0), rate)


def test_nan_where_it_never_falls_to_that_rate():
    """Still climbing at 32 km, unable to climb at 5 km below sea level, and one between."""
    propulsion, airframe = (
        ConstantSpeed(np.array([3e6, 1e4, 45e3]), 1.75, 0.85, 0.62, 28.0),
        Airframe(5800.0, 0.6, 9.9, 0.74),
    )
    function = rate_of(propulsion, airframe, no_lapse, 24.0)
    assert np.array_equal(np.isnan(standard_ceiling(function, SERVICE)), [True, True, False])
    assert function(THINNEST)[0] > SERVICE > function(DENSEST)[1]


def test_several_aeroplanes_and_rates_at_once():
    weights, floors_, rates = np.array([[4000.0], [5000.0]]), np.array([0.0, 24.0, 33.0]), np.array([0.0, SERVICE])
    propulsion = ConstantSpeed(60e3, 1.75, 0.85, 0.62, 28.0)
    asked = []

    def counted(sigma):
        asked.append(sigma)
        return rate_of(propulsion, Airframe(weights, 0.6, 9.9, 0.74), natural(0.117), floors_)(sigma)

    many = standard_ceiling(counted, rates[:, None, None])
    assert many.shape == (2, 2, 3)
    assert len(asked) <= 14
    for k, i, j in np.ndindex(many.shape):
        airframe = Airframe(weights[i, 0], 0.6, 9.9, 0.74)
        one = standard_ceiling(rate_of(propulsion, airframe, natural(0.117), floors_[j]), rates[k])
        assert type(one) is np.float64
        assert_allclose(many[k, i, j], one, rtol=1e-10)
