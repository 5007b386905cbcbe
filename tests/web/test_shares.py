"""What each change bought: against every order in which the changes could be made, and what cannot be shared."""

import copy
import itertools

import numpy as np
import pytest

from .asking import refused, send
from .plainly import LOADING, aeroplane

BASE = aeroplane(stalls=[{"configuration": "clean", "speed": "38 kt", "weight": "470 kg"}])
SCENES = {
    "loadings": [{"name": "one", "stations": LOADING}],
    "conditions": [{"name": "high", "density_altitude": "7000 ft"}],
}
CHANGES = [
    {"kind": "add", "name": "radio", "weight": "12 kg", "arm": "0.2 m"},
    {"kind": "remove", "name": "gauges", "weight": "7 kg", "arm": "0.1 m"},
    {"kind": "drag", "name": "fairings", "parasite_area_change": "-0.05 m2"},
    {"kind": "lift", "name": "vortex generators", "maximum_lift_gain": "9 %"},
]


def body(changes, **more):
    return {"baseline": BASE, "options": [{"name": "all", "changes": changes}]} | SCENES | more


def measures(client, changes):
    """Every measure with these changes made."""
    answer = send(client, "comparison", body(changes), units="si")["options"][0]["results"][0]["measures"]
    return {name: leaf["after"]["value"] for name, leaf in answer.items() if "after" in leaf}


def shares(client, changes, **more):
    answer = send(client, "comparison", body(changes, shares=True, **more), units="si")
    return answer["options"][0]["results"][0]["measures"]


def test_shares_are_the_mean_over_all_orders(client):
    """All 24 orders, one change after the other: a change's share is the mean of what it adds (the definition)."""
    found = shares(client, CHANGES)
    made = {
        frozenset(some): measures(client, [CHANGES[i] for i in some])
        for size in range(5)
        for some in itertools.combinations(range(4), size)
    }
    for name, leaf in found.items():
        if "shares" not in leaf or leaf["change"]["value"] is None:
            continue
        for k, change in enumerate(CHANGES):
            added = [
                made[frozenset(order[: order.index(k) + 1])][name] - made[frozenset(order[: order.index(k)])][name]
                for order in itertools.permutations(range(4))
            ]
            assert leaf["shares"][change["name"]]["value"] == pytest.approx(np.mean(added), rel=1e-9, abs=1e-9), name


def test_shares_add_up_to_the_change(client, example):
    request = example("comparison") | {"shares": True}
    request["baseline"]["propeller"]["pitch_class"] = "middle"
    answer = send(client, "comparison", request, units="si")
    checked = 0
    for option in answer["options"]:
        for result in option["results"]:
            leaves = [*result["measures"].values(), *result["measures"]["stall_speeds"].values()]
            for leaf in leaves:
                if "shares" in leaf and leaf["change"]["value"] is not None:
                    total = sum(share["value"] for share in leaf["shares"].values())
                    scale = max(abs(share["value"]) for share in leaf["shares"].values())
                    assert total == pytest.approx(leaf["change"]["value"], rel=1e-9, abs=1e-9 * scale)
                    checked += 1
    assert checked > 60


def test_a_weight_is_shared_by_what_each_part_weighs(client):
    weight = shares(client, CHANGES)["weight"]["shares"]
    assert {name: leaf["value"] for name, leaf in weight.items()} == pytest.approx(
        {"radio": 12.0, "gauges": -7.0, "fairings": 0.0, "vortex generators": 0.0}, abs=1e-9
    )


def test_one_change_has_it_all_and_no_change_nothing(client):
    leaf = shares(client, CHANGES[:1])["best_climb_rate"]
    assert leaf["shares"]["radio"]["value"] == pytest.approx(leaf["change"]["value"])
    assert "shares" not in shares(client, [])["best_climb_rate"]
    assert "shares" not in send(client, "comparison", body(CHANGES))["options"][0]["results"][0]["measures"]["weight"]


def test_a_group_has_one_share(client):
    grouped = copy.deepcopy(CHANGES)
    grouped[0]["group"] = grouped[1]["group"] = "panel"
    leaf = shares(client, grouped)["weight"]
    assert leaf["shares"]["panel"]["value"] == pytest.approx(5.0)
    assert set(leaf["shares"]) == {"panel", "fairings", "vortex generators"}


def test_what_is_shared_by_eight_is_not_by_nine(client):
    parts = [{"kind": "add", "name": f"part {i}", "weight": "1 kg", "arm": "0.3 m"} for i in range(9)]
    assert shares(client, parts[:8])["weight"]["shares"]["part 7"]["value"] == pytest.approx(1.0)
    document = refused(client.post("/v1/comparison", json=body(parts, shares=True)), 422)
    assert document["errors"][0]["pointer"] == "/options/0/changes"
    assert "group" in document["detail"]


def test_a_new_engine_without_the_new_propeller_must_be_known(client, example):
    request = example("comparison") | {"shares": True}
    send(client, "comparison", request)  # both are in one group
    for change in request["options"][0]["changes"]:
        change.pop("group", None)
    document = refused(client.post("/v1/comparison", json=request), 422)
    assert "pitch_class" in document["detail"]
    assert "group" in document["detail"]


def test_a_name_is_a_change_or_a_group(client):
    mixed = copy.deepcopy(CHANGES)
    mixed[1]["group"] = "radio"
    document = refused(client.post("/v1/comparison", json=body(mixed, shares=True)), 422)
    assert document["errors"][0]["pointer"] == "/options/0/changes/1/group"


