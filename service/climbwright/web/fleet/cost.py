"""What a batch would cost, without doing it: how many evaluations, and how long a small part of it takes."""

import time
from collections.abc import Mapping
from typing import Any

from climbwright.web.fleet.batch import Batch

__all__ = ["cost_of"]


def cost_of(batch: Batch, size: int, settings: Mapping[str, Any]) -> dict[str, Any]:
    """Rows, evaluations and time of a batch.

    Parameters
    ----------
    batch : Batch
        Checked already.
    size : int
        Bytes that it came in.
    settings : mapping
        The limits are told beside.
    """
    started = time.perf_counter()
    block = next(batch.blocks(), None)
    spent = time.perf_counter() - started
    done = 0 if block is None else block.rows.stop - block.rows.start
    rows = batch.table.rows
    return {
        "rows": rows,
        "evaluations": rows * batch.cases,
        "seconds": spent * rows / done if done else 0.0,
        "bytes": size,
        "most_rows": settings["MAXIMUM_ROWS"],
        "most_bytes": settings["MAXIMUM_FLEET_BODY"],
    }
