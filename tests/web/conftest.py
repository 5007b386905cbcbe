import json

import pytest

from climbwright.web import create_app

from .asking import EXAMPLES


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
