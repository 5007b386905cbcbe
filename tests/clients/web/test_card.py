"""What all elements share: trouble in words, age, languages, the keyboard, accessibility, and being a good guest."""

import gzip
import json
import re

import pytest

from ...serving import free_port, serving
from .pages import (
    SCRIPT,
    accessibility_faults,
    club,
    comparison,
    document,
    element,
    performance,
    serving_pages,
)

ALL = {"conditions": "Work it out", "balance": "Weigh it", "before-after": "Compare"}


def settings_of(name):
    return comparison() if name == "before-after" else club()


def all_elements(attributes=""):
    return "".join(element(name, settings_of(name), attributes) for name in ALL)


def fill_in(page):
    page.get_by_label("Temperature", exact=True).fill("31")
    page.get_by_label("QNH", exact=True).fill("1017")


def ask_all(page):
    fill_in(page)
    for name, button in ALL.items():
        page.get_by_role("button", name=button).click()
        page.locator(f"climbwright-{name} .cautions").first.wait_for()


def status(page, name="conditions"):
    return page.locator(f"climbwright-{name} .status")


# -- guests of other origins ------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def service_for():
    """A service that answers pages of one other origin, and that origin's port."""
    port = free_port()
    with serving(CLIMBWRIGHT_ORIGINS=f"http://127.0.0.1:{port}") as address:
        yield address, port


def test_a_page_of_another_origin_asks_the_service_that_its_script_came_from(page, service_for):
    service, port = service_for
    with serving_pages({"/": document(all_elements(), script=f"{service}/elements.js")}, port=port) as origin:
        page.goto(origin)
        ask_all(page)


def test_a_page_with_its_own_copy_of_the_script_names_the_service(page, service_for):
    service, port = service_for
    with serving_pages({"/": document(all_elements(f'service="{service}/"'))}, port=port) as origin:
        page.goto(origin)
        ask_all(page)


def test_an_origin_that_the_service_does_not_answer_is_told_so(page, service_for):
    service, _ = service_for
    page.refusals = True
    with serving_pages({"/": document(element("balance", club(), f'service="{service}"'))}) as origin:
        page.goto(origin)
        page.get_by_role("button", name="Weigh it").click()
        status(page, "balance").get_by_text("cannot be reached from this page").wait_for()
        assert service in status(page, "balance").inner_text()


# -- trouble ----------------------------------------------------------------------------------------------------------


@pytest.fixture
def cards(visit):
    page = visit(all_elements())
    fill_in(page)
    return page


@pytest.mark.parametrize(
    ("reply", "words"),
    [
        (None, "cannot be reached from this page"),
        ({"status": 503, "headers": {"Retry-After": "7"}}, "busy. Try again in 7 seconds."),
        ({"status": 503}, "busy. Try again."),
        ({"status": 502, "body": "<html>no</html>", "content_type": "text/html"}, "answered with status 502"),
        ({"status": 200, "body": "<html>sign in</html>", "content_type": "text/html"}, "answered with status 200"),
    ],
    ids=["down", "busy", "busy, unsaid how long", "a proxy's page", "a sign-in page"],
)
def test_every_trouble_is_told_in_words_and_asking_again_works(cards, reply, words):
    page = cards
    page.refusals = True
    page.route("**/v1/**", lambda route: route.fulfill(**reply) if reply else route.abort())
    for name, button in ALL.items():
        page.get_by_role("button", name=button).click()
        status(page, name).get_by_text(words).wait_for()
        assert page.locator(f"climbwright-{name} .cautions").count() == 0
    page.unroute("**/v1/**")
    ask_all(page)


def test_the_service_that_went_down_is_told_and_the_old_figures_say_that_they_are_old(page):
    page.refusals = True
    with serving() as service:
        page.route("**/test-page", lambda route: route.fulfill(body=document(all_elements()), content_type="text/html"))
        page.goto(f"{service}/test-page")
        ask_all(page)
    for name, button in ALL.items():
        page.get_by_role("button", name=button).click()
        status(page, name).get_by_text("cannot be reached").wait_for()
        assert "the last question was not answered" in page.locator(f"climbwright-{name} .old").inner_text()


def test_a_service_that_does_not_answer_is_given_up(visit):
    page = visit(element("balance", club()))
    page.refusals = True
    page.evaluate("AbortSignal.timeout = () => AbortSignal.abort(new DOMException('late', 'TimeoutError'))")
    page.get_by_role("button", name="Weigh it").click()
    status(page, "balance").get_by_text("did not answer within 30 seconds").wait_for()


