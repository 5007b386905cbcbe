"""A season's body: JSON, or JSON with the weather as a table beside it, which then means the same."""

from collections.abc import Mapping
from typing import Any

from flask import Request

from climbwright.web.fleet.columns import Cells
from climbwright.web.fleet.limits import Limits, limits_of
from climbwright.web.fleet.parts import STREAM, parts_of
from climbwright.web.fleet.tables import Table, arrow_table, csv_table, pyarrow
from climbwright.web.problems import Problem, not_understood
from climbwright.web.reading import body_bytes, decode_body

__all__ = ["season_body"]

_JSON, _PARTS = "application/json", "multipart/form-data"


def season_body(request: Request, settings: Mapping[str, Any]) -> dict[str, Any]:
    """The fields of a request whose hours come as columns of JSON, or as a table in a part of its own.

    Parameters
    ----------
    request : flask.Request
        A POST.
    settings : mapping
        The limits.

    Returns
    -------
    dict
        What the same request in JSON alone would be.

    Raises
    ------
    Problem
        400 bytes that do not parse, 411 no length, 413 too large or too many hours, 415 another type, 422 parts or
        headings that are wrong.
    """
    if request.mimetype not in (_JSON, _PARTS):
        word = f"send the body as {_JSON} or {_PARTS}"
        raise Problem(415, "Unsupported Media Type", word, headers={"Accept": f"{_JSON}, {_PARTS}"})
    limits = limits_of(settings)
    body = body_bytes(request, limits.size)
    given = decode_body(body) if request.mimetype == _JSON else _parts(request, body, limits)
    _refuse_too_many(given, limits.rows)
    return given


def _refuse_too_many(given: dict[str, Any], most: int) -> None:
    weather = given.get("weather")
    times = weather.get("time") if isinstance(weather, dict) else None
    if isinstance(times, list) and len(times) > most:
        word = f"the season has {len(times)} hours, the limit is {most}: send it in parts"
        raise Problem(413, "Content Too Large", word)


def _parts(request: Request, body: bytes, limits: Limits) -> dict[str, Any]:
    """The weather of the part `table` as a field beside those of the part `shared`."""
    parts = parts_of(request, body)
    if "weather" in parts.shared:
        raise not_understood({"weather": ["the weather is there twice, in shared and in table: send it once"]})
    read = arrow_table if parts.kind == STREAM else csv_table
    return parts.shared | {"weather": _columns(read(parts.table, limits, fields="time".__ne__))}


def _columns(table: Table) -> dict[str, Any]:
    """A table as JSON holds it."""
    times = {name: _texts(column) for name, column in table.others.items()}
    return times | {name: _column(cells) for name, cells in table.columns.items()}


def _texts(column: Any) -> list[Any]:
    """Times as texts, those of an Arrow stream's own kind too."""
    arrow = pyarrow()
    try:
        if arrow.types.is_timestamp(column.type):
            column = column.cast(arrow.timestamp("s", column.type.tz))  # of another unit, text has a fraction
        texts: list[Any] = column.cast(arrow.string()).to_pylist()
    except arrow.ArrowException:
        raise not_understood({"weather": {"time": ["is no column of times: send texts, or timestamps"]}}) from None
    return texts


def _column(cells: Cells) -> Any:
    if cells.numbers is None:
        values = [cells.cell(row) for row in range(len(cells))]
    else:
        values = cells.numbers.tolist()
        for row in cells.others:
            values[row] = cells.cell(row)
    return values if cells.unit is None else {"value": values, "unit": cells.unit}
