"""Which observation does not fit the others, and what most likely went wrong with it.

An observation is doubted where its residual, over its own standard deviation, is beyond what the greatest of so many
would be once in twenty sets without a mistake. Of several that look wrong the one is named without which the rest fits
best. The mistakes that are tried are those a pilot makes: another unit, the wrong air, an indicated airspeed taken for
a calibrated one, and an airspeed system that reads wrong.
"""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.answers.calibration.fit import Fit
from climbwright.answers.calibration.observation import Observation, quantity_of

__all__ = ["Doubt", "doubts", "limit"]

_ONCE_IN = 20.0  # sets without a mistake in which one is doubted
_SUSPECTS = 3  # of the greatest residuals, looked at without each in turn
_LIKELIER = 6.0  # twice the logarithm of how much likelier another unit must make an observation
_MENDED = 2.0  # standard deviations within which a mended observation fits
_SMALL = 0.12  # relative error of an airspeed that its system alone may have
# Units that are taken for each other, and what the number is multiplied by to mend it
_SPEEDS = {
    ("mph", "kt"): 1609.344 / 1852.0, ("kt", "mph"): 1852.0 / 1609.344,
    ("km/h", "kt"): 1000.0 / 1852.0, ("kt", "km/h"): 1.852,
    ("km/h", "mph"): 1000.0 / 1609.344, ("mph", "km/h"): 1.609344,
    ("m/s", "kt"): 3600.0 / 1852.0, ("kt", "m/s"): 1852.0 / 3600.0,
    ("m/s", "mph"): 3600.0 / 1609.344, ("mph", "m/s"): 1609.344 / 3600.0,
    ("m/s", "km/h"): 3.6, ("km/h", "m/s"): 1.0 / 3.6,
}  # fmt: skip
_KNOT_AS_FEET = 6076.11548556 / 60.0
_RATES = {
    ("ft/min", "m/s"): 0.3048 / 60.0, ("m/s", "ft/min"): 60.0 / 0.3048,
    ("ft/min", "kt"): 1.0 / _KNOT_AS_FEET, ("kt", "ft/min"): _KNOT_AS_FEET,
    ("kt", "m/s"): 1852.0 / 3600.0, ("m/s", "kt"): 3600.0 / 1852.0,
}  # fmt: skip
_LENGTHS = {("ft", "m"): 0.3048, ("m", "ft"): 1.0 / 0.3048}
_FORCES = {("N", "lbf"): 1.0 / 4.4482216152605, ("lbf", "N"): 4.4482216152605}
_FORCES |= {
    ("N", "kgf"): 1.0 / 9.80665,
    ("kgf", "N"): 9.80665,
    ("kgf", "lbf"): 2.2046226218,
    ("lbf", "kgf"): 0.45359237,
}
_DURATIONS = {("s", "min"): 1.0 / 60.0, ("min", "s"): 60.0}
_MISTAKEN = {
    "speed": _SPEEDS,
    "vertical speed": _RATES,
    "runway distance": _LENGTHS,
    "force": _FORCES,
    "duration": _DURATIONS,
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """An observation that does not fit: its place, by how many standard deviations, and the likeliest cause.

    `cause` is a code; ``unit`` has the unit it seems to be in and the one it was sent in.
    """

    place: int
    deviations: float
    cause: str
    unit: tuple[str, str] | None = None


Refit = Callable[[Collection[int], Fit], Fit]
"""The fit without the observations at these places, and another fit, near which it may be found."""


def limit(count: int) -> float:
    """Residual over its own standard deviation from which one of so many observations is doubted. [-]"""
    return NormalDist().inv_cdf(1.0 - 0.5 / (_ONCE_IN * count))


def doubts(
    fit: Fit,
    refit: Refit,
    observations: Sequence[Observation],
    elsewhere: Callable[[], NDArray[np.float64]],
) -> list[Doubt]:
    """Observations that do not fit the others, the worst first; at most a third of them.

    Parameters
    ----------
    fit : Fit
        To all observations.
    refit : callable
        The fit without some of them.
    observations : sequence of Observation
        As flown.
    elsewhere : callable
        What each should have read in standard air at its pressure altitude, shape (observations,). [SI]

    Returns
    -------
    list of Doubt
        Empty where all fit.
    """
    found: list[Doubt] = []
    most, count = limit(len(observations)), len(observations)
    spread = fit.spread
    while len(found) < max(1, count // 3):
        gone = [doubt.place for doubt in found]
        deviations = np.abs(fit.studentized)
        deviations[gone] = 0.0
        likelier = deviations**2 - _mended(fit, observations) ** 2
        likelier[gone] = 0.0
        if deviations.max() <= most and likelier.max() <= _LIKELIER:
            break
        suspects = {*np.argsort(-deviations)[:_SUSPECTS].tolist(), int(likelier.argmax())} - {*gone}
        without = {place: refit([*gone, place], fit) for place in suspects}
        worst = min(suspects, key=lambda place: without[place].misfit)
        fit = without[worst]
        found.append(_doubt(worst, observations[worst], fit, float(spread[worst]), elsewhere))
    return found


def _mended(fit: Fit, observations: Sequence[Observation]) -> NDArray[np.float64]:
    """Residuals over their own standard deviations that the unit which fits best would leave. [-]"""
    deviations = fit.studentized
    own = fit.spread / np.sqrt(np.maximum(1.0 - (fit.forecast_spread / fit.spread) ** 2, 1e-9))
    left = deviations.copy()
    for i, one in enumerate(observations):
        factors = np.array([*_MISTAKEN.get(quantity_of(one.kind, one.measured).kind, {}).values()])
        if factors.size and np.isfinite(own[i]):
            tried = deviations[i] + (factors - 1.0) * one.value / own[i]
            left[i] = tried[np.abs(tried).argmin()]
    return left


def _doubt(place: int, one: Observation, without: Fit, spread: float, elsewhere: Callable[[], Any]) -> Doubt:
    """The likeliest cause: what brings the observation to where the others put it."""
    expected = float(without.predicted[place])
    width = float(np.hypot(spread, without.forecast_spread[place]))
    off = (one.value - expected) / width
    kind = quantity_of(one.kind, one.measured).kind
    mended = {pair: abs(one.value * factor - expected) / width for pair, factor in _MISTAKEN.get(kind, {}).items()}
    best = min(mended, key=mended.__getitem__) if mended else None
    small = kind == "speed" and abs(one.value - expected) < _SMALL * abs(expected)
    if best is not None and mended[best] < min(_MENDED, abs(off)) and not (small and mended[best] > 0.5 * abs(off)):
        return Doubt(place, off, "unit", best)
    in_standard_air = float(elsewhere()[place])
    if abs(one.value - in_standard_air) < min(_MENDED, 0.5 * abs(off)) * width:
        return Doubt(place, off, "air")
    if small and one.reading == "calibrated":
        return Doubt(place, off, "indicated")
    if small:
        return Doubt(place, off, "position")
    return Doubt(place, off, "unknown")
