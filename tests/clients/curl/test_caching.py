"""An answer to a GET can be kept and asked for again by its ETag, which costs no computing."""

import json
import subprocess

import pytest

from climbwright.web import endpoints, openapi

PATHS = json.loads((openapi.ROOT / "openapi.json").read_text("utf-8"))["paths"]
ASKED = [path for path, methods in PATHS.items() if path.startswith("/v1/") and "get" in methods]

each_get = pytest.mark.parametrize("path", ASKED)


def question(path):
    """The documented example of a GET."""
    return f"{path}?{openapi.query_text(openapi.query_example(path.removeprefix('/v1/')))}"


def curl(*arguments):
    """Status, headers and body of an answer."""
    said = subprocess.run(
        ["curl", "--silent", "--show-error", "--include", *arguments], capture_output=True, text=True, check=True
    ).stdout
    head, body = said.replace("\r\n", "\n").split("\n\n", 1)
    status, *lines = head.splitlines()
    return int(status.split()[1]), dict(line.lower().split(": ", 1) for line in lines), body


@each_get
def test_an_answer_carries_what_a_cache_needs(server, path):
    status, headers, body = curl(server + question(path))
    assert status == 200
    assert headers["etag"].startswith('"')
    assert headers["cache-control"] == "private, max-age=300"
    assert headers["vary"] == "accept, origin"
    assert json.loads(body)
    by_head = curl("--head", server + question(path))
    assert (by_head[0], by_head[1]["etag"], by_head[2]) == (200, headers["etag"], "")


@each_get
def test_the_same_again_is_answered_304_without_a_body(server, path):
    url = server + question(path)
    _, headers, _ = curl(url)
    again = curl("--header", f"If-None-Match: {headers['etag']}", url)
    assert (again[0], again[1]["etag"], again[2]) == (304, headers["etag"], "")
    assert curl("--header", f"If-None-Match: {headers['etag']}", f"{url}&units=si")[0] == 200
    assert curl("--header", 'If-None-Match: "another"', url)[0] == 200


@each_get
def test_304_comes_before_anything_is_computed(client, monkeypatch, path):
    tag = client.get(question(path)).headers["ETag"]
    computed = []

    def answer(*arguments):
        computed.append(arguments)
        raise AssertionError("computed")

    monkeypatch.setattr(endpoints, "answer", answer)
    for ask in (client.get, client.head):
        again = ask(question(path), headers={"If-None-Match": tag})
        assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", tag)
        assert computed == []
    other = f"{question(path)}&units=si"  # one that was not answered before is computed
    assert client.get(other).status_code == 500
    assert len(computed) == 1


@pytest.mark.parametrize("path", ["/v1/comparison", "/v1/fleet"])
def test_a_post_is_answered_without_etag(client, path):
    content = PATHS[path]["post"]["requestBody"]["content"]["application/json"]
    answer = client.post(path, json=content["examples"]["invented"]["value"])
    assert answer.status_code == 200
    assert "ETag" not in answer.headers
