"""Bytes that do not parse, and those that only seem to: each refused, never a 500, never a guess."""

import json

import pytest

from .asking import refused
from .test_malformed import still_answers

GOOD = b'{"altitude": "6000 ft"}'

# id, body, statuses
BODIES = {
    "empty": (b"", (400, 411)),  # this client sends no length with an empty body
    "blank": (b"  \n ", 400),
    "cut short": (b'{"altitude": "6000 ft"', 400),
    "a trailing comma": (b'{"altitude": "6000 ft",}', 400),
    "single quotes": (b"{'altitude': '6000 ft'}", 400),
    "a comment": (b'{"altitude": "6000 ft"} // high', 400),
    "two documents": (GOOD + GOOD, 400),
    "a form": (b"altitude=6000+ft", 400),
    "NaN": (b'{"altitude": {"value": NaN, "unit": "ft"}}', 400),
    "Infinity": (b'{"altitude": {"value": Infinity, "unit": "ft"}}', 400),
    "-Infinity": (b'{"altitude": {"value": -Infinity, "unit": "ft"}}', 400),
    "NaN as a field": (b'{"altitude": NaN}', 400),
    "1e400": (b'{"altitude": {"value": 1e400, "unit": "ft"}}', 422),
    "-1e400": (b'{"altitude": {"value": -1e400, "unit": "ft"}}', 422),
    "a number of 5000 digits": (b'{"altitude": {"value": ' + b"9" * 5000 + b', "unit": "ft"}}', (400, 422)),
    "a leading zero": (b'{"altitude": {"value": 06000, "unit": "ft"}}', 400),
    "a plus sign": (b'{"altitude": {"value": +6000, "unit": "ft"}}', 400),
    "hexadecimal": (b'{"altitude": {"value": 0x1770, "unit": "ft"}}', 400),
    "a field twice": (b'{"altitude": "6000 ft", "altitude": "7000 ft"}', 400),
    "a field twice, escaped": (b'{"altitude": "6000 ft", "\\u0061ltitude": "7000 ft"}', 400),
    "a field of a quantity twice": (b'{"altitude": {"value": 1, "value": 2, "unit": "ft"}}', 400),
    "the same field twice with one value": (b'{"altitude": "6000 ft", "altitude": "6000 ft"}', 400),
    # Python before 3.13 cannot read this deep; a later one reads it and the schema refuses it
    "lists 5000 deep": (b'{"altitude": ' + b"[" * 5000 + b"]" * 5000 + b"}", (400, 422)),
    "objects 5000 deep": (b'{"altitude": ' + b'{"value":' * 5000 + b"1" + b"}" * 5000 + b"}", (400, 422)),
    "lists 5000 deep, unclosed": (b'{"altitude": ' + b"[" * 5000, 400),
    "lists 200000 deep": (b"[" * 200_000, 400),
    "50 deep behind a long string": (
        b'{"x": "' + b"a" * 100_000 + b'", "altitude": ' + b"[" * 50 + b"]" * 50 + b"}",
        (400, 422),
    ),
    "a string of a megabyte": (json.dumps({"altitude": "9" * 1_000_000}).encode(), 422),
    "a name of a megabyte": (json.dumps({"a" * 1_000_000: "6000 ft"}).encode(), 422),
    "a unit of a megabyte": (json.dumps({"altitude": {"value": 1, "unit": "f" * 1_000_000}}).encode(), 422),
    "backslashes of a megabyte": (b'{"altitude": "' + b"\\\\" * 500_000 + b'"}', 422),
    "quotes of a megabyte, unclosed": (b'{"altitude": "' + b'\\"' * 500_000, 400),
    "fifty thousand fields": (json.dumps({f"f{i}": 1 for i in range(50_000)}).encode(), 422),
    "a hundred thousand values": (json.dumps({"altitude": {"value": [True] * 100_000, "unit": "ft"}}).encode(), 422),
    "over a megabyte": (b" " * 1_048_577, 413),
    "a byte order mark": (b"\xef\xbb\xbf" + GOOD, 400),
    "UTF-16": ('{"altitude": "6000 ft"}'.encode("utf-16"), 400),
    "UTF-16 without a mark": ('{"altitude": "6000 ft"}'.encode("utf-16-le"), 400),
    "UTF-32": ('{"altitude": "6000 ft"}'.encode("utf-32"), 400),
    "Latin-1": ('{"altitude": "6000 ft", "é": 1}'.encode("latin-1"), 400),
    "a surrogate in UTF-8": (b'{"altitude": "6000 ft\xed\xa0\x80"}', 400),
    "an overlong slash": (b'{"altitude": "6000 ft\xc0\xaf"}', 400),
    "a lone surrogate": (b'{"altitude": "6000 ft\\ud800"}', 422),
    "a lone surrogate as a field": (b'{"\\ud800": "6000 ft"}', 422),
    "a raw control character": (b'{"altitude": "6000\x00ft"}', 400),
    "an escaped control character": (b'{"altitude": "6000\\u0000ft"}', 422),
    "null": (b"null", 422),
    "a list": (b"[" + GOOD + b"]", 422),
    "a text": (b'"6000 ft"', 422),
    "a number": (b"6000", 422),
    "a truth": (b"true", 422),
    "an empty object": (b"{}", 422),
    "compressed bytes": (b"\x1f\x8b\x08\x00\x00\x00\x00\x00", 400),
}


