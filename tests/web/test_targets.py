"""The chance of meeting a target: against the normal distribution and against many draws, and what has none."""

import copy
import math

import numpy as np
import pytest
from scipy.stats import norm

from .asking import refused, send
from .plainly import LOADING, aeroplane

AIRCRAFT = aeroplane(drag={"parasite_area": {"value": 0.6, "unit": "m2", "plus_minus": 0.06}, "span_efficiency": 0.75})
SCENES = {
    "loadings": [{"name": "one", "stations": LOADING}],
    "conditions": [{"name": "low", "density_altitude": "2000 ft"}, {"name": "high", "density_altitude": "8000 ft"}],
}


def ask(client, targets, aircraft=AIRCRAFT, **more):
    return send(client, "performance", {"aircraft": aircraft, "targets": targets} | SCENES | more)


@pytest.mark.parametrize(("goal", "sign"), [("at_least", 1.0), ("at_most", -1.0)])
def test_the_chance_is_that_of_a_normal_spread(client, goal, sign):
    found = ask(client, [{"measure": "best_climb_rate", goal: "500 ft/min"}])["targets"]
    assert [one["condition"] for one in found] == ["low", "high"]
    for one in found:
        expected, spread = one["expected"]["value"], one["expected"]["plus_minus"]
        assert one["chance"]["value"] == pytest.approx(norm.cdf(sign * (expected - 500.0) / spread), abs=1e-12)
        assert one["setting"] is None


def test_the_chance_is_the_share_of_aeroplanes_that_meet_it(client):
    """Parasite areas drawn from their spread: the share of them that climbs 550 ft/min."""
    target = {"measure": "best_climb_rate", "at_least": "550 ft/min", "condition": "high"}
    (one,) = ask(client, [target])["targets"]
    middle = one["expected"]["value"]
    target["at_least"] = f"{middle + 0.5 * one['expected']['plus_minus']} ft/min"
    (one,) = ask(client, [target])["targets"]
    limit = one["target"]["value"]
    rng, met, draws = np.random.default_rng(3), 0, 400
    for area in rng.normal(0.6, 0.06, draws):
        drawn = copy.deepcopy(AIRCRAFT)
        drawn["drag"]["parasite_area"] = f"{area} m2"
        body = {"aircraft": drawn, "measures": ["best_climb_rate"]} | SCENES
        met += send(client, "performance", body)["results"][1]["measures"]["best_climb_rate"]["value"] >= limit
    share = met / draws
    assert one["chance"]["value"] == pytest.approx(share, abs=3.0 * math.sqrt(share * (1.0 - share) / draws))


def test_what_is_sure_is_met_or_not(client):
    sure = aeroplane()
    targets = [{"measure": "weight", goal: "450 kg", "condition": "low"} for goal in ("at_least", "at_most")]
    assert [one["chance"]["value"] for one in ask(client, targets, sure)["targets"]] == [1.0, 0.0]


def test_what_does_not_exist_has_no_chance(client):
    heavy = aeroplane(drag={"parasite_area": "4 m2", "span_efficiency": 0.75})
    (one, _) = ask(client, [{"measure": "greatest_level_speed_true", "at_least": "60 kt"}], heavy)["targets"]
    assert one["chance"]["value"] is None
    assert one["chance"]["reason"]
    assert one["expected"]["reason"]


def test_a_target_brings_its_phase(client):
    """Off this strip in 350 m: the request says nothing else of the strip's measures."""
    answer = ask(client, [{"measure": "takeoff_distance", "at_most": "350 m"}], strip={"length": "700 m"})
    assert 0.0 <= answer["targets"][0]["chance"]["value"] <= 1.0
    assert "takeoff_distance" in answer["results"][0]["measures"]


def test_each_option_has_its_chance(client):
    change = {"kind": "remove", "name": "gauges", "weight": "30 kg", "arm": "0.1 m"}
    body = {
        "baseline": AIRCRAFT,
        "options": [{"name": "lighter", "changes": [change]}],
        "targets": [{"measure": "best_climb_rate", "at_least": "500 ft/min", "condition": "high"}],
    } | SCENES
    before, after = send(client, "comparison", body)["targets"]
    assert (before["option"], after["option"]) == (None, "lighter")
    assert after["chance"]["value"] > before["chance"]["value"]
    text = client.post("/v1/comparison?format=text", json=body).text
    assert "Targets, and the chance of each" in text
    assert f"{100.0 * after['chance']['value']:.0f} %: best climb rate at least 500 ft/min" in text


@pytest.mark.parametrize(
    ("target", "pointer"),
    [
        ({"measure": "best_climb_rate"}, "/targets/0/at_least"),
        ({"measure": "best_climb_rate", "equals": "500 ft/min"}, "/targets/0/equals"),
        ({"measure": "best_climb_rate", "at_least": "500 kg"}, "/targets/0/at_least"),
        ({"measure": "happiness", "at_least": "1"}, "/targets/0/measure"),
        ({"measure": "weight", "at_most": "500 kg", "loading": "three-up"}, "/targets/0/loading"),
        ({"measure": "weight", "at_most": "500 kg", "condition": "dusk"}, "/targets/0/condition"),
    ],
)
def test_what_is_no_target_is_refused(client, target, pointer):
    document = refused(client.post("/v1/performance", json={"aircraft": AIRCRAFT, "targets": [target]} | SCENES), 422)
    assert document["errors"][0]["pointer"] == pointer


def test_drawn_aeroplanes_are_counted(client):
    target = {"measure": "best_climb_rate", "at_least": "560 ft/min", "condition": "high"}
    body = {"aircraft": AIRCRAFT, "targets": [target]} | SCENES
    linear, drawn = (send(client, "performance", body, spread=how) for how in ("linear", "sampled"))
    assert drawn["targets"][0]["chance"]["value"] == pytest.approx(linear["targets"][0]["chance"]["value"], abs=0.04)
    rate = drawn["results"][1]["measures"]["best_climb_rate"]
    assert list(rate["percentiles"]) == ["5", "50", "95"]
    assert rate["percentiles"]["5"] < rate["percentiles"]["50"] < rate["percentiles"]["95"]
    assert rate["plus_minus"] == pytest.approx(
        linear["results"][1]["measures"]["best_climb_rate"]["plus_minus"], rel=0.1
    )
    assert "percentiles" not in linear["results"][1]["measures"]["best_climb_rate"]
    header = client.post("/v1/performance?spread=sampled&format=csv", json=body).text.split("\r\n")[0]
    assert "best_climb_rate percentile 95 [ft/min]" in header


def test_only_what_is_drawn_is_drawn(client, example):
    document = refused(client.post("/v1/airspeed?spread=sampled", json=example("airspeed")), 422)
    assert "/spread" in document["errors"][0]["pointer"]
    refused(client.post("/v1/performance?spread=wide", json={"aircraft": AIRCRAFT} | SCENES), 422)
