"""What a visitor does with the page, and what it asks."""

import contextlib
import json
import re
import urllib.parse
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
EXAMPLES = ROOT / "openapi" / "examples"
# The browser itself notes each refused or failed request in the console.
NOTED_BY_THE_BROWSER = re.compile(r"^Failed to load resource: (the server responded with a status of [45]|net::ERR_)")


@contextlib.contextmanager
def visit(browser, address, **context):
    """A page that was just opened, in a window of its own."""
    window = browser.new_context(**context)
    page = window.new_page()
    wrong = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda message: wrong.append(message.text) if message.type in ("error", "warning") else None)
    page.goto(f"{address}/")
    page.locator("#ask").wait_for(state="visible")
    yield page
    window.close()
    assert [text for text in wrong if not NOTED_BY_THE_BROWSER.match(text)] == []


def example(name="comparison.json"):
    """A documented request."""
    return json.loads((EXAMPLES / name).read_text("utf-8"))


def post(address, body, query="?units=aviation"):
    """The service's answer to a comparison, asked without the page."""
    request = urllib.request.Request(
        f"{address}/v1/comparison{query}", json.dumps(body).encode(), {"Content-Type": "application/json"}
    )
    with urllib.request.urlopen(request, timeout=30) as reply:
        return json.load(reply)


def compare(page):
    """Presses the button and gives the answer that came."""
    with page.expect_response("**/v1/comparison*") as reply:
        page.get_by_role("button", name="Compare").click()
    return reply.value.json()


def asked(page):
    """The request that the page would send now."""
    return json.loads(page.locator("#json").input_value())


def put(page, request):
    """Edits the request as JSON, as text or as an object, and takes it over into the form."""
    page.locator("#as-json").evaluate("fold => { fold.open = true; }")
    page.locator("#json").fill(request if isinstance(request, str) else json.dumps(request))
    page.locator("#json").blur()


def field(page, pointer):
    """The control of one place of the request."""
    return page.locator(f'[id="at:{quoted(pointer)}"]')


def quoted(pointer):
    """As a browser's encodeURIComponent has it."""
    return urllib.parse.quote(pointer, safe="!'()*-._~")


def unfold(page):
    """Opens everything that folds."""
    page.evaluate("for (const fold of document.querySelectorAll('#ask details')) fold.open = true;")
