"""What a batch would cost, without doing it: how many evaluations, and how long a block of each kind takes."""

import time
from collections.abc import Mapping
from typing import Any

from climbwright.answers.fleet import Faults, answered
from climbwright.web.fleet.batch import Batch

__all__ = ["cost_of"]


def cost_of(batch: Batch, size: int, settings: Mapping[str, Any]) -> dict[str, Any]:
    """Rows, evaluations, and the seconds of computing, without reading and writing, of a batch.

    Parameters
    ----------
    batch : Batch
        Checked already.
    size : int
        Bytes that it came in.
    settings : mapping
        The limits are told beside.
    """
    seconds = 0.0
    for fleet in batch.fleets:
        started = time.perf_counter()
        some = next(answered(fleet, Faults(fleet.rows), batch.wanted.cautions))
        seconds += (time.perf_counter() - started) * fleet.rows / some.values.shape[1]
    rows = batch.table.rows
    return {
        "rows": rows,
        "evaluations": rows * batch.cases,
        "seconds": seconds,
        "measures": batch.work,
        "bytes": size,
        "most_measures": settings["MAXIMUM_FLEET_WORK"],
        "most_rows": settings["MAXIMUM_ROWS"],
        "most_bytes": settings["MAXIMUM_FLEET_BODY"],
    }
