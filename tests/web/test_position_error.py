"""The position error of an airspeed indicator through HTTP: flown in a known wind, found again, and refused by name."""

import json
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from climbwright.air import airspeed, standard
from climbwright.web.words.assumed import ASSUMED

from .asking import EXAMPLES, ask, pointers, refused, send

AIR = {"pressure_altitude": "4500 ft", "oat": "18 C"}
HELD = AIR | {"indicated": "74 kt"}
KT = 1852.0 / 3600.0


def flown(true, wind_speed, wind_from, headings):
    """Ground speed and track of each leg, in knots and degrees, by the addition of two vectors."""
    legs = []
    for heading in headings:
        east = true * math.sin(math.radians(heading)) - wind_speed * math.sin(math.radians(wind_from))
        north = true * math.cos(math.radians(heading)) - wind_speed * math.cos(math.radians(wind_from))
        legs.append((math.hypot(east, north), math.degrees(math.atan2(east, north)) % 360.0))
    return legs


def queried(client, query, **options):
    """The answer to a GET whose legs stand in it one by one."""
    pairs = [(name, text) for name, texts in query.items() for text in (texts if isinstance(texts, list) else [texts])]
    response = client.get("/v1/position-error", query_string=[*pairs, *options.items()])
    assert response.status_code == 200, response.text
    return response.json


def legs_of(pairs, kind="track", spread=0.0, wander=0.0):
    def quantity(value, unit, plus_minus):
        return {"value": value, "unit": unit} | ({"plus_minus": plus_minus} if plus_minus else {})

    return [{"ground_speed": quantity(g, "kt", spread), kind: quantity(a, "deg", wander)} for g, a in pairs]


def codes(answer):
    return {caution["code"] for caution in answer["cautions"]}


def said(answer):
    return {item["text"] for item in answer["assumed"]}


@settings(max_examples=40, deadline=None)
@given(
    true=st.floats(30.0, 250.0),
    share=st.floats(0.02, 0.7),
    wind_from=st.floats(1.0, 359.0),
    first=st.floats(0.0, 359.0),
    offset=st.floats(-25.0, 25.0),
    altitude=st.floats(-1000.0, 20_000.0),
)
def test_a_known_airspeed_and_wind_are_found_again(app, true, share, wind_from, first, offset, altitude):
    client = app.test_client()
    air = {"pressure_altitude": f"{altitude!r} ft", "temperature_offset": f"{offset!r} K"}
    headings = [first, (first + 100.0) % 360.0, (first + 220.0) % 360.0]
    over_ground = flown(true, share * true, wind_from, headings)
    by_heading = [(speed, heading) for (speed, _), heading in zip(over_ground, headings, strict=True)]
    calibrated = ask(client, "airspeed", air | {"true": f"{true!r} kt"})["calibrated"]["value"]
    for kind, legs in (("track", over_ground), ("heading", by_heading)):
        answer = send(client, "position-error", air | {"legs": legs_of(legs, kind), "indicated": "60 kt"})
        assert answer["true"]["value"] == pytest.approx(true, rel=1e-9)
        assert answer["wind_speed"]["value"] == pytest.approx(share * true, rel=1e-9)
        assert answer["wind_direction"]["value"] == pytest.approx(wind_from, abs=1e-6)
        assert answer["calibrated"]["value"] == pytest.approx(calibrated, rel=1e-9)
        assert answer["correction"]["value"] == pytest.approx(calibrated - 60.0, abs=1e-6)
        assert answer["residual"] == {
            "value": None,
            "unit": "kt",
            "reason": "three legs always fit exactly: send a fourth to see how well they agree",
        }


def test_at_standard_sea_level_calibrated_is_true(client):
    legs = legs_of(flown(80.0, 12.0, 250.0, [0.0, 120.0, 240.0]))
    answer = send(client, "position-error", {"density_altitude": "0 ft", "indicated": "77 kt", "legs": legs})
    assert answer["calibrated"]["value"] == pytest.approx(80.0, rel=1e-9)
    assert answer["correction"]["value"] == pytest.approx(3.0, rel=1e-8)  # it reads low, so one adds
    assert "standard temperature at this density altitude, dry air" in said(answer)


