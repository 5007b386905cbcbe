"""Drag of the airframe: a parasite area and an induced term.

References
----------
.. [1] J. D. Anderson, *Introduction to Flight*, ch. 5 and 6: the parabolic drag polar.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d

__all__ = ["Airframe"]


@dataclass(frozen=True)
class Airframe:
    """What the propeller has to pull; every field is a float or an array, and they broadcast.

    Parameters
    ----------
    weight : array_like
        Weight. [N]
    parasite_area : array_like
        Drag area that does not come from lift. [m²]
    span : array_like
        Wing span. [m]
    span_efficiency : array_like
        Oswald's e. [-]
    load_factor : array_like
        Lift over weight, 1 in straight flight. [-]
    """

    weight: Number
    parasite_area: Number
    span: Number
    span_efficiency: Number
    load_factor: Number = 1.0

    def induced_term(self, density: Numbers) -> Floats:
        """H, the induced drag times the square of the true airspeed. [N m²/s²]

        Parameters
        ----------
        density : array_like
            Air density. [kg/m³]
        """
        return scalar_if_0d(np.divide(self._induced, density))

    @cached_property
    def _induced(self) -> Floats:
        lift, b, e = floats(np.multiply(self.weight, self.load_factor), self.span, self.span_efficiency)
        return 2.0 * lift**2 / (np.pi * e * b**2)

    def drag(self, true: Numbers, density: Numbers) -> Floats:
        """Drag at a true airspeed. [N]

        Parameters
        ----------
        true : array_like
            True airspeed above zero. [m/s]
        density : array_like
            Air density. [kg/m³]
        """
        v, rho, f = floats(true, density, self.parasite_area)
        return scalar_if_0d(0.5 * rho * v**2 * f + self.induced_term(rho) / v**2)  # [1]
