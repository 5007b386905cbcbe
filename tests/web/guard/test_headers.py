"""The headers of every answer, by kind."""

import base64
import hashlib
import re

import pytest

from climbwright.web import create_app
from climbwright.web.settings import read_settings

from ...serving import ROOT
from .asking import QUESTION, ask

PAGES = ["/", "/docs", "/club"]
DATA = [
    QUESTION,
    f"{QUESTION}&format=csv",
    "/v1/atmosphere",
    "/v1/no-such-thing",
    "/nowhere",
    "/openapi.json",
    "/elements.js",
    "/static/style.css",
    "/health/live",
]


def headers_of(client, path, **sent):
    with client.get(path, **sent) as response:
        return response.headers


def policy(headers):
    (text,) = headers.getlist("Content-Security-Policy")
    return {name: values for name, *values in (part.split() for part in text.split(";"))}


@pytest.mark.parametrize("path", [*PAGES, *DATA])
def test_every_answer_says_once_what_it_is(client, path):
    headers = headers_of(client, path)
    assert headers.getlist("X-Content-Type-Options") == ["nosniff"]
    assert headers.getlist("Referrer-Policy") == ["no-referrer"]
    assert headers.getlist("Cross-Origin-Resource-Policy") == ["same-origin"]
    assert policy(headers)["frame-ancestors"] == ["'none'"]
    assert policy(headers)["default-src"] == ["'none'"]
    assert "Strict-Transport-Security" not in headers


@pytest.mark.parametrize("path", DATA)
def test_data_may_do_nothing(client, path):
    assert set(policy(headers_of(client, path))) == {"default-src", "frame-ancestors"}


@pytest.mark.parametrize("path", PAGES)
def test_a_page_runs_its_own_scripts_only(client, path):
    headers = headers_of(client, path)
    said = policy(headers)
    assert said["script-src"] == ["'self'"]
    assert said["connect-src"] == ["'self'"]
    assert said["base-uri"] == said["form-action"] == ["'none'"]
    assert not any("unsafe" in value or "*" in value for values in said.values() for value in values)
    assert headers["Cross-Origin-Opener-Policy"] == "same-origin"
    assert "geolocation=()" in headers["Permissions-Policy"]


@pytest.mark.parametrize("path", PAGES)
def test_what_stands_in_a_page_is_what_its_policy_names(client, path):
    with client.get(path) as response:
        html, said = response.get_data(as_text=True), policy(response.headers)
    assert not re.search(r"<[^>]+\s(on[a-z]+|style)=", html)
    assert all(re.search(r'src=|type="application/json"', tag) for tag in re.findall(r"<script[^>]*>", html))
    for style in re.findall(r"<style[^>]*>(.*?)</style>", html, re.DOTALL):
        digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in said["style-src"]


@pytest.mark.parametrize("method", ["HEAD", "OPTIONS", "POST", "DELETE"])
def test_so_does_every_method(client, method):
    assert client.open(QUESTION, method=method).headers["X-Content-Type-Options"] == "nosniff"


def test_so_does_what_was_not_changed(client):
    tag = client.get(QUESTION).headers["ETag"]
    response = client.get(QUESTION, headers={"If-None-Match": tag})
    assert response.status_code == 304
    assert response.headers.getlist("X-Content-Type-Options") == ["nosniff"]


@pytest.mark.parametrize(
    ("peer", "told", "expected"),
    [("10.0.0.1", "https", True), ("10.0.0.1", "http", False), ("203.0.113.1", "https", False)],
)
def test_https_is_held_to_where_a_trusted_proxy_says_so(peer, told, expected):
    client = create_app(read_settings({"CLIMBWRIGHT_PROXIES": "10.0.0.0/8"})).test_client()
    for path in (QUESTION, "/"):
        sent = {"environ_base": {"REMOTE_ADDR": peer}, "headers": {"X-Forwarded-Proto": told}}
        assert ("Strict-Transport-Security" in headers_of(client, path, **sent)) is expected
    assert ("https://localhost/v1/comparison" in client.get("/", **sent).text) is expected


@pytest.mark.parametrize("path", ["/", QUESTION, "/v1/atmosphere", "/nowhere"])
def test_gunicorn_sends_them_and_no_version_of_itself(server, path):
    headers = ask(server, path).headers
    assert headers.get_all("X-Content-Type-Options") == ["nosniff"]
    assert not re.search(r"\d", headers.get("Server", ""))


@pytest.mark.parametrize("name", ["RateLimit", "RateLimit-Policy", "Retry-After", "ETag", "X-Request-Id"])
def test_a_page_of_a_named_origin_may_read_them(name):
    client = create_app(read_settings({"CLIMBWRIGHT_ORIGINS": "https://club.example"})).test_client()
    response = client.get(QUESTION, headers={"Origin": "https://club.example"})
    assert name in response.headers["Access-Control-Expose-Headers"].split(", ")


def test_it_may_send_a_key():
    client = create_app(read_settings({"CLIMBWRIGHT_ORIGINS": "https://club.example"})).test_client()
    asking = {"Origin": "https://club.example", "Access-Control-Request-Method": "POST"}
    response = client.options("/v1/performance", headers=asking)
    assert "Authorization" in response.headers["Access-Control-Allow-Headers"]


def test_the_club_page_is_the_one_that_was_hashed():
    assert "<style>" in (ROOT / "service" / "climbwright" / "web" / "club.html").read_text("utf-8")
