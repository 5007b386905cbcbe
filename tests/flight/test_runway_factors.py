"""The published factors themselves, and how far the physics lands from them for a typical light aeroplane.

The leaflet is printed in steps of 0.05 and is for every light aeroplane; one step either way is its neighbourhood.
Physics lands there on the ground roll, which is what friction, slope and wind act on. On the distance to or from 50 ft,
which the leaflet means, half and more is flown, and grass does nothing to it: there the leaflet asks for more.
"""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.air.standard import SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE
from climbwright.air.state import SEA_LEVEL, Air, standard_air
from climbwright.flight.drag import Airframe
from climbwright.flight.power import altitude_lapse, power_ratio
from climbwright.flight.runway import airborne_distance, approach_distance, landing_roll, roll_terms, takeoff_roll
from climbwright.flight.runway_factors import (
    SAFETY,
    SURFACE_FACTORS,
    Factor,
    landing_factor,
    landing_scale,
    takeoff_factor,
    takeoff_scale,
)
from climbwright.flight.surfaces import SURFACES

STEP = 0.05
E0 = 1.5 * 0.71 * 0.95 * 59656.0 / 42.2  # 80 hp, margin 0.95, best efficiency 0.71 at 82 kt [N]
F0 = -E0 / (3.0 * 42.2**2)
AREA, LIFT, TOP_LIFT, HEIGHT, SCREEN = 13.4, 0.4, 1.5, 1.5, 15.24
WARM = Air(SEA_LEVEL_PRESSURE, SEA_LEVEL_TEMPERATURE + 10.0)
ANGLE = np.radians(4.0)


def distances(weight=4800.0, air=SEA_LEVEL, phi=None, slope=0.0, wind=0.0, surface="paved-dry"):
    """Take-off roll and distance to 50 ft, landing roll and distance from there, of the typical aeroplane.

    Lift-off at 1.1, obstacle at 1.2, approach at 1.3 and touchdown at 1.15 times the stall speed, flare with 0.1 more
    load, brakes after a second: common practice, no source. Wind over the lift-off or touchdown speed.
    """
    rho, sigma, phi = air.density, air.density_ratio, altitude_lapse(air.density_ratio) if phi is None else phi
    stall = np.sqrt(2.0 * weight / (rho * AREA * TOP_LIFT))
    airframe, ground = Airframe(weight, 0.60, 9.9, 0.74), SURFACES[surface]
    e, f = E0 * phi, F0 * sigma

    free = roll_terms(airframe, AREA, LIFT, HEIGHT, rho, ground.rolling_friction.value, slope, e, f)
    lift_off, over, mean = 1.1 * stall, 1.2 * stall, 1.15 * stall
    roll = takeoff_roll(free, lift_off, wind * lift_off)
    excess = e + f * mean**2 - airframe.drag(mean, rho)
    climb = airborne_distance(excess, weight, lift_off, over, SCREEN, wind * lift_off, slope)

    braked = roll_terms(airframe, AREA, LIFT, HEIGHT, rho, ground.braking_friction.value, slope)
    touchdown = 1.15 * stall
    stop = landing_roll(braked, touchdown, 1.0, wind * touchdown)
    descent = approach_distance(SCREEN, 1.3 * stall, touchdown, ANGLE, 0.1, wind * touchdown, slope)
    return np.array([roll, roll + climb, stop, stop + descent])


def growth(**change):
    return distances(**change) / distances()


# What changes; the published pair; steps of 0.05 that the rolls may be away from it
CHANGES = {
    "weight": ({"weight": 5280.0}, takeoff_scale(1.1), landing_scale(1.1), 1.0),
    "elevation": ({"air": standard_air(304.8)}, takeoff_scale(1.0, 304.8), landing_scale(1.0, 304.8), 1.0),
    "warmth": ({"air": WARM}, takeoff_scale(1.0, 0.0, 10.0), landing_scale(1.0, 0.0, 10.0), 1.0),
    "warmth, power by pressure and temperature": (
        {"air": WARM, "phi": power_ratio(WARM)},
        takeoff_scale(1.0, 0.0, 10.0),
        landing_scale(1.0, 0.0, 10.0),
        1.0,
    ),
    "uphill": ({"slope": 0.02}, takeoff_factor(1.0, 0.02), None, 1.0),
    "downhill": ({"slope": -0.02}, None, landing_factor(1.0, -0.02), 1.0),
    "tailwind": ({"wind": -0.1}, takeoff_factor(1.0, 0.0, -0.1), landing_factor(1.0, 0.0, -0.1), 1.0),
    "dry grass": ({"surface": "short-dry-grass"}, 1.20, 1.15, 1.0),
    "wet grass": ({"surface": "short-wet-grass"}, 1.30, 1.60, 2.0),  # 1.60 is a rounded 'as much as'
}
changes = pytest.mark.parametrize(
    ("change", "takeoff", "landing", "steps"), CHANGES.values(), ids=[name.replace(" ", "-") for name in CHANGES]
)


@changes
def test_rolls_land_in_the_neighbourhood_of_the_published_factors(change, takeoff, landing, steps):
    roll, _, stop, _ = growth(**change)
    for got, published in ((roll, takeoff), (stop, landing)):
        if published is not None:
            assert abs(got - published) <= steps * STEP


