"""A service behind the proxy's own settings file: nginx on a free port of the loopback."""

import contextlib
import os
import re
import shutil
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

from .serving import ROOT, free_port

CONFIGURATION = ROOT / "docker" / "proxy" / "nginx.conf"
NGINX = shutil.which("nginx", path=f"{os.environ.get('PATH', '')}:/usr/sbin")


@contextlib.contextmanager
def proxied(service, output=subprocess.DEVNULL):
    """The proxy by its address, before a service at the address HOST:PORT or http://HOST:PORT.

    What it writes, its faults and a line for each request, goes to `output`.
    """
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o711)  # run by root, its workers are somebody else
        address = f"127.0.0.1:{free_port()}"
        settings = Path(folder, "nginx.conf")
        settings.write_text(placed(CONFIGURATION.read_text(), address, service.removeprefix("http://")))
        command = [NGINX, "-p", folder, "-c", settings, "-e", "stderr", "-g", "daemon off;"]
        process = subprocess.Popen(command, stdout=output, stderr=output)
        try:
            _wait(process, address)
            yield f"http://{address}"
        finally:
            process.terminate()
            process.wait(timeout=20)


def placed(settings, address, service):
    """The settings with the two lines that belong to a place: where it listens, and where the service is."""
    settings, listens = re.subn(r"listen 8080;", f"listen {address};", settings)
    settings, servers = re.subn(r"server service:8000 ", f"server {service} ", settings)
    assert (listens, servers) == (1, 2)
    return settings


def _wait(process, address):
    for _ in range(100):
        assert process.poll() is None, "nginx did not start"
        try:
            urllib.request.urlopen(f"http://{address}/", timeout=5).close()
        except urllib.error.HTTPError:
            return  # the service behind may well be none
        except OSError:
            time.sleep(0.05)
        else:
            return
    raise AssertionError("nginx did not answer")
