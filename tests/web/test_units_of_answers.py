"""units= chooses the units of an answer; whatever is chosen, the physics is the same."""

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from climbwright.units import DISPLAY, KINDS

from .asking import OPERATIONS, ask, refused, send

registry = pint.UnitRegistry()
registry.define("conventional_inHg = 3386.389 pascal")  # NIST SP 811; pint derives its own from mercury
# pint's names of the spellings whose own it does not know or reads otherwise
PINT = {
    "C": "degC", "F": "degF", "R": "degR", "US gal": "gallon", "imp gal": "imperial_gallon", "NM": "nautical_mile",
    "kt": "knot", "mph": "mile/hour", "ft/min": "foot/minute", "hp": "horsepower", "PS": "metric_horsepower",
    "L": "liter", "inHg": "conventional_inHg", "psi": "psi", "lbf/ft2": "lbf/ft**2", "kg/m3": "kg/m**3",
    "lb/ft3": "lb/ft**3",
    "slug/ft3": "slug/ft**3", "kg/L": "kg/L", "lb/US gal": "lb/gallon", "lb/imp gal": "lb/imperial_gallon",
    "mi": "mile", "in": "inch", "hp/kg": "horsepower/kg", "hp/lb": "horsepower/lb", "PS/kg": "metric_horsepower/kg",
    "kg m": "kg*m", "kg cm": "kg*cm", "kg mm": "kg*mm", "lb in": "lb*inch", "lb ft": "lb*foot", "deg": "degree",
    "1": "dimensionless", "Pa s": "Pa*s", "m2": "m**2", "ft2": "ft**2", "%": "percent",
    "m3": "m**3", "m3/s": "m**3/s", "US gal/h": "gallon/hour",
}  # fmt: skip


def quantities(node, at=""):
    """Every quantity of an answer by pointer, what is said in assumed included."""
    if isinstance(node, dict):
        if "unit" in node and "value" in node:
            yield at, node
            return
        for name, inner in node.items():
            yield from quantities(inner, f"{at}/{name}")
    elif isinstance(node, list):
        for i, inner in enumerate(node):
            yield from quantities(inner, f"{at}/{i}")


def si(quantity, key="value"):
    unit = PINT.get(quantity["unit"], quantity["unit"])
    if key == "plus_minus" and unit.startswith("deg") and unit != "degree":
        unit = {"degC": "delta_degC", "degF": "delta_degF", "degR": "delta_degF"}[unit]
    return registry.Quantity(quantity[key], unit).to_base_units().magnitude


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("system", [name for name in DISPLAY if name != "si"])
def test_every_system_says_the_same(client, example, operation, system):
    body = example(operation)
    plain, other = (
        dict(quantities(send(client, operation, body, units=units) | {"provenance": None})) for units in ("si", system)
    )
    assert plain.keys() == other.keys()
    for pointer, quantity in plain.items():
        if quantity["value"] is None or (len(quantity["unit"]) == 3 and quantity["unit"].isupper()):
            assert other[pointer]["value"] == quantity["value"]
            continue
        difference = quantity["unit"] == "K" and abs(quantity["value"]) < 100.0  # no air is as cold
        if difference:
            continue  # a difference, tested by itself below
        for key in ("value", "plus_minus"):
            if key in quantity:
                assert si(other[pointer], key) == pytest.approx(si(quantity, key), rel=1e-9, abs=1e-12), pointer


def test_a_temperature_difference_has_no_zero(client):
    query = {"pressure_altitude": "5000 ft", "temperature_offset": "18 F"}
    found = {
        units: ask(client, "density-altitude", query, units=units)["isa_deviation"]
        for units in ("si", "us", "aviation")
    }
    assert found["us"]["value"] == pytest.approx(18.0)
    assert found["us"]["unit"] == "F"
    assert found["si"]["value"] == pytest.approx(10.0)
    assert found["aviation"]["value"] == pytest.approx(10.0)


def test_the_default_is_aviation(client):
    query = {"elevation": "5400 ft", "qnh": "1017 hPa", "oat": "31 C"}
    answer = ask(client, "density-altitude", query)
    aviation = ask(client, "density-altitude", query, units="aviation")
    assert answer == aviation
    assert answer["density_altitude"]["unit"] == "ft"
    assert answer["station_pressure"]["unit"] == "hPa"
    assert answer["temperature"]["unit"] == "C"


