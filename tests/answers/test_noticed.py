"""Spreads that are not linear are noticed and drawn: against the percentiles of the one input that is uncertain.

A measure that only falls or only rises with that input has its percentiles where the input has its own, which needs
no draws: the measure is computed there.
"""

from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import Add, Remove
from climbwright.aircraft.description import Aircraft, Drag, Engine, Limits, Mass, Propeller, Stall, Station, Wing
from climbwright.aircraft.loading import Amount, Loading
from climbwright.answers.comparison import compare, perform
from climbwright.answers.flying import Climb, Flying
from climbwright.answers.measures import worst_end
from climbwright.answers.question import Option
from climbwright.answers.spread import draws_for, lay_out, lopsided, sampled
from climbwright.answers.targets import Target
from climbwright.arrays import Measured

FOOT = 0.3048
AREA, SPREAD = 0.55, 0.055
LOADING, CONDITION = Loading("one", {"seats": Amount(mass=90.0)}), Condition(name="here", density_altitude=2000.0)
MEASURES = ("best_climb_rate", "time_to_climb", "service_ceiling")
DRAWN = 1_000  # what an answer draws for itself


def aeroplane(area):
    return Aircraft(
        name="invented",
        wing=Wing(area=12.0, span=9.5),
        empty=Mass(310.0, 0.3),
        limits=Limits(),
        stations=(Station("seats", 0.3),),
        engine=Engine(60000.0, lapse_constant=0.117, power_margin=0.95),
        propeller=Propeller("fixed-pitch", best_efficiency=0.72, best_efficiency_speed=42.0),
        drag=Drag(area, 0.75),
        stalls=(Stall("clean", 18.0, 450.0),),
    )


def below(ceiling_left):
    """A climb to so many metres below the absolute ceiling of the aeroplane as it most likely is."""
    sure = perform(aeroplane(AREA), (LOADING,), (CONDITION,), measures=("absolute_ceiling",))
    return Flying(climb=Climb(to_altitude=float(sure.values.value[0, 0, 0, 0]) - ceiling_left))


def time_at(area, flying):
    return float(perform(aeroplane(area), (LOADING,), (CONDITION,), flying, MEASURES).values.value[1, 0, 0, 0])


def codes(answer):
    return {caution.code for caution in answer.cautions}


