"""Synthetic truth: invented aeroplanes whose true numbers are known, and how often the fit says so.

Three seeds, published here, of a thousand aeroplanes each where CLIMBWRIGHT_CALIBRATION_CASES is 1000; a run without it
takes fewer, and its bands are the same widened by three standard errors of so many draws. A normal spread holds 68.3 %
within one and 95.4 % within two.
"""

import os

import numpy as np
import pytest

from climbwright.answers.calibration.calibrate import learn

from .crowd import case

CASES = int(os.environ.get("CLIMBWRIGHT_CALIBRATION_CASES", "120"))
SEEDS = (20260101, 20260202, 20260303)


def strays(seed, count, wider=1.0, cases=CASES):
    """How far each true number lies from what was learned, in spreads; cases along the first axis."""
    rng = np.random.default_rng(seed)
    found, doubted = [], 0
    for _ in range(cases):
        one = case(rng, count, wider)
        learned = learn(one.aircraft, one.observations)
        found.append((one.truth - learned.values) / np.sqrt(np.diag(learned.covariance)))
        doubted += bool(learned.doubts)
    return np.abs(np.array(found)), doubted / cases


def allowance(share, cases):
    """Three standard errors of a share of so many draws beyond those of a thousand, which the band allows for."""
    return 3.0 * np.sqrt(share * (1.0 - share)) * max(0.0, 1.0 / np.sqrt(cases) - 1.0 / np.sqrt(1000.0))


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("count", [6, 12])
def test_the_truth_lies_within_the_spread_as_often_as_it_should(seed, count):
    away, doubted = strays(seed, count)
    one, two = (away < 1.0).mean(axis=0), (away < 2.0).mean(axis=0)
    near, far = allowance(0.683, CASES), allowance(0.954, CASES)
    assert np.all((one > 0.64 - near) & (one < 0.73 + near)), one
    assert np.all((two > 0.935 - far) & (two < 0.97 + far)), two
    assert doubted <= 0.10 + allowance(0.05, CASES)
