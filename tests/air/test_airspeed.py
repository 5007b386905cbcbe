"""Calibrated, Mach, true and equivalent airspeed, there and back, and the owner's correction table."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air import airspeed, standard
from climbwright.air.state import SEA_LEVEL, standard_air

speeds = st.floats(1.0, 150.0)
altitudes = st.floats(-2000.0, 12000.0)
offsets = st.floats(-30.0, 30.0)


@given(speeds, altitudes)
def test_calibrated_to_mach_and_back(calibrated, altitude):
    pressure = standard.pressure(altitude)
    mach = airspeed.mach_from_calibrated(calibrated, pressure)
    assert_allclose(airspeed.calibrated_from_mach(mach, pressure), calibrated, rtol=1e-12)


@given(st.floats(0.01, 0.99), altitudes)
def test_mach_to_calibrated_and_back(mach, altitude):
    pressure = standard.pressure(altitude)
    calibrated = airspeed.calibrated_from_mach(mach, pressure)
    assert_allclose(airspeed.mach_from_calibrated(calibrated, pressure), mach, rtol=1e-12)


@given(speeds, altitudes, offsets)
def test_calibrated_in_one_step_is_calibrated_by_way_of_mach(true, altitude, offset):
    pressure, temperature = standard.pressure(altitude), standard.temperature(altitude) + offset
    by_mach = airspeed.calibrated_from_mach(airspeed.mach_from_true(true, temperature), pressure)
    assert_allclose(airspeed.calibrated_from_true(true, temperature, pressure), by_mach, rtol=1e-13)


@given(speeds, altitudes, offsets)
def test_true_to_mach_and_back(true, altitude, offset):
    temperature = standard.temperature(altitude) + offset
    assert_allclose(airspeed.true_from_mach(airspeed.mach_from_true(true, temperature), temperature), true, rtol=1e-14)


@given(speeds, st.floats(0.3, 1.5))
def test_true_to_equivalent_and_back(true, density):
    equivalent = airspeed.equivalent_from_true(true, density)
    assert_allclose(airspeed.true_from_equivalent(equivalent, density), true, rtol=1e-14)
    assert_allclose(
        airspeed.dynamic_pressure(true, density),
        airspeed.dynamic_pressure(equivalent, standard.SEA_LEVEL_DENSITY),
        rtol=1e-14,
    )


@given(speeds)
def test_at_standard_sea_level_all_airspeeds_are_one(speed):
    mach = airspeed.mach_from_calibrated(speed, SEA_LEVEL.pressure)
    true = airspeed.true_from_mach(mach, SEA_LEVEL.temperature)
    assert_allclose(true, speed, rtol=1e-12)
    assert_allclose(airspeed.equivalent_from_true(true, SEA_LEVEL.density), speed, rtol=1e-12)


@given(speeds, st.floats(0.0, 12000.0), offsets)
def test_compression_makes_calibrated_read_no_less_than_equivalent(calibrated, altitude, offset):
    air = standard_air(altitude)
    temperature = air.temperature + offset
    true = airspeed.true_from_mach(airspeed.mach_from_calibrated(calibrated, air.pressure), temperature)
    density = air.pressure / (standard.GAS_CONSTANT * temperature)
    assert airspeed.equivalent_from_true(true, density) <= calibrated * (1.0 + 1e-12)


@given(st.floats(1e-3, 5.0))
def test_at_walking_pace_impact_pressure_is_dynamic_pressure(speed):
    expected = airspeed.dynamic_pressure(speed, standard.SEA_LEVEL_DENSITY)
    assert_allclose(airspeed.impact_pressure(speed), expected, rtol=1e-4)


@given(st.floats(0.0, 300.0))
def test_impact_pressure_is_the_isentropic_rise(speed):
    mach = speed / standard.SEA_LEVEL_SPEED_OF_SOUND
    expected = standard.SEA_LEVEL_PRESSURE * ((1.0 + 0.2 * mach**2) ** 3.5 - 1.0)
    assert_allclose(airspeed.impact_pressure(speed), expected, rtol=1e-10, atol=1e-9)


INDICATED = [20.0, 25.0, 30.0, 40.0]
CALIBRATED = [22.0, 26.0, 30.5, 39.0]


@pytest.mark.parametrize(
    ("indicated", "calibrated"),
    [(20.0, 22.0), (22.5, 24.0), (25.0, 26.0), (26.0, 26.9), (35.0, 34.75), (40.0, 39.0)],
)
def test_the_table_is_linear_between_its_points(indicated, calibrated):
    assert_allclose(airspeed.read_correction(indicated, INDICATED, CALIBRATED), calibrated, rtol=1e-14)
    assert_allclose(airspeed.read_correction(calibrated, CALIBRATED, INDICATED), indicated, rtol=1e-14)


@pytest.mark.parametrize("indicated", [0.0, 19.999, 40.001, 100.0, np.nan])
def test_the_table_is_never_extended(indicated):
    assert np.isnan(airspeed.read_correction(indicated, INDICATED, CALIBRATED))


def test_the_table_reads_many_speeds_at_once():
    got = airspeed.read_correction([[10.0, 20.0], [22.5, 41.0]], INDICATED, CALIBRATED)
    assert_allclose(got, [[np.nan, 22.0], [24.0, np.nan]])


@pytest.mark.parametrize(
    ("given_column", "wanted_column", "message"),
    [
        ([20.0], [22.0], "at least two points"),
        ([], [], "at least two points"),
        ([20.0, 30.0], [22.0], "at least two points, each with both speeds"),
        ([[20.0, 30.0]], [[22.0, 31.0]], "at least two points"),
        ([20.0, 20.0], [22.0, 23.0], "must rise from point to point"),
        ([30.0, 20.0], [22.0, 31.0], "must rise from point to point"),
        ([20.0, 30.0], [31.0, 22.0], "must rise from point to point"),
        ([20.0, 30.0], [22.0, 22.0], "must rise from point to point"),
    ],
)
def test_refuses_a_table_that_cannot_be_read(given_column, wanted_column, message):
    with pytest.raises(ValueError, match=message):
        airspeed.read_correction(25.0, given_column, wanted_column)