@pytest.mark.parametrize(
    ("attributes", "inside", "words"),
    [
        ("", "", "neither settings of its own nor a src"),
        ("", '<script type="application/json">{"aircraft": }</script>', "not JSON"),
        ('src="/nowhere.json"', "", "could not be fetched"),
        ("", '<script type="application/json">{"aircraft": {}}</script>', "lack aircraft.stations"),
        ("", '<script type="application/json">["aircraft"]</script>', "an object in braces"),
        ("", '<script type="application/json">null</script>', "an object in braces"),
        ("", '<script type="application/json">{"aircraft": {"stations": 5}}</script>', "do not have the shape"),
        ("", '<script type="application/json">{"aircraft": {"stations": [null]}}</script>', "do not have the shape"),
        ('src="#nothing"', "", "not JSON"),
    ],
)
def test_an_element_that_is_not_set_up_says_what_it_lacks(visit, attributes, inside, words):
    page = visit(element("balance", attributes=attributes, inside=inside))
    page.refusals = True
    page.get_by_role("alert").get_by_text(words).wait_for()


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize(
    ("code", "body", "words"),
    [
        (200, "{}", "cannot show it"),
        (200, "[]", "cannot show it"),
        (200, "", "status 200"),
        (200, "<html>", "status 200"),
        (422, '{"errors": "bad"}', "status 422"),
        (422, '{"errors": [null]}', "status 422"),
        (422, '{"errors": []}', "status 422"),
    ],
)
def test_an_answer_of_something_else_is_told(cards, name, code, body, words):
    ask_all(cards)
    cards.refusals = True
    cards.route("**/v1/**", lambda route: route.fulfill(status=code, body=body, content_type="application/json"))
    cards.get_by_role("button", name=ALL[name]).click()
    status(cards, name).get_by_text(words).wait_for()
    card = cards.locator(f"climbwright-{name}")
    assert card.locator("button").get_attribute("aria-disabled") is None
    # figures of the question before stay where they can be told from an answer, and say what they are
    assert card.locator(".figures").count() == (words != "cannot show it")
    assert card.locator(".old").is_visible() == bool(card.locator(".figures").count())


# -- age --------------------------------------------------------------------------------------------------------------


def test_figures_grow_old(page, server):
    page.clock.install()
    page.route("**/test-page", lambda route: route.fulfill(body=document(all_elements()), content_type="text/html"))
    page.goto(f"{server}/test-page")
    ask_all(page)
    old = page.locator("climbwright-balance .old")
    page.clock.fast_forward("29:00")
    assert old.is_hidden()
    page.clock.fast_forward("02:00")
    assert "31 minutes ago" in old.inner_text()
    page.get_by_role("button", name="Weigh it").click()
    old.wait_for(state="hidden")


def test_figures_say_when_the_inputs_are_others_by_now(cards):
    ask_all(cards)
    for name, field in (("conditions", "QNH"), ("balance", "fuel")):
        assert cards.locator(f"climbwright-{name} .old").is_hidden()
        cards.get_by_label(field, exact=True).press_sequentially("1")
        assert "inputs were changed since" in cards.locator(f"climbwright-{name} .old").inner_text()


# -- settings and words -----------------------------------------------------------------------------------------------


def test_settings_come_from_an_address_a_block_of_the_page_or_a_property(page, server):
    block = f'<script type="application/json" id="club">{json.dumps(club())}</script>'
    body = (
        block
        + element("balance", attributes='src="/club.json" id="a"')
        + element("balance", attributes='src="#club" id="b"')
    )
    html = document(
        body
        + element("balance", club(title="Our aeroplane"), 'id="c"')
        + '<climbwright-balance id="d"></climbwright-balance>'
    )
    page.route("**/test-page", lambda route: route.fulfill(body=html, content_type="text/html"))
    page.route("**/club.json", lambda route: route.fulfill(json=club()))
    page.goto(f"{server}/test-page")
    page.locator("#d").get_by_role("alert").wait_for()
    page.evaluate("(settings) => { document.getElementById('d').settings = settings; }", club())
    for name in "abcd":
        page.locator(f"#{name}").get_by_role("button").click()
        page.locator(f"#{name} svg").wait_for()
    assert page.get_by_role("heading", name="Our aeroplane").count() == 1


