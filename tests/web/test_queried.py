"""A GET of performance: an aircraft packed or told field by field is the same question as a POST."""

import base64
import copy
import itertools
import json
import random
import zlib

import pytest

from climbwright.web.paths import place_of, placed

from .asking import pointers, refused, send

SCENE = {
    "loading.stations.seats": "158 kg",
    "loading.stations.fuel": "60 L",
    "condition.elevation": "6150 ft",
    "condition.qnh": "1016 hPa",
    "condition.oat": "33 C",
    "strip.length": "1500 m",
    "strip.slope": "1 %",
    "strip.surface": "gravel",
    "strip.one_way": "true",
    "cruise.power_fraction": "65 %",
}


def packed(aircraft):
    """As its documentation says: base64url of zlib-compressed JSON."""
    body = json.dumps(aircraft, separators=(",", ":")).encode()
    return base64.urlsafe_b64encode(zlib.compress(body, 9)).decode().rstrip("=")


def posted(aircraft):
    """The same scene as the body of a POST, written by hand."""
    return {
        "aircraft": aircraft,
        "loadings": [{"name": "loading", "stations": {"seats": "158 kg", "fuel": "60 L"}}],
        "conditions": [{"name": "condition", "elevation": "6150 ft", "qnh": "1016 hPa", "oat": "33 C"}],
        "strip": {"length": "1500 m", "slope": "1 %", "surface": "gravel", "one_way": True},
        "cruise": {"power_fraction": "65 %"},
    }


@pytest.fixture
def aircraft(example):
    return example("performance")["aircraft"]


@pytest.fixture
def asked(client):
    def ask(query, **more):
        return client.get("/v1/performance", query_string={**query, **more})

    return ask


def test_a_packed_aircraft_is_answered_as_one_that_is_posted(client, asked, aircraft):
    assert asked({"aircraft": packed(aircraft), **SCENE}).json == send(client, "performance", posted(aircraft))


def test_padding_may_stay(asked, aircraft):
    for blanks in range(4):  # JSON with blanks at its end, so that every length of padding comes
        body = json.dumps(aircraft).encode() + b" " * blanks
        whole = base64.urlsafe_b64encode(zlib.compress(body)).decode()
        assert asked({"aircraft": whole, **SCENE}).json == asked({"aircraft": whole.rstrip("="), **SCENE}).json


def test_a_field_told_by_itself_stands_in_place_of_what_is_packed(client, asked, aircraft):
    query = {
        "aircraft": packed(aircraft),
        **SCENE,
        "aircraft.engine.power": "110 hp",
        "aircraft.stations.fuel.arm": "1.7 m",
    }
    aircraft["engine"]["power"] = "110 hp"
    aircraft["stations"][1]["arm"] = "1.7 m"
    assert asked(query).json == send(client, "performance", posted(aircraft))


def told(node, at):
    """An aircraft as fields, by hand: names of members in place of their numbers."""
    if isinstance(node, dict):
        for key, inner in node.items():
            yield from told(inner, f"{at}.{key}")
    elif isinstance(node, list):
        for member in node:
            key = "configuration" if "configuration" in member else "name"
            yield from told({k: v for k, v in member.items() if k != key}, f"{at}.{member[key]}")
    else:
        yield at, node


def test_an_aircraft_may_be_told_field_by_field(client, asked, aircraft):
    del aircraft["envelope"]  # whose corners have no names
    aircraft["limits"] |= {"forward": "1.84 m", "aft": "2.03 m"}
    fields = dict(told(aircraft, "aircraft"))
    assert len(fields) > 25
    assert asked({**fields, **SCENE}).json == send(client, "performance", posted(aircraft))


def test_members_come_in_the_order_in_which_they_are_named(client, asked, aircraft):
    """The first stall is that of the take-off; else the order of the fields says nothing."""
    del aircraft["envelope"]
    fields = list((dict(told(aircraft, "aircraft")) | SCENE).items())
    stalls = [one["configuration"] for one in aircraft["stalls"]]
    answers = {}
    for seed in range(12):
        random.Random(seed).shuffle(fields)
        named = [name for name, _ in fields]
        first = min(
            stalls, key=lambda one: min(named.index(n) for n in named if n.startswith(f"aircraft.stalls.{one}."))
        )
        response = asked(dict(fields))
        answers.setdefault(first, []).append((response.json["results"], response.headers["ETag"]))
    assert answers.keys() == set(stalls)
    for first, found in answers.items():
        posted_stalls = sorted(aircraft["stalls"], key=lambda one: one["configuration"] != first)
        by_post = send(client, "performance", posted({**aircraft, "stalls": posted_stalls}))["results"]
        for results, _ in found:
            assert results[0]["measures"]["takeoff_distance"] == by_post[0]["measures"]["takeoff_distance"]
    one, other = ({tag for _, tag in found} for found in answers.values())
    assert not one & other  # or a cache would answer one with the other


