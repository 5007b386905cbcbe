"""The readers of bad input under twenty thousand cases each, and under every case that once was wrong."""

import importlib

import pytest

from .__main__ import NAMES
from .mutating import cases
from .target import watched

CASES = 20_000
SEED = 2026
TARGETS = {name: importlib.import_module(f".targets.{name}", __package__).TARGET for name in NAMES}
FINDS = [(name, find) for name, target in TARGETS.items() for find in target.finds()]


@pytest.mark.parametrize("name", NAMES)
def test_seeds_and_cases_made_of_them(name):
    target = TARGETS[name]
    for case in (*target.seeds, *cases(target, CASES, SEED)):
        try:
            watched(target, case)
        except BaseException as error:
            error.add_note(f"the case, for tests/fuzz/corpus/{name}: {case!r}")
            raise


@pytest.mark.parametrize(("name", "find"), FINDS, ids=[f"{name}-{find.name}" for name, find in FINDS])
def test_what_once_was_wrong(name, find):
    watched(TARGETS[name], find.read_bytes())
