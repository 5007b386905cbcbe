"""The form asks what its fields say, and shows what the service answers."""

import json
import re

import pytest

from ...serving import serving
from .visit import asked, compare, example, field, post, put, unfold, visit


def shown(page, measure):
    """Numbers of a row of the answer."""
    row = page.locator("climbwright-before-after").get_by_role("row", name=f"{measure} ", exact=False)
    cells = [text for text in row.get_by_role("cell").all_inner_texts() if not text.startswith(measure)]
    return [float(re.sub(r"[^\d.+-]", "", cell.split("\n")[0].replace("\u2212", "-"))) for cell in cells]


def test_it_opens_with_the_invented_aeroplane(page):
    assert asked(page) == example()
    assert page.get_by_label("Name").first.input_value() == example()["baseline"]["name"]
    assert "invented" in page.locator("#ask").inner_text()


def test_it_shows_the_numbers_that_the_service_answers(page, server):
    answer = post(server, example())
    assert compare(page) == answer
    page.get_by_role("heading", name="The answer").wait_for()
    assert page.evaluate("document.querySelector('climbwright-before-after').answer") == answer
    measures = answer["options"][0]["results"][0]["measures"]
    for name, row in (("weight", "Weight kg"), ("best_climb_rate", "Best rate of climb ft/min")):
        told = [measures[name][when]["value"] for when in ("before", "after", "change")]
        for number, value in zip(shown(page, row), told, strict=True):
            assert abs(number - value) <= 0.02 * abs(value) + 0.05, row


def test_every_caution_of_the_answer_can_be_read(page):
    answer = compare(page)
    element = page.locator("climbwright-before-after")
    for caution in [*answer["cautions"], *answer["options"][0]["cautions"]]:
        assert element.get_by_text(caution["text"]).count() >= 1, caution["text"]


def test_an_edited_field_is_asked(page, server):
    unfold(page)
    field(page, "/baseline/engine/power").fill("80 hp ± 2")
    field(page, "/baseline/engine/lapse_constant").fill("")
    expected = example()
    expected["baseline"]["engine"]["power"] = {"value": 80, "unit": "hp", "plus_minus": 2}
    del expected["baseline"]["engine"]["lapse_constant"]
    assert asked(page) == expected
    answer = compare(page)
    assert answer == post(server, expected)
    assert any(note["where"].endswith("/engine/lapse_constant") for note in answer["assumed"])


def test_a_change_is_added_and_another_removed(page, server):
    page.get_by_label("Kind of change").select_option("move")
    page.get_by_role("button", name="Add a change").click()
    place = "/options/0/changes/7"
    assert page.evaluate("document.activeElement.id").endswith("name")
    for name, text in {"name": "battery", "weight": "7.1 kg", "from_arm": "-0.55 m", "to_arm": "1.90 m"}.items():
        field(page, f"{place}/{name}").fill(text)
    page.get_by_text("old gauges").first.click()
    page.get_by_role("button", name="Remove change old gauges").click()
    expected = example()
    changes = expected["options"][0]["changes"]
    changes.append({"kind": "move", "name": "battery", "weight": "7.1 kg", "from_arm": "-0.55 m", "to_arm": "1.90 m"})
    del changes[3]
    assert asked(page) == expected
    assert compare(page) == post(server, expected)


def test_what_was_removed_can_be_put_back(page):
    page.get_by_text("new panel").first.click()
    page.get_by_role("button", name="Remove change new panel").click()
    assert len(asked(page)["options"][0]["changes"]) == 6
    page.get_by_role("button", name="Put back").click()
    assert asked(page) == example()


def test_every_kind_of_change_shows_the_fields_of_the_document(page, app):
    schemas = json.loads(app.test_client().get("/openapi.json").text)["components"]["schemas"]
    for change in schemas["Option"]["properties"]["changes"]["items"]["discriminator"]["mapping"].items():
        kind, schema = change[0], schemas[change[1].rpartition("/")[2]]
        put(page, example() | {"options": [{"name": "one", "changes": []}]})
        page.get_by_label("Kind of change").select_option(kind)
        page.get_by_role("button", name="Add a change").click()
        unfold(page)
        for name in schema["properties"].keys() - {"kind"}:
            assert field(page, f"/options/0/changes/0/{name}").is_visible(), f"{kind} {name}"


def test_a_loading_and_a_condition_are_added(page, server):
    page.get_by_role("button", name="Add a loading").click()
    field(page, "/loadings/2/name").fill("ferry")
    for station, amount in {"pilot": "90 kg", "fuel": "70 L"}.items():
        field(page, f"/loadings/2/stations/{station}").fill(amount)
    page.get_by_role("button", name="Add a condition").click()
    field(page, "/conditions/2/name").fill("high")
    field(page, "/conditions/2#way").select_option(label="Density altitude alone")
    field(page, "/conditions/2/density_altitude").fill("9000 ft")
    expected = example()
    expected["loadings"].append({"name": "ferry", "stations": {"pilot": "90 kg", "fuel": "70 L"}})
    expected["conditions"].append({"name": "high", "density_altitude": "9000 ft"})
    assert asked(page) == expected
    assert compare(page) == post(server, expected)


def test_another_way_of_giving_the_air_sets_the_first_aside(page):
    unfold(page)
    field(page, "/conditions/0#way").select_option(label="Elevation and a coded weather report")
    report = "XXXX 241300Z 29/08 Q1018"
    field(page, "/conditions/0/metar").fill(report)
    condition = example()["conditions"][0]
    kept = {name: condition[name] for name in ("name", "elevation", "headwind")}
    assert asked(page)["conditions"][0] == kept | {"metar": report}
    field(page, "/conditions/0#way").select_option(label="Elevation, QNH and temperature")
    assert asked(page) == example()


