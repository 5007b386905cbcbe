"""Comparison through HTTP: before and after, what a gain costs, and a broken limit said first."""

import copy

import pytest

from .asking import refused, send
from .test_performance import codes
from .test_units_of_answers import quantities


def leaves(answer):
    """Every measure's before, after and change, with its pointer."""
    for i, option in enumerate(answer["options"]):
        for j, result in enumerate(option["results"]):
            for name, leaf in result["measures"].items():
                for inner in leaf.values() if name == "stall_speeds" else (leaf,):
                    yield f"/options/{i}/results/{j}/measures/{name}", inner


def with_changes(body, *changes):
    body["options"] = [{"name": "only", "changes": list(changes)}]
    return body


def only(answer):
    (option,) = answer["options"]
    return option


ADD = {"kind": "add", "name": "ballast", "weight": "5 kg", "arm": "1.0 m"}


@pytest.mark.parametrize("gaps", [False, True])
def test_before_equals_after_when_nothing_changes(client, given_request, gaps):
    body = with_changes(given_request("comparison"))
    if gaps:
        body["baseline"]["drag"] = {"airframe_class": "strut-braced-fabric"}
        body["baseline"]["engine"] = {"power": "85 hp", "speed": "2575 rpm"}
        body["baseline"]["propeller"] = {"kind": "fixed-pitch", "diameter": "1.8 m", "pitch_class": "climb"}
        body["baseline"].pop("stalls")
    answer = send(client, "comparison", body)
    found = list(leaves(answer))
    assert len(found) > 70
    for pointer, leaf in found:
        assert leaf["before"] == leaf["after"], pointer
        assert leaf["change"]["value"] == 0.0, pointer
        assert leaf["change"].get("plus_minus", 0.0) == 0.0, pointer
    assert only(answer)["exceeded"] == []
    assert only(answer)["cost"]["value"] is None


@pytest.mark.parametrize(
    "nothing",
    [
        {"kind": "add", "name": "nothing", "weight": "0 kg", "arm": "1 m"},
        {"kind": "move", "name": "to and fro", "weight": "7 kg", "from_arm": "1 m", "to_arm": "1 m"},
        {"kind": "drag", "name": "no drag", "parasite_area_change": "0 m2"},
        {"kind": "lift", "name": "no lift", "maximum_lift_gain": "0 %"},
        {"kind": "wing", "name": "the same wing", "area": "14.6 m2", "span": "10.2 m"},
    ],
    ids=lambda change: change["name"],
)
def test_a_change_of_nothing_changes_nothing(client, given_request, nothing):
    answer = send(client, "comparison", with_changes(given_request("comparison"), nothing))
    for pointer, leaf in leaves(answer):
        assert leaf["change"]["value"] == pytest.approx(0.0, abs=1e-9), pointer


def test_change_is_after_less_before(client, given_request):
    for pointer, leaf in leaves(send(client, "comparison", given_request("comparison"))):
        assert leaf["before"]["unit"] == leaf["after"]["unit"] == leaf["change"]["unit"], pointer
        difference = leaf["after"]["value"] - leaf["before"]["value"]
        assert leaf["change"]["value"] == pytest.approx(difference, rel=1e-6, abs=1e-9), pointer


def test_before_is_the_performance_of_the_baseline(client, given_request):
    body = given_request("comparison")
    alone = send(client, "performance", {"aircraft": body["baseline"], "loadings": body["loadings"],
                                         "conditions": body["conditions"]})  # fmt: skip
    for one, result in zip(alone["results"], only(send(client, "comparison", body))["results"], strict=True):
        for name, leaf in one["measures"].items():
            if name != "stall_speeds":
                assert result["measures"][name]["before"]["value"] == pytest.approx(leaf["value"], rel=1e-12)


