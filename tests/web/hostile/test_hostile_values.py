"""Documents that are too wide, too deep or too long, and numbers, names and units that are not what they seem."""

import json
import math
import random
import urllib.parse

import pytest

from ..asking import EXAMPLES
from ..mutations import WITH_UNIT, nodes, put
from .calling import post_fleet, problem

BODY = 1_048_576  # of an operation [bytes]


def example(operation):
    return json.loads((EXAMPLES / f"{operation}.json").read_text("utf-8"))


def finite(word):
    raise AssertionError(f"{word} in an answer")


def answered_or_refused(answer):
    """An answer of finite numbers, or a refusal; whether it was an answer."""
    status, _, body = answer
    if status != 200:
        problem(answer, 400, 422)
        return False
    json.loads(body, parse_constant=finite, parse_float=lambda text: math.isfinite(float(text)) or finite(text))
    return True


# Each fits into a body and is one value of a field
LARGE = {
    "fields": {f"f{i}": 1 for i in range(80_000)},
    "a list": [1] * 340_000,
    "a list of objects": [{}] * 250_000,
    "a list of lists": [[]] * 250_000,
    "a list of quantities": ["1 kg"] * 120_000,
    "a text": "a" * 1_000_000,
    "a number in a text": "9" * 1_000_000 + " kg",
    "a unit": "1 " + "k" * 1_000_000,
    "a unit of blanks": "1 k" + " " * 1_000_000 + "g",
    "an object's unit": {"value": 1, "unit": "g" + " " * 1_000_000 + "al"},
    "values": {"value": [1.5] * 200_000, "unit": "kg"},
    "an escaped text": "\x01" * 160_000,
}


@pytest.mark.parametrize("large", LARGE)
@pytest.mark.parametrize("operation", ["performance", "balance", "comparison"])
def test_one_large_value_in_any_place(service, operation, large):
    """A place of each kind, drawn; the refusal is short."""
    given, source = example(operation), random.Random(f"{operation} {large}")
    places = [path for path, _ in nodes(given)]
    for path in [("x",), *source.sample(places, 3)]:
        body = example(operation)
        put(body, path, LARGE[large])
        text = json.dumps(body, separators=(",", ":")).encode()
        assert len(text) < BODY + 20_000
        answer = service.post(f"/v1/{operation}", text)
        problem(answer, 413 if len(text) > BODY else 422)


@pytest.mark.parametrize("levels", [30, 60, 1_000])
@pytest.mark.parametrize("opening", ["[", '{"a":'])
def test_a_nest_in_every_place(service, levels, opening):
    nest = opening * levels + "1" + ("]" if opening == "[" else "}") * levels
    given = example("performance")
    for path, _ in nodes(given):
        body = example("performance")
        put(body, path, "the nest")
        text = json.dumps(body).replace('"the nest"', nest).encode()
        problem(service.post("/v1/performance", text), 400 if levels > 40 else 422)


NUMBERS = [
    *(
        "1e400",
        "-1e400",
        "1e-400",
        "-1e-400",
        "5e-324",
        "-5e-324",
        "1e308",
        "-1e308",
        "1e-308",
        "1e30",
        "-1e30",
        "1e-30",
    ),
    *("0", "-0", "0.0e0", "-0.0", "9" * 400, "0." + "0" * 400 + "1", "9007199254740993", "1" + "0" * 30, "1e99999"),
]
DIGITS = "1" + "0" * 10_000


@pytest.mark.parametrize("operation", ["atmosphere", "density-altitude", "airspeed", "climb-estimate", "balance"])
@pytest.mark.parametrize("form", ["text", "object", "query"])
def test_numbers_of_any_size(service, operation, form):
    """Every quantity of an example with every such number: an answer of finite numbers, or a refusal."""
    given = example(operation)
    answered = 0
    for path, value in nodes(given):
        if not isinstance(value, str) or not WITH_UNIT.fullmatch(value):
            continue
        unit = value.split(" ", 1)[1]
        for number in (*NUMBERS, DIGITS):
            body = example(operation)
            if form == "query":
                if len(path) > 1:
                    continue
                query = urllib.parse.urlencode(body | {path[0]: f"{number[:200]} {unit}"}, doseq=True)
                answer = service.get(f"/v1/{operation}?{query}") if operation != "balance" else (422, {}, b"")
                answered += operation == "balance" or answered_or_refused(answer)
                continue
            put(body, path, f"{number} {unit}" if form == "text" else "the object")
            text = json.dumps(body).replace('"the object"', f'{{"value": {number}, "unit": {json.dumps(unit)}}}')
            answered += answered_or_refused(service.post(f"/v1/{operation}", text.encode()))
    assert answered or operation == "balance"


def test_numbers_of_any_size_in_an_aeroplane(service):
    given, source = example("performance"), random.Random(4)
    for path, value in nodes(given):
        if not isinstance(value, str) or not WITH_UNIT.fullmatch(value):
            continue
        for number in source.sample(NUMBERS, 4):
            body = example("performance")
            body["measures"] = ["aeroplane"]
            put(body, path, f"{number} {value.split(' ', 1)[1]}")
            answered_or_refused(service.post("/v1/performance", body))


