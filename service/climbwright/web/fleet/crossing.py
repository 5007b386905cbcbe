"""Every configuration with every condition: the rows of each, out of columns of the two."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from climbwright.web.fleet.batch import refuse_too_many
from climbwright.web.fleet.columns import Cells
from climbwright.web.fleet.paths import is_field
from climbwright.web.fleet.tables import Table, taken
from climbwright.web.problems import Problem, not_understood

__all__ = ["crossed"]

_AIR = "condition."


def crossed(table: Table, most: int) -> Table:
    """Rows of every configuration with every condition, conditions turning fastest.

    Parameters
    ----------
    table : Table
        Columns of the air have one length, those of aeroplane and loading another; in a table whose columns are all of
        one length, the shorter side is filled up with empty cells. A column that is no field goes with the side that
        it is as long as, with the configurations where both are.
    most : int
        Greatest number of rows.

    Returns
    -------
    Table
        With the rows of configuration and condition that each row is made of, counted from 1.

    Raises
    ------
    Problem
        413 more rows than allowed, 422 a side is missing, or a column is shorter than others of its side.
    """
    air = {name: cells for name, cells in table.columns.items() if name.startswith(_AIR)}
    machines = {name: cells for name, cells in table.columns.items() if name not in air}
    hours, count = _length(air, "condition"), _length(machines, "aircraft and loading")
    refuse_too_many(hours * count, most)
    row = np.arange(hours * count)
    of_machine, of_hour = row // max(hours, 1), row % max(hours, 1)
    columns = {name: cells.at(of_hour if name in air else of_machine) for name, cells in table.columns.items()}
    others: dict[str, Any] = {"configuration row": (of_machine + 1).tolist(), "condition row": (of_hour + 1).tolist()}
    for name, values in table.others.items():
        of_field = not name.startswith(_AIR)  # the name of an aeroplane, a loading or a condition
        with_machine = of_field if is_field(name) else _with_configurations(name, values, count, hours)
        others[name] = taken(values, of_machine if with_machine else of_hour)
    return Table(columns, others, row.size)


def _length(columns: Mapping[str, Cells], what: str) -> int:
    """Rows of one side: as many as its longest column has, empty cells at the end not counted."""
    if not columns:
        word = f"combine=cross needs columns of both sides, and there is none of {what}"
        raise not_understood({"columns": [word]})
    lengths = {name: _filled(len(cells), cells.cell) for name, cells in columns.items()}
    longest = max(lengths, key=lengths.__getitem__)
    for name, cells in columns.items():
        if len(cells) < lengths[longest]:
            raise _unequal(name, f"has {len(cells)} values where {longest} has {lengths[longest]}")
    return lengths[longest]


def _filled(length: int, cell: Any) -> int:
    """Length of a column without the empty cells at its end."""
    while length and _empty(cell(length - 1)):
        length -= 1
    return length


def _empty(cell: Any) -> bool:
    return cell is None or (isinstance(cell, str) and not cell.strip())


def _with_configurations(name: str, values: Any, count: int, hours: int) -> bool:
    """Which side a column that is no field goes with, by its length."""

    def cell(row: int) -> Any:
        return values[row] if isinstance(values, list) else values[row].as_py()

    length = _filled(len(values), cell)
    if length in (count, hours):
        return length == count
    raise _unequal(name, f"has {length} values, where there are {count} configurations and {hours} conditions")


def _unequal(name: str, word: str) -> Problem:
    return not_understood({"columns": {name: [word]}})
