"""Observations in a comparison: what of an observed change the changes made explain, and what is left."""

import math

import pytest

from .asking import refused, send
from .plainly import LOADING, aeroplane

AIR = {"pressure_altitude": "5000 ft", "oat": "12 C"}
BASE = aeroplane(
    stalls=[
        {"configuration": "clean", "speed": {"value": 38, "unit": "kt", "plus_minus": 1.2}, "weight": "470 kg"},
        {"configuration": "flap", "speed": "35 kt", "weight": "470 kg"},
    ]
)
CHANGES = [
    {"kind": "add", "name": "radio", "weight": "25 kg", "arm": "0.2 m"},
    {
        "kind": "lift",
        "name": "vortex generators",
        "maximum_lift_gain": {"value": 0.10, "unit": "1", "plus_minus": 0.07},
    },
]


def observation(name, of, **more):
    return {"name": name, "of": of, "stations": LOADING, "condition": AIR} | more


def stall(name, of, indicated, **more):
    return observation(name, of, kind="stall", indicated=indicated, **more)


def ask(*observations, changes=CHANGES, baseline=BASE, **more):
    return {
        "baseline": baseline,
        "options": [{"name": "changed", "changes": changes}],
        "loadings": [{"name": "as flown", "stations": LOADING}],
        "conditions": [{"name": "as flown"} | AIR],
        "observations": list(observations),
    } | more


def observed(client, *observations, units="si", **more):
    return send(client, "comparison", ask(*observations, **more), units=units)


def spread(leaf):
    return leaf["plus_minus"]


def test_what_the_changes_explain_is_the_change_of_the_answer(client):
    """The same loading and air: the stall speeds of the comparison itself, computed by another part of the package."""
    answer = observed(client, stall("before", "baseline", "38 kt"), stall("after", "changed", "35 kt"))
    own = answer["options"][0]["results"][0]["measures"]["stall_speed_calibrated"]["change"]
    (change,) = answer["observed_changes"]
    assert (change["before"], change["after"], change["option"]) == ("before", "after", "changed")
    assert change["explained"]["value"] == pytest.approx(own["value"], rel=1e-6)
    # errors of the airspeed system are the same before and after: they stretch the change by up to 6 %, and no more
    assert change["explained"]["plus_minus"] == pytest.approx(own["plus_minus"], rel=0.02)


def test_the_rest_is_what_is_left_and_its_spread_that_of_all(client):
    answer = observed(client, stall("before", "baseline", "38 kt"), stall("after", "changed", "35 kt"))
    (change,) = answer["observed_changes"]
    knot = 1852.0 / 3600.0
    assert change["observed_change"]["value"] == pytest.approx(-3.0 * knot, rel=1e-12)
    assert change["observed_change"]["plus_minus"] == pytest.approx(1.5 * knot * math.sqrt(2.0), rel=1e-12)
    rest = change["observed_change"]["value"] - change["explained"]["value"]
    assert change["unexplained"]["value"] == pytest.approx(rest, rel=1e-12)
    whole = math.hypot(spread(change["observed_change"]), spread(change["explained"]))
    assert change["unexplained"]["plus_minus"] == pytest.approx(whole, rel=1e-12)
    assert change["standard_deviations"]["value"] == pytest.approx(rest / whole, rel=1e-12)


def test_each_is_compared_with_the_aeroplane_that_it_is_of(client):
    answer = observed(client, stall("before", "baseline", "38 kt"), stall("after", "changed", "35 kt"))
    leaf = answer["options"][0]["results"][0]["measures"]["stall_speed_calibrated"]
    for seen, when in zip(answer["observations"], ("before", "after"), strict=True):
        assert seen["expected"]["value"] == pytest.approx(leaf[when]["value"], rel=1e-6)
        assert (seen["kind"], seen["measured"]) == ("stall", "speed")
    assert [seen["of"] for seen in answer["observations"]] == ["baseline", "changed"]


def test_a_new_airspeed_system_is_named(client):
    answer = observed(client, stall("before", "baseline", "38 kt"), stall("after", "changed", "27 kt"))
    (caution,) = [one for one in answer["cautions"] if one["code"] == "change-unexplained"]
    assert caution["where"] == "/observations/1"
    assert "'before' to 'after'" in caution["text"]
    quiet = observed(client, stall("before", "baseline", "38 kt"), stall("after", "changed", "36 kt"))
    assert not any(one["code"] == "change-unexplained" for one in quiet["cautions"])


