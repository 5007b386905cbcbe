"""A worker killed in the midst of its work: who asks again is answered, and nothing stays locked."""

import json
import os
import signal
import threading

import httpx

from climbwright_client import Climbwright, Retry

from ..serving import started
from .asked import example, large_fleet
from .calling import Line, children, until, workers_of

KILLS = 4


class Counting(httpx.HTTPTransport):
    """Counts the requests that got no answer."""

    failed = 0

    def handle_request(self, request):
        try:
            return super().handle_request(request)
        except httpx.TransportError:
            self.failed += 1
            raise


def test_the_python_client_asks_again_with_success():
    given, enough = example("comparison"), threading.Event()
    answers, errors, transports = [], [], []

    def work(address):
        transport = Counting()
        transports.append(transport)
        with Climbwright(address, transport=transport, retry=Retry(first=0.2)) as client:
            while not enough.is_set():
                try:
                    answers.append(client.ask("comparison", given))
                except Exception as error:  # every one is a failure of this test
                    errors.append(error)

    with started() as (master, address):
        with Climbwright(address) as client:
            expected = client.ask("comparison", given)
        threads = [threading.Thread(target=work, args=(address,)) for _ in range(6)]
        for thread in threads:
            thread.start()
        try:
            for _ in range(KILLS):
                before, answered = workers_of(master.pid), len(answers)
                until(lambda answered=answered: len(answers) > answered + 20)
                os.kill(before[0], signal.SIGKILL)
                until(lambda before=before: len(set(children(master.pid)) - set(before[:1])) == len(before))
        finally:
            enough.set()
            for thread in threads:
                thread.join()
    assert errors == []
    assert all(answer == expected for answer in answers)
    # each kill can only have met the requests of that moment
    assert sum(transport.failed for transport in transports) <= KILLS * len(threads)


def test_a_worker_killed_in_a_fleet_leaves_no_lock():
    body = json.dumps(large_fleet(200_000)).encode()
    settings = {"WEB_CONCURRENCY": "1", "CLIMBWRIGHT_MAXIMUM_FLEETS": "1"}
    with started(**settings) as (master, address):
        for _ in range(2):
            with Line(address) as line, Line(address) as other:
                line.send("/v1/fleet", body)
                # its turn is taken: another fleet is told to come again
                until(lambda other=other: other.ask("/v1/fleet", b"{}")[0] == 503)
                (worker,) = children(master.pid)
                os.kill(worker, signal.SIGKILL)
            until(lambda worker=worker: children(master.pid) not in ([], [worker]))
        small = json.dumps(large_fleet(10)).encode()
        with Line(address) as line:  # its turn ends a moment after its answer has been read
            for _ in range(3):
                until(lambda: line.ask("/v1/fleet", small)[0] == 200)
