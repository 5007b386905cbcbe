"""What the tests of the Python client share: documented requests, answers as JSON has them, and invented servers."""

import dataclasses
import json
from pathlib import Path

import httpx

from climbwright_client import Climbwright, Quantity

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "openapi" / "examples"
DOCUMENT = json.loads((ROOT / "openapi" / "openapi.json").read_text("utf-8"))
OPERATIONS = sorted(path.removeprefix("/v1/") for path in DOCUMENT["paths"] if path.startswith("/v1/"))


def example(operation):
    return json.loads((EXAMPLES / f"{operation}.json").read_text("utf-8"))


def as_json(answer):
    """An answer as it came over the wire, from what the client made of it."""
    if isinstance(answer, Quantity):
        told = dataclasses.asdict(answer)
        return {name: value for name, value in told.items() if name in ("value", "unit") or value is not None}
    if isinstance(answer, dict):
        return {name: as_json(value) for name, value in answer.items()}
    return [as_json(value) for value in answer] if isinstance(answer, list) else answer


def answering(*answers, **options):
    """A client of an invented server that gives these answers one after the other, and the list of its waits.

    An answer is a response, an exception to be raised, or a function of the request.
    """
    left, waits = list(answers), []

    def handle(request):
        answer = left.pop(0) if len(left) > 1 else left[0]
        if isinstance(answer, Exception):
            raise answer
        return answer(request) if callable(answer) else answer

    client = Climbwright("http://service.example", transport=httpx.MockTransport(handle), **options)
    client._sleep = waits.append
    return client, waits


def problem(status, detail="no", kind="about:blank", errors=(), **headers):
    document = {"type": kind, "title": "A title", "status": status, "detail": detail, "errors": list(errors)}
    told = {
        "Content-Type": "application/problem+json",
        **{name.replace("_", "-"): said for name, said in headers.items()},
    }
    return httpx.Response(status, content=json.dumps(document), headers=told)
