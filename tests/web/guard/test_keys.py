"""Keys: who may ask what; nobody is told more than that."""

import base64
import hashlib
import hmac
import json
import re

import pytest
from click.testing import CliRunner

from climbwright.batch.command import main
from climbwright.web import create_app
from climbwright.web.guard.keys import NEEDED_FOR, TABLES, Keys, new_key, read_keys
from climbwright.web.operations import OPERATIONS
from climbwright.web.settings import read_settings

from .asking import QUESTION

CLUB, OTHER, UNKNOWN = new_key(), new_key(), new_key()
FLEET = json.dumps({"columns": {}}).encode()


def entry(name, key):
    return f"{name}:{hashlib.sha256(key.encode()).hexdigest()}"


def service(**settings):
    keys = f"{entry('club', CLUB)} {entry('other', OTHER)}"
    return create_app(read_settings({"CLIMBWRIGHT_KEYS": keys} | settings)).test_client()


@pytest.fixture(scope="module", params=list(NEEDED_FOR))
def needed_for(request):
    return request.param, service(CLIMBWRIGHT_KEYS_FOR=request.param)


@pytest.fixture(scope="module")
def closed():
    return service()


def bearer(key):
    return {"Authorization": f"Bearer {key}"}


def basic(key, user="anybody"):
    return {"Authorization": "Basic " + base64.b64encode(f"{user}:{key}".encode()).decode()}


@pytest.mark.parametrize("authorization", [bearer(CLUB), basic(CLUB), basic(CLUB, user=""), basic(OTHER)])
def test_who_holds_a_key_is_answered(closed, client, authorization):
    assert closed.get(QUESTION, headers=authorization).data == client.get(QUESTION).data


@pytest.mark.parametrize(
    "authorization",
    [
        {},
        bearer(UNKNOWN),
        bearer(CLUB[:-1]),
        bearer(CLUB.upper()),
        bearer(""),
        basic(UNKNOWN),
        basic("", user=CLUB),
        {"Authorization": CLUB},
        {"Authorization": "Basic ===="},
        {"Authorization": "Basic"},
        {"Authorization": f"Digest username={CLUB}"},
        {"Authorization": "Bearer \u00e9\u00ff"},
        {"X-Api-Key": CLUB},
    ],
)
def test_nobody_else_is(closed, authorization):
    response = closed.get(QUESTION, headers=authorization)
    assert response.status_code == 401
    assert response.content_type == "application/problem+json"
    assert {one.split()[0] for one in response.headers["WWW-Authenticate"].split(", ")} >= {"Basic", "Bearer"}
    assert response.headers["Cache-Control"] == "no-store"
    told = response.get_json()
    assert told["status"] == 401
    assert "key" in told["detail"]
    for secret in (CLUB, UNKNOWN, hashlib.sha256(CLUB.encode()).hexdigest()):
        assert secret not in response.text


def test_a_hash_is_no_key(closed):
    assert closed.get(QUESTION, headers=bearer(entry("club", CLUB).partition(":")[2])).status_code == 401


def refused(client, method, path):
    body = {"data": FLEET, "content_type": "application/json"} if method == "POST" else {}
    with client.open(path, method=method, **body) as response:
        return response.status_code == 401


def test_what_needs_a_key_is_what_the_setting_says(needed_for):
    setting, client = needed_for
    needing = {
        "all": {"get", "post", "table"},
        "post": {"post", "table"},
        "tables": {"table"},
    }[setting]
    assert refused(client, "GET", QUESTION) == ("get" in needing)
    assert refused(client, "HEAD", QUESTION) == ("get" in needing)
    assert refused(client, "GET", "/v1/no-such-thing") == ("get" in needing)
    assert refused(client, "POST", "/v1/performance") == ("post" in needing)
    assert all(refused(client, "POST", path) == ("table" in needing) for path in TABLES)
    assert refused(client, "GET", "/metrics")


@pytest.mark.parametrize(
    "path",
    ["/", "/docs", "/club", "/openapi.json", "/elements.js", "/static/style.css", "/health/live", "/health/ready"],
)
def test_what_everybody_may_see_needs_none(needed_for, path):
    with needed_for[1].get(path) as response:
        assert response.status_code == 200


@pytest.mark.parametrize("path", ["/v1/fleet", "/v1/performance", "/v1/atmosphere"])
def test_a_browser_asks_first_without_one(needed_for, path):
    assert needed_for[1].options(path).status_code == 204


