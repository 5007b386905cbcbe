"""The page for every eye: no accessibility fault that a machine can find, on a phone, in the dark, printed."""

import pytest

from .visit import ROOT, compare, field, unfold, visit

AXE = ROOT / "tests" / "node_modules" / "axe-core" / "axe.min.js"
LOOKS = {
    "light": {"viewport": {"width": 1200, "height": 900}},
    "dark": {"viewport": {"width": 1200, "height": 900}, "color_scheme": "dark"},
    "phone": {"viewport": {"width": 360, "height": 740}},
    "dark phone": {"viewport": {"width": 360, "height": 740}, "color_scheme": "dark"},
}
POLICY = "default-src 'self'; img-src 'self' data:; object-src 'none'; base-uri 'none'; form-action 'self'"


def violations(page):
    if not page.evaluate("Boolean(window.axe)"):
        page.evaluate(AXE.read_text("utf-8"))  # the page lets no script of others in
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")["violations"]
    return [(one["id"], [node["html"][:150] for node in one["nodes"]]) for one in found]


def is_too_wide(page):
    return page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")


@pytest.mark.parametrize("look", LOOKS)
def test_axe_finds_nothing(chromium, server, look):
    with visit(chromium, server, **LOOKS[look]) as page:
        assert violations(page) == []
        unfold(page)
        assert violations(page) == []
        assert not is_too_wide(page)
        field(page, "/shares").check()
        for at in (0, 1):
            field(page, f"/options/0/changes/{at}/group").fill("engine and propeller")
        compare(page)
        page.locator("#answer").wait_for()
        assert violations(page) == []
        assert not is_too_wide(page)
        field(page, "/baseline/engine/power").fill("85")
        compare(page)
        page.locator("[aria-invalid]").wait_for()
        assert violations(page) == []
        assert not is_too_wide(page)


def test_it_works_under_a_strict_content_security_policy(chromium, server):
    window = chromium.new_context()
    page = window.new_page()

    def strictly(route):
        reply = route.fetch()
        route.fulfill(response=reply, headers=reply.headers | {"content-security-policy": POLICY})

    page.route(f"{server}/", strictly)
    wrong = []
    page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
    page.goto(f"{server}/")
    compare(page)
    page.locator("#answer").wait_for()
    assert wrong == []
    window.close()


def test_it_keeps_nothing_in_the_browser(page):
    compare(page)
    page.locator("#answer").wait_for()
    assert page.context.cookies() == []
    assert page.evaluate("localStorage.length + sessionStorage.length") == 0


def test_it_asks_nobody_but_the_service(chromium, server):
    with visit(chromium, server) as page:
        asked = []
        page.on("request", lambda request: asked.append(request.url))
        page.reload()
        page.locator("#ask").wait_for(state="visible")
        compare(page)
        assert all(url.startswith((server, "data:")) for url in asked), asked


def test_a_print_shows_the_answer_and_its_cautions(page):
    compare(page)
    page.locator("#answer").wait_for()
    page.emulate_media(media="print")
    assert page.locator("#answer").is_visible()
    assert page.locator("climbwright-before-after").get_by_text("not a flight manual").first.is_visible()
    assert not page.locator("#ask").is_visible()


def test_what_is_said_of_a_field_describes_it(page):
    unfold(page)
    fields = page.locator("#ask .field:has(.hint)")
    assert fields.count() > 100
    assert fields.evaluate_all(
        """fields => fields.every((field) => {
          const control = field.querySelector("input, select, textarea");
          return control.getAttribute("aria-describedby").split(" ").includes(field.querySelector(".hint").id);
        })"""
    )


def test_long_names_do_not_widen_a_phones_page(chromium, server):
    long = "x" * 60
    with visit(chromium, server, viewport={"width": 360, "height": 740}) as page:
        unfold(page)
        field(page, "/baseline/name").fill(long)
        field(page, "/baseline/stations/3/name").fill(long)
        field(page, "/options/0/name").fill(long)
        field(page, "/options/0/changes/2/name").fill(long)
        field(page, "/loadings/0/name").fill(long)
        page.get_by_role("button", name="Add a loading").click()  # names stand on buttons from now on
        assert page.evaluate("document.documentElement.scrollWidth") == 360
        page.get_by_role("button", name="Remove loading 3").click()
        compare(page)
        page.locator("#answer table").first.wait_for()
        assert page.evaluate("document.documentElement.scrollWidth") == 360
        operations = page.get_by_role("region", name="Operations")
        assert operations.evaluate("table => table.scrollWidth <= table.clientWidth")
