"""Malformed requests, 300 seeded and more by hand: each a problem that names its field, then a good answer."""

import json

import pytest

from .asking import ask, pointers, refused
from .mutations import drawn

DRAWN = drawn(300)


def still_answers(client):
    assert ask(client, "atmosphere", {"altitude": "0 m"})["density"]["value"] == pytest.approx(1.225, rel=1e-5)


def names(document, pointer):
    """Whether an error of a refusal names a field or something inside it, or the one that is to be sent instead."""
    return any(found == pointer or found.startswith(pointer + "/") for found in pointers(document))


@pytest.mark.parametrize(("operation", "body", "pointer"), [c[1:] for c in DRAWN], ids=[c[0] for c in DRAWN])
def test_mutated_example(client, operation, body, pointer):
    text = json.dumps(body)  # surrogates go out escaped, as a client's library sends them
    response = client.post(f"/v1/{operation}", data=text, content_type="application/json")
    document = refused(response, 422)
    assert names(document, pointer), (pointer, pointers(document))
    assert len(response.text) < 60_000
    still_answers(client)
