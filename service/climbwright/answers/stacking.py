"""Several descriptions of the same shape as one whose numbers are arrays along an axis."""

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

import numpy as np

from climbwright.aircraft.description import Aircraft, Station
from climbwright.aircraft.loading import Amount, loaded_mass

__all__ = ["AXES", "stack", "stack_aircraft", "stack_amounts"]

AXES = 4  # spread, aircraft, loading, condition


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


def _numbers(values: Sequence[Any], axis: int) -> Any:
    """Floats, arrays with a spread, or None, along an axis; one float where all are the same."""
    first = values[0]
    if all(value is first for value in values):
        return first
    columns = [np.asarray(np.nan if value is None else value, dtype=float) for value in values]
    if all(column.ndim == 0 for column in columns):
        shape = [1] * AXES
        shape[axis] = len(columns)
        return np.array(columns).reshape(shape)
    cases = max(column.shape[0] for column in columns if column.ndim)
    one = [1] * AXES
    one[0] = cases
    return np.concatenate([np.broadcast_to(column, one) for column in columns], axis=axis)


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
        The same kind of thing; texts are those of the first.
    """
    first = items[0]
    if isinstance(first, str) or all(item is first for item in items):
        return first
    if isinstance(first, tuple):
        return tuple(stack(column, axis) for column in zip(*items, strict=True))
    present = next((item for item in items if item is not None), None)
    if is_dataclass(present):
        kind: Any = type(present)
        return kind(*[stack([getattr(item, name) for item in items], axis) for name in _names(kind)])
    return _numbers(items, axis)


def stack_aircraft(aircraft: Sequence[Aircraft]) -> Aircraft:
    """Stack aeroplanes that have the same kind of propeller; a station one of them lacks has an arm of nan there."""
    if len(aircraft) == 1:
        return aircraft[0]
    names = list(dict.fromkeys(station.name for one in aircraft for station in one.stations))
    tables = [{station.name: station for station in one.stations} for one in aircraft]
    stations = tuple(stack([table.get(name, Station(name, np.nan)) for table in tables], axis=1) for name in names)
    parts: list[Any] = [
        stations if name == "stations" else stack([getattr(one, name) for one in aircraft], axis=1)
        for name in _names(Aircraft)
    ]
    return Aircraft(*parts)


def stack_amounts(loadings: Sequence[Mapping[str, Amount]], aircraft: Aircraft) -> dict[str, Amount]:
    """Masses by station name along the loading axis; nan where the station does not exist in that aeroplane."""
    amounts: dict[str, Amount] = {}
    for station in aircraft.stations:
        masses = [loaded_mass(loading.get(station.name), station) for loading in loadings]
        if any(np.ndim(mass) > 0 and np.shape(mass)[1] > 1 for mass in masses):
            joined = np.concatenate([np.broadcast_to(mass, _wide(masses)) for mass in masses], axis=2)
        else:
            joined = _numbers(masses, axis=2)
        amounts[station.name] = Amount(mass=joined)
    return amounts


def _wide(masses: Sequence[Any]) -> tuple[int, ...]:
    return np.broadcast_shapes((1,) * AXES, *(np.shape(mass) for mass in masses))
