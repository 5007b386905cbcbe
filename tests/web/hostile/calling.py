"""A service of one worker, small limits and a log of its own, raw requests to it, and the watch over what they do."""

import contextlib
import io
import json
import socket
import time
import urllib.request
from pathlib import Path

import pyarrow as pa

from ...serving import serving

MOST_MEMORY = 96 << 20  # that requests of one group may add to the greatest that a process of the service had [bytes]
ROWS, BODY = 20_000, 4_000_000
STREAM = "application/vnd.apache.arrow.stream"
ASK = "/v1/atmosphere?altitude=6000ft"
_SETTINGS = {
    "WEB_CONCURRENCY": "1",
    "GUNICORN_THREADS": "4",
    "CLIMBWRIGHT_MAXIMUM_ROWS": str(ROWS),
    "CLIMBWRIGHT_MAXIMUM_FLEET_BODY": str(BODY),
    "CLIMBWRIGHT_MAXIMUM_FLEETS": "1",  # a turn that is lost shows at once
}


class Service:
    """Where it is, and what it has written into its log."""

    def __init__(self, address, log):
        self.host, _, port = address.removeprefix("http://").partition(":")
        self.port, self._address, self._log, self._read = int(port), address, log, 0

    def said(self):
        """What came into the log since the last time."""
        text = self._log.read_text("utf-8", "replace")
        new, self._read = text[self._read :], len(text)
        return new

    def memory(self):
        """Greatest memory that its processes ever had; 0 where the system does not tell. [bytes]"""
        own = self._address.removeprefix("http://").encode()
        return max((_peak(one) for one in Path("/proc").glob("[0-9]*") if own in _bytes(one / "cmdline")), default=0)

    def connect(self, timeout=30):
        return socket.create_connection((self.host, self.port), timeout=timeout)

    def exchange(self, *pieces, half=False):
        """Status, headers and body of a raw request; status 0 where the line was closed without an answer."""
        with self.connect() as line:
            with contextlib.suppress(OSError):  # refused already, before all was sent
                for piece in pieces:
                    line.sendall(piece)
                if half:
                    line.shutdown(socket.SHUT_WR)
            return _parsed(received(line))

    def get(self, path=ASK, *headers):
        return self.exchange(request("GET", path, *headers))

    def post(self, path, body, *headers, kind="application/json"):
        body = body if isinstance(body, bytes) else json.dumps(body).encode()
        told = (f"Content-Type: {kind}", f"Content-Length: {len(body)}", *headers)
        return self.exchange(request("POST", path, *told), body)


def _bytes(path):
    try:
        return path.read_bytes()
    except OSError:
        return b""


def _peak(process):
    lines = _bytes(process / "status").decode().splitlines()
    return next((int(line.split()[1]) << 10 for line in lines if line.startswith("VmHWM:")), 0)


def request(method, path, *headers, closing=True):
    """The head of a request; its path goes out byte by byte as it is."""
    last = ["Connection: close"] if closing else []
    return "\r\n".join([f"{method} {path} HTTP/1.1", "Host: localhost", *headers, *last, "", ""]).encode("latin-1")


def received(line):
    """All that comes until the line is closed."""
    pieces = []
    with contextlib.suppress(ConnectionResetError):
        while piece := line.recv(65536):
            pieces.append(piece)
    return b"".join(pieces)


def _parsed(answer):
    top, _, body = answer.partition(b"\r\n\r\n")
    status, *lines = top.decode("latin-1").split("\r\n")
    if status.endswith("100 Continue"):
        return _parsed(body)
    headers = {name.lower(): value.strip() for name, _, value in (line.partition(":") for line in lines)}
    return int(status.split()[1]) if status else 0, headers, body


@contextlib.contextmanager
def started(folder):
    log = folder / "log.txt"
    log.touch()
    with serving(**_SETTINGS, GUNICORN_CMD_ARGS=f"--error-logfile {log} --capture-output") as address:
        service = Service(address, log)
        post_fleet(service, {"shared": {}, "columns": {"a": [1]}})  # what is imported where it is used comes now
        post_stream(service, stream({"a": ["x"]}))
        urllib.request.urlopen(address + ASK).close()
        service.said()
        yield service


@contextlib.contextmanager
def watched(service):
    """Whatever is sent within: afterwards the service answers, holds little more memory, and has logged no fault."""
    before = service.memory()
    yield
    status, _, body = service.get()
    assert status == 200
    assert json.loads(body)["altitude"]["value"] == 6000.0
    for _ in range(50):  # a turn ends with its answer, a moment after the client has it
        status, _, body = post_fleet(service, {"shared": {}, "columns": {"condition.oat": ["1 C"]}})
        if status != 503:
            break
        time.sleep(0.1)
    assert status == 422, body
    log = service.said()
    assert "Traceback" not in log, log
    assert "[ERROR]" not in log, log
    assert "failed" not in log, log
    assert "terminated" not in log, log
    assert service.memory() - before < MOST_MEMORY


def problem(answer, *statuses):
    """The document of a refusal of ours."""
    status, headers, body = answer
    assert status in statuses, (status, body[:300])
    assert headers["content-type"] == "application/problem+json"
    document = json.loads(body)
    assert document["status"] == status
    assert document["errors"]
    assert len(body) < 60_000
    return document


def post_fleet(service, body, query=""):
    return service.post(f"/v1/fleet{query}", body)


def post_stream(service, body, query="?measures=weight"):
    return service.post(f"/v1/fleet{query}", body, kind=STREAM)


def stream(columns, compression=None, batches=1):
    """Columns as an Arrow stream, so many times over."""
    table = columns if isinstance(columns, pa.Table) else pa.table(columns)
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema, options=pa.ipc.IpcWriteOptions(compression=compression)) as out:
        for _ in range(batches):
            out.write_table(table)
    return sink.getvalue()
