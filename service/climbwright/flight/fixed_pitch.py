r"""Thrust of a propeller of fixed pitch, and the climb and level flight it makes.

With the linear propeller polar and an engine torque that does not depend on speed, thrust is E + F V² [1]_. In the
owner's words: the greatest thrust power over rated power at sea level is the best efficiency, and it is reached at
the best-efficiency speed, so that E0 = 1.5 eta P/V and F0 = -0.5 eta P/V³ there. In thinner air E falls with power
and F with density. With K = F - rho f/2 and H of the airframe the excess power is E V + K V³ - H/V, and every answer
below is a closed form.

References
----------
.. [1] J. T. Lowry, *Performance of Light Aircraft*, AIAA, 1999: the linear propeller polar and its use. The owner's
   form follows from setting the derivative of thrust power to zero at the best-efficiency speed.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.arrays import Floats, Number, Numbers, floats
from climbwright.flight.drag import Airframe

__all__ = ["FixedPitch"]


@dataclass(frozen=True)
class FixedPitch:
    """An engine with a propeller of fixed pitch; every field is a float or an array, and they broadcast.

    Parameters
    ----------
    power : array_like
        Rated power times the power margin. [W]
    best_efficiency : array_like
        Greatest thrust power over rated power at sea level. [-]
    best_efficiency_speed : array_like
        True airspeed at which it is reached. [m/s]
    """

    power: Number
    best_efficiency: Number
    best_efficiency_speed: Number

    @cached_property
    def E0(self) -> Floats:
        """Static thrust at sea level, extrapolated. [N]"""
        return 1.5 * np.multiply(self.best_efficiency, self.power) / self.best_efficiency_speed

    @cached_property
    def F0(self) -> Floats:
        """Fall of thrust with the square of airspeed at sea level, negative. [N s²/m²]"""
        return -0.5 * np.multiply(self.best_efficiency, self.power) / np.power(self.best_efficiency_speed, 3)

    def thrust(self, true: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust at full throttle. [N]

        Parameters
        ----------
        true : array_like
            True airspeed. [m/s]
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        v, phi, sigma = floats(true, power_ratio, density_ratio)
        return self.E0 * phi + self.F0 * sigma * v**2  # [1]

    def _terms(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> tuple[Floats, Floats, Floats]:
        """E, K and H of the excess power."""
        phi, sigma = floats(power_ratio, density_ratio)
        rho = sigma * SEA_LEVEL_DENSITY
        return self.E0 * phi, self._K0(airframe) * sigma, airframe.induced_term(rho)

    def _K0(self, airframe: Airframe) -> Floats:
        return self.F0 - 0.5 * SEA_LEVEL_DENSITY * np.asarray(airframe.parasite_area, dtype=float)

    def best_rate_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best rate of climb, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        E, K, H = self._terms(airframe, power_ratio, density_ratio)
        return np.sqrt((-E - np.sqrt(E**2 - 12.0 * K * H)) / (6.0 * K))

    def best_angle_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of the best angle of climb, without a floor; it does not depend on power. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        E, K, H = self._terms(airframe, power_ratio, density_ratio)
        return np.sqrt(np.sqrt(-H / K)) + 0.0 * E  # of the shape of all arguments

    def greatest_level_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Greatest true airspeed of level flight, nan where level flight cannot be held at any speed. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        E, K, H = self._terms(airframe, power_ratio, density_ratio)
        discriminant = E**2 + 4.0 * K * H
        with np.errstate(invalid="ignore"):
            return np.sqrt((-E - np.sqrt(discriminant)) / (2.0 * K))

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

        Notes
        -----
        At one equivalent airspeed thrust minus drag depends on power alone, so that the ceiling is exact:
        Phi = 2 sqrt(-K0 H0)/E0 where the floor does not bind.
        """
        K0, H0 = self._K0(airframe), airframe.induced_term(SEA_LEVEL_DENSITY)
        speed = np.maximum(np.sqrt(np.sqrt(-H0 / K0)), slowest)
        needed = (H0 / speed**2 - K0 * speed**2) / self.E0
        c = np.asarray(lapse_constant, dtype=float)
        return c + needed * (1.0 - c)

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
        At one equivalent airspeed the condition is a quadratic in the root of the density ratio. The best speed makes
        that root least, so that an error of the speed counts only squared and four rounds reach machine precision.
        """
        E0, K0, H0 = self.E0, self._K0(airframe), airframe.induced_term(SEA_LEVEL_DENSITY)
        c, floor, climb = floats(lapse_constant, slowest, rate)
        speed = np.maximum(np.sqrt(np.sqrt(-H0 / K0)), floor)
        a = E0 / (1.0 - c)
        root = np.asarray(1.0)
        for _ in range(4):
            b = airframe.weight * climb / speed
            constant = a * c - K0 * speed**2 + H0 / speed**2
            root = (b + np.sqrt(b**2 + 4.0 * a * constant)) / (2.0 * a)
            E = a * np.maximum(root**2 - c, 0.0)
            best = np.sqrt((-E - np.sqrt(E**2 - 12.0 * K0 * H0)) / (6.0 * K0))
            speed = np.maximum(best, floor)
        return root**2
