"""Numbers in, numbers out: scalars, broadcasting, nothing at all, and whole numbers, for every public function."""

import importlib
import inspect
import pkgutil
from functools import cached_property

import numpy as np
import pytest
from numpy.testing import assert_allclose

import climbwright.air
import climbwright.aircraft
import climbwright.flight

from .calls import CALLS, NOT_NUMBERS

ROOMS = [climbwright.air, climbwright.aircraft, climbwright.flight]
every = pytest.mark.parametrize(("function", "numbers"), CALLS.values(), ids=CALLS)


def public_functions():
    """Dotted names of all functions that the rooms' modules publish, and of the methods of their classes."""
    for room in ROOMS:
        for found in pkgutil.iter_modules(room.__path__, room.__name__ + "."):
            module = importlib.import_module(found.name)
            where = found.name.removeprefix("climbwright.")
            for name in module.__all__:
                thing = getattr(module, name)
                if inspect.isfunction(thing):
                    yield f"{where}.{name}"
                elif inspect.isclass(thing):
                    yield from (f"{where}.{name}.{method}" for method in computing(thing))


def computing(kind):
    return [
        name
        for name, member in vars(kind).items()
        if not name.startswith("_") and (inspect.isfunction(member) or isinstance(member, property | cached_property))
    ]


def in_table(name):
    return any(row == name or row.startswith((f"{name}.", f"{name} ")) for row in CALLS)


def test_every_public_function_is_in_the_table():
    public = set(public_functions())
    assert "flight.fixed_pitch.FixedPitch.service_ceiling" in public  # the search itself finds methods
    assert {name for name in public - NOT_NUMBERS if not in_table(name)} == set()
    assert public >= NOT_NUMBERS


@every
def test_numbers_give_a_number(function, numbers):
    got = function(*map(float, numbers))
    assert type(got) in (np.float64, float)
    assert np.isfinite(got)


@every
def test_whole_numbers_are_not_truncated(function, numbers):
    assert_allclose(function(*numbers), function(*map(float, numbers)), rtol=1e-15)
    arrays = [np.array([number, number]) for number in numbers]
    assert_allclose(function(*arrays), np.full(2, function(*map(float, numbers))), rtol=1e-14)


@every
def test_columns_and_rows_broadcast(function, numbers):
    """A column in each place against a row in another; one place alone takes both in turn."""
    for place in range(len(numbers)):
        arguments = [float(number) for number in numbers]
        arguments[place] = np.full((3, 1), arguments[place])
        if len(numbers) > 1:
            other = (place + 1) % len(numbers)
            arguments[other] = np.full(4, arguments[other])
        expected = (3, 4) if len(numbers) > 1 else (3, 1)
        got = function(*arguments)
        assert np.shape(got) == expected
        assert got.dtype == np.float64
        assert_allclose(got, np.full(expected, function(*map(float, numbers))), rtol=1e-14)


@every
def test_nothing_in_nothing_out(function, numbers):
    for place in range(len(numbers)):
        arguments = [float(number) for number in numbers]
        arguments[place] = np.empty(0)
        assert np.shape(function(*arguments)) == (0,)


@every
def test_what_comes_in_is_left_as_it_was(function, numbers):
    arguments = [np.full(2, float(number)) for number in numbers]
    function(*arguments)
    for argument, number in zip(arguments, numbers, strict=True):
        assert_allclose(argument, number, rtol=0.0)
