"""A climb at one indicated airspeed speeds up with height, and an altimeter counts layers of pressure."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air.airspeed import mach_from_calibrated, true_from_mach
from climbwright.air.standard import density, pressure, pressure_altitude, temperature
from climbwright.flight.climb import acceleration_factor, altimeter_rate

GRAVITY, GAS_CONSTANT = 9.80665, 287.05287
altitudes, speeds = st.floats(-500.0, 9000.0), st.floats(15.0, 80.0)


def rise(function, height, step=10.0):
    """Slope by five points."""
    a, b, c, d = (function(height + k * step) for k in (-2.0, -1.0, 1.0, 2.0))
    return (a - 8.0 * b + 8.0 * c - d) / (12.0 * step)


def at_one_calibrated(speed):
    """True airspeed over height in the standard atmosphere."""
    return lambda height: true_from_mach(mach_from_calibrated(speed, pressure(height)), temperature(height))


@given(altitudes, speeds)
def test_speeding_up_at_one_calibrated_airspeed_by_differences(altitude, calibrated):
    """1 + (V/g) dV/dh."""
    true = at_one_calibrated(calibrated)
    expected = 1.0 + true(altitude) / GRAVITY * rise(true, altitude)
    assert_allclose(acceleration_factor(true(altitude), temperature(altitude)), expected, rtol=1e-9)


@given(st.floats(0.0, 4500.0), st.floats(15.0, 60.0))
def test_at_one_equivalent_airspeed_it_is_the_same_to_a_thousandth(altitude, equivalent):
    def true(height):
        return equivalent * np.sqrt(1.225 / density(height))

    expected = 1.0 + true(altitude) / GRAVITY * rise(true, altitude)
    assert_allclose(acceleration_factor(true(altitude), temperature(altitude)), expected, rtol=0.0, atol=0.001)


@given(altitudes, speeds, st.floats(0.5, 8.0))
def test_energy_of_the_climb(altitude, calibrated, rate):
    """Power for height alone is shared between height and kinetic energy, W dh/dt + m V dV/dt."""
    true = at_one_calibrated(calibrated)
    slowed = rate / acceleration_factor(true(altitude), temperature(altitude))
    speeding_up = rise(true, altitude) * slowed
    assert_allclose(GRAVITY * slowed + true(altitude) * speeding_up, GRAVITY * rate, rtol=1e-9)


def test_standing_still_nothing_speeds_up():
    assert acceleration_factor(0.0, 288.15) == 1.0


@given(altitudes, st.floats(-30.0, 35.0), st.floats(-3.0, 8.0))
def test_an_altimeter_counts_layers_of_pressure(altitude, offset, rate):
    """Through a real column of air, dp = -p g dz/(R T), its pressure altitude read off the standard one."""
    here, standard_temperature = pressure(altitude), temperature(altitude)
    actual = standard_temperature + offset
    climbed = 5.0
    above, below = (here * np.exp(-GRAVITY * z / (GAS_CONSTANT * actual)) for z in (climbed, -climbed))
    shown = (pressure_altitude(above) - pressure_altitude(below)) / (2.0 * climbed)
    assert_allclose(altimeter_rate(rate, actual, standard_temperature), rate * shown, rtol=1e-6, atol=1e-12)


@pytest.mark.parametrize("warmer", [-20.0, 0.0, 20.0])
def test_a_warm_day_shows_less(warmer):
    shown = altimeter_rate(4.0, 280.0 + warmer, 280.0)
    assert np.sign(shown - 4.0) == -np.sign(warmer)