def test_single_kinds(client, example):
    units = "us,speed:mph,vertical_speed:kt,mass:kg"
    measures = send(client, "performance", example("performance"), units=units)["results"][0]["measures"]
    assert measures["weight"]["unit"] == "kg"
    assert measures["stall_speed_true"]["unit"] == "mph"
    assert measures["best_climb_rate"]["unit"] == "kt"
    assert measures["cg_arm"]["unit"] == "ft"
    only = send(client, "performance", example("performance"), units="speed:km/h")["results"][0]["measures"]
    assert only["stall_speed_true"]["unit"] == "km/h"
    assert only["weight"]["unit"] == "kg"


def test_cautions_speak_the_same_units(client, example):
    body = example("comparison")
    body["baseline"]["limits"]["maximum_weight"] = "400 kg"
    answer = send(client, "comparison", body, units="us,mass:lb")
    (text,) = [c["text"] for c in answer["cautions"] if c["code"] == "over-maximum-weight" and "solo" in c["text"]]
    assert "881.8 lb" in text  # 400 kg
    assert "kg" not in text


@pytest.mark.parametrize(
    "units",
    [
        "imperial", "", "us,", "us,,", "speed", "us,speed", "us,speed:", "us,speed:kg", "us,speed:mph,speed:kt",
        "metric,us", "speed:mph,us", "us,velocity:mph", "us,money:EUR", "us speed:mph", "us,mass:oz", "us,volume:gal",
    ],
)  # fmt: skip
def test_units_refused(client, units):
    response = client.get("/v1/atmosphere", query_string={"altitude": "0 m", "units": units})
    (error,) = refused(response, 422)["errors"]
    assert error["pointer"] == "/units"


def test_refused_units_list_what_there_is(client):
    detail = refused(client.get("/v1/atmosphere?altitude=0m&units=imperial"), 422)["errors"][0]["detail"]
    assert all(system in detail for system in DISPLAY)
    detail = refused(client.get("/v1/atmosphere?altitude=0m&units=us,speed:kg"), 422)["errors"][0]["detail"]
    assert "mph" in detail
    detail = refused(client.get("/v1/atmosphere?altitude=0m&units=us,vertical speed x:kt"), 422)["errors"][0]["detail"]
    assert "vertical_speed" in detail


# Every unit there and back: sent in a unit and read in the same one, through SI and out again
THERE_AND_BACK = {
    "altitude": ("atmosphere", "altitude", {}, "altitude", 2000.0, 12_000.0),
    "mass": ("balance", "load", {}, "weight", 1.0, 9000.0),
    "length": ("balance", "load", {}, "cg_arm", 0.01, 90.0),
    "speed": ("airspeed", "true", {"density_altitude": "0 ft"}, "true", 10.0, 200.0),
    "pressure": ("density-altitude", "station_pressure", {"oat": "10 C"}, "station_pressure", 30_000.0, 110_000.0),
    "temperature": ("density-altitude", "oat", {"pressure_altitude": "0 ft"}, "temperature", 200.0, 320.0),
    "temperature difference": (
        "density-altitude", "temperature_offset", {"pressure_altitude": "0 ft"}, "isa_deviation", -50.0, 50.0,
    ),
    "power": (
        "climb-estimate", "power", {"weight": "500 kg", "power_margin": "1", "density_altitude": "0 ft"},
        "power_available", 10e3, 200e3,
    ),
}  # fmt: skip


@pytest.mark.parametrize("kind", THERE_AND_BACK)
@settings(max_examples=15, deadline=None)
@given(share=st.floats(0.0, 1.0))
def test_every_unit_there_and_back(app, kind, share):
    client = app.test_client()
    operation, field, more, read, low, high = THERE_AND_BACK[kind]
    for unit in KINDS[kind].units.values():
        number = (low + share * (high - low) - unit.zero) / unit.factor
        text = f"{number!r} {unit.name}"
        sent = {"mass": f"{text}@1m", "length": f"1kg@{text}"}.get(kind, text)
        answer = send(client, operation, more | {field: [sent] if field == "load" else sent},
                      units=f"si,{kind.replace(' ', '_')}:{unit.name}")  # fmt: skip
        assert answer[read]["unit"] == unit.name
        assert answer[read]["value"] == pytest.approx(number, rel=1e-9, abs=1e-9 / unit.factor)
