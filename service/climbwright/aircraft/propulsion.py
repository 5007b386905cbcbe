"""Engine and propeller as one: where the propeller's best efficiency lies for this engine and airframe.

References
----------
.. [1] J. T. Lowry, *Performance of Light Aircraft*, AIAA, 1999: the linear propeller polar. The factor 0.95 and the
   ratios by pitch class are common practice, no source (from memory).
"""

from dataclasses import replace

import numpy as np

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.aircraft.description import Drag, Engine, Propeller
from climbwright.arrays import Floats, Number, floats, scalar_if_0d

__all__ = ["reference_speed", "settled"]


def reference_speed(power: Number, parasite_area: Number) -> Floats:
    """Airspeed near the greatest level speed at sea level, from power and parasite area alone. [m/s]

    Parameters
    ----------
    power : array_like
        Rated power. [W]
    parasite_area : array_like
        Parasite area. [m²]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        True airspeed. [m/s]
    """
    p, f = floats(power, parasite_area)
    return scalar_if_0d(0.95 * np.cbrt(1.5 * p / (SEA_LEVEL_DENSITY * f)))  # [1]


def settled(propeller: Propeller, engine: Engine, drag: Drag) -> Propeller:
    """A propeller whose best-efficiency speed is a number, placed by its pitch class where the owner gave none.

    Parameters
    ----------
    propeller : Propeller
        With `best_efficiency_speed` or `speed_ratio`.
    engine : Engine
        Its rated power is used. [W]
    drag : Drag
        Its parasite area is used. [m²]

    Returns
    -------
    Propeller
        The same where there was nothing to settle.
    """
    if propeller.speed_ratio is None or propeller.best_efficiency_speed is not None:
        return propeller
    speed = np.multiply(propeller.speed_ratio, reference_speed(engine.power, drag.parasite_area))
    return replace(propeller, best_efficiency_speed=speed)
