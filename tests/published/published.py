"""Reads the tables of published values beside it, and puts an SI number into the unit a page prints."""

import csv
from pathlib import Path

import pint

HERE = Path(__file__).parent
registry = pint.UnitRegistry()


def _read(path):
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def published(name):
    """Rows with id, inputs, expected, tolerance, source, and seen or memory."""
    return _read(HERE / name)


def data(name):
    """Rows of a companion table, every filled cell a number."""
    return [{key: _number(cell) for key, cell in row.items()} for row in _read(HERE / "data" / name)]


def named(row):
    """What pytest calls a case."""
    return "-".join([row["id"], row["quantity"]] if "quantity" in row else [row["id"]])


def si(value, unit):
    """A number in a printed unit as SI."""
    return registry.Quantity(float(value), unit).to_base_units().magnitude


def shown(value, si_unit, unit):
    """An SI number in a printed unit."""
    return registry.Quantity(value, si_unit).to(unit).magnitude


def _number(cell):
    try:
        return float(cell)
    except ValueError:
        return cell
