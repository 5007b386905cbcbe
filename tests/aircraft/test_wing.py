"""Mean aerodynamic chord: the formulas against their integrals, a worked example, and the wing that has them."""

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.integrate import quad

from climbwright.aircraft.description import Planform, Wing
from climbwright.aircraft.wing import mean_chord, mean_chord_arm
from climbwright.answers.spread import lay_out
from climbwright.arrays import Measured

WINGS = [
    # span, root, tip, sweep of the leading edge in degrees, arm of the root's leading edge
    (9.9, 1.60, 1.10, 0.0, 0.0),
    (9.9, 1.60, 1.10, 6.0, 0.35),
    (10.6, 1.45, 1.45, -3.0, -0.2),
    (7.0, 2.4, 0.0, 45.0, 1.0),
    (8.4, 0.9, 1.3, 12.0, 0.1),
]


def integrals(span, root, tip, sweep, arm):
    """Mean chord, and the arm of its leading edge as the mean of all leading edges weighted with their chords."""
    half = span / 2.0

    def chord(y):
        return root + (tip - root) * y / half

    area = quad(chord, 0.0, half)[0]
    squares = quad(lambda y: chord(y) ** 2, 0.0, half)[0]
    edges = quad(lambda y: chord(y) * (arm + y * math.tan(math.radians(sweep))), 0.0, half)[0]
    return squares / area, edges / area


@pytest.mark.parametrize("wing", WINGS)
def test_agrees_with_the_integral_of_the_chord_squared(wing):
    span, root, tip, sweep, arm = wing
    expected = integrals(*wing)
    assert_allclose(mean_chord(root, tip), expected[0], rtol=1e-12)
    assert_allclose(mean_chord_arm(span, root, tip, math.radians(sweep), arm), expected[1], rtol=1e-12, atol=1e-12)


def test_a_worked_example():
    """Example of a public program for mean chords, simple tapered wing (seen): 400 and 200 long, 600 back over 1000.

    Printed: length 311.1111, its leading edge at 266.6667, 444.4444 out.
    """
    assert_allclose(mean_chord(400.0, 200.0), 311.1111, rtol=0.0, atol=5e-5)
    assert_allclose(mean_chord_arm(2000.0, 400.0, 200.0, math.atan(0.6), 0.0), 266.6667, rtol=0.0, atol=5e-5)


def test_a_wing_without_taper_is_its_own_mean_chord():
    assert_allclose(mean_chord(1.4, 1.4), 1.4, rtol=1e-15)
    assert_allclose(mean_chord_arm(10.0, 1.4, 1.4, 0.0, -0.3), -0.3, rtol=1e-15)


def test_many_wings_at_once():
    tips = np.array([0.0, 0.8, 1.6])
    assert_allclose(mean_chord(1.6, tips), [mean_chord(1.6, tip) for tip in tips], rtol=1e-15)


def test_a_wing_works_out_its_mean_chord():
    span, root, tip, sweep, arm = WINGS[1]
    chord, edge = integrals(*WINGS[1])
    wing = Wing(13.4, span, planform=Planform(root, tip, arm, math.radians(sweep)))
    assert_allclose([wing.chord, wing.leading_edge_arm], [chord, edge], rtol=1e-12)
    unswept = Wing(13.4, span, planform=Planform(root, tip, arm))
    assert_allclose([unswept.chord, unswept.leading_edge_arm], [chord, arm], rtol=1e-12)


def test_an_uncertain_wing_waits_until_it_is_laid_out():
    wing = Wing(13.4, Measured(9.9, 0.1), planform=Planform(Measured(1.6, 0.02), 1.1, 0.35, math.radians(6.0)))
    assert wing.chord is None
    laid, cases = lay_out(wing, axes=0)
    assert cases == 5
    each = [integrals(b, c, 1.1, 6.0, 0.35) for b, c in [(9.9, 1.6), (10.0, 1.6), (9.8, 1.6), (9.9, 1.62), (9.9, 1.58)]]
    assert_allclose(np.broadcast_to(laid.chord, 5), [chord for chord, _ in each], rtol=1e-12)
    assert_allclose(laid.leading_edge_arm, [edge for _, edge in each], rtol=1e-12)


def test_a_chord_that_is_given_stays():
    wing = Wing(13.4, 9.9, 1.35, 0.0, planform=Planform(1.6, 1.1, 0.35))
    assert (wing.chord, wing.leading_edge_arm) == (1.35, 0.0)
