"""Several descriptions of the same shape as one whose numbers are arrays along an axis."""

from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass
from typing import Any

import numpy as np

from climbwright.aircraft.description import Aircraft, Station
from climbwright.aircraft.loading import Amount, loaded_mass
from climbwright.arrays import Floats, field_names, field_values

__all__ = ["AXES", "along", "central_case", "stack", "stack_aircraft", "stack_masses"]

AXES = 4  # spread, aircraft, loading, condition
_AXES = np.zeros((1,) * AXES)
_NUMBERS = frozenset({float, np.float64, np.ndarray, type(None)})


def along(*values: Any) -> Floats:
    """Values along a new leading axis, in front of the four axes of a number."""
    return _filled(np.broadcast(_AXES, *values).shape, values)


def _filled(shape: tuple[int, ...], values: Sequence[Any]) -> Floats:
    """Values of one shape along a new leading axis."""
    stacked = np.empty((len(values), *shape))
    for row, value in zip(stacked, values, strict=True):
        row[...] = value
    return stacked


def central_case(value: Any) -> Any:
    """The central case of a number laid out along the first axis; anything else as it is."""
    return value[0] if isinstance(value, np.ndarray) and value.ndim == AXES else value


def _same(items: Sequence[Any]) -> bool:
    first = items[0]
    for item in items:  # noqa: SIM110 - a loop is a third of the cost of all() over a generator
        if item is not first:
            return False
    return True


def _numbers(values: Sequence[Any], axis: int) -> Any:
    """Floats, arrays of one along this axis, or None, joined along it; one float where all are the same."""
    if _same(values):
        return values[0]
    plain = [np.nan if value is None else value for value in values]
    if np.ndarray in map(type, plain):
        wide = np.broadcast_shapes(_AXES.shape, *map(np.shape, plain))
        return np.concatenate(_filled(wide, plain), axis=axis)
    shape = [1] * AXES
    shape[axis] = len(plain)
    return np.array(plain, dtype=float).reshape(shape)


def stack(items: Sequence[Any], axis: int) -> Any:
    """Stack descriptions of one kind along an axis.

    Parameters
    ----------
    items : sequence
        Dataclasses of one type, tuples of one length, texts, numbers or None.
    axis : int
        0 spread, 1 aircraft, 2 loading, 3 condition.

    Returns
    -------
    object
        The same kind of thing; of texts, which nothing is computed from, the first.
    """
    first = items[0]
    if _same(items):
        return first
    if _NUMBERS.issuperset(map(type, items)):
        return _numbers(items, axis)
    text = next((item for item in items if isinstance(item, str)), None)
    if text is not None:
        return text
    if isinstance(first, tuple):
        return tuple(stack(column, axis) for column in zip(*items, strict=True))
    present = next((item for item in items if item is not None), None)
    if is_dataclass(present):
        kind: Any = type(present)
        values, nothing = field_values(kind), (None,) * len(field_names(kind))
        columns = zip(*[nothing if item is None else values(item) for item in items], strict=True)
        return kind(*[column[0] if _same(column) else stack(column, axis) for column in columns])
    return _numbers(items, axis)


def stack_aircraft(aircraft: Sequence[Aircraft], stations: Sequence[str]) -> Aircraft:
    """Stack aeroplanes that have the same kind of propeller.

    Parameters
    ----------
    aircraft : sequence of Aircraft
        One after the other along the aircraft axis.
    stations : sequence of str
        Names of the stations that any aeroplane of the question has.

    Returns
    -------
    Aircraft
        With all those stations. Its tanks are stations whose unusable part is finite: nothing burns in the others, nor
        in one that an aeroplane lacks.
    """
    tables = _tables(aircraft)
    columns = zip(*map(field_values(Aircraft), aircraft), strict=True)
    named = zip(field_names(Aircraft), columns, strict=True)
    parts: list[Any] = [
        tuple(_station(place, tables) for place in stations) if name == "stations" else stack(column, axis=1)
        for name, column in named
    ]
    return Aircraft(*parts)


def _tables(aircraft: Sequence[Aircraft]) -> list[dict[str, Station]]:
    """Stations by name for each aeroplane, or once where no option changes them."""
    one = aircraft[:1] if _same([each.stations for each in aircraft]) else aircraft
    return [{station.name: station for station in each.stations} for each in one]


def _station(name: str, tables: Sequence[Mapping[str, Station]]) -> Station:
    """One station of every aeroplane; where one lacks it, the numbers mean nothing and nothing is held."""
    here = [table.get(name) for table in tables]
    arm = [0.0 if station is None else station.arm for station in here]
    minimum = [None if station is None else station.minimum for station in here]
    unusable = [_left_in(station) for station in here]
    return Station(
        name,
        _numbers(arm, axis=1),
        density=_numbers([None if station is None else station.density for station in here], axis=1),
        minimum=_numbers(minimum, axis=1),
        unusable=_numbers(unusable, axis=1),
    )


def _left_in(station: Station | None) -> Any:
    """Mass that burning leaves in a station: all of it where nothing burns."""
    if station is None or station.density is None:
        return np.inf
    return 0.0 if station.unusable is None else station.unusable


def stack_masses(
    aircraft: Sequence[Aircraft], loadings: Sequence[Mapping[str, Amount]], stations: Sequence[str]
) -> dict[str, Amount]:
    """Masses held, by station name, along the aircraft and loading axes; nan where an aeroplane lacks the station."""
    tables = _tables(aircraft)
    return {
        name: Amount(
            mass=_numbers(
                [_numbers([_held(loading.get(name), table.get(name)) for loading in loadings], 2) for table in tables],
                axis=1,
            )
        )
        for name in stations
    }


def _held(amount: Amount | None, station: Station | None) -> Any:
    if station is not None:
        return loaded_mass(amount, station)
    nothing = amount is None or not np.any(amount.mass if amount.volume is None else amount.volume)
    return 0.0 if nothing else np.nan
