import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def server():
    """The service behind gunicorn on a free port of the loopback, by its address."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        address = f"127.0.0.1:{probe.getsockname()[1]}"
    command = [sys.executable, "-m", "gunicorn", "--config", str(ROOT / "docker" / "gunicorn.conf.py")]
    process = subprocess.Popen(
        [*command, "--bind", address, "climbwright.web:create_app()"],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        for _ in range(100):
            try:
                urllib.request.urlopen(f"http://{address}/health/ready", timeout=1).close()
                break
            except (urllib.error.URLError, OSError):
                time.sleep(0.1)
        yield f"http://{address}"
    finally:
        process.terminate()
        process.wait(timeout=20)
