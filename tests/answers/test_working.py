"""The chain of steps: formulas are evaluated as a person reads them, and only what is needed is kept."""

import math

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.answers.working.step import CONSTANTS, FUNCTIONS, Chain, compiled


@pytest.mark.parametrize(
    ("formula", "numbers", "expected"),
    [
        ("a + b*c", (2.0, 3.0, 4.0), 14.0),
        ("-a^2", (3.0,), -9.0),  # a power before a sign, as in print
        ("a^(1/4)", (16.0,), 2.0),
        ("a^b^2", (2.0, 3.0), 512.0),  # powers from the right
        ("a/b/c", (12.0, 3.0, 2.0), 2.0),
        ("cbrt(a) + sqrt(b)", (-27.0, 16.0), 1.0),
        ("sin(a)^2 + cos(a)^2", (0.7,), 1.0),
        ("tan(a)", (math.pi / 4.0,), 1.0),
        ("asin(a) + atan(b)", (1.0, 1.0), 0.75 * math.pi),
        ("exp(ln(a))", (5.0,), 5.0),
        ("min(max(a, b), c)", (1.0, 9.0, 4.0), 4.0),
        ("abs(a)*pi", (-2.0,), 2.0 * math.pi),
    ],
)
def test_formulas_read_as_on_paper(formula, numbers, expected):
    _, function = compiled(formula)
    assert float(function(*map(np.float64, numbers))) == pytest.approx(expected, rel=1e-12)


def test_every_other_word_is_a_symbol_in_the_order_of_the_formula():
    assert compiled("open(b)*a + sqrt(b)")[0] == ("open", "b", "a")


def test_arrays_broadcast_over_aeroplanes_loadings_and_conditions():
    chain = Chain()
    chain.give("m", np.array([[[[400.0], [500.0]]]]), "mass")  # cases, aircraft, loading, condition
    chain.give("rho", np.array([[[[1.2, 1.0, 0.9]]]]), "density")
    assert np.shape(chain.step("x", "y", "m*rho", "ratio", "definition")) == (1, 2, 3)


def test_the_central_case_is_taken():
    chain = Chain()
    chain.give("m", np.array([400.0, 410.0, 390.0]).reshape(3, 1, 1, 1), "mass")
    assert_allclose(chain.step("x", "W", "m*g", "force", "definition"), 400.0 * 9.80665)


def test_only_what_leads_to_a_wanted_measure_is_kept():
    chain = Chain()
    chain.give("a", 2.0, "ratio")
    chain.step("one", "b", "2*a", "ratio", "definition")
    chain.step("two", "c", "3*a", "ratio", "definition", ends="unwanted")
    chain.step("three", "d", "b + 1", "ratio", "definition", ends="wanted")
    assert [step.key for step in chain.needed({"wanted"})] == ["one", "three"]
    assert [step.key for step in chain.needed((), None, {"c"})] == ["two"]
    assert chain.needed(()) == []


def test_checks_follow_the_value_that_was_found():
    chain = Chain()
    chain.give("a", 2.0, "ratio")
    chain.found("root", "x", np.float64(math.sqrt(2.0)), "ratio", "definition", ends="wanted")
    chain.checking = "x"
    chain.step("check", "y", "x^2/a", "ratio", "definition")
    chain.checking = None
    chain.step("other", "z", "a + 1", "ratio", "definition", ends="other")
    assert [step.key for step in chain.needed({"wanted"})] == ["root", "check"]
    assert [step.key for step in chain.needed({"other"})] == ["other"]


def test_a_step_in_some_scenes_leaves_the_others():
    chain = Chain()
    chain.give("a", np.array([1.0, 4.0]).reshape(1, 1, 1, 2), "ratio")
    few = chain.values["a"] < 2.0
    chain.step("few", "b", "a + 10", "ratio", "definition", only=few)
    both = chain.step("many", "b", "a + 20", "ratio", "definition", only=~few)
    assert both.ravel().tolist() == [11.0, 24.0]
    chain.step("sum", "c", "2*b", "ratio", "definition", ends="wanted")
    kept = chain.needed({"wanted"}, {"wanted": np.array([[[True, False]]])})
    assert [step.key for step in kept if np.any(step.only)] == ["few", "sum"]


def test_no_symbol_is_a_function():
    assert not CONSTANTS.keys() & FUNCTIONS.keys()
