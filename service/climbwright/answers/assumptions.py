"""What the owner left unsaid that has no number of its own: listed, never hidden."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import EngineChange, PropellerChange, StationChange, WingChange
from climbwright.aircraft.description import Aircraft, Engine, Propeller, SpeedLimits, Station
from climbwright.aircraft.loading import Amount, Loading
from climbwright.aircraft.starting_values import FUEL_DENSITY
from climbwright.answers.flying import Strip
from climbwright.answers.notes import Assumed
from climbwright.arrays import Number, field_names
from climbwright.refusal import pointer_part

__all__ = [
    "assumed_in",
    "assumed_of_airspeed",
    "assumed_of_balance",
    "assumed_of_condition",
    "assumed_of_offset",
    "assumed_of_stall",
]


def assumed_in(
    aircraft: Aircraft,
    options: Sequence[Any],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    where: str,
    strip: Strip | None = None,
    phases: Collection[str] = (),
) -> list[Assumed]:
    """Assumptions of an aeroplane, options, loadings and conditions, in that order."""
    found = [*_of_aircraft(aircraft, where), *_of_options(aircraft, options)]
    burns = aircraft.engine.aspiration != "electric" and not {"cruise", "climb"}.isdisjoint(phases)
    if burns and all(station.density is None for station in aircraft.stations):
        found.append(Assumed(f"{where}/stations", "fuel-density", FUEL_DENSITY, "fuel density"))
    found += _of_loadings(aircraft, options, loadings)
    for i, condition in enumerate(conditions):
        found += assumed_of_condition(condition, f"/conditions/{i}")
        if condition.wind_direction is not None:
            known = strip is not None and strip.heading is not None
            if known:
                found.append(Assumed(f"/conditions/{i}/wind_direction", "no-wind-on-the-way", 0.0, "speed"))
            if condition.reported:
                code = "reported-wind" if known else "reported-wind-unused"
                found.append(Assumed(f"/conditions/{i}/metar", code))
        elif condition.headwind is None:
            found.append(Assumed(f"/conditions/{i}/headwind", "no-wind", 0.0, "speed"))
    return found


def assumed_of_condition(condition: Condition, where: str) -> list[Assumed]:
    """Standard temperature with density altitude alone, dry air where no humidity is stated."""
    if condition.density_altitude is not None:
        return [Assumed(f"{where}/density_altitude", "standard-temperature")]
    if condition.dew_point is None and condition.relative_humidity is None:
        return [Assumed(f"{where}/dew_point", "dry-air")]
    return []


def assumed_of_offset(offset: Number) -> list[Assumed]:
    """Standard temperature where no offset is stated."""
    return [] if offset is not None else [Assumed("/temperature_offset", "no-temperature-offset", 0.0, _DIFFERENCE)]


def assumed_of_airspeed(condition: Condition, correction: Sequence[Any]) -> list[Assumed]:
    """The air's assumptions, and that the indicator shows the truth where no table is given."""
    found = assumed_of_condition(condition, "")
    return found if correction else [*found, Assumed("/airspeed_correction", "no-position-error")]


def assumed_of_stall(given: Mapping[str, Number], condition: Condition | None) -> list[Assumed]:
    """Sea level, wings level and no lift gain where nothing else is stated."""
    found = [Assumed("", "sea-level-calibrated")] if condition is None else assumed_of_condition(condition, "")
    if given.get("bank") is None and given.get("load_factor") is None:
        found.append(Assumed("/load_factor", "wings-level", 1.0, "ratio"))
    if given.get("lift_gain") is None:
        found.append(Assumed("/lift_gain", "no-lift-gain", 0.0, "ratio"))
    return found


def assumed_of_balance(stations: Sequence[Station], amounts: Mapping[str, Amount]) -> list[Assumed]:
    """Stations that the loading does not name are empty."""
    return [
        Assumed(f"/loading/{pointer_part(station.name)}", "station-empty", 0.0, "mass")
        for station in stations
        if station.name not in amounts
    ]


_DIFFERENCE = "temperature difference"


