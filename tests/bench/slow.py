"""Slow clients: so many at once, of every kind, that would hold a service's threads if it let them."""

import asyncio
import contextlib
import itertools
import json
import threading
from typing import Any
from urllib.parse import urlsplit

from tests.load.asked import example

HEAD = "POST /v1/comparison HTTP/1.1\r\nHost: here\r\nContent-Type: application/json\r\n"
_APART = 0.02  # [s]


def pieces(data: bytes, size: int) -> list[bytes]:
    """Data in pieces."""
    return [data[at : at + size] for at in range(0, len(data), size)]


class Slow:
    """Slow clients inside a `with`: each asks for a comparison over and over, in its way.

    Ways: "silent" connects and waits; "head" sends its head ten bytes a second; "body" its body a fiftieth at a time;
    "answer" reads its answer so; "lingering" never hangs up first.
    """

    WAYS = ("silent", "head", "body", "answer", "lingering")

    def __init__(self, address: str, count: int, ways: tuple[str, ...] = WAYS, pace: float = 0.5) -> None:
        there = urlsplit(address)
        self.place, self.pace = (there.hostname, there.port), pace
        self.ways = list(itertools.islice(itertools.cycle(ways), count))
        self.answered = self.closed = 0
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._run)
        self._ways = {
            "silent": self._silent,
            "head": self._slow_head,
            "body": self._slow_body,
            "answer": self._slow_answer,
            "lingering": self._lingering,
        }
        self._body = json.dumps(example("comparison")).encode()

    def _run(self) -> None:
        with contextlib.suppress(asyncio.CancelledError):
            self._loop.run_until_complete(self._all())
        self._loop.close()

    async def _all(self) -> None:
        self._task = asyncio.current_task()
        # one after the other: that they are slow is what is measured, not that many come at once
        await asyncio.gather(*(self._again(way, place * _APART) for place, way in enumerate(self.ways)))

    async def _again(self, way: str, after: float) -> None:
        await asyncio.sleep(after)
        while True:
            writer: Any = None
            try:
                reader, writer = await asyncio.open_connection(*self.place, limit=2**12)
                await self._ways[way](reader, writer)
                self.answered += 1
            except (OSError, asyncio.IncompleteReadError):
                self.closed += 1
            finally:
                if writer is not None:
                    writer.close()
            await asyncio.sleep(self.pace)

    async def _send(self, writer: Any, data: bytes, size: int) -> None:
        for piece in pieces(data, size):
            writer.write(piece)
            await writer.drain()
            await asyncio.sleep(self.pace)

    async def _receive(self, reader: Any, size: int = 2**16) -> None:
        """A whole answer; with a small size, slowly."""
        head = await reader.readuntil(b"\r\n\r\n")
        (length,) = (int(line.split()[1]) for line in head.lower().split(b"\r\n") if line.startswith(b"content-length"))
        while length > 0:
            piece = await reader.read(min(size, length))
            if not piece:
                raise ConnectionResetError
            length -= len(piece)
            if size < 2**16:
                await asyncio.sleep(self.pace)

    def _head_of(self, *more: str) -> bytes:
        return "\r\n".join((HEAD + f"Content-Length: {len(self._body)}", *more, "", "")).encode()

    async def _silent(self, reader: Any, writer: Any) -> None:
        await reader.read()

    async def _slow_head(self, reader: Any, writer: Any) -> None:
        await self._send(writer, self._head_of(), max(int(10 * self.pace), 1))
        writer.write(self._body)
        await self._receive(reader)

    async def _slow_body(self, reader: Any, writer: Any) -> None:
        writer.write(self._head_of())
        await self._send(writer, self._body, len(self._body) // 50)
        await self._receive(reader)

    async def _slow_answer(self, reader: Any, writer: Any) -> None:
        writer.write(self._head_of() + self._body)
        await self._receive(reader, 512)

    async def _lingering(self, reader: Any, writer: Any) -> None:
        writer.write(self._head_of("Connection: close") + self._body)
        await self._receive(reader)
        await asyncio.sleep(20.0 * self.pace)

    def __enter__(self) -> "Slow":
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._loop.call_soon_threadsafe(self._task.cancel)
        self._thread.join()