def test_a_few_fields_are_enough_for_a_runway(client, asked):
    few = {
        "aircraft.wing.area": "13.4 m2", "aircraft.wing.span": "9.9 m", "aircraft.empty.weight": "480 kg",
        "aircraft.empty.arm": "0.33 m", "aircraft.engine.power": "80 hp", "aircraft.propeller.kind": "fixed-pitch",
        "aircraft.drag.airframe_class": "strut-braced-fabric", "aircraft.stalls.clean.speed": "39 kt",
        "aircraft.stalls.clean.weight": "480 kg", "condition.density_altitude": "7000 ft",
        "strip.surface": "short-dry-grass", "aircraft.propeller.pitch_class": "middle",
    }  # fmt: skip
    by_post = send(client, "performance", {
        "aircraft": {
            "name": "aircraft", "wing": {"area": "13.4 m2", "span": "9.9 m"},
            "empty": {"weight": "480 kg", "arm": "0.33 m"}, "engine": {"power": "80 hp"},
            "propeller": {"kind": "fixed-pitch", "pitch_class": "middle"},
            "drag": {"airframe_class": "strut-braced-fabric"},
            "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}],
        },
        "loadings": [{"name": "loading", "stations": {}}],
        "conditions": [{"name": "condition", "density_altitude": "7000 ft"}],
        "strip": {"surface": "short-dry-grass"},
    })  # fmt: skip
    assert asked(few).json["results"] == by_post["results"]
    distance = by_post["results"][0]["measures"]["takeoff_distance"]["value"]
    assert float(asked(few, pick="takeoff_distance").text) == pytest.approx(distance, rel=1e-5)


def test_measures_have_commas_between_them(asked, aircraft):
    answer = asked({"aircraft": packed(aircraft), **SCENE}, measures="weight,landing_distance").json
    assert answer["results"][0]["measures"].keys() == {"weight", "landing_distance"}


def test_a_picked_measure_need_not_be_named_twice(client, asked, aircraft):
    """Any measure, those of phases that the query does not speak of too; the same as where it is asked for by name."""
    query = {"aircraft": packed(aircraft), **SCENE}
    whole = asked(query, measures="all").json["results"][0]["measures"]
    for measure in ("best_glide_ratio", "landing_distance", "turn_radius", "weight"):
        picked = asked(query, pick=measure).text
        assert picked == asked(query, pick=measure, measures=measure).text
        assert float(picked) == pytest.approx(whole[measure]["value"], rel=5e-6)


def test_names_may_be_told(asked, aircraft):
    names = {"loading.name": "two-up", "condition.name": "noon", "aircraft.name": "Example D"}
    answer = asked({"aircraft": packed(aircraft), **SCENE, **names}).json["results"][0]
    assert (answer["loading"], answer["condition"]) == ("two-up", "noon")
    assert "Example D" in asked({"aircraft": packed(aircraft), **SCENE, **names}, format="text").text


