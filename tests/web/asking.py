"""How the tests ask: over HTTP, as a client does, and what they demand of every answer and every refusal."""

import csv
import json
from pathlib import Path

ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "openapi" / "examples"
REQUESTS = Path(__file__).parent / "requests"
PUBLISHED = Path(__file__).parent / "published"
COMPANIONS = ROOT / "tests" / "published" / "data"  # tables of check values shared with the function-level tests
OPERATIONS = (
    "atmosphere",
    "density-altitude",
    "airspeed",
    "position-error",
    "stall-speed",
    "climb-estimate",
    "balance",
    "performance",
    "comparison",
    "calibration",
    "test-plan",
    "requirement",
    "operability",
)
SMALL = OPERATIONS[:7]
QUERIED = (*SMALL, "performance")  # which have a GET


def rows(path):
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def ask(client, operation, query=(), **options):
    """The answer to a GET."""
    response = client.get(f"/v1/{operation}", query_string=[*dict(query).items(), *options.items()])
    return _answered(response)


def send(client, operation, body, **options):
    """The answer to a POST."""
    return _answered(client.post(f"/v1/{operation}", json=body, query_string=options))


def _answered(response):
    assert response.status_code == 200, response.text
    assert response.mimetype == "application/json"
    return json.loads(response.text, parse_constant=_not_json)


def _not_json(word):
    raise AssertionError(f"{word} is not JSON")


def refused(response, *statuses):
    """The problem document of a refusal, whole and well formed."""
    assert response.status_code in statuses, (response.status_code, response.text[:500])
    assert response.mimetype == "application/problem+json"
    assert response.headers["Cache-Control"] == "no-store"
    document = json.loads(response.text, parse_constant=_not_json)
    assert {"type", "title", "status", "detail", "errors"} <= document.keys()
    assert document["status"] == response.status_code
    assert document["type"]
    assert document["title"]
    assert document["detail"]
    for error in document["errors"]:
        assert error.keys() == {"pointer", "detail"}
        assert error["pointer"] == "" or error["pointer"].startswith("/")
        assert error["detail"]
    assert "Traceback" not in response.text
    return document


def pointers(document):
    return [error["pointer"] for error in document["errors"]]


def near(found, expected, tolerance):
    """Whether a number lies within a stated tolerance; a hair of rounding is not counted against it."""
    return abs(found - expected) <= tolerance + 1e-9 * abs(expected)
