"""Whether the service in this container is ready: exit code 0 if it is; the container's health check."""

import os
import sys
import urllib.error
import urllib.request

port = os.environ.get("GUNICORN_BIND", "127.0.0.1:8000").rpartition(":")[2]
direct = urllib.request.build_opener(
    urllib.request.ProxyHandler({})
)  # proxies in the environment are for other machines
try:
    direct.open(f"http://127.0.0.1:{port}/health/ready", timeout=4).close()
except (urllib.error.URLError, OSError) as error:
    sys.exit(f"not ready: {error}")
