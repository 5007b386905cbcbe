"""A browser for the service's own page."""

import pytest
from playwright.sync_api import sync_playwright

from .visit import ARGUMENTS, EXECUTABLE, visit


@pytest.fixture(scope="module")
def browser():
    """One browser for the tests of a module."""
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=EXECUTABLE, args=ARGUMENTS)
        yield chromium
        chromium.close()


@pytest.fixture
def page(browser, server):
    """The page as a visitor finds it. A script's error or a complaint in the console fails the test."""
    with visit(browser, server) as page:
        yield page
