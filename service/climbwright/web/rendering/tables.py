"""One plain table, as CSV: no preamble, the unit in the heading, point as decimal mark."""

import csv
import io
from collections.abc import Sequence
from typing import Any

__all__ = ["columns_of", "csv_text", "merged"]

Row = dict[str, Any]


def _is_quantity(value: Any) -> bool:
    return isinstance(value, dict) and "value" in value and "unit" in value


def columns_of(body: Row) -> Row:
    """The quantities and plain values of a flat answer as cells by heading; lists of notes are left out."""
    cells: Row = {}
    for name, value in body.items():
        if _is_quantity(value):
            unit = value["unit"] or "no currency"
            cells[f"{name} [{unit}]"] = value["value"]
            if "plus_minus" in value:
                cells[f"{name} plus_minus [{unit}]"] = value["plus_minus"]
            for percentile, number in value.get("percentiles", {}).items():
                cells[f"{name} percentile {percentile} [{unit}]"] = number
            if "share_without" in value:
                cells[f"{name} share_without [1]"] = value["share_without"]
        elif isinstance(value, bool | str):
            cells[name] = value
    return cells


def merged(*parts: Row) -> Row:
    """Cells side by side."""
    return {heading: cell for part in parts for heading, cell in part.items()}


def csv_text(rows: Sequence[Row]) -> str:
    """Rows as CSV; a heading that any row has is a column of all. Lists in cells become rows of their own."""
    flat = [single for row in rows for single in _unrolled(row)]
    headings = list(dict.fromkeys(heading for row in flat for heading in row))
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(headings)
    writer.writerows([_cell(row.get(heading)) for heading in headings] for row in flat)
    return out.getvalue()


def _unrolled(row: Row) -> list[Row]:
    length = max((len(cell) for cell in row.values() if isinstance(cell, list)), default=None)
    if length is None:
        return [row]
    return [{name: cell[i] if isinstance(cell, list) else cell for name, cell in row.items()} for i in range(length)]


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return repr(value) if isinstance(value, float) else value
