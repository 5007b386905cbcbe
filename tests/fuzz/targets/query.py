"""Queries: parameters, the quantities in them, and a packed aeroplane, up to the request that they make."""

import base64
import json
import urllib.parse
import zlib
from types import SimpleNamespace

from marshmallow import ValidationError

from climbwright.refusal import Refusal
from climbwright.units import QuantityError, display_units
from climbwright.web.endpoints import OPTIONS, query_schema
from climbwright.web.operations import OPERATIONS
from climbwright.web.problems import Problem
from climbwright.web.queried import unpacked
from climbwright.web.reading import read_query
from climbwright.web.rendering.writing import json_bytes
from climbwright.web.schemas.requests import LoadsField

from ..documents import EXAMPLES, refused, spoilt, told
from ..target import Target

_SCHEMAS = {name: schema for name, one in OPERATIONS.items() if (schema := query_schema(one)) is not None}
_NAMES = tuple(_SCHEMAS)
_UNITS = display_units("aviation")


def check(case):
    """The first byte says which operation is asked."""
    if not case:
        return
    name, raw = _NAMES[case[0] % len(_NAMES)], case[1:]
    operation, schema = OPERATIONS[name], _SCHEMAS[name]
    loads = {field.data_key or key for key, field in schema.load_fields.items() if isinstance(field, LoadsField)}
    try:
        query = read_query(SimpleNamespace(query_string=raw), loads)
        _same_as_a_plain_reader(raw, query)
        given = {key: value for key, value in query.items() if key not in OPTIONS}
        if "units" in query:
            display_units(query["units"])
        if "aircraft" in given:
            unpacked(given["aircraft"])
        request = given if operation.queried is None else operation.queried(given)
        loaded = schema.load(request)
        if operation.queried is None:
            json.loads(json_bytes(operation.answer(loaded, _UNITS)), parse_constant=_no_number)
    except Problem as problem:
        refused(problem)
    except (ValidationError, Refusal, QuantityError) as error:
        told(str(error), 200_000)


def _no_number(word):
    raise AssertionError(f"{word} in an answer")


def _same_as_a_plain_reader(raw, query):
    """A parameter is what stands between & and =, its escapes undone."""
    pieces = [one for one in raw.split(b"&") if one]
    plain = {}
    for one in pieces:
        name, _, value = one.partition(b"=")
        key, text = (urllib.parse.unquote_to_bytes(part.replace(b"+", b" ")).decode() for part in (name, value))
        plain.setdefault(key, []).append(text)
    assert plain == {key: value if isinstance(value, list) else [value] for key, value in query.items()}


def _packed(document):
    return base64.urlsafe_b64encode(zlib.compress(json.dumps(document).encode())).rstrip(b"=").decode()


def mutate(case, source):
    """Spoil one value of one parameter; of a packed aeroplane one of its own."""
    pairs = urllib.parse.parse_qsl(case[1:].decode("latin-1"), keep_blank_values=True, encoding="latin-1")
    if not pairs:
        return case
    place = source.randrange(len(pairs))
    name, value = pairs[place]
    if name == "aircraft" and source.random() < 0.9:
        value = _spoilt_aircraft(value, source)
    else:
        value = source.choice((*_altered(value), *_drawn(source)))
    pairs[place] = source.choice((name, name, name, name, name + ".x", "condition." + name)), value
    if source.random() < 0.1:
        pairs.append(source.choice(pairs))
    if source.random() < 0.1:
        pairs.pop(source.randrange(len(pairs)))
    return case[:1] + urllib.parse.urlencode(pairs, encoding="latin-1", errors="replace").encode()


def _altered(value):
    return value + " ", value[:-1], value * 2, "-" + value, ""


def _drawn(source):
    """Quantities of the sizes that there are, and of those that there are not."""
    sizes = (("ft", 1e4), ("kg", 1e3), ("hp", 1e3), ("kt", 200.0), ("m", 10.0))
    yield from (f"{source.uniform(-0.2, 1.0) * most:.3g} {unit}" for unit, most in sizes)
    yield f"1e{source.randint(-330, 310)} C"


