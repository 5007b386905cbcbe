r"""Thrust of a constant-speed propeller by momentum theory, and the climb and level flight it makes.

The propeller holds the engine at its rated speed, so that all its power is there at every airspeed. Of the shaft
power P the share q goes into the stream through the disc, P q = T (V/2 + sqrt(V²/4 + T/(2 rho A))), and the rest is
lost to the drag of the blades. q is the propeller's quality: its efficiency over that of a loss-free disc. It rises
along a parabola from its value at standstill, where the blades are half stalled, to its full value at the quality
speed.

The best speeds are found by Newton's steps, with slopes by the logarithm of airspeed. With the loss-free efficiency
E = V/u, u the speed through the disc, thrust power is A = P q E. From P q = T u and T = 2 rho A_disc u (u - V) follow
s = dlnT/dlnV = ((2 - E) G - E)/(3 - 2 E), where G = dlnq/dlnV, and dlnE/dlnV = 1 + s - G.

References
----------
.. [1] H. Glauert, in W. F. Durand (ed.), *Aerodynamic Theory*, vol. IV, 1935: momentum theory of the actuator disc.
   A quality that rises with airspeed along a parabola is common practice, no source.
"""

from dataclasses import dataclass

import numpy as np

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d
from climbwright.flight.drag import Airframe
from climbwright.flight.momentum import disc_term, shaft_power_for, through_disc
from climbwright.roots import falling_root

__all__ = ["ConstantSpeed"]

_NO_POWER = 1e-280  # stands in for none, where it divides [W]
_LAST_STEP = 1e-5  # of the speed; it leaves an error of about its square


