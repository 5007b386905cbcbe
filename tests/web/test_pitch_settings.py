"""A ground-adjustable propeller through HTTP: every setting as the fixed pitch that it is, and what it is best for."""

import copy
import csv
import io

import pytest

from .asking import pointers, refused, send
from .comparing import leaves, only, with_changes
from .plainly import AEROPLANE, CONSTANT_SPEED, LOADING, aeroplane, codes

DIAMETER = "1.75 m"
SETTINGS = {
    "12 deg": {"best_efficiency": 0.68, "best_efficiency_speed": "70 kt", "static_speed": "2600 rpm"},
    "15 deg": {"best_efficiency": 0.71, "best_efficiency_speed": "80 kt", "static_speed": "2400 rpm"},
    "18 deg": {"best_efficiency": 0.73, "best_efficiency_speed": "92 kt", "static_speed": "2200 rpm"},
}
GUESSED = {
    "fine": {"pitch_class": "climb"},
    "between": {"pitch_class": "middle", "best_efficiency": {"value": 0.7, "unit": "1", "plus_minus": 0.02}},
    "coarse": {"pitch_class": "cruise", "static_speed": {"value": 2250, "unit": "rpm", "plus_minus": 30}},
}
TABLES = {"known": SETTINGS, "guessed": GUESSED}
LOADINGS = [
    {"name": "solo", "stations": {"pilot": "80 kg", "fuel": "30 L"}},
    {"name": "heavy", "stations": {"pilot": "180 kg", "fuel": "70 L"}},
]
CONDITIONS = [
    {"name": "sea level", "density_altitude": "0 ft"},
    {"name": "hot", "pressure_altitude": "5000 ft", "oat": "30 C", "dew_point": "12 C", "headwind": "6 kt"},
]
WHOLE = {
    "measures": ["all"],
    "cruise": {"power_fraction": "60 %"},
    "climb": {"to_altitude": "8000 ft"},
    "strip": {"length": "450 m", "surface": "hard-turf"},
}
PICKED = {"climb": ("best_climb_rate", max), "cruise": ("cruise_speed_true", max), "strip": ("takeoff_distance", min)}


def adjustable(table, **more):
    settings = [{"name": name, **numbers} for name, numbers in table.items()]
    return {"kind": "ground-adjustable", "diameter": DIAMETER, "settings": settings} | more


def fixed(numbers):
    return {"kind": "fixed-pitch", "diameter": DIAMETER, **numbers}


def question(propeller, aircraft=AEROPLANE, **more):
    body = {"aircraft": aircraft | {"propeller": propeller}, "loadings": LOADINGS, "conditions": CONDITIONS}
    return copy.deepcopy(body | more)


def answered(client, propeller, units="si", **more):
    """With linear spreads, which do not depend on where in a request an uncertain number stands."""
    return send(client, "performance", question(propeller, **more), units=units, spread="linear")


def flat(measures):
    """Every leaf by name, the stall speeds among them."""
    stalls = {f"stall {name}": leaf for name, leaf in measures.get("stall_speeds", {}).items()}
    return {name: leaf for name, leaf in measures.items() if name != "stall_speeds"} | stalls


def assert_same(one, other):
    """The last bits may turn with the place in the array, and in a spread with the number of cases; else the same."""
    one, other = flat(one), flat(other)
    assert list(one) == list(other)
    for name, leaf in one.items():
        same = other[name]
        assert leaf.keys() == same.keys(), name
        for part, number in leaf.items():
            if isinstance(number, float):
                tolerance = 1e-9 if part == "plus_minus" else 1e-12
                assert number == pytest.approx(same[part], rel=tolerance, abs=1e-12), (name, part)
            else:
                assert number == same[part], (name, part)


