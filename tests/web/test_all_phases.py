"""Every phase at once: many aeroplanes in many scenes answer as each alone, and spreads are those of draws."""

import copy
import itertools

import numpy as np
import pytest
from numpy.testing import assert_allclose
from scipy.stats import norm

from .asking import send
from .plainly import AEROPLANE, CONSTANT_SPEED, aeroplane

FLOWN = {
    "climb": {"speed": "62 kt", "to_altitude": "9000 ft", "configuration": "clean"},
    "cruise": {"power_fraction": 0.7, "reserve": "20 min"},
    "turn": {"bank": "35 deg", "reversal": "200 deg"},
    "takeoff": {"configuration": "flap", "rolling_lift_coefficient": 0.5},
    "landing": {"rolling_lift_coefficient": 0.3, "approach_angle": "3 deg"},
    "strip": {
        "length": "420 m",
        "slope": 0.012,
        "surface": "short-dry-grass",
        "rolling_friction": 0.07,
        "braking_friction": 0.25,
    },
    "measures": ["all"],
}
SWAP = {"removed": {"weight": "80 kg", "arm": "-0.7 m"}, "fitted": {"weight": "84 kg", "arm": "-0.7 m"}}
PITCH = {"best_efficiency": 0.7, "best_efficiency_speed": "84 kt", "static_speed": "2450 rpm"}
TURBO = {"power": "95 hp", "speed": "2700 rpm", "aspiration": "turbocharged", "critical_altitude": "7000 ft"}
MOTOR = {"power": "85 hp", "speed": "2500 rpm", "aspiration": "electric", "greatest_speed": "2600 rpm"}
ADJUSTABLE = {
    "kind": "ground-adjustable",
    "diameter": "1.7 m",
    "settings": [{"name": "a", **PITCH}, {"name": "b", **PITCH, "best_efficiency_speed": "70 kt"}],
    "setting": "b",
}
OPTIONS = {
    "constant speed": [{"kind": "propeller", "name": "p", "propeller": CONSTANT_SPEED, **SWAP}],
    "turbo": [{"kind": "engine", "name": "e", "engine": TURBO, **SWAP, **PITCH}],
    "motor": [{"kind": "engine", "name": "e", "engine": MOTOR, **SWAP, **PITCH}],
    "adjustable": [{"kind": "propeller", "name": "p", "propeller": ADJUSTABLE, **SWAP}],
    "steady": [
        {"kind": "propeller", "name": "p", "propeller": {"kind": "constant-efficiency", "efficiency": 0.7}, **SWAP},
        {"kind": "drag", "name": "d", "parasite_area_change": "-0.05 m2"},
    ],
    "more lift": [
        {"kind": "lift", "name": "l", "maximum_lift_gain": {"value": 10, "unit": "%", "plus_minus": 7}},
        {"kind": "wing", "name": "w", "span": "10.6 m"},
        {"kind": "station", "name": "s", "station": {"name": "aux", "arm": "0.6 m", "density": "0.72 kg/L"}},
    ],
}


def question():
    baseline = aeroplane(engine={"specific_consumption": None, "power_margin": None})
    baseline["airspeed_correction"] = [
        {"indicated": "35 kt", "calibrated": "40 kt"},
        {"indicated": "80 kt", "calibrated": "79 kt"},
    ]
    return {
        "baseline": baseline,
        "options": [{"name": name, "changes": changes} for name, changes in OPTIONS.items()],
        "loadings": [
            {"name": "solo", "stations": {"pilot": "80 kg", "fuel": "30 L"}},
            {"name": "heavy", "stations": {"pilot": "190 kg", "fuel": "70 L"}},
            {"name": "dry", "stations": {"pilot": "70 kg", "fuel": "1 L"}},
        ],
        "conditions": [
            {"name": "cool", "density_altitude": "500 ft"},
            {"name": "hot", "pressure_altitude": "5000 ft", "oat": "33 C", "headwind": "8 kt", "dew_point": "12 C"},
            {"name": "high", "density_altitude": "17000 ft", "headwind": "-6 kt"},
            {"name": "gale", "elevation": "200 ft", "qnh": "985 hPa", "oat": "4 C", "headwind": "25 m/s"},
        ],
    } | FLOWN


