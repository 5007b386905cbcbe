"""What the owner left unsaid that has no number of its own: listed, never hidden."""

from collections.abc import Sequence
from typing import Any

from climbwright.air.condition import Condition
from climbwright.aircraft.changes import EngineChange, StationChange, WingChange
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.notes import Assumed

__all__ = ["assumed_in", "assumed_of_condition"]


def assumed_in(
    aircraft: Aircraft,
    options: Sequence[Any],
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    where: str,
) -> list[Assumed]:
    """Assumptions of an aeroplane, options, loadings and conditions, in that order."""
    found = [*_of_aircraft(aircraft, where), *_of_options(aircraft, options)]
    found += _of_loadings(aircraft, options, loadings)
    for i, condition in enumerate(conditions):
        found += assumed_of_condition(condition, f"/conditions/{i}")
        if condition.headwind is None:
            found.append(Assumed(f"/conditions/{i}/headwind", "no-wind", 0.0, "speed"))
    return found


def assumed_of_condition(condition: Condition, where: str) -> list[Assumed]:
    """Standard temperature with density altitude alone, dry air where no humidity is stated."""
    if condition.density_altitude is not None:
        return [Assumed(f"{where}/density_altitude", "standard-temperature")]
    if condition.dew_point is None and condition.relative_humidity is None:
        return [Assumed(f"{where}/dew_point", "dry-air")]
    return []


def _of_aircraft(aircraft: Aircraft, where: str) -> list[Assumed]:
    found: list[Assumed] = []
    wing, stalls = aircraft.wing, aircraft.stalls
    if stalls and aircraft.tail_arm is not None:
        missing = [i for i, stall in enumerate(stalls) if stall.speed is not None and stall.arm is None]
        found += [Assumed(f"{where}/stalls/{i}/arm", "no-tail-load") for i in missing]
        if wing.chord is None or wing.leading_edge_arm is None:
            found.append(Assumed(f"{where}/wing/chord", "no-tail-load"))
        elif len(missing) < len(stalls):
            found.append(Assumed(f"{where}/tail_arm", "aerodynamic-centre", 0.25, "ratio"))
    elif stalls:
        found.append(Assumed(f"{where}/tail_arm", "no-tail-load"))
    if aircraft.propeller.kind == "fixed-pitch" and aircraft.engine.speed is not None:
        known = aircraft.propeller.static_speed is not None or aircraft.propeller.pitch_class is not None
        if known:
            found.append(Assumed(f"{where}/engine/speed", "rated-speed-reached-level"))
    return found


def _of_options(aircraft: Aircraft, options: Sequence[Any]) -> list[Assumed]:
    found: list[Assumed] = []
    flown = any(stall.speed is not None for stall in aircraft.stalls)
    for i, option in enumerate(options):
        for j, change in enumerate(option.changes):
            where = f"/options/{i}/changes/{j}"
            if isinstance(change, WingChange) and change.area is not None and flown:
                found.append(Assumed(f"{where}/area", "same-lift-coefficient"))
            kept = isinstance(change, EngineChange) and change.engine.power_limit is None
            if kept and aircraft.engine.power_limit is not None:
                found.append(Assumed(f"{where}/engine/power_limit", "power-limit-kept"))
    return found


def _of_loadings(aircraft: Aircraft, options: Sequence[Any], loadings: Sequence[Loading]) -> list[Assumed]:
    names = [station.name for station in aircraft.stations]
    for option in options:
        names += [change.station.name for change in option.changes if isinstance(change, StationChange)]
    return [
        Assumed(f"/loadings/{i}/stations/{name.replace('~', '~0').replace('/', '~1')}", "station-empty", 0.0, "mass")
        for i, loading in enumerate(loadings)
        for name in dict.fromkeys(names)
        if name not in loading.stations
    ]
