"""The unknowns of a requirement: what each stands for, where it is looked for, and how a value of it is put in."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from climbwright.air.condition import Condition
from climbwright.aircraft.description import Aircraft, Mass, Stall, Station
from climbwright.aircraft.loading import Amount, loaded_mass
from climbwright.answers.comparison import perform
from climbwright.answers.question import Question
from climbwright.arrays import Number, middle
from climbwright.refusal import Refusal

__all__ = ["UNKNOWNS", "Put", "Unknown", "UnknownField", "present_value", "putting", "range_of"]

Put = Callable[[Question, Any], Question]


@dataclass(frozen=True, slots=True)
class UnknownField:
    """Kind of an unknown, the range that is searched where the request gives none, and what it may be at all, SI."""

    kind: str
    least: float
    greatest: float
    lowest: float
    highest: float


UNKNOWNS = {
    "power": UnknownField("power", 7.5e3, 370e3, 745.7, 1.5e6),
    "weight": UnknownField("mass", 100.0, 2000.0, 1.0, 1e4),
    "fuel": UnknownField("volume", 0.0, 0.3, 0.0, 10.0),
    "payload": UnknownField("mass", 0.0, 400.0, 0.0, 1e4),
    "ballast_weight": UnknownField("mass", 0.0, 100.0, 0.0, 1e4),
    "ballast_arm": UnknownField("length", -10.0, 10.0, -100.0, 100.0),
    "item_arm": UnknownField("length", -10.0, 10.0, -100.0, 100.0),
    "parasite_area": UnknownField("area", 0.05, 3.0, 0.02, 10.0),
    "lift_gain": UnknownField("ratio", -0.2, 1.0, -0.49, 1.0),
    "density_altitude": UnknownField("altitude", -500.0, 9000.0, -5000.0, 30000.0),
    "runway_length": UnknownField("runway distance", 20.0, 5000.0, 0.0, 1e5),
    "temperature": UnknownField("temperature", 243.15, 328.15, 183.15, 333.15),
}


@dataclass(frozen=True, slots=True)
class Unknown:
    """What is asked for: its field and range; the station, the item, or the other number of a ballast that it needs."""

    field: str
    least: float | None = None
    greatest: float | None = None
    station: str | None = None
    item: str | None = None
    arm: Number = None
    mass: Number = None


def range_of(unknown: Unknown, asked: Question) -> tuple[float, float]:
    """Where to look: as asked, or usual for such an unknown, and within what the field and the station may hold.

    Raises
    ------
    Refusal
        The range is none, or reaches beyond.
    """
    usual = UNKNOWNS[unknown.field]
    lowest, highest = usual.lowest, usual.highest
    if unknown.field == "weight":
        lowest = _empty(asked.aircraft)
    if unknown.field in ("fuel", "payload"):
        highest = min(highest, _capacity(unknown, asked.aircraft))
    least = max(usual.least, lowest) if unknown.least is None else unknown.least
    if unknown.field == "temperature" and asked.conditions[0].dew_point is not None:
        lowest = middle(asked.conditions[0].dew_point)
        least = max(least, lowest) if unknown.least is None else least
    greatest = min(usual.greatest, highest) if unknown.greatest is None else unknown.greatest
    if unknown.greatest is None and highest < usual.highest:
        greatest = highest
    if not lowest <= least:
        word = {"weight": "the empty aeroplane weighs more", "temperature": "the dew point lies above"}
        few = f"no {unknown.field.replace('_', ' ')} is so little"
        raise Refusal("/unknown/least", f"{word.get(unknown.field, few)}: send more")
    if not greatest <= highest * (1.0 + 1e-9):
        raise Refusal("/unknown/greatest", f"this is more than a {unknown.field.replace('_', ' ')} may be: send less")
    if least >= greatest:
        where = "greatest" if unknown.least is None else "least"
        raise Refusal(f"/unknown/{where}", "the least must lie below the greatest: send both")
    return least, greatest


def _empty(aircraft: Aircraft) -> float:
    """What the aeroplane weighs with nothing in its stations."""
    if aircraft.scales:
        empty = sum(middle(scale.mass) - middle(scale.tare) for scale in aircraft.scales)
    else:
        empty = 0.0 if aircraft.empty is None else middle(aircraft.empty.mass)
    return empty + sum(middle(item.mass) for item in aircraft.items)


def _capacity(unknown: Unknown, aircraft: Aircraft) -> float:
    """What the station holds at most: a volume of fuel, a mass of payload; without end where it does not say."""
    station = _station(unknown, aircraft)
    if station.capacity is None:
        return np.inf
    most = middle(station.capacity)
    return most / middle(station.density) if unknown.field == "fuel" else most


def _station(unknown: Unknown, aircraft: Aircraft) -> Station:
    """The station that fuel or payload goes into: as named, or the only one that it can be."""
    tanks = [station for station in aircraft.stations if (station.density is not None) == (unknown.field == "fuel")]
    names = [station.name for station in tanks]
    if unknown.station is None and len(tanks) == 1:
        return tanks[0]
    if unknown.station not in names:
        what = "with a density" if unknown.field == "fuel" else "without a density"
        raise Refusal("/unknown/station", f"name a station {what}: {', '.join(names) or 'there is none'}")
    return tanks[names.index(unknown.station)]


def present_value(unknown: Unknown, asked: Question) -> float | None:
    """What the request has for the unknown now; None where it does not say.

    Parameters
    ----------
    unknown : Unknown
        What is asked for.
    asked : Question
        With one loading and one condition.
    """
    aircraft, condition, field = asked.aircraft, asked.conditions[0], unknown.field
    if field in ("fuel", "payload"):
        return _held(unknown, asked)
    if field == "item_arm":
        return next((middle(item.arm) for item in aircraft.items if item.name == unknown.item), None)
    found = {
        "power": aircraft.engine.power,
        "parasite_area": aircraft.drag.parasite_area,
        "lift_gain": 0.0,
        "ballast_weight": 0.0,
        "runway_length": None if asked.flying.strip is None else asked.flying.strip.length,
        "temperature": condition.oat,
        "density_altitude": condition.density_altitude,
    }.get(field)
    return None if found is None else middle(found)


def _held(unknown: Unknown, asked: Question) -> float:
    """Fuel as a volume, or payload as a mass, that the loading holds."""
    station = _station(unknown, asked.aircraft)
    mass = middle(loaded_mass(asked.loadings[0].stations.get(station.name), station))
    return mass / middle(station.density) if unknown.field == "fuel" else mass


def putting(unknown: Unknown, asked: Question) -> Put:
    """How a value of the unknown is put into a question.

    Parameters
    ----------
    unknown : Unknown
        What is asked for.
    asked : Question
        As the request stated it, with one loading and one condition.

    Returns
    -------
    callable
        Takes a question and a value, a float or an array, and gives the question with it.

    Raises
    ------
    Refusal
        Something that the unknown needs is missing.
    """
    field = unknown.field
    if field in ("fuel", "payload"):
        return _in_station(unknown, _station(unknown, asked.aircraft))
    if field in ("ballast_weight", "ballast_arm"):
        return _ballast(unknown)
    if field == "item_arm":
        return _item(unknown, asked.aircraft)
    if field == "weight":
        return _weight(asked)
    if field in ("density_altitude", "temperature"):
        return _air(field, asked.conditions[0])
    if field == "runway_length":
        if asked.flying.strip is None:
            raise Refusal("/strip", "a runway length is asked for a strip: send strip, without its length")
        return _strip_of
    if field == "lift_gain" and not asked.aircraft.stalls:
        raise Refusal("/aircraft/stalls", "a lift gain changes a stall: send one, flown or as a lift coefficient")
    return _number_of_aircraft(field)


def _number_of_aircraft(field: str) -> Put:
    def put(question: Question, x: Any) -> Question:
        one = question.aircraft
        if field == "power":
            one = replace(one, engine=replace(one.engine, power=x))
        elif field == "parasite_area":
            one = replace(one, drag=replace(one.drag, parasite_area=x))
        else:
            one = replace(one, stalls=tuple(_lifted(stall, x) for stall in one.stalls))
        return replace(question, aircraft=one)

    return put


def _lifted(stall: Stall, gain: Any) -> Stall:
    return replace(stall, lift_gain=np.multiply(np.add(1.0, stall.lift_gain), np.add(1.0, gain)) - 1.0)


def _in_station(unknown: Unknown, station: Station) -> Put:
    def put(question: Question, x: Any) -> Question:
        (loading,) = question.loadings
        amount = Amount(volume=x) if unknown.field == "fuel" else Amount(mass=x)
        return replace(question, loadings=(replace(loading, stations={**loading.stations, station.name: amount}),))

    return put


def _with_item(question: Question, item: Mass) -> Question:
    return replace(question, aircraft=replace(question.aircraft, items=(*question.aircraft.items, item)))


def _ballast(unknown: Unknown) -> Put:
    other = unknown.arm if unknown.field == "ballast_weight" else unknown.mass
    if other is None:
        name = "arm" if unknown.field == "ballast_weight" else "weight"
        raise Refusal(f"/unknown/{name}", f"send the {name} of the ballast, whose other number is asked for")
    if unknown.field == "ballast_weight":
        return lambda question, x: _with_item(question, Mass(x, other, "ballast"))
    return lambda question, x: _with_item(question, Mass(other, x, "ballast"))


def _item(unknown: Unknown, aircraft: Aircraft) -> Put:
    names = [item.name for item in aircraft.items]
    if unknown.item not in names:
        raise Refusal("/unknown/item", f"name one of the aircraft's items: {', '.join(names) or 'there are none'}")
    place = names.index(unknown.item)

    def put(question: Question, x: Any) -> Question:
        items = list(question.aircraft.items)
        items[place] = replace(items[place], arm=x)
        return replace(question, aircraft=replace(question.aircraft, items=tuple(items)))

    return put


def _weight(asked: Question) -> Put:
    """More or less weight at the CG as loaded."""
    now = perform(asked.aircraft, asked.loadings, asked.conditions, measures=["weight", "cg_arm"])
    mass, arm = (float(now.values.value[now.names.index(name), 0, 0, 0]) for name in ("weight", "cg_arm"))
    return lambda question, x: _with_item(question, Mass(np.subtract(x, mass), arm, "more or less weight"))


def _strip_of(question: Question, x: Any) -> Question:
    """A strip of that length."""
    strip = question.flying.strip
    if strip is None:
        raise AssertionError("a length was put in before the strip was looked at")
    return replace(question, flying=replace(question.flying, strip=replace(strip, length=x)))


def _air(field: str, condition: Condition) -> Put:
    if field == "density_altitude":
        return _at_density_altitude
    if condition.density_altitude is not None:
        raise Refusal("/unknown/field", "a density altitude already holds the temperature: state the pressure instead")
    return _at_temperature


def _at_density_altitude(question: Question, x: Any) -> Question:
    (now,) = question.conditions
    wind = {name: getattr(now, name) for name in ("headwind", "wind_direction", "wind_speed", "reported")}
    return replace(question, conditions=(Condition(name=now.name, density_altitude=x, **wind),))


def _at_temperature(question: Question, x: Any) -> Question:
    (now,) = question.conditions
    return replace(question, conditions=(replace(now, oat=x, temperature_offset=None),))