def test_humidity_counts_by_its_density(client):
    """At 80 kt compression is worth 1 part in 2,000; calibrated is otherwise the speed of the same dynamic pressure."""
    legs = legs_of(flown(80.0, 12.0, 250.0, [0.0, 120.0, 240.0]))
    air = {"pressure_altitude": "2000 ft", "oat": "33 C"}
    found = {}
    for dew_point in ("-20 C", "28 C"):
        density = ask(client, "density-altitude", air | {"dew_point": dew_point})["density_ratio"]["value"]
        body = air | {"dew_point": dew_point, "indicated": "77 kt", "legs": legs}
        found[dew_point] = send(client, "position-error", body)["calibrated"]["value"]
        assert found[dew_point] == pytest.approx(80.0 * math.sqrt(density), rel=5e-4)
    assert found["28 C"] < 0.995 * found["-20 C"]


def test_get_gives_what_post_gives(client, example):
    query = json.loads((EXAMPLES / "position-error.query.json").read_text("utf-8"))
    got = queried(client, query)
    posted = send(client, "position-error", example("position-error"))
    for answer in (got, posted):
        for notes in ("assumed", "cautions"):
            for item in answer[notes]:
                item["where"] = item["where"].replace("/legs", "/leg")
        del answer["provenance"]
    assert got == posted
    for form in ("json", "csv", "text"):
        get = client.get("/v1/position-error", query_string=query | {"format": form})
        post = client.post(f"/v1/position-error?format={form}", json=query)  # a body may say it as texts too
        assert get.status_code == post.status_code == 200
        assert get.text == post.text


def test_a_cell_picks_the_correction(client):
    query = (
        "leg=92kt@005deg&leg=74kt@128deg&leg=84kt@244deg&course=track&indicated=74kt&pressure_altitude=4500ft&oat=18C"
    )
    answer = client.get(f"/v1/position-error?{query}").json
    for name in ("correction", "true", "calibrated", "wind_speed", "wind_direction"):
        picked = client.get(f"/v1/position-error?{query}&pick={name}")
        assert picked.mimetype == "text/plain"
        assert float(picked.text) == pytest.approx(answer[name]["value"], rel=1e-5)
    refused(client.get(f"/v1/position-error?{query}&pick=residual"), 422)


def test_a_query_may_say_it_in_other_words(client):
    legs = [" 170.384 km/h @ 0.08726646259971647 rad", "74 kt@128 °", "84kts @ 244 degrees"]
    plain, other = (
        queried(client, HELD | {"leg": said, "course": "track"})
        for said in (["92kt@5deg", "74kt@128deg", "84kt@244deg"], legs)
    )
    assert other["true"]["value"] == pytest.approx(plain["true"]["value"], rel=1e-12)


def test_in_the_reader_s_units(client, example):
    plain = send(client, "position-error", example("position-error"))
    metric = send(client, "position-error", example("position-error"), units="metric,angle:rad")
    assert metric["correction"]["unit"] == "km/h"
    assert metric["correction"]["value"] == pytest.approx(1.852 * plain["correction"]["value"])
    assert metric["wind_direction"]["value"] == pytest.approx(math.radians(plain["wind_direction"]["value"]))


def test_the_answer_makes_a_correction_table(client, example):
    """Indicated and calibrated go into a table; at that speed it gives the true airspeed of the legs."""
    found = send(client, "position-error", example("position-error"))
    table = [
        {"indicated": "40 kt", "calibrated": "45 kt"},
        {"indicated": found["indicated"], "calibrated": found["calibrated"]},
    ]
    answer = send(client, "airspeed", AIR | {"indicated": found["indicated"], "airspeed_correction": table})
    assert answer["true"]["value"] == pytest.approx(found["true"]["value"], rel=1e-12)