def test_every_text_can_be_replaced(visit):
    page = visit(all_elements())
    ask_all(page)
    for name in ALL:
        # every text of the element, letters turned round, the places of its parts kept
        texts = page.evaluate(
            "(name) => { const card = document.querySelector(name); const turned = Object.fromEntries("
            "Object.entries(card.defaultTexts).map(([key, text]) => [key, text.replace(/[a-z]+(?![^{]*})/gi, 'ξ')]));"
            "card.texts = turned; return turned; }",
            f"climbwright-{name}",
        )
        assert texts["estimate"].startswith("ξ")
        page.locator(f"climbwright-{name} .estimate").get_by_text("ξ").wait_for()
    page.locator("climbwright-before-after tbody").first.wait_for()
    for name in ALL:
        shown = page.locator(
            f"climbwright-{name} :is(h2, h3, .lead, .estimate, label, legend, button, summary, thead th, dt)"
        )
        words = " ".join(shown.all_inner_texts())
        assert "ξ" in words
        # what is left is the club's data, the names of units, and the service's own sentences
        for ours in ("Temperature", "Weight", "Before", "Loading", "Cautions", "Assumed", "estimate", "Best rate"):
            assert ours not in words


def test_numbers_are_written_in_the_language_of_the_element(visit):
    texts = {"balance.ask": "Wiegen", "balance.inside": "in den Grenzen", "balance.now": "Beladen: {place}."}
    page = visit(element("balance", club(texts=texts), 'lang="de"'))
    page.get_by_role("button", name="Wiegen").click()
    page.locator("svg").wait_for()
    assert page.locator("td[data-measure=cg_arm]").first.inner_text() == "1,902"
    assert status(page, "balance").inner_text().startswith("Beladen: in den Grenzen. 572,2 kg")
    assert "1,90" in page.locator("svg").text_content()
    page.evaluate("document.querySelector('climbwright-balance').lang = 'en'")
    page.locator("td[data-measure=cg_arm]").first.get_by_text("1.902").wait_for()


def test_what_was_typed_outlives_another_language_but_not_other_settings(visit):
    page = visit(element("balance", club()))
    page.get_by_label("fuel", exact=True).fill("33")
    page.evaluate("document.querySelector('climbwright-balance').lang = 'fr'")
    page.get_by_label("fuel", exact=True).wait_for()
    assert page.get_by_label("fuel", exact=True).input_value() == "33"
    page.evaluate("(settings) => { document.querySelector('climbwright-balance').settings = settings; }", club())
    page.wait_for_function(
        "document.querySelector('climbwright-balance').shadowRoot.getElementById('station-1').value === '60'"
    )


def test_two_copies_of_the_script_do_not_clash(page, server):
    head = f'<script type="module" src="{server}/elements.js?copy=2"></script>'
    html = document(all_elements(), head=head)
    page.route("**/test-page", lambda route: route.fulfill(body=html, content_type="text/html"))
    before = "Object.keys(globalThis)"
    page.goto(f"{server}/docs")
    plain = set(page.evaluate(before))
    page.goto(f"{server}/test-page")
    ask_all(page)
    assert page.locator("climbwright-balance svg").count() == 1
    assert {name for name in page.evaluate(before) if not name.startswith("__")} - plain == set()


# -- a good guest -----------------------------------------------------------------------------------------------------


def test_a_strict_content_security_policy_is_enough(page, service_for):
    service, port = service_for
    policy = f"default-src 'none'; script-src 'self'; style-src 'self'; connect-src {service}; img-src data:"
    pages = {"/": document(all_elements(f'service="{service}"'))}
    with serving_pages(pages, {"Content-Security-Policy": policy}, port=port) as origin:
        page.goto(origin)
        ask_all(page)
        assert (
            page.locator("climbwright-balance svg rect.slat").first.evaluate("node => getComputedStyle(node).stroke")
            != "none"
        )


def test_nothing_is_kept_and_nothing_is_sent_but_the_question(visit, server, context):
    context.add_cookies([{"name": "club", "value": "member", "url": server}])
    page = visit(all_elements())
    asked = []
    page.on("request", lambda request: asked.append(request))
    ask_all(page)
    assert {request.url.split("?")[0] for request in asked} == {
        f"{server}/v1/{operation}" for operation in ("performance", "density-altitude", "balance", "comparison")
    }
    assert all("cookie" not in request.all_headers() and "referer" not in request.all_headers() for request in asked)
    assert page.evaluate("[localStorage.length, sessionStorage.length, document.cookie]") == [0, 0, "club=member"]
    assert page.evaluate("indexedDB.databases()") == []
    context.clear_cookies()


