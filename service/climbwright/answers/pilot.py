"""How heavy whoever sits in one station may be, for each state of the fuel and while it burns down from there."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from climbwright.aircraft.description import Limits, Mass, Station
from climbwright.aircraft.loading import Amount, between, burn_path
from climbwright.aircraft.permitted import permitted_mass
from climbwright.answers.cases import Cases, singles_of
from climbwright.answers.single import Single

__all__ = ["FUEL_STATES", "PilotRange", "pilot_ranges"]

FUEL_STATES = ("as loaded", "full", "unusable")

_NOTHING = Single(np.float64(np.nan))


@dataclass(frozen=True, slots=True)
class PilotRange:
    """A state of the fuel, the least and greatest mass with it [kg], and the code of why one is nan."""

    fuel: str
    least: Single
    greatest: Single
    missing: str


def pilot_ranges(
    seat: str | None,
    parts: Sequence[Mass],
    stations: Sequence[Station],
    amounts: Mapping[str, Amount],
    limits: Limits,
    cases: Cases,
    order: Sequence[str] = (),
) -> list[PilotRange]:
    """Least and greatest mass in a station, the others as loaded, that keep all limits until the tanks are down.

    Parameters
    ----------
    seat : str or None
        Name of the station; None asks nothing.
    parts : sequence of Mass
        The empty aeroplane and its items. [kg], [m]
    stations : sequence of Station
        The seat's minimum and capacity bound the range.
    amounts : mapping of str to Amount
        What each station holds.
    limits : Limits
        All of them are kept.
    cases : Cases
        Of what is laid out along the first axis.
    order : sequence of str
        Names of the tanks that burn first.

    Returns
    -------
    list of PilotRange
        As loaded; with every tank full; with what cannot be burned in every tank.
    """
    if seat is None:
        return []
    place = next(station for station in stations if station.name == seat)
    others = [station for station in stations if station.name != seat]
    states = _fuel_states(others, amounts)
    if limits == Limits():
        return [PilotRange(fuel, _NOTHING, _NOTHING, "no-limits") for fuel in states]
    ways = {fuel: _way(parts, others, held, order) for fuel, held in states.items() if held is not None}
    points = [point for way in ways.values() for point in way]
    mass = np.stack([np.broadcast_to(point.mass, (cases.count,)) for point in points], axis=-1)
    arm = np.stack([np.broadcast_to(point.arm, (cases.count,)) for point in points], axis=-1)
    lower, upper = permitted_mass(
        mass,
        arm,
        np.reshape(place.arm, (-1, 1)),
        limits,
        0.0 if place.minimum is None else place.minimum,
        np.inf if place.capacity is None else place.capacity,
    )
    starts = np.cumsum([0, *(len(way) for way in ways.values())])[:-1]
    # a nan on the way, where no mass keeps the limits, stays one
    least, greatest = np.maximum.reduceat(lower, starts, axis=-1), np.minimum.reduceat(upper, starts, axis=-1)
    none = ~(least <= greatest)
    least, greatest = np.where(none, np.nan, least), np.where(none, np.nan, greatest)
    filled = list(ways)
    greatest = np.where(np.isinf(greatest), np.nan, greatest)
    ends = dict(zip(filled, zip(singles_of(least, cases), singles_of(greatest, cases), strict=True), strict=True))
    return [_range(fuel, ends.get(fuel)) for fuel in states]


def _way(
    parts: Sequence[Mass], stations: Sequence[Station], held: Mapping[str, Amount], order: Sequence[str]
) -> list[Mass]:
    """The aeroplane without its pilot in a state of the fuel, and at the quarters of the way on which that burns."""
    path = burn_path(parts, stations, held, order)
    return [path[0], *between(path, [])]


def _range(fuel: str, ends: tuple[Single, Single] | None) -> PilotRange:
    if ends is None:
        return PilotRange(fuel, _NOTHING, _NOTHING, "no-tank-capacity")
    return PilotRange(fuel, *ends, "no-pilot-weight" if np.isnan(ends[0].value) else "no-greatest-weight")


def _fuel_states(stations: Sequence[Station], amounts: Mapping[str, Amount]) -> dict[str, Mapping[str, Amount] | None]:
    """What the stations hold in each state of the fuel; None where a tank's capacity is not known."""
    loaded, full, unusable = FUEL_STATES
    states: dict[str, Mapping[str, Amount] | None] = {loaded: amounts}
    tanks = [station for station in stations if station.density is not None]
    if tanks:
        known = all(tank.capacity is not None for tank in tanks)
        states[full] = {**amounts, **{tank.name: Amount(mass=tank.capacity) for tank in tanks}} if known else None
        left = {tank.name: Amount(mass=0.0 if tank.unusable is None else tank.unusable) for tank in tanks}
        states[unusable] = {**amounts, **left}
    return states
