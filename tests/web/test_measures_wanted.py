"""Which measures are answered: by name, by group, all, or those of the phases that a request speaks of."""

import csv
import io
import re

import pytest

from .asking import pointers, refused, send
from .plainly import AEROPLANE, LOADING, aeroplane, fly, measures

# design.md, section 3, and the groups that the measures come in
GROUPS = {
    "aeroplane": """weight cg_arm cg_chord_fraction cg_margin power_available power_delivered power_to_weight
        installed_power_to_weight best_climb_rate best_climb_speed_calibrated best_angle best_angle_speed_calibrated
        climb_gradient service_ceiling absolute_ceiling greatest_level_speed_true greatest_level_speed_calibrated
        stall_speed_calibrated stall_speed_true stall_speeds""",
    "propeller": """static_thrust static_thrust_fraction static_engine_speed engine_speed_in_climb engine_speed_level
        tip_mach""",
    "instruments": """altimeter_climb_rate best_climb_speed_indicated best_angle_speed_indicated
        greatest_level_speed_indicated stall_speed_indicated approach_speed_indicated""",
    "manoeuvre": "approach_speed_calibrated allowed_load_factor manoeuvring_speed_calibrated",
    "climb": "climb_rate_at_speed time_to_climb fuel_to_climb distance_to_climb",
    "cruise": """cruise_speed_true cruise_speed_calibrated cruise_speed_indicated cruise_power_fraction fuel_flow
        endurance range best_range_speed_calibrated best_endurance_speed_calibrated greatest_range
        greatest_endurance""",
    "glide": """best_glide_ratio best_glide_speed_calibrated glide_ratio_in_wind glide_speed_in_wind_calibrated
        least_sink least_sink_speed_calibrated""",
    "turn": """load_factor_in_turn stall_speed_in_turn_calibrated
        turn_glide_speed_calibrated climb_rate_in_turn turn_radius
        reversal_height_lost""",
    "takeoff": """lift_off_speed_calibrated takeoff_roll takeoff_distance takeoff_distance_published
        takeoff_distance_required takeoff_checkpoint accelerate_stop_distance""",
    "landing": "landing_roll landing_distance landing_distance_published landing_distance_required",
    "strip": """headwind crosswind takeoff_margin landing_margin takeoff_distance_reversed takeoff_margin_reversed
        landing_distance_reversed landing_margin_reversed""",
}
GROUPS = {group: names.split() for group, names in GROUPS.items()}
EVERY = [name for names in GROUPS.values() for name in names]
SPOKEN = {
    "climb": {"to_altitude": "3000 ft"},
    "cruise": {"power_fraction": 0.6},
    "turn": {"bank": "40 deg"},
    "takeoff": {"rotation_time": "2 s"},
    "landing": {"free_roll_time": "1 s"},
    "strip": {"length": "400 m"},
}


def body(**more):
    return {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
    } | more


@pytest.mark.parametrize("group", GROUPS)
def test_a_group(client, group):
    assert set(measures(client, measures=[group])) == set(GROUPS[group])


def test_all_of_them(client):
    assert set(measures(client, measures=["all"])) == set(EVERY)
    assert len(set(EVERY)) == len(EVERY)
    assert set(measures(client, measures=list(GROUPS))) == set(EVERY)


def test_by_name_only_those_in_the_order_of_the_table(client):
    whole = measures(client, measures=["all"], **SPOKEN)
    asked = ["turn_radius", "weight", "best_glide_ratio", "landing_margin", "weight"]
    answer = fly(client, measures=asked, **SPOKEN)
    found = answer["results"][0]["measures"]
    assert list(found) == [name for name in whole if name in asked]
    assert found == {name: whole[name] for name in found}


@pytest.mark.parametrize("name", EVERY)
def test_each_alone_is_what_it_is_among_all(client, name):
    whole = measures(client, measures=["all"], **SPOKEN)
    (one,) = measures(client, measures=[name], **SPOKEN).items()
    assert one[0] == name
    if name == "stall_speeds" or whole[name]["value"] is None:
        assert one[1].keys() == whole[name].keys()
    else:
        assert one[1]["value"] == pytest.approx(whole[name]["value"], rel=1e-12)
        assert one[1]["unit"] == whole[name]["unit"]


def test_stall_speeds_are_one_measure_with_every_configuration(client):
    found = measures(client, measures=["stall_speeds"])
    assert list(found) == ["stall_speeds"]
    assert list(found["stall_speeds"]) == ["clean", "flap"]
    for group in GROUPS:
        assert ("stall_speeds" in measures(client, measures=[group])) == (group == "aeroplane")
    assert "stall_speeds" in measures(client)


def test_without_a_wish_the_aeroplanes_own_and_those_spoken_of(client):
    assert set(measures(client)) == set(GROUPS["aeroplane"])
    for part, said in SPOKEN.items():
        found = set(measures(client, **{part: said}))
        expected = {part} if part != "strip" else {"takeoff", "landing", "strip"}
        every = {name for group in ("aeroplane", *expected) for name in GROUPS[group]}
        assert found == every - {"headwind", "crosswind"}, part  # of a strip whose heading is not known
    found = set(measures(client, strip={"heading": "180 deg", "length": "400 m"}))
    assert {"headwind", "crosswind"} <= found
    found = set(measures(client, strip={"one_way": True}, climb={}))
    silent = {name for name in EVERY if name.endswith("_reversed") or "_margin" in name} - {"cg_margin"}
    assert not found & (silent | {"time_to_climb", "fuel_to_climb", "distance_to_climb"})