ODD = {
    "Arabic digits": "\u0661\u0662",
    "full-width digits": "\uff11\uff12",
    "a superscript": "1\u00b2",
    "a fraction": "\u00bd",
    "a Roman numeral": "\u2167",
    "a full-width minus": "\uff0d1",
    "a true minus": "\u22121",
    "a decimal comma": "1,5",
    "an Arabic decimal point": "1\u066b5",
    "a full-width point": "1\uff0e5",
    "an underscore": "1_000",
    "a zero-width blank within": "1\u200b2",
    "a zero-width blank before": "\u200b12",
    "a mark of direction before": "\u202e12",
    "a mark of direction within": "1\u20662",
    "half a character": "\ud8001",
    "a soft hyphen": "1\u00ad2",
    "a combining mark": "1\u0301",
    "a null byte": "1\x002",
    "hexadecimal": "0x10",
    "a word for it": "nan",
}


@pytest.mark.parametrize("odd", ODD)
def test_digits_that_are_none(service, odd):
    text = f"{ODD[odd]} ft"
    problem(service.post("/v1/atmosphere", {"altitude": text}), 422)
    query = urllib.parse.quote(text, errors="surrogatepass")
    problem(service.get(f"/v1/atmosphere?altitude={query}"), 400, 422)
    status, _, body = post_fleet(
        service, {"shared": example("fleet")["shared"], "columns": {"condition.elevation": [text]}}
    )
    assert status in (400, 422) or b'"ok"' not in body


@pytest.mark.parametrize(
    "unit", ["\uff46\uff54", "f\u200bt", "\u202eft", "ft\u0301", "f\x00t", "\ufb05", "ft\ud800", "ft;", "ft ft", "'ft'"]
)  # fmt: skip
def test_units_that_are_none(service, unit):
    problem(service.post("/v1/atmosphere", {"altitude": f"6000 {unit}"}), 422)
    problem(service.post("/v1/atmosphere", {"altitude": {"value": 6000, "unit": unit}}), 422)


@pytest.mark.parametrize("blank", ["\u00a0", "\u2009", "\u202f", "\u3000", "\t", "  ", ""])
def test_blanks_between_number_and_unit(service, blank):
    """A word processor's narrow blank is one, too."""
    status, _, body = service.post("/v1/atmosphere", {"altitude": f"6000{blank}ft"})
    assert status == 200
    assert round(json.loads(body)["altitude"]["value"], 6) == 6000.0


BAD_NAMES = [
    "a\u200bb",
    "\u202eab",
    "a\x00b",
    "a\ud800",
    "\u2066a\u2069",
    "a\nb",
    "a\u2028b",
    "\ufeffa",
    "a\x7f",
    "=a",
    "@a",
]
GOOD_NAMES = [
    "été",
    "山",
    "Ж",
    "a/b~c",
    "a.b",
    "tank [x]",
    "{}",
    "${x}",
    "<b>",
    "a'b\"c",
    "%s",
    "__class__",
    "constructor",
]


@pytest.mark.parametrize("name", BAD_NAMES)
def test_names_that_hide_something_are_refused(service, name):
    body = example("performance")
    body["conditions"][0]["name"] = name
    problem(service.post("/v1/performance", body), 422)


@pytest.mark.parametrize("name", GOOD_NAMES)
def test_names_of_any_script_come_back_as_they_went(service, name):
    body = example("performance")
    station = body["aircraft"]["stations"][0]["name"]
    body["aircraft"]["stations"][0]["name"] = name
    for loading in body["loadings"]:
        loading["stations"] = {name if one == station else one: value for one, value in loading["stations"].items()}
    body["loadings"][0]["name"] = name
    body["measures"] = ["weight"]
    for form in ("json", "csv", "text"):
        status, headers, answer = service.post(f"/v1/performance?format={form}", body)
        assert status == 200, answer[:300]
        shown = json.loads(answer)["results"][0]["loading"] if form == "json" else answer.decode()
        assert name.replace('"', '""') in shown if form == "csv" else name in shown
        assert "charset=utf-8" in headers["content-type"] or form == "json"


def test_a_station_whose_name_ends_in_brackets_is_a_column(client):
    from ..fleet.asking import fleet, shared

    common = shared() | {"condition": {"density_altitude": "5000 ft"}}
    common["aircraft"]["stations"].append({"name": "tank [x]", "arm": "2.1 m"})
    plain = {"loading.stations.seats [kg]": [80.0, 90.0]}
    weights = []
    for column in (
        {"loading.stations.tank [x]": {"value": [5.0, 7.0], "unit": "kg"}},
        {"loading.stations.tank [x] [kg]": [5.0, 7.0]},
        {"loading.stations.tank [x]": ["5 kg", "7 kg"]},
    ):
        answer = fleet(client, {"shared": common, "columns": plain | column, "measures": ["weight"]})
        assert answer["columns"]["status"] == ["ok", "ok"]
        weights.append(answer["columns"]["weight"]["value"])
    assert weights[0] == weights[1] == weights[2]
    without = fleet(client, {"shared": common, "columns": plain, "measures": ["weight"]})["columns"]["weight"]["value"]
    assert weights[0] == pytest.approx([without[0] + 5.0, without[1] + 7.0])
