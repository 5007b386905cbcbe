"""Linear spreads against many draws of the same functions, on random aeroplanes whose inputs are known to 10 %.

The speed of the best climb is not among the linear ones: where it is held above the stall its spread has a kink, which
an answer notices and draws.
"""

import os

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Stall, Station, Wing
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers.comparison import perform
from climbwright.answers.spread import sampled
from climbwright.arrays import Measured

CASES = int(os.environ.get("CLIMBWRIGHT_SAMPLED_CASES", "40"))  # 200 for the whole check
DRAWS = 20_000
FEET_PER_MINUTE = 0.3048 / 60.0
MEASURES = (
    "best_climb_rate",
    "climb_gradient",
    "best_angle",
    "service_ceiling",
    "absolute_ceiling",
    "greatest_level_speed_true",
    "stall_speed_calibrated",
    "power_available",
    "weight",
)
KINKED = ("best_climb_speed_calibrated",)


def spread(rng, value, most=0.10):
    return Measured(value, value * rng.uniform(0.005, most))


def aeroplane(rng):
    power = rng.uniform(70.0, 120.0) * 745.7
    return Aircraft(
        name="invented",
        wing=Wing(area=rng.uniform(10.0, 15.0), span=spread(rng, rng.uniform(8.6, 10.5), 0.02)),
        empty=Mass(spread(rng, rng.uniform(240.0, 340.0), 0.03), 0.3),
        limits=Limits(),
        stations=(Station("seats", 0.3),),
        engine=Engine(power, lapse_constant=0.117, power_margin=spread(rng, 0.92)),
        propeller=Propeller("fixed-pitch", best_efficiency=spread(rng, 0.71), best_efficiency_speed=spread(rng, 40.0)),
        drag=Drag(spread(rng, rng.uniform(0.35, 0.75)), spread(rng, 0.75)),
        stalls=(Stall("clean", spread(rng, rng.uniform(16.0, 21.0), 0.06), 450.0),),
    )


def three(rng):
    """Linear spreads, those of an answer that was not told which to take, and those of many draws."""
    aircraft = aeroplane(rng)
    loading = Loading("two-up", {"seats": Amount(mass=spread(rng, 160.0, 0.05))})
    condition = Condition(name="here", pressure_altitude=rng.uniform(0.0, 2400.0), temperature_offset=15.0)
    return [
        perform(aircraft, (loading,), (condition,), measures=MEASURES + KINKED, draws=draws).values
        for draws in (0, None, DRAWS)
    ]


@pytest.mark.parametrize("seed", range(CASES))
def test_linear_spreads_and_draws_agree(seed):
    rng = np.random.default_rng([20260404, seed])
    linear, answered, drawn = three(rng)
    if linear.value[0, 0, 0, 0] < 200.0 * FEET_PER_MINUTE:
        pytest.skip("it hardly climbs: the spread is not linear there")
    for i, name in enumerate(MEASURES):
        assert linear.spread[i, 0, 0, 0] == pytest.approx(drawn.spread[i, 0, 0, 0], rel=0.10), name
    for i, name in enumerate(MEASURES + KINKED):
        assert answered.spread[i, 0, 0, 0] == pytest.approx(drawn.spread[i, 0, 0, 0], rel=0.10), name


def test_draws_are_the_same_every_time_and_their_percentiles_are_in_order():
    rng = np.random.default_rng(1)
    aircraft = aeroplane(rng)
    loading, condition = Loading("one", {"seats": Amount(mass=90.0)}), Condition(name="here", density_altitude=1500.0)
    first, second = (perform(aircraft, (loading,), (condition,), measures=MEASURES, draws=500) for _ in range(2))
    np.testing.assert_array_equal(first.values.spread, second.values.spread)
    low, middle, high = first.values.percentiles[:, 0, 0, 0, 0]
    assert low < middle < high
    # of a normal spread the 5th and 95th percentile lie 1.645 standard deviations away, here to three standard errors
    assert (high - low) / 2.0 == pytest.approx(1.645 * first.values.spread[0, 0, 0, 0], rel=0.12)
    assert first.values.value[0, 0, 0, 0] == pytest.approx(middle, rel=0.02)


def test_what_is_certain_has_no_draws():
    sure = Aircraft(
        "sure", Wing(12.0, 9.5), Mass(300.0, 0.3), Limits(), (Station("seats", 0.3),),
        Engine(60000.0, lapse_constant=0.117, power_margin=1.0),
        Propeller("constant-efficiency", efficiency=0.75), Drag(0.5, 0.75), stalls=(Stall("clean", 18.0, 450.0),),
    )  # fmt: skip
    loading, condition = Loading("one", {}), Condition(name="here", density_altitude=1500.0)
    answer = perform(sure, (loading,), (condition,), measures=MEASURES, draws=500)
    assert answer.values.spread is None
    assert answer.values.percentiles is None


def test_what_fewer_than_half_of_the_draws_have_has_no_spread():
    cases = np.array([[1.0, 1.0], [2.0, np.nan], [4.0, np.nan], [np.nan, 3.0]])
    spread, percentiles, without = sampled(cases)
    # between 2 and 4 the middle 68.27 % is 1.3654 long
    np.testing.assert_allclose(spread, [0.6827, np.nan], rtol=1e-4)
    np.testing.assert_allclose(percentiles[:, 0], [2.1, 3.0, 3.9])
    assert np.isnan(percentiles[:, 1]).all()
    np.testing.assert_allclose(without, [1.0 / 3.0, 2.0 / 3.0])
