"""Ten thousand machines at once, drawn evenly over wide ranges, and the linear propeller polar written out."""

from typing import NamedTuple

import numpy as np

from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch

from .machines import SEA_LEVEL_DENSITY


class Crowd(NamedTuple):
    """Propellers of fixed pitch, airframes, and the air and airspeed of each."""

    propulsion: FixedPitch
    airframe: Airframe
    power_ratio: np.ndarray
    density_ratio: np.ndarray
    true: np.ndarray


def crowd(count, seed, limited_by="torque", bounded=False):
    """15 to 300 kW, best efficiency 0.3 to 0.92 at 20 to 110 m/s, 1 to 3 m across; density ratio 0.3 to 1.2."""
    random = np.random.default_rng(seed)

    def evenly(low, high):
        return random.uniform(low, high, count)

    def by_ratio(low, high):
        return np.exp(evenly(np.log(low), np.log(high)))

    diameter = evenly(1.0, 3.0)
    propulsion = FixedPitch(
        power=by_ratio(15e3, 300e3),
        best_efficiency=evenly(0.3, 0.92),
        best_efficiency_speed=evenly(20.0, 110.0),
        diameter=diameter if bounded else None,
        limited_by=limited_by,
    )
    airframe = Airframe(
        weight=by_ratio(1500.0, 20000.0),
        parasite_area=by_ratio(0.15, 1.2),
        span=evenly(6.0, 14.0),
        span_efficiency=evenly(0.6, 0.9),
        load_factor=evenly(1.0, 2.0),
    )
    return Crowd(propulsion, airframe, evenly(0.05, 1.2), evenly(0.3, 1.2), evenly(1.0, 120.0))


def linear_terms(propulsion):
    """E0 and F0 in the owner's words: thrust power is greatest, best efficiency times power, at its speed."""
    v, most = propulsion.best_efficiency_speed, propulsion.best_efficiency * propulsion.power
    return 1.5 * most / v, -0.5 * most / v**3


def written_out_drag(airframe, true, density):
    """Parasite and induced drag."""
    q, lift = 0.5 * density * true**2, airframe.weight * airframe.load_factor
    return q * airframe.parasite_area + lift**2 / (q * np.pi * airframe.span**2 * airframe.span_efficiency)


class Polar:
    """The linear propeller polar C_T/J² = m C_P/J² + b of a propeller that turns n0 times a second at sea level.

    With T = C_T rho n² D⁴, P = C_P rho n³ D⁵ and J = V/(n D):

        C_T/J² = T/(rho D² V²),   C_P/J² = P/(rho n D³ V²) = 2 pi Q/(rho D³ V²),

    so that the straight line multiplied by rho D² V² is

        T = m 2 pi Q/D + b rho D² V².

    Torque Q independent of airspeed makes T = E + F V² of it, with E = m 2 pi Q/D = m C_P rho n² D⁴ and F = b rho D².
    At sea level, where P is the rated power and n is n0, that gives C_P, m and b from E0 and F0. A C_P that stays
    the same is a torque that varies with rho n². What n0 and D are is then of no account to thrust and power.
    """

    def __init__(self, propulsion, turns, diameter):
        E0, F0 = linear_terms(propulsion)
        self.diameter = diameter
        self.C_P = propulsion.power / (SEA_LEVEL_DENSITY * turns**3 * diameter**5)
        self.m = E0 / (self.C_P * SEA_LEVEL_DENSITY * turns**2 * diameter**4)
        self.b = F0 / (SEA_LEVEL_DENSITY * diameter**2)

    def turns_of_power(self, power, density):
        """n at a shaft power."""
        return np.cbrt(power / (self.C_P * density * self.diameter**5))

    def turns_of_torque(self, torque, density):
        """n at an engine torque: 2 pi Q = C_P rho n² D⁵."""
        return np.sqrt(2.0 * np.pi * torque / (self.C_P * density * self.diameter**5))

    def turns_of_thrust(self, thrust, true, density):
        """n at a thrust: T = m C_P rho n² D⁴ + b rho D² V²."""
        static = thrust - self.b * density * self.diameter**2 * true**2
        return np.sqrt(static / (self.m * self.C_P * density * self.diameter**4))

    def losses(self, turns, true, density):
        """Shaft power that does not drive the aeroplane, rho n³ D⁵ (C_P - J C_T)."""
        J = true / (turns * self.diameter)
        C_T = self.m * self.C_P + self.b * J**2
        return density * turns**3 * self.diameter**5 * (self.C_P - J * C_T)