def test_options_do_not_touch_each_other(client, given_request):
    body = given_request("comparison")
    first = body["options"][0]
    body["options"] += [{"name": "ballast", "changes": [ADD]}, {"name": "as it is", "changes": []}]
    together = send(client, "comparison", body)
    for option in together["options"]:
        alone = copy.deepcopy(body)
        alone["options"] = [given for given in body["options"] if given["name"] == option["name"]]
        single = only(send(client, "comparison", alone))
        assert single["name"] == option["name"]
        assert single["exceeded"] == option["exceeded"]
        for (_, one), (_, other) in zip(leaves({"options": [single]}), leaves({"options": [option]}), strict=True):
            assert other["after"]["value"] == pytest.approx(one["after"]["value"], rel=1e-12)
    assert first["name"] == together["options"][0]["name"]


def test_the_order_of_changes_does_not_matter(client, given_request):
    body = given_request("comparison")
    turned = copy.deepcopy(body)
    turned["options"][0]["changes"].reverse()
    pairs = zip(leaves(send(client, "comparison", body)), leaves(send(client, "comparison", turned)), strict=True)
    for (pointer, one), (_, other) in pairs:
        assert other["after"]["value"] == pytest.approx(one["after"]["value"], rel=1e-9), pointer


def test_weights_of_the_example_by_hand(client, given_request):
    # -92 + 84 engine, -11.5 + 7.5 propeller, + 7 radiator, -6.4 + 2.7 panel
    for result in only(send(client, "comparison", given_request("comparison")))["results"]:
        measures = result["measures"]
        assert measures["weight"]["change"]["value"] == pytest.approx(-8 - 4 + 7 - 3.7)
        moment = 92 * 0.71 - 84 * 0.78 + 11.5 * 1.15 - 7.5 * 1.22 - 7 * 0.35 - 6.4 * 0.12 + 2.7 * 0.12
        before, after = (
            measures["weight"][when]["value"] * measures["cg_arm"][when]["value"] for when in ("before", "after")
        )
        assert after - before == pytest.approx(moment)
        assert measures["installed_power_to_weight"]["after"]["value"] == pytest.approx(
            112 / measures["weight"]["after"]["value"]
        )


def test_cost_and_cost_per_gain_by_hand(client, given_request):
    option = only(send(client, "comparison", given_request("comparison")))
    assert option["cost"] == {"value": 13_400 + 1_650 + 420 + 1_900 + 260, "unit": "EUR"}
    for result in option["results"]:
        climb = result["measures"]["best_climb_rate"]["change"]
        power = result["measures"]["power_available"]["change"]
        assert (climb["unit"], power["unit"]) == ("ft/min", "hp")
        assert result["cost_per_100_ft_per_min"]["value"] == pytest.approx(17_630 / climb["value"] * 100)
        assert result["cost_per_horsepower"]["value"] == pytest.approx(17_630 / power["value"])
        assert result["cost_per_horsepower"]["unit"] == "EUR"


def test_cost_does_not_follow_the_units(client, given_request):
    aviation, metric = (
        only(send(client, "comparison", given_request("comparison"), units=units)) for units in ("aviation", "metric")
    )
    for one, other in zip(aviation["results"], metric["results"], strict=True):
        for name in ("cost_per_100_ft_per_min", "cost_per_horsepower"):
            assert other[name]["value"] == pytest.approx(one[name]["value"], rel=1e-9)


def test_cost_of_no_gain_is_null_with_a_reason(client, given_request):
    option = only(send(client, "comparison", with_changes(given_request("comparison"), ADD | {"cost": "90 USD"})))
    assert option["cost"] == {"value": 90, "unit": "USD"}
    for result in option["results"]:
        for name in ("cost_per_100_ft_per_min", "cost_per_horsepower"):
            assert result[name]["value"] is None
            assert result[name]["unit"] == "USD"
            assert "gained" in result[name]["reason"]


def test_no_cost_is_null_with_a_reason(client, given_request):
    option = only(send(client, "comparison", with_changes(given_request("comparison"), ADD)))
    for leaf in (option["cost"], option["results"][0]["cost_per_horsepower"]):
        assert leaf["value"] is None
        assert "cost" in leaf["reason"]


def _heavy(_):
    return [ADD | {"weight": "190 kg", "arm": "0.5 m"}]


