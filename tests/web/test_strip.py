"""A strip through HTTP: published factors beside the physics, what is required, and what is left both ways."""

import math

import pytest

from .asking import COMPANIONS, near, pointers, refused, rows, send
from .plainly import AEROPLANE, FOOT, LOADING, Machine, aeroplane, codes, fly, measures, numbers, standard

RUNWAY = ["takeoff", "landing", "strip"]
# UK CAA Safety Sense Leaflet 7 (TOL-01 to TOL-04): seen in training pages; 1.33 and 1.25 from memory
FACTORS = {
    "paved-dry": (1.00, 1.00),
    "short-dry-grass": (1.20, 1.15),
    "long-grass": (1.20, 1.15),
    "long-wet-grass": (1.30, 1.35),
    "soft": (1.25, 1.25),
}
TAKEOFF_SAFETY, LANDING_SAFETY = 1.33, 1.43


def factor(surface, adverse_slope, tailwind_share):
    return surface * (1.0 + 0.10 * max(adverse_slope, 0.0) / 0.02) * (1.0 + 0.20 * max(tailwind_share, 0.0) / 0.10)


def calm(client, condition=None, **more):
    """Distances on a level, dry, paved runway without wind, to which the published factors belong."""
    condition = {"density_altitude": "0 m"} if condition is None else condition
    found = numbers(client, None, condition, measures=RUNWAY, strip={}, **more)
    return found["takeoff_distance"], found["landing_distance"]


@pytest.mark.parametrize("wind", [0.0, 5.0, -2.5])
@pytest.mark.parametrize("slope", [0.0, 0.015, -0.02])
@pytest.mark.parametrize("surface", FACTORS)
def test_published_factors_and_what_is_required(client, surface, slope, wind):
    air = standard(2000.0 * FOOT)
    takeoff, landing = calm(client, {"density_altitude": "2000 ft"})
    condition = {"density_altitude": "2000 ft", "headwind": f"{wind} m/s"}
    strip = {"surface": surface, "slope": slope, "length": "700 m"}
    found = numbers(client, None, condition, measures=RUNWAY, strip=strip)
    lift_off = 1.2 * Machine().stall / air.sigma**0.5
    touchdown = 1.15 * Machine().flapped().stall / air.sigma**0.5
    grass, landing_grass = FACTORS[surface]
    for way, sign in (("", 1.0), ("_reversed", -1.0)):
        published = takeoff * factor(grass, sign * slope, -sign * wind / lift_off)
        needed = TAKEOFF_SAFETY * max(found[f"takeoff_distance{way}"], published)
        assert found[f"takeoff_margin{way}"] == pytest.approx(700.0 - needed, abs=1e-4)
        if not way:
            assert found["takeoff_distance_published"] == pytest.approx(published, rel=1e-6)
            assert found["takeoff_distance_required"] == pytest.approx(needed, rel=1e-6)
        published = landing * factor(landing_grass, -sign * slope, -sign * wind / touchdown)
        needed = LANDING_SAFETY * max(found[f"landing_distance{way}"], published)
        assert found[f"landing_margin{way}"] == pytest.approx(700.0 - needed, abs=1e-4)
        if not way:
            assert found["landing_distance_published"] == pytest.approx(published, rel=1e-6)
            assert found["landing_distance_required"] == pytest.approx(needed, rel=1e-6)


