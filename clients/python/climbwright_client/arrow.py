"""pyarrow, where it is installed: Arrow streams, and tables of them."""

import io
from collections.abc import Callable
from typing import Any

from climbwright_client.errors import NotAService, NotSent

__all__ = ["headed", "needed", "pyarrow", "read", "stream", "table_of", "without_input"]


def pyarrow() -> Any:
    """The package, imported where it is used; None where it is not installed."""
    try:
        import pyarrow
    except ImportError:
        return None
    return pyarrow


def needed() -> Any:
    """The package.

    Raises
    ------
    NotSent
        It is not installed.
    """
    found = pyarrow()
    if found is None:
        raise NotSent("Parquet needs the package pyarrow: install it, or use CSV")
    return found


def table_of(made: Callable[[], Any], what: str) -> Any:
    """What Arrow makes of something.

    Raises
    ------
    NotSent
        It makes nothing of it; `what` says of what.
    """
    try:
        return made()
    except Exception as error:  # of Arrow's many kinds
        told = " ".join(str(part) for part in error.args)
        raise NotSent(f"Arrow cannot read {what}: {told[:300]}") from None


def stream(table: Any) -> bytes:
    """A table as an Arrow stream."""
    import pyarrow.ipc

    sink = io.BytesIO()
    with pyarrow.ipc.new_stream(sink, table.schema) as writer:
        writer.write(table)
    return sink.getvalue()


def read(content: bytes) -> Any:
    """The table of an Arrow stream that was answered.

    Raises
    ------
    NotAService
        It is none.
    """
    import pyarrow.ipc

    try:
        return pyarrow.ipc.open_stream(content).read_all()
    except (pyarrow.ArrowException, OSError):
        raise NotAService("what came is no Arrow stream, as was asked for", status=200) from None


def without_input(table: Any) -> Any:
    """The table without the hash of its piece's request, which is not that of the whole."""
    kept = {name: value for name, value in (table.schema.metadata or {}).items() if name != b"input"}
    return table.replace_schema_metadata(kept or None)


def headed(table: Any) -> Any:
    """A table with its units in the headings."""
    units = [(field.name, (field.metadata or {}).get(b"unit")) for field in table.schema]
    return table.rename_columns([name if unit is None else f"{name} [{unit.decode()}]" for name, unit in units])
