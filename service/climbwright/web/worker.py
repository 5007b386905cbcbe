"""gunicorn's threaded worker, in which a connection takes a thread only while its request is answered."""

import contextlib
import errno
import selectors
import socket
import struct
import time
from collections.abc import Callable
from functools import partial
from typing import Any

from gunicorn.http.unreader import SocketUnreader  # type: ignore[import-untyped]
from gunicorn.workers.gthread import TConn, ThreadWorker  # type: ignore[import-untyped]

from climbwright.web.stopping import is_stopping

__all__ = ["Worker"]

_PIECE = 65536  # read at a time; a head as long as that is left to a thread [bytes]
_DISCARDED = 65536  # of a body that nobody read [bytes]
_LEAVE = 2.0  # how long a client may take to hang up after its last answer [s]
_STALLED = struct.pack("ll", 30, 0)  # how long a client may stall in the midst of its request or answer, as a timeval
_WAITED = 30.0  # how long a thread may wait for a client in all, and [s]
_SLOWEST = 5_000  # how much more must come or go meanwhile for each second beyond [bytes/s]
_END_OF_HEAD = b"\r\n\r\n"


class Patient(SocketUnreader):  # type: ignore[misc]
    """What a client sends while a thread waits for it, which ends where the client is too slow in all."""

    def __init__(self, sock: socket.socket, give_up: Callable[[], None]) -> None:
        super().__init__(sock)
        self._give_up = give_up
        self.begin()

    def begin(self) -> None:
        """Begin to count anew, with a request."""
        self._waited, self._came = 0.0, 0

    def chunk(self, size_hint: int | None = None) -> bytes:
        """Read on.

        Raises
        ------
        ConnectionResetError
            The client's time is over: as if it had left, so that nothing which comes late is taken for a request.
        """
        begun = time.monotonic()
        with contextlib.suppress(BlockingIOError):  # it has stalled
            piece: bytes = super().chunk(size_hint)
            self._waited += time.monotonic() - begun
            self._came += len(piece)
            if not _too_slow(self._waited, self._came):
                return piece
        self._give_up()
        raise ConnectionResetError(errno.ECONNRESET, "too slow")


class Sending(socket.socket):
    """A socket that gives up a client which takes its answers too slowly in all."""

    waited, gone = 0.0, 0

    def sendall(self, data: Any, flags: int = 0) -> None:
        """Send it.

        Raises
        ------
        ConnectionResetError
            The client's time is over.
        """
        left = memoryview(data)
        while left:
            begun = time.monotonic()
            sent = 0
            with contextlib.suppress(BlockingIOError):  # it has stalled
                sent = self.send(left, flags)
            self.waited += time.monotonic() - begun
            self.gone += sent
            if not sent or _too_slow(self.waited, self.gone):
                raise ConnectionResetError(errno.ECONNRESET, "too slow")
            left = left[sent:]


def _too_slow(waited: float, size: int) -> bool:
    return waited > _WAITED + size / _SLOWEST


class Connection(TConn):  # type: ignore[misc]
    """A connection that keeps the head of a request while it comes, and that its worker takes leave of."""

    def __init__(self, worker: "Worker", sock: socket.socket, address: Any, server: Any) -> None:
        super().__init__(worker.cfg, sock, address, server)
        self.worker = worker
        self.head = b""
        self.data_ready = True  # when a thread gets it

    def init(self) -> None:
        """Give the parser what has been read."""
        if not self.initialized:
            super().init()
            self.parser.unreader = Patient(self.sock, self._end)
        self.parser.unreader.begin()
        if self.head:
            self.parser.unreader.unread(self.head)
            self.head = b""

    def _end(self) -> None:
        """Let an answer say that it is the last one."""
        if self.parser.mesg is not None:
            self.parser.mesg.must_close = True

    def close(self, graceful: bool = False) -> None:
        """Close it; gracefully, once the client has hung up."""
        if graceful:
            self.worker.take_leave(self)
        else:
            super().close()