@pytest.mark.parametrize(("body", "statuses"), BODIES.values(), ids=BODIES)
def test_refused(client, body, statuses):
    response = client.post("/v1/atmosphere", data=body, content_type="application/json")
    document = refused(response, *([statuses] if isinstance(statuses, int) else statuses))
    assert document["errors"] or document["status"] == 411
    assert len(response.text) < 60_000
    still_answers(client)


def test_depth_is_measured_outside_of_strings(client):
    # brackets within a name are no nesting
    body = {"load": ["[[[[[" * 7 + ":318kg@0.33m"]}
    assert client.post("/v1/balance", json=body).status_code == 200


@pytest.mark.parametrize("levels", [41, 300, 700, 900])
@pytest.mark.parametrize("opening", ['{"a":', "["])
def test_a_deep_nest_in_a_fleet_is_refused(client, levels, opening):
    deep = opening * levels + "1" + ("}" if opening == '{"a":' else "]") * levels
    body = f'{{"shared": {{"aircraft": {{"stations": {deep}}}}}, "columns": {{"aircraft.stations.fuel.arm": ["1 m"]}}}}'
    assert "levels" in refused(client.post("/v1/fleet", data=body, content_type="application/json"), 400)["detail"]


QUERIES = {
    "a bare percent sign": ("altitude=6000%", 400),
    "a bad percent sign": ("altitude=6000%2gft", 400),
    "half a percent sign": ("altitude=6000%2", 400),
    "bytes that are not UTF-8": ("altitude=6000%ff", 400),
    "a surrogate": ("altitude=6000%ed%a0%80", 400),
    "an overlong slash": ("altitude=6000%c0%af", 400),
    "a parameter twice": ("altitude=6000+ft&altitude=6000+ft", 422),
    "an option twice": ("altitude=6000+ft&units=si&units=us", 422),
    "an unknown parameter": ("altitude=6000+ft&alttude=1", 422),
    "a parameter named nothing": ("altitude=6000+ft&=1", 422),
    "no value": ("altitude", 422),
    "an empty value": ("altitude=", 422),
    "a null byte": ("altitude=6000%00ft", 422),
    "a hundred and one parameters": ("&".join(f"p{i}=1" for i in range(101)), 422),
    "a JSON object": ("altitude=%7B%22value%22:6000%7D", 422),
    "brackets": ("altitude[]=6000+ft", 422),
    "a long value": ("altitude=" + "9" * 4000, 422),
    "a digit of another script": ("altitude=%D9%A1+ft", 422),
}


@pytest.mark.parametrize(("query", "status"), QUERIES.values(), ids=QUERIES)
def test_refused_query(client, query, status):
    document = refused(client.get(f"/v1/atmosphere?{query}"), status)
    assert document["errors"]
    still_answers(client)


def test_parameters_of_a_post(client):
    for query, status in (("altitude=6000+ft", 422), ("units=si&units=si", 422), ("format=%zz", 400), ("x=1", 422)):
        response = client.post(f"/v1/atmosphere?{query}", data=GOOD, content_type="application/json")
        assert refused(response, status)["errors"]
        still_answers(client)


def test_a_semicolon_is_no_separator(client):
    refused(client.get("/v1/atmosphere?altitude=6000+ft;units=si"), 422)
