"""An operation that will go says so in every answer, and in the document; none does today."""

from dataclasses import replace
from datetime import UTC, date, datetime
from email.utils import parsedate_to_datetime

import pytest
from flask import Blueprint

from climbwright.web import create_app
from climbwright.web.deprecation import Deprecation
from climbwright.web.endpoints import register
from climbwright.web.openapi import read_example
from climbwright.web.openapi.operations import path_item
from climbwright.web.operations import OPERATIONS

GOING = Deprecation(since=date(2031, 3, 1), until=date(2032, 3, 1), successor="density-altitude")


@pytest.fixture
def old():
    """A service that has an operation which goes beside those that stay."""
    blueprint = Blueprint("old", __name__, url_prefix="/old")
    register(blueprint, replace(OPERATIONS["atmosphere"], deprecation=GOING))
    app = create_app({})
    app.register_blueprint(blueprint)
    return app.test_client()


@pytest.mark.parametrize(
    ("query", "status"), [("altitude=6000ft", 200), ("altitude=6000", 422), ("altitude=6000ft&format=csv", 200)]
)
def test_every_answer_says_that_the_operation_goes(old, query, status):
    response = old.get(f"/old/atmosphere?{query}")
    assert response.status_code == status
    assert response.headers["Deprecation"].startswith("@")
    since = datetime.fromtimestamp(int(response.headers["Deprecation"][1:]), UTC)
    assert since.date() == GOING.since
    assert parsedate_to_datetime(response.headers["Sunset"]).date() == GOING.until
    assert 'rel="successor-version"' in response.headers["Link"]


def test_an_operation_that_stays_says_nothing(old, client):
    assert "Deprecation" not in old.get("/v1/atmosphere?altitude=6000ft").headers
    for operation in OPERATIONS.values():
        response = client.post(f"/v1/{operation.name}", json=read_example(operation.name))
        assert "Sunset" not in response.headers


def test_the_reference_has_what_the_link_names(client):
    page = client.get("/docs").text
    assert 'id="deprecated"' in page
    assert page.count('id="versions"') == 1


class _Components:
    """Takes a component and keeps nothing."""

    def schema(self, *_, **__):
        """As apispec's."""


class _Spec:
    components = _Components()


def test_the_document_marks_it():
    posted = path_item(replace(OPERATIONS["calibration"], deprecation=GOING), _Spec(), None)["post"]
    assert posted["deprecated"] is True
    assert "2032-03-01" in posted["description"]
    assert "deprecated" not in path_item(OPERATIONS["calibration"], _Spec(), None)["post"]