@pytest.mark.parametrize("table", TABLES)
def test_each_setting_is_answered_as_that_fixed_pitch(client, table):
    answer = answered(client, adjustable(TABLES[table]), **WHOLE)
    scenes = [(scene["loading"], scene["condition"]) for scene in answer["settings"]]
    assert scenes == [(result["loading"], result["condition"]) for result in answer["results"]]
    assert scenes == [(a["name"], b["name"]) for a in LOADINGS for b in CONDITIONS]
    for name, numbers in TABLES[table].items():
        alone = answered(client, fixed(numbers), **WHOLE)
        assert "settings" not in alone
        for scene, result in zip(answer["settings"], alone["results"], strict=True):
            assert list(scene["measures"]) == list(TABLES[table])
            assert_same(scene["measures"][name], result["measures"])


@pytest.mark.parametrize("flown", [None, *SETTINGS])
def test_the_results_are_those_of_the_setting_flown(client, flown):
    chosen = {} if flown is None else {"setting": flown}
    answer = answered(client, adjustable(SETTINGS, **chosen), **WHOLE)
    for result, scene in zip(answer["results"], answer["settings"], strict=True):
        assert_same(result["measures"], scene["measures"][flown or next(iter(SETTINGS))])


def test_settings_side_by_side_do_not_depend_on_the_one_flown(client):
    one, other = (
        answered(client, adjustable(GUESSED, setting=name), **WHOLE)["settings"] for name in ("fine", "coarse")
    )
    for scene, same in zip(one, other, strict=True):
        assert scene["best_for"] == same["best_for"]
        for name in GUESSED:
            assert_same(scene["measures"][name], same["measures"][name])


def test_one_setting_alone_is_not_put_side_by_side(client):
    one = answered(client, adjustable({"12 deg": SETTINGS["12 deg"]}), **WHOLE)
    assert "settings" not in one
    other = answered(client, fixed(SETTINGS["12 deg"]), **WHOLE)
    for result, same in zip(one["results"], other["results"], strict=True):
        assert_same(result["measures"], same["measures"])


@pytest.mark.parametrize(
    "propeller", [AEROPLANE["propeller"], CONSTANT_SPEED, {"kind": "constant-efficiency", "efficiency": 0.7}]
)
def test_no_other_propeller_has_settings(client, propeller):
    assert "settings" not in answered(client, propeller)


def test_a_ground_adjustable_propeller_without_settings_is_a_fixed_pitch(client):
    plain = answered(client, {"kind": "ground-adjustable", "diameter": DIAMETER, **SETTINGS["15 deg"]}, **WHOLE)
    assert "settings" not in plain
    for result, same in zip(
        plain["results"], answered(client, fixed(SETTINGS["15 deg"]), **WHOLE)["results"], strict=True
    ):
        assert_same(result["measures"], same["measures"])


# Which setting is best


@pytest.mark.parametrize("table", TABLES)
def test_the_best_setting_is_the_best_of_all_fixed_pitches(client, table):
    answer = answered(client, adjustable(TABLES[table]), **WHOLE)
    alone = {name: answered(client, fixed(numbers), **WHOLE)["results"] for name, numbers in TABLES[table].items()}
    for k, scene in enumerate(answer["settings"]):
        assert list(scene["best_for"]) == list(PICKED)
        for use, (measure, best) in PICKED.items():
            values = {name: results[k]["measures"][measure]["value"] for name, results in alone.items()}
            values = {name: value for name, value in values.items() if value is not None}
            assert scene["best_for"][use] == best(values, key=values.get), (use, values)


def test_the_uses_differ(client):
    # so that the test above can tell them apart
    bests = [scene["best_for"] for scene in answered(client, adjustable(SETTINGS), **WHOLE)["settings"]]
    assert any(len(set(best.values())) > 1 for best in bests)


def test_without_a_cruise_the_fastest_setting_is_best_for_it(client):
    answer = answered(client, adjustable(SETTINGS))
    for scene in answer["settings"]:
        assert list(scene["best_for"]) == ["climb", "cruise"]
        levels = {name: at["greatest_level_speed_true"]["value"] for name, at in scene["measures"].items()}
        assert scene["best_for"]["cruise"] == max(levels, key=levels.get)


def test_only_what_is_wanted_is_answered_of_a_setting(client):
    for scene in answered(client, adjustable(SETTINGS), measures=["takeoff_distance", "weight"])["settings"]:
        assert {"climb", "strip"} >= scene["best_for"].keys() >= {"strip"}
        for at in scene["measures"].values():
            assert list(at) == ["weight", "takeoff_distance"]


