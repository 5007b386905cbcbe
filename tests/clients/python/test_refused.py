"""A refusal is an exception that says what to do, which field it is about, and what to send instead."""

import json
import socket

import httpx
import pytest

from climbwright.web import create_app
from climbwright_client import (
    Busy,
    Climbwright,
    ClimbwrightError,
    Failed,
    NotAnswerable,
    NotAService,
    NotOffered,
    NotSent,
    NotUnderstood,
    Refused,
    Retry,
    TooLarge,
    Unreachable,
    Unreadable,
)

from ...serving import free_port
from .asking import answering, example, problem

ONCE = Retry(attempts=1)


def test_a_wrong_field_is_named_with_its_advice(here):
    with pytest.raises(NotUnderstood) as raised:
        here.density_altitude(elevation="6150 ft", qnh="1016", oat="33 furlong")
    error = raised.value
    assert (error.status, error.title) == (422, "The request is not understood")
    assert [one.field for one in error.errors] == ["/qnh", "/oat"]
    assert all("use" in one.advice for one in error.errors)
    assert str(error).startswith("The request is not understood: /qnh: '1016' has no unit: use Pa")


def test_the_errors_are_those_of_the_problem_document(here, client):
    request = {"elevation": "6150 ft", "qnh": 1016, "oat": "33 C", "dewpoint": "9 C"}
    body = json.dumps(request)  # in this order, which Flask's own writer would change
    document = client.post("/v1/density-altitude", data=body, content_type="application/json").get_json()
    with pytest.raises(NotUnderstood) as raised:
        here.ask("density-altitude", request)
    told = [{"pointer": one.field, "detail": one.advice} for one in raised.value.errors]
    assert told == document["errors"]
    assert (raised.value.detail, raised.value.title) == (document["detail"], document["title"])


def test_what_physics_cannot_answer_is_another_kind(here):
    with pytest.raises(NotAnswerable, match="dew_point"):
        here.density_altitude(elevation="6150 ft", qnh="1016 hPa", oat="10 C", dew_point="20 C")


def test_an_unknown_operation_is_not_offered(here):
    with pytest.raises(NotOffered) as raised:
        here.ask("no-such", {})
    assert raised.value.status == 404


def test_an_unknown_option_is_refused(here):
    with pytest.raises(NotUnderstood, match="unit"):
        here.ask("atmosphere", {"altitude": "1000 ft"}, unit="si")
    with pytest.raises(NotSent, match="/units"):
        here.atmosphere(altitude="1000 ft", units=3)


def test_too_much_is_too_large():
    transport = httpx.WSGITransport(app=create_app({"MAXIMUM_BODY": 100}))
    with Climbwright("http://service.example", transport=transport) as client, pytest.raises(TooLarge) as raised:
        client.performance(**example("performance"))
    assert raised.value.status == 413


@pytest.mark.parametrize(
    ("answer", "kind", "word"),
    [
        (problem(400, "it does not parse", "/docs#unreadable"), Unreadable, "parse"),
        (problem(405), NotOffered, "no"),
        (problem(415), NotOffered, "no"),
        (problem(501, "without its part for CSV"), NotOffered, "CSV"),
        (problem(500, "an error of ours"), Failed, "ours"),
        (problem(422, "x", "/docs#not-understood", [{"pointer": "/a", "detail": "b"}]), NotUnderstood, "/a: b"),
        (problem(429, "slowly"), Busy, "slowly"),
        (problem(503, "come again"), Busy, "come again"),
        (httpx.Response(502, html="<h1>gateway</h1>"), Unreachable, "502 Bad Gateway"),
        (httpx.Response(504, html="<h1>gateway</h1>"), Unreachable, "504"),
        (httpx.Response(404, html="<h1>lost</h1>"), NotAService, "404 with text/html"),
        (httpx.Response(200, html="<h1>welcome</h1>"), NotAService, "text/html where application/json"),
        (httpx.Response(200, content=b"{}"), NotAService, "no type where application/json"),
        (httpx.Response(200, json=[1]), NotAService, "no JSON object"),
        (
            httpx.Response(200, content=b"{" * 100_000, headers={"Content-Type": "application/json"}),
            NotAService,
            "JSON",
        ),
        (httpx.Response(204), NotAService, "204"),
        (httpx.Response(301, headers={"Location": "https://service.example/"}), NotAService, "give that address"),
        (problem(400, "no", "x", [None, {}]), Unreadable, "A title"),
        (httpx.Response(400, content=b"[1]", headers={"Content-Type": "application/problem+json"}), NotAService, "400"),
        (httpx.Response(400, content=b"{", headers={"Content-Type": "application/problem+json"}), NotAService, "400"),
    ],
)
def test_each_status_has_its_kind(answer, kind, word):
    client, _ = answering(answer, retry=ONCE)
    with client, pytest.raises(ClimbwrightError, match=word) as raised:
        client.atmosphere(altitude="1000 ft")
    assert type(raised.value) is kind
    assert raised.value.status == answer.status_code
    assert str(raised.value).startswith(raised.value.title)


