"""Spreads: laid out along one axis, against many draws and against the rules of error propagation."""

from dataclasses import dataclass

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.answers.single import answer_with_spread
from climbwright.answers.spread import lay_out, standard_deviation
from climbwright.arrays import Measured


@dataclass(frozen=True)
class Node:
    number: object
    inner: object = None
    name: str = ""


def test_what_is_certain_is_left_as_it_is():
    tree = Node(1.0, (Node(2.0), None), "a")
    laid, cases = lay_out(tree, axes=3)
    assert laid is tree
    assert cases == 1


def test_every_uncertain_number_has_two_cases_of_its_own():
    laid, cases = lay_out(Node(Measured(10.0, 1.0), {"a": Node(Measured(5.0, 0.5))}), axes=2)
    assert cases == 5
    assert laid.number.shape == (5, 1, 1)
    assert_allclose(laid.number.ravel(), [10, 11, 9, 10, 10])
    assert_allclose(laid.inner["a"].number.ravel(), [5, 5, 5, 5.5, 4.5])


def test_one_number_in_two_places_is_two_numbers():
    shared = Measured(1.0, 0.1)
    laid, cases = lay_out([Node(shared), Node(shared)], axes=0)
    assert cases == 5
    assert_allclose(standard_deviation(laid[0].number - laid[1].number), 0.1 * np.sqrt(2.0))


def test_a_sum_and_a_product():
    def both(given):
        return {"sum": given["a"] + given["b"], "product": given["a"] * given["b"]}

    found = answer_with_spread(both, {"a": Measured(10.0, 0.3), "b": Measured(20.0, 0.4)})
    assert_allclose([found["sum"].value, found["sum"].spread], [30.0, 0.5], rtol=1e-12)
    assert_allclose(found["product"].spread, np.hypot(20.0 * 0.3, 10.0 * 0.4), rtol=1e-12)


def test_lists_beside_a_spread():
    found = answer_with_spread(lambda g: {"y": g["a"] * g["x"]}, {"a": Measured(2.0, 0.1), "x": np.array([1.0, 3.0])})
    assert_allclose(found["y"].value, [2.0, 6.0])
    assert_allclose(found["y"].spread, [0.1, 0.3], rtol=1e-12)


def test_one_sided_where_the_other_side_does_not_exist():
    cases = np.array([4.0, 5.0, np.nan, 4.0, 4.0])
    assert_allclose(standard_deviation(cases), 1.0)
    assert np.isnan(standard_deviation(np.array([4.0, np.nan, np.nan])))


def test_rounding_is_no_spread():
    assert standard_deviation(np.array([1.0e6, 1.0e6 + 1e-10, 1.0e6])) == 0.0


def test_many_draws_agree_where_the_answer_is_nearly_linear():
    def speed(given):
        return {"v": np.sqrt(2.0 * given["m"] * 9.80665 / (1.225 * given["s"] * given["c"]))}

    inputs = {"m": Measured(500.0, 15.0), "s": Measured(13.0, 0.2), "c": Measured(1.5, 0.06)}
    draw = np.random.default_rng(20261124)
    drawn = {name: draw.normal(number.value, number.plus_minus, 200_000) for name, number in inputs.items()}
    assert answer_with_spread(speed, inputs)["v"].spread == pytest.approx(np.std(speed(drawn)["v"]), rel=0.02)
