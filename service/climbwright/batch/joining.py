"""Parts put together into one file of the kind asked for, one part in memory at a time."""

from collections.abc import Callable, Iterable
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from climbwright.batch.refused import Refused
from climbwright.web.fleet.tables import as_cells, pyarrow
from climbwright.web.rendering.tables import no_formula

__all__ = ["Joined", "join"]


@dataclass(frozen=True, slots=True)
class Joined:
    """How many rows came together, and how many of them are right."""

    rows: int
    right: int


def _writer(form: str) -> Callable[[Any, Any], Any]:
    """What opens a file of a kind for tables of a schema."""
    arrow = pyarrow()
    from pyarrow.parquet import ParquetWriter

    writers: dict[str, Callable[[Any, Any], Any]] = {
        "csv": arrow.csv.CSVWriter,
        "file": arrow.ipc.new_file,
        "stream": arrow.ipc.new_stream,
        "parquet": ParquetWriter,
    }
    return writers[form]


def join(parts: Iterable[Path], form: str, target: Path) -> Joined:
    """Put parts together in their order.

    Parameters
    ----------
    parts : iterable of pathlib.Path
        Arrow streams of one schema, at least one.
    form : str
        Kind of file.
    target : pathlib.Path
        Where it is written.

    Returns
    -------
    Joined
        What was counted on the way.

    Raises
    ------
    Refused
        A part cannot be read, or has other columns than the first.
    """
    rows = right = 0
    schema: Any = None
    writer: Any = None
    with ExitStack() as open_until_the_end:
        for path in parts:
            table = _read(path)
            shown = _as_csv(table) if form == "csv" else table
            if schema is None:
                schema = shown.schema
                writer = open_until_the_end.enter_context(_writer(form)(str(target), schema))
            if not shown.schema.equals(schema, check_metadata=True):
                raise Refused(f"'{path}' has other columns than the parts before it: send --fresh to begin anew")
            writer.write_table(shown)
            rows += table.num_rows
            right += _right(table.column("status"))
    return Joined(rows, right)


def _read(path: Path) -> Any:
    arrow = pyarrow()
    try:
        return arrow.ipc.open_stream(path.read_bytes()).read_all()
    except (OSError, arrow.ArrowException) as error:
        raise Refused(f"the part '{path}' cannot be read ({error}): send --fresh to begin anew") from None


def _right(status: Any) -> int:
    from pyarrow import compute

    return int(compute.sum(compute.equal(status, "ok")).as_py() or 0)


def _as_csv(table: Any) -> Any:
    """A table as the service writes CSV: units in the headings of measures, and no types but those that CSV holds."""
    columns = [as_cells(column) for column in table.columns]
    return pyarrow().table(columns, names=[_heading(field) for field in table.schema])


def _heading(field: Any) -> str:
    """A column's name, with its unit where it is a measure."""
    unit = (field.metadata or {}).get(b"unit")
    return no_formula(field.name if unit is None else f"{field.name} [{unit.decode()}]")
