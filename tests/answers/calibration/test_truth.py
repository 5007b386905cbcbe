"""Synthetic truth: invented aeroplanes whose true numbers are known, and how often the fit says so.

Three published seeds, each of a thousand aeroplanes where CLIMBWRIGHT_CALIBRATION_CASES is 1000; a run without it takes
fewer, and its bands are wider by three standard errors of so many draws. A normal spread holds 68.3 % within one and
95.4 % within two.
"""

import os
from dataclasses import replace

import numpy as np
import pytest

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import EngineChange, PropellerChange
from climbwright.aircraft.description import Engine, Mass, Propeller
from climbwright.aircraft.loading import Amount, Loading
from climbwright.aircraft.propulsion import settled
from climbwright.aircraft.starting_values import complete_changes
from climbwright.answers.calibration.calibrate import learn
from climbwright.answers.calibration.report import calibrate
from climbwright.answers.comparison import compare
from climbwright.answers.question import Option, weighed_and_settled
from climbwright.answers.spread import placed, uncertain

from .crowd import case

CASES = int(os.environ.get("CLIMBWRIGHT_CALIBRATION_CASES", "100"))
SEEDS = (20260101, 20260202, 20260303)


def strays(seed, count, wider=1.0):
    """How far each true number lies from what was learned, in spreads, and how many sets had anything doubted."""
    rng = np.random.default_rng(seed)
    found, doubted = [], 0
    for _ in range(CASES):
        one = case(rng, count, wider)
        learned = learn(one.aircraft, one.observations)
        found.append([(true - n.value) / n.plus_minus for true, n in zip(one.truth, learned.numbers, strict=True)])
        doubted += bool(learned.doubts)
    return np.abs(np.array(found)), doubted


def allowance(share, cases):
    """Three standard errors of a share of so many draws beyond those of a thousand, which the band allows for."""
    return 3.0 * np.sqrt(share * (1.0 - share)) * max(0.0, 1.0 / np.sqrt(cases) - 1.0 / np.sqrt(1000.0))


@pytest.mark.parametrize("count", [6, 12])
def test_the_truth_lies_within_the_spread_as_often_as_it_should(count):
    found = [strays(seed, count) for seed in SEEDS]
    away = np.concatenate([each for each, _ in found])
    one, two = (away < 1.0).mean(axis=0), (away < 2.0).mean(axis=0)
    near, far = allowance(0.683, len(away)), allowance(0.954, len(away))
    assert np.all((one > 0.64 - near) & (one < 0.73 + near)), one
    assert np.all((two > 0.935 - far) & (two < 0.97 + far)), two
    assert sum(doubted for _, doubted in found) / len(away) <= 0.10


SCENE = (Condition(name="hot", pressure_altitude=2000.0, temperature_offset=20.0),)
TWO_UP = (Loading("two-up", {"seats": Amount(mass=170.0)}),)


def forecast(one, rng, keep=False):
    """How far the true best climb with a new engine and propeller lies from its forecast, in spreads."""
    engine = Engine(power=one.aircraft.engine.power * rng.uniform(1.1, 1.35), reduction=1.8, cycle="four-stroke")
    pitch = str(rng.choice(["climb", "middle", "cruise"]))
    propeller = Propeller(kind="fixed-pitch", diameter=1.75, pitch_class=pitch)
    changes = (
        EngineChange(name="engine", engine=engine, removed=Mass(60.0, -0.5), fitted=Mass(70.0, -0.5)),
        PropellerChange(name="propeller", propeller=propeller, removed=Mass(5.0, -1.0), fitted=Mass(6.0, -1.0)),
    )
    learned = calibrate(one.aircraft, one.observations).aircraft
    planned = _kept(changes, learned) if keep else changes
    expected, spread = _new_climb(learned, planned)
    really, _ = complete_changes(changes, one.true_aircraft, "")
    drawn = [n.value + n.plus_minus * rng.standard_normal() for n in uncertain(really)]
    fitted, turned = placed(really, drawn)
    turned = replace(turned, propeller=_settled(turned.propeller, fitted.engine, one.true_aircraft))
    true = weighed_and_settled(one.true_aircraft, "")
    bare = replace(true, propeller=_bare(true.propeller))
    return (_new_climb(bare, (fitted, turned))[0] - expected) / spread


