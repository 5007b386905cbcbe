"""Quantities go in wherever JSON takes one, and come out with what the service said of them."""

import json
import re

import numpy as np
import pytest

from climbwright_client import NotSent, Quantity

from .asking import OPERATIONS, as_json, example

TEXT = re.compile(r"(-?[0-9.]+) ?([A-Za-z%][^ ]*)")
WORDS = {"name", "metar", "text", "where", "time", "loading", "condition", "kind", "of", "group", "day"}


def with_quantities(node, name=""):
    """A request with a Quantity in place of each of its quantities, and how many there were."""
    if isinstance(node, dict):
        if "value" in node and name != "columns":
            return Quantity(node["value"], node.get("unit"), plus_minus=node.get("plus_minus"))
        return {name: with_quantities(inner, name) for name, inner in node.items()}
    if isinstance(node, list):
        return [with_quantities(inner, name) for inner in node]
    match = TEXT.fullmatch(node) if isinstance(node, str) and name not in WORDS else None
    return Quantity(float(match[1]), match[2]) if match else node


@pytest.mark.parametrize("operation", OPERATIONS)
def test_a_quantity_goes_in_wherever_json_takes_one(here, operation):
    request = with_quantities(example(operation))
    assert "Quantity(" in repr(request)
    answer, plainly = here.ask(operation, request), here.ask(operation, example(operation))
    for told in (answer, plainly):
        told.pop("provenance")
    if operation == "calibration":  # which holds the aeroplane again, as it was sent
        for told in (answer, plainly):
            told.pop("aircraft")
    assert answer == plainly


def test_the_spread_that_goes_in_comes_out(here):
    answer = here.balance(
        empty={"weight": Quantity(322, "kg", plus_minus=4), "arm": "0.45 m"},
        items=[{"name": "pilot", "weight": "84 kg", "arm": "0.52 m"}],
    )
    assert answer["weight"] == Quantity(pytest.approx(406), "kg", plus_minus=pytest.approx(4))


def test_a_list_goes_in_and_comes_out(here):
    answer = here.atmosphere(altitude=Quantity([0, 1000, 2000], "m"), units="si")
    assert answer["altitude"].value == pytest.approx([0, 1000, 2000])
    assert here.atmosphere(altitude=Quantity(np.array([0, 1000, 2000]), "m"), units="si") == answer
    assert here.atmosphere(altitude=Quantity(np.float32(1000), "m"), units="si")["altitude"] == Quantity(1000, "m")


def test_what_does_not_exist_says_why(here):
    answer = here.stall_speed(reference_speed="38 kt", reference_weight="520 kg", weight="575 kg")
    true = answer["stall_speed_true"]
    assert true.value is None
    assert "no air" in true.reason
    assert str(true) == f"none: {true.reason}"
    with pytest.raises(ValueError, match="no air"):
        float(true)


def test_percentiles_are_kept(here):
    answer = here.comparison(**example("comparison"), spread="sampled")
    rate = answer["options"][0]["results"][0]["measures"]["best_climb_rate"]["after"]
    assert rate.percentiles["5"] < float(rate) < rate.percentiles["95"]


def test_an_answer_goes_in_again(here):
    air = here.density_altitude(elevation="6150 ft", qnh="1016 hPa", oat="33 C")
    again = here.density_altitude(density_altitude=air["density_altitude"])
    assert float(again["density_altitude"]) == pytest.approx(float(air["density_altitude"]))
    sampled = here.climb_estimate(power="112 hp", weight="545 kg", density_altitude="8000 ft", spread="sampled")
    assert sampled["best_climb_rate"].percentiles
    assert here.climb_estimate(power=sampled["power_available"], weight="545 kg", density_altitude="8000 ft")


def test_a_calibrated_aircraft_goes_into_a_performance(here):
    learned = here.calibration(**example("calibration"))
    request = example("performance")
    loading = {"name": "empty", "stations": {}}
    answer = here.performance(aircraft=learned["aircraft"], loadings=[loading], conditions=request["conditions"][:1])
    assert answer["results"][0]["measures"]["weight"].unit == "kg"


def test_an_object_that_only_looks_like_a_quantity_stays_one():
    from climbwright_client.quantity import with_quantities as read

    for text in ('{"value": {"a": 1}, "unit": {"b": 2}}', '{"value": 1}', '{"value": 1, "unit": "kg", "more": 2}'):
        assert json.loads(text, object_hook=read) == json.loads(text)
    told = {"value": None, "unit": None, "reason": "why"}
    assert as_json(json.loads(json.dumps(told), object_hook=read)) == told


@pytest.mark.parametrize(
    ("value", "field", "word"),
    [
        (float("nan"), "/weight", "finite"),
        (Quantity(float("inf"), "kg"), "/weight/value", "finite"),
        (Quantity(None, "kg", reason="it cannot fly"), "/weight", "it cannot fly"),
        ({1, 2}, "/weight", "set"),
        (b"483 kg", "/weight", "bytes"),
        (object(), "/weight", "object"),
        ({"value": 1, 2: 3}, "/weight", "not a text"),
        ([{"a/b": {None}}], "/weight/0/a~1b", "set"),
    ],
)
def test_nonsense_is_not_sent_and_says_which_field(here, value, field, word):
    with pytest.raises(NotSent, match=word) as raised:
        here.climb_estimate(power="112 hp", weight=value, density_altitude="8000 ft")
    assert [error.field for error in raised.value.errors] == [field]
    assert field in str(raised.value)


def test_what_holds_itself_is_not_sent(here):
    endless = []
    endless.append(endless)
    with pytest.raises(NotSent, match="nested"):
        here.climb_estimate(power=endless, weight="1 kg")


@pytest.mark.parametrize(
    ("quantity", "text"),
    [
        (Quantity(483, "kg"), "483 kg"),
        (Quantity(483.25, "kg", plus_minus=5), "483.25 +/- 5 kg"),
        (Quantity(0.74, "1"), "0.74"),
        (Quantity([1, 2], "m"), "[1, 2] m"),
        (Quantity(None), "none"),
    ],
)
def test_a_quantity_prints_as_people_write_it(quantity, text):
    assert str(quantity) == text
