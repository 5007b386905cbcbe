"""A Redis of the test's own, on a free port, which keeps nothing."""

import contextlib
import socket
import subprocess
import time

from ...serving import free_port


class Server:
    """Stopped and started again on the same port."""

    def __init__(self):
        self.port = free_port()
        self.address = f"redis://127.0.0.1:{self.port}/0"
        self._process = None

    def start(self):
        command = ["redis-server", "--port", str(self.port), "--bind", "127.0.0.1", "--save", "", "--appendonly", "no"]
        self._process = subprocess.Popen([*command, "--dir", "/"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        for _ in range(200):
            with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=1):
                return
            time.sleep(0.05)
        raise AssertionError("redis-server did not start")

    def stop(self):
        if self._process is not None:
            self._process.kill()  # as a machine that fails: no word to anybody
            self._process.wait(timeout=20)
            self._process = None
