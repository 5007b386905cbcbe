"""Starting values: which class leads to which number, what is listed, and what is refused without a class.

The numbers are common practice, no source (from memory): the table that the project keeps of them, typed again.
"""

from dataclasses import replace

import pytest
from numpy.testing import assert_allclose

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.aircraft import changes
from climbwright.aircraft.description import Drag, Engine, Mass, Propeller
from climbwright.aircraft.propulsion import reference_speed, settled
from climbwright.aircraft.starting_values import AIRFRAME_CLASSES, PITCH_CLASSES, complete, complete_changes
from climbwright.refusal import Refusal
from climbwright.units import parse

from .example import AEROPLANE, RPM

# class: parasite area [m2], its spread [%], span efficiency, its spread
AIRFRAMES = {
    "wire-braced-open": (0.95, 30, 0.70, 0.07),
    "strut-braced-fabric": (0.62, 25, 0.75, 0.07),
    "strut-braced-metal": (0.50, 20, 0.75, 0.07),
    "cantilever-metal": (0.40, 20, 0.78, 0.06),
    "composite": (0.28, 20, 0.78, 0.06),
    "retractable": (0.20, 20, 0.78, 0.06),
}
# class: best efficiency (7 % of it), its speed over the reference speed (0.08), static speed over rated
PITCHES = {"climb": (0.68, 0.70, 0.95), "middle": (0.71, 0.80, 0.90), "cruise": (0.74, 0.90, 0.84)}

BARE_ENGINE = Engine(power=59656.0, speed=5500.0 * RPM, reduction=2.43)
WITHOUT_SPEED = Propeller("fixed-pitch", diameter=1.62, pitch_class="middle")


def found(used):
    return {value.where: value.value for value in used}


def near(measured, value, spread):
    assert_allclose([measured.value, measured.plus_minus], [value, spread], rtol=1e-12)


def test_the_classes_are_those_of_the_table():
    assert AIRFRAME_CLASSES.keys() == AIRFRAMES.keys()
    assert PITCH_CLASSES.keys() == PITCHES.keys()


@pytest.mark.parametrize("name", AIRFRAMES)
def test_an_airframe_class_stands_in_for_the_drag(name):
    completed, used = complete(replace(AEROPLANE, drag=Drag(airframe_class=name)), "/aircraft")
    area, percent, efficiency, spread = AIRFRAMES[name]
    near(completed.drag.parasite_area, area, area * percent / 100.0)
    near(completed.drag.span_efficiency, efficiency, spread)
    assert found(used).keys() == {"/aircraft/drag/parasite_area", "/aircraft/drag/span_efficiency"}


@pytest.mark.parametrize("name", PITCHES)
def test_a_pitch_class_stands_in_for_the_propeller(name):
    bare = replace(AEROPLANE, propeller=Propeller("fixed-pitch", diameter=1.62, pitch_class=name))
    completed, used = complete(bare, "/aircraft")
    efficiency, ratio, static = PITCHES[name]
    near(completed.propeller.best_efficiency, efficiency, 0.07 * efficiency)
    near(completed.propeller.speed_ratio, ratio, 0.08)
    assert_allclose(completed.propeller.static_fraction.value, static, rtol=1e-12)
    names = {"best_efficiency", "best_efficiency_speed", "static_speed"}
    assert found(used).keys() == {f"/aircraft/propeller/{name}" for name in names}


@pytest.mark.parametrize(
    ("speed", "reduction", "diameter", "efficiency", "spread"),
    [
        ("3200 rpm", 1.0, "1.4 m", 0.62, 0.06),
        ("3200 rpm", 1.0, "140 cm", 0.62, 0.06),
        ("3400 rpm", 1.0, "1.3 m", 0.62, 0.06),
        ("3190 rpm", 1.0, "1.4 m", 0.71, 0.0497),
        ("3400 rpm", 1.0, "1.41 m", 0.71, 0.0497),
        ("5500 rpm", 2.43, "1.3 m", 0.71, 0.0497),
    ],
)
def test_a_small_fast_propeller_turned_directly_is_a_poor_one(speed, reduction, diameter, efficiency, spread):
    """The limits themselves belong to the class, as the edge reads them from a text."""
    engine = replace(AEROPLANE.engine, speed=parse(speed, "rotational speed"), reduction=reduction)
    propeller = Propeller("fixed-pitch", diameter=parse(diameter, "length"), pitch_class="middle")
    completed, _ = complete(replace(AEROPLANE, engine=engine, propeller=propeller), "")
    near(completed.propeller.best_efficiency, efficiency, spread)


@pytest.mark.parametrize(("cycle", "constant", "spread"), [("four-stroke", 0.117, 0.02), ("two-stroke", 0.16, 0.04)])
def test_an_engine_begins_at_its_cycles_lapse_and_a_tired_margin(cycle, constant, spread):
    completed, used = complete(replace(AEROPLANE, engine=replace(BARE_ENGINE, cycle=cycle)), "/aircraft")
    near(completed.engine.lapse_constant, constant, spread)
    near(completed.engine.power_margin, 0.90, 0.06)
    assert found(used).keys() == {"/aircraft/engine/lapse_constant", "/aircraft/engine/power_margin"}


