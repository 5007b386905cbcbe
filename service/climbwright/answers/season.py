"""A season: hours with their air, and how many of them hold, by month and by hour of the day."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition
from climbwright.answers.fleet import Faults
from climbwright.arrays import Floats, field_names

__all__ = ["DAY", "YEAR", "Season", "Tally", "condition_at", "counted"]

YEAR, DAY = 12, 24  # months and hours

Places = NDArray[np.intp]
Truths = NDArray[np.bool_]
Counts = NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Season:
    """Hours in the order in which they came.

    Parameters
    ----------
    times : sequence of str
        What each hour is called.
    months : numpy.ndarray of int, shape (hours,)
        1 to 12.
    hours : numpy.ndarray of int, shape (hours,)
        Hour of the day, 0 to 23.
    air : Condition
        Numbers that differ from hour to hour have the shape (hours, 1, 1).
    faults : Faults
        What is known to be wrong with which hour.
    """

    times: Sequence[str]
    months: Places
    hours: Places
    air: Condition
    faults: Faults


@dataclass(frozen=True, slots=True)
class Tally:
    """Hours counted, by month and hour of the day in the last two axes until they are summed.

    Parameters
    ----------
    hours, known : numpy.ndarray of int, shape (12, 24)
        All hours, and those of which something can be said.
    good, worse, better : numpy.ndarray of int, shape (judged, 12, 24)
        Known hours in which each thing that is judged holds: as expected, and with every margin one standard deviation
        worse and better.
    """

    hours: Counts
    known: Counts
    good: Counts
    worse: Counts
    better: Counts

    def summed(self, *axes: int) -> "Tally":
        """The same without some axes: -2 that of the months, -1 that of the hours of the day."""
        return Tally(*(getattr(self, name).sum(axis=axes) for name in field_names(Tally)))

    @property
    def share(self) -> Floats:
        """Hours that hold over those that are known; nan where none is. [-]"""
        return _over(self.good, self.known)

    @property
    def ends(self) -> tuple[Floats, Floats]:
        """The same with every margin one standard deviation worse, and better. [-]"""
        return _over(self.worse, self.known), _over(self.better, self.known)

    @property
    def spread(self) -> Floats:
        """One standard deviation of the share; nan where no hour is known. [-]

        What is uncertain of the aeroplane is the same in every hour, so that all margins move together: half of what
        the share gains from one standard deviation worse to one better.
        """
        return _over(0.5 * (self.better - self.worse), self.known)


def _over(counts: Floats, known: Counts) -> Floats:
    return np.where(known > 0, counts / np.maximum(known, 1), np.nan)


def counted(season: Season, good: Truths, worse: Truths, better: Truths) -> Tally:
    """Count hours by month and hour of the day.

    Parameters
    ----------
    season : Season
        Hours of which nothing is wrong are known.
    good, worse, better : numpy.ndarray of bool, shape (judged, hours)
        As in `Tally`; what they say of hours that are not known does not count.

    Returns
    -------
    Tally
        Of the whole season.
    """
    places, known = (season.months - 1) * DAY + season.hours, season.faults.right

    def table(chosen: Truths) -> Counts:
        return np.bincount(places[chosen], minlength=YEAR * DAY).reshape(YEAR, DAY)

    def tables(truths: Truths) -> Counts:
        return np.array([table(row & known) for row in truths])

    return Tally(table(np.ones_like(known)), table(known), tables(good), tables(worse), tables(better))


def condition_at(season: Season, hour: int, name: str) -> Condition:
    """The air of one hour, by a name of its own."""
    columns = {field: getattr(season.air, field) for field in field_names(Condition)}
    numbers: dict[str, Any] = {
        field: float(column[hour, 0, 0]) for field, column in columns.items() if isinstance(column, np.ndarray)
    }
    return replace(season.air, name=name, **numbers)
