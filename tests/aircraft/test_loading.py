"""What is in the stations, and the line the CG walks as fuel burns."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.aircraft.description import Mass, Station
from climbwright.aircraft.loading import Amount, between, burn_path, load, loaded_mass

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
