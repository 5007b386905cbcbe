"""How power falls with the air by aspiration: natural, turbocharged, electric.

PWR-05, a turbocharged engine above its critical altitude: of three readings, which differ by about a percent, the
lapse over its value at the critical altitude gives least. No published figures were seen; that reading is asserted as
what it says.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.standard import density, pressure, temperature
from climbwright.air.state import Air, standard_air
from climbwright.flight.power import Lapse, altitude_lapse, power_ratio

SEA_LEVEL_DENSITY = 101325.0 / (287.05287 * 288.15)
constants = st.floats(0.0, 0.2)
altitudes = st.floats(-1000.0, 10000.0)
critical_altitudes = st.floats(1000.0, 7000.0)
offsets = st.floats(-30.0, 35.0)


def sigma_at(altitude):
    return density(altitude) / SEA_LEVEL_DENSITY


def turbocharged(constant, critical):
    return Lapse(constant, "turbocharged", sigma_at(critical))


@given(constants, st.floats(0.0, 1.3), altitudes, offsets)
def test_natural_is_the_lapse_curve(constant, sigma, altitude, offset):
    lapse, air = Lapse(constant), Air(pressure(altitude), temperature(altitude) + offset, 800.0)
    assert lapse.standard(sigma) == altitude_lapse(sigma, constant)
    assert lapse.ratio(air) == power_ratio(air, constant)


@given(constants, critical_altitudes, st.floats(-0.5, 0.999))
def test_turbocharged_is_flat_to_the_critical_altitude(constant, critical, share):
    lapse, altitude = turbocharged(constant, critical), critical * share
    assert lapse.standard(sigma_at(altitude)) == 1.0
    assert lapse.ratio(standard_air(altitude)) == 1.0


@given(constants, critical_altitudes)
def test_and_continuous_there(constant, critical):
    lapse = turbocharged(constant, critical)
    around = critical + np.array([-1e-3, 0.0, 1e-3])
    assert_allclose(lapse.standard(sigma_at(around)), 1.0, rtol=1e-6)
    assert_allclose(lapse.ratio(standard_air(around)), 1.0, rtol=1e-6)


@given(constants, critical_altitudes, st.floats(1.0, 3000.0))
def test_beyond_it_the_lapse_over_that_at_the_critical_altitude(constant, critical, above):
    """(sigma - C)/(sigma_c - C) in standard air."""
    lapse, sigma = turbocharged(constant, critical), sigma_at(critical + above)
    expected = (sigma - constant) / (sigma_at(critical) - constant)
    assert_allclose(lapse.standard(sigma), expected, rtol=1e-12)
    assert_allclose(lapse.ratio(standard_air(critical + above)), expected, rtol=1e-12)
    assert lapse.standard(sigma) < 1.0


@given(constants, critical_altitudes, st.floats(0.0, 3000.0))
def test_that_is_the_most_conservative_reading(constant, critical, above):
    """PWR-05; against power by density, and by the lapse of density, each over its value at the critical altitude."""
    sigma, sigma_c = sigma_at(critical + above), sigma_at(critical)
    got = turbocharged(constant, critical).standard(sigma)
    assert got <= altitude_lapse(sigma / sigma_c, constant) * (1.0 + 1e-12)
    assert got <= sigma / sigma_c * (1.0 + 1e-12)


@given(constants, critical_altitudes, altitudes, offsets, st.floats(0.0, 1.0))
def test_in_no_air_is_a_turbocharged_engine_above_rated_power(constant, critical, altitude, offset, humidity):
    oat = temperature(altitude) + offset
    vapour = humidity * saturation_vapour_pressure(oat) if oat > 233.0 else 0.0
    air = Air(pressure(altitude), oat, vapour)
    assert 0.0 <= turbocharged(constant, critical).ratio(air) <= 1.0


@given(constants, critical_altitudes, st.floats(5.0, 35.0), st.floats(0.0, 10000.0))
def test_in_hot_air_it_is_never_above_that_in_standard_air(constant, critical, warmer, altitude):
    lapse = turbocharged(constant, critical)
    hot = Air(pressure(altitude), temperature(altitude) + warmer)
    assert lapse.ratio(hot) <= lapse.ratio(standard_air(altitude))


@given(st.floats(0.0, 0.15), st.floats(3000.0, 7000.0), st.floats(5.0, 20.0))
def test_in_hot_air_the_critical_altitude_is_reached_sooner(constant, critical, warmer):
    """Where the natural engine, corrected by the root of temperature, has the power of the critical altitude."""

    def left(altitude):
        corrected = altitude_lapse(sigma_at(altitude), constant) * np.sqrt(1.0 / (1.0 + warmer / temperature(altitude)))
        return corrected - altitude_lapse(sigma_at(critical), constant)

    edge = brentq(left, -1000.0, critical)
    air = [Air(pressure(h), temperature(h) + warmer) for h in (edge - 1.0, edge + 1.0)]
    below, above = (turbocharged(constant, critical).ratio(each) for each in air)
    assert below == 1.0
    assert 0.999 < above < 1.0
    assert edge < critical


def test_cold_air_does_not_lift_it_above_rated_power():
    air = Air(pressure(0.0), temperature(0.0) - 30.0)
    assert Lapse(0.117, "turbocharged", sigma_at(2500.0)).ratio(air) == 1.0
    assert Lapse(0.117).ratio(air) > 1.04  # a natural engine is not clipped


@given(constants, altitudes, offsets)
def test_electric_power_is_the_same_everywhere(constant, altitude, offset):
    lapse = Lapse(constant, "electric")
    assert lapse.standard(sigma_at(altitude)) == 1.0
    assert lapse.ratio(Air(pressure(altitude), temperature(altitude) + offset)) == 1.0


@pytest.mark.parametrize("aspiration", ["natural", "turbocharged", "electric"])
def test_many_airs_at_once(aspiration):
    lapse = Lapse(0.117, aspiration, sigma_at(2500.0) if aspiration == "turbocharged" else None)
    pressures, temperatures = np.array([[100000.0], [70000.0], [50000.0]]), np.array([260.0, 288.0])
    many = lapse.ratio(Air(pressures, temperatures))
    assert many.shape == (3, 2)
    for i, j in np.ndindex(3, 2):
        assert_allclose(many[i, j], lapse.ratio(Air(pressures[i, 0], temperatures[j])), rtol=1e-14)
    sigmas = np.array([1.1, 0.8, 0.5])
    assert_allclose(lapse.standard(sigmas), [lapse.standard(sigma) for sigma in sigmas], rtol=1e-15)


def test_engines_of_several_critical_altitudes_at_once():
    critical = sigma_at(np.array([1000.0, 3000.0, 5000.0]))
    got = Lapse(0.117, "turbocharged", critical).standard(sigma_at(4000.0))
    expected = np.minimum((sigma_at(4000.0) - 0.117) / (critical - 0.117), 1.0)
    assert_allclose(got, expected, rtol=1e-12)
    assert got[2] == 1.0
