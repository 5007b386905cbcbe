"""Calibration through HTTP: the three rules of thumb of a known kind of aeroplane, the round trip, and refusals."""

import copy

import pytest

from .asking import refused, send

# Common practice, no source: a two-seat high wing of 260 kg empty, a 65 hp two-stroke, a fixed propeller pitched
# between climb and cruise, at about 7,000 ft density altitude with 50 litres of fuel: 500 ft/min solo, 300 ft/min
# two-up, about 80 mph indicated at about 75 % power.
AIRCRAFT = {
    "name": "invented high wing",
    "wing": {"area": "11.4 m2", "span": "9.1 m"},
    "empty": {"weight": "260 kg", "arm": "0.3 m"},
    "stations": [
        {"name": "seats", "arm": "0.3 m"},
        {"name": "fuel", "arm": "0.5 m", "capacity": "60 L", "density": "0.72 kg/L"},
    ],
    "engine": {"power": "65 hp", "cycle": "two-stroke"},
    "propeller": {"kind": "fixed-pitch", "pitch_class": "middle"},
    "drag": {"airframe_class": "strut-braced-fabric"},
}
AIR = {"density_altitude": "7000 ft"}
SOLO = {"seats": "82 kg", "fuel": "50 L"}
TWO_UP = {"seats": "160 kg", "fuel": "50 L"}


def rate(value):
    return {"value": value, "unit": "ft/min", "plus_minus": 50}


OBSERVED = {
    "solo": {"kind": "climb", "rate": rate(500), "stations": SOLO},
    "two-up": {"kind": "climb", "rate": rate(300), "stations": TWO_UP},
    "cruise": {
        "kind": "level",
        "indicated": {"value": 80, "unit": "mph", "plus_minus": 4},
        "power_fraction": "75 %",
        "stations": SOLO,
    },
}


def named(*names):
    return [{"name": name, "condition": AIR} | OBSERVED[name] for name in names]


@pytest.mark.parametrize("third", OBSERVED)
def test_two_rules_of_thumb_forecast_the_third(client, third):
    two = [name for name in OBSERVED if name != third]
    aircraft = send(client, "calibration", {"aircraft": AIRCRAFT, "observations": named(*two)})["aircraft"]
    # what the two taught, against the third: its own expectation before it is learned from
    seen = OBSERVED[third]
    body = {
        "aircraft": aircraft,
        "loadings": [{"name": "one", "stations": seen["stations"]}],
        "conditions": [{"name": "here"} | AIR],
    }
    if third == "cruise":
        body |= {"cruise": {"power_fraction": {"value": 75, "unit": "%", "plus_minus": 5}}}
        answer = send(client, "performance", body, units="speed:mph")["results"][0]["measures"]
        expected, read, own = answer["cruise_speed_indicated"], 80.0, 4.0
    else:
        answer = send(client, "performance", body)["results"][0]["measures"]
        expected, read, own = answer["best_climb_rate"], seen["rate"]["value"], 50.0
    spread = (expected["plus_minus"] ** 2 + own**2) ** 0.5
    assert abs(read - expected["value"]) < 2.0 * spread


def test_the_answer_is_an_aircraft_in_all_units(client, example):
    """In whatever units it is answered, the completed aeroplane flies the same, as sure."""
    flown = []
    for units in ("si", "aviation", "metric", "us"):
        completed = send(client, "calibration", example("calibration"), units=units)["aircraft"]
        body = {
            "aircraft": completed,
            "loadings": [{"name": "one", "stations": {"pilot": "82 kg", "fuel": "50 L"}}],
            "conditions": [{"name": "here"} | AIR],
            "measures": ["aeroplane", "glide"],
        }
        flown.append(send(client, "performance", body, units="si")["results"][0]["measures"])
    for other in flown[1:]:
        for name, leaf in flown[0].items():
            if "value" in leaf and leaf["value"] is not None:
                assert other[name]["value"] == pytest.approx(leaf["value"], rel=1e-9)
                assert other[name].get("plus_minus", 0.0) == pytest.approx(
                    leaf.get("plus_minus", 0.0), rel=1e-6, abs=1e-12
                )


