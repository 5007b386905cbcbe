"""Caps of the category that an owner states, through HTTP: weight, stall speed and level speed at sea level."""

import math

import pytest

from .asking import pointers, refused, send
from .plainly import AEROPLANE, KNOT, LOADING, MASS, Machine, aeroplane, codes, fly, numbers, said, standard

RULED = {"above-rule-weight", "above-rule-stall-speed", "above-rule-level-speed"}
STALL = 39.0 * math.sqrt(MASS / 480.0)  # at sea level calibrated is equivalent [kt]
FLAP = 35.0 * math.sqrt(MASS / 480.0)
LEVEL = Machine().level(standard(0.0)) / KNOT


def ruled(condition=None, **rules):
    return aeroplane() | {"rules": {"name": "my category"} | rules}, condition


@pytest.mark.parametrize(
    ("rules", "code", "shown"),
    [
        ({"maximum_weight": f"{MASS - 0.1!r} kg"}, "above-rule-weight", ("471.0 kg", "470.9 kg")),
        ({"maximum_weight": f"{MASS + 0.1!r} kg"}, None, ()),
        (
            {"stall_speed": f"{STALL - 0.1!r} kt"},
            "above-rule-stall-speed",
            (f"{STALL:.1f} kt", f"{STALL - 0.1:.1f} kt"),
        ),
        ({"stall_speed": f"{STALL + 0.1!r} kt"}, None, ()),
        ({"stall_speed": f"{STALL - 0.1!r} kt", "configuration": "flap"}, None, ()),
        (
            {"stall_speed": f"{FLAP - 0.1!r} kt", "configuration": "flap"},
            "above-rule-stall-speed",
            (f"{FLAP:.1f} kt", f"{FLAP - 0.1:.1f} kt"),
        ),
        (
            {"level_speed": f"{LEVEL - 0.1!r} kt"},
            "above-rule-level-speed",
            (f"{LEVEL:.1f} kt", f"{LEVEL - 0.1:.1f} kt"),
        ),
        ({"level_speed": f"{LEVEL + 0.1!r} kt"}, None, ()),
    ],
)
@pytest.mark.parametrize("altitude", ["0 ft", "9000 ft"])
def test_a_cap_holds_at_sea_level_wherever_it_is_flown(client, rules, code, shown, altitude):
    aircraft, condition = ruled({"density_altitude": altitude}, **rules)
    answer = fly(client, aircraft, condition, units="aviation")
    assert RULED & set(codes(answer)) == ({code} if code else set())
    for number in shown:
        assert number in said(answer, code)


def test_rules_that_are_not_given_change_nothing(client):
    plain, empty = fly(client), fly(client, aeroplane() | {"rules": {}})
    assert plain["results"] == empty["results"]
    assert codes(plain) == codes(empty)


def test_all_caps_of_a_category_at_once(client):
    aircraft, _ = ruled(maximum_weight="450 kg", stall_speed="35 kt", level_speed="80 kt")
    answer = fly(client, aircraft)
    assert set(codes(answer)) >= RULED
    severities = {c["severity"] for c in answer["cautions"] if c["code"] in RULED}
    assert severities == {"warning"}
    assert all(c["where"] == "/loadings/0" for c in answer["cautions"] if c["code"] in RULED)


def test_an_option_that_leaves_the_category_says_so_first(client):
    heavy = {"kind": "add", "name": "floats", "weight": "50 kg", "arm": "0.4 m"}
    slick = {"kind": "drag", "name": "fairings", "parasite_area_change": "-0.2 m2"}
    slots = {"kind": "lift", "name": "worse lift", "maximum_lift_gain": "-20 %"}
    body = {
        "baseline": ruled(
            maximum_weight=f"{MASS + 5.0} kg", stall_speed=f"{STALL + 1.0!r} kt", level_speed=f"{LEVEL + 2.0!r} kt"
        )[0],
        "options": [
            {"name": "floats", "changes": [heavy]},
            {"name": "fairings", "changes": [slick]},
            {"name": "worse lift", "changes": [slots]},
            {"name": "as it is", "changes": []},
        ],
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "3000 ft"}],
    }
    options = send(client, "comparison", body)["options"]
    assert [option["exceeded"] for option in options] == [
        ["above-rule-weight", "above-rule-stall-speed"],
        ["above-rule-level-speed"],
        ["above-rule-stall-speed"],
        [],
    ]
    assert all(option["exceeded_before"] == [] for option in options)
    # 50 kg more: the stall rises with the root of the weight
    (text,) = [c["text"] for c in options[0]["cautions"] if c["code"] == "above-rule-stall-speed"]
    assert f"{39.0 * math.sqrt((MASS + 50.0) / 480.0):.1f} kt" in text


def test_what_was_broken_before_is_told_apart(client):
    body = {
        "baseline": ruled(maximum_weight="460 kg")[0],
        "options": [
            {"name": "lighter", "changes": [{"kind": "remove", "name": "x", "weight": "4 kg", "arm": "0.4 m"}]}
        ],
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
    }
    (option,) = send(client, "comparison", body)["options"]
    assert option["exceeded"] == option["exceeded_before"] == ["above-rule-weight"]


def test_a_turbocharged_engine_is_judged_at_sea_level_too(client):
    engine = {"aspiration": "turbocharged", "critical_altitude": "10000 ft"}
    machine = Machine(aspiration="turbocharged", critical=3048.0)
    level = machine.level(standard(0.0)) / KNOT
    high = numbers(client, aeroplane(engine=engine), {"density_altitude": "10000 ft"})["greatest_level_speed_true"]
    assert high / KNOT > level + 1.0
    for cap, above in ((level - 0.05, True), (level + 0.05, False)):
        aircraft = aeroplane(engine=engine) | {"rules": {"level_speed": f"{cap!r} kt"}}
        answer = fly(client, aircraft, {"density_altitude": "10000 ft"})
        assert ("above-rule-level-speed" in codes(answer)) == above


@pytest.mark.parametrize(
    ("rules", "where"),
    [
        ({"maximum_weight": 560}, "maximum_weight"),
        ({"maximum_weight": {"value": 560, "unit": "kg", "plus_minus": 1}}, "maximum_weight"),
        ({"stall_speed": "5 kt"}, "stall_speed"),
        ({"level_speed": "-120 kt"}, "level_speed"),
        ({"seats": 2}, "seats"),
    ],
)
def test_rules_that_are_not_understood(client, rules, where):
    document = refused(_posted(client, rules), 422)
    assert pointers(document) == [f"/aircraft/rules/{where}"]


def _posted(client, rules):
    body = {
        "aircraft": AEROPLANE | {"rules": rules},
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
    }
    return client.post("/v1/performance", json=body)


def test_a_cap_on_a_stall_that_the_aeroplane_has_not(client):
    document = refused(_posted(client, {"stall_speed": "40 kt", "configuration": "full flap"}), 422)
    assert pointers(document) == ["/aircraft/rules/configuration"]
    assert "clean, flap" in document["detail"]