def test_the_script_is_small():
    assert len(gzip.compress(SCRIPT.read_bytes(), 9)) <= 30_000


def test_the_clubs_page_holds_the_examples_aeroplanes_and_its_text_its_own_limits():
    page = (SCRIPT.parent / "club.html").read_text("utf-8")
    club_settings, compared = (
        json.loads(block)
        for block in re.findall(r'<script type="application/json"[^>]*>(.*?)</script>', page, re.DOTALL)
    )
    assert club_settings["aircraft"] == performance()["aircraft"]
    assert compared == comparison()
    spoken = re.sub(r"<script.*?</script>", "", page, flags=re.DOTALL).replace(",", "")
    for limit in club_settings["limits"]:
        assert (limit.get("at_most") or limit.get("at_least")) in spoken
    for said in (club_settings["strip"]["elevation"], club_settings["strip"]["length"]):
        assert said in spoken


def test_the_page_is_useful_before_the_script_runs(chromium, server):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{server}/club")
    text = page.locator("main").inner_text()
    for words in ("at most 9,500 ft", "Greatest weight 620 kg", "112 hp", "invented"):
        assert words in text
    assert page.get_by_role("link", name="ask the service yourself").count() == 3
    context.close()


# -- reading and the keyboard -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1000, 360])
def test_axe_finds_nothing_in_any_state(chromium, server, scheme, width):
    context = chromium.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)
    page = context.new_page()
    page.goto(f"{server}/club")
    page.get_by_role("button", name="Compare").wait_for()

    def check():
        assert accessibility_faults(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= width

    check()
    ask_all(page)
    for details in page.locator("details").all():
        details.evaluate("node => { node.open = true; }")
    check()
    page.get_by_label("fuel", exact=True).fill("200")
    page.get_by_label("QNH", exact=True).fill("1,017")
    page.get_by_role("button", name="Weigh it").click()
    page.get_by_role("button", name="Work it out").click()
    page.locator("climbwright-balance [aria-invalid=true]").wait_for()
    page.locator("climbwright-conditions [aria-invalid=true]").wait_for()
    check()
    page.get_by_label("a coded report").check()
    page.route("**/v1/**", lambda route: route.abort())
    page.get_by_label("Coded report", exact=True).fill("METAR XXXX 010000Z 21006KT 29/08 Q1018")
    page.get_by_role("button", name="Work it out").click()
    status(page).get_by_text("cannot be reached").wait_for()
    check()
    context.close()


def test_everything_works_from_the_keyboard(visit):
    page = visit(element("conditions", club()))
    page.get_by_label("temperature and QNH").wait_for()
    for keys in ("Tab", "Tab", "31", "Tab", "Tab", "1017", "Enter"):
        page.keyboard.type(keys) if keys.isdigit() else page.keyboard.press(keys)
    page.locator(".tile").first.wait_for()
    # back to the choice, over to the report, and into its field
    for _ in range(4):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("document.activeElement.shadowRoot.activeElement.id") == "way-typed":
            break
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.type("METAR XXXX 241300Z 21006KT 9999 29/08 Q1018")
    page.keyboard.press("Tab")
    with page.expect_response("**/v1/performance*") as reply:
        page.keyboard.press("Enter")
    assert reply.value.status == 200


def test_results_and_faults_are_announced(visit):
    page = visit(element("balance", club()))
    live = page.locator(".status")
    live.wait_for(state="attached")
    assert live.get_attribute("aria-live") == "polite"
    assert live.inner_text() == ""
    live.evaluate(
        "node => { window.said = []; new MutationObserver(() => window.said.push(node.textContent))"
        ".observe(node, {childList: true, characterData: true, subtree: true}); }"
    )
    page.get_by_role("button", name="Weigh it").click()
    page.locator("svg").wait_for()
    said = page.evaluate("window.said")
    assert said[0] == "Asking the service …"
    assert said[-1].startswith("As loaded: inside the limits. 572.2 kg")


def test_long_names_do_not_widen_a_phones_page(visit):
    long = "x" * 60
    settings = {name: json.loads(json.dumps(settings_of(name)).replace('"fuel"', f'"{long}"')) for name in ALL}
    settings["before-after"]["options"][0]["name"] = long
    settings["before-after"]["options"][0]["changes"][2]["name"] = long
    page = visit("".join(element(name, settings[name]) for name in ALL))
    page.set_viewport_size({"width": 360, "height": 740})
    ask_all(page)
    assert page.evaluate("document.documentElement.scrollWidth") == 360
