"""A reload, and the change to a new master: no request is lost."""

import os
import signal
import time

from ..serving import started
from .calling import QUESTION, Callers, Line, children, until, workers_of


def no_loss(callers):
    assert callers.lost == []
    assert callers.refused == []
    assert callers.unconnected == 0


def test_a_reload_loses_no_request():
    with started() as (master, address):
        with Callers(address, 12) as callers:
            for _ in range(3):
                before = workers_of(master.pid)
                answered = len(callers.seconds)
                master.send_signal(signal.SIGHUP)
                until(lambda before=before: not set(before) & set(children(master.pid)))
                until(lambda answered=answered: len(callers.seconds) > answered + 50)
        no_loss(callers)
        assert len(workers_of(master.pid)) == len(before)


def test_a_pause_between_requests_is_no_reason_to_lose_one():
    with started() as (master, address):
        with Callers(address, 12, pause=0.3) as callers:
            for _ in range(2):
                before = workers_of(master.pid)
                master.send_signal(signal.SIGHUP)
                until(lambda before=before: not set(before) & set(children(master.pid)))
        no_loss(callers)
        assert callers.seconds


def test_a_new_master_takes_over_without_loss():
    """SIGUSR2, then SIGTERM to the old one, whose time of announcement is not waited for."""
    with started(CLIMBWRIGHT_DRAIN="40") as (old, address):
        with Callers(address, 8) as callers:
            workers = workers_of(old.pid)
            old.send_signal(signal.SIGUSR2)
            until(lambda: set(children(old.pid)) - set(workers))
            (new,) = set(children(old.pid)) - set(workers)
            try:
                assert len(workers_of(new)) == len(workers)
                time.sleep(1.0)  # they have been forked, and are made ready
                old.terminate()
                assert old.wait(timeout=30) == 0
                answered = len(callers.seconds)
                until(lambda: len(callers.seconds) > answered + 50)
                with Line(address) as line:
                    assert line.ask("/health/ready")[0] == 200
                    assert line.ask(QUESTION)[0] == 200
            finally:
                callers.__exit__()
                os.kill(new, signal.SIGTERM)
        no_loss(callers)