class Worker(ThreadWorker):  # type: ignore[misc]
    """Differs from gunicorn's in six things.

    - The head of a request is waited for in the loop that serves all: gunicorn gives a thread to who has sent none of
      it for five seconds, and to who has sent half of it for ever. So is one that begins behind another request.
    - Who sends a request or takes an answer too slowly in all is given up: gunicorn waits for each piece anew.
    - The client's hanging up is waited for beside the others: gunicorn stops its loop for it, up to two seconds.
    - On stopping it lets in who waits at the door, then closes the door: gunicorn resets their connections.
    - A large body ends its connection, and the answer says so: where it was refused unread, gunicorn would close a
      connection that it has promised to keep.
    - While the service is about to stop (`stopping`), every answer ends its connection.
    """

    def accept(self, listener: Any) -> None:
        """Let one connection in."""
        with contextlib.suppress(BlockingIOError, ConnectionAbortedError):
            self._let_in(listener)

    def _let_in(self, listener: Any) -> None:
        accepted, address = listener.accept()
        sock = Sending(accepted.family, accepted.type, accepted.proto, accepted.detach())
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_RCVTIMEO, _STALLED)
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_SNDTIMEO, _STALLED)
        conn = Connection(self, sock, address, listener.getsockname())
        conn.set_timeout()
        self.nr_conns += 1
        self.keepalived_conns.append(conn)
        self.poller.register(sock, selectors.EVENT_READ, partial(self.on_client_socket_readable, conn))

    def on_client_socket_readable(self, conn: Connection, client: socket.socket) -> None:
        """Give a connection a thread once the head of a request is there."""
        try:
            piece = client.recv(_PIECE)
        except BlockingIOError:
            return
        except OSError:
            piece = b""
        begins, conn.head = not conn.head, conn.head + piece
        if piece and not _readable(conn.head):
            if begins:  # it has its time from now on, and its place among those who have theirs
                conn.set_timeout()
                self.keepalived_conns.remove(conn)
                self.keepalived_conns.append(conn)
            return
        super().on_client_socket_readable(conn, client)

    def finish_request(self, conn: Connection, future: Any) -> None:
        """Keep a connection that is kept; what has been read behind its request is the beginning of the next."""
        if conn.parser is not None:
            conn.head = conn.parser.unreader.take_buffered()
        super().finish_request(conn, future)
        if _readable(conn.head) and self.keepalived_conns and self.keepalived_conns[-1] is conn:
            super().on_client_socket_readable(conn, conn.sock)

    def take_leave(self, conn: Connection) -> None:
        """Say that no more will come, and close the connection when the client has hung up, or took too long."""
        if conn.sock.fileno() < 0:  # gunicorn has closed it, in the midst of an answer that failed
            return
        with contextlib.suppress(OSError):
            conn.sock.shutdown(socket.SHUT_WR)
        conn.sock.setblocking(False)
        if _hung_up(conn.sock):
            conn.close()
            return
        self.nr_conns += 1
        conn.timeout = time.monotonic() + _LEAVE
        self.pending_conns.append(conn)  # which gunicorn closes at their timeout
        self.poller.register(conn.sock, selectors.EVENT_READ, partial(self._on_leaving, conn))

    def _on_leaving(self, conn: Connection, sock: socket.socket) -> None:
        if _hung_up(sock):
            self.poller.unregister(sock)
            self.pending_conns.remove(conn)
            self.nr_conns -= 1
            conn.close()

    def set_accept_enabled(self, enabled: bool) -> None:
        """Open the door or leave it shut; a worker that stops lets in those who wait, and shuts it for good."""
        super().set_accept_enabled(enabled)
        if not self.alive:
            for listener in self.sockets:
                with contextlib.suppress(OSError):  # nobody waits any more
                    for _ in range(self.cfg.backlog):
                        self._let_in(listener)
                listener.close()

    def handle_request(self, req: Any, conn: Connection) -> Any:
        """Answer a request; the connection ends with it where the service is about to stop, or the body is large."""
        if is_stopping():
            self.max_keepalived = 0
        if getattr(req.body.reader, "length", _DISCARDED + 1) > _DISCARDED:
            req.must_close = True
        return super().handle_request(req, conn)


def _readable(head: bytes) -> bool:
    """Whether a thread can read it without waiting, or must since it is long."""
    return len(head) >= _PIECE or _END_OF_HEAD in head


def _hung_up(sock: socket.socket) -> bool:
    """Whether the client has closed its side; what it still sends is of no interest."""
    try:
        return not sock.recv(_PIECE)
    except BlockingIOError:
        return False
    except OSError:
        return True
