"""What is worth another attempt gets one, after a wait that grows, and that the service may set."""

import asyncio
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime

import httpx
import pytest

from climbwright_client import AsyncClimbwright, Busy, ClimbwrightError, NotUnderstood, Retry, Unreachable
from climbwright_client.retrying import retry_after

from .asking import answering, problem


def fine(request):
    return httpx.Response(200, json={"fine": True})


BROKEN = [
    httpx.ConnectError("refused"), httpx.ReadError("reset"), httpx.WriteError("reset"),
    httpx.RemoteProtocolError("closed"), httpx.ConnectTimeout("too long"),
]  # fmt: skip


def asked(client):
    return client.ask("atmosphere", {"altitude": "1000 ft"})


@pytest.mark.parametrize("error", BROKEN, ids=lambda error: type(error).__name__)
def test_a_broken_connection_is_tried_again(error):
    client, waits = answering(error, error, fine)
    assert asked(client) == {"fine": True}
    assert len(waits) == 2


@pytest.mark.parametrize("status", [429, 502, 503, 504])
def test_a_busy_service_is_asked_again(status):
    client, waits = answering(problem(status), fine)
    assert asked(client) == {"fine": True}
    assert len(waits) == 1


@pytest.mark.parametrize("status", [400, 404, 413, 422, 500, 501])
def test_a_refusal_is_told_at_once(status):
    client, waits = answering(problem(status), fine)
    with pytest.raises(ClimbwrightError):
        asked(client)
    assert not waits


def test_a_service_that_took_its_time_is_not_asked_again():
    client, waits = answering(httpx.ReadTimeout("too long"), fine)
    with pytest.raises(Unreachable, match="longer than the timeout"):
        asked(client)
    assert not waits


def test_the_wait_doubles_up_to_the_longest_and_is_uneven():
    client, waits = answering(problem(503), retry=Retry(attempts=8, first=1.0, longest=10.0))
    with pytest.raises(Busy):
        asked(client)
    full = [1.0, 2.0, 4.0, 8.0, 10.0, 10.0, 10.0]
    assert len(waits) == len(full)
    assert all(0.5 * most <= wait <= most for wait, most in zip(waits, full, strict=True))
    assert len({wait / most for wait, most in zip(waits, full, strict=True)}) > 1


def test_attempts_end():
    client, waits = answering(httpx.ConnectError("refused"), retry=Retry(attempts=3))
    with pytest.raises(Unreachable, match="nothing answers"):
        asked(client)
    assert len(waits) == 2


def test_the_service_says_how_long_to_wait():
    client, waits = answering(problem(503, Retry_After="3"), fine, retry=Retry(first=0.5))
    assert asked(client) == {"fine": True}
    assert 3.0 <= waits[0] <= 3.5


def test_it_may_say_so_as_a_date():
    now = datetime(2026, 11, 27, 12, tzinfo=UTC)
    for ahead, seconds in ((90, 90.0), (-90, 0.0)):
        date = format_datetime(now + timedelta(seconds=ahead), usegmt=True)
        assert retry_after(httpx.Response(503, headers={"Retry-After": date}), now) == seconds
    soon = format_datetime(datetime.now(UTC) + timedelta(seconds=10), usegmt=True)
    client, waits = answering(problem(503, Retry_After=soon), fine)
    assert asked(client) == {"fine": True}
    assert 8.0 < waits[0] <= 10.5


@pytest.mark.parametrize("said", ["soon", "-5", "1.5", "", "Fri, 99 Nov 2026 00:00:00 GMT", "٣"])
def test_what_is_no_time_is_as_good_as_none(said):
    headers = [(b"Retry-After", said.encode())]
    assert retry_after(httpx.Response(503, headers=headers)) is None


def test_a_wait_beyond_the_longest_ends_the_attempts():
    client, waits = answering(problem(503, Retry_After="3600"), fine, retry=Retry(longest=30.0))
    with pytest.raises(Busy) as raised:
        asked(client)
    assert raised.value.retry_after == 3600.0
    assert not waits


def test_the_same_is_sent_again():
    bodies = []

    def handle(request):
        bodies.append((request.method, request.url, request.read(), request.headers["content-type"]))
        return problem(503) if len(bodies) < 3 else fine(request)

    client, _ = answering(handle)
    asked(client)
    assert len(bodies) == 3
    assert len(set(bodies)) == 1


@pytest.mark.parametrize(
    "wrong", [{"attempts": 0}, {"first": -1.0}, {"first": 5.0, "longest": 1.0}, {"first": float("nan")}]
)
def test_no_retry_is_made_of_nonsense(wrong):
    with pytest.raises(ValueError, match=f"^{next(iter(wrong))} is "):
        Retry(**wrong)


def test_awaited_it_does_the_same():
    left, waits = [problem(503, Retry_After="2"), httpx.ConnectError("refused"), fine, problem(422)], []

    def handle(request):
        answer = left.pop(0)
        if isinstance(answer, Exception):
            raise answer
        return answer(request) if callable(answer) else answer

    async def sleep(seconds):
        waits.append(seconds)

    async def awaited():
        async with AsyncClimbwright("http://service.example", transport=httpx.MockTransport(handle)) as client:
            client._sleep = sleep
            answer = await asked(client)
            with pytest.raises(NotUnderstood):
                await asked(client)
            return answer

    assert asyncio.run(awaited()) == {"fine": True}
    assert len(waits) == 2
    assert 2.0 <= waits[0] <= 2.5
