"""Which table is given, and what its answers become."""

import os
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from climbwright_client import arrow
from climbwright_client.answers import (
    ArrowPandas,
    ArrowPolars,
    ArrowTables,
    CsvOut,
    CsvPandas,
    CsvPolars,
    ParquetOut,
    Sink,
)
from climbwright_client.errors import NotSent
from climbwright_client.pieces import ArrowTable, CsvFile, CsvFrame, ParquetFile, Rows, Source, check_headings

__all__ = ["source_and_sink"]

_SUFFIXES = (".csv", ".parquet")


def source_and_sink(table: Any, into: Any, replace: bool) -> tuple[Source, Sink | None]:
    """How a table is read, and what its answers become; no sink for dicts, which are given out as they come.

    Raises
    ------
    NotSent
        It is no table.
    """
    if isinstance(table, str | os.PathLike):
        return _source_of(Path(table)), _sink_of(into, replace)
    if into is not None:
        raise NotSent("into names a file of answers: it goes with a table that is a file")
    package = arrow.pyarrow()
    if package is not None and isinstance(table, package.Table):
        return ArrowTable(table), ArrowTables()
    if _is("pandas", "DataFrame", table):
        return _pandas(table, package)
    if _is("polars", "DataFrame", table):
        if package is None:
            return CsvFrame(len(table), lambda start, stop: table[start:stop].write_csv()), CsvPolars(table)
        return ArrowTable(arrow.table_of(table.to_arrow, "the frame")), ArrowPolars(table)
    if isinstance(table, Iterable) and not isinstance(table, Mapping | bytes):
        return Rows(table), None
    raise NotSent(
        f"a {type(table).__name__} is no table: give dicts, one for each row, a pandas or polars frame, a pyarrow "
        "Table, or the path of a CSV or Parquet file; a dict of columns goes to ask('fleet', {'columns': ...})"
    )


def _pandas(table: Any, package: Any) -> tuple[Source, Sink]:
    check_headings(list(table.columns))
    if package is None:

        def cut(start: int, stop: int) -> str:
            return str(table.iloc[start:stop].to_csv(index=False, lineterminator="\n"))

        return CsvFrame(len(table), cut), CsvPandas(table)
    made = arrow.table_of(lambda: package.Table.from_pandas(table, preserve_index=False), "the frame")
    return ArrowTable(made), ArrowPandas(table)


def _source_of(path: Path) -> Source:
    _check_suffix(path)
    return CsvFile(path) if path.suffix.lower() == ".csv" else ParquetFile(path)


def _sink_of(into: Any, replace: bool) -> Sink:
    if into is None:
        raise NotSent("a file is answered into a file: name it with into, such as into='answers.csv'")
    path = Path(into)
    _check_suffix(path)
    if path.is_dir():
        raise NotSent(f"{path} is a folder: name a file")
    if path.exists() and not replace:
        raise NotSent(f"{path} is there already: name another file, or let it be replaced (replace=True, --replace)")
    if not path.parent.is_dir():
        raise NotSent(f"{path.parent}, where the answers shall go, is no folder")
    return CsvOut(path) if path.suffix.lower() == ".csv" else ParquetOut(path)


def _check_suffix(path: Path) -> None:
    if path.suffix.lower() not in _SUFFIXES:
        raise NotSent(f"{path} is no table by its name: it ends with {' or '.join(_SUFFIXES)}")


def _is(package: str, name: str, value: Any) -> bool:
    """Whether a value is of a class of a package, which is not imported for that: who has such a value, has it."""
    module = sys.modules.get(package)
    return module is not None and isinstance(value, getattr(module, name))
