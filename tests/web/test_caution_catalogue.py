"""Every caution there is: a request that reaches it, the numbers that its text must hold, and a request without it."""

import math
import re

import pytest

from climbwright.web.words.cautions import CAUTIONS

from .asking import send
from .plainly import AEROPLANE, CONSTANT_SPEED, FOOT, HORSEPOWER, KNOT, LOADING, MASS, G, Machine, aeroplane, standard

SEA_LEVEL = {"density_altitude": "0 ft"}
PLAIN, STILL = Machine(), standard(0.0)
LIFT_OFF = 1.2 * PLAIN.stall


def performance(aircraft=None, condition=None, loading=None, **more):
    return "performance", {
        "aircraft": AEROPLANE if aircraft is None else aircraft,
        "loadings": [{"name": "one", "stations": LOADING if loading is None else loading}],
        "conditions": [{"name": "here"} | (SEA_LEVEL if condition is None else condition)],
    } | more


def limited(**limits):
    return aeroplane(limits=limits)


def balance(**body):
    return "balance", body


def legs(*pairs, indicated="74 kt"):
    flown = [{"ground_speed": f"{speed!r} kt", "track": f"{track!r} deg"} for speed, track in pairs]
    return "position-error", {
        "pressure_altitude": "4500 ft",
        "oat": "18 C",
        "indicated": indicated,
        "legs": flown,
    }


def weighed(tail, tail_arm="4.6 m"):
    mains = [{"name": name, "weight": "140 kg", "arm": "0.1 m"} for name in ("left", "right")]
    return balance(scales=[*mains, {"name": "tail", "weight": tail, "tare": "1 kg", "arm": tail_arm}])


def windy(wind):
    """Ground speeds on three headings in a wind from north, by the cosine of the angle between."""
    pairs = []
    for heading in (0.0, 120.0, 240.0):
        north = 40.0 * math.cos(math.radians(heading)) - wind
        east = 40.0 * math.sin(math.radians(heading))
        pairs.append((math.hypot(north, east), math.degrees(math.atan2(east, north)) % 360.0))
    return legs(*pairs, indicated="37 kt")


def uneven():
    """A climb to where the aeroplane hardly climbs any more."""
    drag = {"parasite_area": {"value": 0.6, "unit": "m2", "plus_minus": 0.1}, "span_efficiency": 0.75}
    return performance(aeroplane(drag=drag), climb={"to_altitude": "20000 ft"}, measures=["time_to_climb"])


def stalled(before, after):
    """Stalls flown before and after nothing but a radio was added."""
    _, body = performance()
    flown = [
        {"name": name, "of": of, "kind": "stall", "indicated": speed, "stations": LOADING, "condition": SEA_LEVEL}
        for name, of, speed in (("before", "baseline", before), ("after", "heavier", after))
    ]
    change = {"kind": "add", "name": "radio", "weight": "2 kg", "arm": "0.2 m"}
    return "comparison", {
        "baseline": body.pop("aircraft"),
        "options": [{"name": "heavier", "changes": [change]}],
        "observations": flown,
    } | body


def learned(*observations):
    """A calibration of an aeroplane of which little is known."""
    aircraft = {
        "name": "one",
        "wing": {"area": "13 m2", "span": "9.9 m"},
        "empty": {"weight": "318 kg", "arm": "0.33 m"},
        "engine": {"power": "80 hp", "speed": "3300 rpm"},
        "propeller": {"kind": "fixed-pitch", "diameter": "1.62 m", "pitch_class": "middle"},
        "drag": {"airframe_class": "strut-braced-fabric"},
    }
    here = {"weight": "450 kg", "condition": {"pressure_altitude": "6500 ft", "oat": "16 C"}}
    flights = [{"name": f"flight {i}"} | here | one for i, one in enumerate(observations)]
    return "calibration", {"aircraft": aircraft, "observations": flights}


def climbing(rate):
    number = {"value": rate, "unit": "ft/min", "plus_minus": 5}
    return {"kind": "climb", "rate": number, "indicated": "55 kt"}


FULL = {"kind": "level", "indicated": {"value": 70, "unit": "kt", "plus_minus": 0.5}, "full_throttle": True}
TEN_MINUTES_LONG = {
    "kind": "acceleration",
    "indicated": "45 kt",
    "end_speed": "95 kt",
    "duration": {"value": 600, "unit": "s", "plus_minus": 0.5},
}
SINKING = {"kind": "glide", "sink": {"value": 2000, "unit": "ft/min", "plus_minus": 10}, "indicated": "60 kt"}


