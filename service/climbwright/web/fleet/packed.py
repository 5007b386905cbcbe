"""What an Arrow stream is packed in (compression, dictionaries, views), and what it unpacks to, known before.

References
----------
.. [1] Apache Arrow columnar format, "Serialization and Interprocess Communication", Message.fbs: a record batch lists
   its buffers, and a compressed one begins with the length that it unpacks to.
.. [2] FlatBuffers, "Internals": a table begins with the offset, backwards, of its table of fields.
"""

import struct
from collections.abc import Iterator
from typing import Any

import numpy as np

__all__ = ["compressed_size", "plain", "unpacked_size"]

_DICTIONARY_BATCH, _RECORD_BATCH = 2, 3  # of MessageHeader
_PLAIN = -1  # the length that a buffer tells which the compression left as it was
_CELL = 8  # of a gap, which takes nothing in a stream and as much as a number here [bytes]


def compressed_size(arrow: Any, body: bytes) -> int:
    """Bytes that the compressed buffers of an Arrow stream say they unpack to; 0 where none is.

    The reader allocates as many as are said and takes no more, so that a lie is bounded too.

    Raises
    ------
    pyarrow.ArrowException
        The stream cannot be read.
    """
    size = 0
    for message in arrow.ipc.MessageReader.open_stream(arrow.BufferReader(body)):
        metadata, content = memoryview(message.metadata), message.body
        if content is None or not content.size:
            continue
        for start, length in _compressed_buffers(metadata):
            if length >= 8 and 0 <= start <= content.size - 8:
                (told,) = struct.unpack_from("<q", content, start)
                size += length if told == _PLAIN else max(told, 0)
    return size


def _compressed_buffers(metadata: memoryview) -> Iterator[tuple[int, int]]:
    """Start and length of each buffer of a message that holds compressed columns, and none of any other message."""
    message = _Table.root(metadata)
    kind = message.number(1, "<B")
    batch = message.table(2)
    if batch is None or kind not in (_DICTIONARY_BATCH, _RECORD_BATCH):
        return
    if kind == _DICTIONARY_BATCH:
        batch = batch.table(1)
    if batch is not None and batch.table(3) is not None:
        yield from batch.pairs(2)


class _Table:
    """A table of FlatBuffers: its fields by their places in the schema."""

    def __init__(self, data: memoryview, at: int) -> None:
        self._data, self._at = data, at
        self._fields = at - struct.unpack_from("<i", data, at)[0]
        self._length = struct.unpack_from("<H", data, self._fields)[0]

    @classmethod
    def root(cls, data: memoryview) -> "_Table":
        return cls(data, struct.unpack_from("<I", data, 0)[0])

    def _place(self, field: int) -> int | None:
        entry = 4 + 2 * field
        offset = struct.unpack_from("<H", self._data, self._fields + entry)[0] if entry < self._length else 0
        return self._at + offset if offset else None

    def _target(self, field: int) -> int | None:
        place = self._place(field)
        return None if place is None else place + struct.unpack_from("<I", self._data, place)[0]

    def number(self, field: int, form: str) -> int:
        place = self._place(field)
        return 0 if place is None else int(struct.unpack_from(form, self._data, place)[0])

    def table(self, field: int) -> "_Table | None":
        place = self._target(field)
        return None if place is None else _Table(self._data, place)

    def pairs(self, field: int) -> Iterator[tuple[int, int]]:
        """A vector of pairs of whole numbers."""
        place = self._target(field)
        if place is not None:
            (count,) = struct.unpack_from("<I", self._data, place)
            yield from struct.iter_unpack("<qq", self._data[place + 4 : place + 4 + 16 * count])


def unpacked_size(arrow: Any, column: Any) -> int:
    """Bytes of a packed column once each cell stands for itself; 0 of one whose cells do so already."""
    kind = column.type
    if arrow.types.is_null(kind):
        return _CELL * len(column)
    if arrow.types.is_dictionary(kind):
        values = column.dictionary
        if not len(values):
            return _CELL * len(column)
        sizes = _lengths(arrow, values)
        indices = column.indices.drop_null().to_numpy(zero_copy_only=False)
        return _CELL * len(column) + int(sizes[indices].sum())
    if arrow.types.is_string_view(kind):
        return _CELL * len(column) + int(_lengths(arrow, column).sum())
    return 0


def _lengths(arrow: Any, column: Any) -> Any:
    """Bytes of each text of a column, 0 of what is none."""
    kind = column.type
    if arrow.types.is_string_view(kind):
        views = np.frombuffer(column.buffers()[1], dtype="<i4")[::4]  # a view of 16 bytes begins with the length
        lengths = views[column.offset : column.offset + len(column)].astype(np.int64)
        return np.where(column.is_valid().to_numpy(zero_copy_only=False), lengths, 0)
    if _is_text(arrow, kind) or arrow.types.is_binary(kind) or arrow.types.is_large_binary(kind):
        return arrow.compute.binary_length(column).fill_null(0).to_numpy(zero_copy_only=False).astype(np.int64)
    return np.zeros(len(column), dtype=np.int64)


def _is_text(arrow: Any, kind: Any) -> bool:
    return bool(arrow.types.is_string(kind) or arrow.types.is_large_string(kind))


def plain(arrow: Any, column: Any) -> Any:
    """A column without dictionary and views: each cell stands for itself.

    A view is read cell by cell. Cast to texts, one whose gap points astray ends the process.
    """
    kind = column.type
    if arrow.types.is_dictionary(kind):
        return plain(arrow, column.dictionary).take(column.indices)
    if arrow.types.is_string_view(kind):
        return arrow.array(column.to_pylist(), type=arrow.string())
    return column
