"""The changes an owner plans, and the aeroplane that results.

Changes are applied in a fixed order of kinds (engine, propeller, then the rest), so that the answer does not depend on
the order in which the owner wrote them; two changes that set the same number are refused before they come here.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from climbwright.aircraft.balance import combine
from climbwright.aircraft.description import Aircraft, Engine, Mass, Propeller, Stall, Station, Wing
from climbwright.aircraft.propulsion import settled
from climbwright.aircraft.wing import AERODYNAMIC_CENTRE
from climbwright.arrays import Number
from climbwright.refusal import Refusal, refuse_where

__all__ = [
    "OF_THE_PROPELLER",
    "Add",
    "Change",
    "DragChange",
    "EngineChange",
    "LiftChange",
    "Money",
    "Move",
    "PropellerChange",
    "Remove",
    "StationChange",
    "WingChange",
    "apply",
    "moved_parts",
    "weighed",
]


OF_THE_PROPELLER = ("pitch_class", "best_efficiency", "best_efficiency_speed", "static_speed")
"""What an engine change may say of the propeller that stays."""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in one currency (ISO 4217)."""

    amount: Number
    currency: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What every change has: a name, a cost, and the group of changes that it leans on."""

    name: str
    cost: Money | None = None
    group: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Add(Change):
    """A part that comes in. [kg], [m]"""

    mass: Number
    arm: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Remove(Change):
    """A part that comes out. [kg], [m]"""

    mass: Number
    arm: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class Move(Change):
    """A part that moves from one arm to another. [kg], [m]"""

    mass: Number
    from_arm: Number
    to_arm: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class EngineChange(Change):
    """A new engine, what comes out and what goes in.

    The propeller's efficiency and its speed on the new engine may be given; else they are starting values again.
    """

    engine: Engine
    removed: Mass
    fitted: Mass
    pitch_class: str | None = None
    best_efficiency: Number = None
    best_efficiency_speed: Number = None
    speed_ratio: Number = None
    static_speed: Number = None
    static_fraction: Number = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PropellerChange(Change):
    """A new propeller, what comes out and what goes in."""

    propeller: Propeller
    removed: Mass
    fitted: Mass


@dataclass(frozen=True, slots=True, kw_only=True)
class DragChange(Change):
    """Parasite area gained or, negative, saved. [m²]"""

    parasite_area_change: Number


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftChange(Change):
    """A gain of the greatest lift coefficient [-], of one configuration or of all; None for what is usual."""

    maximum_lift_gain: Number = None
    configuration: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WingChange(Change):
    """New numbers of the wing, None for one that stays. [m²], [m]"""

    area: Number = None
    span: Number = None
    chord: Number = None
    leading_edge_arm: Number = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StationChange(Change):
    """A new station, or new numbers of the one with that name."""

    station: Station


def apply(aircraft: Aircraft, changes: Sequence[Change], where: str = "/changes") -> Aircraft:
    """The aeroplane with the changes made.

    Parameters
    ----------
    aircraft : Aircraft
        With its propulsion settled: no gap that a starting value should fill.
    changes : sequence of Change
        Numbers are floats or arrays that broadcast with the aircraft's.
    where : str
        JSON Pointer of the list of changes, for a refusal.

    Returns
    -------
    Aircraft
        A new description.

    Raises
    ------
    Refusal
        A lift gain names a configuration the aeroplane has not, parasite area would vanish, or the empty mass would.
    """
    if not changes:
        return aircraft
    parts = [part for change in changes for part in moved_parts(change)]
    changed = replace(aircraft, empty=combine([weighed(aircraft), *parts])) if parts else aircraft
    for i, change in sorted(enumerate(changes), key=_turn):
        changed = _applied(changed, change, aircraft, changes, f"{where}/{i}")
    _refuse_impossible(changed, where)
    return changed


def _turn(numbered: tuple[int, Change]) -> int:
    """Engine first, then propeller, then the rest as listed."""
    change = numbered[1]
    return 0 if isinstance(change, EngineChange) else 1 if isinstance(change, PropellerChange) else 2


def _applied(aircraft: Aircraft, change: Change, original: Aircraft, changes: Sequence[Change], where: str) -> Aircraft:
    match change:
        case EngineChange():
            return _with_engine(aircraft, change, original, changes)
        case PropellerChange():
            return replace(aircraft, propeller=settled(change.propeller, aircraft.engine, original.drag))
        case DragChange():
            area = np.add(aircraft.drag.parasite_area, change.parasite_area_change)
            return replace(aircraft, drag=replace(aircraft.drag, parasite_area=area))
        case LiftChange():
            return replace(aircraft, stalls=_with_lift(aircraft.stalls, change, where))
        case WingChange():
            return _with_wing(aircraft, change)
        case StationChange():
            return replace(aircraft, stations=_with_station(aircraft.stations, change.station))
    return aircraft


def moved_parts(change: Change) -> list[Mass]:
    """What a change puts in and, negative, takes out; nothing where it only changes numbers. [kg], [m]"""
    match change:
        case Add():
            return [Mass(change.mass, change.arm)]
        case Remove():
            return [Mass(np.negative(change.mass), change.arm)]
        case Move():
            return [Mass(np.negative(change.mass), change.from_arm), Mass(change.mass, change.to_arm)]
        case EngineChange() | PropellerChange():
            return [Mass(np.negative(change.removed.mass), change.removed.arm), change.fitted]
    return []


def weighed(aircraft: Aircraft) -> Mass:
    """The empty mass [kg] and arm [m] of an aeroplane whose scales have been summed.

    Raises
    ------
    ValueError
        It has not been weighed yet.
    """
    if aircraft.empty is None:
        raise ValueError("weigh the aeroplane before changing it")
    return aircraft.empty


def _with_engine(aircraft: Aircraft, change: EngineChange, original: Aircraft, changes: Sequence[Change]) -> Aircraft:
    """A new engine; what the old one taught of the propeller goes with it unless a propeller change follows."""
    engine = change.engine
    if engine.power_limit is None:
        engine = replace(engine, power_limit=aircraft.engine.power_limit)  # the mount's limit stays with the mount
    propeller = aircraft.propeller
    if any(isinstance(c, PropellerChange) for c in changes) or propeller.kind == "constant-efficiency":
        return replace(aircraft, engine=engine, propeller=propeller)
    if propeller.kind == "constant-speed":
        if propeller.speed_ratio is not None:
            propeller = settled(replace(propeller, quality_speed=None), engine, original.drag)
    else:
        propeller = replace(
            propeller,
            pitch_class=change.pitch_class or propeller.pitch_class,
            best_efficiency=change.best_efficiency,
            best_efficiency_speed=change.best_efficiency_speed,
            speed_ratio=change.speed_ratio,
            static_speed=change.static_speed,
            static_fraction=change.static_fraction,
        )
        propeller = settled(propeller, engine, original.drag)
    return replace(aircraft, engine=engine, propeller=propeller)


def _with_lift(stalls: tuple[Stall, ...], change: LiftChange, where: str) -> tuple[Stall, ...]:
    names = [stall.configuration for stall in stalls]
    if change.configuration is not None and change.configuration not in names:
        raise Refusal(
            f"{where}/configuration", f"the aeroplane has no such configuration: use one of {', '.join(names)}"
        )
    gain = np.add(1.0, change.maximum_lift_gain)
    return tuple(
        replace(stall, lift_gain=np.multiply(np.add(1.0, stall.lift_gain), gain) - 1.0)
        if change.configuration in (None, stall.configuration)
        else stall
        for stall in stalls
    )


def _with_wing(aircraft: Aircraft, change: WingChange) -> Aircraft:
    """New wing numbers; a stall that was flown is carried to the new area at the same lift coefficient.

    Its CG stays where it was on the old wing, so that the tail load of that flight does not change with the new one.
    """
    old = aircraft.wing
    new = replace(
        old,
        **{
            name: value
            for name in ("area", "span", "chord", "leading_edge_arm")
            if (value := getattr(change, name)) is not None
        },
    )
    slower = np.sqrt(np.divide(old.area, new.area))
    aft = _centre_moved(old, new)
    stalls = tuple(
        stall
        if stall.speed is None
        else replace(
            stall,
            speed=np.multiply(stall.speed, slower),
            arm=None if stall.arm is None else np.add(stall.arm, aft),
        )
        for stall in aircraft.stalls
    )
    return replace(aircraft, wing=new, stalls=stalls)


def _centre_moved(old: Wing, new: Wing) -> Number:
    """How far aft the quarter chord moved; not at all where it is not known. [m]"""
    known = (old.chord, old.leading_edge_arm, new.chord, new.leading_edge_arm)
    if any(number is None for number in known):
        return 0.0
    chord, edge = np.subtract(new.chord, old.chord), np.subtract(new.leading_edge_arm, old.leading_edge_arm)
    return np.add(edge, AERODYNAMIC_CENTRE * chord)


def _with_station(stations: tuple[Station, ...], station: Station) -> tuple[Station, ...]:
    if all(known.name != station.name for known in stations):
        return (*stations, station)
    return tuple(station if known.name == station.name else known for known in stations)


def _refuse_impossible(aircraft: Aircraft, where: str) -> None:
    gone = np.less_equal(weighed(aircraft).mass, 0.0)
    refuse_where(gone, where, "the changes take away more than the empty aeroplane weighs: check removed weights")
    gone = np.less_equal(aircraft.drag.parasite_area, 0.0)
    refuse_where(gone, where, "the changes take away more parasite area than the aeroplane has")