def test_printed(client, example):
    text = client.post("/v1/position-error?format=text", json=example("position-error")).text
    assert text.startswith("true ")
    assert "correction " in text
    assert "none: three legs always fit exactly" in text


SPEEDS = flown(84.0, 10.0, 150.0, [0.0, 120.0, 240.0])


def test_the_spread_is_that_of_many_draws(client):
    """Ground speeds, tracks, indicated speed and temperature drawn; each flight solved as a triangle's circumcircle."""
    body = HELD | {
        "legs": legs_of(SPEEDS, spread=1.0, wander=1.5),
        "indicated": {"value": 74, "unit": "kt", "plus_minus": 0.8},
        "oat": {"value": 18, "unit": "C", "plus_minus": 2},
    }
    answer = send(client, "position-error", body)

    draw, count = np.random.default_rng(20270321), 300_000
    speeds, tracks = (np.array(numbers)[:, None] for numbers in zip(*SPEEDS, strict=True))
    speeds = speeds + draw.normal(0.0, 1.0, (3, count))
    tracks = np.radians(tracks + draw.normal(0.0, 1.5, (3, count)))
    a, b, c = speeds * np.exp(1j * tracks)
    area = 0.5 * np.abs(np.imag((b - a) * np.conj(c - a)))
    true = np.abs(b - a) * np.abs(c - b) * np.abs(a - c) / (4.0 * area)
    p, q = b - a, c - a  # centre of the circle through 0, p and q
    wind = a + (q * np.abs(p) ** 2 - p * np.abs(q) ** 2) / (np.conj(p) * q - p * np.conj(q))
    pressure = standard.pressure(4500.0 * 0.3048)
    mach = airspeed.mach_from_true(true * KT, 291.15 + draw.normal(0.0, 2.0, count))
    calibrated = airspeed.calibrated_from_mach(mach, pressure) / KT
    correction = calibrated - 74.0 - draw.normal(0.0, 0.8, count)

    drawn = {
        "true": true,
        "calibrated": calibrated,
        "correction": correction,
        "wind_speed": np.abs(wind),
        "wind_direction": np.degrees(np.angle(-wind)) % 360.0,
    }
    for name, numbers in drawn.items():
        assert answer[name]["value"] == pytest.approx(np.median(numbers), rel=0.01), name
        assert answer[name]["plus_minus"] == pytest.approx(np.std(numbers), rel=0.03), name
    assert answer["indicated"]["plus_minus"] == pytest.approx(0.8)


def test_a_certain_flight_has_no_spread(client, example):
    answer = send(client, "position-error", example("position-error"))
    assert not any("plus_minus" in leaf for leaf in answer.values() if isinstance(leaf, dict))


def test_a_spread_reaches_across_north(client):
    """A wind from north has the direction's spread of a wind from elsewhere, and a leg to north takes one too."""
    found = []
    for turn in (0.0, 90.0):
        over_ground = flown(84.0, 10.0, turn, [turn, turn + 120.0, turn + 240.0])
        legs = legs_of([(g, a % 360.0) for g, a in over_ground], spread=1.0, wander=1.0)
        found.append(send(client, "position-error", HELD | {"legs": legs}))
    assert found[0]["wind_direction"]["plus_minus"] == pytest.approx(found[1]["wind_direction"]["plus_minus"], rel=1e-6)
    assert 2.0 < found[0]["wind_direction"]["plus_minus"] < 10.0


