"""A fixed pitch on an engine without lapse: limited by power, it turns faster in thinner air, and E falls less."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq, minimize_scalar

from climbwright.air import standard
from climbwright.flight.ceilings import standard_ceiling
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import Lapse

from .crowds import linear_terms
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
SERVICE = 0.508  # 100 ft/min [m/s]
THINNEST, DENSEST = standard.density(32000.0) / SEA_LEVEL_DENSITY, standard.density(-5000.0) / SEA_LEVEL_DENSITY
power_ratios = st.just(1.0) | st.floats(0.3, 1.0)
power_limited = st.builds(
    FixedPitch,
    power=st.floats(25e3, 120e3),
    best_efficiency=st.floats(0.55, 0.8),
    best_efficiency_speed=st.floats(28.0, 60.0),
    limited_by=st.just("power"),
)
floors = st.just(0.0) | st.floats(10.0, 40.0)


@given(power_limited, density_ratios)
def test_static_thrust_falls_with_the_cube_root_of_density(propulsion, sigma):
    """E = E0 sigma^(1/3), F = F0 sigma at the same power."""
    E0, F0 = linear_terms(propulsion)
    assert_allclose(propulsion.thrust_ratio(1.0, sigma), sigma ** (1.0 / 3.0), rtol=1e-14)
    assert_allclose(propulsion.thrust(0.0, 1.0, sigma), E0 * sigma ** (1.0 / 3.0), rtol=1e-13)
    assert_allclose(propulsion.thrust(30.0, 1.0, sigma), E0 * sigma ** (1.0 / 3.0) + F0 * sigma * 900.0, rtol=1e-12)
    assert_allclose(propulsion.delivered(1.0, sigma), propulsion.power, rtol=1e-14)


@given(power_limited, power_ratios)
def test_at_sea_level_density_full_power_is_that_of_any_engine(propulsion, phi):
    torque = FixedPitch(propulsion.power, propulsion.best_efficiency, propulsion.best_efficiency_speed)
    assert_allclose(propulsion.thrust(25.0, 1.0, 1.0), torque.thrust(25.0, 1.0, 1.0), rtol=1e-14)
    assert_allclose(propulsion.delivered(phi, 1.0), propulsion.power * phi, rtol=1e-14)
    # less torque slows the other one down too
    assert_allclose(torque.delivered(phi, 1.0), propulsion.power * phi**1.5, rtol=1e-14)


@given(power_limited, airframes, power_ratios, density_ratios)
def test_best_speeds(propulsion, airframe, phi, sigma):
    expected = top(excess_power(propulsion, airframe, phi, sigma))
    assert_allclose(propulsion.best_rate_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)
    expected = top(excess_thrust(propulsion, airframe, phi, sigma))
    assert_allclose(propulsion.best_angle_speed(airframe, phi, sigma), expected, rtol=0.0, atol=CLOSE)


@given(power_limited, airframes, power_ratios, density_ratios)
def test_greatest_level_speed(propulsion, airframe, phi, sigma):
    power = excess_power(propulsion, airframe, phi, sigma)
    most = power(top(power))
    assume(abs(most) > 1.0)  # within a watt of the ceiling the two crossings meet and neither is sharp
    got = propulsion.greatest_level_speed(airframe, phi, sigma)
    assert np.isnan(got) == (most < 0.0)
    assert_allclose(got, greatest_crossing(power), rtol=0.0, atol=CLOSE)


def rate_of(propulsion, airframe, lapse, slowest):
    """Best rate of climb as a function of the density ratio, as an answer puts it together."""

    def best(sigma):
        phi, density = lapse.standard(sigma), sigma * SEA_LEVEL_DENSITY
        speed = np.maximum(propulsion.best_rate_speed(airframe, phi, sigma), slowest / np.sqrt(sigma))
        return speed * (propulsion.thrust(speed, phi, sigma) - airframe.drag(speed, density)) / airframe.weight

    return best


def searched(propulsion, airframe, lapse, slowest, rate):
    """The same ceiling by search over density, and over speed at each; nan beyond the standard atmosphere."""
    E0, F0 = linear_terms(propulsion)

    def left(sigma):
        E = E0 * (lapse.standard(sigma) ** 2 * sigma) ** (1.0 / 3.0)
        floor = max(slowest / np.sqrt(sigma), 1.0)

        def sinking(v):
            return v * (airframe.drag(v, sigma * SEA_LEVEL_DENSITY) - E - F0 * sigma * v**2)

        found = minimize_scalar(sinking, bounds=(floor, floor + 600.0), method="bounded", options={"xatol": 1e-9})
        return max(-found.fun, -sinking(floor)) / airframe.weight - rate

    if left(THINNEST) > 0.0 or left(DENSEST) < 0.0:
        return np.nan
    return brentq(left, THINNEST, DENSEST, xtol=1e-14, rtol=1e-13)


@settings(max_examples=40)
@given(power_limited, airframes, floors, st.sampled_from([0.0, SERVICE]))
def test_ceilings_of_an_electric_engine(propulsion, airframe, slowest, rate):
    lapse = Lapse(0.117, "electric")
    got = standard_ceiling(rate_of(propulsion, airframe, lapse, slowest), rate)
    assert_allclose(got, searched(propulsion, airframe, lapse, slowest, rate), rtol=1e-6)


@settings(max_examples=40)
@given(power_limited, airframes, floors, st.sampled_from([0.0, SERVICE]), st.floats(1000.0, 6000.0))
def test_ceilings_of_a_turbocharged_engine(propulsion, airframe, slowest, rate, critical):
    lapse = Lapse(0.117, "turbocharged", standard.density(critical) / SEA_LEVEL_DENSITY)
    got = standard_ceiling(rate_of(propulsion, airframe, lapse, slowest), rate)
    assert_allclose(got, searched(propulsion, airframe, lapse, slowest, rate), rtol=1e-6)


@given(power_limited, airframes)
def test_without_a_floor_the_absolute_ceiling_has_a_closed_form(propulsion, airframe):
    """Best excess power is none where E² = -4 K H, and K H is the same in all air: sigma = (-4 K0 H0/E0²)^(3/2)."""
    E0, F0 = linear_terms(propulsion)
    K0 = F0 - 0.5 * SEA_LEVEL_DENSITY * airframe.parasite_area
    H0 = 2.0 * airframe.weight**2 / (np.pi * SEA_LEVEL_DENSITY * airframe.span_efficiency * airframe.span**2)
    expected = (-4.0 * K0 * H0 / E0**2) ** 1.5
    got = standard_ceiling(rate_of(propulsion, airframe, Lapse(0.117, "electric"), 0.0), 0.0)
    assert_allclose(got, expected if THINNEST < expected < DENSEST else np.nan, rtol=1e-7)


@pytest.mark.parametrize("kind", ["electric", "turbocharged"])
def test_ceilings_of_many_at_once(kind):
    weights, floors_ = np.array([[4000.0], [5500.0]]), np.array([0.0, 24.0, 33.0])
    propulsion, lapse = FixedPitch(45e3, 0.7, 40.0, limited_by="power"), Lapse(0.117, kind, 0.75)
    many = standard_ceiling(rate_of(propulsion, Airframe(weights, 0.6, 9.9, 0.74), lapse, floors_), SERVICE)
    assert many.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        airframe = Airframe(weights[i, 0], 0.6, 9.9, 0.74)
        one = standard_ceiling(rate_of(propulsion, airframe, lapse, floors_[j]), SERVICE)
        assert_allclose(many[i, j], one, rtol=1e-10)
