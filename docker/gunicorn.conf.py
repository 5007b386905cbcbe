"""How gunicorn serves climbwright: the same for service/start and for the container."""

import os
import tempfile

wsgi_app = "climbwright.web:create_app()"
bind = os.environ.get("GUNICORN_BIND", "127.0.0.1:8000")

# Measured on two cores: two processes of four threads; more threads in one process cost time for nothing.
worker_class = "gthread"
workers = int(os.environ.get("WEB_CONCURRENCY", "2"))
threads = int(os.environ.get("GUNICORN_THREADS", "4"))
keepalive = 5
limit_request_line = 8190  # a balance with many loads is a long query; beyond it gunicorn answers 400 in HTML itself
preload_app = True  # the workers share the imported code's memory

# A worker's sign of life is a file: on a slow disk, touching it would stall the worker.
worker_tmp_dir = "/dev/shm" if os.access("/dev/shm", os.W_OK | os.X_OK) else tempfile.gettempdir()
control_socket_disable = True  # nothing here steers a running gunicorn, and the container's file system is read-only

accesslog = os.environ.get("GUNICORN_ACCESS_LOG") or None  # "-" writes it to standard output
errorlog = "-"


def on_starting(server):
    """Say so where everyone may ask."""
    from climbwright.web.guard.open import is_open_to_everyone

    if is_open_to_everyone(server.cfg.address):
        server.log.warning("CLIMBWRIGHT_KEYS is not set and this is not the loopback: open to everyone who reaches it")


def post_fork(server, worker):
    """Let each worker keep the memory of its arrays."""
    from climbwright.web.memory import keep_freed_memory

    keep_freed_memory()
