"""The answer of a calibration: what was learned, how sure it is, and what each observation says against it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from climbwright.air import standard
from climbwright.aircraft.description import Aircraft, Covariance
from climbwright.aircraft.learned import LEARNED, kind_of, learned_number, tied, with_numbers
from climbwright.answers.calibration.calibrate import Learned, learn
from climbwright.answers.calibration.doubts import Doubt
from climbwright.answers.calibration.observation import Observation
from climbwright.answers.notes import ESTIMATE, Assumed, Caution
from climbwright.answers.question import weighed_and_settled
from climbwright.answers.spread import central, uncertain
from climbwright.answers.working.observations import numbers_learned, observation_reduced
from climbwright.answers.working.step import Step
from climbwright.arrays import Floats, Measured
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.momentum import momentum_thrust
from climbwright.refusal import Refusal

__all__ = ["NARROWED", "Calibration", "DayErrors", "LearnedNumber", "Seen", "calibrate"]

NARROWED = 0.9  # of the spread before: what is left above it was not narrowed
_EDGE = 3.0  # spreads from where it began, beyond which a number is at its edge
_ENOUGH = 3  # observations
_STEP = 0.02  # of a standard deviation


@dataclass(frozen=True, slots=True)
class LearnedNumber:
    """A number of the aeroplane: JSON Pointer, kind, and what was known of it before and after. [SI]"""

    where: str
    kind: str
    before: Measured
    after: Measured

    @property
    def narrowed(self) -> float:
        """Spread after over spread before. [-]"""
        return float(self.after.plus_minus / self.before.plus_minus)


@dataclass(frozen=True, slots=True)
class Seen:
    """An observation against the fit, all SI; `reduced` are the numbers it was reduced to, by name: value and kind."""

    name: str
    kind: str
    measured: str
    observed: Measured
    expected: Measured
    deviations: float
    doubt: Doubt | None
    reduced: dict[str, tuple[float, str]]


@dataclass(frozen=True, slots=True)
class DayErrors:
    """What altimeter [m] and thermometer [K] were most likely wrong by on a day."""

    day: str
    altitude: Measured
    temperature: Measured


@dataclass(frozen=True, slots=True)
class Calibration:
    """The answer: the aeroplane as learned, its numbers, their covariance, errors of the days, empty mass over the
    weighed one, and each observation; `working` has the steps of each observation by its name, then under None those
    to the numbers.
    """

    aircraft: Aircraft
    numbers: list[LearnedNumber]
    covariance: Covariance
    days: list[DayErrors]
    empty_mass: Measured | None
    seen: list[Seen]
    cautions: list[Caution]
    assumed: list[Assumed]
    working: dict[str | None, list[Step]] | None = None


def calibrate(
    aircraft: Aircraft, observations: Sequence[Observation], where: str = "/aircraft", working: bool = False
) -> Calibration:
    """Learn an aeroplane from its flights.

    Parameters
    ----------
    aircraft : Aircraft
        With gaps, or as an earlier calibration answered it.
    observations : sequence of Observation
        At least one; none that the aeroplane has learned from already.
    where : str
        JSON Pointer of the aircraft.
    working : bool
        Whether to show the calculation.

    Returns
    -------
    Calibration
        What cannot be trusted is among its cautions.

    Raises
    ------
    Refusal
        An observation was used before, asks for what the aeroplane has not, or lies outside the formulas.
    """
    _refuse_used(aircraft, observations)
    if aircraft.propeller.settings:
        message = "a calibration learns one setting: send the propeller as it was set, without settings"
        raise Refusal(f"{where}/propeller/settings", message)
    learned = learn(aircraft, observations, where)
    numbers, correlation, slopes = _numbers(learned, where)
    used = () if aircraft.covariance is None else aircraft.covariance.observations
    covariance = Covariance(
        tuple(number.where for number in numbers),
        tuple(map(tuple, correlation.tolist())),
        (*used, *(one.name for one in observations)),
    )
    whole = with_numbers(learned.aircraft, {number.where: number.after for number in numbers})
    whole = tied(replace(whole, propeller=replace(whole.propeller, speed_ratio=None)), covariance)
    days, empty = _days(learned, observations)
    seen = [_seen(learned, one, i) for i, one in enumerate(observations)]
    cautions = [ESTIMATE, *_trust(learned, numbers, observations)]
    steps = _working(learned, observations, numbers, slopes) if working else None
    return Calibration(whole, numbers, covariance, days, empty, seen, cautions, learned.assumed, steps)


def _working(
    learned: Learned,
    observations: Sequence[Observation],
    numbers: Sequence[LearnedNumber],
    slopes: NDArray[np.float64],
) -> dict[str | None, list[Step]]:
    steps: dict[str | None, list[Step]] = {
        one.name: observation_reduced(learned, observations, i) for i, one in enumerate(observations)
    }
    rows = [(number.where, number.kind, number.before, number.after) for number in numbers]
    return steps | {None: numbers_learned(learned, observations, rows, slopes)}


def _refuse_used(aircraft: Aircraft, observations: Sequence[Observation]) -> None:
    used = () if aircraft.covariance is None else aircraft.covariance.observations
    for i, one in enumerate(observations):
        if one.name in used:
            message = f"'{one.name}' was used already: a flight counts once; send new ones under names of their own"
            raise Refusal(f"/observations/{i}/name", message)


def _numbers(learned: Learned, where: str) -> tuple[list[LearnedNumber], NDArray[np.float64], NDArray[np.float64]]:
    """Every uncertain number that may be learned, their correlation after the fit, and their slopes before it."""
    count, unknowns = len(learned.fit.z), learned.unknowns
    pointers = _pointers(learned.aircraft)
    steps = np.concatenate([np.zeros((1, count)), _STEP * np.eye(count), -_STEP * np.eye(count)])

    def at(z: NDArray[np.float64]) -> Floats:
        around = unknowns.values(z) + steps @ unknowns.shares.T
        settled = weighed_and_settled(unknowns.placed(around)[0], where)
        values = [np.asarray(learned_number(settled, pointer), dtype=float) for pointer in pointers]
        return np.array([np.broadcast_to(value, (len(steps), 1, 1, 1))[:, 0, 0, 0] for value in values])

    before, after = at(np.zeros(count)), at(learned.fit.z)
    slopes = [(cases[:, 1 : count + 1] - cases[:, count + 1 :]) / (2.0 * _STEP) for cases in (before, after)]
    wide = np.linalg.norm(slopes[0], axis=1)
    kept = np.flatnonzero(wide > 1e-12 * np.abs(before[:, 0]))
    inside = slopes[1][kept]
    table = inside @ learned.fit.covariance @ inside.T
    narrow = np.sqrt(np.diag(table))
    numbers = [
        LearnedNumber(
            pointers[k],
            kind_of(pointers[k]),
            Measured(float(before[k, 0]), float(wide[k])),
            Measured(float(after[k, 0]), float(narrow[i])),
        )
        for i, k in enumerate(kept)
    ]
    correlation = table / np.outer(narrow, narrow)
    np.fill_diagonal(correlation, 1.0)
    return numbers, np.clip(0.5 * (correlation + correlation.T), -1.0, 1.0), slopes[0][kept]


def _pointers(aircraft: Aircraft) -> list[str]:
    """Of all numbers that may be learned of an aeroplane and that it has."""
    settled = weighed_and_settled(central(aircraft), "")
    pointers = [f"/{part}/{name}" for part, name in LEARNED if part != "stalls"]
    pointers += [
        f"/stalls/{i}/{name}" for i in range(len(aircraft.stalls)) for part, name in LEARNED if part == "stalls"
    ]
    return [pointer for pointer in pointers if learned_number(settled, pointer) is not None]


def _days(learned: Learned, observations: Sequence[Observation]) -> tuple[list[DayErrors], Measured | None]:
    """Errors of the days, and the empty mass over the one weighed where that is uncertain too."""
    names = list(dict.fromkeys(one.day for one in observations))
    own = isinstance(learned.shared.empty_mass, Measured)
    first = len(uncertain(learned.aircraft))
    after = learned.numbers[first : first + 2 * len(names) + own]
    days = [DayErrors(day, after[i], after[len(names) + i]) for i, day in enumerate(names)]
    empty = Measured(1.0 + after[-1].value, after[-1].plus_minus) if own else None
    return days, empty


def _seen(learned: Learned, one: Observation, place: int) -> Seen:
    fit, flight = learned.fit, learned.prediction
    doubt = next((doubt for doubt in learned.doubts if doubt.place == place), None)
    expected = Measured(float(fit.predicted[place]), float(fit.forecast_spread[place]))
    observed = Measured(float(learned.values[place]), float(fit.spread[place]))

    def here(value: Floats) -> float:
        return float(np.broadcast_to(value, (1, 1, 1, len(learned.observed.kinds)))[0, 0, 0, place])

    air = flight.air
    reduced = {
        "weight": (here(flight.mass), "mass"),
        "pressure_altitude": (here(air.pressure_altitude), "altitude"),
        "temperature": (here(air.temperature), "temperature"),
        "density_altitude": (here(air.density_altitude), "altitude"),
    }
    if one.measured == "speed" and one.value != observed.value:
        reduced["read"] = (one.value, "speed")
    if one.airspeed is not None:
        reduced["calibrated"] = (here(flight.calibrated), "speed")
        reduced["true"] = (here(flight.true), "speed")
    if one.measured in ("rate", "sink") and one.by_altimeter:
        usual = standard.temperature(here(air.pressure_altitude))
        reduced["tapeline"] = (one.value * here(air.temperature) / float(usual), "vertical speed")
    return Seen(one.name, one.kind, one.measured, observed, expected, float(fit.studentized[place]), doubt, reduced)


def _trust(learned: Learned, numbers: Sequence[LearnedNumber], observations: Sequence[Observation]) -> list[Caution]:
    """What speaks against relying on the fit."""
    found = []
    if not learned.fit.converged:
        found.append(Caution("calibration-unsettled", "/observations"))
    for doubt in learned.doubts:
        one = observations[doubt.place]
        values = {"name": one.name, "cause": doubt.cause, "unit": "/".join(doubt.unit or ())}
        found.append(Caution("observation-doubted", f"/observations/{doubt.place}", {**values}))
    if len(observations) < _ENOUGH or len({one.kind for one in observations}) < 2:
        found.append(Caution("calibration-few", "/observations"))
    for number in numbers:
        if abs(number.after.value - number.before.value) > _EDGE * number.before.plus_minus:
            now: tuple[float, str] = number.after.value, number.kind
            found.append(Caution("calibration-edge", "/aircraft", {"name": number.where, "value": now}))
    if _beyond_momentum(learned):
        found.append(Caution("calibration-momentum", "/aircraft/propeller"))
    left = [number.where for number in numbers if number.narrowed > NARROWED]
    if left:
        found.append(Caution("calibration-not-narrowed", "/aircraft", {"names": ", ".join(left)}))
    return found


def _beyond_momentum(learned: Learned) -> bool:
    """Whether the most likely propeller pulls harder standing still than a loss-free one."""
    propulsion = learned.prediction.flight.propulsion
    if not isinstance(propulsion, FixedPitch) or propulsion.diameter is None:
        return False
    most = momentum_thrust(propulsion.power, propulsion.diameter, standard.SEA_LEVEL_DENSITY, 0.0)
    return bool(np.any(np.greater(propulsion.E0, most)))