def test_the_published_table_at_its_own_steps(client):
    # the companion of TOL-01 to TOL-03: an adverse slope of 2 % and a tailwind of a tenth, each alone
    table = {row["condition"]: row for row in rows(COMPANIONS / "takeoff_landing_factors.csv")}
    takeoff, landing = calm(client)
    lift_off, touchdown = 1.2 * Machine().stall, 1.15 * Machine().flapped().stall

    def published(which, condition=None, **strip):
        found = numbers(client, None, condition, measures=RUNWAY, strip=strip)
        return found[f"{which}_distance_published"]

    slope = next(row for name, row in table.items() if "slope" in name)
    assert published("takeoff", slope=0.02) / takeoff == pytest.approx(float(slope["takeoff_to_50ft_factor"]), rel=1e-9)
    assert published("landing", slope=-0.02) / landing == pytest.approx(
        float(slope["landing_from_50ft_factor"]), rel=1e-9
    )
    tail = next(row for name, row in table.items() if "tailwind" in name)
    for which, column, speed, base in (
        ("takeoff", "takeoff_to_50ft_factor", lift_off, takeoff),
        ("landing", "landing_from_50ft_factor", touchdown, landing),
    ):
        behind = {"density_altitude": "0 m", "headwind": f"{-0.1 * speed!r} m/s"}
        assert published(which, behind) / base == pytest.approx(float(tail[column]), rel=1e-9)


def test_a_measured_distance_with_its_safety_factor(client):
    # TOL-05, UK CAA Safety Sense Leaflet 7, worked example (memory): 390 m on a level, dry, hard runway need 519 m
    found = numbers(client, measures=["takeoff"])
    assert 390.0 * found["takeoff_distance_required"] / found["takeoff_distance"] == pytest.approx(519.0, abs=0.5)


def test_the_other_way_is_slope_and_wind_turned_round(client):
    condition = {"density_altitude": "1000 ft", "headwind": "7 kt"}
    turned = {"density_altitude": "1000 ft", "headwind": "-7 kt"}
    strip = {"surface": "short-dry-grass", "length": "500 m", "slope": 0.02}
    one = numbers(client, None, condition, measures=RUNWAY, strip=strip)
    other = numbers(client, None, turned, measures=RUNWAY, strip=strip | {"slope": -0.02})
    for which in ("takeoff", "landing"):
        for what in ("distance", "margin"):
            assert one[f"{which}_{what}_reversed"] == pytest.approx(other[f"{which}_{what}"], rel=1e-12)
            assert other[f"{which}_{what}_reversed"] == pytest.approx(one[f"{which}_{what}"], rel=1e-12)


def test_a_one_way_strip_is_landed_on_against_its_direction(client):
    condition = {"density_altitude": "1000 ft", "headwind": "-5 kt"}
    strip = {"surface": "hard-turf", "length": "500 m", "slope": -0.04}
    both = numbers(client, None, condition, measures=RUNWAY, strip=strip)
    found = measures(client, None, condition, measures=RUNWAY, strip=strip | {"one_way": True})
    assert found["takeoff_margin"]["value"] == both["takeoff_margin"]
    assert found["landing_distance"]["value"] == both["landing_distance_reversed"]
    assert found["landing_margin"]["value"] == both["landing_margin_reversed"]
    uphill = numbers(client, None, condition | {"headwind": "5 kt"}, measures=RUNWAY, strip=strip | {"slope": 0.04})
    assert found["landing_distance_published"]["value"] == pytest.approx(
        uphill["landing_distance_published"], rel=1e-12
    )
    for name in ("takeoff_distance", "takeoff_margin", "landing_distance", "landing_margin"):
        assert found[f"{name}_reversed"]["value"] is None
        assert "one way" in found[f"{name}_reversed"]["reason"]


def test_a_strip_without_a_length_has_no_margin(client):
    found = measures(client, measures=RUNWAY, strip={"surface": "gravel"})
    for name in ("takeoff_margin", "landing_margin", "takeoff_margin_reversed", "landing_margin_reversed"):
        assert found[name]["value"] is None
        assert "no length" in found[name]["reason"]
    assert found["takeoff_distance_reversed"]["value"] > 0.0


WAYS = {"": "the {} takes", "-reversed": "the {} the other way takes"}


