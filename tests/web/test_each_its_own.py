"""Aeroplanes compared side by side keep their own stations, tanks and limits, whatever another one has."""

import pytest

from .asking import pointers, refused, send

CONSTANT = {
    "kind": "propeller",
    "name": "another kind",
    "propeller": {"kind": "constant-efficiency", "efficiency": 0.72},
    "removed": {"weight": "11.5 kg", "arm": "-1.15 m"},
    "fitted": {"weight": "11.5 kg", "arm": "-1.15 m"},
}
AUX = {"kind": "station", "name": "aux tank", "station": {"name": "aux", "arm": "0.9 m", "density": "0.72 kg/L"}}


def options(body, *lists):
    body["options"] = [{"name": f"option {i}", "changes": list(changes)} for i, changes in enumerate(lists)]
    return body


def codes(cautions, loading):
    return {caution["code"] for caution in cautions if caution["text"].startswith(f"{loading}:")}


@pytest.mark.parametrize("changes", [[AUX], [AUX, CONSTANT]], ids=["same kind", "another kind of propeller"])
def test_a_load_that_the_baseline_cannot_carry_has_no_before(client, given_request, changes):
    body = options(given_request("comparison"), changes, [])
    body["loadings"][0]["stations"]["aux"] = "20 L"
    first, second = send(client, "comparison", body)["options"]
    weight = first["results"][0]["measures"]["weight"]
    assert weight["before"]["value"] is None
    assert "station" in weight["before"]["reason"]
    assert weight["after"]["value"] > 14.4
    assert weight["change"]["value"] is None
    assert second["results"][0]["measures"]["weight"]["after"]["value"] is None


def test_an_options_tank_does_not_hide_the_baselines_burn(client, given_request):
    body = options(given_request("comparison"), [])
    body["baseline"]["limits"]["forward"] = "0.478 m"
    alone = codes(send(client, "comparison", body)["cautions"], "two-up")
    assert "cg-leaves-limits-as-fuel-burns" in alone  # otherwise the test shows nothing
    tank = {**AUX, "station": AUX["station"] | {"unusable": "1 L"}}
    beside = send(client, "comparison", options(body, [tank]))
    assert codes(beside["cautions"], "two-up") == alone
    assert "cg-leaves-limits-as-fuel-burns" in beside["options"][0]["exceeded"]


def test_a_seat_is_not_burned_because_another_option_makes_it_a_tank(client, given_request):
    body = options(given_request("comparison"), [])
    body["baseline"]["limits"]["forward"] = "0.4675 m"
    alone = codes(send(client, "comparison", body)["cautions"], "two-up")
    seat = {"kind": "station", "name": "s", "station": {"name": "passenger", "arm": "0.52 m", "density": "0.9 kg/L"}}
    beside = send(client, "comparison", options(body, [seat]))
    assert codes(beside["cautions"], "two-up") == alone


def test_the_mount_meets_sea_level_too(client, given_request):
    body = options(given_request("comparison"), [])
    body["baseline"]["engine"]["power_limit"] = "75 hp"  # rated 85 hp, whatever its margin
    answer = send(client, "comparison", body)
    (caution,) = [c for c in answer["cautions"] if c["code"] == "power-above-limit" and "solo" in c["text"]]
    assert "85.0 hp" in caution["text"]
    assert answer["options"][0]["exceeded"] == ["power-above-limit"]


def test_a_new_engine_on_an_unknown_pitch_may_say_its_class(client, given_request):
    engine = {
        "kind": "engine",
        "name": "engine",
        "engine": {"power": "100 hp", "speed": "2700 rpm"},
        "removed": {"weight": "92 kg", "arm": "-0.71 m"},
        "fitted": {"weight": "90 kg", "arm": "-0.71 m"},
    }
    body = options(given_request("comparison"), [engine])
    response = client.post("/v1/comparison", json=body)
    assert pointers(refused(response, 422)) == ["/options/0/changes/0/best_efficiency"]
    answer = send(client, "comparison", options(body, [engine | {"pitch_class": "climb"}]))
    places = [item["where"] for item in answer["assumed"]]
    assert "/options/0/changes/0/best_efficiency" in places
    assert "/options/0/changes/0/best_efficiency_speed" in places


SPAN = {"kind": "wing", "name": "b", "span": "11 m"}
TANK = {"kind": "station", "name": "b", "station": {"name": "fuel", "arm": "0.7 m", "density": "0.72 kg/L"}}


@pytest.mark.parametrize(("second", "field"), [(SPAN, "span"), (TANK, "station")], ids=["wing", "station"])
def test_two_changes_may_not_set_one_number(client, given_request, second, field):
    body = options(given_request("comparison"), [{**second, "name": "a"}, second])
    response = client.post("/v1/comparison", json=body)
    assert pointers(refused(response, 422)) == [f"/options/0/changes/1/{field}"]


def test_what_a_new_propeller_says_is_not_said_by_the_engine(client, given_request):
    body = given_request("comparison")
    changes = body["options"][0]["changes"]
    engine = next(i for i, change in enumerate(changes) if change["kind"] == "engine")
    changes[engine]["best_efficiency"] = 0.5
    response = client.post("/v1/comparison", json=body)
    assert pointers(refused(response, 422)) == [f"/options/0/changes/{engine}/best_efficiency"]


def test_the_table_has_the_cost_of_each_gain(client, given_request):
    text = client.post("/v1/comparison?format=csv", json=given_request("comparison")).text
    heads = text.splitlines()[0].split(",")
    assert {"cost [EUR]", "cost_per_100_ft_per_min [EUR]", "cost_per_horsepower [EUR]"} <= set(heads)


def test_a_direct_drive_beside_a_geared_one_keeps_its_tip_speed(client, given_request):
    body = given_request("comparison")
    body["baseline"]["propeller"] |= {"static_speed": "3300 rpm", "diameter": "1.95 m"}
    body["baseline"]["engine"]["speed"] = "3600 rpm"  # 0.5 * 1.95 m * 377 rad/s are 368 m/s: supersonic, no gear given
    engine = next(change for change in body["options"][0]["changes"] if change["kind"] == "engine")
    assert "reduction" in engine["engine"]
    assert "tip-mach" in {caution["code"] for caution in send(client, "comparison", body)["cautions"]}