def test_only_those_of_one_sort_are_paired(client):
    flown = (
        stall("clean", "baseline", "38 kt"),
        stall("flaps", "baseline", "35 kt", configuration="flap"),
        stall("flaps after", "changed", "33 kt", configuration="flap"),
        observation("level", "baseline", kind="level", indicated="80 kt", full_throttle=True),
        observation("slow", "changed", kind="level", indicated="70 kt", power_fraction="60 %"),
        observation("pull", "changed", kind="static-thrust", thrust="1200 N"),
    )
    answer = observed(client, *flown)
    assert [(one["before"], one["after"]) for one in answer["observed_changes"]] == [("flaps", "flaps after")]
    assert len(answer["observations"]) == len(flown)


def test_a_climb_is_explained_by_less_drag(client):
    change = {"kind": "drag", "name": "fairings", "parasite_area_change": "-0.12 m2"}
    climb = {"kind": "climb", "calibrated": "60 kt", "rate_by": "height"}
    answer = observed(
        client,
        observation("before", "baseline", rate="500 ft/min", **climb),
        observation("after", "changed", rate="700 ft/min", **climb),
        changes=[change],
        climb={"speed": "60 kt"},
        measures=["climb_rate_at_speed"],
    )
    (found,) = answer["observed_changes"]
    own = answer["options"][0]["results"][0]["measures"]["climb_rate_at_speed"]["change"]["value"]
    assert found["explained"]["value"] == pytest.approx(own, rel=0.03)  # flown at one airspeed, not at one true one


def test_without_observations_nothing_is_said(client):
    body = ask()
    assert "observations" not in send(client, "comparison", body)
    assert "observed_changes" not in send(client, "comparison", body)


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        ({"of": "other"}, "/observations/0/of"),
        ({"of": None}, "/observations/0/of"),
        ({"configuration": "slats"}, "/observations/0/configuration"),
        ({"stations": {"hold": "3 kg"}}, "/observations/0/stations/hold"),
        ({"indicated": "38 kt", "calibrated": "38 kt"}, "/observations/0/calibrated"),
    ],
)
def test_what_cannot_be_compared_is_refused(client, change, pointer):
    body = ask(stall("before", "baseline", "38 kt") | change)
    document = refused(client.post("/v1/comparison", json=body), 422)
    assert [error["pointer"] for error in document["errors"]] == [pointer]


def test_an_option_called_as_the_baseline_is_refused(client):
    body = ask(stall("before", "baseline", "38 kt"))
    body["options"][0]["name"] = "baseline"
    document = refused(client.post("/v1/comparison", json=body), 422)
    assert document["errors"][0]["pointer"] == "/options/0/name"


def test_of_stays_a_word_of_comparisons(client):
    body = {"aircraft": BASE, "observations": [stall("before", "baseline", "38 kt")]}
    document = refused(client.post("/v1/calibration", json=body), 422)
    assert document["errors"][0]["pointer"] == "/observations/0/of"


def test_as_text(client):
    body = ask(stall("before", "baseline", "38 kt"), stall("after", "changed", "35 kt"))
    text = client.post("/v1/comparison?format=text", json=body).text
    told = text.partition("Observed (")[2].partition("=====")[0]
    assert "before to after: -3.0" in told
    assert max(map(len, told.splitlines())) <= 78


AS_SURE = [
    ({"kind": "static-thrust", "thrust": "1200 N"}, {"kind": "constant-efficiency", "efficiency": 0.7}),
    ({"kind": "static-thrust", "static_speed": "2200 rpm"}, {"kind": "constant-efficiency", "efficiency": 0.7}),
    ({"kind": "static-thrust", "static_speed": "2200 rpm"}, {"kind": "constant-speed", "diameter": "1.7 m"}),
]