def _tail(_):
    return [ADD | {"weight": "25 kg", "arm": "4.5 m"}]


def _burning(body):
    # loaded the CG lies just inside the aft limit; the fuel ahead of it burns away
    body["baseline"]["stations"][3]["arm"] = "-1.0 m"
    body["loadings"] = [{"name": "solo", "stations": {"pilot": "84 kg", "fuel": "60 L"}}]
    return [ADD | {"weight": "22 kg", "arm": "4.5 m"}]


def _never_exceed(body):
    body["baseline"]["speed_limits"] = {"never_exceed": "80 kt"}
    return body["options"][0]["changes"]


def _smooth_air(body):
    body["baseline"]["speed_limits"] = {"never_exceed": "300 kt", "smooth_air": "80 kt"}
    return body["options"][0]["changes"]


def _hub(body):
    body["options"][0]["changes"][0]["engine"]["power_limit"] = "80 hp"
    return body["options"][0]["changes"]


def _mount(body):
    body["baseline"]["engine"]["power_limit"] = "80 hp"
    del body["options"][0]["changes"][0]["engine"]["power_limit"]
    return body["options"][0]["changes"]


@pytest.mark.parametrize(
    ("make", "code"),
    [
        (_heavy, "over-maximum-weight"),
        (_tail, "cg-outside-limits"),
        (_burning, "cg-leaves-limits-as-fuel-burns"),
        (_never_exceed, "faster-than-never-exceed"),
        (_smooth_air, "faster-than-smooth-air-limit"),
        (_hub, "power-above-limit"),
        (_mount, "power-above-limit"),
    ],
)
def test_a_broken_limit_is_answered_in_full_and_said_first(client, given_request, make, code):
    body = given_request("comparison")
    body["options"][0]["changes"] = make(body)
    answer = send(client, "comparison", body)
    option = only(answer)
    assert code in option["exceeded"]
    assert option["cautions"][0]["code"] in option["exceeded"]
    said = codes(option)
    assert set(option["exceeded"]) == {c for c in said if c in option["exceeded"]}
    assert said[: said.index("best-angle-speed-held") if "best-angle-speed-held" in said else None]
    # every broken limit stands before anything else
    ranks = [c in option["exceeded"] for c in said]
    assert ranks == sorted(ranks, reverse=True)
    # the numbers are there all the same
    found = list(leaves(answer))
    assert found
    assert all(leaf["after"]["value"] is not None for _, leaf in found)
    # the baseline keeps the limit
    assert code not in codes(answer)
    # and the printed page says it before the first number
    text = client.post("/v1/comparison?format=text", json=body).text
    assert code in text[: text.index("before       after")]


def test_the_first_caution_carries_its_number(client, given_request):
    body = with_changes(given_request("comparison"), ADD | {"weight": "190 kg", "arm": "0.5 m"})
    first = only(send(client, "comparison", body))["cautions"][0]
    assert first["code"] == "over-maximum-weight"
    weight = 149.5 + 151 + 21.5 + 3.6 + 84 + 5 + 28.8 + 190  # solo
    assert f"{weight:.1f} kg" in first["text"]
    assert f"{weight - 590:.1f} kg" in first["text"]
    assert first["where"] == "/loadings/0"


ENGINE = {
    "kind": "engine",
    "name": "new engine",
    "engine": {"power": "100 hp", "speed": "5500 rpm", "reduction": 2.43},
    "removed": {"weight": "92 kg", "arm": "-0.71 m"},
    "fitted": {"weight": "84 kg", "arm": "-0.78 m"},
}


def test_an_engine_change_takes_the_old_ones_calibration_with_it(client, given_request):
    body = given_request("comparison")
    body["baseline"]["propeller"]["pitch_class"] = "middle"
    places = [item["where"] for item in send(client, "comparison", with_changes(body, ENGINE))["assumed"]]
    for where in ("engine/power_margin", "engine/lapse_constant", "best_efficiency", "best_efficiency_speed"):
        assert any(p.startswith("/options/0/changes/0/") and p.endswith(where) for p in places), (where, places)
    # the drag was measured on the aeroplane and stays
    assert not [place for place in places if "drag" in place]


