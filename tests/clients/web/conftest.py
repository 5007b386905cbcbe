import pytest

from .pages import document


@pytest.fixture
def context(chromium):
    """A visitor: nothing kept before, and nothing kept afterwards."""
    context = chromium.new_context(timezone_id="UTC")
    yield context
    assert context.cookies() == []
    context.close()


@pytest.fixture
def page(context):
    """A page that must not complain; a test of a reply that is a refusal says so in `page.refusals`."""
    page = context.new_page()
    page.refusals, complaints = False, []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    yield page
    # the browser itself notes each reply that is not 200, and each that it could not get
    noted = ("Failed to load resource", "Access to fetch at") if page.refusals else ()
    ours = [said for said in complaints if not said.startswith(noted)]
    assert ours == []


@pytest.fixture
def visit(page, server):
    """A page of the service's own origin with this body, opened."""

    def open_it(body, **document_parts):
        html = document(body, **document_parts)
        page.route(f"{server}/test-page", lambda route: route.fulfill(body=html, content_type="text/html"))
        page.goto(f"{server}/test-page")
        return page

    return open_it