@pytest.mark.parametrize(("flown", "propeller"), AS_SURE)
def test_what_an_aeroplane_says_nothing_of_is_refused(client, flown, propeller):
    known = aeroplane(propeller=propeller) if "efficiency" in propeller else BASE | {"propeller": propeller}
    known = known | {"propeller": propeller}
    body = ask(observation("pull", "baseline", **flown), baseline=known)
    document = refused(client.post("/v1/comparison", json=body), 422)
    assert document["errors"][0]["pointer"] == "/observations/0"
    one = {name: value for name, value in observation("pull", None, **flown).items() if name != "of"}
    document = refused(client.post("/v1/calibration", json={"aircraft": known, "observations": [one]}), 422)
    assert document["errors"][0]["pointer"] == "/observations/0"


def test_an_options_pitch_class_tells_the_engine_speed_standing_still(client):
    """0.90 of rated speed for a propeller between climb and cruise (common practice), at the density of the day."""
    moved = {"weight": "60 kg", "arm": "-0.4 m"}
    blades = {"weight": "5 kg", "arm": "-0.9 m"}
    engine = {"power": "80 hp", "speed": "2800 rpm"}
    changes = [
        {"kind": "engine", "name": "engine", "engine": engine, "removed": moved, "fitted": moved},
        {"kind": "propeller", "name": "wood", "removed": blades, "fitted": blades,
         "propeller": {"kind": "fixed-pitch", "diameter": "1.7 m", "pitch_class": "middle"}},
    ]  # fmt: skip
    sea = {"pressure_altitude": "0 ft", "oat": "15 C"}
    standing = observation("standing", "changed", kind="static-thrust", static_speed="2500 rpm", condition=sea)
    answer = observed(client, standing, changes=changes, units="aviation")
    assert answer["observations"][0]["expected"]["value"] == pytest.approx(0.90 * 2800.0, rel=0.02)


@pytest.mark.parametrize("sure", [1e-5, 1e-12])
def test_a_reading_surer_than_any_is_refused(client, sure):
    one = observation(
        "pull", None, kind="static-thrust", thrust={"value": 1350, "unit": "N", "plus_minus": 1350 * sure}
    )
    one.pop("of")
    document = refused(client.post("/v1/calibration", json={"aircraft": BASE, "observations": [one]}), 422)
    assert document["errors"][0]["pointer"] == "/observations/0/thrust"


def test_readings_of_two_sorts_are_not_paired(client):
    flown = (
        observation("true", "baseline", kind="level", true="90 kt", full_throttle=True),
        observation("read", "changed", kind="level", indicated="85 kt", full_throttle=True),
        observation("by height", "baseline", kind="climb", rate="500 ft/min", calibrated="60 kt", rate_by="height"),
        observation("by altimeter", "changed", kind="climb", rate="500 ft/min", calibrated="60 kt"),
    )
    assert observed(client, *flown)["observed_changes"] == []


def test_a_weight_without_its_arm_says_what_it_leaves_out(client):
    heavy = {"name": "before", "of": "baseline", "kind": "stall", "indicated": "38 kt", "weight": "450 kg"}
    answer = observed(client, heavy | {"condition": AIR})
    (note,) = [item for item in answer["assumed"] if item["where"] == "/observations/0/arm"]
    assert "CG" in note["text"]


def test_what_was_read_stands_beside_what_the_table_makes_of_it(client):
    table = [{"indicated": "30 kt", "calibrated": "33 kt"}, {"indicated": "100 kt", "calibrated": "97 kt"}]
    (seen,) = observed(
        client,
        stall("before", "baseline", "38 kt"),
        baseline=BASE | {"airspeed_correction": table},
        units="aviation",
    )["observations"]
    assert seen["read"]["value"] == pytest.approx(38.0)
    assert seen["observed"]["value"] == pytest.approx(33.0 + 8.0 * 64.0 / 70.0)


def test_days_left_out_are_two(client):
    climb = {"kind": "climb", "rate": "500 ft/min", "calibrated": "60 kt"}
    change = {"kind": "drag", "name": "fairings", "parasite_area_change": "-0.05 m2"}
    spreads = []
    for days in ({}, {"day": "one"}):
        pair = (observation("before", "baseline", **climb, **days), observation("after", "changed", **climb, **days))
        spreads.append(observed(client, *pair, changes=[change])["observed_changes"][0]["explained"]["plus_minus"])
    assert spreads[0] > 1.5 * spreads[1]
