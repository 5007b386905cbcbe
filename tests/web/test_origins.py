"""Pages of other origins: nothing unless the setting names them, then every answer, refusals too."""

import pytest

from climbwright.web import create_app
from climbwright.web.settings import read_settings

CLUB, OTHER = "https://club.example", "https://other.example"
QUESTION = "/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C"
ASKING_FIRST = {
    "Origin": CLUB,
    "Access-Control-Request-Method": "POST",
    "Access-Control-Request-Headers": "content-type",
}


@pytest.fixture(scope="module")
def open_to_the_club():
    settings = read_settings({"CLIMBWRIGHT_ORIGINS": f"{CLUB} http://127.0.0.1:8100"})
    return create_app(settings).test_client()


def cors(response):
    return {name: value for name, value in response.headers.items() if name.startswith("Access-Control-")}


@pytest.mark.parametrize(
    "path", [QUESTION, "/v1/nothing", "/v1/atmosphere?altitude=6", "/", "/elements.js", "/health/live"]
)
def test_an_origin_named_may_read_every_answer(open_to_the_club, path):
    with open_to_the_club.get(path, headers={"Origin": CLUB}) as response:
        assert cors(response)["Access-Control-Allow-Origin"] == CLUB
        assert "Access-Control-Allow-Credentials" not in response.headers
        assert "Origin" in response.vary


@pytest.mark.parametrize(
    "origin", [OTHER, "null", "http://club.example", f"{CLUB}:8443", f"{CLUB}.evil.example", CLUB.upper()]
)
@pytest.mark.parametrize("path", [QUESTION, "/elements.js"])
def test_no_other_origin_may(open_to_the_club, path, origin):
    with open_to_the_club.get(path, headers={"Origin": origin}) as response:
        assert not cors(response)
        assert "Origin" in response.vary  # a cache must not give the club's answer to the other


def test_without_the_setting_nobody_may(client):
    for response in (client.get(QUESTION, headers={"Origin": CLUB}), client.options("/v1/fleet", headers=ASKING_FIRST)):
        assert response.status_code in (200, 204)
        assert not cors(response)


@pytest.mark.parametrize("operation", ["performance", "comparison", "fleet", "balance"])
def test_a_browser_that_asks_first_is_told(open_to_the_club, operation):
    response = open_to_the_club.options(f"/v1/{operation}", headers=ASKING_FIRST)
    assert response.status_code == 204
    told = cors(response)
    assert told["Access-Control-Allow-Origin"] == CLUB
    assert "POST" in told["Access-Control-Allow-Methods"]
    assert "Content-Type" in told["Access-Control-Allow-Headers"]
    assert int(told["Access-Control-Max-Age"]) > 0


def test_what_was_not_changed_is_readable_too(open_to_the_club):
    first = open_to_the_club.get(QUESTION, headers={"Origin": CLUB})
    again = open_to_the_club.get(QUESTION, headers={"Origin": CLUB, "If-None-Match": first.headers["ETag"]})
    assert again.status_code == 304
    assert cors(again)["Access-Control-Allow-Origin"] == CLUB
    assert "ETag" in cors(again)["Access-Control-Expose-Headers"]


@pytest.mark.parametrize(
    "value",
    [
        "*",
        "null",
        "club.example",
        f"{CLUB}/",
        f"{CLUB}/page",
        "https://CLUB.example",
        f"{CLUB},{OTHER}",
        "ftp://club.example",
    ],
)
def test_what_is_no_origin_stops_the_start(value):
    with pytest.raises(ValueError, match=r"CLIMBWRIGHT_ORIGINS must be origins.*https://club\.example"):
        read_settings({"CLIMBWRIGHT_ORIGINS": value})