def test_what_is_given_with_the_new_engine_is_not_assumed(client, given_request):
    given = ENGINE | {"best_efficiency": 0.7, "best_efficiency_speed": "78 kt", "static_speed": "5000 rpm"}
    given["engine"] = ENGINE["engine"] | {"power_margin": 0.95, "lapse_constant": 0.117}
    answer = send(client, "comparison", with_changes(given_request("comparison"), given))
    assert not [item for item in answer["assumed"] if item["where"].startswith("/options/")]
    assert "plus_minus" not in only(answer)["results"][0]["measures"]["best_climb_rate"]["after"]


def test_a_propeller_change_resets_the_propeller_only(client, given_request):
    change = {
        "kind": "propeller",
        "name": "new propeller",
        "propeller": {"kind": "fixed-pitch", "diameter": "1.75 m", "pitch_class": "climb"},
        "removed": {"weight": "11.5 kg", "arm": "-1.15 m"},
        "fitted": {"weight": "7.5 kg", "arm": "-1.22 m"},
    }
    answer = send(client, "comparison", with_changes(given_request("comparison"), change))
    places = [item["where"] for item in answer["assumed"]]
    assert any(place.endswith("best_efficiency") for place in places)
    assert not [place for place in places if "power_margin" in place or "lapse" in place or "drag" in place]
    power = only(answer)["results"][0]["measures"]["power_available"]["change"]
    assert power["value"] == 0.0


def test_a_loading_may_name_a_station_the_option_adds(client, given_request):
    rack = {"kind": "station", "name": "rack", "station": {"name": "wing tank", "arm": "0.5 m", "density": "0.72 kg/L"}}
    body = with_changes(given_request("comparison"), rack)
    body["loadings"].append({"name": "far", "stations": {"pilot": "84 kg", "wing tank": "30 L"}})
    option = only(send(client, "comparison", body))
    far = [result for result in option["results"] if result["loading"] == "far"]
    assert len(far) == 2
    for result in far:
        for name in ("weight", "cg_arm", "best_climb_rate", "stall_speed_true"):
            leaf = result["measures"][name]
            assert leaf["before"]["value"] is None
            assert "station" in leaf["before"]["reason"]
            assert leaf["after"]["value"] is not None
            assert leaf["change"]["value"] is None
            assert leaf["change"]["reason"]
    weight = far[0]["measures"]["weight"]["after"]["value"]
    assert weight == pytest.approx(149.5 + 151 + 21.5 + 3.6 + 84 + 21.6)


def test_a_station_of_no_option_is_refused(client, given_request):
    body = with_changes(given_request("comparison"), ADD)
    body["loadings"][0]["stations"]["roof"] = "1 kg"
    document = refused(client.post("/v1/comparison", json=body), 422)
    assert document["errors"][0]["pointer"] == "/loadings/0/stations/roof"
    assert "pilot" in document["errors"][0]["detail"]


def test_drag_and_lift_lean_the_right_way(client, given_request):
    body = given_request("comparison")
    body["options"] = [
        {"name": "fairings", "changes": [{"kind": "drag", "name": "a", "parasite_area_change": "-0.05 m2"}]},
        {"name": "generators", "changes": [{"kind": "lift", "name": "b", "maximum_lift_gain": "10 %"}]},
        {"name": "one flap", "changes": [{"kind": "lift", "name": "c", "maximum_lift_gain": "10 %",
                                          "configuration": "full flap"}]},
    ]  # fmt: skip
    answer = send(client, "comparison", body)
    fairings, generators, flap = (option["results"][0]["measures"] for option in answer["options"])
    assert fairings["best_climb_rate"]["change"]["value"] > 0
    assert fairings["greatest_level_speed_true"]["change"]["value"] > 0
    assert fairings["weight"]["change"]["value"] == 0.0
    ratio = generators["stall_speed_true"]["after"]["value"] / generators["stall_speed_true"]["before"]["value"]
    assert ratio == pytest.approx(1.1**-0.5)
    assert flap["stall_speeds"]["clean"]["change"]["value"] == 0.0
    assert flap["stall_speeds"]["full flap"]["change"]["value"] < 0


