"""Hours of weather in a request: times and columns, of which a cell may be missing.

What a cell may be is what its field takes in a condition. A cell that is missing or wrong makes its hour unknown; only
what is wrong with a column as a whole, or with a time, is refused.
"""

import itertools
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from marshmallow import ValidationError
from numpy.typing import NDArray

from climbwright.air.condition import Condition
from climbwright.answers.fleet import Faults
from climbwright.answers.season import Season
from climbwright.web.fleet.columns import Cells, ColumnError, checked_numbers
from climbwright.web.fleet.tables import cells_of, column_of
from climbwright.web.paths import Place
from climbwright.web.schemas.air import ConditionSchema
from climbwright.web.schemas.fields import Base, Field

__all__ = ["ColumnField", "TimesField", "WeatherSchema"]

_MOST = 50  # times that are refused by name at once
_TIME = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ][0-9]{2}(:[0-9]{2}(:[0-9]{2})?)?", re.ASCII)
_ZONED = re.compile(r"(Z|[+-][0-9]{2}(:?[0-9]{2})?)$", re.IGNORECASE | re.ASCII)
_SAID: Mapping[str, Any] = ConditionSchema().load_fields
_CONDITION = {"temperature": "oat"}  # names of a condition's fields where they are others


@dataclass(frozen=True, slots=True)
class Times:
    """Texts as they came, with the month and the hour of the day of each."""

    texts: Sequence[str]
    months: NDArray[np.intp]
    hours: NDArray[np.intp]


class TimesField(Field):
    """Hours as local or universal time without a zone; each hour once, in any order."""

    def read(self, value: Any) -> Times:
        """Their months and hours of the day, as written."""
        if not isinstance(value, list):
            raise ValidationError('must be a list of times: for example ["2025-07-01T14:00"]')
        if not value:
            raise ValidationError("the list of times is empty: send at least one hour")
        told = ((i, _fault(text)) for i, text in enumerate(value))
        wrong = {i: [fault] for i, fault in itertools.islice((pair for pair in told if pair[1]), _MOST)}
        if wrong:
            raise ValidationError(wrong)
        stamps = _stamps(value)
        _refuse_twice(value, stamps)
        days = stamps.astype("datetime64[D]")
        months = days.astype("datetime64[M]").astype(np.intp) % 12 + 1  # counted from January 1970
        return Times(value, months, (stamps - days).astype(np.intp))


def _fault(text: Any) -> str | None:
    """What is wrong with how a time is written; None where nothing is."""
    if not isinstance(text, str):
        return "a time is a text: for example 2025-07-01T14:00"
    if _TIME.fullmatch(text):
        return None
    shown = text[:40]
    if _TIME.fullmatch(_ZONED.sub("", text)):
        return f"'{shown}' has a zone: months and hours are counted as written, so send local or universal time without"
    return f"'{shown}' is not a time: write it as 2025-07-01T14:00"


def _stamps(texts: list[str]) -> NDArray[np.datetime64]:
    """The hours in which the times fall."""
    try:
        return np.array(texts, dtype="datetime64[s]").astype("datetime64[h]")
    except ValueError:  # which one it was, numpy does not say
        word = "there is no such time: months go from 01 to 12, hours from 00 to 23"
        wrong = ((i, text) for i, text in enumerate(texts) if not _exists(text))
        raise ValidationError({i: [f"'{text}': {word}"] for i, text in itertools.islice(wrong, _MOST)}) from None


def _exists(text: str) -> bool:
    try:
        np.datetime64(text, "s")
    except ValueError:
        return False
    return True


def _refuse_twice(texts: Sequence[str], stamps: NDArray[np.datetime64]) -> None:
    order = np.argsort(stamps, kind="stable")
    again = np.flatnonzero(stamps[order[1:]] == stamps[order[:-1]])
    if again.size:
        first, second = order[again[0]], order[again[0] + 1]
        word = (
            f"'{texts[second]}' falls in the same hour as '{texts[first]}': send one for each hour, in standard or "
            "universal time where clocks are put back"
        )
        raise ValidationError({int(second): [word]})


