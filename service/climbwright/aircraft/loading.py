"""Loading: what is in the stations, the aeroplane's total, and the line its CG walks as fuel burns."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np

from climbwright.aircraft.balance import combine, margins
from climbwright.aircraft.description import Limits, Mass, Station
from climbwright.arrays import Floats, Number, middle, stated
from climbwright.refusal import Refusal

__all__ = [
    "MOST_VARIED",
    "Amount",
    "Loading",
    "WorstLoading",
    "between",
    "burn_path",
    "burned_tanks",
    "load",
    "loaded_mass",
    "refuse_misloaded",
    "worst_loadings",
]

MOST_VARIED = 12  # stations whose extremes are combined: 4,096 loadings


@dataclass(frozen=True, slots=True)
class Amount:
    """What a station holds: a mass [kg], or a volume [m³] of the fluid whose density the station knows."""

    mass: Number = None
    volume: Number = None


@dataclass(frozen=True, slots=True)
class Loading:
    """A named loading: station name to amount; a station not named is empty."""

    name: str
    stations: Mapping[str, Amount]


def loaded_mass(amount: Amount | None, station: Station) -> Number:
    """Mass in a station. [kg]

    Parameters
    ----------
    amount : Amount or None
        None for an empty station.
    station : Station
        With its density [kg/m³] where the amount is a volume.

    Returns
    -------
    float or numpy.ndarray
        Mass. [kg]
    """
    if amount is None:
        return 0.0
    if amount.mass is not None:
        return amount.mass
    if isinstance(amount.volume, float) and amount.volume == 0.0:
        return 0.0  # nothing weighs nothing, whatever the density
    return np.multiply(amount.volume, np.nan if station.density is None else station.density)


def refuse_misloaded(name: str, amount: Amount, stations: Sequence[Station], where: str) -> None:
    """Refuse an amount that its station cannot hold.

    Parameters
    ----------
    name : str
        Name of the station.
    amount : Amount
        What it should hold.
    stations : sequence of Station
        The station of that name in every aeroplane that has it, at least one.
    where : str
        JSON Pointer of the amount.

    Raises
    ------
    Refusal
        A volume where no density is known, or more than the station's capacity.
    """
    if amount.volume is not None and any(station.density is None for station in stations):
        message = f"the station '{name}' has no density for a volume, before or after a change: send a weight"
        raise Refusal(where, message)
    for station in stations:
        if station.capacity is None:
            continue
        held = stated(amount.mass)
        if amount.mass is None:
            held = stated(amount.volume) * stated(station.density)
        full = held > stated(station.capacity) * (1.0 + 1e-9)
        if np.count_nonzero(full):
            raise Refusal(where, f"this is more than the capacity of '{name}': send its capacity or less", full)


def load(parts: Sequence[Mass], stations: Sequence[Station], amounts: Mapping[str, Amount]) -> Mass:
    """Mass and centre of gravity of the loaded aeroplane.

    Parameters
    ----------
    parts : sequence of Mass
        The empty aeroplane and its items. [kg], [m]
    stations : sequence of Station
        Where load may be.
    amounts : mapping of str to Amount
        By station name; floats or arrays that broadcast with the aircraft's numbers.

    Returns
    -------
    Mass
        Total mass [kg] and arm [m].
    """
    held = (Mass(loaded_mass(amounts.get(station.name), station), station.arm) for station in stations)
    return combine([*parts, *held])


def burned_tanks(
    stations: Sequence[Station], amounts: Mapping[str, Amount], order: Sequence[str] = ()
) -> list[Station]:
    """The tanks that hold something, in the order in which they burn.

    Parameters
    ----------
    stations : sequence of Station
        A station with a density is a tank.
    amounts : mapping of str to Amount
        By station name.
    order : sequence of str, optional
        Names of the tanks that burn first; the others follow as the stations stand.

    Returns
    -------
    list of Station
        Those that `amounts` names.
    """
    tanks = [station for station in stations if station.density is not None and station.name in amounts]
    if not order:
        return tanks
    turn = {name: place for place, name in enumerate(order)}
    return sorted(tanks, key=lambda tank: turn.get(tank.name, len(turn)))


def burn_path(
    parts: Sequence[Mass], stations: Sequence[Station], amounts: Mapping[str, Amount], order: Sequence[str] = ()
) -> list[Mass]:
    """The loaded aeroplane as its tanks empty, one after the other.

    Parameters
    ----------
    parts : sequence of Mass
        The empty aeroplane and its items. [kg], [m]
    stations : sequence of Station
        A station with a density is a tank.
    amounts : mapping of str to Amount
        By station name.
    order : sequence of str, optional
        As `burned_tanks`.

    Returns
    -------
    list of Mass
        The loaded aeroplane first, then after each tank has burned down to its unusable part.
    """
    path = [load(parts, stations, amounts)]
    left = dict(amounts)
    for station in burned_tanks(stations, amounts, order):
        held = loaded_mass(amounts[station.name], station)
        unusable = 0.0 if station.unusable is None else station.unusable
        left[station.name] = Amount(mass=np.minimum(held, unusable))
        path.append(load(parts, stations, left))
    return path


def between(path: Sequence[Mass], masses: Sequence[Number]) -> list[Mass]:
    """Points along a burn path where an envelope may come in its way.

    Parameters
    ----------
    path : sequence of Mass
        Corners, from `burn_path`.
    masses : sequence of float or numpy.ndarray
        Masses of the envelope's corners, between which its edges are straight. [kg]

    Returns
    -------
    list of Mass
        For each stretch the quarters of its way, its end, and the points at those masses; the first corner is left
        out. Mass and moment change together in a straight line.
    """
    found: list[Mass] = []
    for a, b in pairwise(path):
        burned = np.subtract(a.mass, b.mass)
        fuel = np.where(burned > 0.0, burned, 1.0)
        crossings = [np.clip(np.subtract(a.mass, mass) / fuel, 0.0, 1.0) for mass in masses]
        found += [
            combine([Mass(np.multiply(a.mass, 1.0 - k), a.arm), Mass(np.multiply(b.mass, k), b.arm)])
            for k in (0.25, 0.5, 0.75, 1.0, *crossings)
        ]
    return found


@dataclass(frozen=True, slots=True)
class WorstLoading:
    """A loading of extremes: what each station holds [kg], and the loaded aeroplane."""

    held: Mapping[str, float]
    loaded: Mass


def worst_loadings(
    parts: Sequence[Mass], stations: Sequence[Station], amounts: Mapping[str, Amount], limits: Limits
) -> tuple[WorstLoading, WorstLoading] | None:
    """The loadings nearest to, or furthest beyond, the forward and the aft limit.

    Parameters
    ----------
    parts : sequence of Mass
        The empty aeroplane and its items, as numbers. [kg], [m]
    stations : sequence of Station
        One with a capacity holds its minimum (or nothing) or its capacity; another what it holds now.
    amounts : mapping of str to Amount
        What each station holds now.
    limits : Limits
        Combinations heavier than they allow are left out. In an envelope a combination is judged by the limits at its
        own mass, at the lightest corner where it is lighter than that.

    Returns
    -------
    tuple of WorstLoading, or None
        Worst forward and worst aft; between plain limits those with the CG furthest forward and aft. None where no
        station has a capacity, more than `MOST_VARIED` have, or every combination is too heavy.
    """
    varied = [station for station in stations if station.capacity is not None]
    if not 0 < len(varied) <= MOST_VARIED:
        return None
    choices = [
        (0.0 if station.minimum is None else middle(station.minimum), middle(station.capacity))
        if station.capacity is not None
        else (middle(loaded_mass(amounts.get(station.name), station)),)
        for station in stations
    ]
    masses = np.array(list(product(*choices))).T
    loaded = combine([*parts, *(Mass(row, middle(s.arm)) for row, s in zip(masses, stations, strict=True))])
    most = _greatest(limits)
    allowed = loaded.mass > 0.0
    if most is not None:
        allowed &= loaded.mass <= most
    if not allowed.any():
        return None
    ends = (int(np.where(allowed, room, np.inf).argmin()) for room in _room(loaded, limits))
    forward, aft = (
        WorstLoading(
            {station.name: float(row[k]) for station, row in zip(stations, masses, strict=True)},
            Mass(float(loaded.mass[k]), float(loaded.arm[k])),
        )
        for k in ends
    )
    return forward, aft


def _greatest(limits: Limits) -> float | None:
    """Greatest mass of the limits and of the envelope."""
    known = [] if limits.maximum_mass is None else [middle(limits.maximum_mass)]
    if limits.envelope:
        known.append(max(middle(corner.mass) for corner in limits.envelope))
    return min(known, default=None)


def _room(loaded: Mass, limits: Limits) -> tuple[Floats, Floats]:
    """How far each loading is from the worst: the way to its forward and to its aft limit."""
    if not limits.envelope:
        return loaded.arm, np.negative(loaded.arm)
    least = min(middle(corner.mass) for corner in limits.envelope)
    found = margins(np.maximum(loaded.mass, least), loaded.arm, limits)
    return loaded.arm - found.forward_limit, found.aft_limit - loaded.arm