def fixed(**fields):
    return aeroplane(propeller={"kind": "fixed-pitch"} | fields)


def stalling(speed):
    return aeroplane(stalls=[{"configuration": "clean", "speed": f"{speed} kt", "weight": "480 kg"}])


def engine(**fields):
    return aeroplane(engine=fields)


def strip(length, **fields):
    return {"strip": {"length": f"{length} m"} | fields}


def season():
    """One hour at a long strip."""
    _, body = performance()
    weather = {
        "time": ["2025-07-15T15:00"],
        "temperature": {"value": [15.0], "unit": "C"},
        "station_pressure": {"value": [1013.25], "unit": "hPa"},
    }
    loading, strip = body["loadings"][0], {"length": "900 m"}
    return "operability", {"aircraft": AEROPLANE, "loading": loading, "strip": strip, "weather": weather}


HELD = f"{1.2 * PLAIN.stall / KNOT:.1f} kt"
LEVEL = PLAIN.level(STILL) / KNOT
STEADY = {"kind": "constant-efficiency", "efficiency": 0.7}
ELECTRIC = {"aspiration": "electric", "lapse_constant": None, "specific_consumption": None}
ACROSS = SEA_LEVEL | {"wind_direction": "210 deg", "wind_speed": "20 kt"}
HOT = {"pressure_altitude": "0 ft", "oat": "31 C"}
DAMP = {"pressure_altitude": "0 ft", "oat": "12 C", "relative_humidity": "85 %"}
MILD = {"pressure_altitude": "0 ft", "oat": "24 C", "relative_humidity": "60 %"}
IDEAL = (2.0 * STILL.density * 0.25 * math.pi * PLAIN.power**2) ** (1.0 / 3.0)  # of a disc of 1 m, by d^(2/3)
TAIL_TANK = [
    {"name": "pilot", "arm": "0.4 m"},
    {"name": "fuel", "arm": "-1.0 m", "density": "0.72 kg/L"},
]