@changes
def test_over_the_obstacle_the_published_factor_is_the_more_careful(change, takeoff, landing, steps):
    """Except for what slopes and weight do in the air, and there by less than a step at take-off."""
    _, distance, _, landed = growth(**change)
    if takeoff is not None:
        assert 1.0 < distance <= takeoff + 0.5 * STEP
    if landing is not None and change != {"slope": -0.02}:
        assert 1.0 < landed < landing


def test_downhill_the_descent_stretches_more_than_the_leaflet_allows():
    """Ground that falls away by 2 % below a path of 4 degrees: tan 4°/(tan 4° - 0.02) = 1.40 on the descent.

    The leaflet's 1.10 is for roll and descent together: at flat approaches it is too little. Less than 1.40, because
    the flare from a flatter path is shorter and the roll grows by little.
    """
    _, _, stop, landed = growth(slope=-0.02)
    steepest = np.tan(ANGLE) / (np.tan(ANGLE) - 0.02)
    assert 1.0 < stop < 1.10
    assert 1.10 + STEP < landed < steepest


def test_long_grass_drags_more_than_the_published_factor_and_soft_ground_much_more():
    """Both are published for grass up to 20 cm and as 'or more'; friction of long grass and soft ground is as seen."""
    assert 1.20 + STEP < growth(surface="long-grass")[0] < growth(surface="long-wet-grass")[0]
    assert growth(surface="long-wet-grass")[1] < 1.30
    assert growth(surface="soft")[1] > 1.25
    assert SURFACE_FACTORS["soft"].at_least


@pytest.mark.parametrize(
    ("change", "low", "high"),
    [
        # acceleration is (T - R) g/W; rolling and air resistance R take a third of the thrust at most
        ({"weight": 5280.0}, 1.1**2, 1.1**2.5),
        ({"air": standard_air(304.8)}, 1.0, 1.5),
        ({"air": WARM}, 1.0, 1.5),
    ],
    ids=["weight", "elevation", "warmth"],
)
def test_rolls_lie_between_bounds_from_first_principles(change, low, high):
    """V² goes with W and 1/sigma; acceleration with thrust over weight, to a power of 1 to 1.5 for what R takes."""
    if "air" in change:
        sigma = change["air"].density_ratio
        phi = altitude_lapse(sigma)
        low, high = 1.0 / (sigma * phi**low), 1.0 / (sigma * phi**high)
    assert low < growth(**change)[0] < high


def test_slope_and_tailwind_lie_between_bounds_from_first_principles():
    """Slope takes 0.02 g from an acceleration between those at rest and at lift-off; a tailwind gives (1.1)²."""
    free = roll_terms(Airframe(4800.0, 0.60, 9.9, 0.74), AREA, LIFT, HEIGHT, 1.225, 0.03, 0.0, E0, F0)
    lift_off = 1.1 * np.sqrt(2.0 * 4800.0 / (1.225 * AREA * TOP_LIFT))
    loss = 0.02 * 9.80665 / np.array([free.acceleration(0.0), free.acceleration(lift_off)])
    low, high = 1.0 / (1.0 - loss)
    assert low < growth(slope=0.02)[0] < high
    assert 1.19 < growth(wind=-0.1)[0] < 1.21


def test_surfaces_have_the_same_names_in_both_tables():
    assert SURFACE_FACTORS.keys() == SURFACES.keys()
    assert all(isinstance(factor, Factor) and factor.source for factor in SURFACE_FACTORS.values())


def test_factors_of_nothing_adverse():
    assert takeoff_factor(1.0) == landing_factor(1.0) == takeoff_scale(1.0) == landing_scale(1.0) == 1.0


@given(st.floats(1.0, 1.6), st.floats(0.0, 0.1), st.floats(0.0, 0.5))
def test_no_credit_for_what_helps(surface, slope, wind):
    assert takeoff_factor(surface, -slope, wind) == surface
    assert landing_factor(surface, slope, wind) == surface


@given(st.floats(1.0, 1.6), st.floats(0.0, 0.1), st.floats(0.0, 0.5))
def test_factors_multiply_and_grow_in_proportion(surface, slope, tail):
    expected = surface * (1.0 + 5.0 * slope) * (1.0 + 2.0 * tail)
    assert_allclose(takeoff_factor(surface, slope, -tail), expected, rtol=1e-13)
    assert_allclose(landing_factor(surface, -slope, -tail), expected, rtol=1e-13)


@given(st.floats(0.7, 1.3), st.floats(-2000.0, 3000.0), st.floats(-30.0, 40.0))
def test_scales_undo_themselves_and_split(ratio, higher, warmer):
    back = 2.0 - ratio  # as many tenths less
    assert_allclose(takeoff_scale(ratio, higher, warmer) * takeoff_scale(back, -higher, -warmer), 1.0, rtol=1e-13)
    parts = landing_scale(ratio) * landing_scale(1.0, higher) * landing_scale(1.0, 0.0, warmer)
    assert_allclose(landing_scale(ratio, higher, warmer), parts, rtol=1e-13)


def test_safety_factors():
    assert (SAFETY.takeoff, SAFETY.landing) == (1.33, 1.43)