def test_nothing_is_best_where_no_setting_can(client):
    # at 30,000 ft no setting flies level or gets off the ground
    high = [{"name": "high", "density_altitude": "30000 ft"}]
    for scene in answered(client, adjustable(SETTINGS), **WHOLE | {"conditions": high})["settings"]:
        assert scene["best_for"]["cruise"] is None
        assert scene["best_for"]["strip"] is None
        rates = {name: at["best_climb_rate"]["value"] for name, at in scene["measures"].items()}
        assert scene["best_for"]["climb"] == max(rates, key=rates.get)
        assert all(at["cruise_speed_true"]["reason"] for at in scene["measures"].values())


def test_a_setting_that_cannot_is_passed_over(client):
    # the coarsest setting of all cannot fly level here and is not the best for anything that it cannot do
    table = SETTINGS | {
        "40 deg": {"best_efficiency": 0.3, "best_efficiency_speed": "200 kt", "static_speed": "900 rpm"}
    }
    for scene in answered(client, adjustable(table), **WHOLE)["settings"]:
        at = scene["measures"]["40 deg"]
        assert at["cruise_speed_true"]["value"] is None
        assert at["takeoff_distance"]["value"] is None
        assert "40 deg" not in scene["best_for"].values()


# What is assumed, and where


def test_starting_values_of_every_setting_are_listed_in_their_place(client):
    answer = answered(client, adjustable(GUESSED), **WHOLE)
    listed = {item["where"]: item for item in answer["assumed"]}
    assert len(listed) == len(answer["assumed"])
    at = "/aircraft/propeller/settings"
    expected = {
        "/aircraft/propeller/setting",
        f"{at}/0/best_efficiency", f"{at}/0/best_efficiency_speed", f"{at}/0/static_speed",
        f"{at}/1/best_efficiency_speed", f"{at}/1/static_speed",
        f"{at}/2/best_efficiency", f"{at}/2/best_efficiency_speed",
    }  # fmt: skip
    assert {where for where in listed if "/propeller" in where} == expected
    assert not [where for where in listed if where.startswith("/options")]
    for k, numbers in enumerate(GUESSED.values()):
        alone = {item["where"]: item for item in answered(client, fixed(numbers), **WHOLE)["assumed"]}
        for where in expected:
            if where.startswith(f"{at}/{k}/"):
                same = alone[f"/aircraft/propeller/{where.rpartition('/')[2]}"]
                assert listed[where] == same | {"where": where}


@pytest.mark.parametrize("flown", GUESSED)
def test_what_is_assumed_does_not_depend_on_the_setting_flown(client, flown):
    one = {item["where"] for item in answered(client, adjustable(GUESSED), **WHOLE)["assumed"]}
    other = {item["where"] for item in answered(client, adjustable(GUESSED, setting=flown), **WHOLE)["assumed"]}
    assert other == one - {"/aircraft/propeller/setting"}


def test_all_else_is_assumed_as_of_a_fixed_pitch(client, given_request):
    # a request with many gaps, so that many assumptions stand beside each other
    body = given_request("performance")
    lists = []
    for propeller in (adjustable(GUESSED), fixed(GUESSED["fine"])):
        body["aircraft"]["propeller"] = propeller
        answer = send(client, "performance", body | {"strip": {"length": "500 m"}, "cruise": {}})
        lists.append([item for item in answer["assumed"] if "/propeller" not in item["where"]])
    one, other = lists
    assert len(one) > 15
    assert one == other


@pytest.mark.parametrize("table", [SETTINGS, {"12 deg": SETTINGS["12 deg"]}], ids=["several", "one"])
def test_the_rated_speed_is_assumed_to_be_reached_level(client, table):
    for propeller in (fixed(SETTINGS["12 deg"]), adjustable(table)):
        assert "/aircraft/engine/speed" in [item["where"] for item in answered(client, propeller)["assumed"]]