# code: request, and what its text holds besides words
CATALOGUE = {
    "estimate": (performance(), ()),
    "stall-power-off": (performance(), ()),
    "over-maximum-weight": (performance(limited(maximum_weight="460 kg")), ("471.0 kg", "11.0 kg", "460.0 kg")),
    "cg-outside-limits": (performance(limited(forward="0.42 m", aft="0.6 m")), ("0.400 m", "0.020 m", "0.420 m")),
    "cg-leaves-limits-as-fuel-burns": (
        # 435 kg at 0.4 m and 36 kg at -1 m: 0.293 m full, 0.4 m empty
        performance(aeroplane(stations=TAIL_TANK, limits={"forward": "0.2 m", "aft": "0.35 m"})),
        ("435.0 kg", "0.400 m"),
    ),
    "below-envelope": (
        performance(
            AEROPLANE
            | {
                "envelope": [
                    {"weight": "480 kg", "arm": "0.3 m"},
                    {"weight": "600 kg", "arm": "0.3 m"},
                    {"weight": "600 kg", "arm": "0.5 m"},
                    {"weight": "480 kg", "arm": "0.5 m"},
                ]
            }
        ),
        ("471.0 kg", "480.0 kg"),
    ),
    "power-above-limit": (performance(engine(power_limit="70 hp")), ("80.0 hp", "70.0 hp")),
    "faster-than-never-exceed": (
        performance(AEROPLANE | {"speed_limits": {"never_exceed": "85 kt"}}),
        (f"{LEVEL:.1f} kt", "85.0 kt"),
    ),
    "faster-than-smooth-air-limit": (
        performance(AEROPLANE | {"speed_limits": {"smooth_air": "80 kt"}}),
        (f"{LEVEL:.1f} kt", "80.0 kt"),
    ),
    "approach-above-flap-limit": (
        performance(AEROPLANE | {"speed_limits": {"flaps": "50 kt"}}),
        (f"{1.3 * PLAIN.stall / KNOT:.1f} kt", "50.0 kt"),
    ),
    "below-station-minimum": (
        performance(
            aeroplane(stations=[{"name": "pilot", "arm": "0.4 m", "minimum": "86 kg"}, AEROPLANE["stations"][1]])
        ),
        ("'pilot'", "85.0 kg", "86.0 kg"),
    ),
    "would-tip": (
        # 500 kg at 0.70 m over mains at 0.62 and a nosewheel at -0.95: 500 * 0.08/1.57 pull at the nose
        balance(
            load=["500kg@0.70m"],
            wheels=[
                {"name": "left", "arm": "0.62 m"},
                {"name": "nose", "arm": "-0.95 m"},
                {"name": "right", "arm": "0.62 m"},
            ],
        ),
        ("'nose'", f"{-500.0 * 0.08 / 1.57:.1f} kg"),
    ),
    "scale-empty": (weighed("1 kg"), ("'tail'",)),
    "weighed-at-one-arm": (weighed("20 kg", "0.1 m"), ("0.100 m",)),
    "load-factor-reduced": (
        performance(limited(load_factor_weight="450 kg")),
        ("471.0 kg", "450.0 kg", f"{3.8 * 450.0 / MASS:.3f}"),
    ),
    "no-climb": (
        performance(None, {"density_altitude": "30000 ft"}),
        (f"{PLAIN.best_rate(standard(30_000.0 * FOOT))[1] * 60.0 / FOOT:.0f} ft/min",),
    ),
    "no-level-flight": (performance(None, {"density_altitude": "30000 ft"}), ()),
    "thrust-exceeds-weight": (
        performance(engine(power="1500 hp") | {"propeller": STEADY}),
        (),
    ),
    "best-angle-speed-held": (performance(), (HELD,)),
    "best-rate-speed-held": (
        performance(stalling(52)),
        (f"{1.2 * 52.0 * math.sqrt(MASS / 480.0):.1f} kt",),
    ),
    "climb-speed-near-stall": (
        performance(climb={"speed": f"{1.1 * PLAIN.stall!r} m/s"}),
        ("1.100 times",),
    ),
    "tip-mach": (
        performance(fixed(diameter="2.15 m")),
        (f"{math.hypot(LEVEL * KNOT, 0.5 * 2.15 * 2700.0 * math.pi / 30.0) / 340.294:.3f}", "0.850"),
    ),
    "static-thrust-impossible": (
        performance(fixed(diameter="0.7 m", best_efficiency=0.8)),
        (f"{Machine(best=0.8).thrust(0.0, STILL) / (IDEAL * 0.7 ** (2.0 / 3.0)):.3f} times",),
    ),
    "static-thrust-high": (
        performance(fixed(diameter="0.9 m")),
        (f"{PLAIN.thrust(0.0, STILL) / (IDEAL * 0.9 ** (2.0 / 3.0)):.3f} of the ideal", "0.80"),
    ),
    "power-above-rated": (
        performance(None, {"density_altitude": "-2500 ft"}),
        (f"{PLAIN.power_ratio(standard(-2500.0 * FOOT)):.3f} times",),
    ),
    "overspeed": (
        performance(engine(greatest_speed="2700 rpm", **ELECTRIC), {"density_altitude": "9000 ft"}),
        ("2700 rpm",),
    ),
    "lugging": (performance(fixed(static_speed="1890 rpm")), ("0.700 of its rated",)),
    "propeller-clearance": (performance(fixed(hub_height="1.0 m")), ("0.125 m", "0.229 m")),
    "setting-beyond-full-throttle": (
        performance(None, {"density_altitude": "9000 ft"}, cruise={"power_fraction": 0.81}),
        ("0.810",),
    ),
    "reserve-not-carried": (
        # 80 hp at 0.5 burns 8.95 kg/h; the 34.56 kg last less than 4 h
        performance(cruise={"power_fraction": 0.5, "reserve": "4 h"}),
        (f"{4.0 * 0.5 * 80.0 * HORSEPOWER / 1000.0 * 0.30 - 34.56:.1f} kg",),
    ),
    "does-not-move": (
        performance(engine(power="18 hp"), strip={"surface": "soft"}),
        (f"{0.20 - Machine(power=18.0 * HORSEPOWER * 0.95).thrust(0.0, STILL) / (MASS * G):.3f} of its weight",),
    ),
    "does-not-lift-off": (
        performance(
            aeroplane(engine={"power": "30 hp"}, drag={"parasite_area": "3 m2"}), strip={"rolling_friction": 0.08}
        ),
        (),
    ),
    "does-not-clear-obstacle": (
        performance(condition={"density_altitude": "9000 ft"}, strip={"length": "3000 m", "slope": 0.11}),
        (),
    ),
    "does-not-stop": (performance(strip={"length": "1000 m", "slope": -0.25, "surface": "paved-wet"}), ()),
    "ceiling-without-lapse": (performance(engine(**ELECTRIC)), ()),
    "turn-above-load-factor": (
        performance(limited(load_factor="3.4"), turn={"bank": "74 deg"}),
        (f"{1.0 / math.cos(math.radians(74.0)):.3f}", "3.400"),
    ),
    "cruise-near-stall": (
        performance(cruise={"calibrated": f"{1.15 * PLAIN.stall / KNOT!r} kt"}),
        ("1.150",),
    ),
    "crosswind-strong": (
        # 20 kt from 30 deg off the strip's heading: half of it across
        performance(None, ACROSS, strip={"length": "900 m", "heading": "180 deg"}),
        ("10.0 kt", f"{0.2 * PLAIN.stall / KNOT:.1f} kt"),
    ),
    "tailwind-on-strip": (performance(None, SEA_LEVEL | {"headwind": "-4 kt"}, **strip(900)), ("4.0 kt",)),
    "one-way-uphill": (performance(**strip(900, slope=0.03, one_way=True)), ("0.030",)),
    "too-short-for-takeoff": (performance(**strip(60)), ("60 m",)),
    "too-short-for-landing": (performance(**strip(61)), ("61 m",)),
    "too-short-for-takeoff-reversed": (performance(**strip(62)), ("62 m", "the other way")),
    "too-short-for-landing-reversed": (performance(**strip(63)), ("63 m", "the other way")),
    "short-of-takeoff-margin": (performance(**strip(300)), ("300 m",)),
    "short-of-landing-margin": (performance(**strip(450)), ("450 m",)),
    "short-of-takeoff-margin-reversed": (performance(**strip(301)), ("301 m", "the other way")),
    "short-of-landing-margin-reversed": (performance(**strip(451)), ("451 m", "the other way")),
    "strip-elsewhere": (
        performance(
            None,
            {"elevation": "1000 ft", "qnh": "1013 hPa", "oat": "10 C"},
            **strip(700, elevation="1500 ft"),
        ),
        ("1000 ft", "1500 ft"),
    ),
    "runway-estimate": (performance(measures=["takeoff_roll"]), ()),
    "glide-idle-propeller": (performance(measures=["best_glide_ratio"]), ()),
    "turn-back": (performance(turn={}), ()),
    "above-rule-weight": (performance(AEROPLANE | {"rules": {"maximum_weight": "450 kg"}}), ("471.0 kg", "450.0 kg")),
    "above-rule-stall-speed": (
        performance(AEROPLANE | {"rules": {"stall_speed": "35 kt"}}),
        (f"{PLAIN.stall / KNOT:.1f} kt", "35.0 kt"),
    ),
    "above-rule-level-speed": (
        performance(AEROPLANE | {"rules": {"level_speed": "80 kt"}}),
        (f"{LEVEL:.1f} kt", "80.0 kt"),
    ),
    "carburettor-ice-likely": (performance(None, DAMP), ("12.0 C", "0.850")),
    "carburettor-ice-possible": (performance(None, MILD), ("24.0 C", "0.600")),
    "fuel-vapour": (performance(None, HOT), ("31.0 C",)),
    "cooling-not-modelled": (performance(None, HOT), ("31.0 C",)),
    "constant-efficiency": (performance(AEROPLANE | {"propeller": STEADY}), ()),
    "season-as-sent": (season(), ()),
    "test-flight": (
        (
            "test-plan",
            {
                "aircraft": learned(SINKING)[1]["aircraft"],
                "narrow": {"measure": "best_climb_rate"},
                "loadings": [{"name": "one", "stations": {}}],
                "conditions": [{"name": "here", "density_altitude": "2000 ft"}],
            },
        ),
        (),
    ),
    "change-unexplained": (stalled("38 kt", "27 kt"), ("'before' to 'after'",)),
    "spread-drawn": (uneven(), ("time to climb",)),
    "observation-doubted": (learned(climbing(2500.0), FULL), ("flight 0",)),
    "calibration-unsettled": (learned(TEN_MINUTES_LONG, climbing(2500.0), SINKING, FULL), ()),
    "calibration-edge": (learned(SINKING), ("/drag/parasite_area", "m2")),
    "calibration-momentum": (learned(climbing(2500.0), FULL), ()),
    "calibration-few": (learned(climbing(300.0)), ()),
    "calibration-not-narrowed": (learned(climbing(300.0), FULL), ("/engine/lapse_constant",)),
    "courses-close-together": (legs((87.0, 0.0), (80.0, 59.0), (84.0, 180.0)), ("59.00 deg", "60.00 deg")),
    "implausible-correction": (legs((84.0, 0.0), (84.0, 120.0), (84.0, 240.0), indicated="60 kt"), ("9.0 kt",)),
    "wind-above-airspeed": (windy(45.0), ("45.0 kt", "40.0 kt")),
    "legs-disagree": (legs((80.0, 0.0), (90.0, 90.0), (80.0, 180.0), (90.0, 270.0)), ("kt",)),
}
BLAMELESS = {"estimate", "stall-power-off"}


