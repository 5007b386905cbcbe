"""The balance: figures, words, and a picture that says the same as the service."""

import json

import pytest

from .pages import ask, club, comparison, element, exact


def body(loading, aircraft=None):
    """The balance question that an aeroplane with this aboard makes, put together by hand."""
    aircraft = aircraft or club()["aircraft"]
    limits = aircraft["limits"]
    kept = {key: aircraft[key] for key in ("empty", "scales", "items", "stations", "envelope") if key in aircraft}
    wing = {key: aircraft["wing"][key] for key in ("chord", "leading_edge_arm")}
    return kept | wing | {key: limits[key] for key in limits if "load_factor" not in key} | {"loading": loading}


def weigh(page, **aboard):
    for station, amount in aboard.items():
        page.get_by_label(station, exact=True).fill(amount)
    page.get_by_role("button", name="Weigh it").click()
    page.locator("climbwright-balance svg").wait_for()


def rows(page):
    """The shown states: exact figures and the last word of each."""
    shown = []
    for row in page.locator("climbwright-balance tbody tr").all():
        figures = {cell.get_attribute("data-measure"): cell for cell in row.locator("td.number").all()}
        values = {name: exact(cell.locator("data")) for name, cell in figures.items() if cell.locator("data").count()}
        shown.append((values, row.locator("td").last.inner_text()))
    return shown


def states(answer):
    return [answer, *answer["fuel_burn"]]


@pytest.mark.parametrize(
    ("seats", "arm", "words"),
    [
        ("158", "2.05 m", "As loaded: inside the limits."),
        ("158,5", "2.05 m", "As loaded: inside the limits."),
        ("300", "2.05 m", "As loaded: OUTSIDE the limits."),
        ("158", "2.65 m", "As loaded: OUTSIDE the limits."),
    ],
    ids=["inside", "decimal comma", "too heavy", "too far aft"],
)
def test_figures_and_words_are_those_of_the_service(visit, server, seats, arm, words):
    aircraft = club()["aircraft"]
    aircraft["stations"][0]["arm"] = arm
    page = visit(element("balance", club(aircraft=aircraft)))
    weigh(page, seats=seats, fuel="60")
    answer = ask(server, "balance", body({"seats": f"{seats.replace(',', '.')} kg", "fuel": "60 L"}, aircraft))
    assert answer["in_limits"] == ("inside" in words)
    for (shown, word), state in zip(rows(page), states(answer), strict=True):
        for name in ("weight", "cg_arm", "cg_margin"):
            assert shown.get(name) == state[name]["value"], name
        assert word == ("inside" if state["in_limits"] else "OUTSIDE")
    assert page.get_by_role("status").first.inner_text().startswith(words)
    assert page.get_by_role("img").get_attribute("aria-label").split(". ", 1)[1].startswith(words)
    margin = answer["cg_margin"]["value"]
    if margin is not None:
        assert ("outside its nearer limit" if margin < 0 else "inside its nearer limit") in page.locator(
            "climbwright-balance .figures"
        ).inner_text()


def test_the_state_once_fuel_is_burned_is_said_where_it_leaves_the_limits(visit, server):
    aircraft = club()["aircraft"]
    aircraft["stations"][1]["arm"] = "1.20 m"
    corners = [("380 kg", "1.84 m"), ("620 kg", "1.84 m"), ("620 kg", "1.90 m"), ("380 kg", "1.90 m")]
    aircraft["envelope"] = [{"weight": weight, "arm": arm} for weight, arm in corners]
    page = visit(element("balance", club(aircraft=aircraft)))
    weigh(page, seats="190", fuel="55")
    answer = ask(server, "balance", body({"seats": "190 kg", "fuel": "55 L"}, aircraft))
    assert answer["in_limits"]
    assert not answer["fuel_burn"][-1]["in_limits"]
    assert "OUTSIDE the limits once “fuel” is burned" in page.get_by_role("status").first.inner_text()
    assert [word for _, word in rows(page)] == ["inside", "OUTSIDE"]


