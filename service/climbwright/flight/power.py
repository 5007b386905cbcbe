"""Engine power in thinner, warmer and moister air.

References
----------
.. [1] R. F. Gagg and E. V. Farrar, *Altitude performance of aircraft engines equipped with gear-driven
   superchargers*, SAE Transactions 29, 1934, as given in S. Gudmundsson, *General Aviation Aircraft Design*,
   Butterworth-Heinemann, 2014, eq. (7-16).
.. [2] FAA AC 23-8, *Flight Test Guide*, app. 1: power varies with the square root of the standard over the actual
   temperature at a pressure altitude (from memory).
.. [3] NACA TR 426, *The effect of humidity on engine power at altitude*, 1932: vapour burns nothing, so that power
   follows the pressure of the dry air.
.. [4] Common practice, no source: of three readings of a turbocharged engine above its critical altitude, which differ
   by one percent, the lapse over its value at the critical altitude is the most conservative.
"""

from dataclasses import dataclass

import numpy as np

from climbwright.air import standard
from climbwright.air.state import Air
from climbwright.arrays import Floats, Number, Numbers, floats, scalar_if_0d

__all__ = ["Lapse", "altitude_lapse", "power_ratio"]


@dataclass(frozen=True)
class Lapse:
    """How an engine's full-throttle power falls with the air; its numbers are floats or arrays that broadcast.

    Parameters
    ----------
    constant : array_like
        C of `altitude_lapse`. [-]
    aspiration : str
        ``natural``; ``turbocharged``: flat to the critical altitude; ``electric``: no lapse.
    critical_density_ratio : array_like, optional
        Density ratio of the standard atmosphere at the critical altitude of a turbocharged engine. [-]
    """

    constant: Number = 0.117
    aspiration: str = "natural"
    critical_density_ratio: Number = None

    def standard(self, density_ratio: Numbers) -> Floats:
        """Full-throttle power in the standard atmosphere over rated power. [-]

        Parameters
        ----------
        density_ratio : array_like
            Density over its standard value at sea level. [-]
        """
        if self.aspiration == "electric":
            return scalar_if_0d(np.ones(np.shape(density_ratio)))
        return self._held(altitude_lapse(density_ratio, self.constant))

    def ratio(self, air: Air) -> Floats:
        """Full-throttle power in this air over rated power. [-]

        Parameters
        ----------
        air : Air
            Pressure, temperature and vapour.

        Notes
        -----
        In hot or moist air a turbocharged engine reaches its critical altitude sooner.
        """
        if self.aspiration == "electric":
            return scalar_if_0d(np.ones(np.shape(np.add(air.pressure, air.temperature))))
        return self._held(power_ratio(air, self.constant))

    def _held(self, natural: Floats) -> Floats:
        """Never above rated power with a turbocharger, and continuous at the critical altitude."""
        if self.aspiration != "turbocharged":
            return natural
        return np.minimum(natural / altitude_lapse(self.critical_density_ratio, self.constant), 1.0)  # [4]


def altitude_lapse(density_ratio: Numbers, lapse_constant: Numbers = 0.117) -> Floats:
    """Full-throttle power of a natural engine in the standard atmosphere over its power at sea level. [-]

    Parameters
    ----------
    density_ratio : array_like
        Density over its standard value at sea level. [-]
    lapse_constant : array_like
        C, the density ratio at which friction eats all power; 0 makes power proportional to density. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Zero below C, above 1 in air denser than standard: not clipped there. [-]

    Examples
    --------
    >>> float(altitude_lapse(0.8617))
    0.843
    """
    sigma, c = floats(density_ratio, lapse_constant)
    return scalar_if_0d(np.maximum((sigma - c) / (1.0 - c), 0.0))  # [1]


def power_ratio(air: Air, lapse_constant: Numbers = 0.117) -> Floats:
    """Full-throttle power of a natural engine in this air over its power at standard sea level. [-]

    Parameters
    ----------
    air : Air
        Pressure, temperature and vapour.
    lapse_constant : array_like
        C of `altitude_lapse`. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Lapse at the pressure altitude of the dry air, times the square root of standard over actual temperature. [-]

    Notes
    -----
    Humidity counts twice: here, and in the density that lifts and drags.
    """
    dry_pressure = np.subtract(air.pressure, air.vapour_pressure)  # [3]
    standard_temperature = standard.temperature_at(dry_pressure)
    sigma = dry_pressure / (standard.GAS_CONSTANT * standard.SEA_LEVEL_DENSITY * standard_temperature)
    return altitude_lapse(sigma, lapse_constant) * np.sqrt(standard_temperature / air.temperature)  # [2]