def test_without_a_stall_the_clean_wing_has_a_common_lift_coefficient():
    completed, used = complete(replace(AEROPLANE, stalls=()), "/aircraft")
    near(completed.stalls[0].maximum_lift_coefficient, 1.40, 0.13)
    assert found(used).keys() == {"/aircraft/stalls/0/maximum_lift_coefficient"}


def test_an_aeroplane_without_gaps_is_left_alone():
    assert complete(AEROPLANE, "/aircraft") == (AEROPLANE, [])


def test_what_the_owner_gave_is_kept_beside_a_class():
    drag = Drag(parasite_area=0.55, airframe_class="composite")
    completed, used = complete(replace(AEROPLANE, drag=drag), "/aircraft")
    assert completed.drag.parasite_area == 0.55
    assert found(used).keys() == {"/aircraft/drag/span_efficiency"}


@pytest.mark.parametrize(
    ("aircraft", "pointer", "message"),
    [
        (replace(AEROPLANE, drag=Drag()), "/drag/parasite_area", "send parasite_area, or an airframe_class"),
        (replace(AEROPLANE, drag=Drag(parasite_area=0.6)), "/drag/span_efficiency", "send span_efficiency, or an"),
        (replace(AEROPLANE, drag=Drag(span_efficiency=0.7)), "/drag/parasite_area", "send parasite_area, or an"),
        (
            replace(AEROPLANE, propeller=Propeller("fixed-pitch")),
            "/propeller/best_efficiency",
            "send best_efficiency, or a pitch_class",
        ),
        (
            replace(AEROPLANE, propeller=Propeller("fixed-pitch", best_efficiency=0.7)),
            "/propeller/best_efficiency_speed",
            "send best_efficiency_speed, or a pitch_class",
        ),
    ],
)
def test_refuses_a_gap_that_no_class_fills(aircraft, pointer, message):
    with pytest.raises(Refusal, match=message) as refused:
        complete(aircraft, "/aircraft")
    assert refused.value.where == f"/aircraft{pointer}"


def engine_change(**given):
    return changes.EngineChange(
        name="engine",
        engine=BARE_ENGINE,
        removed=Mass(64.0, -0.6),
        fitted=Mass(70.0, -0.6),
        **given,
    )


def test_a_new_engine_begins_anew_and_takes_the_propellers_calibration_with_it():
    (completed,), used = complete_changes([engine_change()], AEROPLANE, "/changes")
    near(completed.engine.power_margin, 0.95, 0.04)
    near(completed.engine.lapse_constant, 0.117, 0.02)
    near(completed.best_efficiency, 0.71, 0.0497)
    near(completed.speed_ratio, 0.80, 0.08)
    engine = {"/changes/0/engine/lapse_constant", "/changes/0/engine/power_margin"}
    propeller = {"/changes/0/best_efficiency", "/changes/0/best_efficiency_speed", "/changes/0/static_speed"}
    assert found(used).keys() == engine | propeller


def test_what_is_known_of_the_propeller_on_the_new_engine_is_kept():
    given = {"best_efficiency": 0.72, "best_efficiency_speed": 45.0, "static_speed": 5000.0 * RPM}
    (completed,), used = complete_changes([engine_change(**given)], AEROPLANE, "/changes")
    assert {name: getattr(completed, name) for name in given} == given
    assert found(used).keys() == {"/changes/0/engine/lapse_constant", "/changes/0/engine/power_margin"}


def test_a_new_propeller_begins_at_the_class_it_states():
    change = changes.PropellerChange(
        name="prop",
        propeller=replace(WITHOUT_SPEED, pitch_class="climb"),
        removed=Mass(6.0, -1.0),
        fitted=Mass(7.0, -1.0),
    )
    (completed,), used = complete_changes([change], AEROPLANE, "/changes")
    near(completed.propeller.best_efficiency, 0.68, 0.0476)
    names = {"best_efficiency", "best_efficiency_speed", "static_speed"}
    assert found(used).keys() == {f"/changes/0/propeller/{name}" for name in names}


def test_reference_speed():
    assert_allclose(
        reference_speed(60000.0, 0.6), 0.95 * (1.5 * 60000.0 / (SEA_LEVEL_DENSITY * 0.6)) ** (1.0 / 3.0), rtol=1e-13
    )


@pytest.mark.parametrize("speed", [None, 44.0])
def test_the_owners_speed_wins_over_the_pitch_class(speed):
    propeller = replace(WITHOUT_SPEED, best_efficiency_speed=speed, speed_ratio=0.8)
    got = settled(propeller, AEROPLANE.engine, AEROPLANE.drag).best_efficiency_speed
    expected = 44.0 if speed else 0.8 * reference_speed(59656.0, 0.60)
    assert_allclose(got, expected, rtol=1e-13)
