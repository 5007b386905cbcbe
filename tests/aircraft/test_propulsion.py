"""Engine and propeller as one: the setting that a ground-adjustable propeller flies with, and where its speeds lie."""

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.optimize import brentq

from climbwright.aircraft.description import Drag, Engine, PitchSetting, Propeller
from climbwright.aircraft.propulsion import as_set, reference_speed, settled
from climbwright.refusal import Refusal

FINE = PitchSetting("fine", best_efficiency=0.68, best_efficiency_speed=34.0, static_speed=560.0, pitch_class="climb")
COARSE = PitchSetting("coarse", best_efficiency=0.74, best_efficiency_speed=46.0, static_speed=500.0)
BY_CLASS = PitchSetting("by class", pitch_class="middle")
ADJUSTABLE = Propeller("ground-adjustable", diameter=1.7, hub_height=1.2, settings=(FINE, COARSE, BY_CLASS))
OF_A_SETTING = {"best_efficiency", "best_efficiency_speed", "static_speed", "pitch_class"}


def of_setting(thing):
    return {name: getattr(thing, name) for name in OF_A_SETTING}


@pytest.mark.parametrize("setting", [FINE, COARSE, BY_CLASS], ids=lambda setting: setting.name)
def test_it_flies_with_the_setting_that_is_named(setting):
    got = as_set(replace(ADJUSTABLE, setting=setting.name))
    assert of_setting(got) == of_setting(setting)
    assert (got.setting, got.settings) == (setting.name, ())


def test_it_flies_with_the_first_where_none_is_named():
    assert as_set(ADJUSTABLE) == as_set(replace(ADJUSTABLE, setting="fine"))


def test_all_else_stays():
    got = as_set(replace(ADJUSTABLE, setting="coarse"))
    others = {field.name for field in fields(Propeller)} - OF_A_SETTING - {"setting", "settings"}
    assert {name: getattr(got, name) for name in others} == {name: getattr(ADJUSTABLE, name) for name in others}
    assert got.diameter == 1.7


def test_a_setting_does_not_inherit_what_another_or_the_propeller_says():
    """What a setting leaves out is for its own pitch class to fill."""
    spoken = replace(ADJUSTABLE, best_efficiency=0.5, best_efficiency_speed=20.0, static_speed=400.0)
    got = as_set(replace(spoken, setting="by class"))
    assert (got.best_efficiency, got.best_efficiency_speed, got.static_speed) == (None, None, None)


def test_once_set_it_stays_set():
    chosen = as_set(replace(ADJUSTABLE, setting="coarse"))
    assert as_set(chosen) == chosen


@pytest.mark.parametrize("kind", ["fixed-pitch", "constant-speed", "constant-efficiency"])
def test_a_propeller_without_settings_is_returned_as_it_is(kind):
    propeller = Propeller(kind, diameter=1.7, best_efficiency=0.7)
    assert as_set(propeller) is propeller


def test_no_such_setting():
    with pytest.raises(Refusal, match="use one of fine, coarse, by class") as refused:
        as_set(replace(ADJUSTABLE, setting="Fine"))
    assert refused.value.where == "/setting"


def test_a_setting_that_is_an_array_broadcasts_on():
    """Laid out for its spread, a setting's number stays what it is."""
    laid_out = np.array([0.70, 0.72, 0.68]).reshape(3, 1, 1, 1)
    setting = replace(FINE, best_efficiency=laid_out)
    assert as_set(replace(ADJUSTABLE, settings=(setting,))).best_efficiency is laid_out


@given(st.floats(20e3, 150e3), st.floats(0.2, 1.1))
def test_at_the_reference_speed_three_quarters_of_the_power_meet_the_parasite_drag(power, area):
    """0.95 of the speed at which three quarters of the power are the parasite drag's: (1.5 P/(rho f))^(1/3)."""
    expected = 0.95 * brentq(lambda v: 0.5 * 1.225 * v**3 * area - 0.75 * power, 1.0, 300.0)
    assert_allclose(reference_speed(power, area), expected, rtol=1e-7)


@pytest.mark.parametrize(
    ("kind", "field"),
    [
        ("fixed-pitch", "best_efficiency_speed"),
        ("ground-adjustable", "best_efficiency_speed"),
        ("constant-speed", "quality_speed"),
    ],
)
def test_a_speed_is_placed_by_its_ratio_where_none_is_given(kind, field):
    engine, drag = Engine(60e3), Drag(parasite_area=0.6)
    propeller = Propeller(kind, speed_ratio=0.8)
    got = settled(propeller, engine, drag)
    assert_allclose(getattr(got, field), 0.8 * 0.95 * (1.5 * 60e3 / (1.225 * 0.6)) ** (1.0 / 3.0), rtol=1e-7)
    assert replace(got, **{field: None}) == propeller
    given_ = replace(propeller, **{field: 44.0})
    assert settled(given_, engine, drag) is given_
    without = replace(propeller, speed_ratio=None)
    assert settled(without, engine, drag) is without
