"""Performance through HTTP: every measure, what was assumed, what is null and why, and how the answer must lean."""

import copy

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from .asking import refused, send

MEASURES = {
    "weight", "cg_arm", "cg_chord_fraction", "cg_margin", "power_available", "power_delivered", "power_to_weight",
    "installed_power_to_weight", "best_climb_rate", "best_climb_speed_calibrated", "best_angle",
    "best_angle_speed_calibrated", "climb_gradient", "service_ceiling", "absolute_ceiling",
    "greatest_level_speed_true", "greatest_level_speed_calibrated", "stall_speed_calibrated", "stall_speed_true",
    "stall_speeds",
}  # fmt: skip


SOLO = {"pilot": "80 kg", "fuel": "40 L"}


def known(given_request):
    """The documented comparison's baseline: an aeroplane of which every number is given."""
    return given_request("comparison")["baseline"]


def fly(client, aircraft, loading=None, condition=None, **more):
    body = {
        "aircraft": aircraft,
        "loadings": [{"name": "one", "stations": SOLO if loading is None else loading}],
        "conditions": [{"name": "here"} | (condition or {"density_altitude": "5000 ft"})],
    } | more
    return send(client, "performance", body)


def measures(client, aircraft, *args, **more):
    return fly(client, aircraft, *args, **more)["results"][0]["measures"]


def codes(answer):
    return [caution["code"] for caution in answer["cautions"]]


def test_every_loading_in_every_condition(client, given_request):
    body = given_request("comparison")
    answer = send(client, "performance", {"aircraft": body["baseline"], "loadings": body["loadings"],
                                          "conditions": body["conditions"]})  # fmt: skip
    pairs = [(result["loading"], result["condition"]) for result in answer["results"]]
    assert pairs == [(a["name"], b["name"]) for a in body["loadings"] for b in body["conditions"]]
    for result in answer["results"]:
        assert result["measures"].keys() >= MEASURES
        assert list(result["measures"]["stall_speeds"]) == ["clean", "full flap"]
        assert result["measures"]["stall_speeds"]["clean"] == result["measures"]["stall_speed_calibrated"]


def test_each_loading_is_answered_as_if_alone(client, given_request):
    body = given_request("performance")
    body["loadings"].append({"name": "solo", "stations": {"seats": "80 kg", "fuel": "20 L"}})
    together = send(client, "performance", body)["results"]
    for result in together:
        alone = copy.deepcopy(body)
        alone["loadings"] = [x for x in body["loadings"] if x["name"] == result["loading"]]
        alone["conditions"] = [x for x in body["conditions"] if x["name"] == result["condition"]]
        (single,) = send(client, "performance", alone)["results"]
        for name, leaf in result["measures"].items():
            if name != "stall_speeds" and leaf["value"] is None:
                assert single["measures"][name] == leaf
            elif name != "stall_speeds":
                assert single["measures"][name]["value"] == pytest.approx(leaf["value"], rel=1e-12), name


def test_weight_and_power_by_hand(client, given_request):
    aircraft = known(given_request)
    found = measures(client, aircraft, {"pilot": "80 kg", "fuel": "40 L"}, {"density_altitude": "0 ft"})
    weight = 149.5 + 151.0 + 21.5 + 3.6 + 80 + 28.8
    assert found["weight"]["value"] == pytest.approx(weight)
    assert found["power_available"]["value"] == pytest.approx(85 * 0.90)
    assert found["power_to_weight"]["value"] == pytest.approx(85 * 0.90 / weight)
    assert found["installed_power_to_weight"]["value"] == pytest.approx(85 / weight)


def test_the_rate_at_the_best_speed_is_the_best_rate(client, given_request):
    aircraft = known(given_request)
    found = measures(client, aircraft)
    best = found["best_climb_speed_calibrated"]["value"]
    assert "climb_rate_at_speed" not in found or found["climb_rate_at_speed"]["value"] is None
    for factor, relation in ((1.0, 0), (0.97, -1), (1.03, -1)):
        asked = measures(client, aircraft, climb={"speed": f"{best * factor!r} kt"})
        difference = asked["climb_rate_at_speed"]["value"] - found["best_climb_rate"]["value"]
        assert abs(difference) < 1e-6 if relation == 0 else difference < 0


def test_the_rate_at_the_greatest_level_speed_is_none(client, given_request):
    aircraft = known(given_request)
    fastest = measures(client, aircraft)["greatest_level_speed_calibrated"]
    found = measures(client, aircraft, climb={"speed": fastest})["climb_rate_at_speed"]["value"]
    assert found == pytest.approx(0.0, abs=0.01)


def test_the_rate_at_the_ceilings(client, given_request):
    aircraft = known(given_request)
    found = measures(client, aircraft)
    for name, rate in (("absolute_ceiling", 0.0), ("service_ceiling", 100.0)):
        there = measures(client, aircraft, None, {"density_altitude": f"{found[name]['value']!r} ft"})
        assert there["best_climb_rate"]["value"] == pytest.approx(rate, abs=0.05)


