"""What a measure shall be, and the chance that it is."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from climbwright.arrays import Floats
from climbwright.refusal import Refusal

__all__ = ["Chance", "Target", "chance_of", "places_of", "share_of"]

_STANDARD = NormalDist()


@dataclass(frozen=True, slots=True)
class Target:
    """A measure, whether it shall be `at_least`, `at_most` or `equals` a value, and in which loading and condition."""

    measure: str
    goal: str
    value: float
    loading: str | None = None
    condition: str | None = None


@dataclass(frozen=True, slots=True)
class Chance:
    """A target in one scene: the aeroplane's place (the baseline first), loading, condition, what is expected, and the
    chance of meeting it, None where the measure does not exist. [SI]
    """

    target: Target
    aircraft: int
    loading: str
    condition: str
    expected: float
    spread: float | None
    chance: float | None


def places_of(target: Target, loadings: Sequence[str], conditions: Sequence[str], where: str) -> list[tuple[int, int]]:
    """Places of the loadings and conditions that a target speaks of: the named ones, or all.

    Raises
    ------
    Refusal
        No loading or condition has that name.
    """
    rows = _named(loadings, target.loading, f"{where}/loading")
    return [(i, j) for i in rows for j in _named(conditions, target.condition, f"{where}/condition")]


def _named(names: Sequence[str], name: str | None, where: str) -> list[int]:
    if name is not None and name not in names:
        raise Refusal(where, f"there is none: use one of {', '.join(names)}, or leave it out for all")
    return [i for i, other in enumerate(names) if name in (None, other)]


def chance_of(target: Target, expected: float, spread: float | None) -> float | None:
    """Chance that a measure is at least, or at most, its target.

    Parameters
    ----------
    target : Target
        With `at_least` or `at_most`. [SI]
    expected : float
        Nan where the measure does not exist. [SI]
    spread : float, optional
        One standard deviation of it, normally distributed. [SI]

    Returns
    -------
    float or None
        Without a spread it is 1 or 0; None where the measure does not exist. [-]
    """
    if np.isnan(expected) or (spread is not None and np.isnan(spread)):
        return None
    over = (expected - target.value) * (1.0 if target.goal == "at_least" else -1.0)
    if spread is None or not spread > 0.0:
        return 1.0 if over >= 0.0 else 0.0
    return _STANDARD.cdf(over / spread)


def share_of(target: Target, drawn: Floats) -> float:
    """Share of drawn values that meet a target; one that does not exist does not. [-]"""
    with np.errstate(invalid="ignore"):
        met = drawn >= target.value if target.goal == "at_least" else drawn <= target.value
    return float(np.mean(met))