def test_an_aeroplane_in_between_that_cannot_be_is_refused(client):
    heavy = [
        {"kind": "add", "name": "ballast", "weight": "900 kg", "arm": "0.3 m"},
        {"kind": "remove", "name": "ballast out", "weight": "900 kg", "arm": "0.3 m"},
    ]
    document = refused(client.post("/v1/comparison", json=body(heavy, shares=True)), 422)
    assert document["errors"][0]["pointer"] == "/options/0/changes"
    assert "ballast out" in document["detail"]
    assert "group" in document["detail"]


def test_what_does_not_exist_for_one_of_the_aeroplanes_has_no_share(client):
    """So much drag that it does not fly level, and two changes that only together let it."""
    dragging = copy.deepcopy(BASE)
    dragging["drag"] = {"parasite_area": "3.2 m2", "span_efficiency": 0.75}
    halves = [{"kind": "drag", "name": f"half {i}", "parasite_area_change": "-1.3 m2"} for i in (1, 2)]
    leaf = shares(client, halves, baseline=dragging)["greatest_level_speed_true"]
    assert leaf["before"]["value"] is None
    assert leaf["after"]["value"] is not None
    for share in leaf["shares"].values():
        assert share["value"] is None
        assert "only some of the changes" in share["reason"]


def three_shares(first, a, b, c):
    """Shares of three factors in what they make of a number, by the definition: means over the six orders."""
    found = []
    for own, one, other in ((a, b, c), (b, a, c), (c, a, b)):
        found.append(first * (own - 1.0) * (1.0 / 3.0 + (one + other) / 6.0 + one * other / 3.0))
    return found


def test_a_stall_speeds_change_is_split_by_the_three_factors(client):
    """V goes with the root of the weight and of one over the lift; no tail is known, so that balance does nothing."""
    leaf = shares(client, CHANGES)["stall_speed_calibrated"]
    weights = shares(client, CHANGES)["weight"]
    by_weight = (weights["after"]["value"] / weights["before"]["value"]) ** 0.5
    expected = three_shares(leaf["before"]["value"], by_weight, 1.0, 1.09**-0.5)
    for name, value in zip(("weight", "balance", "lift"), expected, strict=True):
        assert leaf["causes"][name]["value"] == pytest.approx(value, abs=2e-5 * leaf["before"]["value"]), (
            name
        )  # calibrated


def test_a_moved_part_changes_the_stall_through_the_balance_alone(client):
    known = copy.deepcopy(BASE) | {"tail_arm": "4.2 m"}
    known["wing"] |= {"chord": "1.35 m", "leading_edge_arm": "0.1 m"}
    known["stalls"][0] |= {"arm": "0.4 m"}
    moved = {"kind": "move", "name": "battery", "weight": "9 kg", "from_arm": "0.1 m", "to_arm": "2.6 m"}
    request = body([moved], shares=True) | {"baseline": known}
    leaf = send(client, "comparison", request, units="si")["options"][0]["results"][0]["measures"][
        "stall_speed_calibrated"
    ]
    assert leaf["change"]["value"] != 0.0
    assert leaf["causes"]["balance"]["value"] == pytest.approx(leaf["change"]["value"], rel=1e-9)
    assert leaf["causes"]["weight"]["value"] == pytest.approx(0.0, abs=1e-12)
    assert leaf["causes"]["lift"]["value"] == pytest.approx(0.0, abs=1e-12)


def test_the_causes_of_the_documented_stall_add_up(client, example):
    request = example("comparison") | {"shares": True}
    request["baseline"]["propeller"]["pitch_class"] = "middle"
    for option in send(client, "comparison", request, units="si")["options"]:
        for result in option["results"]:
            leaf = result["measures"]["stall_speed_calibrated"]
            total = sum(cause["value"] for cause in leaf["causes"].values())
            assert total == pytest.approx(leaf["change"]["value"], rel=1e-9)
            assert all("plus_minus" in cause for cause in leaf["causes"].values())
    without = send(client, "comparison", example("comparison"))["options"][0]["results"][0]["measures"]
    assert "causes" not in without["stall_speed_calibrated"]


def test_shares_of_too_many_aeroplanes_are_refused(client):
    changes = [{"kind": "add", "name": f"part {k}", "weight": "1 kg", "arm": "0.2 m"} for k in range(8)]
    request = body(changes, shares=True) | {
        "loadings": [{"name": f"{k}", "stations": LOADING} for k in range(8)],
        "conditions": [{"name": f"{k}", "density_altitude": "7000 ft"} for k in range(6)],
    }
    document = refused(client.post("/v1/comparison", json=request), 422)
    assert document["errors"][0]["pointer"] == "/shares"
    assert "256 aeroplanes" in document["detail"]


def test_a_wing_moved_aft_keeps_the_tail_load_of_the_flown_stall(client):
    """The tail then pushes up where it pushed down: 1 + (c - x)/l goes with the square of the stall speed."""
    known = copy.deepcopy(BASE) | {"tail_arm": "4.0 m"}
    known["wing"] |= {"chord": "1.2 m", "leading_edge_arm": "0.1 m"}
    known["stalls"][0] |= {"arm": "0.4 m"}
    moved = {"kind": "wing", "name": "swept back", "leading_edge_arm": "0.3 m"}
    request = body([moved], shares=True) | {"baseline": known}
    measures = send(client, "comparison", request, units="si")["options"][0]["results"][0]["measures"]
    leaf, arm = measures["stall_speed_calibrated"], measures["cg_arm"]["before"]["value"]
    before, after = (1.0 + (edge + 0.3 - arm) / 4.0 for edge in (0.1, 0.3))
    assert leaf["after"]["value"] / leaf["before"]["value"] == pytest.approx((after / before) ** 0.5, rel=1e-4)
    assert leaf["causes"]["balance"]["value"] == pytest.approx(leaf["change"]["value"], rel=1e-6)
