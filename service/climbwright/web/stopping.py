"""A service that is about to stop: it says so for a while, and serves on, before it does."""

import mmap
import signal
from typing import Any

__all__ = ["announce_before_stopping", "is_stopping"]

_told = mmap.mmap(-1, 1)  # shared by gunicorn's master and the workers that it forks


def is_stopping() -> bool:
    """Whether the service has been told to stop."""
    return _told[0] != 0


def announce_before_stopping(arbiter: Any, seconds: int) -> None:
    """Let SIGTERM fail readiness first, and stop gunicorn after that many seconds; a second SIGTERM does so at once.

    A load balancer takes the service out meanwhile. Where another master serves at the same address (after SIGUSR2),
    there is nothing to take out, and gunicorn stops at once.
    """
    stop = arbiter.handle_term

    def terminate() -> None:
        if arbiter.reexec_pid or arbiter.master_pid:
            stop()
        at_once, _told[0] = is_stopping() or not seconds, 1
        if at_once:
            stop()
        arbiter.log.info("Stopping in %d s: until then /health/ready answers 503, and all else is served", seconds)
        signal.signal(signal.SIGALRM, lambda *_: arbiter.signal(signal.SIGTERM, None))
        signal.alarm(seconds)

    arbiter.handle_term = terminate