class ColumnField(Field):
    """A value for each hour: a list of numbers with their unit, or of quantities; null where one is missing.

    Parameters
    ----------
    kind : str
        Of the quantities.
    """

    def __init__(self, kind: str, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kind = kind

    def read(self, value: Any) -> Cells:
        """The cells as they came."""
        if isinstance(value, dict) and "plus_minus" in value:
            raise ValidationError("the weather takes no plus_minus: send the values alone")
        try:
            return cells_of(*column_of(value))
        except ColumnError as error:
            raise ValidationError(str(error)) from None


def _column(name: str, description: str, example: dict[str, Any], required: bool = False) -> ColumnField:
    """The column of one of a condition's fields."""
    kind = _SAID[_CONDITION.get(name, name)].kind
    return ColumnField(kind, required=required, metadata={"description": description, "example": example})


class WeatherSchema(Base):
    """Hours of weather: a column each, of one length."""

    time = TimesField(
        required=True,
        metadata={
            "description": "Times, one for each hour, in any order: local or universal time as you like, without a "
            "zone. Months and hours of the day are counted as written.",
            "example": ["2025-07-01T14:00", "2025-07-01T15:00"],
        },
    )
    temperature = _column("temperature", "Air temperature.", {"value": [31.0, None], "unit": "C"}, required=True)
    qnh = _column("qnh", "Altimeter setting, with an elevation.", {"value": [1016.0, 1015.5], "unit": "hPa"})
    station_pressure = _column(
        "station_pressure", "Pressure at the strip, in place of qnh.", {"value": [812.0, 811.6], "unit": "hPa"}
    )
    dew_point = _column(
        "dew_point", "Dew point; without it and relative_humidity the air is dry.", {"value": [9.0, 8.5], "unit": "C"}
    )
    relative_humidity = _column(
        "relative_humidity", "Relative humidity, in place of dew_point.", {"value": [26, 24], "unit": "%"}
    )
    headwind = _column(
        "headwind",
        "Wind against the direction of take-off, negative from behind; none when left out.",
        {"value": [4.0, -2.0], "unit": "kt"},
    )
    wind_speed = _column("wind_speed", "Speed of the wind, in place of headwind.", {"value": [12.0, 0.0], "unit": "kt"})
    wind_direction = _column(
        "wind_direction",
        "Where that wind comes from, by the same north as the strip's heading; it may be null where the speed is 0.",
        {"value": [220, None], "unit": "deg"},
    )

    def check(self, data: dict[str, Any]) -> None:
        """One pressure, at most one humidity and one wind, and columns as long as the times."""
        pressures = [name for name in ("qnh", "station_pressure") if name in data]
        if len(pressures) != 1:
            word = "send qnh or station_pressure" if not pressures else "send only one of qnh, station_pressure"
            raise ValidationError({"station_pressure" if pressures else "qnh": [word]})
        if "dew_point" in data and "relative_humidity" in data:
            raise ValidationError({"relative_humidity": ["send only one of dew_point, relative_humidity"]})
        if ("wind_direction" in data) != ("wind_speed" in data):
            missing = "wind_speed" if "wind_direction" in data else "wind_direction"
            raise ValidationError({missing: ["wind_direction and wind_speed go together"]})
        if "headwind" in data and "wind_direction" in data:
            raise ValidationError({"headwind": ["the wind is stated twice: leave headwind or wind_direction out"]})
        count = len(data["time"].texts)
        for name, cells in data.items():
            if name != "time" and len(cells) != count:
                word = (
                    f"has {len(cells)} values where time has {count}: send one for each hour, null where it is missing"
                )
                raise ValidationError({name: [word]})

    def build(self, data: dict[str, Any]) -> Season:
        """As a season, in SI; what is wrong with an hour is among its faults."""
        times: Times = data.pop("time")
        faults = Faults(len(times.texts))
        numbers: dict[str, Any] = {}
        for name in filter(data.__contains__, self.load_fields):  # in one order, however they came
            cells = _filled(data[name], numbers["wind_speed"]) if name == "wind_direction" else data[name]
            target = _CONDITION.get(name, name)
            place = Place(f"/weather/{name}", ("condition", target), _SAID[target])
            try:
                numbers[target] = checked_numbers(cells, place, faults)
            except ColumnError as error:
                raise ValidationError({name: [str(error)]}) from None
        return Season(times.texts, times.months, times.hours, Condition(**numbers), faults)


def _empty(cell: Any) -> bool:
    return cell is None or (isinstance(cell, str) and not cell.strip())


def _filled(directions: Cells, speeds: NDArray[np.float64]) -> Cells:
    """Directions with one where the air is calm and none is given."""
    still = speeds[:, 0, 0] == 0.0
    if directions.numbers is None:
        cells = [directions.cell(row) for row in range(len(directions))]
        filled = ["0 deg" if calm and _empty(cell) else cell for cell, calm in zip(cells, still, strict=True)]
        return replace(directions, others=filled)
    if not isinstance(directions.others, Mapping):
        return directions
    calm = {row for row, cell in directions.others.items() if _empty(cell) and still[row]}
    numbers = directions.numbers.copy()
    numbers[list(calm)] = 0.0
    left = {row: cell for row, cell in directions.others.items() if row not in calm}
    return replace(directions, numbers=numbers, others=left)