def _of_aircraft(aircraft: Aircraft, where: str) -> list[Assumed]:
    wing, stalls = aircraft.wing, aircraft.stalls
    found = _of_wing_and_tanks(aircraft, where)
    if stalls and aircraft.tail_arm is not None:
        missing = [i for i, stall in enumerate(stalls) if stall.speed is not None and stall.arm is None]
        found += [Assumed(f"{where}/stalls/{i}/arm", "no-tail-load") for i in missing]
        if wing.planform is None and (wing.chord is None or wing.leading_edge_arm is None):
            found.append(Assumed(f"{where}/wing/chord", "no-tail-load"))
        elif len(missing) < len(stalls):
            found.append(Assumed(f"{where}/tail_arm", "aerodynamic-centre"))
    elif stalls:
        found.append(Assumed(f"{where}/tail_arm", "no-tail-load"))
    found += _of_engine(aircraft.engine, aircraft.propeller, f"{where}/engine")
    if aircraft.propeller.kind in ("fixed-pitch", "ground-adjustable") and aircraft.propeller.diameter is None:
        found.append(Assumed(f"{where}/propeller/diameter", "unchecked-thrust"))
    if aircraft.propeller.settings and aircraft.propeller.setting is None:
        found.append(Assumed(f"{where}/propeller/setting", "setting-first"))
    marked = [name for name in field_names(SpeedLimits) if getattr(aircraft.speed_limits, name) is not None]
    table = aircraft.airspeed_correction
    if marked and not table:
        found.append(Assumed(f"{where}/airspeed_correction", "no-position-error"))
    for name in marked if table else ():
        if not table[0].indicated <= getattr(aircraft.speed_limits, name) <= table[-1].indicated:
            found.append(Assumed(f"{where}/speed_limits/{name}", "limit-outside-table"))
    return found


def _of_wing_and_tanks(aircraft: Aircraft, where: str) -> list[Assumed]:
    found: list[Assumed] = []
    shape = aircraft.wing.planform
    if shape is not None and shape.leading_edge_sweep is None:
        found.append(Assumed(f"{where}/wing/leading_edge_sweep", "unswept", 0.0, "angle"))
    tanks = [station.name for station in aircraft.stations if station.density is not None]
    if len(tanks) - len(aircraft.burn_order) > 1:
        found.append(Assumed(f"{where}/burn_order", "burn-order-of-stations"))
    return found


def _of_engine(engine: Engine, propeller: Propeller, where: str) -> list[Assumed]:
    """Defaults of an engine that an answer rests on."""
    found: list[Assumed] = []
    if engine.aspiration is None:
        found.append(Assumed(f"{where}/aspiration", "natural-aspiration"))
    if engine.lapse_constant is None and engine.cycle is None:
        found.append(Assumed(f"{where}/cycle", "four-stroke"))
    if engine.speed is not None and propeller.diameter is not None and engine.reduction is None:
        found.append(Assumed(f"{where}/reduction", "direct-drive", 1.0, "ratio"))
    turning = propeller.static_speed is not None or propeller.pitch_class is not None
    turning = turning or any(one.static_speed is not None or one.pitch_class for one in propeller.settings)
    if engine.speed is not None and propeller.kind in ("fixed-pitch", "ground-adjustable") and turning:
        found.append(Assumed(f"{where}/speed", "rated-speed-reached-level"))
    return found


def _of_options(aircraft: Aircraft, options: Sequence[Any]) -> list[Assumed]:
    found: list[Assumed] = []
    flown = any(stall.speed is not None for stall in aircraft.stalls)
    for i, option in enumerate(options):
        for j, change in enumerate(option.changes):
            where = f"/options/{i}/changes/{j}"
            if isinstance(change, WingChange) and change.area is not None and flown:
                found.append(Assumed(f"{where}/area", "same-lift-coefficient"))
            if isinstance(change, EngineChange):
                new = [c.propeller for c in option.changes if isinstance(c, PropellerChange)]
                found += _of_engine(change.engine, new[0] if new else aircraft.propeller, f"{where}/engine")
            kept = isinstance(change, EngineChange) and change.engine.power_limit is None
            if kept and aircraft.engine.power_limit is not None:
                found.append(Assumed(f"{where}/engine/power_limit", "power-limit-kept"))
    return found


def _of_loadings(aircraft: Aircraft, options: Sequence[Any], loadings: Sequence[Loading]) -> list[Assumed]:
    names = [station.name for station in aircraft.stations]
    for option in options:
        names += [change.station.name for change in option.changes if isinstance(change, StationChange)]
    return [
        Assumed(f"/loadings/{i}/stations/{pointer_part(name)}", "station-empty", 0.0, "mass")
        for i, loading in enumerate(loadings)
        for name in dict.fromkeys(names)
        if name not in loading.stations
    ]
