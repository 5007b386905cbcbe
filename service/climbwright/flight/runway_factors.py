"""Published factors on take-off and landing distances: planning rules beside the physics, and the safety factors.

They are the regulator's figures for distances to and from 50 ft, rounded, for light aeroplanes of every kind. Factors
multiply. What helps (a favourable slope, a headwind) is given no credit.

References
----------
.. [1] UK CAA, Safety Sense Leaflet 7, *Aeroplane Performance*: the table of factors (seen in training pages that give
   the same table; where not, marked below).
"""

from dataclasses import dataclass

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = [
    "ELEVATION",
    "SAFETY",
    "SLOPE",
    "SURFACE_FACTORS",
    "TAILWIND",
    "TEMPERATURE",
    "WEIGHT",
    "Factor",
    "landing_factor",
    "landing_scale",
    "takeoff_factor",
    "takeoff_scale",
]


@dataclass(frozen=True, slots=True)
class Factor:
    """What one thing does to both distances.

    Parameters
    ----------
    takeoff, landing : float
        On the distance to and from 50 ft. [-]
    step : float
        How much of the thing they stand for, in SI; 1 where there is no more and less of it.
    source : str
        Where both come from, and whether it was seen or is from memory.
    at_least : bool
        Published as this or more.
    """

    takeoff: float
    landing: float
    step: float = 1.0
    source: str = "UK CAA Safety Sense Leaflet 7 (seen)"
    at_least: bool = False


WEIGHT = Factor(1.20, 1.10, step=0.10)  # a tenth more
ELEVATION = Factor(1.10, 1.05, step=304.8)  # 1,000 ft higher [m]
TEMPERATURE = Factor(1.10, 1.05, step=10.0)  # warmer [K]
SLOPE = Factor(1.10, 1.10, step=0.02)  # adverse: uphill at take-off, downhill at landing
TAILWIND = Factor(1.20, 1.20, step=0.10)  # of the lift-off or landing speed
SAFETY = Factor(1.33, 1.43, source="UK CAA Safety Sense Leaflet 7 (1.43 seen; 1.33 seen in a pilots' forum)")

_DRY_GRASS = Factor(1.20, 1.15)
_NEXT_WORSE = "not named in UK CAA Safety Sense Leaflet 7; its dry grass, the next worse that is (seen)"

# By the names of `surfaces.SURFACES`; grass to 20 cm on firm soil
SURFACE_FACTORS = {
    "paved-dry": Factor(1.00, 1.00),
    "paved-wet": Factor(1.20, 1.15, source=f"{_NEXT_WORSE}; class B landing 1.15 too (seen)"),
    "gravel": Factor(1.20, 1.15, source=_NEXT_WORSE),
    "hard-turf": Factor(1.20, 1.15, source=_NEXT_WORSE),
    "short-dry-grass": _DRY_GRASS,
    "short-wet-grass": Factor(
        1.30, 1.60, source="UK CAA Safety Sense Leaflet 7 (seen); landing on very short grass, GM1 CAT.POL.A.335 (seen)"
    ),
    "long-grass": _DRY_GRASS,
    "long-wet-grass": Factor(1.30, 1.35),
    "soft": Factor(1.25, 1.25, source="UK CAA Safety Sense Leaflet 7 (memory; seen in a training page)", at_least=True),
}


def takeoff_factor(surface_factor: Numbers, slope: Numbers = 0.0, headwind_ratio: Numbers = 0.0) -> Floats:
    """Factor on a level, dry, paved, still-air take-off distance; the safety factor comes on top. [-]

    Parameters
    ----------
    surface_factor : array_like
        Of the surface. [-]
    slope : array_like
        Rise over run, positive uphill. [-]
    headwind_ratio : array_like
        Headwind over the lift-off speed, negative from behind. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Not below the factor of the surface. [-]

    Examples
    --------
    >>> float(takeoff_factor(1.2, slope=0.01, headwind_ratio=-0.1))
    1.512
    """
    surface, tan, wind = floats(surface_factor, slope, headwind_ratio)
    adverse = 1.0 + (SLOPE.takeoff - 1.0) / SLOPE.step * np.maximum(tan, 0.0)  # [1]
    tail = 1.0 + (TAILWIND.takeoff - 1.0) / TAILWIND.step * np.maximum(-wind, 0.0)  # [1]
    return scalar_if_0d(surface * adverse * tail)


def landing_factor(surface_factor: Numbers, slope: Numbers = 0.0, headwind_ratio: Numbers = 0.0) -> Floats:
    """Factor on a level, dry, paved, still-air landing distance; the safety factor comes on top. [-]

    Parameters
    ----------
    surface_factor : array_like
        Of the surface. [-]
    slope : array_like
        Rise over run, positive uphill. [-]
    headwind_ratio : array_like
        Headwind over the landing speed, negative from behind. [-]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Not below the factor of the surface. [-]
    """
    surface, tan, wind = floats(surface_factor, slope, headwind_ratio)
    adverse = 1.0 + (SLOPE.landing - 1.0) / SLOPE.step * np.maximum(-tan, 0.0)  # [1]
    tail = 1.0 + (TAILWIND.landing - 1.0) / TAILWIND.step * np.maximum(-wind, 0.0)  # [1]
    return scalar_if_0d(surface * adverse * tail)


def takeoff_scale(weight_ratio: Numbers, higher: Numbers = 0.0, warmer: Numbers = 0.0) -> Floats:
    """Published growth of the take-off distance from one weight and air to another, to compare physics with. [-]

    Parameters
    ----------
    weight_ratio : array_like
        Weight over the weight before. [-]
    higher : array_like
        Elevation above the one before. [m]
    warmer : array_like
        Temperature above the one before. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Below 1 where it gets lighter, lower or cooler. [-]

    Notes
    -----
    Every step multiplies: two steps of a tenth more weight are 1.2 squared.

    Examples
    --------
    >>> float(takeoff_scale(1.2))
    1.44
    """
    return _scale("takeoff", weight_ratio, higher, warmer)


def landing_scale(weight_ratio: Numbers, higher: Numbers = 0.0, warmer: Numbers = 0.0) -> Floats:
    """Published growth of the landing distance from one weight and air to another, to compare physics with. [-]

    Parameters
    ----------
    weight_ratio : array_like
        Weight over the weight before. [-]
    higher : array_like
        Elevation above the one before. [m]
    warmer : array_like
        Temperature above the one before. [K]

    Returns
    -------
    numpy.float64 or numpy.ndarray
        Below 1 where it gets lighter, lower or cooler; every step multiplies. [-]
    """
    return _scale("landing", weight_ratio, higher, warmer)


def _scale(distance: str, weight_ratio: Numbers, higher: Numbers, warmer: Numbers) -> Floats:
    ratio, dh, dt = floats(weight_ratio, higher, warmer)
    steps = (ratio - 1.0, WEIGHT), (dh, ELEVATION), (dt, TEMPERATURE)
    grown = [np.power(getattr(factor, distance), change / factor.step) for change, factor in steps]  # [1]
    return scalar_if_0d(grown[0] * grown[1] * grown[2])
