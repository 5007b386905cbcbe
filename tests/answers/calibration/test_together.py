"""What is learned together strays together: against many draws, and learned in one go or one flight after the other."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.air.condition import Condition
from climbwright.aircraft.learned import learned_number, with_numbers
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers.calibration.report import calibrate
from climbwright.answers.comparison import perform
from climbwright.answers.spread import shares, uncertain
from climbwright.arrays import Measured
from climbwright.refusal import Refusal

from .crowd import case

DRAWS = 400


@pytest.fixture(scope="module")
def flown():
    return case(np.random.default_rng(7), 12)


def measured(aircraft):
    loading = Loading("two-up", {"seats": Amount(mass=170.0)})
    answer = perform(aircraft, (loading,), (Condition(name="hot", pressure_altitude=1500.0, temperature_offset=15.0),))
    row = {name: answer.names.index(name) for name in ("best_climb_rate", "greatest_level_speed_true")}
    spread = answer.values.spread
    return {
        n: (answer.values.value[k, 0, 0, 0], None if spread is None else spread[k, 0, 0, 0]) for n, k in row.items()
    }


def test_spreads_of_answers_know_what_belongs_together(flown):
    """Aeroplanes drawn with the covariance scatter as the answer's spread says; without it the spread is too wide."""
    found = calibrate(flown.aircraft, flown.observations)
    names = [number.where for number in found.numbers]
    middle = np.array([number.after.value for number in found.numbers])
    spread = np.array([number.after.plus_minus for number in found.numbers])
    covariance = np.array(found.covariance.correlation) * np.outer(spread, spread)
    drawn = np.random.default_rng(1).multivariate_normal(middle, covariance, size=DRAWS)
    scatter = [measured(with_numbers(found.aircraft, dict(zip(names, row.tolist(), strict=True)))) for row in drawn]
    said = measured(found.aircraft)
    alone = measured(with_numbers(found.aircraft, {number.where: number.after for number in found.numbers}))
    for name, (_, sigma) in said.items():
        values = np.array([each[name][0] for each in scatter])
        assert_allclose(sigma, values.std(), rtol=0.12)  # three standard errors of so many draws
        assert alone[name][1] > 1.3 * sigma


def test_the_shares_of_the_directions_make_the_covariance(flown):
    found = calibrate(flown.aircraft, flown.observations)
    numbers = uncertain(found.aircraft)
    table = shares(numbers)
    spread = np.array([number.plus_minus for number in numbers])
    order = [
        next(i for i, n in enumerate(numbers) if n == learned_number(found.aircraft, p))
        for p in found.covariance.parameters
    ]
    correlation = (table @ table.T / np.outer(spread, spread))[np.ix_(order, order)]
    assert_allclose(correlation, found.covariance.correlation, atol=1e-6)


def test_one_flight_after_the_other_teaches_what_all_teach_at_once(flown):
    """Flights of two days: the second day's on top of the first day's. What only the days share is told apart."""
    first = [one for one in flown.observations if one.day == "first"]
    second = [one for one in flown.observations if one.day == "second"]
    together = calibrate(flown.aircraft, flown.observations)
    in_turn = calibrate(calibrate(flown.aircraft, first).aircraft, second)
    assert set(in_turn.covariance.observations) == {one.name for one in flown.observations}
    after = {number.where: number.after for number in in_turn.numbers}
    for number in together.numbers:
        assert abs(after[number.where].value - number.after.value) < 0.35 * number.after.plus_minus, number.where
        assert_allclose(after[number.where].plus_minus, number.after.plus_minus, rtol=0.10)


def test_a_flight_counts_once(flown):
    once = calibrate(flown.aircraft, flown.observations).aircraft
    with pytest.raises(Refusal, match="was used already"):
        calibrate(once, flown.observations[:1])


def test_what_no_flight_speaks_of_stays_as_it_was(flown):
    stalls = [one for one in flown.observations if one.kind == "stall"]
    found = calibrate(flown.aircraft, stalls)
    area = next(number for number in found.numbers if number.where == "/drag/parasite_area")
    assert_allclose([area.after.value, area.after.plus_minus], [area.before.value, area.before.plus_minus], rtol=1e-9)
    assert isinstance(found.aircraft.drag.parasite_area, Measured)
    assert {caution.code for caution in found.cautions} >= {"calibration-few", "calibration-not-narrowed"}