BROKEN = [
    ({"aircraft.engine.power": "9000 hp"}, 422, "/aircraft.engine.power", "at most 2000 hp"),
    ({"aircraft.engine.power": "90"}, 422, "/aircraft.engine.power", "hp"),
    ({"aircraft.engine.powr": "90 hp"}, 422, "/aircraft.engine.powr", "aircraft.engine.power"),
    ({"aircraft.engine": "90 hp"}, 422, "/aircraft.engine", "aircraft.engine.FIELD"),
    ({"aircraft.stations.fuel": "60 L"}, 422, "/aircraft.stations.fuel", "aircraft.stations.NAME.FIELD"),
    ({"aircraft.stations.fuel.name": "petrol"}, 422, "/aircraft.stations.fuel.name", "go by their name"),
    ({"aircraft.stations.tail.arm": "4 m"}, 422, "/aircraft", "seats, fuel"),
    ({"aircraft.envelope.1.arm": "4 m"}, 422, "/aircraft.envelope.1.arm", "no names"),
    ({"loading.stations.tail": "4 kg"}, 422, "/loading.stations.tail", "seats, fuel"),
    ({"loading.stations.fuel": "500 L"}, 422, "/loading.stations.fuel", "capacity"),
    ({"condition.oat": "99 C"}, 422, "/condition.oat", "60 C"),
    ({"condition.density_altitude": "7000 ft"}, 422, "/condition.elevation", "density_altitude"),
    ({"strip.one_way": "yes"}, 422, "/strip.one_way", "true or false"),
    ({"strip.surface": "lawn"}, 422, "/strip.surface", "short-dry-grass"),
    ({"engine": "90 hp"}, 422, "/engine", "aircraft.FIELD"),
    ({"loadings": "[]"}, 422, "/loadings", "loading.FIELD"),
    ({"runway.length": "90 m"}, 422, "/runway.length", "strip.FIELD"),
    ({"measures": "weight,speed"}, 422, "/measures/1", "no such measure"),
    ({"measures": ""}, 422, "/measures/0", "no such measure"),
    ({"pick": "power"}, 422, "/pick", "no 'power'"),
    ({"aircraft": ""}, 400, "/aircraft", "base64url"),
    ({"aircraft": "{}"}, 400, "/aircraft", "base64url"),
    ({"aircraft": "aaaa"}, 400, "/aircraft", "zlib"),
    ({"aircraft": "a"}, 400, "/aircraft", "zlib"),
    ({"aircraft": "a" * 1501}, 413, "/aircraft", "1500"),
    ({"aircraft": packed([1])}, 422, "/aircraft", "object"),
    ({"aircraft": packed({"name": "x", "wing": 3})}, 422, "/aircraft.wing", "object"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b'{"a":1,"a":2}')).decode()}, 400, "/aircraft", "twice"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b"{")).decode()}, 400, "/aircraft", "not JSON"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b"\xff{}")).decode()}, 400, "/aircraft", "UTF-8"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b'{"name":NaN}')).decode()}, 400, "/aircraft", "NaN"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b" " * 70_000)).decode()}, 413, "/aircraft", "65536"),
    ({"aircraft": base64.urlsafe_b64encode(zlib.compress(b"{}") + b"more").decode()}, 400, "/aircraft", "copied whole"),
]  # fmt: skip


@pytest.mark.parametrize(("wrong", "status", "where", "says"), BROKEN, ids=[str(row[0])[:40] for row in BROKEN])
def test_a_refusal_names_the_parameter(asked, aircraft, wrong, status, where, says):
    query = {"aircraft": packed(aircraft), **SCENE, **wrong}
    document = refused(asked(query), status)
    assert where in pointers(document)
    assert any(says in error["detail"] for error in document["errors"])
    cell = asked(query, errors="text")
    assert cell.status_code == 200
    assert cell.mimetype == "text/plain"
    assert cell.text[:100] == document["detail"][:100]


def test_a_packed_aircraft_cut_anywhere_is_refused(asked, aircraft):
    whole = packed(aircraft)
    for end in [*range(1, len(whole), 37), *range(len(whole) - 5, len(whole))]:  # the last ones cut the checksum alone
        refused(asked({"aircraft": whole[:end], **SCENE}), 400)


def test_any_letter_changed_is_refused_or_says_the_same(asked, aircraft):
    """The checksum of the packing finds a slip; a letter may only change bits that stand for nothing."""
    whole, right = packed(aircraft), asked({"aircraft": packed(aircraft), **SCENE}).json["results"]
    for place in range(0, len(whole), 29):
        slipped = whole[:place] + ("A" if whole[place] != "A" else "B") + whole[place + 1 :]
        response = asked({"aircraft": slipped, **SCENE})
        if response.status_code == 200:
            assert response.json["results"] == right
        else:
            refused(response, 400, 413)


def test_a_bomb_is_not_unpacked(asked):
    bomb = base64.urlsafe_b64encode(zlib.compress(zlib.compress(b"\0" * 50_000_000, 9), 9)).decode()
    assert len(bomb) < 1500
    refused(asked({"aircraft": bomb}), 400)  # what is inside is no JSON, and unpacked once only
    long = base64.urlsafe_b64encode(zlib.compress(b"\0" * 1_000_000, 9)).decode()
    assert len(long) < 1500
    refused(asked({"aircraft": long}), 413)


