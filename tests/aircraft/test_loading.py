"""What is in the stations, the line the CG walks as fuel burns, and the worst loadings."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.description import EnvelopePoint, Limits, Mass, Station
from climbwright.aircraft.loading import (
    MOST_VARIED,
    Amount,
    between,
    burn_path,
    burned_tanks,
    load,
    loaded_mass,
    worst_loadings,
)

EMPTY = [Mass(318.0, 0.33)]
PILOT, MAIN, AUX = (
    Station("pilot", 0.46),
    Station("main", 0.61, density=720.0, unusable=2.0),
    Station("aux", 1.4, density=720.0),
)


@pytest.mark.parametrize(
    ("amount", "station", "mass"),
    [
        (None, PILOT, 0.0),
        (Amount(mass=82.0), PILOT, 82.0),
        (Amount(volume=0.060), MAIN, 43.2),
        (Amount(mass=30.0), MAIN, 30.0),
    ],
)
def test_mass_in_a_station(amount, station, mass):
    assert_allclose(loaded_mass(amount, station), mass, rtol=1e-14)


def test_a_volume_without_a_density_is_no_mass():
    assert np.isnan(loaded_mass(Amount(volume=0.060), PILOT))


def test_loads_stations_onto_the_empty_aeroplane():
    total = load(EMPTY, [PILOT, MAIN], {"pilot": Amount(mass=82.0), "main": Amount(volume=0.060)})
    # by hand: 318 * 0.33 + 82 * 0.46 + 43.2 * 0.61 = 169.012 over 443.2
    assert_allclose([total.mass, total.arm], [443.2, 169.012 / 443.2], rtol=1e-14)


def test_a_station_that_is_not_named_is_empty():
    total = load(EMPTY, [PILOT, MAIN], {})
    assert_allclose([total.mass, total.arm], [318.0, 0.33], rtol=1e-14)


def test_tanks_burn_one_after_the_other_down_to_what_cannot_be_used():
    amounts = {"pilot": Amount(mass=80.0), "main": Amount(mass=42.0), "aux": Amount(mass=10.0)}
    path = burn_path(EMPTY, [PILOT, MAIN, AUX], amounts)
    assert_allclose([point.mass for point in path], [450.0, 410.0, 400.0], rtol=1e-14)
    # moments by hand: 104.94 + 36.8 + 25.62 + 14 = 181.36; 40 kg less at 0.61; 10 kg less at 1.4
    assert_allclose([point.arm * point.mass for point in path], [181.36, 156.96, 142.96], rtol=1e-13)


def test_the_order_of_the_tanks_is_that_of_the_stations():
    amounts = {"main": Amount(mass=42.0), "aux": Amount(mass=10.0)}
    path = burn_path(EMPTY, [AUX, MAIN], amounts)
    assert_allclose([point.mass for point in path], [370.0, 360.0, 320.0], rtol=1e-14)


TANKS = [Station(name, 0.5 + 0.3 * i, density=720.0) for i, name in enumerate("abcd")]
FULL = {tank.name: Amount(mass=10.0 * (i + 1)) for i, tank in enumerate(TANKS)}


@pytest.mark.parametrize(
    ("order", "burned"),
    [
        ((), "abcd"),
        (("c",), "cabd"),
        (("d", "b"), "dbac"),
        (("d", "c", "b", "a"), "dcba"),
        (("a", "no such tank"), "abcd"),
    ],
)
def test_tanks_that_are_named_burn_first(order, burned):
    assert [tank.name for tank in burned_tanks([PILOT, *TANKS], FULL, order)] == list(burned)


@given(st.permutations("abcd"), st.integers(0, 4))
def test_the_order_changes_the_way_and_not_its_ends(order, named):
    path = burn_path(EMPTY, TANKS, FULL, order[:named])
    plain = burn_path(EMPTY, TANKS, FULL)
    for point, other in ((path[0], plain[0]), (path[-1], plain[-1])):
        assert_allclose([point.mass, point.arm], [other.mass, other.arm], rtol=1e-13)
    sequence = [*order[:named], *(name for name in "abcd" if name not in order[:named])]
    burned = [-step for step in np.diff([point.mass for point in path])]
    assert_allclose(burned, [FULL[name].mass for name in sequence], rtol=1e-12)


def test_a_tank_below_its_unusable_part_burns_nothing():
    path = burn_path(EMPTY, [MAIN], {"main": Amount(mass=1.5)})
    assert_allclose([point.mass for point in path], [319.5, 319.5], rtol=1e-14)


def test_a_tank_that_is_not_named_and_a_seat_do_not_burn():
    assert len(burn_path(EMPTY, [PILOT, MAIN, AUX], {"pilot": Amount(mass=80.0)})) == 1


@given(st.floats(0.0, 80.0), st.floats(0.0, 80.0))
def test_the_aeroplane_never_gains_mass_on_the_way(main, aux):
    path = burn_path(EMPTY, [MAIN, AUX], {"main": Amount(mass=main), "aux": Amount(mass=aux)})
    assert np.all(np.diff([point.mass for point in path]) <= 0.0)
    assert_allclose(path[-1].mass, 318.0 + min(main, 2.0), rtol=1e-14)


def test_many_loadings_at_once():
    amounts = {"main": Amount(volume=np.array([0.010, 0.060])), "aux": Amount(mass=0.0)}
    path = burn_path(EMPTY, [MAIN, AUX], amounts)
    assert_allclose(path[0].mass, [325.2, 361.2], rtol=1e-14)
    assert_allclose(path[1].mass, [320.0, 320.0], rtol=1e-14)


def test_between_the_corners_mass_and_moment_change_in_a_straight_line():
    corners = [Mass(450.0, 0.40), Mass(410.0, 0.38), Mass(400.0, 0.36)]
    points = between(corners, [435.0, 500.0])
    # quarters, then the envelope's corner masses, held to the stretch where they lie outside it
    assert_allclose(
        [p.mass for p in points], [440, 430, 420, 410, 435, 450, 407.5, 405, 402.5, 400, 410, 410], rtol=1e-13
    )
    ways = [(450.0, 180.0, 410.0, 155.8)] * 6 + [(410.0, 155.8, 400.0, 144.0)] * 6
    moments = [m0 + (p.mass - w0) / (w1 - w0) * (m1 - m0) for p, (w0, m0, w1, m1) in zip(points, ways, strict=True)]
    assert_allclose([p.mass * p.arm for p in points], moments, rtol=1e-13)


def test_a_path_of_one_point_has_nothing_between():
    assert between([Mass(450.0, 0.40)], []) == []


SEATS = Station("seats", 0.5, capacity=180.0, minimum=60.0)
FUEL = Station("fuel", 0.7, capacity=72.0, density=720.0)
BAGS = Station("bags", 1.3, capacity=20.0)
NOSE = Station("nose locker", -0.6, capacity=25.0)
PLACES = [SEATS, FUEL, BAGS, NOSE, PILOT]
HELD = {"pilot": Amount(mass=70.0)}
# invented: the forward limit rises steeply with the weight, so that the furthest forward CG is not the worst
STEEP = Limits(
    envelope=tuple(
        EnvelopePoint(mass, arm)
        for arm, mass in [(0.10, 400.0), (0.10, 440.0), (0.42, 640.0), (0.46, 640.0), (0.62, 400.0)]
    )
)


def combinations(most):
    """Mass, arm and what is held, of every combination that is light enough, by hand."""
    found = []
    for held in itertools.product((60.0, 180.0), (0.0, 72.0), (0.0, 20.0), (0.0, 25.0), (70.0,)):
        mass = 318.0 + sum(held)
        moment = 318.0 * 0.33 + sum(m * place.arm for m, place in zip(held, PLACES, strict=True))
        if mass <= most:
            found.append((mass, moment / mass, held))
    return found


def edges(mass):
    """Forward and aft limit of STEEP at a mass."""
    forward = np.interp(mass, [400.0, 440.0, 640.0], [0.10, 0.10, 0.42])
    return forward, np.interp(mass, [400.0, 640.0], [0.62, 0.46])


def test_the_worst_between_plain_limits_are_the_outermost():
    limits = Limits(maximum_mass=600.0, forward=0.3, aft=0.5)
    found = combinations(600.0)
    for worst, (mass, arm, held) in zip(
        worst_loadings(EMPTY, PLACES, HELD, limits),
        (min(found, key=lambda one: one[1]), max(found, key=lambda one: one[1])),
        strict=True,
    ):
        assert tuple(worst.held.values()) == held
        assert_allclose([worst.loaded.mass, worst.loaded.arm], [mass, arm], rtol=1e-13)


def test_the_worst_of_an_envelope_are_judged_by_the_limits_at_their_own_weight():
    found = combinations(640.0)
    forward, aft = worst_loadings(EMPTY, PLACES, HELD, STEEP)
    nearest = min(found, key=lambda one: one[1] - edges(one[0])[0])
    furthest = min(found, key=lambda one: edges(one[0])[1] - one[1])
    assert tuple(forward.held.values()) == nearest[2]
    assert tuple(aft.held.values()) == furthest[2]
    # which is another loading than the one with the CG furthest forward
    assert nearest != min(found, key=lambda one: one[1])


def test_the_envelopes_heaviest_corner_limits_the_weight_too():
    heaviest = max(mass for mass, _, _ in combinations(1e9))
    assert heaviest > 640.0
    for worst in worst_loadings(EMPTY, PLACES, HELD, STEEP):
        assert worst.loaded.mass <= 640.0
    tighter = Limits(maximum_mass=500.0, envelope=STEEP.envelope)
    for worst in worst_loadings(EMPTY, PLACES, HELD, tighter):
        assert worst.loaded.mass <= 500.0


def test_lighter_than_the_envelope_counts_by_its_lightest_corner():
    places = [Station("bags", 3.0, capacity=20.0), Station("nose locker", -2.0, capacity=20.0)]
    found = worst_loadings(EMPTY, places, {}, STEEP)  # all of them are lighter than 400 kg
    assert [tuple(worst.held.values()) for worst in found] == [(0.0, 20.0), (20.0, 0.0)]


@pytest.mark.parametrize(
    ("places", "limits"),
    [
        ([PILOT], Limits()),
        ([], Limits()),
        ([SEATS, BAGS], Limits(maximum_mass=300.0)),
        ([Station(str(i), 0.5, capacity=1.0) for i in range(MOST_VARIED + 1)], Limits()),
    ],
)
def test_no_worst_loading(places, limits):
    assert worst_loadings(EMPTY, places, HELD, limits) is None


def test_nothing_at_all_is_no_loading():
    forward, aft = worst_loadings([], [SEATS], {}, Limits(forward=0.3))
    assert forward.loaded.mass == 60.0
    assert aft.loaded.mass in (60.0, 180.0)
    assert worst_loadings([], [Station("bags", 1.0, capacity=0.0)], {}, Limits()) is None
