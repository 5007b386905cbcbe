"""A fleet of any size: cut into requests that are sent side by side, answered in order."""

import asyncio
import json
import os
import secrets
from collections import deque
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass
from threading import Semaphore, Thread
from typing import Any, Literal, Protocol, TypeVar, overload

import httpx

from climbwright_client.answers import Sink, Written, rows_of
from climbwright_client.asking import Call, query_of
from climbwright_client.errors import ClimbwrightError, NotSent
from climbwright_client.pieces import ARROW, CSV, JSON, Piece, Source
from climbwright_client.progress import Progress
from climbwright_client.quantity import plain
from climbwright_client.tables import source_and_sink

__all__ = ["AsyncFleets", "Fleets", "Frame"]

ROWS, PARALLEL = 20_000, 2
_FORMS = {ARROW: "arrow", CSV: "csv", JSON: "json"}


class Frame(Protocol):
    """A frame of pandas or polars, or a table of pyarrow."""

    @property
    def columns(self) -> Any:
        """Its columns."""


AnyFrame = TypeVar("AnyFrame", bound=Frame)
Row = Mapping[str, Any]
Path = str | os.PathLike[str]


@dataclass(frozen=True, slots=True)
class _Batch:
    """A table on its way: where it comes from, what becomes of the answers, and how it is asked."""

    source: Source
    sink: Sink | None
    shared: Any
    query: dict[str, str]
    rows: int
    parallel: int
    progress: Progress

    def calls(self) -> Iterator[tuple[Piece, Call]]:
        """The pieces, each with its request."""
        shared = json.dumps(self.shared).encode()
        for piece in self.source.pieces(self.rows):
            yield piece, self._call(piece, shared)

    def _call(self, piece: Piece, shared: bytes) -> Call:
        accept = self._form(piece)
        query = self.query | {"format": _FORMS[accept]}
        if piece.kind == JSON:
            body = b'{"shared":' + shared + b',"columns":' + piece.content + b"}"
            return Call("/v1/fleet", query, body, JSON, accept)
        mark = secrets.token_hex(16)  # which stands nowhere in the parts
        body = b"".join(
            [
                f'--{mark}\r\nContent-Disposition: form-data; name="shared"\r\n\r\n'.encode(), shared,
                f'\r\n--{mark}\r\nContent-Disposition: form-data; name="table"; filename="table"\r\n'
                f"Content-Type: {piece.kind}\r\n\r\n".encode(), piece.content,
                f"\r\n--{mark}--\r\n".encode(),
            ]
        )  # fmt: skip
        return Call("/v1/fleet", query, body, f"multipart/form-data; boundary={mark}", accept)

    def _form(self, piece: Piece) -> str:
        """The media type that a piece is answered in."""
        return piece.kind if self.sink is None else self.sink.form

    def answer(self, piece: Piece, response: httpx.Response) -> tuple[bytes, str]:
        """The answer to a piece with its media type."""
        self.progress.step(piece.size, piece.rows)
        return response.content, self._form(piece)


def _placed(error: ClimbwrightError, piece: Piece) -> ClimbwrightError:
    """The error of a piece; one of the first is told as that of the whole table."""
    if piece.start:
        error.rows = range(piece.start, piece.start + piece.rows)
    return error


def _batch(
    table: Any, *, into: Path | None, replace: bool, shared: Mapping[str, Any] | None, rows: int, parallel: int,
    progress: bool | None, options: dict[str, Any],
) -> _Batch:  # fmt: skip
    for name, count in (("rows", rows), ("parallel", parallel)):
        if isinstance(count, bool) or not isinstance(count, int) or count < 1:
            raise NotSent(f"{name} is a whole number of 1 or more, not {count!r}")
    if shared is not None and not isinstance(shared, Mapping):
        raise NotSent(f"shared is an object of its fields, not a {type(shared).__name__}")
    told = plain(dict(shared or {}), "/shared")
    query = query_of(options)  # before a file of answers is begun
    source, sink = source_and_sink(table, into, replace)
    return _Batch(source, sink, told, query, rows, parallel, Progress(source.size, progress))


