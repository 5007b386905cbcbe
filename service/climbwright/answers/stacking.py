"""Several descriptions of the same shape as one whose numbers are arrays along an axis."""

from collections.abc import Mapping, Sequence
from dataclasses import is_dataclass
from typing import Any

import numpy as np

from climbwright.aircraft.description import Aircraft, Station
from climbwright.aircraft.loading import Amount, loaded_mass
from climbwright.arrays import field_names

__all__ = ["AXES", "stack", "stack_aircraft", "stack_amounts"]

AXES = 4  # spread, aircraft, loading, condition


def _same(items: Sequence[Any]) -> bool:
    first = items[0]
    for item in items:  # noqa: SIM110 - a loop is a third of the cost of all() over a generator
        if item is not first:
            return False
    return True


def _numbers(values: Sequence[Any], axis: int) -> Any:
    """Floats, arrays with a spread, or None, along an axis; one float where all are the same."""
    if _same(values):
        return values[0]
    plain = [np.nan if value is None else value for value in values]
    if not any(isinstance(value, np.ndarray) for value in plain):
        shape = [1] * AXES
        shape[axis] = len(plain)
        return np.array(plain, dtype=float).reshape(shape)
    columns = [np.asarray(value, dtype=float) for value in plain]
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
        The same kind of thing; of texts, which nothing is computed from, the first.
    """
    first = items[0]
    if _same(items):
        return first
    text = next((item for item in items if isinstance(item, str)), None)
    if text is not None:
        return text
    if isinstance(first, tuple):
        return tuple(stack(column, axis) for column in zip(*items, strict=True))
    present = next((item for item in items if item is not None), None)
    if is_dataclass(present):
        kind: Any = type(present)
        return kind(*[stack([getattr(item, name) for item in items], axis) for name in field_names(kind)])
    return _numbers(items, axis)


def stack_aircraft(aircraft: Sequence[Aircraft]) -> Aircraft:
    """Stack aeroplanes that have the same kind of propeller; a station one of them lacks can hold nothing there."""
    if len(aircraft) == 1:
        return aircraft[0]
    names = list(dict.fromkeys(station.name for one in aircraft for station in one.stations))
    tables = [{station.name: station for station in one.stations} for one in aircraft]
    stations = tuple(stack([table.get(name, _lacking(name)) for table in tables], axis=1) for name in names)
    parts: list[Any] = [
        stations if name == "stations" else stack([getattr(one, name) for one in aircraft], axis=1)
        for name in field_names(Aircraft)
    ]
    return Aircraft(*parts)


def _lacking(name: str) -> Station:
    """A station that is not there: whatever is loaded into it weighs nan."""
    return Station(name, 0.0, capacity=-np.inf)


def stack_amounts(loadings: Sequence[Mapping[str, Amount]], aircraft: Aircraft) -> dict[str, Amount]:
    """Masses by station name along the loading axis; nan where the station does not exist in that aeroplane."""
    amounts: dict[str, Amount] = {}
    for station in aircraft.stations:
        masses = [loaded_mass(loading.get(station.name), station) for loading in loadings]
        if any(np.ndim(mass) > 0 and np.shape(mass)[1] > 1 for mass in masses):
            joined = np.concatenate([np.broadcast_to(mass, _wide(masses)) for mass in masses], axis=2)
        else:
            joined = _numbers(masses, axis=2)
        if isinstance(station.capacity, np.ndarray) and np.isneginf(station.capacity).any():
            joined = np.where(np.isneginf(station.capacity) & np.not_equal(joined, 0.0), np.nan, joined)
        amounts[station.name] = Amount(mass=joined)
    return amounts


def _wide(masses: Sequence[Any]) -> tuple[int, ...]:
    return np.broadcast_shapes((1,) * AXES, *(np.shape(mass) for mass in masses))
