"""A partition: some rows of a file, answered by the functions that answer the body of a request."""

import sys
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from climbwright.batch.refused import Refused
from climbwright.units import display_units
from climbwright.web.build import build
from climbwright.web.fleet.batch import Batch, Wanted
from climbwright.web.fleet.limits import Limits
from climbwright.web.fleet.tables import Table, arrow_table, csv_table
from climbwright.web.fleet.writing import Answer, arrow_stream
from climbwright.web.problems import Problem

__all__ = ["Asked", "Partition", "answered"]


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of every partition; it travels to other processes and machines.

    `provenance` names the build that all of them must be, the input and what else the numbers follow from.
    """

    shared: Mapping[str, Any]
    wanted: Wanted
    units: str
    provenance: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Partition:
    """Rows of a file as the body of a request would hold them: CSV with its heading, or an Arrow stream.

    `number` counts from 0, `before` is how many rows of the file came earlier, and `step` how far the partition takes
    the reading.
    """

    number: int
    before: int
    csv: bool
    table: bytes
    step: int


def answered(asked: Asked, partition: Partition) -> bytes:
    """Answer a partition.

    Parameters
    ----------
    asked : Asked
        The same for all partitions.
    partition : Partition
        Its rows, of which those that are wrong are told in the answer's column `status`.

    Returns
    -------
    bytes
        An Arrow stream, as the fleet operation answers it.

    Raises
    ------
    Refused
        What is shared, or a column as a whole, is wrong; or this is another build than the one asked.
    """
    if build() != asked.provenance["build"]:
        raise Refused(f"a worker runs build {build()}, the command {asked.provenance['build']}: install one on both")
    try:
        table = _table(partition)
        batch = Batch(asked.shared, table, asked.wanted)
        return b"".join(arrow_stream(Answer(batch, display_units(asked.units), asked.provenance)))
    except Problem as problem:
        where = f"in the rows from {partition.before + 1} on: " if partition.number else ""
        raise Refused(where + problem.detail) from None


def _table(partition: Partition) -> Table:
    """The rows; how many there are at a time is the command's own choice."""
    boundless = Limits(sys.maxsize, sys.maxsize)
    if partition.csv:
        return csv_table(partition.table, boundless, partition.before)
    return arrow_table(partition.table, boundless)
