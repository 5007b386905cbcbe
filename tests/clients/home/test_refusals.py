"""What the service refuses stands at the field that it speaks of."""

import pytest

from .visit import compare, example, field, put, unfold


def fault(page, pointer):
    """The text that describes a field, as a screen reader has it."""
    ids = (field(page, pointer).get_attribute("aria-describedby") or "").split()
    return " ".join(page.locator(f'[id="{one}"]').inner_text() for one in ids)


@pytest.mark.parametrize(
    ("pointer", "text", "says"),
    [
        ("/baseline/engine/power", "85", "has no unit"),
        ("/options/0/changes/0/removed/weight", "92 lbf", "unit"),
        ("/conditions/1/oat", "33 hPa", "unit"),
        ("/loadings/1/stations/fuel", "600 L", "capacity"),
        ("/baseline/wing/area", "", "missing"),
    ],
)
def test_wrong_input_is_shown_at_its_field(page, pointer, text, says):
    field(page, pointer).evaluate("(box, text) => { box.value = text; box.dispatchEvent(new Event('input')); }", text)
    problem = compare(page)
    assert [error["pointer"] for error in problem["errors"]] == [pointer]
    page.locator("#refusal li").wait_for()
    box = field(page, pointer)
    assert box.is_visible()  # although it was folded away
    assert box.get_attribute("aria-invalid") == "true"
    assert problem["errors"][0]["detail"] in fault(page, pointer)
    assert says in fault(page, pointer)
    assert page.evaluate("document.activeElement.id") == box.get_attribute("id")
    assert "Not answered" in page.get_by_role("status").first.inner_text()


def test_every_fault_is_listed_and_leads_to_its_field(page):
    unfold(page)
    field(page, "/baseline/engine/power").fill("85")
    field(page, "/loadings/0/name").fill("")
    field(page, "/options/0/changes/2/arm").fill("here")
    problem = compare(page)
    links = page.locator("#refusal a")
    links.first.wait_for()
    assert links.count() == len(problem["errors"]) == 3
    page.get_by_role("link", name="option geared 112 hp engine, change radiator and coolant, arm").click()
    assert page.evaluate("document.activeElement.id") == field(page, "/options/0/changes/2/arm").get_attribute("id")
    for pointer, text in {
        "/baseline/engine/power": "85 hp",
        "/loadings/0/name": "solo",
        "/options/0/changes/2/arm": "-0.35 m",
    }.items():
        field(page, pointer).fill(text)
    compare(page)
    page.locator("#answer").wait_for()
    assert page.locator("[aria-invalid]").count() == 0
    assert page.locator("#refusal").inner_text() == ""


def test_a_fault_of_no_field_is_listed(page):
    put(page, example() | {"remark": 1})
    compare(page)
    page.locator("#refusal li").wait_for()
    assert "remark" in page.locator("#refusal").inner_text()
    put(page, {name: value for name, value in example().items() if name != "loadings"})
    compare(page)
    page.locator("#refusal li", has_text="loading").wait_for()


def test_a_station_of_the_loading_that_the_aeroplane_lacks(page):
    unfold(page)
    page.get_by_role("button", name="Remove station fuel").click()
    problem = compare(page)
    pointers = {error["pointer"] for error in problem["errors"]}
    assert "/loadings/0/stations/fuel" in pointers
    page.locator("#refusal li").first.wait_for()
    assert field(page, "/loadings/0/stations/fuel").get_attribute("aria-invalid") == "true"


def test_marks_outlive_an_added_item_and_end_with_a_removed_one(page):
    unfold(page)
    field(page, "/conditions/1/oat").fill("33")
    compare(page)
    page.locator("[aria-invalid]").wait_for()
    page.get_by_role("button", name="Add a loading").click()
    assert field(page, "/conditions/1/oat").get_attribute("aria-invalid") == "true"
    page.get_by_role("button", name="Remove condition cool morning at Example Mesa").click()
    assert page.locator("[aria-invalid]").count() == 0


def test_a_refusal_of_what_was_asked_before_marks_no_field_of_what_stands_there_by_now(page):
    unfold(page)
    field(page, "/options/0/changes/3/weight").fill("heavy")
    held = []
    page.route("**/v1/comparison*", lambda route: held.append(route))
    page.get_by_role("button", name="Compare").click()
    page.get_by_role("button", name="Remove change radiator and coolant").click()
    page.wait_for_timeout(100)
    held[0].continue_()
    page.get_by_text("Not answered, and the fields were changed").wait_for()
    assert "change old gauges, weight" in page.locator("#refusal").inner_text()  # as it was called when it was asked
    assert page.locator("[aria-invalid]").count() == 0
