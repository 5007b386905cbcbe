"""What happens while a question is on its way: the answer shown is the last one's, and for what the fields say."""

import pytest

from .pages import club, element, number

# Holds back each answer until the test lets it go, by its place in the order of the questions.
HOLD_BACK = """() => {
  const real = window.fetch, gates = [];
  window.fetch = async (...asked) => {
    const gate = new Promise((open) => gates.push(open));
    const reply = await real(...asked);
    await gate;
    return reply;
  };
  window.letGo = (place) => gates[place]();
}"""


@pytest.fixture
def balance(visit):
    """The element for balance."""
    page = visit(element("balance", club()) + '<div id="elsewhere"></div>')
    card = page.locator("climbwright-balance")
    card.locator("button").wait_for()
    return card


@pytest.fixture
def held(balance):
    """The element, its answers held back."""
    balance.page.evaluate(HOLD_BACK)
    return balance


def weigh(card, load):
    card.locator("#station-0").fill(load)
    card.locator("button").click()


def let_go(card, place=0):
    card.page.evaluate("letGo", place)


def weight(card):
    return number(card.locator("tbody tr:first-child td").first.inner_text())


def is_asking(card):
    button = card.locator("button").get_attribute("aria-disabled") == "true"
    return button and card.locator(".status").inner_text() == "Asking the service …"


def test_inputs_changed_while_asking_are_told(held):
    weigh(held, "84")
    held.locator("#station-0").fill("61")
    let_go(held)
    held.locator("table").wait_for()
    assert "inputs were changed since" in held.locator(".old").inner_text()
    held.locator("button").click()
    let_go(held, 1)
    held.locator(".old").wait_for(state="hidden")


def test_an_earlier_answer_never_replaces_a_later_one(balance):
    weigh(balance, "99")
    balance.locator("table").wait_for()
    heaviest = weight(balance)
    balance.page.evaluate(HOLD_BACK)
    weigh(balance, "61")
    # other settings: what was asked of those before them is no longer wanted
    balance.evaluate("card => { card.settings = JSON.parse(card.querySelector('script').textContent); }")
    balance.locator("table").wait_for(state="detached")
    weigh(balance, "70")
    let_go(balance, 0)
    balance.page.wait_for_timeout(200)
    assert is_asking(balance)
    let_go(balance, 1)
    balance.locator("table").wait_for()
    assert heaviest - weight(balance) == pytest.approx(29, abs=0.01)
    assert balance.locator(".old").is_hidden()


@pytest.mark.parametrize(
    "disturb",
    [
        "card => card.setAttribute('lang', 'de')",
        "card => card.setAttribute('level', '3')",
        "card => { card.texts = { 'balance.ask': 'Weigh it now' }; }",
        "card => document.getElementById('elsewhere').append(card)",
    ],
    ids=["language", "level", "texts", "moved"],
)
def test_an_answer_arrives_whatever_happens_to_the_element(held, disturb):
    weigh(held, "84")
    held.evaluate(disturb)
    held.page.wait_for_timeout(100)
    assert is_asking(held)
    let_go(held)
    held.locator("table").wait_for()
    assert "As loaded" in held.locator(".status").inner_text()
    assert not is_asking(held)


def test_an_element_taken_away_while_asking_complains_of_nothing(held):
    weigh(held, "84")
    held.evaluate("card => card.remove()")
    let_go(held)
    held.page.wait_for_timeout(200)  # the page of the tests listens for complaints


def test_figures_stay_marked_as_old_in_another_language(balance):
    weigh(balance, "84")
    balance.locator("table").wait_for()
    balance.locator("#station-0").fill("61")
    balance.evaluate("card => card.setAttribute('lang', 'de')")
    balance.page.wait_for_timeout(100)
    assert balance.locator(".old").is_visible()
    assert "stale" in balance.locator(".output").get_attribute("class")


def test_a_clock_that_was_set_back_does_not_make_figures_new(balance):
    weigh(balance, "84")
    balance.locator("table").wait_for()
    balance.evaluate("() => { const real = Date.now; Date.now = () => real() - 3_600_000; }")
    balance.evaluate("card => card.setAttribute('level', '3')")  # looks at the age too
    balance.get_by_text("clock was set back").wait_for()
