"""Altimeter setting and station pressure, there and back."""

from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air.altimetry import altimeter_setting, station_pressure
from climbwright.air.standard import SEA_LEVEL_PRESSURE, pressure, pressure_altitude

elevations = st.floats(-400.0, 5000.0)
settings = st.floats(94000.0, 106000.0)


@given(settings, elevations)
def test_altimeter_setting_is_the_inverse_of_station_pressure(qnh, elevation):
    assert_allclose(altimeter_setting(station_pressure(qnh, elevation), elevation), qnh, rtol=1e-13)


@given(st.floats(50000.0, 106000.0), elevations)
def test_station_pressure_is_the_inverse_of_altimeter_setting(station, elevation):
    assert_allclose(station_pressure(altimeter_setting(station, elevation), elevation), station, rtol=1e-13)


@given(elevations)
def test_on_a_standard_day_the_strip_has_the_pressure_of_its_elevation(elevation):
    assert_allclose(station_pressure(SEA_LEVEL_PRESSURE, elevation), pressure(elevation), rtol=1e-13)


@given(settings)
def test_at_sea_level_setting_and_pressure_are_the_same(qnh):
    assert_allclose(station_pressure(qnh, 0.0), qnh, rtol=1e-14)


@given(settings, elevations)
def test_pressure_altitude_stands_above_the_elevation_by_the_settings_alone(qnh, elevation):
    """With one lapse rate the correction does not depend on the elevation."""
    above = pressure_altitude(station_pressure(qnh, elevation)) - elevation
    assert_allclose(above, pressure_altitude(qnh), atol=1e-7)
