"""Published engine power with altitude, temperature and humidity: PWR-01 to PWR-04, PWR-08, PWR-09, and the table.

Not asserted: PWR-06 and PWR-07, another standard's correction that is not built; the table's last column,
delta over the root of theta, for the same reason.
"""

import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.air import standard
from climbwright.air.moist import saturation_vapour_pressure
from climbwright.air.state import SEA_LEVEL, Air
from climbwright.flight.power import altitude_lapse, power_ratio

from .published import data

FOOT = 0.3048


def sigma(feet):
    return standard.density(feet * FOOT) / 1.225


def test_the_three_forms_of_one_curve():
    """PWR-01, Gagg and Farrar, SAE Trans. 1934, as given in Gudmundsson (2014) eq. 7-16 (forms seen), 5000 ft."""
    assert_allclose(altitude_lapse(0.8617), 0.843, rtol=0.0, atol=0.0005)
    for form in (1.132 * 0.8617 - 0.132, (0.8617 - 0.117) / 0.883, 0.8617 - (1.0 - 0.8617) / 7.55):
        assert_allclose(altitude_lapse(0.8617), form, rtol=0.0, atol=0.0002)


@pytest.mark.parametrize(
    ("feet", "ratio"), [(5000.0, 0.843), (8000.0, 0.758), (10000.0, 0.704), (15000.0, 0.580), (20000.0, 0.471)]
)
def test_lapse(feet, ratio):
    """PWR-02, the same source (derived)."""
    assert_allclose(altitude_lapse(sigma(feet)), ratio, rtol=0.0, atol=0.0005)


@pytest.mark.parametrize(("ratio", "feet"), [(0.75, 8280.0), (0.65, 12100.0), (0.50, 18600.0)])
def test_altitude_of_a_power_setting(ratio, feet):
    """PWR-03, the same source (derived; agrees with the usual "75 % at about 8000 ft")."""
    got = brentq(lambda h: altitude_lapse(sigma(h)) - ratio, 0.0, 30000.0)
    assert_allclose(got, feet, rtol=0.0, atol=20.0)


def test_no_power_is_left_at_the_constant():
    """PWR-03: 0.117, and 0.1166 by the first form: zero below."""
    assert altitude_lapse(0.117) == 0.0
    assert altitude_lapse(0.10) == 0.0
    assert altitude_lapse(0.1175) > 0.0


def test_power_proportional_to_density():
    """PWR-04, Anderson, Introduction to Flight, ch. 6 (seen): 10 000 ft, 4.9 % above the curve."""
    got = altitude_lapse(sigma(10000.0), 0.0)
    assert_allclose(got, 0.7385, rtol=0.0, atol=0.0005)
    assert_allclose(got / altitude_lapse(sigma(10000.0)), 1.049, rtol=0.0, atol=0.0005)


@pytest.mark.parametrize("row", data("power_lapse.csv"), ids=lambda row: f"{row['DA_ft']:.0f}ft")
def test_table(row):
    """Gagg and Farrar (derived): the form in use to the last digit given, the others to their spread of 0.00023."""
    got = altitude_lapse(sigma(row["DA_ft"]))
    assert_allclose(sigma(row["DA_ft"]), row["sigma"], rtol=0.0, atol=5.001e-6)
    assert_allclose(got, row["form_(s-0.117)/0.883"], rtol=0.0, atol=5.001e-6)
    assert_allclose(got, row["form_1.132s-0.132"], rtol=0.0, atol=0.00024)
    assert_allclose(got, row["form_s-(1-s)/7.55"], rtol=0.0, atol=0.00024)
    assert_allclose(altitude_lapse(sigma(row["DA_ft"]), 0.0), row["proportional_to_sigma"], rtol=0.0, atol=5.001e-6)


def test_humidity_counts_by_the_pressure_of_the_dry_air():
    """PWR-08, NACA TR 426 (abstract seen, numbers derived): 30 degC, saturated, 1013.25 hPa.

    Dry-air pressure 0.958, density 0.984; power follows the former.
    """
    vapour = saturation_vapour_pressure(303.15)
    dry, moist = Air(101325.0, 303.15), Air(101325.0, 303.15, vapour)
    assert_allclose((101325.0 - vapour) / 101325.0, 0.958, rtol=0.0, atol=0.001)
    assert_allclose(moist.density / dry.density, 0.984, rtol=0.0, atol=0.001)
    assert_allclose(power_ratio(moist) / power_ratio(dry), 0.958, rtol=0.0, atol=0.001)


def test_temperature_correction():
    """PWR-09, standard practice in FAA AC 23-8 app. 1 and engine power charts (rule from memory)."""
    pressure, temperature = standard.pressure(5000.0 * FOOT), standard.temperature(5000.0 * FOOT)
    got = power_ratio(Air(pressure, temperature + 20.0)) / power_ratio(Air(pressure, temperature))
    assert_allclose(got, 0.9659, rtol=0.0, atol=0.0005)
    # and 10 deg F above 59 deg F: "1 % for 10 deg F"
    warm = Air(SEA_LEVEL.pressure, SEA_LEVEL.temperature + 10.0 / 1.8)
    assert_allclose(power_ratio(warm), 0.9905, rtol=0.0, atol=0.0005)
