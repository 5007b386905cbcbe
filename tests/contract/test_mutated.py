"""The document's schemas are the service's: what they reject is refused, and what they accept is answered or refused by
physics, or by a rule that stands in words. Documented examples are changed, and the document judges."""

import json

import pytest
from hypothesis import HealthCheck, given, note, seed, settings

from ..web.asking import refused
from .document import DOCUMENT, validator
from .mutating import BODIES, EXAMPLES, mutated
from .rules import DECIDED, NOT_ANSWERABLE, NOT_UNDERSTOOD, RULES, unsaid

MADE = ("/v1/fleet",)  # whose rows are requests of another operation


@pytest.fixture(scope="module")
def quick(app):
    """One client for all that is drawn."""
    return app.test_client()


@pytest.mark.parametrize("path", EXAMPLES)
def test_the_service_takes_what_the_document_takes(quick, path):
    judge = validator(BODIES[path]["schema"])
    seen = set()

    @seed(2026)
    @settings(max_examples=60, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(mutated(path))
    def judged(body):
        note(json.dumps(body))
        fits = judge.is_valid(body)
        response = quick.post(path, data=json.dumps(body), content_type="application/json")
        seen.add((fits, response.status_code))
        if response.status_code == 200:
            assert fits, [error.message for error in judge.iter_errors(body)]
            return
        problem = refused(response, 400, 413, 422)
        if fits:
            assert response.status_code == 422
            assert problem["type"] in (NOT_ANSWERABLE, NOT_UNDERSTOOD)
            if problem["type"] == NOT_UNDERSTOOD:
                assert not unsaid(problem, made=path in MADE)

    judged()
    assert {(True, 200), (False, 422)} <= seen  # both ways were drawn


def test_every_kind_of_rule_stands_in_the_document():
    for path in BODIES:
        words = DOCUMENT["paths"][path]["post"]["responses"]["422"]["description"]
        assert all(kind in words for kind in (*RULES, DECIDED)), path
