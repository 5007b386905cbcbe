"""What every answer promises: quantities that can be sent back, spreads that carry through, reasons, assumptions."""

import math

import pytest

from .asking import OPERATIONS, SMALL, ask, refused, send
from .test_units_of_answers import quantities

AIR = {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31 C", "dew_point": "9 C"}


@pytest.mark.parametrize("operation", OPERATIONS)
def test_every_quantity_is_a_number_or_says_why_not(client, example, operation):
    answer = send(client, operation, example(operation))
    found = dict(quantities(answer))
    assert len(found) > 3
    for pointer, quantity in found.items():
        assert quantity.keys() <= {"value", "unit", "plus_minus", "percentiles", "share_without", "reason"}, pointer
        if quantity["value"] is None:
            assert len(quantity["reason"]) > 10, pointer
        else:
            assert "reason" not in quantity
            assert math.isfinite(quantity["value"])
            assert quantity.get("plus_minus", 0.0) >= 0.0


@pytest.mark.parametrize("operation", OPERATIONS)
def test_notes(client, example, operation):
    answer = send(client, operation, example(operation))
    for caution in answer["cautions"]:
        assert caution.keys() == {"code", "severity", "text", "where"}
        assert caution["severity"] in ("info", "caution", "warning")
        assert caution["where"] == "" or caution["where"].startswith("/")
    for item in answer["assumed"]:
        assert {"where", "text"} <= item.keys() <= {"where", "text", "value", "source"}
        assert item["where"] == "" or item["where"].startswith("/")
    if operation in ("stall-speed", "climb-estimate", "balance", "performance", "comparison"):
        first = answer["cautions"][0]
        assert "not a flight manual" in first["text"]


def test_an_answer_is_an_input(client):
    air = ask(client, "density-altitude", AIR)
    speed = send(client, "airspeed", {"calibrated": "70 kt", "density_altitude": air["density_altitude"]})
    back = send(client, "airspeed", {"true": speed["true"], "density_altitude": air["density_altitude"]})
    assert back["calibrated"]["value"] == pytest.approx(70.0, rel=1e-9)
    same = send(client, "density-altitude", {"station_pressure": air["station_pressure"], "oat": air["temperature"]})
    assert same["density_altitude_dry"]["value"] == pytest.approx(air["density_altitude_dry"]["value"], abs=1e-3)


def test_an_answer_with_plus_minus_is_an_input(client):
    estimate = ask(client, "climb-estimate", {"power": "100 hp", "weight": "500 kg", "density_altitude": "6000 ft"})
    power = estimate["power_available"]
    assert power["plus_minus"] > 0
    again = send(client, "climb-estimate", {"power": power, "weight": "500 kg", "density_altitude": "6000 ft"})
    assert again["installed_power_to_weight"]["plus_minus"] == pytest.approx(power["plus_minus"] / 500.0, rel=1e-6)


def test_assumed_values_are_inputs(client):
    query = {"power": "100 hp", "weight": "500 kg", "density_altitude": "6000 ft"}
    first = ask(client, "climb-estimate", query)
    known = {item["where"][1:]: item["value"] for item in first["assumed"] if "value" in item}
    fields = ("span", "parasite_area", "span_efficiency", "lapse_constant", "power_margin", "best_efficiency")
    again = send(client, "climb-estimate", query | {name: known[name] for name in fields})
    for name in ("power_available", "best_climb_rate"):
        assert again[name]["value"] == pytest.approx(first[name]["value"], rel=1e-9)
        assert again[name]["plus_minus"] == pytest.approx(first[name]["plus_minus"], rel=1e-6)
    assert not {item["where"][1:] for item in again["assumed"]} & set(fields)


@pytest.mark.parametrize(
    ("operation", "field", "unit", "spread", "read", "slope"),
    [
        # worked by hand: the answer's derivative with respect to the input
        ("stall-speed", "weight", "kg", 12.0, "stall_speed_calibrated", 0.5 * 40.0 / 500.0),  # V ~ W^1/2
        ("stall-speed", "reference_speed", "kt", 1.0, "stall_speed_calibrated", 1.0),
        ("stall-speed", "reference_weight", "kg", 12.0, "stall_speed_calibrated", 0.5 * 40.0 / 500.0),
    ],
)
def test_plus_minus_of_a_stall_speed(client, operation, field, unit, spread, read, slope):
    body = {
        "reference_speed": {"value": 40, "unit": "kt"},
        "reference_weight": {"value": 500, "unit": "kg"},
        "weight": {"value": 500, "unit": "kg"},
    }
    assert "plus_minus" not in send(client, operation, body)[read]
    body[field] = body[field] | {"plus_minus": spread}
    assert body[field]["unit"] == unit
    assert send(client, operation, body)[read]["plus_minus"] == pytest.approx(slope * spread, rel=2e-3)


def test_spreads_add_as_squares(client):
    body = {"load": ["300kg@0m"], "empty": {"weight": "200 kg", "arm": "0 m"}}
    for name, spread in (("items", 3.0), ("more", 4.0)):
        body.setdefault("items", []).append(
            {"name": name, "weight": {"value": 50, "unit": "kg", "plus_minus": spread}, "arm": "0 m"}
        )
    assert send(client, "balance", body)["weight"]["plus_minus"] == pytest.approx(5.0)


def test_spread_of_a_temperature_is_a_difference(client):
    body = {"pressure_altitude": "0 ft", "oat": {"value": 86, "unit": "F", "plus_minus": 9}}
    answer = send(client, "density-altitude", body)
    assert answer["temperature"]["value"] == pytest.approx(30.0)
    assert answer["temperature"]["plus_minus"] == pytest.approx(5.0)
    assert answer["isa_deviation"]["plus_minus"] == pytest.approx(5.0)
    assert send(client, "density-altitude", body, units="us")["temperature"]["plus_minus"] == pytest.approx(9.0)
    assert answer["density"]["plus_minus"] == pytest.approx(answer["density"]["value"] * 5.0 / 303.15, rel=2e-3)


def test_a_plus_minus_of_nothing_is_nothing(client):
    body = {"weight": {"value": 500, "unit": "kg", "plus_minus": 0}, "reference_speed": "40 kt"}
    answer = send(client, "stall-speed", body | {"reference_weight": "500 kg"})
    assert answer["stall_speed_calibrated"].get("plus_minus", 0.0) == 0.0


def test_lists_broadcast(client):
    oats = [0, 15, 30]
    body = {"pressure_altitude": "5000 ft", "oat": {"value": oats, "unit": "C"}}
    answer = send(client, "density-altitude", body)
    singles = [ask(client, "density-altitude", {"pressure_altitude": "5000 ft", "oat": f"{t} C"}) for t in oats]
    for field in ("density_altitude", "density", "isa_deviation"):
        assert answer[field]["value"] == pytest.approx([single[field]["value"] for single in singles], rel=1e-12)


def test_a_list_of_one_is_a_list(client):
    answer = send(client, "atmosphere", {"altitude": {"value": [5000], "unit": "ft"}})
    assert answer["density_altitude"]["value"] == pytest.approx([5000], abs=0.01)


def test_a_report_says_the_same_as_its_numbers(client):
    report = {"elevation": "5400 ft", "metar": "METAR XXXX 241200Z 24008KT 9999 FEW080 31/09 Q1017"}
    by_report, by_hand = ask(client, "density-altitude", report), ask(client, "density-altitude", AIR)
    for field in ("density_altitude", "pressure_altitude", "vapour_pressure"):
        assert by_report[field]["value"] == pytest.approx(by_hand[field]["value"], rel=1e-9)
    inches = report | {"metar": "METAR XXXX 241200Z 24008KT 10SM FEW080 31/09 A3003"}
    assert ask(client, "density-altitude", inches)["pressure_altitude"]["value"] == pytest.approx(
        ask(client, "density-altitude", AIR | {"qnh": "30.03 inHg"})["pressure_altitude"]["value"], rel=1e-9
    )


def test_what_was_left_out_is_listed(client):
    def places(operation, query):
        return {item["where"] for item in ask(client, operation, query)["assumed"]}

    stall = {"reference_speed": "40 kt", "reference_weight": "500 kg", "weight": "500 kg"}
    assert places("atmosphere", {"altitude": "0 m"}) == {"/temperature_offset"}
    assert places("density-altitude", {"pressure_altitude": "0 m", "oat": "15 C"}) == {"/dew_point"}
    assert places("density-altitude", {"density_altitude": "8600 ft"}) == {"/density_altitude"}
    assert places("density-altitude", AIR) == set()
    assert places("stall-speed", stall) == {"", "/load_factor", "/lift_gain"}
    assert "/airspeed_correction" in places("airspeed", AIR | {"indicated": "70 kt"})
    assert "/headwind" in places("climb-estimate", AIR | {"power": "100 hp", "weight": "500 kg"})


def test_correction_table(client):
    body = AIR | {
        "airspeed_correction": [
            {"indicated": "40 kt", "calibrated": "44 kt"},
            {"indicated": "80 kt", "calibrated": "80 kt"},
        ]
    }
    answer = send(client, "airspeed", body | {"indicated": "60 kt"})
    assert answer["calibrated"]["value"] == pytest.approx(62.0)  # halfway between 44 and 80
    assert send(client, "airspeed", body | {"calibrated": "62 kt"})["indicated"]["value"] == pytest.approx(60.0)
    beyond = send(client, "airspeed", body | {"calibrated": "90 kt"})["indicated"]
    assert beyond["value"] is None
    assert "table" in beyond["reason"]
    document = refused(client.post("/v1/airspeed", json=body | {"indicated": "90 kt"}), 422)
    assert document["errors"][0]["pointer"] == "/indicated"


@pytest.mark.parametrize("operation", SMALL)
def test_types_tell_schema_and_physics_apart(client, example, operation):
    misspelt = refused(client.post(f"/v1/{operation}", json=example(operation) | {"altitud": "1 ft"}), 422)
    assert misspelt["errors"][0]["pointer"] == "/altitud"
    physics = {"pressure_altitude": "0 ft", "oat": "10 C", "dew_point": "20 C"}
    impossible = refused(client.post("/v1/density-altitude", json=physics), 422)
    unreadable = refused(client.post(f"/v1/{operation}", data=b"{", content_type="application/json"), 400)
    assert len({misspelt["type"], impossible["type"], unreadable["type"]}) == 3
