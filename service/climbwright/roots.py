"""Roots of functions of one number, for whole arrays of them at once: bracketed, so that none runs away.

References
----------
.. [1] T. R. Chandrupatla, *A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function
   without using derivatives*, Advances in Engineering Software 28, 1997: when a quadratic may be trusted.
"""

from collections.abc import Callable

import numpy as np

from climbwright.arrays import Floats, Numbers, floats, scalar_if_0d

__all__ = ["falling_root", "find_root"]

MOST = 100  # steps; bisection alone needs fewer
SLIVER = 1e-20  # of the bracket, below which a root near zero is not narrowed


def find_root(function: Callable[[Floats], Floats], low: Numbers, high: Numbers, tolerance: float = 1e-14) -> Floats:
    """Where a function is zero between two ends.

    Parameters
    ----------
    function : callable
        Takes an array, each element within its bracket, and gives one of the same shape, or of the answer's for the
        ends, which come first.
    low, high : array_like
        Ends; with what the function gives at them they broadcast to the shape of the answer.
    tolerance : float
        Greatest error over the root; of a root near zero, a sliver of the bracket is the limit.

    Returns
    -------
    numpy.float64 or numpy.ndarray
        The root; nan where the function has the same sign at both ends or is nan on the way.

    Examples
    --------
    >>> float(find_root(lambda x: x**2 - 2.0, 0.0, 2.0))
    1.414213562373
    """
    a, b = np.broadcast_arrays(*floats(low, high))
    # b lies across the root from a, the latest point; c is the one before
    a, b, fa, fb = np.broadcast_arrays(a, b, *floats(function(a), function(b)))
    least = SLIVER * np.abs(b - a)
    lost = np.asarray(~(np.sign(fa) * np.sign(fb) <= 0.0))
    root = np.where(np.abs(fa) < np.abs(fb), a, b)
    done = lost | (fa == 0.0) | (fb == 0.0)
    x = np.where(done, root, 0.5 * (a + b))
    for _ in range(MOST):
        if done.all():
            break
        fx = np.asarray(function(x))
        same = np.sign(fx) == np.sign(fa)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        lost = lost | (np.isnan(fx) & ~done)
        root = np.where(done, root, np.where(np.abs(fa) < np.abs(fb), a, b))
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            edge = (tolerance * np.abs(root) + least) / np.abs(b - a)
            done = done | lost | (edge > 0.5) | (fx == 0.0)
            xi, phi = (a - b) / (c - b), (fa - fb) / (fc - fb)
            trusted = (phi**2 < xi) & ((1.0 - phi) ** 2 < 1.0 - xi)  # [1]
            quadratic = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            share = np.minimum(np.maximum(np.where(trusted, quadratic, 0.5), edge), 1.0 - edge)
            x = np.where(done, root, a + share * (b - a))
    return scalar_if_0d(np.where(lost, np.nan, root))


def falling_root(
    function: Callable[[Floats], tuple[Floats, Floats]],
    low: Numbers,
    high: Numbers,
    start: Numbers,
    step: float = 1e-8,
) -> Floats:
    """Where a smooth function falls through zero, by Newton's steps that never leave the bracket.

    Parameters
    ----------
    function : callable
        Takes an array and gives value and slope there.
    low, high : array_like
        Ends; the value is above zero between the lower one and the root and below zero beyond it.
    start : array_like
        First guess between them, of the shape of the answer.
    step : float
        Length over the root of a step that is the last. A step squares the error where the function is smooth.

    Returns
    -------
    numpy.float64 or numpy.ndarray
        The root; nan where the function gives nan on the way.

    Notes
    -----
    The function is called with numpy's warnings off.

    Examples
    --------
    >>> float(falling_root(lambda x: (2.0 - x**2, -2.0 * x), 0.0, 2.0, 1.0))
    1.414213562373
    """
    x = np.array(start, dtype=np.float64)
    a, b = np.empty_like(x), np.empty_like(x)
    a[...], b[...] = low, high
    done = np.zeros(x.shape, dtype=bool)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for _ in range(MOST):
            value, slope = function(x)
            above = value > 0.0
            np.putmask(a, above, x)
            np.putmask(b, ~above, x)
            stepped = np.asarray(x - value / slope)
            np.putmask(stepped, (stepped < a) | (stepped > b), 0.5 * (a + b))
            near = ~(np.abs(stepped - x) > step * np.abs(x))  # of nan too
            np.putmask(x, ~done, stepped)
            done |= near
            if np.count_nonzero(done) == done.size:
                break
    return scalar_if_0d(x)