@pytest.mark.parametrize("levels", [41, 300, 450, 900, 100_000])
@pytest.mark.parametrize("opening", ['{"a":', "["])
def test_a_deep_nest_is_refused(asked, levels, opening):
    deep = opening * levels + "1" + ("}" if opening == '{"a":' else "]") * levels
    nested = base64.urlsafe_b64encode(zlib.compress(f'{{"stations":{deep}}}'.encode(), 9)).decode()
    said = refused(asked({"aircraft": nested, **SCENE, "aircraft.stations.fuel.arm": "1 m"}), 400, 413)
    assert pointers(said) == ["/aircraft"]


def test_a_reason_is_never_read_as_a_formula(asked):
    minus = base64.urlsafe_b64encode(zlib.compress(b'{"name":-Infinity}')).decode()
    assert refused(asked({"aircraft": minus}), 400)["detail"].startswith("-Infinity is not a number")
    assert asked({"aircraft": minus}, errors="text").text.startswith("(-Infinity is not a number")


def test_a_picked_spread_is_that_of_the_whole_answer(asked, aircraft):
    query = {"aircraft": packed(aircraft), **SCENE, "measures": "range,takeoff_distance"}
    measures, linear = (asked(query, **more).json["results"][0]["measures"] for more in ({}, {"spread": "linear"}))
    for name in measures:
        spread = float(asked(query, pick=f"/results/0/measures/{name}/plus_minus").text)
        assert spread == pytest.approx(measures[name]["plus_minus"], rel=1e-5)
    assert measures != linear


def test_half_a_character_is_quoted_in_a_cell(asked, aircraft):
    aircraft["engine"]["power"] = "\ud800"
    query = {"aircraft": packed(aircraft), **SCENE}
    assert "does not begin with a number" in refused(asked(query), 422)["detail"]
    cell = asked(query, errors="text")
    assert cell.status_code == 200
    assert cell.text.startswith("/aircraft.engine.power: '\\ud800'")


def test_the_working_of_a_figure_that_does_not_exist_is_empty(asked, aircraft):
    answer = asked({"aircraft": packed(aircraft), **SCENE}, measures="crosswind", working="true").json
    assert answer["results"][0]["measures"]["crosswind"]["value"] is None
    assert answer["working"] == []


def test_a_tag_that_a_proxy_weakened_is_known(asked, client, aircraft):
    query = {"aircraft": packed(aircraft), **SCENE}
    tag = asked(query).headers["ETag"]
    response = client.get("/v1/performance", query_string=query, headers={"If-None-Match": f"W/{tag}"})
    assert (response.status_code, response.data) == (304, b"")


def test_the_etag_is_answered_before_anything_is_unpacked(asked, client, aircraft, monkeypatch):
    query = {"aircraft": packed(aircraft), **SCENE}
    tag = asked(query).headers["ETag"]

    def never(*_):
        raise AssertionError("nothing need be computed")

    monkeypatch.setattr("climbwright.web.endpoints.answer", never)
    response = client.get("/v1/performance", query_string=query, headers={"If-None-Match": tag})
    assert (response.status_code, response.data) == (304, b"")


def test_cautions_and_assumptions_can_be_picked_as_text(asked, client, aircraft):
    query = {"aircraft": packed(aircraft), **SCENE}
    whole = asked(query).json
    for name in ("cautions", "assumed"):
        assert asked(query, pick=name).text == "\n".join(entry["text"] for entry in whole[name])
    assert "licensed" in asked(query, pick="cautions").text
    air = client.get("/v1/density-altitude?elevation=6150ft&qnh=1016hPa&oat=33C&dew_point=6C&pick=cautions")
    assert air.text == "none"


def test_documented_parameters_are_those_that_are_taken(client, asked, aircraft):
    """Every documented name is known to the service: with a value of another kind it is the value that is refused."""
    document = client.get("/openapi.json").json["paths"]["/v1/performance"]["get"]["parameters"]
    names = [p["name"] for p in document if "." in p["name"]]
    assert len(names) > 90
    for batch in itertools.batched(names, 50) if hasattr(itertools, "batched") else [names[:50], names[50:]]:
        said = refused(asked(dict.fromkeys(batch, "\x07")), 422)
        assert not [
            error for error in said["errors"] if "no such field" in error["detail"] or "no field" in error["detail"]
        ]


def test_what_values_are_put_into_is_left_as_it_was(aircraft):
    document = {"aircraft": aircraft}
    before = copy.deepcopy(document)
    made = placed(
        document, [(place_of("aircraft.engine.power"), "110 hp"), (place_of("aircraft.stations.fuel.arm"), "1 m")]
    )
    assert document == before != made