def test_near_the_ceiling_the_percentiles_are_those_of_the_input():
    flying = below(300.0)
    answer = perform(aeroplane(Measured(AREA, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES)
    assert "spread-drawn" in codes(answer)
    found = answer.values.percentiles[:, 1, 0, 0, 0]
    for share, shown in zip((0.05, 0.5, 0.95), found, strict=True):
        # within what so few draws leave of a share: three standard deviations of it
        doubt = 3.0 * (share * (1.0 - share) / DRAWN) ** 0.5
        places = (AREA + SPREAD * NormalDist().inv_cdf(share + side * doubt) for side in (-1.0, 1.0))
        low, high = (np.nan_to_num(time_at(area, flying), nan=np.inf) for area in places)
        assert low <= shown <= high, share
    linear = perform(aeroplane(Measured(AREA, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES, draws=0)
    assert found[2] - answer.values.value[1, 0, 0, 0] > 1.2 * 1.645 * linear.values.spread[1, 0, 0, 0]
    assert linear.values.percentiles is None
    assert "spread-drawn" not in codes(linear)


def test_a_spread_that_is_linear_stays_so():
    flying = below(300.0)
    answer, linear = (
        perform(aeroplane(Measured(AREA, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES, draws=draws)
        for draws in (None, 0)
    )
    assert answer.values.spread[0, 0, 0, 0] == linear.values.spread[0, 0, 0, 0]
    assert np.isnan(answer.values.percentiles[:, 0]).all()
    far = perform(aeroplane(Measured(AREA, 0.02)), (LOADING,), (CONDITION,), below(5000.0), MEASURES)
    assert "spread-drawn" not in codes(far)
    assert far.values.percentiles is None


def test_a_target_is_counted_where_its_spread_is_drawn():
    flying = below(300.0)
    slow = time_at(AREA + 0.8 * SPREAD, flying)
    target = Target("time_to_climb", "at_most", slow)
    aircraft = aeroplane(Measured(AREA, SPREAD))
    (chance,) = perform(aircraft, (LOADING,), (CONDITION,), flying, MEASURES, targets=(target,)).chances
    share = NormalDist().cdf(0.8)
    assert chance.chance == pytest.approx(share, abs=3.0 * (share * (1.0 - share) / DRAWN) ** 0.5)


def test_where_some_aeroplanes_never_get_there():
    flying = below(150.0)
    answer = perform(aeroplane(Measured(AREA, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES)
    assert "spread-drawn" in codes(answer)
    target = Target("time_to_climb", "at_most", 1e6)
    (chance,) = perform(
        aeroplane(Measured(AREA, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES, targets=(target,)
    ).chances
    assert 0.05 < chance.chance < 0.95
    assert answer.values.without[1, 0, 0, 0] == pytest.approx(1.0 - chance.chance)
    assert np.isnan(answer.values.percentiles[2, 1, 0, 0, 0])  # one in twenty is slower than all that get there
    assert np.isfinite(answer.values.percentiles[0, 1, 0, 0, 0])


def test_where_most_never_get_there_the_share_and_the_chance_are_told():
    flying = below(20.0)
    target = Target("time_to_climb", "at_most", 1e6)
    answer = perform(
        aeroplane(Measured(AREA - 0.001, SPREAD)), (LOADING,), (CONDITION,), flying, MEASURES, targets=(target,)
    )
    without, (low, middle, high) = answer.values.without[1, 0, 0, 0], answer.values.percentiles[:, 1, 0, 0, 0]
    assert 0.3 < without < 0.7
    assert answer.chances[0].chance == pytest.approx(1.0 - without)
    assert np.isfinite(low)
    assert np.isnan(high)
    assert np.isnan(answer.values.spread[1, 0, 0, 0])
    assert np.isnan(middle) == (without > 0.5)


def test_a_margin_that_is_not_there_is_the_worst_one():
    cases = np.array([0.0, 1.0, 2.0, 3.0, np.nan])
    least, greatest = (sampled(cases, end)[1] for end in (-1.0, 1.0))
    assert np.isnan(least[0])
    assert least[2] == pytest.approx(2.85)  # of nothing, 1, 2 and 3: between the last two
    assert greatest[0] == pytest.approx(1.15)
    assert np.isnan(greatest[2])
    assert [worst_end(name) for name in ("takeoff_distance", "takeoff_margin", "service_ceiling", "time_to_climb")] == [
        1.0, -1.0, -1.0, 1.0
    ]  # fmt: skip


def test_a_change_is_drawn_too():
    flying = below(300.0)
    answer = compare(
        aeroplane(Measured(AREA, SPREAD)), (Option("as it is", ()),), (LOADING,), (CONDITION,), flying, MEASURES
    )
    assert np.isfinite(answer.values.percentiles[:, 1]).all()
    assert answer.changes.value[1, 0, 0, 0] == 0.0
    assert answer.changes.spread[1, 0, 0, 0] == 0.0


def test_draws_are_fewer_for_many_scenes_but_never_below_two_hundred():
    assert [draws_for(1000, scenes) for scenes in (1, 400, 800, 2000, 4000)] == [1000, 1000, 500, 200, 200]


@pytest.mark.parametrize(("bend", "expected"), [(0.0, False), (0.2, False), (1.0, True)])
def test_a_parabola_is_lopsided_where_it_bends_enough(bend, expected):
    laid, _ = lay_out({"x": Measured(1.0, 0.1)}, 0, probes=True)
    z = (laid["x"] - 1.0) / 0.1
    assert bool(lopsided(z + 0.5 * bend * z**2)) is expected
    assert not lopsided(np.zeros_like(z) + 3.0)


def test_a_kink_is_lopsided():
    laid, _ = lay_out({"x": Measured(1.0, 0.1)}, 0, probes=True)
    assert lopsided(np.minimum(laid["x"], 1.0))
    assert lopsided(np.where(laid["x"] > 1.15, np.nan, laid["x"]))


def test_a_change_that_is_rounding_alone_is_not_uneven():
    aircraft = replace(aeroplane(AREA), empty=Mass(Measured(310.0, 0.5), 0.3))
    parts = [Add(name=f"part {k}", mass=mass, arm=1.07) for k, mass in enumerate((6.93, 7.36, 8.54, 6.92))]
    parts.append(Remove(name="all of them", mass=29.75, arm=1.07))
    answer = compare(aircraft, (Option("nothing", tuple(parts)),), (LOADING,), (CONDITION,), measures=MEASURES)
    assert "spread-drawn" not in codes(answer)
