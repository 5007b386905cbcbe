"""Published climb conversions, CLB-01, CLB-02 and CLB-06, and propeller kinematics, PRP-02, PRP-04 and PRP-05.

Not asserted: the 560 ft/NM of CLB-06, which is along the flight path; the gradient here is over the ground.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.flight.climb import climb_angle, climb_gradient, climb_rate
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
    """CLB-06, definition (derived): 700 ft/min at 75 kt, no wind: 9.22 % as a sine, 5.29 degrees."""
    rate, true = 700.0 * FOOT / 60.0, 75.0 * KNOT
    angle = climb_angle(rate, true)
    assert_allclose(100.0 * np.sin(angle), 9.22, rtol=0.0, atol=0.01)
    assert_allclose(np.degrees(angle), 5.29, rtol=0.0, atol=0.01)
    assert_allclose(climb_gradient(rate, true), np.tan(np.radians(5.288)), rtol=0.0, atol=0.0001)


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
