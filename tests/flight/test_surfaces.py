"""Friction of runways: within what was published, ordered as grass and water order it, on the long side."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.arrays import Measured
from climbwright.flight.surfaces import SURFACES

every = pytest.mark.parametrize("name", SURFACES)


@every
def test_brakes_hold_at_least_what_free_wheels_lose(name):
    surface = SURFACES[name]
    for friction in (surface.rolling_friction, surface.braking_friction):
        assert isinstance(friction, Measured)
        assert 0.0 < friction.plus_minus < friction.value
    assert surface.rolling_friction.value <= surface.braking_friction.value


@every
def test_source_says_where_both_come_from_and_whether_it_was_seen(name):
    rolling, _, braking = SURFACES[name].source.partition("; braking: ")
    assert rolling.startswith("rolling: ")
    assert braking
    assert "seen" in rolling
    assert "seen" in braking or "memory" in braking or braking == "as short dry grass"


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ("paved-dry", "paved-wet"),
        ("paved-dry", "hard-turf"),
        ("hard-turf", "short-dry-grass"),
        ("short-dry-grass", "long-grass"),
        ("short-dry-grass", "short-wet-grass"),
        ("long-grass", "long-wet-grass"),
        ("long-wet-grass", "soft"),
    ],
)
def test_order(better, worse):
    assert SURFACES[better].rolling_friction.value < SURFACES[worse].rolling_friction.value
    assert SURFACES[better].braking_friction.value >= SURFACES[worse].braking_friction.value


@pytest.mark.parametrize(
    ("name", "kind", "low", "high"),
    [
        ("paved-dry", "rolling_friction", 0.02, 0.05),
        ("paved-dry", "braking_friction", 0.20, 0.50),
        ("hard-turf", "rolling_friction", 0.04, 0.07),
        ("short-dry-grass", "rolling_friction", 0.05, 0.10),
        ("soft", "rolling_friction", 0.10, 0.30),
    ],
)
def test_spread_is_that_of_the_published_range(name, kind, low, high):
    """Of a number that is as likely anywhere in the range (TOL-11 to TOL-13)."""
    spread = np.std(np.linspace(low, high, 100001))
    assert_allclose(getattr(SURFACES[name], kind).plus_minus, spread, rtol=1e-4)
