"""A condition in each of its forms becomes air, or is refused where it went wrong."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air import standard
from climbwright.air.condition import Condition, air_of, check_condition, refuse_beyond
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.state import Air
from climbwright.refusal import Refusal

HIGH_STRIP, WARM = 1646.0, 304.15


@given(st.floats(-1000.0, 6000.0), st.floats(-30.0, 35.0))
def test_the_forms_of_the_same_air_agree(altitude, offset):
    pressure = standard.pressure(altitude)
    oat = standard.temperature(altitude) + offset
    same = [
        Condition(pressure_altitude=altitude, oat=oat),
        Condition(pressure_altitude=altitude, temperature_offset=offset),
        Condition(station_pressure=pressure, oat=oat),
        Condition(elevation=altitude, qnh=standard.SEA_LEVEL_PRESSURE, oat=oat),
    ]
    for condition in same:
        air = air_of(condition)
        assert_allclose(air.pressure, pressure, rtol=1e-12)
        assert_allclose(air.temperature, oat, rtol=1e-12)
        assert_allclose(air.density, pressure / (287.05287 * oat), rtol=1e-12)
        assert air.vapour_pressure == 0.0


@given(st.floats(-4900.0, 31000.0))
def test_density_altitude_alone_is_the_standard_atmosphere_there(altitude):
    air = air_of(Condition(density_altitude=altitude))
    assert_allclose([air.density_altitude, air.pressure_altitude], altitude, atol=1e-6)
    assert_allclose(air.temperature, standard.temperature(altitude), rtol=1e-14)


def test_dew_point_is_the_vapours_own_saturation():
    air = air_of(Condition(elevation=HIGH_STRIP, qnh=101700.0, oat=WARM, dew_point=282.15))
    assert_allclose(air.vapour_pressure, saturation_vapour_pressure(282.15), rtol=1e-15)


def test_humidity_is_a_share_of_saturation():
    air = air_of(Condition(elevation=HIGH_STRIP, qnh=101700.0, oat=WARM, relative_humidity=0.25))
    assert_allclose(air.vapour_pressure, 0.25 * saturation_vapour_pressure(WARM), rtol=1e-15)


def test_saturated_air_is_the_same_by_dew_point_and_by_humidity():
    by_dew_point = air_of(Condition(pressure_altitude=0.0, oat=WARM, dew_point=WARM))
    by_humidity = air_of(Condition(pressure_altitude=0.0, oat=WARM, relative_humidity=1.0))
    assert_allclose(by_dew_point.density, by_humidity.density, rtol=1e-15)


def test_an_array_of_conditions_broadcasts():
    elevations = np.array([[0.0], [HIGH_STRIP]])
    temperatures = np.array([273.15, 288.15, WARM])
    air = air_of(Condition(elevation=elevations, qnh=101325.0, oat=temperatures))
    assert air.density.shape == (2, 3)
    for i, elevation in enumerate(elevations[:, 0]):
        for j, oat in enumerate(temperatures):
            one = air_of(Condition(elevation=elevation, qnh=101325.0, oat=oat))
            assert_allclose(air.density[i, j], one.density, rtol=1e-15)


def checked(condition, where):
    """Read a condition as an answer does: what is stated first, then the air."""
    check_condition(condition, where)
    return air_of(condition, where)


@pytest.mark.parametrize(
    ("condition", "pointer", "message"),
    [
        (Condition(density_altitude=33000.0), "/density_altitude", "outside the standard atmosphere"),
        (Condition(density_altitude=-5100.0), "/density_altitude", "outside the standard atmosphere"),
        (Condition(pressure_altitude=40000.0, oat=220.0), "/pressure_altitude", "outside the standard atmosphere"),
        (Condition(station_pressure=500.0, oat=288.0), "/station_pressure", "check the value and its unit"),
        (Condition(station_pressure=2.5e5, oat=288.0), "/station_pressure", "outside the standard atmosphere"),
        (Condition(elevation=0.0, qnh=3.0e5, oat=288.0), "/qnh", "outside the standard atmosphere"),
        (Condition(pressure_altitude=0.0, oat=288.0, dew_point=288.1), "/dew_point", "dew point is above"),
        (Condition(pressure_altitude=0.0, temperature_offset=0.0, dew_point=288.2), "/dew_point", "dew point is above"),
        (Condition(pressure_altitude=0.0, oat=400.0, relative_humidity=1.0), "/oat", "mostly vapour"),
        (Condition(pressure_altitude=0.0, oat=400.0, dew_point=380.0), "/oat", "mostly vapour"),
    ],
)
def test_refuses_with_the_place(condition, pointer, message):
    with pytest.raises(Refusal, match=message) as refused:
        checked(condition, "/conditions/3")
    assert refused.value.where == f"/conditions/3{pointer}"


@pytest.mark.parametrize(
    ("condition", "message"),
    [
        (Condition(pressure_altitude=np.array([0.0, 40000.0]), oat=288.0), "outside the standard atmosphere"),
        (Condition(density_altitude=np.array([0.0, np.nan])), "outside the standard atmosphere"),
        (Condition(pressure_altitude=0.0, oat=np.array([288.0, 300.0]), dew_point=290.0), "dew point is above"),
    ],
)
def test_one_bad_member_of_an_array_refuses_all(condition, message):
    with pytest.raises(Refusal, match=message):
        checked(condition, "")


@pytest.mark.parametrize(
    ("air", "pointer"),
    [
        (Air(1013.25, 288.0), "/conditions/0/oat"),  # hectopascals sent as pascals
        (Air(101325.0, 120.0), "/conditions/0/oat"),  # denser than any standard air
        (Air(101325.0, np.array([288.0, 120.0, 110.0])), "/conditions/1/oat"),
        (Air(np.array([[101325.0, 101325.0, 1013.25]]), 288.0), "/conditions/2/oat"),
    ],
)
def test_refuses_air_as_dense_as_no_standard_air(air, pointer):
    with pytest.raises(Refusal, match="outside the standard atmosphere") as refused:
        refuse_beyond(air, [Condition(oat=WARM)] * np.size(air.density), "/conditions/{}")
    assert refused.value.where == pointer


@pytest.mark.parametrize(
    "air", [Air(101325.0, 288.0), Air(np.array([101325.0, 60000.0]), np.array([[320.0], [250.0]]))]
)
def test_accepts_air_met_outdoors(air):
    refuse_beyond(air, [Condition(oat=WARM)] * np.size(air.density), "/conditions/{}")
