"""Engine power in thinner, warmer and moister air."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.standard import density, pressure, temperature
from climbwright.air.state import SEA_LEVEL, Air, standard_air
from climbwright.flight.power import altitude_lapse, power_ratio

constants = st.floats(0.0, 0.3)


@given(constants)
def test_standard_sea_level_gives_rated_power(constant):
    assert_allclose(altitude_lapse(1.0, constant), 1.0, rtol=1e-15)
    assert_allclose(power_ratio(SEA_LEVEL, constant), 1.0, rtol=1e-12)


@given(st.floats(0.0, 1.3), constants)
def test_power_is_zero_where_friction_eats_it_all_and_never_below(sigma, constant):
    lapse = altitude_lapse(sigma, constant)
    assert lapse >= 0.0
    assert (lapse == 0.0) == (sigma <= constant)


def test_power_is_not_clipped_in_dense_air():
    assert_allclose(altitude_lapse(1.1, 0.117), 0.983 / 0.883, rtol=1e-14)


@given(st.floats(0.0, 1.5))
def test_a_constant_of_zero_makes_power_proportional_to_density(sigma):
    assert_allclose(altitude_lapse(sigma, 0.0), sigma, rtol=1e-15)


@given(st.floats(-1000.0, 10000.0), constants)
def test_in_standard_air_power_follows_the_lapse_curve(altitude, constant):
    expected = altitude_lapse(density(altitude) / 1.225, constant)
    assert_allclose(power_ratio(standard_air(altitude), constant), expected, rtol=1e-6)


@given(st.floats(-1000.0, 6000.0), st.floats(-30.0, 30.0), constants)
def test_at_one_pressure_power_goes_with_the_root_of_temperature(altitude, offset, constant):
    """Worked here from the standard atmosphere: the practice of the flight-test guide."""
    standard, actual = temperature(altitude), temperature(altitude) + offset
    expected = altitude_lapse(density(altitude) / 1.225, constant) * np.sqrt(standard / actual)
    assert_allclose(power_ratio(Air(pressure(altitude), actual), constant), expected, rtol=1e-6)


@given(st.floats(0.0, 4000.0), st.floats(273.0, 313.0), st.floats(0.1, 1.0))
def test_vapour_costs_more_power_than_density(altitude, oat, humidity):
    vapour = humidity * saturation_vapour_pressure(oat)
    dry, moist = Air(pressure(altitude), oat), Air(pressure(altitude), oat, vapour)
    assert power_ratio(moist) / power_ratio(dry) < moist.density / dry.density


def test_a_hot_day_costs_less_than_its_density_altitude_says():
    """At 30 K above standard and 7,000 ft the curve at the density altitude is 7 % lower."""
    altitude = 7000.0 * 0.3048
    air = Air(pressure(altitude), temperature(altitude) + 30.0)
    assert_allclose(altitude_lapse(air.density_ratio) / power_ratio(air), 0.93, atol=0.005)


@pytest.mark.parametrize("constant", [0.0, 0.117])
def test_many_airs_at_once(constant):
    pressures, temperatures = np.array([[100000.0], [80000.0]]), np.array([270.0, 288.0, 305.0])
    many = power_ratio(Air(pressures, temperatures), constant)
    assert many.shape == (2, 3)
    assert_allclose(many[1, 2], power_ratio(Air(80000.0, 305.0), constant), rtol=1e-14)
