"""Each kind of change, what it takes with it, and that the order in which changes are written does not matter."""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.air.standard import SEA_LEVEL_DENSITY
from climbwright.aircraft import changes
from climbwright.aircraft.changes import apply
from climbwright.aircraft.description import Engine, Mass, Propeller, Station
from climbwright.refusal import Refusal

from .example import AEROPLANE, RPM

OLD, NEW = Mass(64.0, -0.62), Mass(76.0, -0.58)
BIGGER = Engine(power=88000.0, speed=5500.0 * RPM, reduction=2.43, lapse_constant=0.117, power_margin=0.95)
FITTED_PROPELLER = Propeller("fixed-pitch", diameter=1.7, best_efficiency=0.74, best_efficiency_speed=48.0)
ENGINE = changes.EngineChange(
    name="engine", engine=BIGGER, removed=OLD, fitted=NEW, best_efficiency=0.70, best_efficiency_speed=44.0
)
PROPELLER = changes.PropellerChange(
    name="propeller", propeller=FITTED_PROPELLER, removed=Mass(6.0, -1.0), fitted=Mass(9.0, -1.02)
)
ADD = changes.Add(name="panel", mass=5.0, arm=0.2)
REMOVE = changes.Remove(name="battery", mass=9.0, arm=1.1)
MOVE = changes.Move(name="strobe", mass=2.0, from_arm=3.0, to_arm=0.5)
DRAG = changes.DragChange(name="tyres", parasite_area_change=0.05)
LIFT = changes.LiftChange(name="vortex generators", maximum_lift_gain=0.1)
WING = changes.WingChange(name="tips", area=14.0, span=10.5)
BAGGAGE = changes.StationChange(name="shelf", station=Station("baggage", 0.95, capacity=15.0))
EVERY = [ADD, REMOVE, MOVE, ENGINE, PROPELLER, DRAG, LIFT, WING, BAGGAGE]


def moment(aircraft):
    return aircraft.empty.mass * aircraft.empty.arm


def test_without_changes_the_aeroplane_is_the_one_before():
    assert apply(AEROPLANE, []) == AEROPLANE


@pytest.mark.parametrize(
    ("change", "mass", "moment_change"),
    [
        (ADD, 5.0, 5.0 * 0.2),
        (REMOVE, -9.0, -9.0 * 1.1),
        (MOVE, 0.0, 2.0 * (0.5 - 3.0)),
        (ENGINE, 12.0, 76.0 * -0.58 - 64.0 * -0.62),
        (PROPELLER, 3.0, 9.0 * -1.02 - 6.0 * -1.0),
        (DRAG, 0.0, 0.0),
        (LIFT, 0.0, 0.0),
        (WING, 0.0, 0.0),
        (BAGGAGE, 0.0, 0.0),
    ],
)
def test_mass_and_moment_that_come_and_go(change, mass, moment_change):
    after = apply(AEROPLANE, [change])
    assert_allclose(after.empty.mass, 318.0 + mass, rtol=1e-14)
    assert_allclose(moment(after), 318.0 * 0.33 + moment_change, rtol=1e-13)


@pytest.mark.parametrize("change", EVERY, ids=lambda change: change.name)
def test_a_change_touches_nothing_else(change):
    touched = {
        "Add": {"empty"},
        "Remove": {"empty"},
        "Move": {"empty"},
        "EngineChange": {"empty", "engine", "propeller"},
        "PropellerChange": {"empty", "propeller"},
        "DragChange": {"drag"},
        "LiftChange": {"stalls"},
        "WingChange": {"wing", "stalls"},
        "StationChange": {"stations"},
    }[type(change).__name__]
    after = apply(AEROPLANE, [change])
    different = {name for name in AEROPLANE.__slots__ if getattr(after, name) != getattr(AEROPLANE, name)}
    assert different == touched


