"""One plain table, as CSV: no preamble, the unit in the heading, point as decimal mark, and no text a formula."""

import csv
import io
import re
from collections.abc import Sequence
from typing import Any

__all__ = ["FORMULA", "PLAIN_NUMBER", "columns_of", "csv_text", "merged", "no_formula"]

Row = dict[str, Any]

# What a spreadsheet takes for the beginning of a formula; but a number in a text may have its sign.
FORMULA = r"[=+\-@\t\r\n＝＋－＠]"
PLAIN_NUMBER = r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,5})?"
_FORMULA, _PLAIN_NUMBER = re.compile(FORMULA), re.compile(PLAIN_NUMBER)


def no_formula(text: str) -> str:
    """A text as a cell that no spreadsheet computes: an apostrophe stands before what begins like a formula."""
    return f"'{text}" if _FORMULA.match(text) and not _PLAIN_NUMBER.fullmatch(text) else text


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
    writer.writerow(map(no_formula, headings))
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
    if isinstance(value, str):
        return no_formula(value)
    return repr(value) if isinstance(value, float) else value