def _spoilt_aircraft(text, source):
    try:
        document = json.loads(zlib.decompress(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))))
    except (ValueError, RecursionError, zlib.error):
        return text
    way = source.random()
    if way < 0.7:
        return _packed(spoilt(document, source))
    if way < 0.8:
        return _packed({"a": " " * source.choice((60_000, 70_000, 1_000_000))})
    body = json.dumps(document).encode()
    made = source.choice((body, zlib.compress(body)[:-3], zlib.compress(body) + b"x", zlib.compress(b"[" * 50_000)))
    return base64.urlsafe_b64encode(made).decode()


def _seeds():
    queries = {
        "atmosphere": ["altitude=6000ft", "geometric_altitude=2.1+km&temperature_offset=15+K&units=us"],
        "density-altitude": [
            "elevation=5400+ft&qnh=1017+hPa&oat=31+C&dew_point=9+C",
            "pressure_altitude=6000ft&oat=88F&relative_humidity=40%25&units=si",
            "elevation=5400ft&metar=METAR+XXXX+241200Z+24008KT+9999+FEW030+31/09+Q1017",
            "station_pressure=24.1inHg&oat=20C",
        ],
        "airspeed": ["calibrated=70kt&density_altitude=8000ft", "mach=0.2&pressure_altitude=5000ft&oat=10C"],
        "stall-speed": [
            "reference_speed=39kt&reference_weight=480kg&weight=520kg&bank=30deg&density_altitude=6000ft",
            "wing_area=13.4m2&maximum_lift_coefficient=1.5&weight=520kg&load_factor=1.4&lift_gain=10%25",
        ],
        "climb-estimate": [
            "power=100hp&weight=500kg&density_altitude=6000ft",
            "power=80hp&weight=1100lb&elevation=10ft&qnh=1013hPa&oat=20C&efficiency=70%25",
        ],
        "balance": [
            "load=empty:318kg@0.33m&load=84kg@0.46m&load=fuel:60L*0.72kg/L@0.61m&chord=1.35m&leading_edge_arm=0m"
            "&forward=0.27m&aft=0.49m",
            "load=318kg@0.33m",
        ],
    }  # fmt: skip
    for name, texts in queries.items():
        yield from (bytes([_NAMES.index(name)]) + text.encode() for text in texts)
    for name in ("position-error", "performance"):
        path = EXAMPLES / f"{name}.query.json"
        query = json.loads(path.read_text("utf-8"))
        yield bytes([_NAMES.index(name)]) + urllib.parse.urlencode(query, doseq=True).encode()
    aircraft = {
        "wing": {"area": "13.4 m2", "span": "9.9 m"},
        "empty": {"weight": "318 kg", "arm": "0.33 m"},
        "engine": {"power": "80 hp"},
        "stalls": [{"configuration": "clean", "speed": "39 kt", "weight": "480 kg"}],
    }
    query = {"aircraft": _packed(aircraft), "condition.density_altitude": "7000 ft", "measures": "weight"}
    yield bytes([_NAMES.index("performance")]) + urllib.parse.urlencode(query).encode()


def _words():
    for schema in _SCHEMAS.values():
        yield from (f"&{field.data_key or key}=".encode() for key, field in schema.load_fields.items())
    yield from (b"&units=", b"&pick=", b"&format=csv", b"&working=true", b"&load=", b"&condition.oat=", b"&aircraft=")
    yield from (b"&aircraft.stations.a.arm=", b"&loading.stations.a=", b"&aircraft.engine.power=", b"&strip.slope=")
    yield from (b"kg", b"ft", b"@", b"*", b"hPa", b"%20", b"+", b"%", b"%ff", b"%ed%a0%80", b"%00", b"=", b"&")


TARGET = Target("query", check, list(_seeds()), sorted(set(_words())), mutate)
