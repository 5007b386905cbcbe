"""What the service says against what is documented: the same numbers, whatever the build."""

import csv

import pytest


def alike(got, shown, rel, absolute=None, aside="build", where=""):
    """Refuse JSON that differs from what is shown by more than a tolerance, or in anything but what is set aside."""
    if isinstance(shown, dict):
        assert got.keys() == shown.keys(), where
        for name in shown.keys() - {aside}:
            alike(got[name], shown[name], rel, absolute, aside, f"{where}/{name}")
    elif isinstance(shown, list):
        assert len(got) == len(shown), where
        for i, pair in enumerate(zip(got, shown, strict=True)):
            alike(*pair, rel, absolute, aside, f"{where}/{i}")
    elif isinstance(shown, float):
        assert got == pytest.approx(shown, rel=rel, abs=absolute), where
    else:
        assert got == shown, where


def as_documented(got, documented):
    """Refuse an answer that differs from one of the OpenAPI document by more than its six digits."""
    alike(got, documented, rel=6e-6, absolute=1e-9, aside="provenance")


def cells(text):
    """Rows of a CSV table, numbers as such."""
    return [[number(cell) for cell in row] for row in csv.reader(text.splitlines())]


def number(cell):
    try:
        return float(cell)
    except ValueError:
        return cell
