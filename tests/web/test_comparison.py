"""Comparison through HTTP: before and after, and what a gain costs."""

import copy

import pytest

from .asking import send
from .comparing import ADD, leaves, only, with_changes
from .test_units_of_answers import quantities


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