@pytest.mark.parametrize("what", ["takeoff", "landing"])
def test_too_short_and_short_of_the_margin(client, what):
    strip = {"surface": "short-dry-grass", "slope": 0.02}
    found = numbers(client, measures=RUNWAY, strip=strip | {"length": "1000 m"})
    for way in WAYS:
        distance = found[f"{what}_distance{way.replace('-', '_')}"]
        required = 1000.0 - found[f"{what}_margin{way.replace('-', '_')}"]
        for length, too_short, tight in (
            (distance - 0.1, True, False),
            (distance + 0.1, False, True),
            (required - 0.1, False, True),
            (required + 0.1, False, False),
        ):
            answer = fly(client, measures=RUNWAY, strip=strip | {"length": f"{length!r} m"})
            assert (f"too-short-for-{what}{way}" in codes(answer)) == too_short
            assert (f"short-of-{what}-margin{way}" in codes(answer)) == tight
            texts = {caution["code"]: caution["text"] for caution in answer["cautions"]}
            if too_short:
                assert f"takes {distance:.0f} m and the strip has {length:.0f} m" in texts[f"too-short-for-{what}{way}"]
            if tight:
                words = texts[f"short-of-{what}-margin{way}"]
                assert f"needs {required:.0f} m and the strip has {length:.0f} m" in words
            if way:
                assert all("the other way" in text for code, text in texts.items() if code.endswith("reversed"))


def test_the_worst_of_several_conditions_is_named(client):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [
            {"name": f"{altitude} ft", "density_altitude": f"{altitude} ft"} for altitude in (0, 6000, 9000, 3000)
        ],
        "strip": {"length": "280 m"},
    }
    answer = send(client, "performance", body, units="si")
    longest = max(result["measures"]["takeoff_distance"]["value"] for result in answer["results"])
    (text,) = [c["text"] for c in answer["cautions"] if c["code"] == "too-short-for-takeoff"]
    assert text.startswith("one, 9000 ft (the worst of")
    assert f"{longest:.0f} m" in text


def test_an_option_that_outgrows_the_strip_says_so_first(client):
    add = {"kind": "add", "name": "ballast", "weight": "60 kg", "arm": "0.4 m"}
    needed = numbers(client, measures=RUNWAY)
    body = {
        "baseline": AEROPLANE,
        "options": [{"name": "heavier", "changes": [add]}, {"name": "as it is", "changes": []}],
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"}],
        "strip": {"length": f"{max(needed['takeoff_distance'], needed['landing_distance']) + 3.0!r} m"},
    }
    heavier, same = send(client, "comparison", body)["options"]
    assert "too-short-for-landing" in heavier["exceeded"]
    assert heavier["exceeded_before"] == []
    assert same["exceeded"] == []
    assert heavier["cautions"][0]["code"] in heavier["exceeded"]


QNH = {"qnh": "1018 hPa", "oat": "29 C"}
REPORT = {"metar": "METAR XXXX 241300Z 21006KT 9999 FEW090 29/08 Q1018"}


@pytest.mark.parametrize("air", [QNH, REPORT], ids=["qnh", "metar"])
def test_the_strips_elevation_stands_for_a_conditions(client, air):
    strip = {"elevation": "6150 ft", "length": "600 m"}
    filled = fly(client, None, air, strip=strip)
    stated = fly(client, None, air | {"elevation": "6150 ft"}, strip=strip)
    assert filled["results"] == stated["results"]
    assert "strip-elsewhere" not in codes(filled)
    found = numbers(client, None, air, strip=strip, measures=["power_available"])
    # pressure at the strip by its QNH
    pressure = 101325.0 * ((1018.0 / 1013.25) ** 0.190263 - 0.0065 * 6150.0 * FOOT / 288.15) ** 5.255880
    usual = 288.15 * (pressure / 101325.0) ** 0.190263
    if air is QNH:
        sigma = pressure / 101325.0 * 288.15 / usual
        expected = Machine().power * (sigma - 0.117) / 0.883 * (usual / 302.15) ** 0.5
        assert found["power_available"] == pytest.approx(expected, rel=1e-5)