def test_more_legs_say_how_well_they_agree(client):
    pairs = flown(84.0, 10.0, 150.0, [0.0, 90.0, 180.0, 270.0, 45.0, 135.0, 225.0, 315.0])
    exact = send(client, "position-error", HELD | {"legs": legs_of(pairs)})
    assert exact["true"]["value"] == pytest.approx(84.0, rel=1e-9)
    assert exact["residual"]["value"] == pytest.approx(0.0, abs=1e-6)
    # legs that read high and low in turn cancel in the airspeed and show in the residual
    rough = [(g + (0.5 if i % 2 else -0.5), a) for i, (g, a) in enumerate(pairs[:4])]
    answer = send(client, "position-error", HELD | {"legs": legs_of(rough, spread=0.5)})
    assert answer["true"]["value"] == pytest.approx(84.0, abs=0.05)
    # four legs of 0.5 kt and one degree of freedom; the drift takes up to 1 - cos 7 deg
    assert answer["residual"]["value"] == pytest.approx(1.0, rel=0.02)
    assert "plus_minus" not in answer["residual"]
    assert "legs-disagree" not in codes(answer)


def test_a_leg_flown_twice_counts_twice(client):
    pairs = SPEEDS + SPEEDS[:1]
    answer = send(client, "position-error", HELD | {"legs": legs_of(pairs)})
    assert answer["true"]["value"] == pytest.approx(84.0, rel=1e-9)
    assert "courses-close-together" not in codes(answer)


def test_a_calm_has_no_direction(client):
    legs = legs_of([(84.0, 10.0), (84.0, 130.0), (84.0, 250.0)])
    answer = send(client, "position-error", HELD | {"legs": legs})
    assert answer["wind_direction"]["value"] is None
    assert answer["wind_direction"]["reason"] == "there is no wind to have a direction"
    assert answer["wind_speed"]["value"] == pytest.approx(0.0, abs=1e-9)


def test_what_is_assumed_is_said(client, example):
    always = {ASSUMED[code] for code in ("steady-legs", "one-north", "instrument-error-included")}
    by_track = send(client, "position-error", example("position-error"))
    assert said(by_track) == always | {ASSUMED["dry-air"]}
    headings = legs_of([(g, heading) for (g, _), heading in zip(SPEEDS, (0.0, 120.0, 240.0), strict=True)], "heading")
    report = {"elevation": "4400 ft", "metar": "XXXX 241200Z 24008KT 24/11 Q1017", "indicated": "74 kt"}
    by_heading = send(client, "position-error", report | {"legs": headings})
    assert said(by_heading) == always | {ASSUMED["heading-through-air"], ASSUMED["report-at-height"]}


@pytest.mark.parametrize(
    ("code", "legs", "indicated"),
    [
        ("courses-close-together", [(87.0, 0.0), (80.0, 59.0), (84.0, 180.0)], "74 kt"),
        ("courses-close-together", [(87.0, 0.0), (80.0, 50.0), (84.0, 100.0), (85.0, 359.0)], "74 kt"),
        ("implausible-correction", SPEEDS, "66.8 kt"),
        ("implausible-correction", SPEEDS, "91 kt"),
        ("wind-above-airspeed", flown(40.0, 45.0, 10.0, [0.0, 120.0, 240.0]), "37 kt"),
        ("legs-disagree", [(80.0, 0.0), (90.0, 90.0), (80.0, 180.0), (90.0, 270.0)], "74 kt"),
    ],
)
def test_cautions(client, code, legs, indicated):
    answer = send(client, "position-error", AIR | {"legs": legs_of(legs), "indicated": indicated})
    assert codes(answer) - {"estimate"} >= {code}
    assert "{" not in str([caution["text"] for caution in answer["cautions"]])


@pytest.mark.parametrize("indicated", ["67.2 kt", "90 kt"])  # 76.96 kt calibrated: 14.5 % more and less
def test_a_large_correction_is_believed_up_to_15_percent(client, indicated):
    answer = send(client, "position-error", AIR | {"legs": legs_of(SPEEDS), "indicated": indicated})
    assert abs(answer["correction"]["value"]) == pytest.approx(0.145 * answer["indicated"]["value"], rel=0.01)
    assert codes(answer) == {"estimate"}


