"""The pages under their policy, in a browser: everything they offer works, and nothing else runs."""

import json

import pytest

from climbwright.web.guard.keys import entry_of, new_key

from ...serving import free_port, serving
from ..web.pages import document, element, performance, serving_pages

# Chromium tells the page of what its policy stopped, shadow roots included.
WATCH = "addEventListener('securitypolicyviolation', e => (window.stopped ??= []).push(e.violatedDirective), true)"
PAGES = ["/", "/docs", "/club"]


@pytest.fixture
def page(chromium):
    context = chromium.new_context(accept_downloads=True, permissions=["clipboard-read", "clipboard-write"])
    page, complaints = context.new_page(), []
    page.complaints = complaints
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: complaints.append(said.text) if said.type in ("error", "warning") else None)
    page.add_init_script(WATCH)
    yield page
    context.close()


def stopped(page):
    return page.evaluate("window.stopped ?? []")


@pytest.mark.parametrize("path", PAGES)
def test_a_page_is_whole_on_the_screen_and_printed(page, server, path):
    page.goto(f"{server}{path}", wait_until="networkidle")
    page.emulate_media(media="print")
    assert page.pdf().startswith(b"%PDF")
    page.emulate_media(media="screen", color_scheme="dark")
    page.wait_for_timeout(100)
    assert stopped(page) == page.complaints == []
    # its style is there: a page without one has the browser's own font
    assert "Times" not in page.evaluate("getComputedStyle(document.body).fontFamily")


@pytest.mark.parametrize("path", PAGES)
def test_nothing_that_is_written_into_it_runs(page, server, path):
    page.goto(f"{server}{path}", wait_until="networkidle")
    page.evaluate(
        """() => {
          const script = document.createElement("script");
          script.textContent = "window.ran = true";
          document.body.append(script);
          const picture = document.createElement("div");
          picture.innerHTML = "<img src=x onerror='window.ran = true'><p style='position: fixed'>x</p>";
          document.body.append(picture);
        }"""
    )
    page.wait_for_timeout(300)
    assert page.evaluate("window.ran ?? false") is False
    assert {"script-src-elem", "style-src-attr"} <= set(stopped(page))
    reached = page.evaluate("fetch('http://127.0.0.1:1/').then(() => 'sent', () => 'not sent')")
    assert reached == "not sent"
    assert "connect-src" in stopped(page)


def test_the_form_compares_copies_and_saves(page, server):
    page.goto(f"{server}/")
    with page.expect_response("**/v1/comparison*") as reply:
        page.get_by_role("button", name="Compare").click()
    assert reply.value.status == 200
    page.locator("#answer").wait_for()
    page.locator("#as-json").evaluate("fold => { fold.open = true; }")
    page.locator("#as-json").get_by_role("button").first.wait_for()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save").click()
    assert "baseline" in json.loads(download.value.path().read_text("utf-8"))
    for button in page.get_by_role("button", name="Copy").all():
        if button.is_visible():
            button.click()
            assert page.evaluate("navigator.clipboard.readText()")
    assert page.pdf().startswith(b"%PDF")
    assert stopped(page) == page.complaints == []


def weigh(page):
    page.get_by_role("button", name="Weigh it").click()
    page.locator("climbwright-balance svg").wait_for(timeout=60_000)


def test_the_elements_of_the_club_answer(page, server):
    page.goto(f"{server}/club")
    weigh(page)
    page.get_by_role("button", name="Compare").click()
    page.locator("climbwright-before-after tbody").first.wait_for(timeout=60_000)
    assert page.pdf().startswith(b"%PDF")
    assert stopped(page) == page.complaints == []


ISOLATED = {"Cross-Origin-Embedder-Policy": "require-corp", "Cross-Origin-Opener-Policy": "same-origin"}


@pytest.mark.parametrize("headers", [{}, ISOLATED])
def test_a_page_of_a_named_origin_still_loads_the_elements_and_asks(page, headers):
    port = free_port()
    with serving(CLIMBWRIGHT_ORIGINS=f"http://127.0.0.1:{port}", CLIMBWRIGHT_RATE="600/minute") as address:
        settings = {name: performance()[name] for name in ("aircraft", "loadings")}
        inside = element("balance", settings, f'service="{address}"')
        pages = {"/": document(inside, script=f"{address}/elements.js")}
        with serving_pages(pages, headers=headers, port=port) as club:
            page.goto(club)
            weigh(page)
            told = page.evaluate(
                "address => fetch(address).then(reply => reply.headers.get('RateLimit-Policy'))",
                f"{address}/v1/atmosphere?altitude=6150ft",
            )
        assert told == '"client";q=600;w=60'
        assert page.complaints == []


@pytest.mark.parametrize("path", [*PAGES, "/v1/atmosphere?altitude=6150ft"])
def test_no_page_may_frame_it(page, server, path):
    with serving_pages({"/": f'<!doctype html><title>x</title><iframe src="{server}{path}"></iframe>'}) as other:
        page.goto(other, wait_until="networkidle")
        assert any("frame-ancestors" in said for said in page.complaints)
        assert "climbwright" not in page.frames[-1].content()


def test_who_has_a_key_uses_the_page_of_a_service_that_needs_one(chromium):
    """The browser itself asks its user for the key, as the password of a dialog, and keeps it while it runs."""
    key = new_key()
    with serving(CLIMBWRIGHT_KEYS=entry_of("club", key)) as address:
        for word, shown in ((key, "#answer"), (new_key(), "text=does not know the key")):
            context = chromium.new_context(http_credentials={"username": "anybody", "password": word})
            page = context.new_page()
            page.goto(f"{address}/")
            page.get_by_role("button", name="Compare").click()
            page.locator(shown).first.wait_for()
            context.close()
