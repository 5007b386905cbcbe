"""Every answer has an id that its user can quote: his own where it is plain, else a new one."""

import re

import pytest

from climbwright.web import create_app

PLAIN = ("a", "A-1_b.c", "0123456789abcdef0123456789ABCDEF", "x" * 64)
ODD = ("", "x" * 65, "two words", "a,b", "päonie", 'quote"', "line%0A", "<b>", "{}")
ADDRESSES = ("/", "/docs", "/metrics", "/health/ready", "/static/place.js", "/v1/atmosphere?altitude=0ft", "/nowhere")


def new(identity):
    return re.fullmatch("[0-9a-f]{32}", identity) is not None


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_answer_has_one(client, address):
    first, second = (client.get(address, buffered=True).headers["X-Request-Id"] for _ in range(2))
    assert new(first)
    assert new(second)
    assert first != second


@pytest.mark.parametrize("method", ["head", "options", "post", "put"])
def test_every_method_has_one(client, method):
    assert new(getattr(client, method)("/v1/atmosphere").headers["X-Request-Id"])


@pytest.mark.parametrize("given", PLAIN)
def test_a_plain_one_is_taken_up(client, given):
    for address in ADDRESSES:
        answer = client.get(address, headers={"X-Request-Id": given}, buffered=True)
        assert answer.headers.getlist("X-Request-Id") == [given]


@pytest.mark.parametrize("given", ODD)
def test_another_is_not(client, given):
    answer = client.get("/v1/atmosphere?altitude=0ft", headers={"X-Request-Id": given})
    (identity,) = answer.headers.getlist("X-Request-Id")
    assert new(identity)


def test_an_answer_that_has_not_changed_has_its_own(client):
    address = "/v1/atmosphere?altitude=123ft"
    tag = client.get(address, headers={"X-Request-Id": "first"}).headers["ETag"]
    same = client.get(address, headers={"X-Request-Id": "second", "If-None-Match": tag})
    assert (same.status_code, same.headers["X-Request-Id"]) == (304, "second")


def test_a_fault_names_it(monkeypatch):
    def fail(*_):
        raise RuntimeError

    monkeypatch.setattr("climbwright.web.operations.air_answers.atmosphere", fail)
    for settings in ({}, {"METRICS": False}, {"LOG": "requests"}):
        answer = create_app(settings).test_client().get("/v1/atmosphere?altitude=0ft", headers={"X-Request-Id": "mine"})
        assert answer.status_code == 500
        assert answer.json["detail"].endswith("(request ID mine)")