def test_the_catalogue_is_whole():
    assert set(CATALOGUE) == set(CAUTIONS)


@pytest.mark.parametrize("code", CATALOGUE)
def test_a_request_reaches_it(client, code):
    (operation, body), shown = CATALOGUE[code]
    answer = send(client, operation, body)
    found = [caution for caution in answer["cautions"] if caution["code"] == code]
    assert found, [caution["code"] for caution in answer["cautions"]]
    for caution in found:
        assert caution.keys() == {"code", "severity", "where", "text"}
        assert caution["severity"] in {"info", "caution", "warning"}
        assert _reached(body, caution["where"])
        assert not re.search(r"[{}]|\bnan\b|\binf\b|None", caution["text"])
        assert caution["text"].endswith(".")
    text = found[0]["text"]
    for words in shown:
        assert words in text, text
    if found[0]["where"].startswith(("/loadings", "/conditions")):
        assert text.startswith(("one, here: ", "one: ", "here: "))


def _reached(body, pointer):
    """What a JSON Pointer points at; the whole request where it is empty."""
    node = body
    for part in pointer.split("/")[1:]:
        node = node[int(part)] if isinstance(node, list) else node[part]
    return node is not None


def test_none_of_them_without_a_cause(client):
    # wide limits, a long strip, a slow stall: only what every answer about an aeroplane says
    quiet = aeroplane(
        limits={"maximum_weight": "600 kg", "forward": "0.2 m", "aft": "0.6 m"},
        engine={"power_limit": "100 hp", "greatest_speed": "2800 rpm"},
        propeller={"kind": "fixed-pitch", "hub_height": "1.2 m"},
        stalls=[{"configuration": "clean", "speed": "25 kt", "weight": "480 kg"}],
    ) | {
        "speed_limits": {"never_exceed": "140 kt", "smooth_air": "110 kt", "flaps": "70 kt"},
        "rules": {"maximum_weight": "600 kg", "stall_speed": "45 kt", "level_speed": "120 kt"},
    }
    operation, body = performance(
        quiet,
        {"elevation": "1000 ft", "qnh": "1013 hPa", "oat": "15 C", "relative_humidity": "40 %"},
        climb={"speed": "60 kt", "to_altitude": "3000 ft"},
        cruise={"power_fraction": 0.6},
        strip={"length": "900 m", "elevation": "1000 ft"},
    )
    answer = send(client, operation, body, spread="linear")  # what is assumed has an uneven spread on the runway
    assert {caution["code"] for caution in answer["cautions"]} == BLAMELESS | {"runway-estimate"}
    constant = quiet | {"propeller": CONSTANT_SPEED}
    answer = send(client, operation, body | {"aircraft": constant}, spread="linear")
    assert {caution["code"] for caution in answer["cautions"]} == BLAMELESS | {"runway-estimate"}


@pytest.mark.parametrize(
    "code", [code for code, ((operation, _), _) in CATALOGUE.items() if operation == "performance"]
)
def test_a_comparison_says_it_of_its_baseline_too(client, code):
    (_, alone), _ = CATALOGUE[code]
    beside = {name: value for name, value in alone.items() if name != "aircraft"}
    beside |= {"baseline": alone["aircraft"], "options": [{"name": "as it is", "changes": []}]}
    said = [caution["text"] for caution in send(client, "performance", alone)["cautions"]]
    answer = send(client, "comparison", beside)
    assert [caution["text"] for caution in answer["cautions"]] == said
    assert {caution["text"] for caution in answer["options"][0]["cautions"]} <= set(said)


def test_every_severity_is_used_and_warnings_come_first(client):
    seen = set()
    for (operation, body), _ in CATALOGUE.values():
        severities = [caution["severity"] for caution in send(client, operation, body)["cautions"]]
        seen |= set(severities)
        first_of_all = [name for name in severities if name == "warning"]
        assert severities[: len(first_of_all)] == first_of_all, severities
    assert seen == {"info", "caution", "warning"}
