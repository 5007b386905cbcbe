"""Every configuration with every condition: the rows of each, out of a table of the one and a table of the other."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from climbwright.web.fleet.batch import refuse_unequal
from climbwright.web.fleet.limits import Limits, refuse_too_large, refuse_too_many
from climbwright.web.fleet.tables import Table, taken
from climbwright.web.problems import Problem, not_understood

__all__ = ["crossed", "split"]

_AIR = "condition."
_ROWS = "configuration row", "condition row"  # what the answer calls the rows that one is made of, from 1


def split(table: Table) -> tuple[Table, Table]:
    """Configurations and conditions out of columns of both.

    Parameters
    ----------
    table : Table
        Columns of the air have one length, those of aeroplane and loading another. A column that is no field goes with
        the side that it is as long as, with the configurations where both are.

    Raises
    ------
    Problem
        422 a side is missing, or a column fits neither.
    """
    air = {name: cells for name, cells in table.columns.items() if name.startswith(_AIR)}
    machines = {name: cells for name, cells in table.columns.items() if name not in air}
    hours, count = _longest(air, "condition"), _longest(machines, "aircraft and loading")
    with_air: dict[str, Any] = {}
    with_machines: dict[str, Any] = {}
    for name, values in table.others.items():
        if len(values) not in (count, hours):
            word = f"has {len(values)} values, where there are {count} configurations and {hours} conditions"
            raise not_understood({"columns": {name: [word]}})
        of_air = name.startswith(_AIR) if name in table.columns else len(values) != count
        (with_air if of_air else with_machines)[name] = values
    return Table(machines, with_machines, count), Table(air, with_air, hours)


def _longest(columns: Mapping[str, Any], what: str) -> int:
    if not columns:
        word = f"combine=cross needs columns of both sides, and there is none of {what}"
        raise not_understood({"columns": [word]})
    return max(map(len, columns.values()))


def crossed(machines: Table, air: Table, limits: Limits) -> Table:
    """Rows of every configuration with every condition, conditions turning fastest.

    Parameters
    ----------
    machines, air : Table
        Configurations, and conditions.
    limits : Limits
        How large the rows may be together.

    Returns
    -------
    Table
        With the rows of configuration and condition that each row is made of, counted from 1.

    Raises
    ------
    Problem
        413 too large, 422 columns of one side differ in length, or stand on the wrong side.
    """
    for table in (machines, air):
        refuse_unequal(table)
    _refuse_misplaced(machines, air)
    refuse_too_many(machines.rows * air.rows, limits.rows)
    texts = _size(machines.others) * air.rows + _size(air.others) * machines.rows
    refuse_too_large(texts, limits.size, "the columns that go through, repeated for every row, would have")
    row = np.arange(machines.rows * air.rows)
    of_machine, of_hour = row // max(air.rows, 1), row % max(air.rows, 1)
    columns = {name: cells.at(of_machine) for name, cells in machines.columns.items()}
    columns |= {name: cells.at(of_hour) for name, cells in air.columns.items()}
    others: dict[str, Any] = dict(zip(_ROWS, ((of_machine + 1).tolist(), (of_hour + 1).tolist()), strict=True))
    others |= {name: taken(values, of_machine) for name, values in machines.others.items()}
    others |= {name: taken(values, of_hour) for name, values in air.others.items()}
    return Table(columns, others, row.size)


def _size(others: Mapping[str, Any]) -> int:
    """Bytes of columns that go through, about."""
    return sum(
        sum(len(str(cell)) for cell in column) if isinstance(column, list) else column.nbytes
        for column in others.values()
    )


def _refuse_misplaced(machines: Table, air: Table) -> None:
    for name in machines.columns:
        if name.startswith(_AIR):
            raise _wrong(name, "is of the air: send it with the conditions")
    for name in air.columns:
        if not name.startswith(_AIR):
            raise _wrong(name, "is no column of the air: send it with the configurations")
    for name in (*machines.others, *air.others):
        if name in _ROWS or (name in machines.others and name in air.others):
            raise _wrong(name, "is there twice, in the answer or on both sides: give it another name")


def _wrong(name: str, word: str) -> Problem:
    return not_understood({"columns": {name: [word]}})