def _kept(changes, learned):
    """The old fit on the new engine and propeller, as someone would have it who takes nothing back."""
    old_engine, old = learned.engine, learned.propeller
    engine = replace(changes[0].engine, power_margin=old_engine.power_margin, lapse_constant=old_engine.lapse_constant)
    propeller = replace(
        changes[1].propeller, best_efficiency=old.best_efficiency, best_efficiency_speed=old.best_efficiency_speed
    )
    return replace(changes[0], engine=engine), replace(changes[1], propeller=propeller)


def _new_climb(aircraft, changes):
    answer = compare(aircraft, (Option("new", tuple(changes)),), TWO_UP, SCENE)
    row = answer.names.index("best_climb_rate")
    spread = None if answer.values.spread is None else answer.values.spread[row, 1, 0, 0]
    return answer.values.value[row, 1, 0, 0], spread


def _settled(propeller, engine, aircraft):
    return _bare(settled(propeller, engine, aircraft.drag))


def _bare(propeller):
    return replace(propeller, speed_ratio=None, static_speed=None, static_fraction=None, pitch_class=None)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_forecast_of_the_changed_aeroplane_is_as_sure_as_it_says(seed):
    rng = np.random.default_rng(seed)
    away = np.abs([forecast(case(rng, 12), rng) for _ in range(CASES)])
    assert 0.62 - allowance(0.683, CASES) < (away < 1.0).mean() < 0.74 + allowance(0.683, CASES)
    assert 0.92 - allowance(0.954, CASES) < (away < 2.0).mean() < 0.98 + allowance(0.954, CASES)


def test_a_forecast_that_keeps_the_old_fit_is_much_too_sure():
    rng = np.random.default_rng(SEEDS[0])
    away = np.abs([forecast(case(rng, 12), rng, keep=True) for _ in range(CASES)])
    assert (away < 1.0).mean() < 0.5


UNITS = {
    "rate": (60.0 / 0.3048, 0.3048 / 60.0),
    "speed": (1.852, 1.0 / 1.852, 1.609344, 1.0 / 1.609344),
    "sink": (60.0 / 0.3048, 0.3048 / 60.0),
    "thrust": (4.4482216152605, 1.0 / 4.4482216152605),
    "duration": (60.0, 1.0 / 60.0),
}
KNOT_FOR_MILE = 1852.0 / 1609.344


def planted(seed, count, kinds, factors):
    """Shares of sets with one wrong unit in which anything is doubted, and of those in which the right one is named."""
    rng = np.random.default_rng(seed)
    found = named = 0
    for _ in range(CASES):
        one = case(rng, count)
        places = [i for i, seen in enumerate(one.observations) if kinds is None or seen.kind in kinds]
        place = int(rng.choice(places))
        wrong = one.observations[place]
        factor = float(rng.choice(factors or UNITS[wrong.measured]))
        observations = [*one.observations]
        observations[place] = replace(wrong, value=wrong.value * factor)
        doubts = learn(one.aircraft, observations).doubts
        found += bool(doubts)
        named += bool(doubts) and doubts[0].place == place
    return found / CASES, named / max(found, 1)


@pytest.mark.parametrize("count", [6, 12])
def test_a_wrong_unit_is_found_and_named(count):
    found, named = planted(SEEDS[0], count, None, None)
    assert found >= 0.95 - allowance(0.97, CASES)
    assert named >= 0.80


@pytest.mark.parametrize("count", [6, 12])
def test_knots_for_miles_an_hour_are_found_and_named(count):
    """Someone reads a level speed in miles an hour and sends it in knots."""
    found, named = planted(SEEDS[1], count, ("level",), (KNOT_FOR_MILE,))
    assert found >= 0.90 - allowance(0.93, CASES)
    assert named >= 0.80 - allowance(0.90, CASES)
