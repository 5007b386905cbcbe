"""Root finders against scipy's, one function at a time and whole arrays, and how often they ask."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from scipy.optimize import brentq

from climbwright.roots import falling_root, find_root

# function, ends, the most evaluations: a dozen where the function is smooth and bends little, a few dozen where it has
# a step, a corner, a pole, ends that are decades apart or a root of high order
SMOOTH, ROUGH = 14, 72
FUNCTIONS = {
    "parabola": (lambda x: x**2 - 2.0, 0.0, 2.0, SMOOTH),
    "line": (lambda x: x - 7.0, 0.0, 100.0, SMOOTH),
    "exponential": (lambda x: np.exp(x) - 1e-3, -20.0, 5.0, SMOOTH),
    "cosine": (lambda x: np.cos(x) - x, 0.0, 1.0, SMOOTH),
    "falling": (lambda x: 3.0 - x**3, 0.0, 2.0, SMOOTH),
    "steep": (lambda x: np.tanh(50.0 * (x - 0.3)), -10.0, 1.0, 20),
    "ninth order": (lambda x: x**9 - 1e-20, 0.0, 1.0, 25),
    "step": (lambda x: np.where(x > 1.0 / 3.0, 1.0, -1.0), 0.0, 1.0, ROUGH),
    "corner beside the root": (lambda x: np.where(x < 0.7, x - 0.8, 5.0 * x - 3.6), 0.0, 3.0, SMOOTH),
    "corner at the root": (lambda x: np.where(x < 0.7, x - 0.7, 50.0 * (x - 0.7)), 0.0, 3.0, ROUGH),
    "pole": (lambda x: 1.0 / x - 5.0, 1e-6, 1e6, ROUGH),
    "decades": (np.log, 1e-9, 1e9, ROUGH),
    "triple": (lambda x: (x - 1.0) ** 3, -3.0, 10.0, ROUGH),
}
every = pytest.mark.parametrize(("function", "low", "high", "most"), FUNCTIONS.values(), ids=FUNCTIONS)


def counted(function):
    asked = []

    def wrapped(x):
        asked.append(x)
        return function(x)

    return wrapped, asked


@every
def test_the_root_is_that_of_brentq(function, low, high, most):
    wrapped, asked = counted(function)
    got = find_root(wrapped, low, high)
    assert_allclose(got, brentq(function, low, high, xtol=1e-300, rtol=1e-15, maxiter=500), rtol=2e-14)
    assert type(got) is np.float64
    assert len(asked) <= most
    assert all(low <= x <= high for x in asked)


@every
def test_ends_may_come_in_either_order(function, low, high, most):
    assert_allclose(find_root(function, high, low), find_root(function, low, high), rtol=2e-14)


def test_a_root_at_zero_is_found_to_a_sliver_of_the_bracket():
    wrapped, asked = counted(lambda x: x**3)
    assert abs(find_root(wrapped, -1.0, 2.0)) < 1e-19
    assert len(asked) <= ROUGH


def test_a_thousand_cubics_at_once():
    """x^3 + p x = q, p not negative, by the numerical eigenvalues of their companion matrices."""
    random = np.random.default_rng(11)
    p, q = 10.0 ** random.uniform(-3.0, 3.0, 1000), 10.0 ** random.uniform(-3.0, 3.0, 1000)
    wrapped, asked = counted(lambda x: x**3 + p * x - q)
    got = find_root(wrapped, 0.0, 1.0 + np.cbrt(q))
    for i in range(1000):
        roots = np.roots([1.0, 0.0, p[i], -q[i]])
        assert_allclose(got[i], roots[np.argmin(abs(roots.imag))].real, rtol=1e-9)
    assert np.max(np.abs(got**3 + p * got - q) / q) < 1e-13
    assert len(asked) <= 30
    assert all(x.shape == (1000,) for x in asked[1:])


def test_each_is_left_as_it_was_once_it_is_found():
    """Alone or beside others that take longer, the very same number."""
    targets = np.array([0.001, 0.5, 2.0, 3.0, 5000.0])
    together = find_root(lambda x: x * x * x - targets, 0.0, 20.0)
    alone = [find_root(lambda x, t=target: x * x * x - t, 0.0, 20.0) for target in targets]
    assert_array_equal(together, alone)


def test_no_change_of_sign_no_root():
    got = find_root(lambda x: x**2 - np.array([-1.0, 4.0, 100.0, np.nan]), 0.0, 3.0)
    assert_allclose(got, [np.nan, 2.0, np.nan, np.nan])


def test_nan_on_the_way_is_no_root():
    assert np.isnan(find_root(lambda x: np.where((x > 0.0) & (x < 2.0), np.nan, x - 1.0), 0.0, 2.0))


@pytest.mark.parametrize(("low", "high"), [(2.0, 5.0), (-5.0, 2.0)])
def test_an_end_may_be_the_root(low, high):
    assert find_root(lambda x: x - 2.0, low, high) == 2.0


def test_the_shape_is_that_of_the_ends_and_the_function():
    targets = np.array([[1.0], [2.0], [3.0]])
    assert find_root(lambda x: x - targets, np.zeros(4), 10.0).shape == (3, 4)
    assert find_root(lambda x: x - targets, 0.0, 10.0).shape == (3, 1)
    assert find_root(lambda x: x - 1.0, np.empty(0), 10.0).shape == (0,)
    assert_allclose(find_root(lambda x: x - targets, 0, 10), targets, rtol=1e-14)


@given(st.floats(1e-3, 1e3), st.floats(1e-13, 1e-2))
def test_the_error_is_below_the_tolerance(target, tolerance):
    got = find_root(lambda x: np.log(x / target), 1e-4, 1e4, tolerance)
    assert abs(got / target - 1.0) <= tolerance + 1e-15


def line_and_square(a, b):
    """a - b x - x^2 with its slope; falls through zero once where x > 0."""
    return lambda x: (a - b * x - x**2, -b - 2.0 * x)


@given(st.floats(0.01, 1e4), st.floats(-50.0, 50.0), st.floats(0.0, 1.0))
def test_newton_finds_it_from_anywhere_within(a, b, share):
    high = 1.0 + abs(b) + np.sqrt(a)
    function, asked = counted(line_and_square(a, b))
    got = falling_root(function, 0.0, high, share * high)
    assert_allclose(got, brentq(lambda x: a - b * x - x**2, 0.0, high, xtol=1e-300, rtol=1e-15), rtol=1e-13)
    assert type(got) is np.float64
    assert len(asked) <= 25


def test_newton_keeps_within_when_the_slope_misleads():
    """Newton alone runs from the root of an arctangent once it starts beyond 1.39."""

    def function(x):
        assert np.all(np.abs(x) <= 1000.0)
        return -np.arctan(x - 3.0), -1.0 / (1.0 + (x - 3.0) ** 2)

    start = np.array([-900.0, -5.0, 2.0, 3.0, 50.0, 1000.0])
    assert_allclose(falling_root(function, -1000.0, 1000.0, start), np.full(6, 3.0), rtol=1e-14)


def test_newton_passes_a_corner():
    def function(x):
        return np.where(x < 2.0, 3.0 - x, 1.5 * (8.0 / 3.0 - x)), np.where(x < 2.0, -1.0, -1.5)

    assert_allclose(falling_root(function, 0.0, 10.0, [0.1, 1.9, 2.1, 9.0]), np.full(4, 8.0 / 3.0), rtol=1e-15)


def test_newton_leaves_each_as_it_was_once_it_is_found():
    a, b = np.array([0.01, 2.0, 7.0, 1e4]), np.array([3.0, 1.0, -40.0, 5.0])
    together = falling_root(line_and_square(a, b), 0.0, 200.0, np.full(4, 1.0))
    alone = [falling_root(line_and_square(a[i], b[i]), 0.0, 200.0, 1.0) for i in range(4)]
    assert_array_equal(together, alone)


def test_newton_answers_nan_with_nan():
    def function(x):
        return np.where(x > 5.0, np.nan, np.array([2.0, np.nan]) - x), -np.ones(2)

    assert_allclose(falling_root(function, 0.0, 10.0, np.array([1.0, 1.0])), [2.0, np.nan])
    assert np.isnan(falling_root(lambda x: (np.nan * x, x), 0.0, 10.0, 1.0))


def test_newton_of_nothing_is_nothing():
    assert falling_root(line_and_square(1.0, 1.0), 0.0, 1.0, np.empty((2, 0))).shape == (2, 0)