def test_the_aeroplane_before_is_left_as_it_was():
    before = replace(AEROPLANE)
    apply(AEROPLANE, EVERY)
    assert before == AEROPLANE


def test_an_engine_takes_the_old_ones_calibration_with_it():
    after = apply(AEROPLANE, [ENGINE])
    assert (after.engine.lapse_constant, after.engine.power_margin) == (0.117, 0.95)
    assert (after.propeller.best_efficiency, after.propeller.best_efficiency_speed) == (0.70, 44.0)
    assert after.propeller.static_speed is None
    assert after.propeller.diameter == AEROPLANE.propeller.diameter
    assert (after.drag, after.stalls, after.airspeed_correction) == (
        AEROPLANE.drag,
        AEROPLANE.stalls,
        AEROPLANE.airspeed_correction,
    )


def test_a_propeller_brings_its_own_efficiency_and_leaves_the_engine():
    after = apply(AEROPLANE, [PROPELLER])
    assert after.propeller == FITTED_PROPELLER
    assert after.engine == AEROPLANE.engine


def test_engine_and_propeller_together():
    after = apply(AEROPLANE, [PROPELLER, ENGINE])
    assert after.propeller == FITTED_PROPELLER
    assert after.engine == replace(BIGGER, power_limit=AEROPLANE.engine.power_limit)


@pytest.mark.parametrize(("given_limit", "kept"), [(None, 90000.0), (120000.0, 120000.0)])
def test_the_mounts_power_limit_stays_with_the_mount_unless_a_new_one_is_stated(given_limit, kept):
    change = replace(ENGINE, engine=replace(BIGGER, power_limit=given_limit))
    assert apply(AEROPLANE, [change]).engine.power_limit == kept


def test_a_pitch_class_places_the_best_speed_for_the_new_engine():
    change = replace(ENGINE, best_efficiency=0.71, best_efficiency_speed=None, speed_ratio=0.8)
    after = apply(AEROPLANE, [change])
    # 0.8 * 0.95 * (1.5 * 88000 / (SEA_LEVEL_DENSITY * 0.60))^(1/3)
    assert_allclose(
        after.propeller.best_efficiency_speed,
        0.8 * 0.95 * (132000.0 / (SEA_LEVEL_DENSITY * 0.60)) ** (1.0 / 3.0),
        rtol=1e-12,
    )


def test_a_constant_efficiency_stays_with_a_new_engine():
    even = replace(AEROPLANE, propeller=Propeller("constant-efficiency", diameter=1.7, efficiency=0.78))
    assert apply(even, [ENGINE]).propeller == even.propeller


def test_nearly_all_parasite_area_may_go():
    assert_allclose(apply(AEROPLANE, [replace(DRAG, parasite_area_change=-0.595)]).drag.parasite_area, 0.005, rtol=1e-9)


def test_drag_adds_to_the_parasite_area():
    twice = replace(DRAG, name="steps", parasite_area_change=-0.02)
    assert_allclose(apply(AEROPLANE, [DRAG, twice]).drag.parasite_area, 0.63, rtol=1e-14)


@pytest.mark.parametrize(("configuration", "gains"), [(None, [0.1, 0.1]), ("clean", [0.1, 0.0]), ("flaps", [0.0, 0.1])])
def test_lift_gains_of_all_or_of_one_configuration(configuration, gains):
    after = apply(AEROPLANE, [replace(LIFT, configuration=configuration)])
    assert_allclose([stall.lift_gain for stall in after.stalls], gains, atol=1e-15)


def test_two_lift_gains_multiply():
    after = apply(AEROPLANE, [LIFT, replace(LIFT, name="cuffs", maximum_lift_gain=0.2)])
    assert_allclose([stall.lift_gain for stall in after.stalls], [0.32, 0.32], rtol=1e-13)


