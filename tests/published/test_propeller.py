"""Published propeller theory, PRP-01 and PRP-02, and kinematics, PRP-04; PRP-05 is in test_climb.

Not asserted, because nothing here computes them: advance ratio, power and speed-power coefficients, PRP-06 to PRP-09.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.momentum import ideal_efficiency, momentum_thrust
from climbwright.flight.rotation import helical_tip_mach

FOOT, INCH, HORSEPOWER, POUND_FORCE = 0.3048, 0.0254, 745.699872, 4.4482216152605
SOUND = 340.294  # at 15 degC [m/s]


@pytest.mark.parametrize(
    ("thrust_coefficient", "efficiency"), [(0.0, 1.0), (0.25, 0.9443), (1.0, 0.8284), (3.0, 0.6667), (8.0, 0.5)]
)
def test_ideal_efficiency(thrust_coefficient, efficiency):
    """PRP-01, actuator-disc theory, Glauert and McCormick (derived): 2/(1 + sqrt(1 + Tc))."""
    assert_allclose(ideal_efficiency(thrust_coefficient), efficiency, rtol=0.0, atol=0.0001)
    if thrust_coefficient > 0.0:  # the same from the thrust of a power: P = Tc q A V/efficiency
        density, diameter, true = 1.225, 1.8, 40.0
        thrust = thrust_coefficient * 0.5 * density * true**2 * np.pi * diameter**2 / 4.0
        power = thrust * true / efficiency
        assert_allclose(momentum_thrust(power, diameter, density, true), thrust, rtol=0.0001 / efficiency)


def test_ideal_static_thrust_bounds_the_constant_speed_propeller():
    """PRP-02, momentum theory (derived): 160 hp, 74 in, sea level: 4591 N, 1032 lbf, an upper bound."""
    power, diameter = 160.0 * HORSEPOWER, 74.0 * INCH
    got = momentum_thrust(power, diameter, 1.225, 0.0)
    assert_allclose(got, 4591.0, rtol=0.0, atol=2.0)
    assert_allclose(got / POUND_FORCE, 1032.0, rtol=0.0, atol=0.5)
    loss_free = ConstantSpeed(power, diameter, 1.0, 1.0, 30.0)
    assert_allclose(loss_free.thrust(0.0, 1.0, 1.0), 4591.0, rtol=0.0, atol=2.0)
    assert ConstantSpeed(power, diameter, 0.85, 0.62, 30.0).thrust(0.0, 1.0, 1.0) < 4591.0


def test_tip_speed():
    """PRP-04, kinematics (derived): 76 in, 2700 rpm, static, 15 degC: 272.9 m/s, 895 ft/s, Mach 0.802."""
    mach = helical_tip_mach(0.0, 2700.0 * np.pi / 30.0, 76.0 * INCH, SOUND)
    assert_allclose(mach * SOUND, 272.9, rtol=0.0, atol=0.1)
    assert_allclose(mach * SOUND / FOOT, 895.0, rtol=0.0, atol=0.5)
    assert_allclose(mach, 0.802, rtol=0.0, atol=0.001)
