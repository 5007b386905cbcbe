"""Moist air against psychrolib and against the reference equation, and its inverses."""

import numpy as np
import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air import moist
from climbwright.air.state import Air

psychrolib.SetUnitSystem(psychrolib.SI)


@pytest.mark.parametrize("celsius", [0.1, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0])
def test_saturation_agrees_with_psychrolib(celsius):
    # the published formulas differ among themselves by up to 0.3 %
    expected = psychrolib.GetSatVapPres(celsius)
    assert_allclose(moist.saturation_vapour_pressure(celsius + 273.15), expected, rtol=0.003)


@pytest.mark.parametrize("pressure", [101325.0, 85000.0, 70000.0])
@pytest.mark.parametrize("celsius", [5.0, 20.0, 30.0, 40.0])
@pytest.mark.parametrize("humidity", [0.0, 0.2, 0.5, 1.0])
def test_density_agrees_with_psychrolib_for_the_same_vapour(pressure, celsius, humidity):
    vapour = humidity * psychrolib.GetSatVapPres(celsius)
    ratio = psychrolib.GetHumRatioFromVapPres(vapour, pressure)
    expected = psychrolib.GetMoistAirDensity(celsius, ratio, pressure)
    # it rounds the ratio of molar masses to 0.621945 and keeps no vapour ratio below 1e-7
    assert_allclose(moist.moist_air_density(pressure, celsius + 273.15, vapour), expected, rtol=1e-4)


@pytest.mark.parametrize("pressure", [101325.0, 70000.0])
@pytest.mark.parametrize(("celsius", "humidity"), [(10.0, 0.5), (20.0, 0.5), (30.0, 0.5), (30.0, 1.0), (40.0, 0.5)])
def test_density_agrees_with_psychrolib_for_the_same_humidity(pressure, celsius, humidity):
    ratio = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure)
    expected = psychrolib.GetMoistAirDensity(celsius, ratio, pressure)
    vapour = moist.vapour_pressure(celsius + 273.15, humidity)
    # two saturation formulas that differ by 0.3 % change density by up to 0.01 %, and the rounding of before
    assert_allclose(moist.moist_air_density(pressure, celsius + 273.15, vapour), expected, rtol=2e-4)


@pytest.mark.parametrize(("celsius", "humidity"), [(10.0, 0.8), (20.0, 0.5), (30.0, 0.3), (35.0, 0.9)])
def test_dew_point_agrees_with_psychrolib(celsius, humidity):
    expected = psychrolib.GetTDewPointFromRelHum(celsius, humidity)
    got = moist.dew_point(moist.vapour_pressure(celsius + 273.15, humidity)) - 273.15
    assert_allclose(got, expected, atol=0.05)  # 0.3 % of vapour pressure is 0.05 K of dew point


@given(st.floats(-45.0, 60.0))
def test_dew_point_is_the_inverse_of_saturation(celsius):
    kelvin = celsius + 273.15
    assert_allclose(moist.dew_point(moist.saturation_vapour_pressure(kelvin)), kelvin, rtol=1e-13)


@given(st.floats(50.0, 20000.0))
def test_saturation_is_the_inverse_of_dew_point(vapour):
    assert_allclose(moist.saturation_vapour_pressure(moist.dew_point(vapour)), vapour, rtol=1e-12)


@given(st.floats(240.0, 320.0), st.floats(0.01, 1.0))
def test_air_of_a_humidity_has_its_dew_point_below_its_temperature(temperature, humidity):
    assert moist.dew_point(moist.vapour_pressure(temperature, humidity)) <= temperature + 1e-9


@given(st.floats(60000.0, 105000.0), st.floats(260.0, 315.0), st.floats(1.0, 5000.0))
def test_vapour_makes_air_lighter_and_the_density_altitude_higher(pressure, temperature, vapour):
    moist_air, dry_air = Air(pressure, temperature, vapour), Air(pressure, temperature)
    assert moist_air.density < dry_air.density
    assert moist_air.density_altitude > dry_air.density_altitude
    assert_allclose(moist_air.dry_density_altitude, dry_air.density_altitude, rtol=1e-12)
    assert_allclose(moist_air.pressure_altitude, dry_air.pressure_altitude, rtol=1e-15)


def test_half_the_vapour_at_half_the_humidity():
    temperature = np.array([273.15, 293.15, 313.15])
    whole = moist.saturation_vapour_pressure(temperature)
    assert_allclose(moist.vapour_pressure(temperature, 0.5), 0.5 * whole, rtol=1e-15)
    assert_allclose(moist.vapour_pressure(temperature, 1.0), whole, rtol=1e-15)