@pytest.mark.parametrize(("turn", "cautioned"), [(59.0, True), (60.0, False), (61.0, False), (120.0, False)])
def test_sixty_degrees_between_legs_are_enough(client, turn, cautioned):
    headings = [300.0, (300.0 + turn) % 360.0, (300.0 + 2.0 * turn) % 360.0]
    over_ground = flown(84.0, 10.0, 150.0, headings)
    legs = legs_of([(speed, heading) for (speed, _), heading in zip(over_ground, headings, strict=True)], "heading")
    answer = send(client, "position-error", HELD | {"legs": legs})
    assert codes(answer) == ({"estimate", "courses-close-together"} if cautioned else {"estimate"})


LEG = {"ground_speed": "87 kt", "track": "10 deg"}
OTHERS = [{"ground_speed": "72 kt", "track": "130 deg"}, {"ground_speed": "79 kt", "track": "250 deg"}]


@pytest.mark.parametrize(
    ("changed", "pointer"),
    [
        ({"legs": [LEG, LEG, OTHERS[0]]}, "/legs/1/track"),
        ({"legs": [*OTHERS, LEG | {"track": "249.1 deg"}]}, "/legs/2/track"),
        ({"legs": [LEG | {"track": "360 deg"}, OTHERS[0], LEG | {"track": "0 deg"}]}, "/legs/2/track"),
        ({"legs": [LEG, LEG, OTHERS[0], OTHERS[0]]}, "/legs/1/track"),
        ({"legs": legs_of([(100.0, 0.0), (100.0 * math.sqrt(0.5), 45.0), (100.0, 90.0)])}, "/legs"),
        ({"legs": legs_of([(80.0, 0.0), (82.0, 5.0), (80.0, 10.0)], "heading")}, "/legs"),
        ({"legs": legs_of([(600.0, 0.0), (600.0, 120.0), (660.0, 240.0)]), "oat": "-50 C"}, "/legs"),  # supersonic
        ({"legs": [LEG, *OTHERS[:1]]}, "/legs"),
        ({"legs": [LEG, *OTHERS] * 3}, "/legs"),
        ({"legs": []}, "/legs"),
        ({"legs": "87kt@010deg"}, "/legs"),
        ({"legs": [*OTHERS, "87kt@010deg"]}, "/legs/2"),
        ({"legs": [LEG, *OTHERS[:1], {"ground_speed": "79 kt", "heading": "250 deg"}]}, "/legs/2/heading"),
        ({"legs": [LEG | {"heading": "12 deg"}, *OTHERS]}, "/legs/0/heading"),
        ({"legs": [{"ground_speed": "87 kt"}, *OTHERS]}, "/legs/0/track"),
        ({"legs": [{"track": "10 deg"}, *OTHERS]}, "/legs/0/ground_speed"),
        ({"legs": [LEG | {"track": 10}, *OTHERS]}, "/legs/0/track"),
        ({"legs": [LEG | {"track": "361 deg"}, *OTHERS]}, "/legs/0/track"),
        ({"legs": [LEG | {"track": "-1 deg"}, *OTHERS]}, "/legs/0/track"),
        ({"legs": [LEG | {"track": {"value": 10, "unit": "deg", "plus_minus": 46}}, *OTHERS]}, "/legs/0/track"),
        ({"legs": [LEG | {"ground_speed": "0 kt"}, *OTHERS]}, "/legs/0/ground_speed"),
        (
            {"legs": [LEG | {"ground_speed": {"value": 9, "unit": "kt", "plus_minus": 9}}, *OTHERS]},
            "/legs/0/ground_speed",
        ),
        ({"legs": [LEG | {"wind": "9 kt"}, *OTHERS]}, "/legs/0/wind"),
        ({"indicated": "74"}, "/indicated"),
        ({"indicated": "0 kt"}, "/indicated"),
        ({"indicated": {"value": [74, 75], "unit": "kt"}}, "/indicated"),
        ({"course": "track"}, "/course"),
        ({"course": "bearing"}, "/course"),
        ({"leg": ["87kt@010deg", "72kt@130deg", "79kt@250deg"]}, "/leg"),
        ({"oat": "4 kt"}, "/oat"),
        ({"dew_point": "19 C"}, "/dew_point"),
        ({"pressure_altitude": {"value": [0, 1], "unit": "ft"}}, "/pressure_altitude"),
        ({"qnh": "1013 hPa"}, "/pressure_altitude"),
        ({"airspeed_correction": []}, "/airspeed_correction"),
    ],
)
def test_refused_by_name(client, changed, pointer):
    body = HELD | {"legs": [LEG, *OTHERS]} | changed
    assert pointers(refused(client.post("/v1/position-error", json=body), 422)) == [pointer]


