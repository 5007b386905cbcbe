"""A table beside what goes with it: the two parts of a multipart body."""

import io
from dataclasses import dataclass
from typing import Any

from flask import Request
from werkzeug.formparser import MultiPartParser

from climbwright.web.problems import Problem, not_understood, unreadable
from climbwright.web.reading import decode_body

__all__ = ["CSV", "STREAM", "Parts", "parts_of"]

CSV, STREAM = "text/csv", "application/vnd.apache.arrow.stream"


@dataclass(frozen=True, slots=True)
class Parts:
    """The part `shared` as decoded, and tables as they came, each with its media type: `CSV` or `STREAM`."""

    shared: dict[str, Any]
    kind: str
    table: bytes
    others: dict[str, tuple[str, bytes]]


def parts_of(request: Request, body: bytes, more: tuple[str, ...] = ()) -> Parts:
    """A part `shared` of JSON and a part `table` of CSV or Arrow.

    Parameters
    ----------
    request : flask.Request
        Its media type is multipart/form-data.
    body : bytes
        As it came.
    more : tuple of str
        Names of further tables that may be there.

    Raises
    ------
    Problem
        400 bytes that do not parse, 415 a table of another type, 422 parts that are missing, unknown or there twice.
    """
    boundary = request.mimetype_params.get("boundary", "").encode("latin-1", "replace")
    if not boundary:
        raise unreadable("the multipart body has no boundary")
    try:
        # kept in memory, which the limit of the body bounds: a container may have no disk to write to
        parser = MultiPartParser(stream_factory=lambda *_, **__: io.BytesIO(), max_form_parts=10)
        form, files = parser.parse(io.BytesIO(body), boundary, len(body))
    except MemoryError:  # ours is short, which is no fault of the body's
        raise
    except Exception:  # werkzeug's own for what is cut short, too many or malformed
        raise unreadable("the parts of the multipart body cannot be read") from None
    given = [*form.items(multi=True), *files.items(multi=True)]
    names = [name for name, _ in given]
    for name in names:
        if name not in ("shared", "table", *more) or names.count(name) > 1:
            tables = ", ".join(("table", *more))
            word = f"there is no such part, or it is there twice: send shared (JSON) and {tables} (CSV or Arrow)"
            raise not_understood({name[:80]: [word]})
    if "table" not in files:
        raise not_understood({"table": ["this part is missing, or has no filename and no content type"]})
    told = _content(form, files, "shared") if "shared" in names else b""
    shared = decode_body(told) if told.strip() else {}  # an empty part has no fields, as a missing one
    read = {name: _table(files, name) for name in names if name != "shared"}
    return Parts(shared, *read.pop("table"), read)


def _table(files: Any, name: str) -> tuple[str, bytes]:
    if name not in files:
        raise not_understood({name: ["this part has no filename and no content type"]})
    part = files[name]
    if part.mimetype not in (CSV, STREAM):
        raise Problem(415, "Unsupported Media Type", f"send the part {name} as {CSV} or {STREAM}")
    content: bytes = part.stream.read()
    return part.mimetype, content


def _content(form: Any, files: Any, name: str) -> bytes:
    if name in form:
        return str(form[name]).encode("utf-8", "surrogatepass")
    content: bytes = files[name].stream.read()
    return content
