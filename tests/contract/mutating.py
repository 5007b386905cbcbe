"""The documented examples changed in one or more places, as hypothesis draws it: what a schema may take or not."""

import copy
import re

from hypothesis import strategies as st

from climbwright.units import KINDS, parse_text, to_unit

from .document import DOCUMENT, example_of

BODIES = {
    path: media["post"]["requestBody"]["content"]["application/json"]
    for path, media in DOCUMENT["paths"].items()
    if path.startswith("/v1/")
}
EXAMPLES = {path: example_of(media) for path, media in BODIES.items()}
_SCHEMAS = DOCUMENT["components"]["schemas"]
_QUANTITY = re.compile(r"[+-]?[0-9.]+ ?([^0-9\s].*)?")


def _followed(schema):
    while "$ref" in schema:
        schema = _SCHEMAS[schema["$ref"].rpartition("/")[2]]
    return schema


def places(node, schema, at=()):
    """Every value of a request, its path and its schema."""
    schema = _followed(schema)
    yield at, node, schema
    if isinstance(node, dict) and "discriminator" in schema:
        return
    if isinstance(node, dict):
        for name, value in node.items():
            inner = schema.get("properties", {}).get(name, schema.get("additionalProperties"))
            if isinstance(inner, dict):
                yield from places(value, inner, (*at, name))
    if isinstance(node, list):
        for i, value in enumerate(node):
            items = schema.get("items", {})
            if "discriminator" in items and isinstance(value, dict):
                items = {"$ref": items["discriminator"]["mapping"].get(value.get("kind"), items["oneOf"][0]["$ref"])}
            yield from places(value, items, (*at, i))


def _kind(value):
    """The kind of quantity that a text is one of, if it is one."""
    match = _QUANTITY.fullmatch(value)
    if match is None:
        return None
    unit = (match[1] or "1").strip()
    return next((kind for kind in KINDS if unit in KINDS[kind].units), None)


def _near(value):
    """The same quantity a little greater or less, in another unit of its kind, as a text or as an object."""
    kind = _kind(value)
    if kind is None:
        return st.nothing()
    number, unit = parse_text(value, kind)
    units = list(KINDS[kind].units.values()) if kind != "money" else [unit]

    def made(factor, other, as_object, spread):
        shown = float(f"{to_unit((number * factor) * unit.factor + unit.zero, other):.6g}")
        if not as_object:
            return f"{shown} {other.name}"
        return {"value": shown, "unit": other.name} | ({"plus_minus": spread * abs(shown)} if spread else {})

    return st.builds(
        made, st.floats(0.8, 1.25), st.sampled_from(units), st.booleans(), st.sampled_from([0, 0, 0.01, 0.1])
    )


_ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**6), 10**6),
    st.floats(allow_nan=False, allow_infinity=False),
    st.text(max_size=12),
    st.sampled_from(
        ["1e999 kg", "-5 kg", "0 m", "12", "12 parsec", "", " ", "=1+1", "1,5 kg", [], {}, [[]], {"value": 1}]
    ),
)


@st.composite
def mutated(draw, path):
    """A documented example of an operation with up to three values changed, added, doubled or left out."""
    body = copy.deepcopy(EXAMPLES[path])
    for _ in range(draw(st.integers(1, 3))):
        at, value, schema = draw(st.sampled_from(list(places(body, BODIES[path]["schema"]))))
        ways = ["odd"]
        ways += ["near"] * 3 * (isinstance(value, str) and _kind(value) is not None)
        ways += ["left out"] * bool(at)
        ways += ["more", "unknown"] * isinstance(value, dict)
        ways += ["doubled", "shorter", "reversed"] * (isinstance(value, list) and bool(value))
        ways += ["word"] * ("enum" in schema)
        _change(draw, body, at, value, schema, draw(st.sampled_from(ways)))
        if not isinstance(body, dict):
            break
    return body


def _change(draw, body, at, value, schema, way):
    match way:
        case "unknown":
            value[draw(st.text(max_size=8))] = draw(_ODD)
        case "more":
            known = schema.get("properties", {})
            lacking = sorted(known.keys() - value.keys())
            if lacking:
                name = draw(st.sampled_from(lacking))
                shown = known[name].get("examples") or _followed(known[name]).get("examples") or [None]
                value[name] = copy.deepcopy(shown[0])
        case "doubled":
            value.append(copy.deepcopy(value[-1]))
        case "shorter":
            value.pop()
        case "reversed":
            value.reverse()
        case _:
            _put(body, at, draw, value, schema, way)


def _put(body, at, draw, value, schema, way):
    if not at:
        return
    *before, last = at
    holder = body
    for key in before:
        holder = holder[key]
    if way == "left out":
        del holder[last]
    else:
        drawn = {"near": lambda: _near(value), "word": lambda: st.sampled_from(schema["enum"]), "odd": lambda: _ODD}
        holder[last] = draw(drawn[way]())