def test_an_empty_weight_stands_in_place_of_the_scales(page, server):
    unfold(page)
    page.get_by_label("How it was weighed").select_option(label="Empty weight and its arm")
    field(page, "/baseline/empty/weight").fill("322 kg")
    field(page, "/baseline/empty/arm").fill("0.448 m")
    expected = example()
    del expected["baseline"]["scales"]
    expected["baseline"]["empty"] = {"weight": "322 kg", "arm": "0.448 m"}
    assert asked(page) == expected
    assert compare(page) == post(server, expected)


def test_a_renamed_station_keeps_its_load(page, server):
    unfold(page)
    field(page, "/baseline/stations/3/name").fill("wing tanks")
    expected = example()
    expected["baseline"]["stations"][3]["name"] = "wing tanks"
    for loading in expected["loadings"]:
        loading["stations"]["wing tanks"] = loading["stations"].pop("fuel")
    assert asked(page) == expected
    assert field(page, "/loadings/0/stations/wing tanks").input_value() == "40 L"
    assert compare(page) == post(server, expected)


@pytest.mark.parametrize("name", ["__proto__", "constructor", "a/b~c"])
def test_a_name_that_means_something_to_a_script_keeps_its_load_too(page, name):
    unfold(page)
    field(page, "/baseline/stations/3/name").fill(name)
    stations = asked(page)["loadings"][0]["stations"]
    assert stations[name] == example()["loadings"][0]["stations"]["fuel"]
    field(page, f"/loadings/0/stations/{name.replace('~', '~0').replace('/', '~1')}").fill("33 L")
    assert asked(page)["loadings"][0]["stations"][name] == "33 L"


def test_a_strip_and_shares_are_asked_for(page, server):
    unfold(page)
    field(page, "/strip/length").fill("450 m")
    field(page, "/strip/surface").select_option("short-dry-grass")
    field(page, "/shares").check()
    expected = example() | {"strip": {"length": "450 m", "surface": "short-dry-grass"}, "shares": True}
    assert asked(page) == expected
    assert compare(page) == post(server, expected)
    element = page.locator("climbwright-before-after")
    element.get_by_text("Take-off roll").first.wait_for(state="attached")
    assert element.get_by_text("vortex generators").count() >= 1
    field(page, "/strip/length").fill("")
    field(page, "/strip/surface").select_option("")
    field(page, "/shares").uncheck()
    assert asked(page) == example()


def test_the_units_of_the_answer_are_asked(page, server):
    page.get_by_label("Units of the answer").select_option("us")
    assert compare(page) == post(server, example(), "?units=us")


def test_figures_of_an_earlier_question_say_so(page):
    compare(page)
    page.locator("#answer").wait_for()
    assert not page.locator("#stale").is_visible()
    page.get_by_label("Name").first.fill("mine")
    assert page.locator("#stale").is_visible()
    page.get_by_label("Name").first.fill(example()["baseline"]["name"])
    assert not page.locator("#stale").is_visible()


def test_the_keyboard_is_enough(page):
    for _ in range(20):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "at:%2Fbaseline%2Fname":
            break
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("Kept by keys")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # opens the wing
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") == "at:%2Fbaseline%2Fwing%2Farea"
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("14.2 m2")
    with page.expect_response("**/v1/comparison*") as reply:
        page.keyboard.press("Enter")
    sent = json.loads(reply.value.request.post_data)
    assert (sent["baseline"]["name"], sent["baseline"]["wing"]["area"]) == ("Kept by keys", "14.2 m2")
    page.locator("#answer").wait_for()
    assert page.evaluate("document.activeElement.id") == "answer-title"
    assert "Answered" in page.get_by_role("status").first.inner_text()


def test_without_a_script_it_says_what_to_do(chromium, server):
    window = chromium.new_context(java_script_enabled=False)
    page = window.new_page()
    page.goto(f"{server}/")
    assert "openapi/examples/comparison.json" in page.locator("#without-script").inner_text()
    assert not page.locator("#ask").is_visible()
    window.close()


def test_a_service_that_is_gone_is_said_in_words(chromium):
    with serving() as address, visit(chromium, address) as page:
        page.route("**/v1/comparison*", lambda route: route.abort("connectionrefused"))
        page.get_by_role("button", name="Compare").click()
        page.get_by_text("cannot be reached").wait_for()
        page.unroute("**/v1/comparison*")
        page.route("**/v1/comparison*", lambda route: route.fulfill(status=502, content_type="text/html", body="<p>no"))
        page.get_by_role("button", name="Compare").click()
        page.get_by_text("answered with status 502").wait_for()
        assert asked(page) == example()


@pytest.mark.parametrize(
    ("status", "body"),
    [
        (200, "{}"),
        (200, "[]"),
        (200, '"text"'),
        (200, ""),
        (422, '{"errors": "bad"}'),
        (422, '{"detail": "bad", "errors": [null]}'),
        (422, '{"errors": []}'),
        (500, "null"),
    ],
)
def test_what_the_service_never_answers_is_said_in_words(page, status, body):
    page.route("**/v1/**", lambda route: route.fulfill(status=status, content_type="application/json", body=body))
    page.get_by_role("button", name="Compare").click()
    page.get_by_text(f"answered with status {status}").wait_for()
    assert page.locator("#answer").is_hidden()
    assert page.locator("#refusal").inner_text() == ""
