"""The textbook's propeller aeroplane: Anderson, Introduction to Flight, ch. 6.

Inputs seen in a companion listing and in a university exercise sheet: span 35.8 ft, wing area 174 ft2, weight 2950 lb,
230 hp at sea level, CD0 0.025, e 0.8, propeller efficiency 0.8.
"""

from climbwright.air import standard
from climbwright.flight.climb import climb_rate
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.power import altitude_lapse

from .published import si

FOOT, POUND_FORCE, HORSEPOWER = 0.3048, 4.4482216152605, 745.699872
WING_AREA = 174.0 * FOOT**2
WEIGHT = 2950.0 * POUND_FORCE
AIRFRAME = Airframe(WEIGHT, 0.025 * WING_AREA, 35.8 * FOOT, 0.8)
PROPULSION = ConstantEfficiency(230.0 * HORSEPOWER, 0.8)
PROPORTIONAL, GAGG_FARRAR = 0.0, 0.117  # lapse constants: power proportional to density, and the curve in use


def best_climb(feet, lapse_constant):
    """Speed [m/s] and rate [m/s] of the best climb at a standard altitude."""
    rho = standard.density(feet * FOOT)
    sigma = rho / standard.SEA_LEVEL_DENSITY
    phi = altitude_lapse(sigma, lapse_constant)
    speed = PROPULSION.best_rate_speed(AIRFRAME, phi, sigma)
    thrust, drag = PROPULSION.thrust(speed, phi, sigma), AIRFRAME.drag(speed, rho)
    return speed, climb_rate(thrust, drag, WEIGHT, speed)


def feet_per_second(speed):
    return speed / si(1.0, "foot/s")


def feet_per_minute(rate):
    return rate / si(1.0, "foot/minute")
