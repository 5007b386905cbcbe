"""A plan of test flights as JSON, as rows of a table, and as a card to print."""

from typing import Any

from climbwright.answers.calibration.observation import quantity_of
from climbwright.answers.calibration.plan import NextFlight, Plan
from climbwright.answers.measures import MEASURES
from climbwright.arrays import middle
from climbwright.web.rendering.quantities import Units, assumed_json, cautions_json, quantity
from climbwright.web.rendering.tables import Row, columns_of, merged
from climbwright.web.rendering.text import answer_text, plain

__all__ = ["next_flights_json", "next_flights_rows", "next_flights_text"]


def next_flights_json(found: Plan, narrow: dict[str, str], units: Units) -> dict[str, Any]:
    """The answer as it is known now, and the flights in the order in which to fly them."""
    kind = MEASURES[narrow["measure"]].kind
    return {
        "narrow": {**narrow, "now": quantity(found.now.value, kind, units, found.now.plus_minus)},
        "flights": [_flight(flight, kind, units) for flight in found.flights],
        "assumed": assumed_json(found.assumed, units),
        "cautions": cautions_json(found.cautions, units),
    }


def _flight(flight: NextFlight, kind: str, units: Units) -> dict[str, Any]:
    one, unit = flight.observation, units[kind]
    expected = flight.expected
    body: dict[str, Any] = {
        "name": one.name,
        "kind": one.kind,
        "loading": flight.loading,
        "condition": flight.condition,
        "weight": quantity(flight.mass, "mass", units),
        "expected": quantity(expected.value, quantity_of(one.kind, one.measured).kind, units, expected.plus_minus),
        "spread_left": {"value": flight.left / unit.factor, "unit": unit.name},
    }
    if one.airspeed is not None:
        body["indicated"] = quantity(middle(one.airspeed), "speed", units)
    if one.kind == "level":
        fraction = one.power_fraction
        body["power"] = "full throttle" if fraction is None else f"{100.0 * middle(fraction):.0f} %"
    return body


def next_flights_rows(body: dict[str, Any]) -> list[Row]:
    """One row for each flight, in order."""
    return [
        merged(
            {"name": flight["name"], "kind": flight["kind"], "power": flight.get("power", "")},
            columns_of({name: flight[name] for name in ("weight", "indicated", "spread_left") if name in flight}),
            columns_of({"expected": flight["expected"]}),
        )
        for flight in body["flights"]
    ]


_HOW = {
    "climb": "time 1,000 ft up in this air, full throttle, at this airspeed",
    "level": "level until the airspeed is steady; the mean of two opposite runs",
    "stall": "engine idling, wings level, a knot a second slower; the mean of three",
    "glide": "time 500 ft down, engine idling, at this airspeed",
    "static-thrust": "tied to a scale on level ground, nobody near the propeller, full throttle",
}


def next_flights_text(body: dict[str, Any], name: str) -> str:
    """A card: each flight with its weight, airspeed, how to fly it, what to expect, and a line for what was read."""
    narrow = body["narrow"]
    kind, label = MEASURES[narrow["measure"]].kind, narrow["measure"].replace("_", " ")
    lines = [
        f"{name}: next flights",
        f"to narrow {label}, {narrow['loading']}, {narrow['condition']}: {plain(narrow['now'], kind)} now",
    ]
    for order, flight in enumerate(body["flights"], 1):
        read = quantity_of(flight["kind"], _MEASURED[flight["kind"]]).kind
        speed = f", {plain(flight['indicated'], 'speed')} indicated" if "indicated" in flight else ""
        power = f", {flight['power']}" if "power" in flight else ""
        lines += [
            "",
            f"{order}. {flight['name']}",
            f"   weight {plain(flight['weight'], 'mass')}{speed}{power}",
            f"   {_HOW[flight['kind']]}",
            f"   expected {plain(flight['expected'], read)}; leaves +/- {plain(flight['spread_left'], kind)}",
            "   read ____________   pressure altitude __________   temperature ________",
        ]
    if not body["flights"]:
        lines += ["", "No flight of these would narrow it by a hundredth."]
    return answer_text(lines, body)


_MEASURED = {"climb": "rate", "level": "speed", "stall": "speed", "glide": "sink", "static-thrust": "thrust"}