def test_cautions_are_those_of_the_setting_flown(client):
    for name, numbers in SETTINGS.items():
        one = answered(client, adjustable(SETTINGS, setting=name), **WHOLE)
        other = answered(client, fixed(numbers), **WHOLE)
        assert codes(one) == codes(other)
        assert one["cautions"] == other["cautions"]


# Refusals


def test_an_unknown_setting_is_refused_by_name(client):
    document = refused(client.post("/v1/performance", json=question(adjustable(SETTINGS, setting="13 deg"))), 422)
    assert pointers(document) == ["/aircraft/propeller/setting"]
    assert "12 deg, 15 deg, 18 deg" in document["detail"]


@pytest.mark.parametrize(
    ("name", "numbers", "field"),
    [
        ("18 deg", {"best_efficiency_speed": "90 kt"}, "settings/2/best_efficiency"),
        ("18 deg", {"best_efficiency": 0.7}, "settings/2/best_efficiency_speed"),
        ("12 deg", {"best_efficiency": 0.7}, "settings/0/best_efficiency_speed"),
        ("15 deg", SETTINGS["15 deg"] | {"static_speed": "3000 rpm"}, "settings/1/static_speed"),
        ("15 deg", {"best_efficiency": 1.7, "best_efficiency_speed": "90 kt"}, "settings/1/best_efficiency"),
        ("15 deg", {"pitch_class": "flat"}, "settings/1/pitch_class"),
        ("15 deg", {"pitch": "climb"}, "settings/1/pitch"),
    ],
)
@pytest.mark.parametrize("flown", ["12 deg", "18 deg"])
def test_a_setting_that_cannot_be_flown_is_refused_in_its_place(client, name, numbers, field, flown):
    body = question(adjustable(SETTINGS | {name: numbers}, setting=flown))
    document = refused(client.post("/v1/performance", json=body), 422)
    assert pointers(document) == [f"/aircraft/propeller/{field}"]
    assert "/options" not in str(document)


def test_one_to_eight_settings(client):
    nine = {f"{k} deg": SETTINGS["12 deg"] for k in range(9)}
    for table in ({}, nine):
        document = refused(client.post("/v1/performance", json=question(adjustable(table))), 422)
        assert pointers(document) == ["/aircraft/propeller/settings"]
    del nine["0 deg"]
    (scene, *_) = answered(client, adjustable(nine))["settings"]
    assert list(scene["measures"]) == list(nine)


def test_names_of_settings(client):
    for name in ("=1+1", "", " fine"):
        response = client.post(
            "/v1/performance", json=question(adjustable({"a": SETTINGS["12 deg"], name: GUESSED["fine"]}))
        )
        assert pointers(refused(response, 422)) == ["/aircraft/propeller/settings/1/name"]
    odd = {"a/b ~ é": SETTINGS["12 deg"], "/": SETTINGS["15 deg"]}
    (scene, *_) = answered(client, adjustable(odd))["settings"]
    assert list(scene["measures"]) == list(odd)


# Formats


def cells(client, propeller, **more):
    response = client.post("/v1/performance?format=csv", json=question(propeller, **more))
    assert response.status_code == 200, response.text
    return list(csv.DictReader(io.StringIO(response.text)))


def test_rows_of_the_table(client):
    answer = answered(client, adjustable(SETTINGS), units="aviation", **WHOLE)
    rows = cells(client, adjustable(SETTINGS), **WHOLE)
    scenes = [(a["name"], b["name"]) for a in LOADINGS for b in CONDITIONS]
    assert [(row["loading"], row["condition"], row["setting"]) for row in rows] == [
        *((*scene, "") for scene in scenes),
        *((*scene, name) for scene in scenes for name in SETTINGS),
    ]
    shown = [result["measures"] for result in answer["results"]]
    shown += [measures for scene in answer["settings"] for measures in scene["measures"].values()]
    for row, measures in zip(rows, shown, strict=True):
        for name in ("best_climb_rate", "takeoff_distance", "cruise_speed_true", "static_engine_speed"):
            leaf = measures[name]
            text = row[f"{name} [{leaf['unit']}]"]
            assert (float(text) if text else None) == leaf["value"], name
        clean = measures["stall_speeds"]["clean"]
        assert float(row[f"stall_speeds clean [{clean['unit']}]"]) == clean["value"]


