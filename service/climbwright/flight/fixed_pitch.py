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
.. [2] Derived: whether the polar crosses the momentum bound at any speed depends on the share of the ideal static
   thrust and the best efficiency alone. A scan, with engine power up to 1.1 times the density ratio, gives the least
   share that does: 0.909 at a best efficiency of 0.5, 0.813 at 0.71, 0.729 at 0.8, 0.656 at 0.85, above the two
   straight lines everywhere. Thinner air brings it further away.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from operator import is_

import numpy as np

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.level import longest_range_speed
from climbwright.flight.momentum import momentum_thrust, shaft_power_for
from climbwright.flight.rotation import ideal_static_thrust
from climbwright.roots import find_root

__all__ = ["FixedPitch"]

_MANY = 500  # engines from which looking for ends is cheaper than looking at each


@dataclass(frozen=True)
class FixedPitch:
    """An engine with a propeller of fixed pitch; every number is a float or an array, and they broadcast.

    Parameters
    ----------
    power : array_like
        Rated power times the power margin. [W]
    best_efficiency : array_like
        Greatest thrust power over rated power at sea level. [-]
    best_efficiency_speed : array_like
        True airspeed at which it is reached. [m/s]
    diameter : array_like, optional
        Where it is known, no thrust is above what momentum theory allows. [m]
    limited_by : str
        ``torque``: the engine's torque falls with its power ratio. ``power``: an engine without lapse, which turns its
        propeller faster in thinner air.
    """

    power: Number
    best_efficiency: Number
    best_efficiency_speed: Number
    diameter: Number = None
    limited_by: str = "torque"

    @cached_property
    def E0(self) -> Floats:
        """Static thrust at sea level, extrapolated. [N]"""
        return 1.5 * np.multiply(self.best_efficiency, self.power) / self.best_efficiency_speed

    @cached_property
    def F0(self) -> Floats:
        """Fall of thrust with the square of airspeed at sea level, negative. [N s²/m²]"""
        v = np.asarray(self.best_efficiency_speed, dtype=float)
        return -0.5 * np.multiply(self.best_efficiency, self.power) / (v * v * v)

    def thrust_ratio(self, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Static thrust over its value at sea level. [-]

        Parameters
        ----------
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]

        Notes
        -----
        With a power coefficient that stays, power varies with density times the cube of the speed of rotation and
        static thrust with density times its square.
        """
        phi, sigma = floats(power_ratio, density_ratio)
        return scalar_if_0d(self._ratio(phi, sigma) + 0.0 * sigma)

    def _ratio(self, phi: Floats, sigma: Floats) -> Floats:
        return phi if self.limited_by == "torque" else np.cbrt(phi**2 * sigma)  # [1]

    def thrust(self, true: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust at full throttle. [N]

        Parameters
        ----------
        true : array_like
            True airspeed. [m/s]
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]
        """
        v, phi, sigma = floats(true, power_ratio, density_ratio)
        linear = self._linear(v, phi, sigma)
        if self._free(phi, sigma):
            return linear if np.ndim(self.diameter) == 0 else self._wide(linear)
        over = self._over(v, phi, sigma)
        bound = 0.0
        if np.count_nonzero(over):
            bound = momentum_thrust(self.power * phi, self.diameter, sigma * SEA_LEVEL_DENSITY, v)
        return scalar_if_0d(np.where(over, bound, linear))

    def excess_power(self, true: Numbers, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Thrust power at full throttle less what drag takes. [W]

        Parameters
        ----------
        true : array_like
            True airspeed above zero. [m/s]
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]
        """
        v, phi, sigma = floats(true, power_ratio, density_ratio)
        E, K, H = self._terms(airframe, power_ratio, density_ratio)
        excess = v * (E + K * (v * v)) - H / v
        if self._free(phi, sigma):
            return scalar_if_0d(excess if np.ndim(self.diameter) == 0 else self._wide(excess))
        over = self._over(v, phi, sigma)
        if np.count_nonzero(over):
            drag = airframe.drag(v, sigma * SEA_LEVEL_DENSITY)
            excess = np.where(over, v * (self.thrust(v, phi, sigma) - drag), excess)
        return scalar_if_0d(excess)

    def _wide(self, values: Floats) -> Floats:
        """Values of a shape that counts the diameter's."""
        return np.broadcast_to(values, np.broadcast(values, self.diameter).shape)

    def _linear(self, v: Floats, phi: Floats, sigma: Floats) -> Floats:
        return self.E0 * self._ratio(phi, sigma) + self.F0 * sigma * v**2  # [1]

    def _free(self, phi: Floats, sigma: Floats) -> bool:
        """Whether the momentum bound cannot matter, which saves looking for it at every speed.

        Without lapse both share and best efficiency are the same in any air.
        """
        if self.diameter is None:
            return True
        return not (self.may_be_bound or (self.limited_by == "torque" and np.count_nonzero(phi > 1.1 * sigma)))

    def unbound(self, power_ratio: Numbers, density_ratio: Numbers) -> "FixedPitch":
        """The same without its diameter where the momentum bound matters nowhere, so that nothing looks for it.

        Parameters
        ----------
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level, in all air that is met;
            in the air above it the bound is further away.
        """
        if self.diameter is None or not self._free(*floats(power_ratio, density_ratio)):
            return self
        if np.ndim(self.diameter):  # power takes over its shape, which that of every answer counts
            return replace(self, diameter=None, power=self.power + np.zeros(np.shape(self.diameter)))
        free = replace(self, diameter=None)
        free.__dict__["E0"] = self.E0  # found already, and a tenth of what is left to do
        return free

    @cached_property
    def may_be_bound(self) -> bool:
        """Whether the momentum bound can matter where engine power is at most 1.1 times the density ratio."""
        if self.diameter is None:
            return False
        if self._surely_free():
            return False
        best = np.asarray(self.best_efficiency, dtype=float)
        share = self.E0 / ideal_static_thrust(self.power, self.diameter, SEA_LEVEL_DENSITY)
        return bool(np.count_nonzero((share >= np.minimum(0.87, 1.36 - 0.87 * best)) | (best > 0.85)))  # [2]

    def _surely_free(self) -> bool:
        """Whether even the strongest engine on the smallest and finest propeller of all would stay within the bound.

        The share of the ideal static thrust rises with best efficiency and with power, and falls with the speed of best
        efficiency and with diameter. Looking for four ends costs a tenth of looking at every propeller.
        """
        power, best, speed, diameter = floats(
            self.power, self.best_efficiency, self.best_efficiency_speed, self.diameter
        )
        if power.size < _MANY or not best.size or not speed.size or not diameter.size:
            return False  # looking at each costs no more then
        most, strongest = best.max(), power.max()
        static = 1.5 * most * strongest / speed.min()
        share = static / ideal_static_thrust(strongest, diameter.min(), SEA_LEVEL_DENSITY)
        return bool(share < min(0.87, 1.36 - 0.87 * most) and most <= 0.85)

    def is_bound(self, true: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Where the linear polar makes more thrust than the power can; never where the diameter is unknown.

        Parameters
        ----------
        true : array_like
            True airspeed. [m/s]
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]
        """
        return self._over(*floats(true, power_ratio, density_ratio))

    def _over(self, v: Floats, phi: Floats, sigma: Floats) -> Floats:
        linear = np.maximum(self._linear(v, phi, sigma), 0.0)
        return shaft_power_for(linear, self.diameter, sigma * SEA_LEVEL_DENSITY, v) > self.power * phi

    def _within_bound(
        self, best: Floats, ideal: Callable[[ConstantSpeed], Floats], power_ratio: Numbers, density_ratio: Numbers
    ) -> Floats:
        """A best speed where thrust is the lesser of the polar and the momentum bound.

        The bound holds at low speeds and the polar beyond a crossing. Where the polar's own best speed lies within the
        bound it stays; else the best is that of a loss-free disc, at most the crossing.
        """
        phi, sigma = floats(power_ratio, density_ratio)
        if self._free(phi, sigma):
            return best if np.ndim(self.diameter) == 0 else self._wide(best)
        over = self._over(best, phi, sigma)
        if not np.count_nonzero(over):
            return best
        disc = self.diameter

        def spare(v: Floats) -> Floats:
            thrust = np.maximum(self._linear(v, phi, sigma), 0.0)
            return shaft_power_for(thrust, disc, sigma * SEA_LEVEL_DENSITY, v) - self.power * phi

        with np.errstate(invalid="ignore"):
            thrustless = np.sqrt(-self.E0 * self._ratio(phi, sigma) / (self.F0 * sigma))
        crossing = find_root(spare, best, np.maximum(thrustless, best))
        unhampered = ideal(ConstantSpeed(self.power, np.where(over, disc, 1.0), 1.0, 1.0, 1.0))
        return scalar_if_0d(np.where(over, np.fmin(np.maximum(unhampered, best), crossing), best))

    def power_for(self, thrust: Numbers, true: Numbers, density_ratio: Numbers) -> Floats:
        """Shaft power that makes a thrust at part throttle. [W]

        Parameters
        ----------
        thrust : array_like
            Thrust, not below the drag of the idling propeller. [N]
        true : array_like
            True airspeed. [m/s]
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        """
        t, v, sigma = floats(thrust, true, density_ratio)
        static = (t - self.F0 * sigma * v**2) / self.E0
        return scalar_if_0d(self.power * np.sqrt(static**3 / sigma))  # [1]

    def delivered(self, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Shaft power at full throttle that the power coefficient of part throttle belongs to. [W]

        Parameters
        ----------
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]
        """
        phi, sigma = floats(power_ratio, density_ratio)
        return scalar_if_0d(self.power * np.sqrt(self.thrust_ratio(phi, sigma) ** 3 / sigma))

    def _terms(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> tuple[Floats, Floats, Floats]:
        """E, K and H of the excess power; the last ones are kept, because every speed of one air is asked for."""
        asked = airframe, power_ratio, density_ratio
        last = self.__dict__.get("_last")
        if last is not None and all(map(is_, last[0], asked)):
            return last[1]  # type: ignore[no-any-return]
        phi, sigma = floats(power_ratio, density_ratio)
        rho = sigma * SEA_LEVEL_DENSITY
        terms = self.E0 * self._ratio(phi, sigma), self._K0(airframe) * sigma, airframe.induced_term(rho)
        self.__dict__["_last"] = asked, terms
        return terms

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
        best = np.sqrt((E + np.sqrt(E**2 - 12.0 * K * H)) / (-6.0 * K))
        return self._within_bound(
            best, lambda disc: disc.best_rate_speed(airframe, power_ratio, density_ratio), power_ratio, density_ratio
        )

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
        best = np.sqrt(np.sqrt(-H / K))
        if np.shape(best) != np.broadcast_shapes(np.shape(best), np.shape(E)):
            best = best + 0.0 * E  # of the shape of all arguments
        return self._within_bound(
            best, lambda disc: disc.best_angle_speed(airframe, power_ratio, density_ratio), power_ratio, density_ratio
        )

    def greatest_level_speed(self, airframe: Airframe, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """Greatest true airspeed of level flight, nan where level flight cannot be held at any speed. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power_ratio, density_ratio : array_like
            Engine power and density over their values at standard sea level. [-]
        """
        fastest = self._fastest(*self._terms(airframe, power_ratio, density_ratio))
        phi, sigma = floats(power_ratio, density_ratio)
        if self._free(phi, sigma):
            return fastest if np.ndim(self.diameter) == 0 else self._wide(fastest)
        over = self._over(fastest, phi, sigma)
        if not np.count_nonzero(over):
            return fastest
        disc = ConstantSpeed(self.power, np.where(over, self.diameter, 1.0), 1.0, 1.0, 1.0)
        return scalar_if_0d(np.where(over, disc.greatest_level_speed(airframe, phi, sigma), fastest))

    def level_speed(self, airframe: Airframe, power: Numbers, power_ratio: Numbers, density_ratio: Numbers) -> Floats:
        """True airspeed of level flight at a shaft power, at full throttle where that gives less; nan where none. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        power : array_like
            Shaft power. [W]
        power_ratio, density_ratio : array_like
            Engine power over rated power, and density over its value at standard sea level. [-]
        """
        E, K, H = self._terms(airframe, power_ratio, density_ratio)
        part = self.E0 * np.cbrt(np.divide(power, self.power) ** 2 * density_ratio)
        return self._fastest(np.minimum(E, part), K, H)

    @staticmethod
    def _fastest(E: Floats, K: Floats, H: Floats) -> Floats:
        discriminant = E**2 + 4.0 * K * H
        with np.errstate(invalid="ignore"):
            return np.sqrt((E + np.sqrt(discriminant)) / (-2.0 * K))

    def longest_endurance_speed(self, airframe: Airframe, density_ratio: Numbers) -> Floats:
        """True airspeed of level flight at the least shaft power, without a floor. [m/s]

        Parameters
        ----------
        airframe : Airframe
            Weight and drag.
        density_ratio : array_like
            Density over its value at standard sea level. [-]
        """
        _, K, H = self._terms(airframe, 1.0, density_ratio)
        return np.sqrt(np.sqrt(-H / K))

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
        slowest = self.longest_endurance_speed(airframe, density_ratio)
        return longest_range_speed(slowest, headwind, linear=4.0, constant=3.0)

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
            last, speed = speed, np.maximum(best, floor)
            if not np.count_nonzero(speed != last):  # often at once, held at the floor
                break
        return root**2