def test_every_slat_is_the_range_that_the_service_permits_at_its_weight(visit, server):
    page = visit(element("balance", club()))
    weigh(page)
    slats = page.locator("svg rect.slat, svg rect.own").all()
    assert 11 <= len(slats) <= 13
    envelope = club()["aircraft"]["envelope"]
    for slat in slats:
        weight, forward, aft = (float(slat.get_attribute(f"data-{name}")) for name in ("weight", "forward", "aft"))
        limits = ask(server, "balance", {"load": [f"{weight}kg@1.9m"], "envelope": envelope})
        assert limits["forward_limit"]["value"] == pytest.approx(forward, abs=1e-9)
        assert limits["aft_limit"]["value"] == pytest.approx(aft, abs=1e-9)


def test_the_marks_lie_where_the_service_says_as_fuel_burns(visit, server):
    page = visit(element("balance", club()))
    weigh(page, seats="158", fuel="60")
    slat = page.locator("svg rect.own")
    left, wide = (float(slat.get_attribute(name)) for name in ("x", "width"))
    forward, aft = (float(slat.get_attribute(f"data-{name}")) for name in ("forward", "aft"))

    def place(arm):
        return left + (arm - forward) / (aft - forward) * wide

    # 60 L of which 3 L cannot be burned, in four equal parts
    shown = [float(point.split(",")[0]) for point in page.locator("svg .path").get_attribute("points").split()]
    for x, fuel in zip(shown, [60, 45.75, 31.5, 17.25, 3], strict=True):
        answer = ask(server, "balance", body({"seats": "158 kg", "fuel": f"{fuel} L"}))
        assert x == pytest.approx(place(answer["cg_arm"]["value"]), abs=1e-6)
    marks = page.locator("svg rect.burnt").all()
    centres = [float(mark.get_attribute("x")) + float(mark.get_attribute("width")) / 2 for mark in marks]
    assert centres == pytest.approx(shown[1:], abs=1e-6)
    loaded = page.locator("svg rect.loaded")
    assert float(loaded.get_attribute("x")) + float(loaded.get_attribute("width")) / 2 == pytest.approx(
        shown[0], abs=1e-6
    )


def test_limits_without_an_envelope_are_drawn_too(visit, server):
    asked = comparison()
    page = visit(element("balance", {"aircraft": asked["baseline"], "loadings": asked["loadings"]}))
    weigh(page)
    slats = page.locator("svg rect.slat, svg rect.own").all()
    assert {slat.get_attribute("data-forward") for slat in slats} == {"0.34"}
    assert {slat.get_attribute("data-aft") for slat in slats} == {"0.6"}
    answer = ask(server, "balance", body(asked["loadings"][0]["stations"], asked["baseline"]))
    assert rows(page)[0][0]["cg_arm"] == answer["cg_arm"]["value"]


def test_an_envelope_in_other_units_keeps_them(visit, server):
    aircraft = club()["aircraft"]
    corners = [("800 lb", "72 in"), ("1350 lb", "72 in"), ("1350 lb", "80 in"), ("800 lb", "80 in")]
    aircraft["envelope"] = [{"weight": weight, "arm": arm} for weight, arm in corners]
    page = visit(element("balance", club(aircraft=aircraft)))
    weigh(page, seats="158", fuel="60")
    answer = ask(server, "balance", body({"seats": "158 kg", "fuel": "60 L"}, aircraft), "?units=mass:lb,length:in")
    assert answer["weight"]["unit"] == "lb"
    assert rows(page)[0][0]["weight"] == answer["weight"]["value"]
    axes = page.locator("svg text.axis").all_text_contents()
    assert axes == ["weight, lb", "CG arm, in"]


def test_an_envelope_in_mixed_units_is_answered_without_a_picture(visit):
    aircraft = club()["aircraft"]
    aircraft["envelope"][0]["weight"] = "837.76 lb"
    page = visit(element("balance", club(aircraft=aircraft)))
    page.get_by_role("button", name="Weigh it").click()
    page.get_by_text("No picture").wait_for()
    assert "inside the limits" in page.get_by_role("status").first.inner_text()


def test_fuel_may_be_given_by_volume_or_weight(visit, server):
    page = visit(element("balance", club()))
    page.get_by_label("Unit of fuel").select_option("US gal")
    weigh(page, fuel="15")
    answer = ask(server, "balance", body({"seats": "158 kg", "fuel": "15 US gal"}))
    assert rows(page)[0][0]["cg_arm"] == answer["cg_arm"]["value"]


