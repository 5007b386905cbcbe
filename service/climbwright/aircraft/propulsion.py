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
from climbwright.refusal import Refusal

__all__ = ["as_set", "reference_speed", "settled"]


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
    """A propeller whose speeds are numbers, placed by pitch class or by engine and drag where the owner gave none.

    Parameters
    ----------
    propeller : Propeller
        With `best_efficiency_speed` (`quality_speed` of a constant-speed one) or `speed_ratio`.
    engine : Engine
        Its rated power is used. [W]
    drag : Drag
        Its parasite area is used. [m²]

    Returns
    -------
    Propeller
        The same where there was nothing to settle.
    """
    field = "quality_speed" if propeller.kind == "constant-speed" else "best_efficiency_speed"
    if propeller.speed_ratio is None or getattr(propeller, field) is not None:
        return propeller
    speed = np.multiply(propeller.speed_ratio, reference_speed(engine.power, drag.parasite_area))
    return replace(propeller, **{field: speed})


def as_set(propeller: Propeller) -> Propeller:
    """A ground-adjustable propeller at the setting that it is flown with, the first where none is named.

    Parameters
    ----------
    propeller : Propeller
        Of any kind; one without settings is returned as it is.

    Raises
    ------
    Refusal
        No setting has that name.
    """
    if not propeller.settings:
        return propeller
    names = [setting.name for setting in propeller.settings]
    if propeller.setting is not None and propeller.setting not in names:
        raise Refusal("/setting", f"there is no such setting: use one of {', '.join(names)}")
    chosen = propeller.settings[0 if propeller.setting is None else names.index(propeller.setting)]
    return replace(
        propeller,
        best_efficiency=chosen.best_efficiency,
        best_efficiency_speed=chosen.best_efficiency_speed,
        static_speed=chosen.static_speed,
        pitch_class=chosen.pitch_class,
        settings=(),
        setting=chosen.name,
    )
