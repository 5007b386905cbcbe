"""Spreads that are sent: refused where they reach the impossible, kept where they only touch it, never dropped."""

import copy
import re

import pytest

from .asking import OPERATIONS, pointers, refused, send

FOG = {"pressure_altitude": "1000 ft", "oat": {"value": 10, "unit": "C", "plus_minus": 1}, "dew_point": "10 C"}


@pytest.mark.parametrize(
    ("path", "quantity"),
    [
        (("wing", "span"), {"value": 8.9, "unit": "m", "plus_minus": 8.9}),
        (("wing", "chord"), {"value": 1.32, "unit": "m", "plus_minus": 1.4}),
        (("stalls", 0, "weight"), {"value": 600, "unit": "kg", "plus_minus": 600}),
        (("engine", "power"), {"value": 95, "unit": "hp", "plus_minus": 96}),
    ],
)
def test_a_spread_down_to_nothing_is_refused(client, given_request, path, quantity):
    body = given_request("performance")
    node = body["aircraft"]
    for step in path[:-1]:
        node = node[step]
    node[path[-1]] = quantity
    document = refused(client.post("/v1/performance", json=body), 422)
    assert pointers(document) == ["/aircraft/" + "/".join(map(str, path))]
    assert "plus_minus" in document["detail"]


def test_fog_may_be_uncertain(client):
    answer = send(client, "density-altitude", FOG)
    assert answer["density_altitude"]["plus_minus"] > 0


def test_fog_may_be_uncertain_for_an_aeroplane(client, given_request):
    body = given_request("performance")
    body["conditions"] = [{"name": "fog", **FOG}]
    assert send(client, "performance", body)["results"][0]["measures"]["best_climb_rate"]["plus_minus"] > 0


def test_a_dew_point_stated_above_the_temperature_is_refused(client):
    document = refused(client.post("/v1/density-altitude", json=FOG | {"dew_point": "10.1 C"}), 422)
    assert pointers(document) == ["/dew_point"]


def test_a_report_with_its_dew_point_above_is_blamed_itself(client):
    response = client.get("/v1/density-altitude?elevation=0ft&metar=XXXX 241200Z 29/31 Q1017")
    assert pointers(refused(response, 422)) == ["/metar"]


@pytest.mark.parametrize("groups", ["31/09 Q9999", "31/09 A0001", "99/09 Q1017", "M99/M99 Q1017"])
def test_a_report_of_no_air_is_blamed_itself(client, groups):
    response = client.get("/v1/density-altitude", query_string={"elevation": "0 ft", "metar": f"XXXX 241200Z {groups}"})
    assert pointers(refused(response, 422)) == ["/metar"]


@pytest.mark.parametrize("field", ["capacity", "unusable"])
def test_a_tank_takes_no_spread_of_its_limits(client, given_request, field):
    body = given_request("performance")
    (tank,) = [i for i, station in enumerate(body["aircraft"]["stations"]) if "density" in station]
    body["aircraft"]["stations"][tank][field] = {"value": 40, "unit": "L", "plus_minus": 1}
    document = refused(client.post("/v1/performance", json=body), 422)
    assert pointers(document) == [f"/aircraft/stations/{tank}/{field}"]


@pytest.mark.parametrize(
    ("operation", "body", "pointer"),
    [
        ("atmosphere", {"altitude": [0, 1], "temperature_offset": [1, 2, 3]}, "/temperature_offset"),
        ("density-altitude", {"pressure_altitude": [0, 1], "oat": [1, 2, 3]}, "/oat"),
        ("density-altitude", {"pressure_altitude": [0], "oat": [1, 2, 3]}, "/oat"),
        ("airspeed", {"pressure_altitude": [0, 1], "temperature_offset": "0 K", "true": [1, 2, 3]}, "/true"),
        ("stall-speed", {"weight": [4, 5], "reference_speed": "40 kt", "reference_weight": [1]}, "/reference_weight"),
    ],
)  # fmt: skip
def test_lists_of_unequal_length_are_refused(client, operation, body, pointer):
    units = {"altitude": "ft", "pressure_altitude": "ft", "oat": "C", "temperature_offset": "K", "true": "kt"}
    sent = {
        name: {"value": value, "unit": units.get(name, "kg")} if isinstance(value, list) else value
        for name, value in body.items()
    }
    document = refused(client.post(f"/v1/{operation}", json=sent), 422)
    assert pointers(document) == [pointer]
    assert "equally long" in document["detail"]


def test_thrust_above_weight_is_cautioned(client):
    query = {"power": "2000 hp", "weight": "300 kg", "density_altitude": "0 ft"}
    answer = client.get("/v1/climb-estimate", query_string=query).json
    assert "thrust-exceeds-weight" in {caution["code"] for caution in answer["cautions"]}


def test_every_pointer_of_an_estimate_is_a_field_of_it(client):
    query = {"power": "20 hp", "weight": "600 kg", "density_altitude": "12000 ft", "wing_area": "13 m2"}
    answer = client.get("/v1/climb-estimate", query_string=query).json
    places = {item["where"] for part in ("assumed", "cautions") for item in answer[part]}
    assert "/stall_speed" in places
    for place in places - {""}:
        named = client.get("/v1/climb-estimate", query_string=query | {place[1:]: "?"}).json
        assert "there is no such field" not in str(named["errors"]), place


def quantities(node, at=()):
    """The places of all quantities that a request sends as text."""
    pairs = node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ()
    for name, inner in pairs:
        if isinstance(inner, str) and re.fullmatch(r"-?[0-9.]+ [^ ]+( gal)?", inner):
            yield (*at, name)
        else:
            yield from quantities(inner, (*at, name))


@pytest.mark.parametrize("times", [0.3, 1.0, 2.0, 1e300])
@pytest.mark.parametrize("operation", OPERATIONS)
def test_any_spread_is_answered_or_refused_by_name(client, example, operation, times):
    whole = example(operation)
    for place in quantities(whole):
        body = copy.deepcopy(whole)
        node = body
        for step in place[:-1]:
            node = node[step]
        number, unit = node[place[-1]].split(" ", 1)
        node[place[-1]] = {"value": float(number), "unit": unit, "plus_minus": abs(float(number)) * times}
        response = client.post(f"/v1/{operation}", json=body)
        if response.status_code != 200:
            (pointer,) = pointers(refused(response, 422))
            assert pointer.startswith("/"), place
