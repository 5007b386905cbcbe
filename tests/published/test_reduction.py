"""Reduction of flight tests to standard weight at sea level: FTD-01 to FTD-03.

Definitions from Kimberlin, Flight Testing of Fixed-Wing Aircraft, ch. 9 (chapter summary seen): power and rate of
climb times the root of the density ratio, over the weight ratio to the power three halves and one half; equivalent
airspeed over its root. FTD-01 and FTD-02 are identities on the textbook aeroplane's polar (derived): a point flown
light and high must lie on the curve of standard weight at sea level, whose power and climb the package's own functions
give.
"""

import numpy as np
from numpy.testing import assert_allclose

from climbwright.air import standard
from climbwright.flight.climb import climb_rate
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe

from .textbook import AIRFRAME, FOOT, HORSEPOWER, POUND_FORCE, feet_per_minute

LIGHT = Airframe(2600.0 * POUND_FORCE, AIRFRAME.parasite_area, AIRFRAME.span, AIRFRAME.span_efficiency)
RHO = standard.density(8000.0 * FOOT)
SIGMA = RHO / standard.SEA_LEVEL_DENSITY
RATIO = 2600.0 / 2950.0


def reduced_speed(true, sigma, ratio):
    return true * np.sqrt(sigma / ratio)


def reduced_power(power, sigma, ratio):
    return power * np.sqrt(sigma) / ratio**1.5


def test_a_level_flight_high_and_light_lies_on_the_curve_at_sea_level():
    """FTD-01: 190 ft/s at 8000 ft takes 72.174 hp of thrust power; VIW 179.43 ft/s, PIW 77.33."""
    true = 190.0 * FOOT
    power = LIGHT.drag(true, RHO) * true
    assert_allclose(power / HORSEPOWER, 72.174, atol=0.05)
    speed, needed = reduced_speed(true, SIGMA, RATIO), reduced_power(power, SIGMA, RATIO)
    assert_allclose([speed / FOOT, needed / HORSEPOWER], [179.43, 77.33], atol=0.05)
    assert_allclose(AIRFRAME.drag(speed, standard.SEA_LEVEL_DENSITY) * speed, needed, rtol=1e-12)


def test_a_climb_high_and_light_lies_on_the_curve_at_sea_level():
    """FTD-02: 130 ft/s, 175 bhp at 0.8: 1172.1 ft/min there; CIW 1106.9 ft/min at VIW 122.77 ft/s and PIW 150.01."""
    true, shaft = 130.0 * FOOT, 175.0 * HORSEPOWER
    engine = ConstantEfficiency(shaft, 0.8)
    rate = climb_rate(engine.thrust(true, 1.0, SIGMA), LIGHT.drag(true, RHO), LIGHT.weight, true)
    assert_allclose(feet_per_minute(rate), 1172.1, atol=0.5)
    speed = reduced_speed(true, SIGMA, RATIO)
    power = reduced_power(engine.thrust_power, SIGMA, RATIO)
    assert_allclose([speed / FOOT, power / HORSEPOWER], [122.77, 150.01], atol=0.05)
    drag = AIRFRAME.drag(speed, standard.SEA_LEVEL_DENSITY)
    at_sea_level = climb_rate(power / speed, drag, AIRFRAME.weight, speed)
    assert_allclose(feet_per_minute(at_sea_level), 1106.9, atol=0.5)
    assert_allclose(at_sea_level, rate * np.sqrt(SIGMA / RATIO), rtol=1e-12)


def test_reduced_speed_and_power_by_hand():
    """FTD-03: 120 kt equivalent, 120 hp, density ratio 0.80, 1750 of 2000 lb: VIW 128.3 kt, PIW 131.1."""
    ratio = 1750.0 / 2000.0
    assert_allclose(reduced_speed(120.0 / np.sqrt(0.80), 0.80, ratio), 128.3, atol=0.1)
    assert_allclose(reduced_power(120.0, 0.80, ratio), 131.1, atol=0.1)