def test_what_was_not_asked_for_is_not_assumed_either(client):
    def places(**more):
        bare = aeroplane(
            drag={"idle_propeller_area": None}, wing={"height": None}, engine={"specific_consumption": None}
        )
        return {item["where"] for item in fly(client, bare, **more)["assumed"]}

    own = places()
    assert not any(place.startswith(("/cruise", "/turn", "/takeoff", "/landing", "/strip")) for place in own)
    assert not own & {
        "/aircraft/drag/idle_propeller_area",
        "/aircraft/wing/height",
        "/aircraft/engine/specific_consumption",
    }
    assert "/aircraft/drag/idle_propeller_area" in places(measures=["best_glide_ratio"])
    assert "/aircraft/wing/height" in places(measures=["landing_roll"])
    assert "/aircraft/engine/specific_consumption" in places(measures=["fuel_flow"])
    assert places(measures=["takeoff_margin"]) >= {
        "/takeoff/lift_off_factor",
        "/landing/approach_factor",
        "/strip/slope",
    }


@pytest.mark.parametrize(
    ("wanted", "where"),
    [
        (["weight", "wieght"], "/measures/1"),
        (["Weight"], "/measures/0"),
        (["best_climb_rate", "weight", ""], "/measures/2"),
        (["stall_speeds/clean"], "/measures/0"),
        ([None], "/measures/0"),
        ([["all"]], "/measures/0"),
        ([{"name": "all"}], "/measures/0"),
        ([7], "/measures/0"),
        ([], "/measures"),
        ("all", "/measures"),
        ({"all": True}, "/measures"),
        (None, "/measures"),
        (["weight"] * 101, "/measures"),
    ],
)
@pytest.mark.parametrize("operation", ["performance", "comparison"])
def test_what_is_not_a_measure_is_refused_by_its_place(client, operation, wanted, where):
    request = body(measures=wanted)
    if operation == "comparison":
        request |= {"baseline": request.pop("aircraft"), "options": [{"name": "same", "changes": []}]}
    document = refused(client.post(f"/v1/{operation}", json=request), 422)
    assert pointers(document) == [where]
    if where != "/measures":
        assert "no such measure" in document["detail"]
        for group in GROUPS:
            assert group in document["detail"]


def test_a_comparison_answers_those_wanted_and_its_costs(client):
    cost = {"kind": "remove", "name": "gauges", "weight": "6 kg", "arm": "0.1 m", "cost": "500 EUR"}
    request = body(measures=["turn_radius", "stall_speeds"])
    request |= {"baseline": request.pop("aircraft"), "options": [{"name": "lighter", "changes": [cost]}]}
    answer = send(client, "comparison", request)
    (result,) = answer["options"][0]["results"]
    assert set(result["measures"]) == {"turn_radius", "stall_speeds"}
    assert result["cost_per_100_ft_per_min"]["value"] > 0.0  # rests on a measure that was not wanted


def test_tables_and_texts_have_those_wanted(client):
    request = body(measures=["least_sink", "takeoff_margin"], **SPOKEN)
    table = list(csv.reader(io.StringIO(client.post("/v1/performance?format=csv", json=request).text)))
    heads = [head for head in table[0] if not re.search(r" (plus_minus|percentile \d+|share_without) ", head)]
    assert heads == ["loading", "condition", "least_sink [ft/min]", "takeoff_margin [m]"]
    assert len(table) == 2
    text = client.post("/v1/performance?format=text", json=request).text
    assert "least sink" in text
    assert "best rate of climb" not in text
    picked = client.post("/v1/performance?pick=least_sink", json=request)
    assert float(picked.text) == pytest.approx(float(table[1][2]), rel=1e-5)
    refused(client.post("/v1/performance?pick=turn_radius", json=request), 422)


def test_a_measure_that_does_not_exist_says_why(client):
    bare = aeroplane(
        engine={"speed": None},
        propeller={"kind": "fixed-pitch", "diameter": None, "static_speed": None},
        limits={"load_factor": None, "load_factor_weight": None},
    )
    found = measures(client, bare, measures=["all"])
    nothing = {name for name, leaf in found.items() if name != "stall_speeds" and leaf["value"] is None}
    assert nothing == {
        "cg_chord_fraction", "cg_margin", "power_delivered", "static_thrust_fraction", "static_engine_speed",
        "engine_speed_in_climb", "engine_speed_level", "tip_mach", "allowed_load_factor",
        "manoeuvring_speed_calibrated", "climb_rate_at_speed", "time_to_climb", "fuel_to_climb", "distance_to_climb",
        "takeoff_margin", "landing_margin", "takeoff_margin_reversed", "landing_margin_reversed", "crosswind",
    }  # fmt: skip
    for name in nothing:
        assert found[name].keys() == {"value", "unit", "reason"}
        assert found[name]["reason"]
