"""Changes of engine, propeller, wing and stations through HTTP: what is reset, what stays, what is not known."""

import pytest

from .asking import refused, send
from .comparing import ADD, leaves, only, with_changes

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
    values = [item for item in answer["assumed"] if item["where"].startswith("/options/") and "value" in item]
    assert not values
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


def test_a_volume_in_a_station_that_loses_its_density(client, given_request):
    # the loading is in litres; after the change nothing says what a litre weighs, which is the reason to give
    bare = {"kind": "station", "name": "solid", "station": {"name": "fuel", "arm": "0.66 m"}}
    response = client.post("/v1/comparison", json=with_changes(given_request("comparison"), bare))
    if response.status_code == 422:
        assert "density" in refused(response, 422)["detail"]
    else:
        after = only(response.json)["results"][0]["measures"]["weight"]["after"]
        assert after["value"] is None
        assert "density" in after["reason"]
