"""The request as text, as a file, as a command and packed: the same one, with nothing lost on the way."""

import base64
import json
import subprocess
import zlib

import pytest

from .visit import asked, compare, example, field, post, put, unfold

AIRCRAFT = [
    (name, key)
    for name, key in (
        ("comparison.json", "baseline"),
        ("performance.json", "aircraft"),
        ("calibration.json", "aircraft"),
        ("requirement.json", "aircraft"),
        ("test-plan.json", "aircraft"),
        ("operability.json", "aircraft"),
        ("fleet.shared.json", "aircraft"),
    )
    if key in example(name)
]
UNKNOWN = {"colour": "red", "engine": {"power": {"value": [80, 85], "unit": "hp"}, "spark": None}}
REFILL = """() => {
  const say = (box, text) => { box.value = text; box.dispatchEvent(new Event("input")); };
  const boxes = [...document.querySelectorAll("#ask section :is(input[type=text], select, textarea)")];
  const bound = boxes.filter((box) => box.id.startsWith("at:") && !box.id.includes("%23"));
  for (const box of bound) { const text = box.value; say(box, ""); say(box, text); }
  return bound.filter((box) => box.value).length;
}"""


def plainly(value):
    """Quantities without a spread as the text that says the same."""
    if (
        isinstance(value, dict)
        and "value" in value
        and "plus_minus" not in value
        and isinstance(value["value"], int | float)
    ):
        return f"{value['value']:g} {value.get('unit', '')}".strip()
    if isinstance(value, dict):
        return {name: plainly(inner) for name, inner in value.items()}
    if isinstance(value, list):
        return [plainly(inner) for inner in value]
    return f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else value


def with_aircraft(name, key):
    request = example()
    request["baseline"] = example(name)[key]
    return request


def test_most_examples_hold_an_aircraft():
    assert len(AIRCRAFT) >= 5


@pytest.mark.parametrize(("name", "key"), AIRCRAFT)
def test_the_form_keeps_every_documented_aircraft(page, name, key):
    request = with_aircraft(name, key)
    put(page, request)
    assert asked(page) == request
    unfold(page)
    assert page.evaluate(REFILL) > 40  # each field emptied and filled again with what it said
    assert plainly(asked(page)) == plainly(request)


def test_fields_that_the_form_does_not_know_are_kept(page):
    request = example() | {"remark": ["two", {"deep": None}]}
    request["baseline"] |= UNKNOWN
    request["conditions"][0]["weather"] = {"a/b~c": 1}
    put(page, request)
    unfold(page)
    assert page.get_by_text("Colour: more than a field can show").is_visible()
    page.evaluate(REFILL)
    assert plainly(asked(page)) == plainly(request)
    field(page, "/baseline/name").fill("another")
    request["baseline"]["name"] = "another"
    assert plainly(asked(page)) == plainly(request)


@pytest.mark.parametrize("wrong", [7, None, [], "text", {"value": {}}])
def test_a_request_of_the_wrong_shape_is_shown_and_kept(page, wrong):
    for name in example():
        request = example() | {name: wrong}
        put(page, request)
        assert asked(page) == request
    for name in example()["baseline"]:
        request = example()
        request["baseline"][name] = wrong
        put(page, request)
        assert asked(page) == request


@pytest.mark.parametrize("kind", ["constructor", "__proto__", "nonsense", 7])
def test_a_change_of_an_unknown_kind_is_shown_and_kept(page, kind):
    request = example()
    request["options"][0]["changes"][0] = {"kind": kind, "name": "what"}
    put(page, request)
    assert asked(page) == request


def test_what_a_calibration_learned_together_stays_together(page, app):
    learned = app.test_client().post("/v1/calibration", json=example("calibration.json")).get_json()["aircraft"]
    request = example() | {"baseline": learned}
    put(page, request)
    assert "covariance" in asked(page)["baseline"]
    assert asked(page) == request


@pytest.mark.parametrize(
    ("text", "reason"),
    [("{", "not the JSON"), ('{"a": 1, "a": 2}', "twice"), ("[]", "object"), ('{"a": 1e400}', "too large")],
)
def test_json_that_would_lose_something_is_refused(page, text, reason):
    before = asked(page)
    put(page, text)
    assert reason in page.locator("#json-fault").inner_text()
    assert page.locator("#json").input_value() == text
    page.get_by_role("button", name="Compare").click()
    page.get_by_text("Not asked").wait_for()
    assert page.evaluate("document.activeElement.id") == "json"
    assert page.locator("#fields").evaluate("fields => fields.inert")
    put(page, before)
    assert asked(page) == before
    put(page, text)
    page.get_by_role("button", name="Write it anew").click()
    assert asked(page) == before
    assert not page.locator("#fields").evaluate("fields => fields.inert")


def test_json_that_was_not_taken_over_is_asked_all_the_same(page, server):
    request = example()
    request["baseline"]["engine"]["power"] = "90 hp"
    page.locator("#as-json").evaluate("fold => { fold.open = true; }")
    page.locator("#json").fill(json.dumps(request))
    assert compare(page) == post(server, request)
    assert field(page, "/baseline/engine/power").input_value() == "90 hp"


