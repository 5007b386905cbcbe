"""Thrust power as one share of engine power at every speed: the textbook's propeller, for first estimates.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 6: power available and power required.
"""

from dataclasses import dataclass

import numpy as np

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d
from climbwright.flight.drag import Airframe
from climbwright.flight.level import longest_range_speed

__all__ = ["ConstantEfficiency"]


@dataclass(frozen=True)
class ConstantEfficiency:
    """An engine with a propeller of one efficiency; every field is a float or an array, and they broadcast.

    Parameters
    ----------
    power : array_like
        Rated power times the power margin. [W]
    efficiency : array_like
        Thrust power over engine power. [-]
    """

    power: Number
    efficiency: Number

    @property
    def thrust_power(self) -> Floats:
        """Thrust power at sea level. [W]"""
        return np.multiply(self.efficiency, self.power)

    def thrust(self, true: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust at full throttle; without bound towards standstill, where this propeller means nothing. [N]

        Parameters
        ----------
        true : array_like
            True airspeed above zero. [m/s]
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        v, phi, sigma = floats(true, power_ratio, density_ratio)
        return self.thrust_power * phi / v + 0.0 * sigma

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
        """Shaft power that makes a thrust. [W]

        Parameters
        ----------
        thrust : array_like
            Thrust. [N]
        true : array_like
            True airspeed. [m/s]
        density_ratio : array_like
            Density over its value at standard sea level; without effect. [-]
        """
        t, v, sigma = floats(thrust, true, density_ratio)
        return scalar_if_0d(t * v / self.efficiency + 0.0 * sigma)

    def delivered(self, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Shaft power at full throttle. [W]

        Parameters
        ----------
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        return scalar_if_0d(np.multiply(self.power, power_ratio) + np.multiply(0.0, density_ratio))

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

    def best_rate_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best rate of climb, without a floor: that of least power. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        phi, sigma = floats(power_ratio, density_ratio)
        rho = sigma * SEA_LEVEL_DENSITY
        induced = airframe.induced_term(rho)
        return np.sqrt(np.sqrt(2.0 * induced / (3.0 * rho * airframe.parasite_area))) + 0.0 * phi * self.thrust_power

    def best_angle_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best angle of climb, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]

        Notes
        -----
        The one positive root of V⁴ + q V - r = 0, by Ferrari's resolvent and two Newton steps that win back the digits
        the resolvent loses where power is great.
        """
        phi, sigma = floats(power_ratio, density_ratio)
        rho = sigma * SEA_LEVEL_DENSITY
        per_area = 1.0 / (rho * airframe.parasite_area)
        q, r = self.thrust_power * phi * per_area, 2.0 * airframe.induced_term(rho) * per_area
        p = 4.0 * r  # resolvent y³ + p y - q² = 0
        y = 2.0 * np.sqrt(p / 3.0) * np.sinh(np.arcsinh(1.5 * q**2 / p * np.sqrt(3.0 / p)) / 3.0)
        s = np.sqrt(y)
        with np.errstate(divide="ignore", invalid="ignore"):
            u = np.where(s > 0.0, 0.5 * (y - q / s), -np.sqrt(r))
        v = -2.0 * u / (s + np.sqrt(s**2 - 4.0 * u))
        for _ in range(2):
            v = v - (v**4 + q * v - r) / (4.0 * v**3 + q)
        return v

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
        The larger root of V⁴ - a V + r = 0 by Ferrari's resolvent.
        """
        phi, sigma = floats(power_ratio, density_ratio)
        rho = sigma * SEA_LEVEL_DENSITY
        per_area = 2.0 / (rho * airframe.parasite_area)
        a, r = self.thrust_power * phi * per_area, airframe.induced_term(rho) * per_area
        with np.errstate(invalid="ignore", divide="ignore"):
            half = 0.5 * a**2
            root = np.sqrt(half**2 - (4.0 * r / 3.0) ** 3)
            y = np.cbrt(half + root) + np.cbrt(half - root)
            s = np.sqrt(y)
            return 0.5 * (s + np.sqrt(2.0 * a / s - y))

    def longest_endurance_speed(self, airframe: Airframe, density_ratio: Numbers) -> Floats:
        """True airspeed of level flight at the least shaft power, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        """
        return self.best_rate_speed(airframe, 1.0, density_ratio)

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
        flattest = 3.0**0.25 * self.longest_endurance_speed(airframe, density_ratio)
        return longest_range_speed(flattest, headwind, linear=2.0, constant=1.0)

    def absolute_ceiling(self, airframe: Airframe, lapse_constant: Numbers, slowest: Numbers) -> Floats:
        """Density ratio at which the best rate of climb is zero in the standard atmosphere. [-]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        lapse_constant : array_like
            C of the altitude lapse. [-]
        slowest : array_like
            Least airspeed that is flown. [m/s] EAS
        """
        return self.service_ceiling(airframe, lapse_constant, slowest, 0.0)

    def service_ceiling(self, airframe: Airframe, lapse_constant: Numbers, slowest: Numbers, rate: Numbers) -> Floats:
        """Density ratio at which the best rate of climb has fallen to a rate in the standard atmosphere. [-]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        lapse_constant : array_like
            C of the altitude lapse. [-]
        slowest : array_like
            Least airspeed that is flown. [m/s] EAS
        rate : array_like
            Rate of climb that is left at the ceiling. [m/s]

        Notes
        -----
        At one equivalent airspeed the power required varies with one over the root x of the density ratio, which
        makes a cubic x³ - p x - q = 0 with one positive root.
        """
        c, floor, climb = floats(lapse_constant, slowest, rate)
        area = np.asarray(airframe.parasite_area, dtype=float)
        induced = airframe.induced_term(SEA_LEVEL_DENSITY)
        speed = np.maximum(np.sqrt(np.sqrt(2.0 * induced / (3.0 * SEA_LEVEL_DENSITY * area))), floor)
        required = speed * airframe.drag(speed, SEA_LEVEL_DENSITY)
        available = self.thrust_power / (1.0 - c)
        p = c + airframe.weight * climb / available
        q = required / available
        inside = np.asarray(0.25 * q**2 - p**3 / 27.0)
        with np.errstate(invalid="ignore", divide="ignore"):
            root = np.sqrt(inside)
            one = np.cbrt(0.5 * q + root) + np.cbrt(0.5 * q - root)
            three = 2.0 * np.sqrt(p / 3.0) * np.cos(np.arccos(1.5 * q / p * np.sqrt(3.0 / p)) / 3.0)
        return np.where(inside >= 0.0, one, three) ** 2