def test_without_an_elevation_anywhere_it_is_asked_for(client):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here"} | QNH],
        "strip": {"length": "600 m"},
    }
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == ["/conditions/0/elevation"]
    body["strip"] = {"elevation": 6150}
    document = refused(client.post("/v1/performance", json=body), 422)
    assert "/strip/elevation" in pointers(document)


@pytest.mark.parametrize(("elevation", "elsewhere"), [("6150 ft", False), ("6155 ft", False), ("6170 ft", True)])
def test_a_condition_that_lies_elsewhere(client, elevation, elsewhere):
    # elevations of one place agree to 3 m
    strip = {"elevation": "6150 ft", "length": "600 m"}
    answer = fly(client, None, QNH | {"elevation": elevation}, units="us", strip=strip)
    assert ("strip-elsewhere" in codes(answer)) == elsewhere
    if elsewhere:
        (caution,) = [c for c in answer["cautions"] if c["code"] == "strip-elsewhere"]
        assert caution["where"] == "/conditions/0"
        assert "6170 ft" in caution["text"]
        assert "6150 ft" in caution["text"]


def test_air_without_an_elevation_lies_nowhere(client):
    strip = {"elevation": "6150 ft", "length": "600 m"}
    for condition in ({"density_altitude": "0 ft"}, {"pressure_altitude": "0 ft", "oat": "15 C"}):
        assert "strip-elsewhere" not in codes(fly(client, None, condition, strip=strip))


def test_strip_and_comparison(client):
    body = {
        "baseline": aeroplane(),
        "options": [{"name": "same", "changes": []}],
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here"} | QNH],
        "strip": {"elevation": "6150 ft", "length": "600 m", "slope": "2 %", "surface": "long-grass"},
    }
    answer = send(client, "comparison", body, units="si")
    alone = numbers(client, None, QNH, strip=body["strip"])
    for name, leaf in answer["options"][0]["results"][0]["measures"].items():
        if name != "stall_speeds" and leaf["before"]["value"] is not None:
            assert leaf["before"]["value"] == leaf["after"]["value"] == pytest.approx(alone[name], rel=1e-12)
            assert leaf["change"]["value"] == 0.0


def test_a_stronger_wind_than_the_strip_can_take(client):
    # what a headwind gives, the other way it takes: both in one answer
    found = numbers(
        client, None, {"density_altitude": "0 m", "headwind": "12 kt"}, measures=RUNWAY, strip={"length": "400 m"}
    )
    still = numbers(client, None, {"density_altitude": "0 m"}, measures=RUNWAY, strip={"length": "400 m"})
    for which in ("takeoff", "landing"):
        assert found[f"{which}_distance"] < still[f"{which}_distance"] < found[f"{which}_distance_reversed"]
        # a headwind is given no credit by the published factors, and so none in what is required on a paved strip
        assert found[f"{which}_distance_required"] == pytest.approx(still[f"{which}_distance_required"], rel=1e-12)


def test_a_published_wind(client):
    # TOL-14, FAA knowledge-test question (seen): runway 18, wind 220°/30 kt: headwind 23 kt, crosswind 19 kt (0.5)
    wind = {"wind_direction": "220 deg", "wind_speed": "30 kt"}
    found = numbers(client, None, {"density_altitude": "0 m"} | wind, units="aviation", strip={"heading": "180 deg"})
    assert near(found["headwind"], 23.0, 0.5)
    assert near(found["crosswind"], 19.0, 0.5)
    left = numbers(client, None, {"density_altitude": "0 m"} | wind, units="aviation", strip={"heading": "260 deg"})
    assert left["crosswind"] == pytest.approx(-found["crosswind"], rel=1e-12)
    assert left["headwind"] == pytest.approx(found["headwind"], rel=1e-12)