def leaves(node, where=""):
    """Every quantity of an answer by its place."""
    if isinstance(node, dict) and "value" in node:
        yield where, node
    elif isinstance(node, dict):
        for name, inner in node.items():
            yield from leaves(inner, f"{where}/{name}")


def certain(node):
    if isinstance(node, dict):
        return {name: certain(value) for name, value in node.items() if name != "plus_minus"}
    return [certain(item) for item in node] if isinstance(node, list) else node


def same(one, other):
    """Both answers alike to the last digits; how many numbers were compared."""
    count = 0
    for (place, a), (same_place, b) in zip(leaves(one), leaves(other), strict=True):
        assert place == same_place
        assert a.keys() == b.keys(), place
        assert a.get("reason") == b.get("reason"), place
        for name in {"value", "plus_minus"} & a.keys():
            if a[name] is not None:
                assert_allclose(b[name], a[name], rtol=1e-12, atol=1e-11, err_msg=place)
                count += 1
    return count


@pytest.fixture(scope="module")
def asked(app):
    """The whole question and its answer, with spreads and without."""
    client, found = app.test_client(), {}
    for spreads in (True, False):
        body = question() if spreads else certain(question())
        found[spreads] = body, send(client, "comparison", body, units="si")
    return found


@pytest.mark.parametrize("spreads", [True, False])
@pytest.mark.parametrize("option", range(len(OPTIONS)), ids=OPTIONS)
def test_each_option_in_each_scene_alone(client, asked, option, spreads):
    body, whole = asked[spreads]
    count = 0
    for i, j in itertools.product(range(3), range(4)):
        alone = copy.deepcopy(body)
        alone["options"], alone["loadings"], alone["conditions"] = (
            [body[name][place]] for name, place in (("options", option), ("loadings", i), ("conditions", j))
        )
        (single,) = send(client, "comparison", alone, units="si")["options"][0]["results"]
        count += same(single, whole["options"][option]["results"][4 * i + j])
    assert count > 12 * 50


@pytest.mark.parametrize("spreads", [True, False])
def test_the_baseline_by_performance(client, asked, spreads):
    body, whole = asked[spreads]
    for i, j in itertools.product(range(3), range(4)):
        alone = {name: body[name] for name in FLOWN} | {
            "aircraft": body["baseline"],
            "loadings": [body["loadings"][i]],
            "conditions": [body["conditions"][j]],
        }
        (single,) = send(client, "performance", alone, units="si")["results"]
        for name, leaf in whole["options"][0]["results"][4 * i + j]["measures"].items():
            if name != "stall_speeds":
                same({name: single["measures"][name]}, {name: leaf["before"]})


def test_the_question_shows_something(asked):
    # each kind of engine, nulls and numbers, and spreads that come from somewhere
    _, whole = asked[True]
    found = list(leaves({f"{k}/{i}": r for k, o in enumerate(whole["options"]) for i, r in enumerate(o["results"])}))
    nothing = [leaf for _, leaf in found if leaf["value"] is None]
    assert 100 < len(nothing) < len(found) / 2
    assert sum(leaf.get("plus_minus", 0.0) > 0.0 for _, leaf in found) > len(found) / 3


DRAWS = 400
# what is drawn: central value and one standard deviation, small so that the answers are nearly linear in them
POWER, PILOT, AREA = (80.0, 1.0), (85.0, 3.0), (0.60, 0.012)


def scattered(count, seed):
    """Standard normal numbers, one from each of as many equally likely strips, in a seeded random order."""
    draw = np.random.default_rng(seed)
    return norm.ppf((draw.permutation(count) + draw.uniform(size=count)) / count)


def drawn(value, spread, seed, count=DRAWS):
    return value + spread * scattered(count, seed)