def test_the_learned_airspeed_errors_show_in_what_the_indicator_reads(client, example):
    completed = send(client, "calibration", example("calibration"))["aircraft"]
    body = {
        "aircraft": completed | {"airspeed_errors": {"near_stall": 0.9, "cruise": 1.1}},
        "loadings": [{"name": "one", "stations": {"pilot": "82 kg"}}],
        "conditions": [{"name": "here"} | AIR],
        "measures": ["greatest_level_speed_calibrated", "greatest_level_speed_indicated", "stall_speed_calibrated"],
    }
    body["aircraft"].pop("covariance")
    found = send(client, "performance", body)["results"][0]["measures"]
    level, stall = found["greatest_level_speed_calibrated"]["value"], found["stall_speed_calibrated"]["value"]
    share = min(level / stall - 1.0, 1.0)  # a line from the stall speed to twice it
    assert found["greatest_level_speed_indicated"]["value"] == pytest.approx(level * (0.9 + 0.2 * share), rel=1e-12)


def test_a_wrong_unit_is_named(client):
    wrong = named("solo", "two-up", "cruise")
    wrong[2]["indicated"] = {"value": 80, "unit": "m/s", "plus_minus": 2}
    answer = send(client, "calibration", {"aircraft": AIRCRAFT, "observations": wrong})
    doubt = answer["observations"][2]["doubt"]
    assert doubt["cause"] == "unit"
    assert "mph" in doubt["text"] or "kt" in doubt["text"]
    assert answer["cautions"][0]["code"] in {"observation-doubted", "calibration-edge"}
    assert {seen["name"] for seen in answer["observations"]} == set(OBSERVED)  # nothing is dropped


def test_a_timed_band_is_the_rate_that_it_makes(client):
    band = {"from_altitude": "6500 ft", "to_altitude": "7500 ft", "duration": "120 s"}
    one = {"name": "band", "kind": "climb", "stations": SOLO, "condition": AIR}
    by_band, by_rate = (
        send(client, "calibration", {"aircraft": AIRCRAFT, "observations": [one | how, *named("cruise")]})
        for how in (band, {"rate": "500 ft/min"})
    )
    assert by_band["observations"][0]["observed"]["value"] == pytest.approx(500.0)
    for band_number, rate_number in zip(by_band["numbers"], by_rate["numbers"], strict=True):
        assert band_number["after"]["value"] == pytest.approx(rate_number["after"]["value"])


def test_half_of_the_fuel_used_is_gone(client):
    one = {"name": "long climb", "kind": "climb", "rate": "400 ft/min", "condition": AIR}
    answers = [
        send(client, "calibration", {"aircraft": AIRCRAFT, "observations": [one | more]})["observations"][0]["reduced"]
        for more in ({"weight": "400 kg", "fuel_used": "8 kg"}, {"weight": "396 kg"})
    ]
    assert answers[0]["weight"]["value"] == pytest.approx(answers[1]["weight"]["value"])
    assert answers[0]["weight"]["value"] == pytest.approx(396.0, abs=0.5)  # the empty weight may have been misread


def changed(place, **fields):
    body = {"aircraft": copy.deepcopy(AIRCRAFT), "observations": copy.deepcopy(named("solo", "two-up", "cruise"))}
    node = body["observations"][place]
    node |= fields
    for name in [name for name, value in node.items() if value is None]:
        del node[name]
    return body


REFUSED = [
    (changed(0, kind="swim"), "/observations/0/kind"),
    (changed(0, thrust="900 N"), "/observations/0/thrust"),
    (changed(0, rate=None), "/observations/0/rate"),
    (changed(0, from_altitude="6000 ft"), "/observations/0/rate"),
    (changed(0, weight="400 kg"), "/observations/0/weight"),
    (changed(0, stations=None), "/observations/0/weight"),
    (changed(0, stations={"boot": "5 kg"}), "/observations/0/stations/boot"),
    (changed(0, stations={"seats": "80 L"}), "/observations/0/stations/seats"),
    (changed(0, stations={"fuel": "90 L"}), "/observations/0/stations/fuel"),
    (changed(0, indicated="50 kt", true="60 kt"), "/observations/0/true"),
    (changed(0, configuration="full"), "/observations/0/configuration"),
    (changed(1, name="solo"), "/observations/1/name"),
    (changed(2, power_fraction=None), "/observations/2/power_fraction"),
    (changed(2, full_throttle=True), "/observations/2/power_fraction"),
    (changed(2, indicated=None), "/observations/2/indicated"),
    (changed(2, condition={"oat": "20 C"}), "/observations/2/condition"),
    (changed(0, rate=None, kind="glide", sink="600 ft/min"), "/observations/0/indicated"),
    (changed(0, rate=None, kind="acceleration", indicated="50 kt", duration="9 s"), "/observations/0/end_speed"),
]