@pytest.mark.parametrize("missing", ["legs", "indicated", "oat"])
def test_nothing_is_guessed(client, missing):
    body = HELD | {"legs": [LEG, *OTHERS]}
    del body[missing]
    assert pointers(refused(client.post("/v1/position-error", json=body), 422)) == [f"/{missing}"]


GIVEN = [("leg", "92kt@5deg"), ("leg", "74kt@128deg"), ("leg", "84kt@244deg"), ("course", "track"), *HELD.items()]


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        (GIVEN[:2] + GIVEN[3:], "/leg"),
        (GIVEN[3:], "/leg"),
        (GIVEN[:3] + GIVEN[4:], "/course"),
        ([*GIVEN, ("course", "track")], "/course"),
        ([*GIVEN, ("legs", "3")], "/legs"),
        ([*GIVEN, ("leg", "92kt")], "/leg/3"),
        ([*GIVEN, ("leg", "")], "/leg/3"),
        ([*GIVEN, ("leg", "92kt@5")], "/leg/3"),
        ([*GIVEN, ("leg", "92@5deg")], "/leg/3"),
        ([*GIVEN, ("leg", "92kt@5deg@6deg")], "/leg/3"),
        ([*GIVEN, ("leg", "92kt@365deg")], "/leg/3"),
        ([*GIVEN, ("leg", "92kg@36deg")], "/leg/3"),
        ([("leg", "92kt@127.5deg"), *GIVEN[1:]], "/leg/1"),
        ([("leg", "100kt@0deg"), ("leg", "70.710678118654755kt@45deg"), ("leg", "100kt@90deg"), *GIVEN[3:]], "/leg"),
    ],
)
def test_a_query_is_refused_by_name(client, query, pointer):
    assert pointers(refused(client.get("/v1/position-error", query_string=query), 422)) == [pointer]


def test_a_refusal_that_only_a_spread_makes_says_so(client):
    over_ground = flown(
        80.0, 60.0, 60.0, [0.0, 120.0, 240.0]
    )  # 5 kt more on two legs leaves no airspeed above the wind
    headed = [(speed, heading) for (speed, _), heading in zip(over_ground, (0.0, 120.0, 240.0), strict=True)]
    certain = send(client, "position-error", HELD | {"legs": legs_of(headed, "heading")})
    assert certain["true"]["value"] == pytest.approx(80.0)
    legs = legs_of(headed, "heading", spread=5.0)
    document = refused(client.post("/v1/position-error", json=HELD | {"legs": legs}), 422)
    assert pointers(document) == ["/legs"]
    assert "within a plus_minus" in document["detail"]


def test_every_pointer_of_an_answer_is_a_field_of_the_request(client, example):
    body = example("position-error") | {"indicated": "50 kt"}
    answer = send(client, "position-error", body)
    places = {item["where"] for part in ("assumed", "cautions") for item in answer[part]} - {""}
    assert places == {"/legs", "/indicated", "/dew_point"}
    query = queried(client, HELD | {"leg": ["92kt@5deg", "74kt@128deg", "84kt@244deg"], "course": "track"})
    assert {item["where"] for item in query["assumed"]} == {"/leg", "/indicated", "/dew_point"}
