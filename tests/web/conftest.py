import json

import pytest

from .asking import EXAMPLES, REQUESTS


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
