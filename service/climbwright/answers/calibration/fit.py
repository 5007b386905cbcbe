r"""The fit: the aeroplane that its flights and its starting values together make most likely.

Every uncertain number of the aeroplane and of the days is a sum of independent directions z of one standard deviation;
an observation says how far a prediction may be off. The most likely z makes |(predicted - observed)/spread|² + |z|²
least (maximum a posteriori) [1]_; its spread follows from the inverse of JᵀJ there, in which J has a row for each
observation and one for each direction.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, ch. 3: least
   squares with Gaussian prior knowledge, and the covariance afterwards (from memory).
.. [2] D. A. Belsley, E. Kuh and R. E. Welsch, *Regression Diagnostics*, Wiley, 1980, ch. 2: a residual over its own
   standard deviation, from the leverage of its observation (from memory).
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from climbwright.arrays import Floats

__all__ = ["Fit", "Model", "fitted"]

_STEP = 0.02  # of a standard deviation, for central differences
_ROUNDS = 60

Model = Callable[[NDArray[np.float64]], Floats]
"""Predictions for directions: an array of shape (cases, directions) to one of shape (cases, observations)."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The most likely directions and what is known of them.

    Parameters
    ----------
    z : numpy.ndarray, shape (directions,)
        In standard deviations of what was known before. [-]
    covariance : numpy.ndarray, shape (directions, directions)
        Of z, the identity where nothing was learned. [-]
    predicted : numpy.ndarray, shape (observations,)
        What each observation should have read. [SI]
    residual : numpy.ndarray, shape (observations,)
        Observed less predicted over its spread; nothing for an observation that was left out. [-]
    slopes : numpy.ndarray, shape (observations, directions)
        Change of each prediction along each direction. [SI]
    misfit : float
        What was made least. [-]
    converged : bool
        The search came to rest.
    """

    z: NDArray[np.float64]
    covariance: NDArray[np.float64]
    predicted: NDArray[np.float64]
    residual: NDArray[np.float64]
    slopes: NDArray[np.float64]
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


class _Problem:
    """Residuals and their Jacobian at one place, from one call of the model."""

    def __init__(self, model: Model, observed: NDArray[np.float64], spread: NDArray[np.float64], count: int) -> None:
        self.model, self.observed, self.spread = model, observed, spread
        step = _STEP * np.eye(count)
        self.steps = np.concatenate([np.zeros((1, count)), step, -step])
        self.where: NDArray[np.float64] | None = None
        self.predicted = observed
        self.slopes = np.zeros((len(observed), count))

    def at(self, z: NDArray[np.float64]) -> None:
        if self.where is not None and np.array_equal(z, self.where):
            return
        cases = self.model(z + self.steps)
        count = self.steps.shape[1]
        self.where, self.predicted = z.copy(), cases[0]
        self.slopes = ((cases[1 : count + 1] - cases[count + 1 :]) / (2.0 * _STEP)).T

    def scaled(self) -> NDArray[np.float64]:
        return self.slopes / self.spread[:, None]

    def residuals(self, z: NDArray[np.float64]) -> NDArray[np.float64]:
        self.at(z)
        return np.concatenate([(self.predicted - self.observed) / self.spread, z])

    def jacobian(self, z: NDArray[np.float64]) -> NDArray[np.float64]:
        self.at(z)
        return np.concatenate([self.scaled(), np.eye(len(z))])


def fitted(
    model: Model,
    observed: NDArray[np.float64],
    spread: NDArray[np.float64],
    directions: int,
    start: NDArray[np.float64] | None = None,
) -> Fit:
    """The most likely directions.

    Parameters
    ----------
    model : callable
        Predictions of every observation for many places at once.
    observed, spread : numpy.ndarray, shape (observations,)
        Each observation and its standard deviation, above zero; infinite leaves one out. [SI]
    directions : int
        How many there are.
    start : numpy.ndarray, optional
        Where to begin; in the middle of what was known before if not given.

    Returns
    -------
    Fit
        `converged` is false where the search gave up, and then its numbers mean little.
    """
    from scipy.optimize import least_squares  # imported where it is needed: half a second, and 30 MB of each worker

    problem = _Problem(model, observed, spread, directions)
    begin = np.zeros(directions) if start is None else start
    found = least_squares(
        problem.residuals, begin, jac=problem.jacobian, method="lm", xtol=1e-7, ftol=1e-9, max_nfev=_ROUNDS
    )
    z = np.asarray(found.x)
    problem.at(z)
    scaled = problem.scaled()
    covariance = np.asarray(np.linalg.inv(np.eye(directions) + scaled.T @ scaled))
    residual = (problem.observed - problem.predicted) / problem.spread
    misfit = float(residual @ residual + z @ z)
    success = bool(found.success)
    return Fit(z, covariance, problem.predicted, residual, problem.slopes, problem.spread, misfit, success)