def test_the_command_asks_the_same(page, server):
    unfold(page)
    name = 'it\'s $HOME `id` "ü" \\ <b>'
    field(page, "/baseline/name").fill(name)
    command = page.locator("#curl").inner_text()
    output = subprocess.run(["sh", "-c", command], capture_output=True, check=True, timeout=60).stdout
    request = example()
    request["baseline"]["name"] = name
    assert json.loads(output) == post(server, request) == compare(page)
    assert page.locator("#of").inner_text() == name


def test_nothing_typed_becomes_markup(page):
    unfold(page)
    hostile = '</script><img src=x onerror="document.title = 1">'
    field(page, "/options/0/name").fill(hostile)
    field(page, "/baseline/stations/3/name").fill(hostile)
    field(page, "/baseline/wing/area").fill(hostile)
    compare(page)
    page.locator("#refusal a").first.wait_for()
    field(page, "/baseline/wing/area").fill("14 m2")
    compare(page)
    page.locator("#answer").wait_for()
    assert page.locator("img").count() == 0
    assert page.title().startswith("climbwright")


def test_the_packed_aeroplane_is_the_one_in_the_form(page):
    unfold(page)
    field(page, "/baseline/name").fill("größer")
    expected = example()["baseline"] | {"name": "größer"}
    page.wait_for_function("document.getElementById('packed-length').textContent.includes('of at most')")
    page.wait_for_timeout(200)
    packed = page.locator("#packed").inner_text()
    unpacked = zlib.decompress(base64.urlsafe_b64decode(packed + "=" * (-len(packed) % 4)))
    assert json.loads(unpacked) == expected
    assert "=" not in packed
    length = page.locator("#packed-length").inner_text()
    assert length.startswith(f"{len(packed)} of at most 1500")
    assert ("it fits" in length) == (len(packed) <= 1500)


def test_the_service_takes_the_packed_aeroplane(page, client):
    page.wait_for_function("document.getElementById('packed').textContent !== ''")
    loading, condition = example()["loadings"][0], example()["conditions"][0]
    query = {f"loading.stations.{name}": amount for name, amount in loading["stations"].items()}
    query |= {f"condition.{name}": value for name, value in condition.items() if name != "name"}
    query |= {"aircraft": page.locator("#packed").inner_text(), "pick": "best_climb_rate"}
    told = client.get("/v1/performance", query_string=query)
    assert told.status_code == 200, told.text
    before = compare(page)["options"][0]["results"][0]["measures"]["best_climb_rate"]["before"]
    assert float(told.text) == pytest.approx(before["value"], rel=1e-5)


def test_a_file_is_saved_and_opened_again(page, tmp_path):
    unfold(page)
    field(page, "/baseline/engine/power").fill("91 hp")
    saved = asked(page)
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as a file").click()
    kept = tmp_path / "kept.json"
    download.value.save_as(kept)
    assert json.loads(kept.read_text("utf-8")) == saved
    put(page, example())
    page.get_by_label("Open a file").set_input_files(kept)
    page.get_by_text("opened as the whole request").wait_for()
    assert asked(page) == saved


def test_a_file_with_an_aeroplane_alone_takes_its_place(page, tmp_path):
    aircraft = example("performance.json")["aircraft"]
    alone = tmp_path / "mine.json"
    alone.write_text(json.dumps(aircraft), "utf-8")
    page.get_by_label("Open a file").set_input_files(alone)
    page.get_by_text("opened as the aeroplane").wait_for()
    assert asked(page) == example() | {"baseline": aircraft}
    torn = tmp_path / "torn.json"
    torn.write_text("{", "utf-8")
    page.get_by_label("Open a file").set_input_files(torn)
    page.get_by_text("is not a request in JSON").wait_for()
    assert asked(page) == example() | {"baseline": aircraft}


def test_a_browser_copies_the_command(page):
    page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    page.get_by_role("button", name="Copy the command").click()
    page.get_by_text("Copied: the command").wait_for()
    assert page.evaluate("navigator.clipboard.readText()") == page.locator("#curl").text_content()


def test_the_layout_names_only_what_the_document_has(page, app):
    document = json.loads(app.test_client().get("/openapi.json").text)["components"]["schemas"]
    layout = page.evaluate(
        "import('/static/layout.js').then(({FIRST, WAYS, PARTS, SECTIONS}) => ({FIRST, WAYS, PARTS, SECTIONS}))"
    )
    named = {name: set(fields) for name, fields in layout["FIRST"].items()}
    for name, ways in layout["WAYS"].items():
        named[name] |= {field for _, fields in ways["ways"] for field in fields}
    for name, parts in layout["PARTS"].items():
        named[name] |= {field for _, fields in parts for field in fields}
    named["ComparisonRequest"] |= {field for fields in layout["SECTIONS"].values() for field in fields}
    for name, fields in named.items():
        assert fields <= document[name]["properties"].keys(), name