@dataclass(frozen=True)
class ConstantSpeed:
    """An engine with a constant-speed propeller; every field is a float or an array, and they broadcast.

    Parameters
    ----------
    power : array_like
        Rated power times the power margin. [W]
    diameter : array_like
        Propeller diameter. [m]
    quality : array_like
        Efficiency over that of a loss-free disc, from the quality speed up; about 0.85. [-]
    static_quality : array_like
        The same standing still, not above `quality`; about 0.62. [-]
    quality_speed : array_like
        True airspeed above zero at which quality is full; about half of the greatest level speed. [m/s]
    """

    power: Number
    diameter: Number
    quality: Number
    static_quality: Number
    quality_speed: Number

    def quality_at(self, true: Numbers) -> Floats:
        """Efficiency over that of a loss-free disc. [-]

        Parameters
        ----------
        true : array_like
            True airspeed, not negative. [m/s]
        """
        v = np.asarray(true, dtype=float)
        short = np.maximum(1.0 - v / self.quality_speed, 0.0)
        return scalar_if_0d(self.quality - np.subtract(self.quality, self.static_quality) * short**2)

    def thrust(self, true: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust at full throttle. [N]

        Parameters
        ----------
        true : array_like
            True airspeed, not negative. [m/s]
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        v, phi, sigma = floats(true, power_ratio, density_ratio)
        disc = disc_term(self.diameter, sigma * SEA_LEVEL_DENSITY)
        return through_disc(self.power * phi * self.quality_at(v), disc, v)[0]  # [1]

    def excess_power(self, true: Numbers, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust power at full throttle less what drag takes. [W]

        Parameters
        ----------
        true : array_like
            True airspeed above zero. [m/s]
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        v, sigma = floats(true, density_ratio)
        drag = airframe.drag(v, sigma * SEA_LEVEL_DENSITY)
        return scalar_if_0d(v * (self.thrust(v, power_ratio, sigma) - drag))

    def power_for(self, thrust: Numbers, true: Numbers, density_ratio: Numbers) -> Floats:
        """Shaft power that makes a thrust, at part throttle: the inverse of `thrust`. [W]

        Parameters
        ----------
        thrust : array_like
            Thrust, not negative. [N]
        true : array_like
            True airspeed, not negative. [m/s]
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        """
        rho = np.multiply(density_ratio, SEA_LEVEL_DENSITY)
        return scalar_if_0d(shaft_power_for(thrust, self.diameter, rho, true) / self.quality_at(true))  # [1]

    def delivered(self, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Shaft power at full throttle. [W]

        Parameters
        ----------
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        return scalar_if_0d(np.multiply(self.power, power_ratio) + np.multiply(0.0, density_ratio))

    def best_rate_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best rate of climb, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        case = _Case(self, airframe, power_ratio, density_ratio)
        a, H = 3.0 * case.a, case.H

        def slope_of_excess_power(v: Floats) -> tuple[Floats, Floats]:
            power, s, s_slope = case.thrust_power(v)
            parasite, induced, more = a * v**2 * v, H / v, 1.0 + s
            slope = power * (more**2 + s_slope) - 3.0 * parasite - induced
            return power * more - parasite + induced, slope / v

        # with little power the speed of least power, with much a fixed share of the greatest level speed
        start = np.sqrt(np.sqrt(case.H / a + 0.055 * case.never**4))
        fastest = case.never + case.least_drag + case.quality_speed
        return falling_root(slope_of_excess_power, 0.0, fastest, start, _LAST_STEP)

    def best_angle_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best angle of climb, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        case = _Case(self, airframe, power_ratio, density_ratio)
        a, H = 2.0 * case.a, 2.0 * case.H

        def slope_of_excess_thrust(v: Floats) -> tuple[Floats, Floats]:
            power, s, s_slope = case.thrust_power(v)
            parasite, induced = a * v**2 * v, H / v
            slope = power * (s + s**2 + s_slope) - 3.0 * parasite - induced
            return power * s - parasite + induced, slope / v

        # the more static thrust over least drag, the further below the speed of least drag
        strong = np.cbrt(case.stream**2 * case.disc) / np.sqrt(case.a * case.H)
        start = case.least_drag / np.sqrt(np.sqrt(1.0 + 0.2 * strong))
        # above the quality speed thrust falls with speed, above that of least drag drag rises
        fastest = case.least_drag + case.quality_speed
        return falling_root(slope_of_excess_thrust, 0.0, fastest, start, _LAST_STEP)

    def greatest_level_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Greatest true airspeed of level flight, nan where level flight cannot be held at any speed. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]

        Notes
        -----
        Where P q is the D (V/2 + sqrt(V²/4 + D/(2 rho A))) that level flight takes. The one rises ever less with speed
        and the other ever more, so that Newton's steps come down from a speed that is never reached onto the last
        crossing, or else past the top of a difference that is below zero everywhere.
        """
        case = _Case(self, airframe, power_ratio, density_ratio)
        a, H, disc = case.a, case.H, case.disc

        def spare_power(v: Floats) -> tuple[Floats, Floats]:
            parasite, induced, half = a * v**2, H / v**2, 0.5 * v
            drag = parasite + induced
            root = np.sqrt(half**2 + drag / disc)
            through, bent = half + root, 0.5 * drag / root
            quality, rise = case.quality_at(v)[:2]
            value = case.power * quality - drag * through
            slope = (case.power * rise - 2.0 * (parasite - induced) * (through + bent / disc)) / v - bent * through
            return np.where((value < 0.0) & (slope >= 0.0), np.nan, value), slope

        # induced drag left out
        fastest = case.never / np.cbrt(0.5 + np.sqrt(0.25 + a / disc))
        return falling_root(spare_power, 0.0, fastest, fastest)

    def level_speed(self, airframe: Airframe, power: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of level flight at a shaft power, at full throttle where that gives less; nan where none. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power : array_like
            Shaft power. [W]
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        part = np.minimum(np.divide(power, self.power), power_ratio)
        return self.greatest_level_speed(airframe, part, density_ratio)

    def longest_endurance_speed(self, airframe: Airframe, density_ratio: Numbers) -> Floats:
        """True airspeed of level flight at the least shaft power, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        """
        case = _Case(self, airframe, 1.0, density_ratio)

        def gain(v: Floats) -> tuple[Floats, Floats]:
            growth, growth_slope = case.level_power_growth(v)
            return -growth, -growth_slope / v

        # above the speed of least drag drag rises, above the quality speed quality no longer does
        fastest = case.least_drag + case.quality_speed
        return falling_root(gain, 0.0, fastest, 0.8 * case.least_drag, _LAST_STEP)

    def longest_range_speed(self, airframe: Airframe, density_ratio: Numbers, headwind: Numbers = 0.0) -> Floats:
        """True airspeed of level flight at the least shaft energy for each distance over the ground. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        headwind : array_like
            Wind against the flight, negative from behind. [m/s]
        """
        case = _Case(self, airframe, 1.0, density_ratio)
        wind = np.asarray(headwind, dtype=float)

        def gain(v: Floats) -> tuple[Floats, Floats]:
            growth, growth_slope = case.level_power_growth(v)
            way = v / (v - wind)  # growth of the speed over the ground
            return way - growth, (way * (1.0 - way) - growth_slope) / v

        slowest = np.maximum(wind, 0.0)
        # beyond, power grows faster with V than its power 2.6, and the speed over the ground slower than its square
        fastest = 2.0 * (case.least_drag + slowest) + case.quality_speed
        return falling_root(gain, slowest, fastest, case.least_drag + 1.5 * slowest, _LAST_STEP)


class _Case:
    """A propeller, its power, an airframe whose drag is a V² + H/V², and air, as arrays of one shape."""

    def __init__(
        self, propeller: ConstantSpeed, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers
    ) -> None:
        rho = np.multiply(density_ratio, SEA_LEVEL_DENSITY)
        given = (
            0.5 * rho * airframe.parasite_area,
            airframe.induced_term(rho),
            disc_term(propeller.diameter, rho),
            np.maximum(np.multiply(propeller.power, power_ratio), _NO_POWER),
            propeller.quality,
            np.subtract(propeller.quality, propeller.static_quality),
            propeller.quality_speed,
        )
        every = np.empty((len(given), *np.broadcast(*given).shape))
        for i, value in enumerate(given):
            every[i] = value  # numpy is half as fast again on numbers of one shape
        self.a, self.H, self.disc, self.power, self.quality, self.gap, self.quality_speed = every
        self.stream = self.power * self.quality
        most = self.power * np.maximum(propeller.quality, propeller.static_quality)
        self.never = np.cbrt(most / self.a)  # a speed that no level flight reaches [m/s]
        self.least_drag = np.sqrt(np.sqrt(self.H / self.a))  # the speed of least drag [m/s]
        self.slowing = self.disc / (27.0 * self.power)

    def quality_at(self, v: Floats) -> tuple[Floats, Floats, Floats]:
        """q, V q', and V times the slope of V q'."""
        x = v / self.quality_speed
        short = np.maximum(1.0 - x, 0.0)
        gap = self.gap * short
        rise = (gap + gap) * x
        return self.quality - gap * short, rise, rise - (short > 0.0) * (x * x * (self.gap + self.gap))

    def thrust_power(self, v: Floats) -> tuple[Floats, Floats, Floats]:
        """A, s, and the slope of s."""
        quality, rise, rise_slope = self.quality_at(v)
        G = rise / quality
        h = np.sqrt(v**2 * v * self.slowing / quality)
        E = 6.0 * h * np.sinh(np.arcsinh(0.5 / h) / 3.0)  # y V/w0 of through_disc
        rest, per = 2.0 - E, 3.0 - (E + E)
        s = (rest * G - E) / per
        E_slope = E * (1.0 + s - G)
        s_slope = (rest * (rise_slope / quality - G**2) + E_slope * (s + s - G - 1.0)) / per
        return self.power * quality * E, s, s_slope

    def level_power_growth(self, v: Floats) -> tuple[Floats, Floats]:
        """dlnP/dlnV of the shaft power that level flight takes, P = D u/q, and its slope."""
        parasite, induced = self.a * v**2, self.H / v**2
        drag = parasite + induced
        half = 0.5 * v
        E = v / (half + np.sqrt(half**2 + drag / self.disc))
        dD = 2.0 * (parasite - induced) / drag  # dlnD/dlnV, whose own slope is 4 - dD²
        rest = 2.0 - E
        du = (E + dD * (1.0 - E)) / rest  # dlnu/dlnV
        du_slope = (E * (1.0 - du) * (1.0 + du - dD) + (4.0 - dD**2) * (1.0 - E)) / rest
        quality, rise, rise_slope = self.quality_at(v)
        G = rise / quality
        return dD + du - G, 4.0 - dD**2 + du_slope - rise_slope / quality + G**2
