"""Published climbs, CLB-01, -02, -06 and -07, speeds at a power, FTD-05 and -06, and propellers, PRP-02, -04, -05.

Not asserted: CLB-03 and CLB-04, rules and conversions of units that nothing here computes; the time of CLB-07, for
the same reason. FTD-01 to FTD-03 stand in `test_reduction`.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.air import standard
from climbwright.air.airspeed import mach_from_calibrated, true_from_mach
from climbwright.flight.ceilings import standard_ceiling
from climbwright.flight.climb import acceleration_factor, climb_angle, climb_gradient, climb_rate
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.rotation import helical_tip_mach, ideal_static_thrust

FOOT, INCH, KNOT, HORSEPOWER, POUND_FORCE = 0.3048, 0.0254, 1852.0 / 3600.0, 745.699872, 4.4482216152605
RPM = np.pi / 30.0
SOUND = 340.294  # at 15 degC [m/s]


def test_a_class_exercise():
    """CLB-01, university physics class exercise (seen): 120 hp of excess, 3000 lb, 85 kt: 6.7 m/s and 8.8 degrees."""
    true = 85.0 * KNOT
    rate = climb_rate(120.0 * HORSEPOWER / true, 0.0, 3000.0 * POUND_FORCE, true)
    assert_allclose(rate, 6.7, rtol=0.0, atol=0.05)
    assert_allclose(rate / FOOT * 60.0, 1320.0, rtol=0.0, atol=0.5)
    assert_allclose(np.degrees(climb_angle(rate, true)), 8.8, rtol=0.0, atol=0.05)


@pytest.mark.parametrize("true", [20.0, 35.0])
def test_33000_foot_pounds_a_minute(true):
    """CLB-02, definition (derived): 20 thrust hp, 1320 lb: 500 ft/min exactly, at any speed."""
    rate = climb_rate(20.0 * HORSEPOWER / true + 800.0, 800.0, 1320.0 * POUND_FORCE, true)
    assert_allclose(rate / FOOT * 60.0, 500.0, rtol=1e-9)


def test_rate_to_angle():
    """CLB-06, definition (derived): 700 ft/min at 75 kt, no wind: 560 ft/NM of flight path, 9.22 % as a sine, 5.29
    degrees; the gradient over the ground is the tangent.
    """
    rate, true = 700.0 * FOOT / 60.0, 75.0 * KNOT
    angle = climb_angle(rate, true)
    assert_allclose(1852.0 * np.sin(angle) / FOOT, 560.0, rtol=0.0, atol=0.5)
    assert_allclose(100.0 * np.sin(angle), 9.22, rtol=0.0, atol=0.01)
    assert_allclose(np.degrees(angle), 5.29, rtol=0.0, atol=0.01)
    assert_allclose(climb_gradient(rate, true), np.tan(np.radians(5.288)), rtol=0.0, atol=0.0001)


def test_service_ceiling_of_a_rate_that_falls_evenly():
    """CLB-07, Perkins and Hage (formula from memory): 1000 ft/min at sea level, absolute 20 000 ft: 18 000 ft."""

    def rate(sigma):
        altitude = standard.density_altitude(sigma * standard.SEA_LEVEL_DENSITY) / FOOT
        return 1000.0 * (1.0 - altitude / 20000.0)

    ceilings = standard_ceiling(rate, np.array([0.0, 100.0]))
    got = standard.density_altitude(ceilings * standard.SEA_LEVEL_DENSITY) / FOOT
    assert_allclose(got, [20000.0, 18000.0], rtol=1e-9)


@pytest.mark.parametrize(("knots", "feet", "factor"), [(80.0, 5000.0, 1.0099), (120.0, 8000.0, 1.0247)])
def test_acceleration_in_a_climb_at_one_airspeed(knots, feet, factor):
    """FTD-05, energy height (derived): 1 + (V/g) dV/dh at a constant calibrated airspeed."""
    pressure, temperature = standard.pressure(feet * FOOT), standard.temperature(feet * FOOT)
    true = true_from_mach(mach_from_calibrated(knots * KNOT, pressure), temperature)
    assert_allclose(acceleration_factor(true, temperature), factor, rtol=0.0, atol=0.0002)


@pytest.mark.parametrize(
    "propulsion",
    [
        ConstantEfficiency(150e3, 0.8),
        FixedPitch(150e3, 0.8, 65.0),
        FixedPitch(150e3, 0.8, 65.0, limited_by="power"),
    ],
    ids=["constant-efficiency", "fixed-pitch", "fixed-pitch-no-lapse"],
)
def test_speed_varies_with_the_cube_root_of_power(propulsion):
    """FTD-06, level flight dominated by parasite drag (derived): 150 kt, power 10 % less: 144.8 kt.

    A weight of a newton leaves no induced drag; a fixed pitch at one power coefficient keeps its advance ratio.
    """
    airframe, sigma = Airframe(1.0, 0.3, 10.0, 0.8), 0.8
    speed = 150.0 * KNOT
    power = propulsion.power_for(airframe.drag(speed, sigma * standard.SEA_LEVEL_DENSITY), speed, sigma)
    assert power < propulsion.delivered(0.8, sigma)
    got = propulsion.level_speed(airframe, np.array([1.0, 0.9]) * power, 0.8, sigma)
    assert_allclose(got / KNOT, [150.0, 144.8], rtol=0.0, atol=0.1)
    assert_allclose(got[1] / got[0], 0.9 ** (1.0 / 3.0), rtol=1e-6)


def test_ideal_static_thrust():
    """PRP-02, momentum theory (derived): 160 hp, 74 in, sea level: 4591 N, 1032 lbf."""
    got = ideal_static_thrust(160.0 * HORSEPOWER, 74.0 * INCH, 1.225)
    assert_allclose(got, 4591.0, rtol=0.0, atol=2.0)
    assert_allclose(got / POUND_FORCE, 1032.0, rtol=0.0, atol=0.5)


@pytest.mark.parametrize(
    ("knots", "inches", "mach"),
    [
        (0.0, 76.0, 0.802),  # PRP-04
        (120.0, 74.0, 0.802),  # PRP-05
    ],
)
def test_tip_mach(knots, inches, mach):
    """PRP-04 and PRP-05, kinematics (derived): 2700 rpm, 15 degC."""
    got = helical_tip_mach(knots * KNOT, 2700.0 * RPM, inches * INCH, SOUND)
    assert_allclose(got, mach, rtol=0.0, atol=0.001)