def test_wind_moves_the_gradient_only(client, given_request):
    aircraft = known(given_request)
    air = {"elevation": "5000 ft", "qnh": "1013 hPa", "oat": "20 C", "dew_point": "5 C"}
    still, against, behind = (
        measures(client, aircraft, None, air | {"headwind": wind}) for wind in ("0 kt", "15 kt", "-15 kt")
    )
    assert against["climb_gradient"]["value"] > still["climb_gradient"]["value"] > behind["climb_gradient"]["value"]
    for name in MEASURES - {"climb_gradient"}:
        assert against[name] == still[name] == behind[name]


def test_a_wind_that_leaves_no_way(client, given_request):
    found = measures(client, known(given_request), None, {"density_altitude": "0 ft", "headwind": "39 m/s"})
    assert found["climb_gradient"]["value"] is None
    assert "wind" in found["climb_gradient"]["reason"]


GAPS = {
    "/aircraft/engine/lapse_constant": ("engine", "lapse_constant"),
    "/aircraft/engine/power_margin": ("engine", "power_margin"),
    "/aircraft/drag/span_efficiency": ("drag", "span_efficiency"),
    "/aircraft/drag/parasite_area": ("drag", "parasite_area"),
    "/aircraft/propeller/best_efficiency": ("propeller", "best_efficiency"),
    "/aircraft/propeller/best_efficiency_speed": ("propeller", "best_efficiency_speed"),
    "/aircraft/propeller/static_speed": ("propeller", "static_speed"),
    "/aircraft/stalls/0/maximum_lift_coefficient": ("stalls",),
}


@pytest.mark.parametrize(("where", "path"), GAPS.items(), ids=GAPS)
def test_every_gap_is_listed(client, given_request, where, path):
    aircraft = known(given_request)
    aircraft["drag"]["airframe_class"] = "strut-braced-fabric"
    aircraft["propeller"]["pitch_class"] = "middle"
    assert where not in [item["where"] for item in fly(client, aircraft)["assumed"] if "value" in item]
    sure = measures(client, aircraft)["best_climb_rate"]
    *way, last = path
    inner = aircraft[way[0]] if way else aircraft
    del inner[last]
    answer = fly(client, aircraft)
    (item,) = [item for item in answer["assumed"] if item["where"] == where and "value" in item]
    assert item["value"]["plus_minus"] > 0
    assert item["source"]
    assert "plus_minus" not in sure
    spreads = [leaf.get("plus_minus", 0) for leaf in answer["results"][0]["measures"].values() if "unit" in leaf]
    assert max(spreads) > 0


def test_a_gap_without_a_class_is_refused(client, given_request):
    aircraft = known(given_request)
    del aircraft["drag"]["parasite_area"]
    body = {"aircraft": aircraft, "loadings": [{"name": "one", "stations": {}}],
            "conditions": [{"name": "here", "density_altitude": "0 ft"}]}  # fmt: skip
    document = refused(client.post("/v1/performance", json=body), 422)
    assert any(error["pointer"].startswith("/aircraft/drag") for error in document["errors"])
    assert "airframe_class" in document["detail"]


def test_what_is_not_in_the_numbers_is_listed_too(client, given_request):
    aircraft = known(given_request)
    del aircraft["tail_arm"]
    answer = fly(client, aircraft, {"pilot": "80 kg"}, {"elevation": "0 ft", "qnh": "1013 hPa", "oat": "20 C"})
    places = [item["where"] for item in answer["assumed"]]
    for where in (
        "/aircraft/tail_arm",
        "/conditions/0/dew_point",
        "/conditions/0/headwind",
        "/loadings/0/stations/fuel",
        "/loadings/0/stations/passenger",
        "/loadings/0/stations/baggage",
    ):
        assert where in places


def test_no_climb_left(client, given_request):
    answer = fly(client, known(given_request), {"pilot": "80 kg", "passenger": "80 kg", "fuel": "60 L"},
                 {"density_altitude": "45000 ft"})  # fmt: skip
    found = answer["results"][0]["measures"]
    assert found["best_climb_rate"]["value"] < 0
    assert found["greatest_level_speed_true"]["value"] is None
    assert "level flight" in found["greatest_level_speed_true"]["reason"]
    assert {"no-climb", "no-level-flight"} <= set(codes(answer))


def test_no_power_anywhere_has_no_ceiling(client, given_request):
    aircraft = known(given_request)
    aircraft["engine"]["power"] = "2 hp"
    found = measures(client, aircraft)
    for name in ("service_ceiling", "absolute_ceiling"):
        assert found[name]["value"] is None
        assert found[name]["reason"]


