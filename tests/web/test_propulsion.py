"""Engines and propellers of every kind through HTTP, against the textbooks' formulas worked out once more."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from .asking import pointers, refused, send
from .plainly import (
    AEROPLANE,
    CONSTANT_SPEED,
    FOOT,
    HORSEPOWER,
    KNOT,
    LOADING,
    MASS,
    RHO0,
    RPM,
    G,
    Machine,
    aeroplane,
    codes,
    fly,
    greatest,
    moist,
    momentum_thrust,
    numbers,
    said,
    standard,
)

TURBO = {"aspiration": "turbocharged", "critical_altitude": "9000 ft"}
ELECTRIC = {"aspiration": "electric", "lapse_constant": None, "specific_consumption": None}
BOTH = ["aeroplane", "propeller"]
AIRS = {
    "sea level": ({"density_altitude": "0 ft"}, standard(0.0)),
    "8000 ft": ({"density_altitude": "8000 ft"}, standard(8000.0 * FOOT)),
    "hot and high": (
        {"pressure_altitude": "6000 ft", "temperature_offset": "22 K", "relative_humidity": 0},
        standard(6000.0 * FOOT, 22.0),
    ),
    "moist": (
        {"pressure_altitude": "2000 ft", "oat": "33 C", "dew_point": "26 C"},
        moist(replace(standard(2000.0 * FOOT), temperature=306.15), 299.15),
    ),
    "cold": ({"pressure_altitude": "1000 ft", "temperature_offset": "-25 K"}, standard(1000.0 * FOOT, -25.0)),
}
KINDS = {
    "fixed pitch, natural": ({}, Machine()),
    "fixed pitch, turbocharged": (
        {"engine": TURBO},
        Machine(aspiration="turbocharged", critical=9000.0 * FOOT),
    ),
    "fixed pitch, electric": ({"engine": ELECTRIC}, Machine(aspiration="electric")),
    "constant speed, natural": ({"propeller": None}, Machine(kind="constant-speed")),
    "constant speed, turbocharged": (
        {"engine": TURBO, "propeller": None},
        Machine(kind="constant-speed", aspiration="turbocharged", critical=9000.0 * FOOT),
    ),
    "constant speed, electric": (
        {"engine": ELECTRIC, "propeller": None},
        Machine(kind="constant-speed", aspiration="electric"),
    ),
}


def made(parts):
    """The aeroplane; no propeller stands for the constant-speed one."""
    if "propeller" not in parts:
        return aeroplane(**parts)
    return aeroplane(**{name: part for name, part in parts.items() if part is not None}) | {"propeller": CONSTANT_SPEED}


@pytest.mark.parametrize("where", AIRS)
@pytest.mark.parametrize("kind", KINDS)
def test_climb_and_level_flight_by_search(client, kind, where):
    # physics.md, Thrust and Climb: the greatest excess power and its slope found by search instead of by formula
    (parts, machine), (condition, air) = KINDS[kind], AIRS[where]
    found = numbers(client, made(parts), condition, measures=BOTH)
    phi = machine.power_ratio(air)
    assert found["weight"] == pytest.approx(MASS, rel=1e-12)
    assert found["power_available"] == pytest.approx(machine.power * phi, rel=1e-6)
    assert found["installed_power_to_weight"] == pytest.approx(80.0 * HORSEPOWER / MASS, rel=1e-12)
    speed, rate = machine.best_rate(air)
    assert found["best_climb_rate"] == pytest.approx(rate, rel=1e-6)
    assert found["best_climb_speed_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-5)
    speed, sine = machine.best_angle(air)
    assert found["best_angle"] == pytest.approx(math.asin(sine), rel=1e-6)
    assert found["best_angle_speed_calibrated"] == pytest.approx(air.calibrated(speed), rel=1e-5)
    assert found["climb_gradient"] == pytest.approx(math.tan(math.asin(sine)), rel=1e-6)
    assert found["greatest_level_speed_true"] == pytest.approx(machine.level(air), rel=1e-6)
    assert found["static_thrust"] == pytest.approx(machine.thrust(0.0, air), rel=1e-6)
    ideal = momentum_thrust(machine.power * phi, 1.75, air.density, 0.0)
    assert found["static_thrust_fraction"] == pytest.approx(machine.thrust(0.0, air) / ideal, rel=1e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_ceilings_by_search_over_the_height(client, kind):
    parts, machine = KINDS[kind]
    found = numbers(client, made(parts))
    assert found["absolute_ceiling"] == pytest.approx(machine.ceiling(0.0), abs=0.5)
    assert found["service_ceiling"] == pytest.approx(machine.ceiling(100.0 * FOOT / 60.0), abs=0.5)


def test_the_static_fraction_of_a_constant_speed_propeller_is_its_quality_to_two_thirds(client):
    # momentum theory (Glauert): T = (2 rho A (q P)²)^(1/3), whatever the air
    for condition, _ in AIRS.values():
        found = numbers(client, aeroplane() | {"propeller": CONSTANT_SPEED}, condition, measures=BOTH)
        assert found["static_thrust_fraction"] == pytest.approx(0.6 ** (2.0 / 3.0), rel=1e-9)
        assert found["engine_speed_level"] == pytest.approx(2700.0 * RPM, rel=1e-12)
        assert found["power_delivered"] == found["power_available"]


def test_what_a_constant_speed_propeller_leaves_out_may_be_sent_back(client):
    bare = {"kind": "constant-speed", "diameter": "1.75 m"}
    whole = {"measures": ["all"], "strip": {"length": "500 m"}, "spread": "linear"}
    answer = fly(client, aeroplane() | {"propeller": bare}, **whole)
    listed = {
        item["where"].rpartition("/")[2]: item["value"] for item in answer["assumed"] if "/propeller/" in item["where"]
    }
    assert set(listed) == {"quality", "static_quality", "quality_speed"}
    # half of 0.95 (1.5 P/(rho0 f))^(1/3), common practice, no source
    usual = 0.5 * 0.95 * (1.5 * 80.0 * HORSEPOWER / (RHO0 * 0.60)) ** (1.0 / 3.0)
    assert listed["quality_speed"]["value"] == pytest.approx(usual, rel=1e-9)
    again = fly(client, aeroplane() | {"propeller": bare | listed}, **whole)
    for name, leaf in answer["results"][0]["measures"].items():
        if name != "stall_speeds" and leaf["value"] is not None:
            same = again["results"][0]["measures"][name]
            assert same["value"] == pytest.approx(leaf["value"], rel=1e-9), name
            assert same["plus_minus"] == pytest.approx(leaf["plus_minus"], rel=1e-6, abs=1e-9), name


FINE = {"best_efficiency": 0.68, "best_efficiency_speed": "72 kt", "static_speed": "2550 rpm"}
COARSE = {"best_efficiency": 0.73, "best_efficiency_speed": "90 kt", "static_speed": "2250 rpm"}
ADJUSTABLE = {
    "kind": "ground-adjustable",
    "diameter": "1.75 m",
    "settings": [{"name": "fine", **FINE}, {"name": "coarse", **COARSE}],
}
WHOLE = {"measures": ["all"], "strip": {"length": "500 m", "surface": "hard-turf"}, "climb": {"to_altitude": "3000 ft"}}


@pytest.mark.parametrize(
    ("setting", "numbers_of_it"), [({}, FINE), ({"setting": "fine"}, FINE), ({"setting": "coarse"}, COARSE)]
)
def test_a_setting_answers_as_the_same_fixed_pitch(client, setting, numbers_of_it):
    fixed = {"kind": "fixed-pitch", "diameter": "1.75 m", **numbers_of_it}
    one = fly(client, aeroplane() | {"propeller": ADJUSTABLE | setting}, **WHOLE)
    other = fly(client, aeroplane() | {"propeller": fixed}, **WHOLE)
    pairs = zip(one["results"][0]["measures"].items(), other["results"][0]["measures"].items(), strict=True)
    for (name, leaf), (same_name, same) in pairs:
        assert name == same_name
        if name == "stall_speeds" or leaf["value"] is None:
            assert leaf == same, name
        else:
            # the last bit may turn with the memory's alignment
            assert leaf["value"] == pytest.approx(same["value"], rel=1e-13), name
            assert leaf["plus_minus"] == pytest.approx(same["plus_minus"], rel=1e-12), name
    assert one["cautions"] == other["cautions"]


def test_a_finer_setting_pulls_harder_and_turns_faster(client):
    fine, coarse = (
        numbers(client, aeroplane() | {"propeller": ADJUSTABLE | {"setting": name}}, measures=["all"])
        for name in ("fine", "coarse")
    )
    for name in ("static_thrust", "static_engine_speed", "engine_speed_in_climb", "best_angle"):
        assert fine[name] > coarse[name], name
    assert fine["takeoff_roll"] < coarse["takeoff_roll"]
    assert fine["greatest_level_speed_true"] < coarse["greatest_level_speed_true"]


def test_settings_are_refused_by_name(client):
    body = _body(aeroplane() | {"propeller": ADJUSTABLE | {"setting": "flat"}})
    document = refused(client.post("/v1/performance", json=body), 422)
    assert pointers(document) == ["/aircraft/propeller/setting"]
    assert "fine, coarse" in document["detail"]
    twice = [{"name": "fine", **FINE}, {"name": "fine", **COARSE}]
    for propeller, where in (
        (ADJUSTABLE | {"best_efficiency": 0.7}, "/aircraft/propeller/best_efficiency"),
        ({"kind": "ground-adjustable", "setting": "fine", **FINE}, "/aircraft/propeller/setting"),
        ({"kind": "fixed-pitch", "settings": ADJUSTABLE["settings"]}, "/aircraft/propeller/settings"),
        ({"kind": "constant-speed", "quality": 0.85}, "/aircraft/propeller/diameter"),
        ({"kind": "constant-efficiency"}, "/aircraft/propeller/efficiency"),
        (CONSTANT_SPEED | {"static_quality": 0.9}, "/aircraft/propeller/static_quality"),
        (ADJUSTABLE | {"settings": twice}, "/aircraft/propeller/settings"),
    ):
        document = refused(client.post("/v1/performance", json=_body(aeroplane() | {"propeller": propeller})), 422)
        assert pointers(document)[0].startswith(where), document


def _body(aircraft):
    return {
        "aircraft": aircraft,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
    }


def test_the_first_setting_is_said_to_have_been_chosen(client):
    answer = fly(client, aeroplane() | {"propeller": ADJUSTABLE})
    assert any("setting" in item["text"] for item in answer["assumed"])


@pytest.mark.parametrize(
    ("engine", "field"),
    [
        ({"aspiration": "turbocharged"}, "critical_altitude"),
        ({"critical_altitude": "9000 ft"}, "critical_altitude"),
        ({"aspiration": "electric", "specific_consumption": None}, "lapse_constant"),
        ({"aspiration": "electric", "lapse_constant": None}, "specific_consumption"),
        (ELECTRIC | {"cycle": "two-stroke"}, "cycle"),
        ({"greatest_speed": "2600 rpm"}, "greatest_speed"),
    ],
)
def test_what_does_not_belong_to_an_engine_is_refused(client, engine, field):
    document = refused(client.post("/v1/performance", json=_body(aeroplane(engine=engine))), 422)
    assert pointers(document) == [f"/aircraft/engine/{field}"]


def test_a_turbocharger_holds_rated_power_to_its_critical_altitude_and_not_beyond(client):
    machine = Machine(aspiration="turbocharged", critical=9000.0 * FOOT)
    for altitude, warmer in ((-1000, 0), (0, -30), (5000, 0), (9000, 0), (9000, 15), (11_000, 0), (16_000, -10)):
        condition = {"pressure_altitude": f"{altitude} ft", "temperature_offset": f"{warmer} K"}
        found = numbers(client, aeroplane(engine=TURBO), condition)
        ratio = found["power_available"] / machine.power
        assert ratio == pytest.approx(machine.power_ratio(standard(altitude * FOOT, warmer)), rel=1e-6)
        assert ratio <= 1.0
        assert (ratio == 1.0) == (altitude < 9000 or (altitude, warmer) == (9000, 0)), (altitude, warmer)


def test_a_critical_altitude_at_which_no_power_is_left(client):
    # sigma is 0.254 at 12 km, and this engine gives nothing below 0.3
    engine = {"aspiration": "turbocharged", "critical_altitude": "12000 m", "lapse_constant": 0.3}
    body = _body(aeroplane(engine=engine)) | {"conditions": [{"name": "high", "density_altitude": "36000 ft"}]}
    document = refused(client.post("/v1/performance", json=body), 422)
    assert pointers(document) == ["/aircraft/engine/critical_altitude"]


def test_an_unknown_static_speed_beside_a_known_one(client):
    unknown = aeroplane(propeller={"kind": "fixed-pitch", "static_speed": None})
    alone = numbers(client, unknown, measures=BOTH)
    assert alone["engine_speed_level"] == pytest.approx(2700.0 * RPM, rel=1e-9)
    swap = {"removed": {"weight": "8 kg", "arm": "-1 m"}, "fitted": {"weight": "8 kg", "arm": "-1 m"}}
    change = {"kind": "propeller", "name": "p", "propeller": AEROPLANE["propeller"], **swap}
    body = _body(None) | {"baseline": unknown, "options": [{"name": "o", "changes": [change]}], "measures": BOTH}
    del body["aircraft"]
    found = send(client, "comparison", body, units="si")["options"][0]["results"][0]["measures"]
    for name in ("engine_speed_level", "tip_mach"):
        assert found[name]["before"]["value"] == pytest.approx(alone[name], rel=1e-9), name


def test_an_electric_motor_burns_no_fuel_and_says_so(client):
    answer = fly(client, aeroplane(engine=ELECTRIC), measures=["all"], climb={"to_altitude": "2000 ft"})
    found = answer["results"][0]["measures"]
    for name in ("fuel_flow", "fuel_to_climb", "endurance", "range", "greatest_range", "greatest_endurance"):
        assert found[name]["value"] is None
        assert "burns no fuel" in found[name]["reason"]
    for name in (
        "cruise_speed_true",
        "best_range_speed_calibrated",
        "best_endurance_speed_calibrated",
        "time_to_climb",
    ):
        assert found[name]["value"] > 0.0, name
    assert not {"carburettor-ice-likely", "carburettor-ice-possible", "fuel-vapour"} & set(codes(answer))


def test_engines_side_by_side(client):
    swap = {"removed": {"weight": "80 kg", "arm": "-0.7 m"}, "fitted": {"weight": "88 kg", "arm": "-0.7 m"}}
    turbo = {
        "power": "95 hp",
        "speed": "2750 rpm",
        "reduction": 1,
        "power_margin": 0.96,
        "lapse_constant": 0.117,
    } | TURBO
    pitch = {"best_efficiency": 0.7, "best_efficiency_speed": "84 kt", "static_speed": "2450 rpm"}
    motor = {"power": "90 hp", "speed": "2500 rpm", "reduction": 1, "power_margin": 0.97, "aspiration": "electric"}
    options = [
        {"name": "turbo", "changes": [{"kind": "engine", "name": "e", "engine": turbo, **swap, **pitch}]},
        {"name": "motor", "changes": [{"kind": "engine", "name": "e", "engine": motor, **swap, **pitch}]},
        {
            "name": "constant speed",
            "changes": [{"kind": "propeller", "name": "p", "propeller": CONSTANT_SPEED, **swap}],
        },
        {
            "name": "both",
            "changes": [
                {"kind": "engine", "name": "e", "engine": turbo, **swap},
                {"kind": "propeller", "name": "p", "propeller": CONSTANT_SPEED, **swap},
            ],
        },
    ]
    body = _body(None) | {"baseline": AEROPLANE, "options": options, "measures": ["all"], "strip": {"length": "450 m"}}
    body["conditions"] = [{"name": "high", "pressure_altitude": "7000 ft", "oat": "20 C", "headwind": "8 kt"}]
    del body["aircraft"]
    answer = send(client, "comparison", body, units="si")
    heavier = [8.0, 8.0, 8.0, 16.0]
    fixed = AEROPLANE["propeller"] | pitch
    alone = [
        aeroplane() | {"engine": turbo | {"specific_consumption": None}, "propeller": fixed},
        aeroplane() | {"engine": motor, "propeller": fixed},
        aeroplane() | {"propeller": CONSTANT_SPEED},
        aeroplane() | {"engine": turbo | {"specific_consumption": None}, "propeller": CONSTANT_SPEED},
    ]
    single = {name: body[name] for name in ("loadings", "conditions", "measures", "strip")}
    before = send(client, "performance", single | {"aircraft": AEROPLANE}, units="si")["results"][0]["measures"]
    for option, aircraft, more in zip(answer["options"], alone, heavier, strict=True):
        aircraft["engine"] = {name: value for name, value in aircraft["engine"].items() if value is not None}
        arm = (350.0 * 0.4 - 0.7 * more) / (350.0 + more)
        aircraft["empty"] = {"weight": f"{350.0 + more} kg", "arm": f"{arm!r} m"}
        after = send(client, "performance", single | {"aircraft": aircraft}, units="si")["results"][0]["measures"]
        _same(option["results"][0]["measures"], before, after)


def _same(found, before, after):
    for name, leaf in found.items():
        if name == "stall_speeds":
            continue
        for when, alone in (("before", before[name]), ("after", after[name])):
            if alone["value"] is None:
                assert leaf[when]["value"] is None, name
            else:
                assert leaf[when]["value"] == pytest.approx(alone["value"], rel=1e-10), (name, when)
        if None not in (before[name]["value"], after[name]["value"]):
            change = after[name]["value"] - before[name]["value"]
            assert leaf["change"]["value"] == pytest.approx(change, rel=1e-9, abs=1e-9), name
        else:
            assert leaf["change"]["value"] is None


@pytest.mark.parametrize("where", AIRS)
def test_how_fast_the_engine_turns(client, where):
    # physics.md, Speed of rotation: n² = ns² Phi/sigma + (nr² - ns²)(V/Vr)², Vr the greatest level speed at sea level
    condition, air = AIRS[where]
    machine, ns, nr = Machine(), 2400.0 * RPM, 2700.0 * RPM
    found = numbers(client, None, condition, measures=BOTH)
    rated = machine.level(standard(0.0))

    def turns(v):
        return math.sqrt(ns**2 * machine.power_ratio(air) / air.sigma + (nr**2 - ns**2) * (v / rated) ** 2)

    climbing = machine.best_rate(air)[0]
    fastest = machine.level(air)
    assert found["static_engine_speed"] == pytest.approx(turns(0.0), rel=1e-6)
    assert found["engine_speed_in_climb"] == pytest.approx(turns(climbing), rel=1e-5)
    assert found["engine_speed_level"] == pytest.approx(turns(fastest), rel=1e-6)
    assert found["power_delivered"] == pytest.approx(found["power_available"] * turns(climbing) / nr, rel=1e-5)
    sound = math.sqrt(1.4 * 287.05287 * air.temperature)
    tips = math.hypot(fastest, 0.5 * 1.75 * turns(fastest)) / sound
    assert found["tip_mach"] == pytest.approx(tips, rel=1e-6)


def test_a_gear_slows_the_propeller(client):
    geared = aeroplane(engine={"reduction": 2.0}, propeller={"kind": "fixed-pitch", "diameter": "2.2 m"})
    found = numbers(client, geared, measures=BOTH)
    tips = math.hypot(found["greatest_level_speed_true"], 0.5 * 2.2 * 2700.0 * RPM / 2.0)
    assert found["tip_mach"] == pytest.approx(tips / 340.294, rel=1e-5)  # US Standard Atmosphere 1976 (seen)


def test_overspeed(client):
    # an electric motor turns its propeller faster in thinner air, n/n0 = sigma^(-1/3) standing still
    high = {"density_altitude": "9000 ft"}
    answer = fly(client, aeroplane(engine=ELECTRIC), high, measures=BOTH, units="us")
    found = answer["results"][0]["measures"]
    still = 2400.0 * standard(9000.0 * FOOT).sigma ** (-1.0 / 3.0)
    assert found["static_engine_speed"]["value"] == pytest.approx(still, rel=1e-6)
    text = said(answer, "overspeed")
    assert f"{found['engine_speed_level']['value']:.0f} rpm" in text
    assert "2835 rpm" in text  # 1.05 times rated, where no greatest speed is given
    allowed = found["engine_speed_level"]["value"]
    for most, exceeded in ((allowed + 1.0, False), (allowed - 1.0, True), (2700.0, True)):
        engine = ELECTRIC | {"greatest_speed": f"{most!r} rpm"}
        answer = fly(client, aeroplane(engine=engine), high, measures=BOTH, units="us")
        assert ("overspeed" in codes(answer)) == exceeded
        assert not exceeded or f"{most:.0f} rpm" in said(answer, "overspeed")
    assert "overspeed" not in codes(fly(client, aeroplane(engine={"greatest_speed": "2700 rpm"}), measures=BOTH))


@pytest.mark.parametrize(("static", "lugs"), [("2024 rpm", True), ("2026 rpm", False)])
def test_lugging_below_three_quarters_of_rated_speed(client, static, lugs):
    answer = fly(client, aeroplane(propeller={"kind": "fixed-pitch", "static_speed": static}), units="us")
    assert ("lugging" in codes(answer)) == lugs
    assert not lugs or "0.750 of its rated speed" in said(answer, "lugging")


def test_tips_near_the_speed_of_sound(client):
    def tips(diameter):
        propeller = {"kind": "fixed-pitch", "diameter": f"{diameter} m"}
        answer = fly(client, aeroplane(propeller=propeller), measures=BOTH)
        return answer, answer["results"][0]["measures"]["tip_mach"]["value"]

    answer, mach = tips(2.1)
    assert mach > 0.85
    assert f"Mach {mach:.3f}" in said(answer, "tip-mach")
    answer, mach = tips(1.9)
    assert mach < 0.85
    assert "tip-mach" not in codes(answer)


@pytest.mark.parametrize(("hub", "near"), [("1.103 m", True), ("1.104 m", False)])
def test_the_tips_clear_the_ground_by_nine_inches(client, hub, near):
    # 14 CFR 23.925 as of 1996, tailwheel aeroplanes (from memory): 9 in = 0.2286 m below a radius of 0.875 m
    answer = fly(client, aeroplane(propeller={"kind": "fixed-pitch", "hub_height": hub}))
    assert ("propeller-clearance" in codes(answer)) == near
    assert not near or "0.228 m" in said(answer, "propeller-clearance")


@settings(max_examples=25, deadline=None)
@given(
    power=st.floats(20.0, 300.0),
    diameter=st.floats(0.6, 2.6),
    best=st.floats(0.3, 0.9),
    speed=st.floats(35.0, 150.0),
    altitude=st.floats(-3000.0, 15_000.0),
    offset=st.floats(-30.0, 30.0),
)
def test_no_propeller_pulls_harder_than_an_ideal_one(app, power, diameter, best, speed, altitude, offset):
    client = app.test_client()
    aircraft = aeroplane(
        engine={"power": f"{power!r} hp"},
        propeller={
            "kind": "fixed-pitch",
            "diameter": f"{diameter!r} m",
            "best_efficiency": best,
            "best_efficiency_speed": f"{speed!r} kt",
        },
    )
    condition = {"pressure_altitude": f"{altitude!r} ft", "temperature_offset": f"{offset!r} K"}
    answer = fly(client, aircraft, condition, measures=["propeller", "power_available"])
    found = {name: leaf["value"] for name, leaf in answer["results"][0]["measures"].items()}
    air = standard(altitude * FOOT, offset)
    ideal = momentum_thrust(found["power_available"], diameter, air.density, 0.0)
    described = 1.5 * best * found["power_available"] / (speed * KNOT)  # E0 Phi
    assert found["static_thrust"] == pytest.approx(min(described, ideal), rel=1e-6)
    assert found["static_thrust_fraction"] <= 1.0 + 1e-12
    over = described / ideal
    said_of_it = set(codes(answer)) & {"static-thrust-high", "static-thrust-impossible"}
    if abs(over - 0.8) > 1e-6 and abs(over - 1.0) > 1e-6:
        assert said_of_it == (
            set() if over < 0.8 else {"static-thrust-high"} if over < 1.0 else {"static-thrust-impossible"}
        )
    if said_of_it:
        assert f"{over:.3f}" in said(answer, said_of_it.pop())


def test_a_take_off_limited_by_momentum(client):
    # physics.md: the limited curve is refitted as a + c V²; through standing and 0.8 of lift-off, because through
    # lift-off itself the roll came out up to 9 % too short
    small = {"kind": "fixed-pitch", "diameter": "0.9 m", "best_efficiency": 0.8, "best_efficiency_speed": "70 kt"}
    answer = fly(client, aeroplane(propeller=small), **_PLAIN_TAKE_OFF)
    assert "static-thrust-impossible" in codes(answer)
    found = {name: leaf["value"] for name, leaf in answer["results"][0]["measures"].items()}
    machine = Machine(best=0.8, best_speed=70.0 * KNOT, diameter=0.9)
    air = standard(0.0)

    def limited(u):
        return min(machine.thrust(u, air), momentum_thrust(machine.power, 0.9, air.density, u))

    lift_off = 1.2 * machine.stall
    assert limited(0.0) < 0.97 * machine.thrust(0.0, air)  # otherwise the test shows nothing
    assert found["static_thrust"] == pytest.approx(limited(0.0), rel=1e-6)
    slope = (limited(0.8 * lift_off) - limited(0.0)) / (0.8 * lift_off) ** 2
    assert found["takeoff_roll"] == pytest.approx(_rolled(lambda u: limited(0.0) + slope * u**2, lift_off), rel=1e-6)
    # on the true limit, which falls faster at first, the roll is the same to a hundredth
    assert found["takeoff_roll"] == pytest.approx(_rolled(limited, lift_off), rel=0.01)


_PLAIN_TAKE_OFF = {
    "measures": ["takeoff_roll", "static_thrust"],
    "takeoff": {"rolling_lift_coefficient": 0},
    "strip": {"rolling_friction": 0.03},
}


def _rolled(thrust, lift_off):
    """Ground roll of the flat aeroplane without lift: m u du/dx = T - D - mu W, by integration."""

    def slope(u, _):
        force = thrust(u) - 0.5 * RHO0 * 0.60 * u**2 - 0.03 * MASS * G
        return [u * MASS / force]

    return solve_ivp(slope, (0.0, lift_off), [0.0], rtol=1e-9, atol=1e-9).y[0, -1]


def test_without_a_diameter_nothing_is_limited(client):
    propeller = {"kind": "fixed-pitch", "diameter": None, "best_efficiency": 0.9, "best_efficiency_speed": "40 kt"}
    answer = fly(client, aeroplane(propeller=propeller), measures=BOTH)
    found = answer["results"][0]["measures"]
    described = 1.5 * 0.9 * 80.0 * HORSEPOWER * 0.95 / (40.0 * KNOT)
    assert found["static_thrust"]["value"] == pytest.approx(described, rel=1e-9)
    assert "diameter" in found["static_thrust_fraction"]["reason"]
    assert "diameter" in found["tip_mach"]["reason"]


def test_an_efficiency_at_every_speed_means_nothing_standing_still(client):
    steady = {"kind": "constant-efficiency", "efficiency": 0.75}
    answer = fly(client, aeroplane() | {"propeller": steady}, measures=BOTH)
    found = answer["results"][0]["measures"]
    for name in ("static_thrust", "static_thrust_fraction", "static_engine_speed"):
        assert found[name]["value"] is None
    assert "standing still" in found["static_thrust"]["reason"]
    assert "constant-efficiency" in codes(answer)
    machine = Machine(kind="constant-efficiency", best=0.75)
    air = standard(0.0)
    assert found["best_climb_rate"]["value"] == pytest.approx(
        greatest(lambda v: machine.rate(v, air), machine.floor(air), 120.0)[1], rel=1e-6
    )


def test_ceilings_of_a_propeller_that_momentum_limits(client):
    small = {"kind": "fixed-pitch", "diameter": "1.1 m", "best_efficiency": 0.9, "best_efficiency_speed": "80 kt"}
    aircraft = aeroplane(propeller=small)
    ceiling = numbers(client, aircraft)["absolute_ceiling"]
    assert numbers(client, aircraft, {"density_altitude": f"{ceiling!r} m"})["best_climb_rate"] == pytest.approx(
        0.0, abs=1e-3
    )


def test_without_level_flight_the_engine_has_no_speed_there(client):
    found = numbers(client, None, {"density_altitude": "30000 ft"}, measures=BOTH)
    assert found["greatest_level_speed_true"] is None
    assert found["engine_speed_level"] is None
    assert found["tip_mach"] is None
