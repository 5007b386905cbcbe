import json

import pytest

from climbwright.web import create_app

from .asking import EXAMPLES, REQUESTS


@pytest.fixture(scope="session")
def app():
    return create_app()


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def example():
    """A fresh copy of an operation's documented request, for a test to change."""

    def read(operation):
        return json.loads((EXAMPLES / f"{operation}.json").read_text("utf-8"))

    return read


@pytest.fixture
def given_request():
    """A fresh copy of a request of these tests' own, whose numbers they work out by hand."""

    def read(operation):
        return json.loads((REQUESTS / f"{operation}.json").read_text("utf-8"))

    return read