@pytest.mark.parametrize(("body", "pointer"), REFUSED, ids=[pointer for _, pointer in REFUSED])
def test_what_makes_no_sense_is_refused_by_its_field(client, body, pointer):
    document = refused(client.post("/v1/calibration", json=body), 422)
    assert document["errors"][0]["pointer"].startswith(pointer), document


COVARIANCE = {"parameters": ["/drag/parasite_area", "/engine/power_margin"], "correlation": [[1, 0.3], [0.3, 1]]}


@pytest.mark.parametrize(
    ("block", "pointer"),
    [
        ({"parameters": ["/drag/parasite_area", "/wing/area"]}, "/aircraft/covariance/parameters/1"),
        ({"parameters": ["/drag/parasite_area", "/drag/span_efficiency"]}, "/aircraft/covariance/parameters/1"),
        ({"parameters": ["/drag/parasite_area"]}, "/aircraft/covariance/correlation"),
        ({"parameters": ["/drag/parasite_area", "/drag/parasite_area"]}, "/aircraft/covariance/parameters"),
        ({"correlation": [[1, 0.3], [0.4, 1]]}, "/aircraft/covariance/correlation"),
        ({"correlation": [[1, 1.3], [1.3, 1]]}, "/aircraft/covariance/correlation"),
        ({"correlation": [[1, "x"], [0.3, 1]]}, "/aircraft/covariance/correlation"),
        ({"correlation": []}, "/aircraft/covariance/correlation"),
    ],
)
def test_a_covariance_that_fits_nothing_is_refused(client, block, pointer):
    aircraft = copy.deepcopy(AIRCRAFT) | {"covariance": COVARIANCE | block}
    aircraft["drag"] = {"parasite_area": {"value": 0.6, "unit": "m2", "plus_minus": 0.1}, "span_efficiency": 0.75}
    aircraft["engine"]["power_margin"] = {"value": 0.9, "unit": "1", "plus_minus": 0.05}
    body = {"aircraft": aircraft, "observations": named("solo")}
    assert refused(client.post("/v1/calibration", json=body), 422)["errors"][0]["pointer"].startswith(pointer)


TABLE = [{"indicated": f"{v + 5} mph", "calibrated": f"{v} mph"} for v in (30, 60, 100)]  # reads 5 mph too much
LEVEL = {"name": "level", "kind": "level", "full_throttle": True, "stations": SOLO, "condition": AIR}
STALL = {"name": "stall", "kind": "stall", "stations": SOLO, "condition": AIR}


def test_indicated_airspeeds_are_read_through_the_owners_table(client):
    """A table that takes 5 mph off, and readings 5 mph higher: nothing else is learned than without both."""
    numbers = []
    for table, more in ((None, 0), (TABLE, 5)):
        aircraft = AIRCRAFT | ({"airspeed_correction": table} if table else {})
        observations = [
            LEVEL | {"indicated": f"{88 + more} mph"},
            STALL | {"indicated": f"{42 + more} mph"},
            {"name": "climb", "kind": "climb", "rate": "500 ft/min", "indicated": f"{55 + more} mph"}
            | {"stations": SOLO, "condition": AIR},
        ]
        answer = send(client, "calibration", {"aircraft": aircraft, "observations": observations}, units="speed:mph")
        numbers.append([number["after"]["value"] for number in answer["numbers"]])
        assert answer["observations"][0]["observed"]["value"] == pytest.approx(88.0)
    assert answer["observations"][0]["reduced"]["read"]["value"] == pytest.approx(93.0)
    assert numbers[0] == pytest.approx(numbers[1], rel=1e-9)


@pytest.mark.parametrize("one", [LEVEL | {"indicated": "140 mph"}, STALL | {"indicated": "20 mph"}])
def test_an_airspeed_outside_the_table_is_refused(client, one):
    body = {"aircraft": AIRCRAFT | {"airspeed_correction": TABLE}, "observations": [one]}
    document = refused(client.post("/v1/calibration", json=body), 422)
    assert document["errors"][0]["pointer"] == "/observations/0/indicated"


def test_what_stands_in_for_a_ground_roll_is_listed(client):
    roll = {"name": "roll", "kind": "ground-roll", "distance": "220 m", "stations": SOLO, "condition": AIR}
    answer = send(client, "calibration", {"aircraft": AIRCRAFT, "observations": [roll]})
    listed = {item["text"] for item in answer["assumed"] if item["where"].startswith("/observations/0")}
    assert any("lift-off speed over the stall speed" in text for text in listed)
    assert any("lift coefficient while rolling" in text for text in listed)
    assert any("friction" in text for text in listed)
    assert any("standard temperature" in text for text in listed)
