"""Numbers far from any aeroplane, and descriptions with pieces missing: answered or refused, never failed at."""

import copy
import json
import random

import pytest

from .asking import EXAMPLES, OPERATIONS, REQUESTS, refused
from .mutations import nodes
from .test_malformed import still_answers

SEED = 2027


def request_of(operation):
    own = REQUESTS / f"{operation}.json"
    return json.loads((own if own.exists() else EXAMPLES / f"{operation}.json").read_text("utf-8"))


def scaled(text, factor):
    number, _, unit = text.partition(" ")
    return f"{float(number) * factor!r} {unit}".strip()


def numbers(body):
    for path, value in nodes(body):
        if isinstance(value, str) and path[-1] not in ("name", "metar"):
            try:
                float(value.partition(" ")[0])
            except ValueError:
                continue
            yield path, value


def parent(body, path):
    for part in path[:-1]:
        body = body[part]
    return body


def settled(client, operation, body, query=""):
    """Whether a request was answered or refused as it should be; the text says what came instead."""
    response = client.post(f"/v1/{operation}{query}", json=body)
    if response.status_code == 422:
        assert refused(response, 422)["errors"]
        return None
    return None if response.status_code == 200 else f"{response.status_code} {response.text[:200]}"


@pytest.mark.parametrize("operation", OPERATIONS)
def test_numbers_far_from_any_aeroplane(client, operation):
    source, base = random.Random(SEED), request_of(operation)
    found = list(numbers(base))
    failed = []
    for _ in range(400):
        body = copy.deepcopy(base)
        changed = {}
        for path, text in source.sample(found, min(len(found), source.choice([1, 1, 1, 2, 3]))):
            changed[path] = scaled(text, 10 ** source.uniform(-3, 3) * source.choice([1, 1, 1, -1, 0]))
            parent(body, path)[path[-1]] = changed[path]
        problem = settled(client, operation, body)
        if problem:
            failed.append((changed, problem))
    assert not failed, failed[:5]
    still_answers(client)


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("form", ["json", "csv", "text"])
def test_a_piece_missing(client, operation, form):
    base = request_of(operation)
    failed = []
    for path, _ in nodes(base):
        body = copy.deepcopy(base)
        del parent(body, path)[path[-1]]
        problem = settled(client, operation, body, f"?format={form}")
        if problem:
            failed.append((path, problem))
    assert not failed, failed[:5]
    still_answers(client)


@pytest.mark.parametrize("operation", ["comparison", "performance", "balance"])
def test_several_pieces_missing(client, operation):
    source, base = random.Random(SEED), request_of(operation)
    found = [path for path, _ in nodes(base)]
    failed = []
    for _ in range(300):
        body, gone = copy.deepcopy(base), sorted(source.sample(found, source.choice([2, 3, 5])), key=str, reverse=True)
        for path in gone:
            try:
                del parent(body, path)[path[-1]]
            except (KeyError, IndexError, TypeError):
                continue  # it went with what it was part of
        problem = settled(client, operation, body)
        if problem:
            failed.append((gone, problem))
    assert not failed, failed[:5]
    still_answers(client)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("aircraft", "empty", "arm"), "21.2 m"),  # a decimal point astray puts the CG behind the tail
        (("aircraft", "stalls", 0, "arm"), "12.8 m"),
        (("aircraft", "stalls", 1, "arm"), "6.7 m"),
        (("aircraft", "stations", 0, "arm"), "52.6 m"),
        (("aircraft", "empty", "arm"), "-40 m"),
    ],
)
def test_a_cg_beyond_the_tail(client, path, value):
    body = request_of("performance")
    parent(body, path)[path[-1]] = value
    assert settled(client, "performance", body) is None


@pytest.mark.parametrize("kind", ["fixed-pitch", "constant-efficiency"])
@pytest.mark.parametrize("altitude", ["50000 ft", "56000 ft", "65000 ft", "95000 ft"])
def test_air_too_thin_for_any_power(client, kind, altitude):
    body = request_of("performance")
    body["conditions"] = [{"name": "very high", "density_altitude": altitude}]
    if kind == "constant-efficiency":
        body["aircraft"]["propeller"] = {"kind": kind, "efficiency": 0.8, "diameter": "1.7 m"}
    response = client.post("/v1/performance", json=body)
    if response.status_code == 422:
        refused(response, 422)
        return
    assert response.status_code == 200, response.text
    measures = response.json["results"][0]["measures"]
    assert measures["best_climb_rate"]["value"] < 0
    assert measures["power_available"]["value"] >= 0