def test_a_spread_of_what_both_share_falls_out_of_the_change(client, given_request):
    body = given_request("comparison")
    body["baseline"]["items"][0]["weight"] = {"value": 3.6, "unit": "kg", "plus_minus": 1.0}
    leaf = only(send(client, "comparison", body))["results"][0]["measures"]["weight"]
    assert leaf["before"]["plus_minus"] == pytest.approx(1.0)
    assert leaf["after"]["plus_minus"] == pytest.approx(1.0)
    assert leaf["change"]["plus_minus"] == pytest.approx(0.0, abs=1e-9)


def test_every_quantity_of_a_broken_option_is_finite_or_says_why(client, given_request):
    body = given_request("comparison")
    body["conditions"].append({"name": "the top of the world", "density_altitude": "45000 ft"})
    answer = send(client, "comparison", body)
    nulls = [quantity for _, quantity in quantities(answer) if quantity["value"] is None]
    assert nulls
    assert all(quantity["reason"] for quantity in nulls)


@pytest.mark.parametrize(
    ("missing", "change"),
    [
        (("wing", "chord", "leading_edge_arm"), {"kind": "wing", "chord": "1.5 m", "leading_edge_arm": "0 m"}),
        (("wing", "chord"), {"kind": "wing", "chord": "1.5 m"}),
        (("engine", "speed"), ENGINE),
        (("engine", "lapse_constant", "power_margin"), ENGINE),
        (("propeller", "static_speed"), {"kind": "drag", "parasite_area_change": "0.01 m2"}),
        (("propeller", "diameter"), {"kind": "lift", "maximum_lift_gain": "5 %"}),
    ],
    ids=lambda value: str(value[0]) if isinstance(value, tuple) else value["kind"],
)
@pytest.mark.parametrize("pitch", [None, "climb"])
def test_a_change_may_know_what_the_baseline_does_not(client, given_request, missing, change, pitch):
    body = given_request("comparison")
    part, *names = missing
    for name in names:
        del body["baseline"][part][name]
    if pitch:
        body["baseline"]["propeller"]["pitch_class"] = pitch
    response = client.post("/v1/comparison", json=with_changes(body, change | {"name": "only"}))
    if response.status_code == 200:
        for pointer, leaf in leaves(response.json):
            for inner in leaf.values():
                assert inner["value"] is not None or inner["reason"], pointer
    else:
        assert refused(response, 422)["errors"][0]["pointer"]


@pytest.mark.parametrize("kinds", [("fixed-pitch", "constant-efficiency"), ("constant-efficiency", "fixed-pitch")])
def test_propellers_of_different_kinds_side_by_side(client, given_request, kinds):
    swap = {"removed": {"weight": "11 kg", "arm": "-1.15 m"}, "fitted": {"weight": "9 kg", "arm": "-1.2 m"}}
    propellers = {
        "fixed-pitch": {"kind": "fixed-pitch", "pitch_class": "climb", "diameter": "1.75 m"},
        "constant-efficiency": {"kind": "constant-efficiency", "efficiency": 0.75},
    }
    body = given_request("comparison")
    before, after = kinds
    body["baseline"]["propeller"] = propellers[before]
    body["options"] = [
        {"name": name, "changes": [{"kind": "propeller", "name": "new", "propeller": propellers[name], **swap}]}
        for name in (after, before)
    ]
    answer = send(client, "comparison", body)
    for option in answer["options"]:
        for result in option["results"]:
            assert result["measures"]["best_climb_rate"]["after"]["value"] is not None
            assert result["measures"]["weight"]["change"]["value"] == pytest.approx(-2.0)
    # the option that keeps the kind differs from the baseline in weight alone
    same = answer["options"][1]["results"][0]["measures"]
    assert same["power_available"]["change"]["value"] == pytest.approx(0.0, abs=1e-9)