def test_too_much_at_a_station_is_said_at_its_field(visit, server):
    page = visit(element("balance", club()))
    page.refusals = True
    page.get_by_label("fuel", exact=True).fill("200")
    page.get_by_role("button", name="Weigh it").click()
    page.locator("[aria-invalid=true]").wait_for()
    refused = ask(server, "balance", body({"seats": "158 kg", "fuel": "200 L"}))
    assert page.locator(".fault:visible").inner_text().endswith(refused["errors"][0]["detail"])
    assert page.get_by_label("fuel", exact=True).get_attribute("aria-invalid") == "true"


@pytest.mark.parametrize("name", ["<img src=x onerror=alert(1)>", "a/b~c", "</script><b>", "{weight} & \"'"])
def test_a_name_is_text_whatever_it_holds(visit, name):
    settings = club()
    settings["aircraft"]["stations"][1]["name"] = name
    settings["loadings"] = [{"name": name, "stations": {"seats": "158 kg", name: "60 L"}}]
    page = visit(element("balance", settings))
    page.refusals = True
    weigh(page)
    assert page.locator(f"climbwright-balance label >> text={json.dumps(name)}").first.inner_text() == name
    assert page.locator("climbwright-balance :is(img, b)").count() == 0
    assert f"“{name}” burned" in page.locator("tbody").inner_text()
    # and its refusal finds its field
    page.get_by_label(name, exact=True).fill("200")
    page.get_by_role("button", name="Weigh it").click()
    page.locator("[aria-invalid=true]").wait_for()
    assert page.get_by_label(name, exact=True).get_attribute("aria-invalid") == "true"


def test_a_bay_of_the_envelope_is_not_drawn_as_permitted(visit, server):
    """Neither between the slats of one weight nor at a corner of the envelope."""
    corners = [(380, 1.7), (620, 1.7), (620, 1.8), (500, 1.88), (620, 1.95), (620, 2.1), (380, 2.1)]
    envelope = [{"weight": f"{weight} kg", "arm": f"{arm} m"} for weight, arm in corners]
    page = visit(element("balance", club(aircraft=club()["aircraft"] | {"envelope": envelope})))
    weigh(page)
    slats = [
        tuple(float(slat.get_attribute(f"data-{name}")) for name in ("weight", "forward", "aft"))
        for slat in page.locator("svg rect.slat, svg rect.own").all()
    ]
    weights = {weight for weight, _, _ in slats}
    assert {380, 620} <= weights
    assert any(sum(one == weight for one, _, _ in slats) == 2 for weight in weights)
    for weight in weights:
        for arm in (1.65, 1.75, 1.85, 1.9, 2.0, 2.15):
            inside = ask(server, "balance", {"load": [f"{weight}kg@{arm}m"], "envelope": envelope})["in_limits"]
            drawn = any(forward <= arm <= aft for one, forward, aft in slats if one == weight)
            assert drawn == inside, (weight, arm)


def test_units_that_a_page_names_give_way_to_those_of_the_picture(visit):
    page = visit(element("balance", club(), 'units="aviation,mass:lb"'))
    weigh(page)
    assert page.locator("thead small").first.inner_text() == "kg"  # as the corners of the envelope


@pytest.mark.parametrize("lang", ["ar-EG", "fa", "hi"])
def test_what_a_field_begins_with_can_be_asked_in_every_language(visit, lang):
    loadings = [{"name": "solo", "stations": {"seats": "84.5 kg", "fuel": "60 L"}}]
    page = visit(element("balance", club(loadings=loadings)), lang=lang)
    weigh(page)


def test_a_print_shows_what_is_aboard_and_that_figures_are_old(visit):
    page = visit(element("balance", club()))
    weigh(page)
    page.get_by_label("seats", exact=True).fill("61")
    page.emulate_media(media="print")
    assert page.get_by_label("seats", exact=True).is_visible()
    assert page.locator("climbwright-balance .old").is_visible()
    assert page.get_by_role("button", name="Weigh it").is_hidden()
