"""How gunicorn serves climbwright: the same for service/start and for the container."""

import os
import tempfile

# Before numpy is there: one thread for its algebra. The matrices of a worker are small, for which several threads take
# twice the time, and their memory in each.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from climbwright.web.settings import read_server_settings, read_settings
from climbwright.web.watch import server_log, sharing

try:
    settings, server = read_settings(), read_server_settings()
except ValueError as error:
    raise SystemExit(f"climbwright: {error}") from None

wsgi_app = "climbwright.web:create_app()"
bind = server["GUNICORN_BIND"]

# Measured on two cores: two processes of four threads; more threads in one process cost time for nothing.
worker_class = "climbwright.web.worker.Worker"  # threads
workers = server["WEB_CONCURRENCY"]
threads = server["GUNICORN_THREADS"]
keepalive = 5
graceful_timeout = 30  # what is under way when the service stops or reloads has so long to be answered
timeout = 30  # a worker whose loop is silent for so long is replaced; no request makes it silent, however long it takes
max_requests = 0  # no worker need be replaced for its age: memory stays (tests/bench/soak.py)
limit_request_line = 8190  # a balance with many loads is a long query; beyond it gunicorn answers 400 in HTML itself
forwarder_headers = ""  # no header says where the application is mounted, or which path is asked
preload_app = True  # the workers share the imported code's memory

# A worker's sign of life is a file: on a slow disk, touching it would stall the worker.
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK | os.X_OK) else tempfile.gettempdir()
control_socket_disable = True  # nothing here steers a running gunicorn, and the container's file system is read-only

# Requests are logged by the application: the server's own log of them would hold their queries.
errorlog = "-"
logger_class = server_log.ServerLog

if settings["METRICS"]:
    sharing.share(worker_tmp_dir)
pre_fork, child_exit = sharing.number_worker, sharing.forget_worker


def on_starting(server):
    """Say so where everyone may ask."""
    from climbwright.web.guard.open import is_open_to_everyone

    if is_open_to_everyone(server.cfg.address):
        server.log.warning("CLIMBWRIGHT_KEYS is not set and this is not the loopback: open to everyone who reaches it")


def post_fork(server, worker):
    """Let each worker keep the memory of its arrays."""
    from climbwright.web.memory import keep_freed_memory

    keep_freed_memory()


def when_ready(server):
    """Let readiness fail for a while before the service stops."""
    from climbwright.web.stopping import announce_before_stopping

    announce_before_stopping(server, settings["DRAIN"])
