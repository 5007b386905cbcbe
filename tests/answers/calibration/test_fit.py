"""The search for the most likely place: against closed forms and other searches, at bounds and at kinks."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.optimize import least_squares, lsq_linear, minimize

from climbwright.answers.calibration import calibrate
from climbwright.answers.calibration.calibrate import learn
from climbwright.answers.calibration.fit import Model, fitted

from .crowd import case

OBSERVED, DIRECTIONS = 12, 7


def linear(rng, far=1.0):
    slopes = rng.standard_normal((OBSERVED, DIRECTIONS))
    return slopes, far * rng.standard_normal(OBSERVED), rng.uniform(0.2, 2.0, OBSERVED)


def search(predictions, observed, spread, least=-8.0, greatest=8.0, directions=DIRECTIONS):
    model = Model(predictions, np.full(directions, least), np.full(directions, greatest))
    return fitted(model, observed, spread, [model.place(np.zeros(directions))])


def whole(slopes, observed, spread):
    """The same as rows of one linear problem: the observations, then what was known before."""
    count = slopes.shape[1]
    return np.concatenate([slopes / spread[:, None], np.eye(count)]), np.concatenate(
        [observed / spread, np.zeros(count)]
    )


@pytest.mark.parametrize("seed", range(5))
def test_what_is_linear_is_solved_as_the_closed_form_does(seed):
    slopes, observed, spread = linear(np.random.default_rng(seed))
    fit = search(lambda z: z @ slopes.T, observed, spread)
    rows, right = whole(slopes, observed, spread)
    assert fit.converged
    assert_allclose(fit.z, np.linalg.solve(rows.T @ rows, rows.T @ right), atol=1e-9)
    assert_allclose(fit.covariance, np.linalg.inv(rows.T @ rows), atol=1e-9)
    assert_allclose(fit.misfit, np.sum((rows @ fit.z - right) ** 2))


@pytest.mark.parametrize("seed", range(10))
def test_a_direction_that_is_pulled_beyond_its_bound_stays_there(seed):
    slopes, observed, spread = linear(np.random.default_rng(seed), 30.0)
    fit = search(lambda z: z @ slopes.T, observed, spread, -1.5, 2.5)
    other = lsq_linear(*whole(slopes, observed, spread), (-1.5, 2.5), method="bvls")
    assert np.any((fit.z == -1.5) | (fit.z == 2.5))
    assert_allclose(fit.misfit, 2.0 * other.cost, rtol=1e-5)
    assert_allclose(fit.z, other.x, atol=2e-2)
    assert_allclose(fit.slopes, slopes, atol=1e-9)  # one-sided at the bound, not halved


@pytest.mark.parametrize("seed", range(10))
def test_a_path_along_kinks_is_followed(seed):
    """Three predictions are the greater of two and too great, so that the likeliest place lies where both are alike."""
    rng = np.random.default_rng(seed)
    first, second = rng.standard_normal((2, OBSERVED, DIRECTIONS))
    second[3:], away = first[3:], np.where(np.arange(OBSERVED) < 3, -1.0, 0.0)
    observed, spread = np.where(np.arange(OBSERVED) < 3, -40.0, 0.0), np.full(OBSERVED, 4.0)
    fit = search(lambda z: np.maximum(z @ first.T, z @ second.T + away), observed, spread)

    def raised(place):
        """The same with the three as numbers of their own that may not lie below either."""
        predicted = np.concatenate([place[DIRECTIONS:], first[3:] @ place[:DIRECTIONS]])
        return np.sum(((predicted - observed) / spread) ** 2) + np.sum(place[:DIRECTIONS] ** 2)

    above = [
        {"type": "ineq", "fun": lambda place, rows=rows, by=by: place[DIRECTIONS:] - rows[:3] @ place[:DIRECTIONS] - by}
        for rows, by in ((first, 0.0), (second, -1.0))
    ]
    other = minimize(raised, np.zeros(DIRECTIONS + 3), constraints=above, options={"maxiter": 1000})
    assert other.success
    assert fit.misfit <= other.fun * 1.001


@pytest.fixture(scope="module")
def flown():
    return [case(np.random.default_rng([20260401, i]), 12) for i in range(20)]


@pytest.fixture
def searched(monkeypatch):
    """What each search was asked, and its fit."""
    found = []

    def kept(*asked):
        found.append((asked, fitted(*asked)))
        return found[-1][1]

    monkeypatch.setattr(calibrate, "fitted", kept)
    return found


def test_another_search_gains_nothing_from_there(flown, searched):
    for one in flown:
        searched.clear()
        learn(one.aircraft, one.observations)
        (model, observed, spread, _), fit = searched[0]

        def residuals(z, model=model, observed=observed, spread=spread):
            return np.concatenate([(model.predictions(z[None])[0] - observed) / spread, z])

        further = least_squares(residuals, fit.z, bounds=(model.least, model.greatest), xtol=1e-10, ftol=1e-10)
        assert fit.converged
        assert fit.misfit <= 2.0 * further.cost * (1.0 + 1e-4)


def test_what_is_found_near_another_fit_is_no_worse_than_from_the_start(flown, searched):
    for place, one in enumerate(flown):
        searched.clear()
        observations = [*one.observations]
        wrong = observations[place % len(observations)]
        observations[place % len(observations)] = replace(wrong, value=2.5 * wrong.value)
        learn(one.aircraft, observations)
        for (model, observed, spread, starts), fit in searched[1:]:
            alone = fitted(model, observed, spread, starts[:1])
            assert len(starts) == 2
            assert fit.misfit <= alone.misfit