def test_a_wind_by_its_direction_is_a_headwind_on_the_strip_and_none_on_the_way(client):
    head = 30.0 * math.cos(math.radians(40.0))
    wind = {"wind_direction": "220 deg", "wind_speed": "30 kt"}
    flown = {"measures": ["all"], "climb": {"to_altitude": "3000 ft"}}
    strip = {"heading": "180 deg", "length": "450 m"}
    still = {"density_altitude": "0 m"}
    one = numbers(client, None, still | wind, strip=strip, **flown)
    along = numbers(client, None, still | {"headwind": f"{head!r} kt"}, strip=strip, **flown)
    calm = numbers(client, None, still, strip=strip, **flown)
    on_the_strip = {name for name in one if name.startswith(("takeoff_", "landing_", "headwind", "accelerate_"))}
    assert {name for name in one if along[name] != calm[name]} & on_the_strip
    for name in set(one) - {"crosswind"}:
        expected = along[name] if name in on_the_strip else calm[name]
        assert one[name] == (None if expected is None else pytest.approx(expected, rel=1e-9)), name
    assumed = fly(client, None, still | wind, strip=strip)["assumed"]
    (told,) = [item for item in assumed if item["where"] == "/conditions/0/wind_direction"]
    assert "on the strip only" in told["text"]
    behind = numbers(client, None, still | wind, strip=strip | {"heading": "0 deg"}, **flown)
    assert behind["headwind"] == pytest.approx(-one["headwind"], rel=1e-9)
    for which in ("takeoff", "landing"):
        assert behind[f"{which}_distance"] == pytest.approx(one[f"{which}_distance_reversed"], rel=1e-9)


def test_a_reports_wind_blows_along_a_strip_whose_heading_is_known(client):
    report = REPORT | {"elevation": "6150 ft"}
    strip = {"length": "700 m"}
    along = numbers(client, None, report, units="aviation", strip=strip | {"heading": "210 deg"})
    assert along["headwind"] == pytest.approx(6.0, rel=1e-5)  # 21006KT, a whole number
    assert along["crosswind"] == pytest.approx(0.0, abs=1e-9)
    unused = fly(client, None, report, strip=strip)
    assert any("wind" in item["text"] for item in unused["assumed"])
    calm_there = numbers(client, None, report | {"headwind": "0 kt"}, strip=strip)
    found = {name: leaf["value"] for name, leaf in unused["results"][0]["measures"].items() if name != "stall_speeds"}
    assert found == calm_there


@pytest.mark.parametrize(
    ("wind", "heading", "where"),
    [
        ({"wind_direction": "220 deg", "wind_speed": "30 kt"}, None, "/conditions/0/wind_direction"),
        ({"wind_direction": "220 deg"}, "180 deg", "/conditions/0/wind_speed"),
        ({"wind_speed": "30 kt"}, "180 deg", "/conditions/0/wind_direction"),
        ({"wind_direction": "220 deg", "wind_speed": "9 kt", "headwind": "3 kt"}, "180 deg", "/conditions/0/headwind"),
        ({"wind_direction": 220, "wind_speed": "9 kt"}, "180 deg", "/conditions/0/wind_direction"),
        ({"wind_direction": "400 deg", "wind_speed": "9 kt"}, "180 deg", "/conditions/0/wind_direction"),
        ({"wind_direction": "220 deg", "wind_speed": "-9 kt"}, "180 deg", "/conditions/0/wind_speed"),
        ({}, "18", "/strip/heading"),
    ],
)
def test_a_wind_that_is_not_understood(client, wind, heading, where):
    body = {
        "aircraft": AEROPLANE,
        "loadings": [{"name": "one", "stations": LOADING}],
        "conditions": [{"name": "here", "density_altitude": "0 m"} | wind],
        "strip": {"length": "500 m"} | ({} if heading is None else {"heading": heading}),
    }
    assert pointers(refused(client.post("/v1/performance", json=body), 422)) == [where]
