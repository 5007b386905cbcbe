"""The next flights: what each is said to leave of a spread, against a calibration with that very flight."""

import itertools

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers.calibration.plan import plan
from climbwright.answers.calibration.report import calibrate
from climbwright.answers.comparison import perform
from climbwright.answers.flying import Flying
from climbwright.refusal import Refusal

from .crowd import aeroplane

LOADINGS = tuple(Loading(name, {"seats": Amount(mass=mass)}) for name, mass in (("solo", 90.0), ("two-up", 165.0)))
HOT = Condition(name="hot", density_altitude=2400.0)
CONDITIONS = (Condition(name="cool", pressure_altitude=900.0, oat=283.0), HOT)
MEASURE = "best_climb_rate"


def spread_of(aircraft, place):
    loading, condition = LOADINGS[place[0]], CONDITIONS[place[1]]
    answer = perform(aircraft, (loading,), (condition,), measures=(MEASURE,), draws=0).values
    return answer.spread[0, 0, 0, 0]


def learned_from(aircraft, flights):
    """The aeroplane after these flights, each of which read what was expected."""
    observations = [
        type(flight.observation)(
            **{
                name: getattr(flight.observation, name)
                for name in type(flight.observation).__slots__
                if name not in ("value", "spread")
            },
            value=flight.expected.value,
            spread=flight.expected.plus_minus,
        )
        for flight in flights
    ]
    return calibrate(aircraft, observations).aircraft


@pytest.mark.parametrize("seed", range(6))
def test_the_flights_leave_what_a_calibration_leaves(seed):
    aircraft, place = aeroplane(np.random.default_rng(seed)), (1, 1)
    found = plan(aircraft, LOADINGS, CONDITIONS, Flying(), MEASURE, place, 3)
    assert found.now.plus_minus == pytest.approx(spread_of(aircraft, place), rel=1e-9)
    for count in range(1, len(found.flights) + 1):
        flown = found.flights[:count]
        assert flown[-1].left == pytest.approx(spread_of(learned_from(aircraft, flown), place), rel=0.03)


def test_no_other_first_flight_would_leave_less():
    aircraft, place = aeroplane(np.random.default_rng(11)), (1, 1)
    every = plan(aircraft, LOADINGS, CONDITIONS, Flying(), MEASURE, place, 12).flights
    first = spread_of(learned_from(aircraft, every[:1]), place)
    for other in every[1:]:
        assert spread_of(learned_from(aircraft, [other]), place) >= first * 0.98
    left = [flight.left for flight in every]
    assert all(later < earlier for earlier, later in itertools.pairwise(left))


def test_what_is_sure_cannot_be_narrowed():
    aircraft = aeroplane(np.random.default_rng(3))
    with pytest.raises(Refusal, match="nothing to narrow"):
        plan(aircraft, LOADINGS, CONDITIONS, Flying(), "weight", (0, 0), 3)
    with pytest.raises(Refusal, match="does not exist"):
        plan(aircraft, LOADINGS, CONDITIONS, Flying(), "cg_chord_fraction", (0, 0), 3)
