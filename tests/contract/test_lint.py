"""The rules of openapi/lint.yaml bite: a good document passes, and each way to spoil it is found."""

import copy
import json
import subprocess
from pathlib import Path
from typing import Any

import pytest

LINT = Path(__file__).with_name("lint")
SPECTRAL = LINT.parents[1] / "node_modules" / ".bin" / "spectral"

pytestmark = pytest.mark.skipif(not SPECTRAL.exists(), reason="tests/run installs the npm packages")

PROBLEM = {"content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}}
GOOD: dict[str, Any] = {
    "openapi": "3.1.0",
    "info": {"title": "Gliders", "version": "1", "description": "An invented service."},
    "servers": [{"url": "https://example.org"}],
    "tags": [{"name": "glide", "description": "Gliding."}],
    "paths": {
        "/v1/glide": {
            "post": {
                "operationId": "post_glide",
                "summary": "Glide",
                "description": "How far it glides.",
                "tags": ["glide"],
                "parameters": [
                    {"name": "pick", "in": "query", "schema": {"type": "string", "examples": ["ratio"]}},
                    {"name": "units", "in": "query", "schema": {"type": "string"}, "example": "si"},
                ],
                "requestBody": {
                    "content": {
                        "application/json": {
                            "schema": {"$ref": "#/components/schemas/Glide"},
                            "examples": {"one": {"value": {"height": {"value": 300, "unit": "m"}}}},
                        }
                    }
                },
                "responses": {
                    "200": {
                        "description": "The answer.",
                        "content": {
                            "application/json": {
                                "schema": {"$ref": "#/components/schemas/Glide"},
                                "example": {"height": {"value": 300, "unit": "m"}},
                            },
                            "text/csv": {"schema": {"type": "string", "examples": ["height [m]\r\n300\r\n"]}},
                        },
                    },
                }
                | {status: {"description": "Refused.", **PROBLEM} for status in ("400", "404", "422", "500")},
            }
        }
    },
    "components": {
        "schemas": {
            "Glide": {
                "type": "object",
                "properties": {
                    "height": {"$ref": "#/components/schemas/Height", "examples": [{"value": 300, "unit": "m"}]}
                },
            },
            "Height": {
                "type": "object",
                "properties": {
                    "value": {"type": "number", "examples": [300]},
                    "unit": {"type": "string", "example": "m"},
                },
            },
            "Problem": {"type": "object", "properties": {"title": {"type": "string", "examples": ["Not Found"]}}},
        }
    },
}
OPERATION = ["paths", "/v1/glide", "post"]
SCHEMAS = ["components", "schemas"]
ANSWER = [*OPERATION, "responses", "200", "content"]
# What is taken away, and the rule that misses it.
TAKEN: list[tuple[list[str | int], str]] = [
    ([*OPERATION, "operationId"], "operation-named"),
    ([*OPERATION, "summary"], "operation-named"),
    ([*OPERATION, "description"], "operation-named"),
    ([*SCHEMAS, "Glide", "properties", "height", "examples"], "property-example"),
    ([*SCHEMAS, "Height", "properties", "value", "examples"], "property-example"),
    ([*SCHEMAS, "Problem", "properties", "title", "examples"], "property-example"),
    ([*OPERATION, "parameters", 0, "schema", "examples"], "query-example"),
    ([*OPERATION, "parameters", 1, "example"], "query-example"),
    ([*OPERATION, "requestBody", "content", "application/json", "examples"], "body-example"),
    ([*ANSWER, "application/json", "example"], "calculation-answer-example"),
    ([*ANSWER, "text/csv", "schema", "examples"], "answer-example"),
    ([*OPERATION, "responses", "200", "content"], "answer-described"),
    ([*OPERATION, "responses", "400"], "calculation-errors"),
    ([*OPERATION, "responses", "404"], "operation-errors"),
    ([*OPERATION, "responses", "422"], "calculation-errors"),
    ([*OPERATION, "responses", "500"], "operation-errors"),
    ([*OPERATION, "responses", "422", "content"], "error-is-problem"),
    ([*OPERATION, "responses", "500", "content", "application/problem+json"], "error-is-problem"),
]


def without(path: list[str | int]) -> dict[str, Any]:
    document = copy.deepcopy(GOOD)
    holder: Any = document
    for step in path[:-1]:
        holder = holder[step]
    del holder[path[-1]]
    return document


@pytest.fixture(scope="module")
def found(tmp_path_factory) -> dict[str, set[str]]:
    """The rules that spoke, by document; all in one run, since starting the linter takes seconds."""
    folder = tmp_path_factory.mktemp("documents")
    documents = {"good": GOOD} | {f"spoilt-{number}": without(path) for number, (path, _) in enumerate(TAKEN)}
    for name, document in documents.items():
        (folder / f"{name}.json").write_text(json.dumps(document))
    command = [LINT, "--format", "json", *sorted(folder.glob("*.json"))]
    outcome = subprocess.run(command, capture_output=True, text=True)
    assert outcome.returncode == 1, outcome.stderr
    spoke: dict[str, set[str]] = {name: set() for name in documents}
    for finding in json.loads(outcome.stdout):
        spoke[Path(finding["source"]).stem].add(finding["code"])
    return spoke


def test_a_good_document_passes(found):
    assert found["good"] == set()


@pytest.mark.parametrize("number", range(len(TAKEN)), ids=lambda n: "/".join(map(str, TAKEN[n][0][-3:])))
def test_a_spoilt_document_is_found(found, number):
    assert TAKEN[number][1] in found[f"spoilt-{number}"]