def test_more_power_than_weight_is_answered_or_refused(client, given_request):
    # thrust above weight: the climb has no angle to answer with; that is ours to say, not to fail at
    aircraft = known(given_request)
    aircraft["engine"] = {"power": "2000 hp", "lapse_constant": 0, "power_margin": 1}
    aircraft["propeller"] = {"kind": "constant-efficiency", "efficiency": 0.8}
    body = {"aircraft": aircraft, "loadings": [{"name": "one", "stations": {"pilot": "80 kg"}}],
            "conditions": [{"name": "here", "density_altitude": "0 ft"}]}  # fmt: skip
    response = client.post("/v1/performance", json=body)
    if response.status_code == 200:
        angle = response.json["results"][0]["measures"]["best_angle"]
        assert (angle["value"] is None and angle["reason"]) or 0 < angle["value"] <= 90
    else:
        refused(response, 422)


def test_plus_minus_carries_through(client, given_request):
    aircraft = known(given_request)
    aircraft["engine"]["power"] = {"value": 85, "unit": "hp", "plus_minus": 3}
    found = measures(client, aircraft, None, {"density_altitude": "0 ft"})
    assert found["power_available"]["plus_minus"] == pytest.approx(0.9 * 3)
    assert found["best_climb_rate"]["plus_minus"] > 0
    assert found["stall_speed_true"].get("plus_minus", 0.0) == pytest.approx(0.0, abs=1e-12)


@settings(max_examples=15, deadline=None)
@given(ballast=st.floats(0.0, 150.0), more=st.floats(1.0, 60.0), altitude=st.floats(-2000.0, 18_000.0))
def test_more_weight_never_climbs_better(app, ballast, more, altitude):
    client, results = app.test_client(), []
    for weight in (ballast, ballast + more):
        aircraft = _plain(weight)
        results.append(measures(client, aircraft, {}, {"density_altitude": f"{altitude!r} ft"}))
    light, heavy = results
    for name in ("best_climb_rate", "best_angle", "climb_gradient", "power_to_weight", "absolute_ceiling"):
        if light[name]["value"] is not None and heavy[name]["value"] is not None:
            assert heavy[name]["value"] < light[name]["value"], name
    assert heavy["stall_speed_true"]["value"] > light["stall_speed_true"]["value"]


@settings(max_examples=15, deadline=None)
@given(altitude=st.floats(-3000.0, 18_000.0), thinner=st.floats(50.0, 4000.0), steady=st.booleans())
def test_denser_air_never_climbs_worse(app, altitude, thinner, steady):
    client, aircraft = app.test_client(), _plain(50.0)
    if steady:
        aircraft["propeller"] = {"kind": "constant-efficiency", "efficiency": 0.75}
    dense, thin = (
        measures(client, aircraft, {}, {"density_altitude": f"{h!r} ft"}) for h in (altitude, altitude + thinner)
    )
    for name in ("best_climb_rate", "best_angle", "climb_gradient", "power_available", "power_to_weight"):
        assert thin[name]["value"] < dense[name]["value"], name
    assert thin["stall_speed_true"]["value"] > dense["stall_speed_true"]["value"]
    assert thin["absolute_ceiling"]["value"] == pytest.approx(dense["absolute_ceiling"]["value"], rel=1e-9)


def _plain(ballast):
    return {
        "name": "an invented single-seater",
        "wing": {"area": "12 m2", "span": "9 m"},
        "empty": {"weight": f"{350.0 + ballast!r} kg", "arm": "0 m"},
        "engine": {"power": "80 hp", "lapse_constant": 0.117, "power_margin": 1},
        "propeller": {"kind": "fixed-pitch", "best_efficiency": 0.7, "best_efficiency_speed": "75 kt"},
        "drag": {"parasite_area": "0.5 m2", "span_efficiency": 0.75},
        "stalls": [{"configuration": "clean", "speed": "38 kt", "weight": "450 kg"}],
    }


@pytest.mark.parametrize("altitude", ["0 ft", "60000 ft"])
def test_an_engine_cannot_stand_still_faster_than_its_rated_speed(client, given_request, altitude):
    # a static speed above the rated one would deliver more power than is available: refused, or said
    aircraft = known(given_request)
    aircraft["propeller"]["static_speed"] = "3700 rpm"
    body = {"aircraft": aircraft, "loadings": [{"name": "one", "stations": SOLO}],
            "conditions": [{"name": "here", "density_altitude": altitude}]}  # fmt: skip
    response = client.post("/v1/performance", json=body)
    if response.status_code == 422:
        assert refused(response, 422)["errors"][0]["pointer"].startswith("/aircraft/")
        return
    assert response.status_code == 200, response.text
    found = response.json["results"][0]["measures"]
    assert any("static" in caution["text"] or "rated speed" in caution["text"] for caution in response.json["cautions"])
    assert found["power_delivered"]["value"] is not None or "static" in found["power_delivered"]["reason"]
