"""Published airspeeds: SPD-01 to SPD-11, and the table of calibrated airspeeds by altitude and temperature.

Not asserted: SPD-11 with the density ratio (Mach 0.602), a slip of the lecture notes; the rule of SPD-10.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.air import airspeed, standard

from .published import data, named, published, shown, si

KNOT, FOOT = 1852.0 / 3600.0, 0.3048


def of_air(calibrated, altitude, offset=0.0):
    pressure, temperature = standard.pressure(altitude), standard.temperature(altitude) + offset
    density = pressure / (287.05287 * temperature)
    mach = airspeed.mach_from_calibrated(calibrated, pressure)
    true = airspeed.true_from_mach(mach, temperature)
    return {
        "impact_pressure": (airspeed.impact_pressure(calibrated), "Pa"),
        "mach": (mach, ""),
        "true": (true, "m/s"),
        "equivalent": (airspeed.equivalent_from_true(true, density), "m/s"),
        "without_compression": (airspeed.true_from_equivalent(calibrated, density), "m/s"),
    }


@pytest.mark.parametrize("row", published("airspeed.csv"), ids=named)
def test_rows(row):
    found = of_air(float(row["calibrated_kt"]) * KNOT, float(row["pressure_altitude_ft"]) * FOOT)
    got = shown(*found[row["quantity"]], row["unit"])
    assert_allclose(got, float(row["expected"]), rtol=0.0, atol=float(row["tolerance"]))


@pytest.mark.parametrize(
    "row", data("airspeed.csv"), ids=lambda row: f"{row['CAS_kt']:.0f}kt-{row['PA_ft']:.0f}ft-{row['ISA_dev_C']:+.0f}C"
)
def test_table(row):
    """An independent calculation with the compressible definitions (derived): to the last digit given."""
    found = of_air(row["CAS_kt"] * KNOT, row["PA_ft"] * FOOT, row["ISA_dev_C"])
    for quantity, unit, column, tolerance in (
        ("mach", "", "Mach", 1e-5),
        ("true", "knot", "TAS_kt", 0.001),
        ("equivalent", "knot", "EAS_kt", 0.001),
        ("impact_pressure", "Pa", "qc_Pa", 0.01),
        ("without_compression", "knot", "TAS_incompressible_kt", 0.001),
    ):
        assert_allclose(shown(*found[quantity], unit), row[column], rtol=0.0, atol=tolerance, err_msg=column)


@pytest.mark.parametrize(
    ("case", "rise", "density", "true", "equivalent", "unit", "tolerance"),
    [
        # Anderson, Introduction to Flight, low-speed example: 1761 and 1818 lb/ft2, 505 deg R (memory)
        ("SPD-01", (1818 - 1761) * 47.88026, si(1761 / (1716 * 505), "slug/foot**3"), 237.0, 219.0, "foot/s", 0.5),
        # the same restated in SI: 0.8432e5 and 0.87e5 Pa, 280.56 K, R 287 (inputs seen, result derived)
        ("SPD-02", 0.87e5 - 0.8432e5, 0.8432e5 / (287.0 * 280.56), 71.5, 66.1, "m/s", 0.1),
    ],
)
def test_low_speed_pitot_example(case, rise, density, true, equivalent, unit, tolerance):
    """The true airspeed whose dynamic pressure is the pitot's rise, and its equivalent airspeed."""
    got = brentq(lambda v: airspeed.dynamic_pressure(v, density) - rise, 1.0, 200.0)
    assert_allclose(shown(got, "m/s", unit), true, rtol=0.0, atol=tolerance)
    assert_allclose(
        shown(airspeed.equivalent_from_true(got, density), "m/s", unit), equivalent, rtol=0.0, atol=tolerance
    )


def test_high_subsonic_pitot_example():
    """SPD-03, Anderson, Introduction to Flight: total 4.24e4 Pa at 10 km, 230 K (inputs seen, results memory).

    The book's sea-level pressure is 1.01e5 Pa.
    """
    calibrated = brentq(lambda v: airspeed.impact_pressure(v) - (4.24e4 - 2.65e4), 1.0, 300.0)
    mach = airspeed.mach_from_calibrated(calibrated, 2.65e4)
    assert_allclose(mach, 0.848, rtol=0.0, atol=0.001)
    assert_allclose(airspeed.true_from_mach(mach, 230.0), 258.0, rtol=0.0, atol=0.5)
    assert_allclose(calibrated, 157.0, rtol=0.0, atol=0.5)
    assert_allclose(airspeed.calibrated_from_mach(mach, 2.65e4), calibrated, rtol=1e-12)


def test_true_over_equivalent():
    """SPD-09, 1 over the root of density in the feet table of ATM-10 (root seen)."""
    altitudes = np.array([5000.0, 10000.0, 15000.0, 20000.0]) * FOOT
    got = airspeed.true_from_equivalent(1.0, standard.density(altitudes))
    assert_allclose(got, [1.077, 1.164, 1.261, 1.370], rtol=0.0, atol=0.0005)
