"""The limit as a client meets it, in one process."""

import re

import pytest

from climbwright.web import create_app
from climbwright.web.guard.rates import COSTS
from climbwright.web.settings import read_settings

from .asking import QUESTION, left
from .test_keys import CLUB, OTHER, bearer, entry


def service(**settings):
    return create_app(read_settings({"CLIMBWRIGHT_RATE": "3/hour"} | settings)).test_client()


def as_from(address):
    return {"environ_base": {"REMOTE_ADDR": address}}


@pytest.fixture
def limited():
    return service()


def test_an_answer_says_how_much_is_left(limited):
    replies = [limited.get(QUESTION) for _ in range(3)]
    assert [left(reply) for reply in replies] == [2, 1, 0]
    for number, reply in enumerate(replies, 1):
        assert reply.headers["RateLimit-Policy"] == '"client";q=3;w=3600'
        seconds = int(re.fullmatch(r'"client";r=\d+;t=(\d+)', reply.headers["RateLimit"])[1])
        assert 0 <= number * 1200 - seconds < 60


def test_who_asks_more_often_is_told_when_to_come_back(limited):
    for _ in range(3):
        assert limited.get(QUESTION).status_code == 200
    response = limited.get(QUESTION)
    assert response.status_code == 429
    assert response.content_type == "application/problem+json"
    assert response.headers["Cache-Control"] == "no-store"
    assert 1100 <= int(response.headers["Retry-After"]) <= 1200
    assert left(response) == 0
    told = response.get_json()
    assert told["status"] == 429
    assert f"in {response.headers['Retry-After']} s" in told["detail"]
    assert "127.0.0.1" not in response.text


def test_a_cell_reads_it(limited):
    for _ in range(3):
        limited.get(f"{QUESTION}&errors=text")
    response = limited.get(f"{QUESTION}&errors=text")
    assert (response.status_code, response.content_type) == (200, "text/plain; charset=utf-8")
    assert "ask again in" in response.text
    assert len(response.text) <= 255


def test_retry_after_is_a_whole_second_at_least(monkeypatch):
    client = service(CLIMBWRIGHT_RATE="100/second")
    monkeypatch.setattr("time.monotonic_ns", lambda: 10**15)  # no time goes by
    replies = [client.post("/v1/atmosphere") for _ in range(103)]
    refused = [reply for reply in replies if reply.status_code == 429]
    assert [reply.headers["Retry-After"] for reply in refused] == ["1"] * 3


def test_every_answer_counts_whatever_it_is(limited):
    first = limited.get(QUESTION)
    again = limited.get(QUESTION, headers={"If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    wrong = limited.get("/v1/atmosphere?altitude=nonsense")
    assert wrong.status_code == 422
    assert [left(reply) for reply in (first, again, wrong)] == [2, 1, 0]
    assert limited.get("/v1/no-such-thing").status_code == 429


def test_a_cell_that_asks_three_times_counts_once(limited):
    for expected in (2, 1, 0):
        path = f"{QUESTION}&units=us,speed:{['mph', 'kt', 'm/s'][expected]}"
        assert "RateLimit" not in limited.options(path).headers
        assert left(limited.head(path)) == expected
        reply = limited.get(path)
        assert (reply.status_code, left(reply)) == (200, expected)
    assert limited.head(QUESTION).status_code == 429


@pytest.mark.parametrize(
    "path", ["/", "/docs", "/club", "/health/live", "/health/ready", "/elements.js", "/openapi.json"]
)
def test_pages_and_health_are_not_counted(limited, path):
    for _ in range(5):
        with limited.get(path) as response:
            assert response.status_code == 200
            assert "RateLimit" not in response.headers


def test_without_the_setting_nothing_is_counted(client):
    assert "RateLimit" not in client.get(QUESTION).headers


def test_clients_are_told_apart_by_their_address(limited):
    assert [left(limited.get(QUESTION, **as_from(f"203.0.113.{i}"))) for i in (1, 2, 1, 2)] == [2, 2, 1, 1]
    neighbours = ["2001:db8::1", "2001:db8::2:3:4:5", "2001:db8:0:1::1"]
    assert [left(limited.get(QUESTION, **as_from(address))) for address in neighbours] == [2, 1, 2]


def test_a_client_makes_itself_no_other_by_what_it_writes(limited):
    told = [{"X-Forwarded-For": f"198.51.100.{i}", "Forwarded": f"for=198.51.100.{i}"} for i in range(3)]
    assert [left(limited.get(QUESTION, headers=headers)) for headers in told] == [2, 1, 0]


def test_behind_a_proxy_each_client_has_its_own():
    client = service(CLIMBWRIGHT_PROXIES="127.0.0.0/8")
    told = ["198.51.100.1", "198.51.100.2", "198.51.100.9, 198.51.100.1"]
    assert [left(client.get(QUESTION, headers={"X-Forwarded-For": chain})) for chain in told] == [2, 2, 1]


def test_a_key_is_counted_by_its_name_wherever_it_is_used():
    client = service(CLIMBWRIGHT_KEYS=f"{entry('club', CLUB)} {entry('other', OTHER)}", CLIMBWRIGHT_KEYS_FOR="post")

    def remaining(address, **headers):
        return left(client.get(QUESTION, **as_from(address), headers=headers))

    asked = [("203.0.113.1", bearer(CLUB)), ("203.0.113.2", bearer(CLUB)), ("203.0.113.1", bearer(OTHER))]
    assert [remaining(address, **headers) for address, headers in asked] == [2, 1, 2]
    assert remaining("203.0.113.1") == 2  # without a key the address counts


@pytest.mark.parametrize("path", sorted(COSTS))
def test_a_table_costs_as_much_as_it_works(path):
    client = service(CLIMBWRIGHT_RATE="30/hour")
    assert left(client.post(path)) == 30 - COSTS[path]
    assert client.post(path).status_code == 429
    assert left(client.get(QUESTION)) == 29 - COSTS[path]  # a small question still fits


@pytest.mark.parametrize("path", sorted(COSTS))
def test_a_table_can_be_asked_under_the_smallest_rate(path):
    client = service(CLIMBWRIGHT_RATE="1/hour")
    assert client.post(path).status_code != 429
    assert client.post(path).status_code == 429


@pytest.mark.parametrize(
    "value",
    [
        "redis.example:6379",
        "http://redis.example",
        "redis://",
        "memory",
        "redis://user:sec/ret@h",
        "redis://[",
        "redis://h:x",
    ],
)
def test_what_is_no_redis_stops_the_start_without_quoting_it(value):
    with pytest.raises(ValueError, match=r"CLIMBWRIGHT_REDIS must be the address of a Redis") as stopped:
        read_settings({"CLIMBWRIGHT_REDIS": f"{value}#secret"})
    assert "sec" not in str(stopped.value)