@pytest.mark.parametrize(
    ("options", "kind"),
    [({}, "text/plain"), ({"format": "csv"}, "text/csv"), ({"format": "json"}, "application/json"),
     ({"pick": "density"}, "text/plain")],
)  # fmt: skip
def test_a_page_that_stands_before_the_service_is_no_text_of_it(options, kind):
    client, _ = answering(httpx.Response(200, html="<h1>welcome</h1>"))
    with client, pytest.raises(NotAService, match=f"text/html where {kind}"):
        client.text("atmosphere", {"altitude": "1000 ft"}, **options)


@pytest.mark.parametrize("to", ["https://service.example/club", "/club", "//service.example/club"])
def test_the_address_that_is_sent_on_to_can_be_given_as_it_is(to):
    scheme = "https" if to.startswith("https") else "http"
    client, _ = answering(httpx.Response(307, headers={"Location": f"{to}/v1/atmosphere?units=si"}))
    with client, pytest.raises(NotAService, match=f"sends on to {scheme}://service.example/club .307.: give that"):
        client.atmosphere(altitude="1000 ft", units="si")


def test_busy_says_when_to_come_again():
    client, _ = answering(problem(503, "come again", Retry_After="7"), retry=ONCE)
    with client, pytest.raises(Busy) as raised:
        client.atmosphere(altitude="1000 ft")
    assert raised.value.retry_after == 7.0


def test_many_errors_are_counted():
    errors = [{"pointer": f"/field{n}", "detail": "wrong"} for n in range(9)]
    client, _ = answering(problem(422, "wrong", "/docs#not-understood", errors))
    with client, pytest.raises(NotUnderstood, match=r"/field4: wrong; and 4 more") as raised:
        client.atmosphere(altitude="1000 ft")
    assert len(raised.value.errors) == 9


def test_nobody_there_is_told_with_the_address():
    address = f"http://127.0.0.1:{free_port()}"
    with Climbwright(address, retry=ONCE) as client, pytest.raises(Unreachable, match=f"nothing answers at {address}"):
        client.atmosphere(altitude="1000 ft")


def test_a_service_that_never_answers_is_left_after_the_timeout():
    with socket.socket() as listening:
        listening.bind(("127.0.0.1", 0))
        listening.listen()
        address = f"http://127.0.0.1:{listening.getsockname()[1]}"
        with Climbwright(address, timeout=0.2) as client, pytest.raises(Unreachable, match="longer than the timeout"):
            client.atmosphere(altitude="1000 ft")


@pytest.mark.parametrize(
    "address", ["", "service.example", "ftp://service.example", "http://", "http://a/?b=c", None, 5]
)
def test_no_address_is_refused_at_once(address):
    with pytest.raises(ValueError, match="is no address of a service"):
        Climbwright(address)


@pytest.mark.parametrize("address", ["http://service.example/club", "http://service.example/club/"])
def test_a_service_may_stand_below_a_path(address):
    seen = []

    def handle(request):
        seen.append(request.url)
        return httpx.Response(200, json={})

    with Climbwright(address, transport=httpx.MockTransport(handle)) as client:
        client.atmosphere(altitude="1000 ft", units="si")
    assert seen == ["http://service.example/club/v1/atmosphere?units=si"]


@pytest.mark.parametrize("timeout", [None, 0, -1, float("inf"), float("nan"), "5", True])
def test_nothing_waits_for_ever(timeout):
    with pytest.raises(ValueError, match="positive number of seconds"):
        Climbwright(timeout=timeout)


@pytest.mark.parametrize(
    ("operation", "request_"), [("../x", {}), ("", {}), (5, {}), ("balance", [1]), ("balance", "x")]
)
def test_what_is_no_request_is_not_sent(here, operation, request_):
    with pytest.raises(NotSent):
        here.ask(operation, request_)


def test_the_kinds_are_a_family():
    assert issubclass(NotUnderstood, Refused)
    for kind in (Refused, NotSent, Busy, Unreachable, NotAService):
        assert issubclass(kind, ClimbwrightError)
