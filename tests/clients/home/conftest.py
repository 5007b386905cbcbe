import pytest

from .visit import visit


@pytest.fixture
def page(chromium, server):
    """The page as a visitor finds it. A script's error or a complaint in the console fails the test."""
    with visit(chromium, server) as page:
        yield page
