"""What a table that was read must be, whatever form it came in, and its columns read as fields."""

import numpy as np

from climbwright.answers.fleet import Faults
from climbwright.web.fleet.columns import Cells, ColumnError, checked_numbers, checked_texts
from climbwright.web.fleet.limits import Limits
from climbwright.web.fleet.tables import Table
from climbwright.web.paths import PathError, place_of
from climbwright.web.rendering.writing import json_bytes

from .documents import told

LIMITS = Limits(rows=10_000, size=1 << 20)


def check_table(table):
    """Columns of one length with cells that JSON holds; a field's column is read or its rows are marked wrong."""
    assert isinstance(table, Table)
    for name, column in table.others.items():
        assert isinstance(name, str)
        assert name.encode("utf-8", "surrogatepass")
        assert len(column) <= table.rows
    for name, cells in table.columns.items():
        assert isinstance(cells, Cells)
        assert len(cells) <= table.rows
        assert cells.numbers is None or cells.numbers.dtype == np.float64
        try:
            _field(cells, place_of(name))
        except (PathError, ColumnError) as error:
            told(str(error))


def _field(cells, place):
    faults = Faults(len(cells))
    if place.label or place.text:
        texts = checked_texts(cells, place, faults)
        assert texts.codes.shape == (len(cells),)
        assert not len(cells) or texts.codes.max() <= max(0, len(texts.values) - 1)
        return
    found = checked_numbers(cells, place, faults)
    for numbers in (found,) if isinstance(found, np.ndarray) else (found.mass, found.volume):
        if numbers is not None:
            assert numbers.shape == (len(cells), 1, 1)
            assert np.isfinite(numbers[faults.right]).all()
            assert np.isnan(numbers[~faults.right]).all()
    json_bytes({"words": [message for _, message in faults.reasons]})