@pytest.mark.parametrize(
    "path", ["//v1/fleet", "/v1//fleet", "/%761/fleet", "/v1/%66leet", "/v1/fleet?", "///v1///fleet"]
)
def test_no_spelling_of_an_address_goes_round_it(needed_for, path):
    answered = needed_for[1].post(path, data=FLEET, content_type="application/json", follow_redirects=True)
    assert answered.status_code in (401, 404, 405)


@pytest.mark.parametrize("setting", ["post", "tables"])
def test_an_unknown_key_is_told_of_where_none_is_needed_too(setting):
    client = service(CLIMBWRIGHT_KEYS_FOR=setting)
    assert client.get(QUESTION).status_code == 200
    assert client.get(QUESTION, headers=bearer(UNKNOWN)).status_code == 401


def test_without_keys_nothing_is_asked_for(client):
    assert client.get(QUESTION, headers=bearer(UNKNOWN)).status_code == 200


def test_the_tables_are_the_operations_that_read_them():
    assert {f"/v1/{name}" for name, operation in OPERATIONS.items() if operation.body} | {"/v1/fleet"} == TABLES


@pytest.mark.parametrize("authorization", [{}, bearer(UNKNOWN)])
def test_a_cell_reads_why(closed, authorization):
    response = closed.get(f"{QUESTION}&errors=text", headers=authorization)
    assert response.status_code == 200
    assert response.content_type == "text/plain; charset=utf-8"
    assert "key" in response.text
    assert len(response.text) <= 255
    assert response.headers["Cache-Control"] == "no-store"


def test_every_entry_is_compared_to_the_end(monkeypatch):
    compared = []
    real = hmac.compare_digest
    monkeypatch.setattr(hmac, "compare_digest", lambda one, two: compared.append(one) or real(one, two))
    everybody = [new_key() for _ in range(5)]
    keys = Keys(read_keys(" ".join(entry(f"n{i}", key) for i, key in enumerate(everybody))))
    for key in [*everybody, UNKNOWN]:
        compared.clear()
        with create_app({}).test_request_context(headers=bearer(key)) as context:
            keys.holder(context.request.authorization)
        assert len(compared) == len(everybody)


def test_two_keys_of_one_name_both_open():
    settings = read_settings({"CLIMBWRIGHT_KEYS": f"{entry('club', CLUB)} {entry('club', OTHER)}"})
    client = create_app(settings).test_client()
    assert {client.get(QUESTION, headers=bearer(key)).status_code for key in (CLUB, OTHER)} == {200}


@pytest.mark.parametrize(
    "value",
    [CLUB, f"club:{CLUB}", f":{'0' * 64}", f"a b:{'0' * 64}", f"club:{'0' * 63}g", f"a:{'0' * 64} b:{'0' * 64}"],
)
def test_a_setting_that_is_none_stops_the_start_without_quoting_it(value):
    with pytest.raises(ValueError, match="CLIMBWRIGHT_KEYS") as stopped:
        read_settings({"CLIMBWRIGHT_KEYS": value})
    assert CLUB not in str(stopped.value)


@pytest.mark.parametrize("settings", [{"CLIMBWRIGHT_KEYS_FOR": "post"}, {"CLIMBWRIGHT_REDIS": "redis://127.0.0.1"}])
def test_a_setting_that_does_nothing_alone_stops_the_start(settings):
    with pytest.raises(ValueError, match=r"is set and CLIMBWRIGHT_.* is not"):
        read_settings(settings)


def test_the_command_makes_a_key_that_opens():
    made = CliRunner().invoke(main, ["key", "club"])
    assert made.exit_code == 0
    key, setting = made.stdout.splitlines()
    assert re.fullmatch("[0-9a-f]{48}", key)  # 192 bits
    client = create_app(read_settings({"CLIMBWRIGHT_KEYS": setting})).test_client()
    assert client.get(QUESTION, headers=bearer(key)).status_code == 200
    assert key not in setting
    assert CliRunner().invoke(main, ["key", "club"]).stdout != made.stdout


@pytest.mark.parametrize("name", ["a b", "a:b", "", "-", "x" * 41])
def test_the_command_refuses_a_name_that_no_setting_can_hold(name):
    made = CliRunner().invoke(main, ["key", "--", name])
    assert made.exit_code != 0
    assert "NAME: a name has" in made.output