def single(power, pilot, area):
    return {
        "aircraft": aeroplane(
            engine={"power": power},
            drag={"parasite_area": area},
            limits={"load_factor_weight": "500 kg"},  # far from a weight at which the load factor bends
        ),
        "loadings": [{"name": "one", "stations": {"pilot": pilot, "fuel": "50 L"}}],
        "conditions": [{"name": "here", "pressure_altitude": "3000 ft", "oat": "18 C", "headwind": "5 kt"}],
    } | FLOWN


def numbers(answer):
    return {
        name: leaf["value"]
        for result in answer["results"]
        for name, leaf in result["measures"].items()
        if name != "stall_speeds"
    }


def test_spreads_of_the_aeroplane_are_those_of_many_draws(client):
    def quantity(pair, unit):
        return {"value": pair[0], "unit": unit, "plus_minus": pair[1]}

    stated = single(quantity(POWER, "hp"), quantity(PILOT, "kg"), quantity(AREA, "m2"))
    answer = send(client, "performance", stated, units="si")["results"][0]["measures"]
    columns = (drawn(*pair, seed) for pair, seed in ((POWER, 101), (PILOT, 102), (AREA, 103)))
    table = [
        numbers(send(client, "performance", single(f"{p!r} hp", f"{m!r} kg", f"{f!r} m2"), units="si"))
        for p, m, f in zip(*(column.tolist() for column in columns), strict=True)
    ]
    compare(answer, table)


def compare(answer, table):
    """Spread of each measure against that of the draws: 400 from strips know theirs to about a percent."""
    count = 0
    for name, leaf in answer.items():
        if name == "stall_speeds" or leaf["value"] is None:
            continue
        values = np.array([row[name] for row in table], dtype=float)
        spread = np.std(values)
        assert leaf["plus_minus"] == pytest.approx(spread, rel=0.03, abs=1e-9 * abs(leaf["value"]) + 1e-12), name
        count += spread > 0.0
    assert count > 15


def test_spreads_of_the_air_and_the_wind_are_those_of_many_draws(client):
    def scene(name, oat, wind):
        return {"name": name, "pressure_altitude": "3000 ft", "oat": oat, "headwind": wind}

    body = single("80 hp", "85 kg", "0.60 m2")
    body["conditions"] = [
        scene(
            "here",
            {"value": 18.0, "unit": "C", "plus_minus": 2.0},
            {"value": 5.0, "unit": "kt", "plus_minus": 0.8},
        )
    ]
    answer = send(client, "performance", body, units="si")["results"][0]["measures"]
    oats, winds = drawn(18.0, 2.0, 104, 408).tolist(), drawn(5.0, 0.8, 105, 408).tolist()
    table = []
    for start in range(0, 408, 24):
        part = list(zip(oats, winds, strict=True))[start : start + 24]
        body["conditions"] = [scene(str(i), f"{oat!r} C", f"{wind!r} kt") for i, (oat, wind) in enumerate(part)]
        for result in send(client, "performance", body, units="si")["results"]:
            table.append({n: leaf["value"] for n, leaf in result["measures"].items() if n != "stall_speeds"})
    compare(answer, table)


def test_a_spread_that_only_one_phase_knows_moves_only_that_phase(client):
    aircraft = aeroplane(drag={"idle_propeller_area": {"value": 0.08, "unit": "m2", "plus_minus": 0.03}})
    body = single("80 hp", "85 kg", "0.60 m2") | {"aircraft": aircraft}
    found = send(client, "performance", body, units="si")["results"][0]["measures"]
    moved = {name for name, leaf in found.items() if name != "stall_speeds" and leaf.get("plus_minus", 0.0) > 0.0}
    assert moved == {
        "best_glide_ratio", "best_glide_speed_calibrated", "glide_ratio_in_wind", "glide_speed_in_wind_calibrated",
        "least_sink", "turn_glide_speed_calibrated", "turn_radius",
    } | (moved & {"reversal_height_lost", "least_sink_speed_calibrated"})  # fmt: skip
    assert "plus_minus" in found["best_climb_rate"]
    assert AEROPLANE["drag"]["idle_propeller_area"] == "0.08 m2"