class Fleets:
    """The operation `fleet`, for the client that waits."""

    _send: Callable[[Call], httpx.Response]

    @overload
    def fleet(
        self, table: Path, *, into: Path, replace: bool = False, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> Written: ...  # fmt: skip

    @overload
    def fleet(
        self, table: Iterable[Row], *, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> Iterator[dict[str, Any]]: ...  # fmt: skip

    @overload
    def fleet(
        self, table: AnyFrame, *, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> AnyFrame: ...  # fmt: skip

    def fleet(
        self, table: Any, *, into: Path | None = None, replace: bool = False, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> Any:  # fmt: skip
        """Answer a table of configurations and conditions row by row, however long it is.

        It is cut into requests, of which a few are under way at a time; answers come in the order of the rows. Dicts
        are answered by an iterator of dicts, which asks on as it is read; a frame or Table by one of its kind; a file
        by another file, which is there when it is whole. A row that is wrong says why in the column `status`, and
        changes nothing of the others. Every figure is an estimate, not a flight manual.

        Parameters
        ----------
        table : iterable of dict, pandas.DataFrame, polars.DataFrame, pyarrow.Table, or path
            Rows, their columns called as in the service's CSV: "aircraft.engine.power [hp]". A path ends with .csv or
            .parquet.
        shared : mapping, optional
            What is the same for all rows: aircraft, loading, condition, and how it is flown.
        measures : sequence of str, or str, optional
            Measures by name or by group.
        into : path, optional
            The file of answers of a table that is a file; `replace` lets one of that name be replaced.
        units, spread, cautions : optional
            As the service's options: "us,speed:mph", "linear", True.
        rows, parallel : int
            Rows of one request, and how many requests are under way at a time.
        progress : bool, optional
            Whether a bar on standard error shows how far it is; left out, only on a terminal.

        Raises
        ------
        ClimbwrightError
            A piece is refused as a whole, or no answer came; its `rows` say which.
        """
        options = {"measures": measures, "units": units, "spread": spread, "cautions": cautions}
        batch = _batch(
            table, into=into, replace=replace, shared=shared, rows=rows, parallel=parallel, progress=progress,
            options=options,
        )  # fmt: skip
        if batch.sink is None:
            return (row for answer in self._answers(batch) for row in rows_of(*answer))
        try:
            for content, _ in self._answers(batch):
                batch.sink.add(content)
            return batch.sink.result()
        except BaseException:
            batch.sink.give_up()
            raise

    def _answers(self, batch: _Batch) -> Iterator[tuple[bytes, str]]:
        """The answers in order, with their media types.

        At most one piece more than `parallel` is under way or waits for its turn.
        """
        window: deque[tuple[Piece, Future[httpx.Response]]] = deque()
        turns = Semaphore(batch.parallel)

        def sent(call: Call, future: Future[httpx.Response]) -> None:
            with turns:
                if future.set_running_or_notify_cancel():
                    try:
                        future.set_result(self._send(call))
                    except BaseException as error:  # whoever takes the answer raises it
                        future.set_exception(error)

        def begun(call: Call) -> Future[httpx.Response]:
            future: Future[httpx.Response] = Future()
            # no pool, which would wait for slow answers that nobody wants any more
            Thread(target=sent, args=(call, future), daemon=True).start()
            return future

        def taken() -> tuple[bytes, str]:
            piece, future = window.popleft()
            try:
                return batch.answer(piece, future.result())
            except ClimbwrightError as error:
                raise _placed(error, piece) from error.__cause__

        try:
            for piece, call in batch.calls():
                window.append((piece, begun(call)))
                if len(window) > batch.parallel:
                    yield taken()
            while window:
                yield taken()
        finally:
            for _, future in window:
                future.cancel()
            batch.progress.end()


class AsyncFleets:
    """The operation `fleet`, for the client that is awaited; dicts are answered by an asynchronous iterator."""

    _send: Callable[[Call], Awaitable[httpx.Response]]

    @overload
    async def fleet(
        self, table: Path, *, into: Path, replace: bool = False, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> Written: ...  # fmt: skip

    @overload
    async def fleet(
        self, table: Iterable[Row], *, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> AsyncIterator[dict[str, Any]]: ...  # fmt: skip

    @overload
    async def fleet(
        self, table: AnyFrame, *, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> AnyFrame: ...  # fmt: skip

    async def fleet(
        self, table: Any, *, into: Path | None = None, replace: bool = False, shared: Row | None = None,
        measures: Sequence[str] | str | None = None, units: str | None = None, spread: Literal["linear"] | None = None,
        cautions: bool | None = None, rows: int = ROWS, parallel: int = PARALLEL, progress: bool | None = None,
    ) -> Any:  # fmt: skip
        """As `Fleets.fleet`, to be awaited; dicts are answered by an asynchronous iterator."""
        options = {"measures": measures, "units": units, "spread": spread, "cautions": cautions}
        batch = _batch(
            table, into=into, replace=replace, shared=shared, rows=rows, parallel=parallel, progress=progress,
            options=options,
        )  # fmt: skip
        if batch.sink is None:
            return (row async for answer in self._answers(batch) for row in rows_of(*answer))
        try:
            async for content, _ in self._answers(batch):
                await asyncio.to_thread(batch.sink.add, content)
            return await asyncio.to_thread(batch.sink.result)
        except BaseException:
            batch.sink.give_up()
            raise

    async def _answers(self, batch: _Batch) -> AsyncIterator[tuple[bytes, str]]:
        """As `Fleets._answers`; tables are cut in a thread, so that other tasks go on."""
        window: deque[tuple[Piece, asyncio.Task[httpx.Response]]] = deque()
        turns, calls = asyncio.Semaphore(batch.parallel), batch.calls()

        async def sent(call: Call) -> httpx.Response:
            async with turns:
                return await self._send(call)

        async def taken() -> tuple[bytes, str]:
            piece, task = window.popleft()
            try:
                return batch.answer(piece, await task)
            except ClimbwrightError as error:
                raise _placed(error, piece) from error.__cause__

        try:
            while (one := await asyncio.to_thread(next, calls, None)) is not None:
                window.append((one[0], asyncio.create_task(sent(one[1]))))
                if len(window) > batch.parallel:
                    yield await taken()
            while window:
                yield await taken()
        finally:
            tasks = [task for _, task in window]
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            batch.progress.end()