def test_a_table_without_settings_has_no_column_for_them(client):
    assert "setting" not in cells(client, fixed(SETTINGS["12 deg"]))[0]


def test_text_puts_the_settings_side_by_side(client):
    response = client.post("/v1/performance?format=text", json=question(adjustable(SETTINGS), **WHOLE))
    assert response.status_code == 200
    lines = response.text.splitlines()
    assert max(map(len, lines)) <= 100
    assert sum("pitch settings side by side" in line for line in lines) == len(LOADINGS) * len(CONDITIONS)
    answer = answered(client, adjustable(SETTINGS), units="aviation", **WHOLE)
    for k, place in enumerate(i for i, line in enumerate(lines) if "pitch settings side by side" in line):
        scene = answer["settings"][k]
        assert lines[place + 1].split() == [word for name in SETTINGS for word in name.split()]
        table = "\n".join(lines[place : place + 9])
        for measure, decimals in (("best_climb_rate", 0), ("greatest_level_speed_true", 1), ("takeoff_distance", 0)):
            for at in scene["measures"].values():
                value = at[measure]["value"]
                assert ("none" if value is None else f"{value:.{decimals}f}") in table
        for use, name in scene["best_for"].items():
            assert f"{use}: {name}" in " ".join(table.split()), table


def test_text_tells_settings_of_long_names_apart(client):
    table = {"fine pitch, stop A": SETTINGS["12 deg"], "fine pitch, stop B": SETTINGS["15 deg"]}
    lines = client.post("/v1/performance?format=text", json=question(adjustable(table))).text.splitlines()
    place = next(i for i, line in enumerate(lines) if "pitch settings side by side" in line)
    heading = " ".join(lines[place + 1 : place + 3])
    assert "stop A" in heading
    assert "stop B" in heading


def test_one_number_of_a_setting_is_picked(client):
    body = question(adjustable({"fine": SETTINGS["12 deg"], "coarse": SETTINGS["18 deg"]}), **WHOLE)
    answer = send(client, "performance", body)
    for pointer, expected in (
        ("/settings/0/best_for/climb", answer["settings"][0]["best_for"]["climb"]),
        ("/settings/1/measures/coarse/best_climb_rate", None),
    ):
        text = client.post("/v1/performance", json=body, query_string={"pick": pointer}).text
        if expected is None:
            value = answer["settings"][1]["measures"]["coarse"]["best_climb_rate"]["value"]
            assert float(text) == pytest.approx(value, rel=1e-5)
        else:
            assert text == expected


# In a comparison and in a requirement


def propeller_change(propeller):
    part = {"weight": "10 kg", "arm": "-1.1 m"}
    return {"kind": "propeller", "name": "propeller", "propeller": propeller, "removed": part, "fitted": part}


def comparison(baseline, *changes):
    body = {"baseline": baseline, "loadings": LOADINGS, "conditions": CONDITIONS}
    return copy.deepcopy(with_changes(body, *changes))


def assert_same_comparison(one, other):
    for (place, leaf), (same_place, same) in zip(leaves(one), leaves(other), strict=True):
        assert place == same_place
        for part in ("before", "after", "change"):
            scale = abs(leaf["before"]["value"] or 0.0)  # a change keeps the rounding of what it is the difference of
            for key in {"value", "plus_minus"} & leaf[part].keys():
                number = same[part][key]
                expected = number if number is None else pytest.approx(number, rel=1e-9, abs=1e-12 * (1.0 + scale))
                assert leaf[part][key] == expected, (place, part, key)


DRAG = {"kind": "drag", "name": "fairings", "parasite_area_change": "-0.04 m2"}


@pytest.mark.parametrize("table", TABLES)
def test_a_baseline_is_compared_at_the_setting_flown(client, table):
    for name, numbers in TABLES[table].items():
        one, other = (
            send(client, "comparison", comparison(AEROPLANE | {"propeller": propeller}, DRAG))
            for propeller in (adjustable(TABLES[table], setting=name), fixed(numbers))
        )
        assert "settings" not in one
        assert_same_comparison(one, other)