def test_a_larger_wing_stalls_slower_at_the_same_lift_coefficient():
    after = apply(AEROPLANE, [replace(WING, area=4.0 * 13.4)])
    assert_allclose(after.stalls[0].speed, 10.0, rtol=1e-14)
    assert after.stalls[1] == AEROPLANE.stalls[1]
    assert (after.wing.chord, after.wing.leading_edge_arm) == (1.35, 0.0)


def test_a_span_alone_leaves_the_stalls():
    after = apply(AEROPLANE, [changes.WingChange(name="tips", span=10.5)])
    assert after.wing.span == 10.5
    assert_allclose(after.stalls[0].speed, 20.0, rtol=1e-15)


def test_a_station_is_new_or_takes_the_place_of_its_namesake():
    assert [s.name for s in apply(AEROPLANE, [BAGGAGE]).stations] == ["pilot", "passenger", "fuel", "baggage"]
    moved = changes.StationChange(name="seat", station=Station("passenger", 0.9))
    after = apply(AEROPLANE, [moved])
    assert [(s.name, s.arm) for s in after.stations] == [("pilot", 0.46), ("passenger", 0.9), ("fuel", 0.61)]


@pytest.mark.parametrize("order", list(permutations(range(9)))[::9973])
def test_the_order_of_the_list_does_not_matter(order):
    first, other = apply(AEROPLANE, EVERY), apply(AEROPLANE, [EVERY[i] for i in order])
    assert_allclose([other.empty.mass, other.empty.arm], [first.empty.mass, first.empty.arm], rtol=1e-13)
    same = ("engine", "propeller", "drag", "stalls", "wing", "stations")
    assert [getattr(other, name) for name in same] == [getattr(first, name) for name in same]


@pytest.mark.parametrize(
    "order",
    list(
        permutations(
            [
                ENGINE,
                DRAG,
                replace(PROPELLER, propeller=Propeller("fixed-pitch", best_efficiency=0.72, speed_ratio=0.9)),
            ]
        )
    ),
)
def test_the_order_does_not_matter_where_a_pitch_class_places_the_speed(order):
    after = apply(AEROPLANE, list(order))
    # of the new engine on the airframe as it was described, wherever the drag stands in the list
    expected = 0.9 * 0.95 * (1.5 * 88000.0 / (SEA_LEVEL_DENSITY * 0.60)) ** (1.0 / 3.0)
    assert_allclose(after.propeller.best_efficiency_speed, expected, rtol=1e-12)


def test_arrays_of_changes_broadcast():
    after = apply(
        AEROPLANE,
        [replace(ADD, mass=np.array([0.0, 5.0])), replace(DRAG, parasite_area_change=np.array([[0.0], [0.1]]))],
    )
    assert_allclose(after.empty.mass, [318.0, 323.0])
    assert_allclose(after.drag.parasite_area, [[0.60], [0.70]])


@pytest.mark.parametrize(
    ("change", "pointer", "message"),
    [
        (replace(LIFT, configuration="slats"), "/1/configuration", "no such configuration: use one of clean, flaps"),
        (replace(DRAG, parasite_area_change=-0.60), "", "more parasite area than the aeroplane has"),
        (replace(DRAG, parasite_area_change=np.array([0.0, -0.7])), "", "more parasite area than the aeroplane has"),
        (replace(REMOVE, mass=323.0), "", "more than the empty aeroplane weighs"),
        (replace(ENGINE, removed=Mass(640.0, -0.6)), "", "more than the empty aeroplane weighs"),
    ],
)
def test_refuses_what_cannot_be(change, pointer, message):
    with pytest.raises(Refusal, match=message) as refused:
        apply(AEROPLANE, [ADD, change], "/options/0/changes")
    assert refused.value.where == f"/options/0/changes{pointer}"


def test_an_aeroplane_is_weighed_before_it_is_changed():
    with pytest.raises(ValueError, match="weigh the aeroplane before changing it"):
        apply(replace(AEROPLANE, empty=None), [ADD])
