"""Clients that ask without a pause on connections kept alive, and count what became of every request that they sent."""

import contextlib
import socket
import threading
import time
from pathlib import Path
from urllib.parse import urlsplit

QUESTION = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&dew_point=6C"


class Line:
    """One connection."""

    def __init__(self, address, timeout=30.0):
        there = urlsplit(address)
        self.socket = socket.create_connection((there.hostname, there.port), timeout=timeout)
        self.file = self.socket.makefile("rb")

    def send(self, path, body=None, headers=()):
        start = [f"{'GET' if body is None else 'POST'} {path} HTTP/1.1", "Host: here", *headers]
        if body is not None:
            start += ["Content-Type: application/json", f"Content-Length: {len(body)}"]
        self.socket.sendall("\r\n".join([*start, "", ""]).encode() + (body or b""))

    def answer(self):
        """Status, headers and body; ConnectionError where none came, or half of one."""
        first = self.file.readline()
        headers = {}
        while (line := self.file.readline()) not in (b"\r\n", b""):
            name, _, value = line.decode().partition(":")
            headers[name.lower()] = value.strip()
        body = self._chunks() if headers.get("transfer-encoding") == "chunked" else self._whole(headers)
        if not first or body is None:
            raise ConnectionResetError(f"closed after {first!r}")
        return int(first.split()[1]), headers, body

    def _whole(self, headers):
        length = int(headers.get("content-length", 0))
        body = self.file.read(length)
        return body if len(body) == length else None

    def _chunks(self):
        body = b""
        while size := self.file.readline():
            piece = self.file.read(int(size, 16) + 2)
            if piece == b"\r\n":
                return body
            body += piece[:-2]
        return None

    def ask(self, path, body=None, headers=()):
        self.send(path, body, headers)
        return self.answer()

    def close(self):
        self.file.close()
        self.socket.close()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.close()


class Callers:
    """So many of them at work, inside a `with`.

    `seconds` are the times of the answers that were 200, `refused` the others' statuses, `lost` what was said about
    requests that were sent and never answered, `unconnected` how often nobody was at the door.
    """

    def __init__(self, address, connections=8, path=QUESTION, body=None, pause=0.0):
        self.address, self.path, self.body, self.pause = address, path, body, pause
        self.seconds, self.refused, self.lost, self.unconnected = [], [], [], 0
        self._enough = threading.Event()
        self._threads = [threading.Thread(target=self._call) for _ in range(connections)]

    def _call(self):
        while not self._enough.is_set():
            try:
                line = Line(self.address)
            except OSError:
                self.unconnected += 1
                time.sleep(0.05)
                continue
            with line:
                self._ask_on(line)

    def _ask_on(self, line):
        """Ask on one connection until it ends."""
        while not self._enough.is_set():
            begun = time.perf_counter()
            try:
                status, headers, _ = line.ask(self.path, self.body)
            except OSError as error:
                self.lost.append(repr(error))
                return
            if status == 200:
                self.seconds.append(time.perf_counter() - begun)
            else:
                self.refused.append(status)
            if headers["connection"] == "close":
                return
            if self.pause:
                time.sleep(self.pause)

    def __enter__(self):
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_):
        self._enough.set()
        for thread in self._threads:
            thread.join()


def children(pid):
    """Processes that a process has started and that still run."""
    found = []
    for status in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):
            text = status.read_text()
            state, parent = text.rpartition(")")[2].split()[:2]
            if int(parent) == pid and state != "Z":
                found.append(int(text.split(" ", 1)[0]))
    return sorted(found)


def workers_of(master, count=2):
    """The workers of a master, once all have been started: it takes up to a tenth of a second between two of them."""
    until(lambda: len(children(master)) == count)
    return children(master)


def until(holds, seconds=30.0):
    """Wait for something to hold; AssertionError where it does not."""
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "waited in vain"
        time.sleep(0.05)
