r"""The fit: the aeroplane that its flights and its starting values together make most likely.

Every uncertain number of the aeroplane and of the days is a sum of independent directions z of one standard deviation;
an observation says how far a prediction may be off. The most likely z makes |(predicted - observed)/spread|² + |z|²
least (maximum a posteriori) [1]_ within the bounds of what a number may be; its spread follows from the inverse of JᵀJ
there, in which J has a row for each observation and one for each direction.

The search goes from the slopes at one place to the next. Predictions bend: at a pole a short step is as far as slopes
tell (damping [3]_), and a speed that cannot be held, or a throttle that is open, is a kink, at which a path across
leads nowhere and one along it leads on. How slopes changed since the last place says which directions bend, and a step
that bends less is tried too. A few steps are tried at once, because a place costs a twentieth of its slopes, and the
best one is taken. A direction at its bound stays there for as long as it is pulled outwards [4]_.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, ch. 3: least
   squares with Gaussian prior knowledge, and the covariance afterwards (from memory).
.. [2] D. A. Belsley, E. Kuh and R. E. Welsch, *Regression Diagnostics*, Wiley, 1980, ch. 2: a residual over its own
   standard deviation, from the leverage of its observation (from memory).
.. [3] K. Levenberg, "A Method for the Solution of Certain Non-Linear Problems in Least Squares", *Quarterly of Applied
   Mathematics* 2, 1944 (from memory).
.. [4] D. P. Bertsekas, "Projected Newton Methods for Optimization Problems with Simple Constraints", *SIAM Journal on
   Control and Optimization* 20, 1982 (from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from climbwright.arrays import Floats

__all__ = ["Fit", "Model", "Place", "fitted"]

_STEP = 1e-3  # of a standard deviation, for central differences: short, so that few kinks lie within
_ROUNDS = 60
# Parts of the misfit: who is promised less by the slopes stands still, who gains less three times has come to rest
_WHOLE_RESTS = 1e-12, 1e-6
_ROUGH_RESTS = 1e-3, 1e-3  # where observations were left out: enough to tell which of them is missed least
_MOST_BENT = 6  # predictions that hold a step back
_PASSES = 8  # in which directions that a step takes beyond their bounds are held there
# Steps that are tried: what they are damped by, by how much bending slopes hold them back, and how far they go
_PLAIN = [(0.0, 0.0, length) for length in (1.0, 2.0, 4.0)]
_WHOLE = 0  # the first of them
_DAMPED = [(damping, 0.0, 1.0) for damping in (0.1, 1.0, 10.0, 100.0, 1e3, 1e4, 1e5)]
_ALONG = [(0.0, 1.0, 1.0), (0.0, 1e2, 1.0), (0.0, 1e4, 1.0), (0.0, 1e6, 1.0)]
_ALONG += [(10.0, 1e2, 1.0), (10.0, 1e4, 1.0), (100.0, 1e4, 1.0), (100.0, 1e6, 1.0)]


@dataclass(frozen=True, slots=True)
class Place:
    """Directions, what each observation should have read there, and how that changes along each direction.

    Parameters
    ----------
    z : numpy.ndarray, shape (directions,)
        In standard deviations of what was known before. [-]
    predicted : numpy.ndarray, shape (observations,)
        What each observation should have read. [SI]
    slopes : numpy.ndarray, shape (observations, directions)
        Change of each prediction along each direction. [SI]
    """

    z: NDArray[np.float64]
    predicted: NDArray[np.float64]
    slopes: NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Model:
    """What observations should read, wherever the numbers may be.

    Parameters
    ----------
    predictions : callable
        Places of shape (cases, directions) to predictions of shape (cases, observations).
    least, greatest : numpy.ndarray, shape (directions,)
        Bounds of the directions, on both sides of zero. [-]
    """

    predictions: Callable[[NDArray[np.float64]], Floats]
    least: NDArray[np.float64]
    greatest: NDArray[np.float64]

    def place(self, z: NDArray[np.float64], predicted: NDArray[np.float64] | None = None) -> Place:
        """A place, whose predictions may be known: central differences, one-sided at a bound."""
        steps = _STEP * np.eye(len(z))
        up, down = np.minimum(z + steps, self.greatest), np.maximum(z - steps, self.least)
        known = [z[None]] if predicted is None else []
        cases = np.asarray(self.predictions(np.concatenate([*known, up, down])))
        if predicted is None:
            predicted, cases = cases[0], cases[1:]
        with np.errstate(invalid="ignore"):
            slopes = (cases[: len(z)] - cases[len(z) :]) / np.diag(up - down)[:, None]
        return Place(z, predicted, np.where(np.isfinite(slopes), slopes, 0.0).T)  # what does not exist tells nothing


@dataclass(frozen=True, slots=True)
class Fit(Place):
    """The most likely place and what is known of it.

    Parameters
    ----------
    covariance : numpy.ndarray, shape (directions, directions)
        Of z, the identity where nothing was learned. [-]
    residual : numpy.ndarray, shape (observations,)
        Observed less predicted over its spread; nothing for an observation that was left out. [-]
    spread : numpy.ndarray, shape (observations,)
        One standard deviation of each observation, infinite for one that was left out. [SI]
    misfit : float
        What was made least. [-]
    converged : bool
        The search came to rest.
    """

    covariance: NDArray[np.float64]
    residual: NDArray[np.float64]
    spread: NDArray[np.float64]
    misfit: float
    converged: bool

    @property
    def forecast_spread(self) -> NDArray[np.float64]:
        """One standard deviation of each prediction. [SI]"""
        return np.asarray(np.sqrt(np.einsum("ij,jk,ik->i", self.slopes, self.covariance, self.slopes)))

    @property
    def studentized(self) -> NDArray[np.float64]:
        """Residuals over their own standard deviations [2]_. [-]"""
        leverage = (self.forecast_spread / self.spread) ** 2
        return np.asarray(self.residual / np.sqrt(np.maximum(1.0 - leverage, 1e-9)))


class _Search:
    """The way to the most likely place: where it is, what the misfit is there, and another place beside it."""

    def __init__(self, model: Model, observed: NDArray[np.float64], spread: NDArray[np.float64], start: Place) -> None:
        self.model, self.observed, self.spread, self.here = model, observed, spread, start
        self.least = float(self.misfit(start.z, start.predicted))
        self.beside: Place | None = None

    def misfit(self, z: NDArray[np.float64], predicted: Floats) -> NDArray[np.float64]:
        """What is made least, shape (cases,); infinite where a prediction does not exist."""
        found = np.sum(((predicted - self.observed) / self.spread) ** 2, axis=-1) + np.sum(z**2, axis=-1)
        return np.where(np.isfinite(found), found, np.inf)

    def run(self) -> bool:
        """Go as far as it leads; whether it came to rest.

        Where nothing is gained there may be a kink. The slopes beyond it show the way on: at the best of the places
        that were tried, then at the end of the whole step.
        """
        failed = 0
        for _ in range(_ROUNDS):
            places, promised = self._tried()
            still, rest = _WHOLE_RESTS if np.isfinite(self.spread).all() else _ROUGH_RESTS
            gain = rest * self.least
            if promised <= still * self.least:
                return True
            predicted = np.asarray(self.model.predictions(places))
            misfits = self.misfit(places, predicted)
            best = int(misfits.argmin())
            fall = self.least - float(misfits[best])
            if fall <= gain and failed == 2:
                return True
            look = _WHOLE if fall <= 0.0 and failed else best
            there = self.model.place(places[look], predicted[look])
            failed = failed + 1 if fall <= gain else 0
            if fall > 0.0:
                self.here, self.beside, self.least = there, self.here, float(misfits[best])
            else:
                self.beside = there
        return False

    def _tried(self) -> tuple[NDArray[np.float64], float]:
        """Places to try, shape (cases, directions), and the greatest fall of the misfit that the slopes promise."""
        z, least, greatest = self.here.z, self.model.least, self.model.greatest
        tried = np.array(_PLAIN + _DAMPED + ([] if self.beside is None else _ALONG))
        slopes = self.here.slopes / self.spread[:, None]
        bends = slopes - (self.here if self.beside is None else self.beside).slopes / self.spread[:, None]
        bends = bends[np.argsort(np.sum(bends**2, axis=1))[-_MOST_BENT:]]
        residual = (self.here.predicted - self.observed) / self.spread
        steps = _steps(slopes, bends, slopes.T @ residual + z, least - z, greatest - z, tried)
        places = np.clip(z + tried[:, 2:] * steps, least, greatest)
        straight = np.sum((residual + (places - z) @ slopes.T) ** 2, axis=1) + np.sum(places**2, axis=1)
        return places, float(self.least - straight.min())


def _steps(
    slopes: NDArray[np.float64],
    bends: NDArray[np.float64],
    gradient: NDArray[np.float64],
    down: NDArray[np.float64],
    up: NDArray[np.float64],
    tried: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Steps d that make |slopes d + residual|² + |z + d|² + damping |d|² + weight |bends d|² least between bounds.

    Written for few observations and many directions: what is solved has a row for each of them and for each that bends.
    """
    own, both = 1.0 + tried[:, 0, None], np.concatenate([slopes, bends])
    weight = np.concatenate(
        [np.ones((len(tried), len(slopes))), np.repeat(tried[:, 1:2] ** 0.5, len(bends), axis=1)], 1
    )
    rows = weight[..., None] * both
    whole = weight[..., None] * (both @ both.T) * weight[:, None] + own[..., None] * np.eye(len(both))
    steps = np.zeros((len(tried), len(gradient)))
    held = np.broadcast_to(((down >= 0.0) & (gradient > 0.0)) | ((up <= 0.0) & (gradient < 0.0)), steps.shape)
    for _ in range(_PASSES):
        some = held.any(axis=0)
        gone = np.where(held[:, None, some], rows[..., some], 0.0)  # few: less to multiply than what is free
        moved = np.einsum("tij,tj->ti", gone, steps[:, some])
        pull = np.where(held, 0.0, gradient + np.einsum("tij,ti->tj", rows, moved))
        square = whole - gone @ gone.transpose(0, 2, 1)
        taken = np.linalg.solve(square, np.einsum("tij,tj->ti", rows, pull)[..., None])[..., 0]
        steps = np.where(held, steps, (np.einsum("tij,ti->tj", rows, taken) - pull) / own)
        beyond = (steps < down) | (steps > up)
        if not beyond.any():
            break
        steps, held = np.clip(steps, down, up), held | beyond
    return steps


def fitted(model: Model, observed: NDArray[np.float64], spread: NDArray[np.float64], starts: Sequence[Place]) -> Fit:
    """The most likely directions.

    Parameters
    ----------
    model : Model
        What should have been read.
    observed, spread : numpy.ndarray, shape (observations,)
        Each observation and its standard deviation, above zero; infinite leaves one out. [SI]
    starts : sequence of Place
        Where to begin: with mistakes among the observations a search may end in a lesser valley, so that the best is
        taken of those from all of them.

    Returns
    -------
    Fit
        `converged` is false where the search gave up, and then its numbers mean little.
    """
    ways = [_Search(model, observed, spread, start) for start in starts]
    rested = [way.run() for way in ways]
    best = min(range(len(ways)), key=lambda i: ways[i].least)
    here = ways[best].here
    scaled = here.slopes / spread[:, None]
    square = np.eye(len(observed)) + scaled @ scaled.T
    covariance = np.eye(len(here.z)) - scaled.T @ np.linalg.solve(square, scaled)
    residual = (observed - here.predicted) / spread
    return Fit(here.z, here.predicted, here.slopes, covariance, residual, spread, ways[best].least, rested[best])