@pytest.mark.parametrize("table", TABLES)
def test_an_option_is_fitted_at_the_setting_chosen(client, table):
    for name, numbers in TABLES[table].items():
        one, other = (
            send(client, "comparison", comparison(AEROPLANE, propeller_change(propeller)))
            for propeller in (adjustable(TABLES[table], setting=name), fixed(numbers))
        )
        assert_same_comparison(one, other)


def test_every_setting_as_an_option_of_its_own_is_what_performance_says(client):
    body = comparison(AEROPLANE | {"propeller": adjustable(SETTINGS)})
    body["options"] = [
        {"name": name, "changes": [propeller_change(adjustable(SETTINGS, setting=name))]} for name in SETTINGS
    ]
    options = send(client, "comparison", body, units="si")["options"]
    scenes = answered(client, adjustable(SETTINGS))["settings"]
    for option in options:
        for result, scene in zip(option["results"], scenes, strict=True):
            for measure in ("best_climb_rate", "greatest_level_speed_true", "service_ceiling"):
                leaf = result["measures"][measure]["after"]
                assert leaf["value"] == pytest.approx(scene["measures"][option["name"]][measure]["value"], rel=1e-12)


def test_starting_values_of_an_option_stand_where_its_setting_stands(client):
    for setting, place in (("fine", 0), ("coarse", 2)):
        body = comparison(AEROPLANE, propeller_change(adjustable(GUESSED, setting=setting)))
        listed = [item["where"] for item in send(client, "comparison", body)["assumed"]]
        at = "/options/0/changes/0/propeller/settings"
        assert f"{at}/{place}/best_efficiency" in listed
        assert not [where for where in listed if where.startswith(at) and not where.startswith(f"{at}/{place}/")]


def test_an_unknown_setting_in_a_comparison_is_refused_in_its_place(client):
    wrong = adjustable(SETTINGS, setting="13 deg")
    for body, where in (
        (comparison(AEROPLANE | {"propeller": wrong}, DRAG), "/baseline/propeller/setting"),
        (comparison(AEROPLANE, DRAG, propeller_change(wrong)), "/options/0/changes/1/propeller/setting"),
    ):
        assert pointers(refused(client.post("/v1/comparison", json=body), 422)) == [where]


def test_a_new_engine_begins_anew_behind_the_setting_flown(client):
    # design.md: an engine resets best efficiency and its speed; the class of the setting flown places them again
    part = {"weight": "80 kg", "arm": "-0.7 m"}
    engine = {"power": "100 hp", "speed": "2700 rpm", "lapse_constant": 0.117, "power_margin": 1}
    change = {"kind": "engine", "name": "engine", "engine": engine, "removed": part, "fitted": part}
    one, other = (
        send(client, "comparison", comparison(aeroplane() | {"propeller": propeller}, change))
        for propeller in (adjustable(GUESSED, setting="coarse"), fixed(GUESSED["coarse"]))
    )
    assert_same_comparison(one, other)
    assert only(one)["results"][0]["measures"]["best_climb_rate"]["change"]["value"] > 0


def test_a_requirement_is_answered_at_the_setting_flown(client):
    scene = {"loadings": [{"name": "one", "stations": LOADING}], "conditions": CONDITIONS[:1]}
    asked = {"unknown": {"field": "power"}, "target": {"measure": "best_climb_rate", "at_least": "700 ft/min"}}
    for name, numbers in GUESSED.items():
        one, other = (
            send(client, "requirement", scene | asked | {"aircraft": AEROPLANE | {"propeller": propeller}})
            for propeller in (adjustable(GUESSED, setting=name), fixed(numbers))
        )
        assert "settings" not in one
        for field in ("value", "slope"):
            assert one[field]["value"] == pytest.approx(other[field]["value"], rel=1e-9)
        assert one["value"]["plus_minus"] == pytest.approx(other["value"]["plus_minus"], rel=1e-9)
        places = [item["where"] for item in one["assumed"] if "/propeller" in item["where"]]
        assert all(f"/settings/{list(GUESSED).index(name)}/" in where for where in places)
