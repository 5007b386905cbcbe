"""The standard atmosphere against two libraries, and its inverses."""

import ambiance
import numpy as np
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air import standard
from climbwright.air.state import SEA_LEVEL, standard_air

# Both libraries take geometric heights. ambiance reaches from -5 km, fluids follows the US standard of 1976.
HEIGHTS = np.array([-4900.0, -3000.0, -1000.0, 0.0, 500.0, 2500.0, 5000.0, 8000.0, 11000.0, 11100.0])
HIGHER = np.array([14000.0, 18000.0, 20000.0, 20500.0, 26000.0, 32000.0])
ALL_HEIGHTS = np.concatenate([HEIGHTS, HIGHER])
RTOL = 1e-4  # both libraries work with the constants of the same standards; they print five digits

altitudes = st.floats(-4999.0, 31999.0)


def of_air(height):
    altitude = standard.geopotential_altitude(height)
    temperature = standard.temperature(altitude)
    return {
        "temperature": temperature,
        "pressure": standard.pressure(altitude),
        "density": standard.density(altitude),
        "speed_of_sound": standard.speed_of_sound(temperature),
        "dynamic_viscosity": standard.dynamic_viscosity(temperature),
    }


@pytest.mark.parametrize("quantity", ["temperature", "pressure", "density", "speed_of_sound", "dynamic_viscosity"])
def test_agrees_with_ambiance(quantity):
    expected = getattr(ambiance.Atmosphere(ALL_HEIGHTS), quantity)
    assert_allclose(of_air(ALL_HEIGHTS)[quantity], expected, rtol=RTOL)


@pytest.mark.parametrize(
    ("quantity", "theirs"),
    [
        ("temperature", "T"),
        ("pressure", "P"),
        ("density", "rho"),
        ("speed_of_sound", "v_sonic"),
        ("dynamic_viscosity", "mu"),
    ],
)
def test_agrees_with_fluids(quantity, theirs):
    expected = [getattr(ATMOSPHERE_1976(height), theirs) for height in ALL_HEIGHTS]
    assert_allclose(of_air(ALL_HEIGHTS)[quantity], expected, rtol=RTOL)


def test_geopotential_altitude_agrees_with_ambiance():
    assert_allclose(standard.geopotential_altitude(ALL_HEIGHTS), ambiance.Atmosphere(ALL_HEIGHTS).H, rtol=1e-12)


@given(altitudes)
def test_geometric_altitude_is_the_inverse_of_geopotential(altitude):
    assert_allclose(standard.geopotential_altitude(standard.geometric_altitude(altitude)), altitude, rtol=1e-13)


@given(st.floats(1.0, 31999.0) | st.floats(-4999.0, -1.0))
def test_gravity_weakens_upwards_so_that_the_geometric_height_is_the_greater(altitude):
    assert standard.geometric_altitude(altitude) > altitude


@given(altitudes)
def test_pressure_altitude_is_the_inverse_of_pressure(altitude):
    assert_allclose(standard.pressure_altitude(standard.pressure(altitude)), altitude, atol=1e-7)


@given(st.floats(900.0, 177000.0))
def test_the_temperature_at_a_pressure_is_that_of_its_altitude(pressure):
    expected = standard.temperature(standard.pressure_altitude(pressure))
    assert_allclose(standard.temperature_at(pressure), expected, rtol=1e-13)


@given(altitudes)
def test_density_altitude_is_the_inverse_of_density(altitude):
    assert_allclose(standard.density_altitude(standard.density(altitude)), altitude, atol=1e-7)


@given(altitudes, st.floats(1.0, 500.0))
def test_air_gets_thinner_with_height(altitude, step):
    higher = min(altitude + step, 32000.0)
    assert standard.pressure(higher) < standard.pressure(altitude)
    assert standard.density(higher) < standard.density(altitude)


@pytest.mark.parametrize("boundary", [11000.0, 20000.0])
@pytest.mark.parametrize("function", [standard.temperature, standard.pressure, standard.density])
def test_layers_join(function, boundary):
    below, above = function(np.nextafter(boundary, 0.0)), function(np.nextafter(boundary, 1e9))
    assert_allclose(above, below, rtol=1e-12)


@given(st.floats(-4900.0, 31900.0))
def test_pressure_falls_as_the_weight_of_the_air_it_passes(altitude):
    step = 1.0
    assume(min(abs(altitude - edge) for edge in (11000.0, 20000.0)) > step)  # there the slope of temperature jumps
    slope = (standard.pressure(altitude + step) - standard.pressure(altitude - step)) / (2.0 * step)
    # hydrostatic balance
    assert_allclose(slope, -standard.density(altitude) * standard.GRAVITY, rtol=2e-6)


@pytest.mark.parametrize("function", [standard.temperature, standard.pressure, standard.density])
@pytest.mark.parametrize("altitude", [-5000.1, 32000.1, -np.inf, np.inf, np.nan])
def test_nothing_outside_the_layers(function, altitude):
    assert np.isnan(function(altitude))
    assert_allclose(function([altitude, 0.0]), [np.nan, function(0.0)])


@pytest.mark.parametrize(
    ("function", "value"),
    [
        (standard.pressure_altitude, 180000.0),
        (standard.pressure_altitude, 800.0),
        (standard.density_altitude, 2.0),
        (standard.density_altitude, 0.01),
    ],
)
def test_no_altitude_outside_the_layers(function, value):
    assert np.isnan(function(value))


@pytest.mark.parametrize("altitude", [-5000.0, 32000.0])
def test_the_ends_of_the_range_belong_to_it(altitude):
    assert np.isfinite(standard.pressure(altitude))
    assert np.isfinite(standard.temperature(altitude))


def test_an_array_across_the_layers_is_the_same_as_its_numbers_one_by_one():
    altitudes = np.array([-1000.0, 5000.0, 15000.0, 25000.0])
    for function in (standard.temperature, standard.pressure, standard.density):
        assert_allclose(function(altitudes), [function(h) for h in altitudes], rtol=1e-15)
    for inverse, function in (
        (standard.pressure_altitude, standard.pressure),
        (standard.density_altitude, standard.density),
    ):
        assert_allclose(inverse(function(altitudes)), altitudes, atol=1e-7)


@given(altitudes)
def test_standard_air_deviates_from_nothing(altitude):
    air = standard_air(altitude)
    assert_allclose(air.isa_deviation, 0.0, atol=1e-9)
    assert_allclose([air.pressure_altitude, air.density_altitude, air.dry_density_altitude], altitude, atol=1e-6)


def test_sea_level_air():
    assert_allclose(SEA_LEVEL.density_ratio, 1.0, rtol=1e-15)
    assert_allclose(SEA_LEVEL.speed_of_sound, standard.SEA_LEVEL_SPEED_OF_SOUND, rtol=1e-15)
