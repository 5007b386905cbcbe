"""The service as people run it: gunicorn with our settings file, on a free port of the loopback."""

import contextlib
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextlib.contextmanager
def serving(**settings):
    """The service by its address, with settings by the names of its variables."""
    with started(**settings) as (_, address):
        yield address


@contextlib.contextmanager
def started(output=subprocess.DEVNULL, application="climbwright.web:create_app()", **settings):
    """The same: its process, whose two outputs go where they are wanted, and its address."""
    address = f"127.0.0.1:{free_port()}"
    # by its own name: `python -m gunicorn` cannot start itself again, as SIGUSR2 asks for
    command = [str(Path(sys.executable).with_name("gunicorn")), "--config", str(ROOT / "docker" / "gunicorn.conf.py")]
    process = subprocess.Popen(
        [*command, "--bind", address, application],
        stdout=output,
        stderr=output,
        env=os.environ | settings,
    )
    try:
        for _ in range(200):
            try:
                urllib.request.urlopen(f"http://{address}/health/ready", timeout=1).close()
                break
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        yield process, f"http://{address}"
    finally:
        process.terminate()
        process.wait(timeout=60)  # longer than gunicorn waits for its workers
