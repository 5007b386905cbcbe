"""The browser of the tests of pages."""

import pytest
from playwright.sync_api import sync_playwright

_ARGUMENTS = ["--no-sandbox", "--disable-dev-shm-usage", "--disable-background-networking"]


@pytest.fixture(scope="module")
def chromium():
    """Debian's chromium, for one module: while its driver runs no other test could start an event loop."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=_ARGUMENTS)
        yield browser
        browser.close()
