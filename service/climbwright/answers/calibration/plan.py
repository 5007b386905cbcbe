"""The next flights: which observations would narrow an answer most.

What an observation would teach is known before it is flown: with the answer's slopes a and its own slopes b along the
unknowns, of covariance C, it takes (aᵀCb)²/(s² + bᵀCb) from the answer's variance, s its spread [1]_. The flight that
takes most comes first, then the one that takes most of what is left.

References
----------
.. [1] A. Tarantola, *Inverse Problem Theory and Methods for Model Parameter Estimation*, SIAM, 2005, ch. 3: covariance
   after an observation, linear and Gaussian (from memory).
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import Condition, check_condition
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import Loading
from climbwright.answers.calibration.calibrate import Unknowns, completed_for, shared_by, with_spreads
from climbwright.answers.calibration.observation import Observation, quantity_of
from climbwright.answers.calibration.prediction import flown, predict
from climbwright.answers.evaluation import evaluate
from climbwright.answers.flying import Flying, complete_flying
from climbwright.answers.measures import phases_of
from climbwright.answers.notes import ESTIMATE, Assumed, Caution, assumed_start
from climbwright.answers.question import Question, flights_of, refuse_loadings, weighed_and_settled
from climbwright.answers.spread import central, uncertain
from climbwright.answers.work import PREDICTED, ask_for
from climbwright.arrays import Floats, Measured
from climbwright.refusal import Refusal

__all__ = ["NextFlight", "Plan", "plan"]

_STEP = 1.0  # standard deviation, for central differences as every spread is taken
_GLIDE_FACTOR = 1.4  # airspeed of a glide over the stall speed; common practice, no source
_SETTING = Measured(0.65, 0.04)  # power setting of a level flight; common practice, no source
_WORTH = 0.01  # of the spread that there is: a flight that takes less is not proposed


@dataclass(frozen=True, slots=True)
class NextFlight:
    """A flight to fly: its scene and mass, what it should read, and what it leaves of the answer's spread. [SI]

    `told` says why: the answer's spread before it, that of what the aeroplane will do, and their correlation.
    """

    observation: Observation
    loading: str
    condition: str
    mass: float
    expected: Measured
    left: float
    told: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Plan:
    """The answer to be narrowed, as it is known now [SI], and the flights in the order in which to fly them."""

    now: Measured
    flights: list[NextFlight]
    cautions: list[Caution]
    assumed: list[Assumed]


def plan(
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[Condition],
    flying: Flying,
    measure: str,
    place: tuple[int, int],
    count: int,
    where: str = "/aircraft",
) -> Plan:
    """The flights that would narrow a measure most.

    Parameters
    ----------
    aircraft : Aircraft
        As far as it is known, or as a calibration answered it.
    loadings, conditions : sequence
        In which flights can be flown.
    flying : Flying
        How the measure is flown.
    measure : str
        What is to be narrowed.
    place : tuple of int
        Its loading and condition.
    count : int
        Flights to propose at most.
    where : str
        JSON Pointer of the aircraft.

    Returns
    -------
    Plan
        Fewer flights where no other would narrow the answer by a hundredth.

    Raises
    ------
    Refusal
        The measure does not exist there, or nothing of it is uncertain.
    """
    for j, condition in enumerate(conditions):
        check_condition(condition, f"/conditions/{j}")
    _refuse_uncertain(loadings, conditions)
    refuse_loadings([central(aircraft)], loadings)
    candidates = _candidates(aircraft, loadings, conditions, where)
    observations, _ = with_spreads([one for one, _, _ in candidates])
    phases = phases_of([measure])
    completed, starts = completed_for(aircraft, observations, where, phases)
    shared, assumed = shared_by(completed, observations)
    flown_so, usual = complete_flying(flying, phases, central(completed))
    unknowns = Unknowns(completed, shared, tuple(observations))
    steps = _steps(unknowns)
    ask_for(PREDICTED * len(steps) * len(observations))
    laid, errors, flights = unknowns.placed(unknowns.values(steps))
    settled = weighed_and_settled(laid, where)
    prediction = predict(settled, flown(flights, weighed_and_settled(central(completed), where)), errors)
    question = Question(laid, (), (loadings[place[0]],), (conditions[place[1]],), central(flown_so))
    values = _answered(settled, question, measure, len(steps))
    read, mass = (_each(value, len(steps), len(observations)) for value in (prediction.value, prediction.mass))
    spread = np.array([_usual(one, float(value)) for one, value in zip(observations, read[0], strict=True)])
    a = _slopes(values)
    chosen = []
    for k, left, told in _in_turn(a, _slopes(read), spread, count):
        one, in_loading, in_condition = candidates[k]
        expected = Measured(float(read[0, k]), float(spread[k]))
        chosen.append(NextFlight(one, in_loading, in_condition, float(mass[0, k]), expected, left, told))
    now = Measured(float(values[0]), float(np.linalg.norm(a)))
    of_days = [replace(item, where="") for item in assumed]
    return Plan(now, chosen, [ESTIMATE, Caution("test-flight", "")], [*map(assumed_start, starts), *of_days, *usual])


def _refuse_uncertain(loadings: Sequence[Loading], conditions: Sequence[Condition]) -> None:
    for name, members in (("loadings", loadings), ("conditions", conditions)):
        for i, member in enumerate(members):
            if uncertain(member):
                message = "flights are planned with sure loads in sure air: leave plus_minus out"
                raise Refusal(f"/{name}/{i}", message)


def _steps(unknowns: Unknowns) -> NDArray[np.float64]:
    """The middle, and a little along each direction, up and down."""
    count = unknowns.shares.shape[1]
    return np.concatenate([np.zeros((1, count)), _STEP * np.eye(count), -_STEP * np.eye(count)])


def _each(value: Floats, cases: int, count: int) -> Floats:
    return np.broadcast_to(value, (cases, 1, 1, count))[:, 0, 0]


def _answered(aircraft: Aircraft, question: Question, measure: str, cases: int) -> Floats:
    """The measure at every case.

    Raises
    ------
    Refusal
        It does not exist, or nothing of it is uncertain.
    """
    answer = evaluate([aircraft], flights_of(question, [aircraft], phases_of([measure]))).measures.get(measure)
    values = np.full(cases, np.nan) if answer is None else _each(answer, cases, 1)[:, 0]
    if np.isnan(values[0]):
        raise Refusal("/narrow/measure", "the measure does not exist in this loading and condition")
    if not np.ptp(values) > 0.0:
        raise Refusal("/narrow/measure", "nothing of this measure is uncertain: there is nothing to narrow")
    return values


def _slopes(cases: Floats) -> NDArray[np.float64]:
    """Change of values along each direction, from their cases along the first axis."""
    half = (len(cases) - 1) // 2
    return np.asarray((cases[1 : half + 1] - cases[half + 1 :]) / (2.0 * _STEP))


def _usual(one: Observation, value: float) -> float:
    return quantity_of(one.kind, one.measured).usual(value)


def _in_turn(
    a: NDArray[np.float64], b: NDArray[np.float64], spread: NDArray[np.float64], count: int
) -> list[tuple[int, float, tuple[float, float, float]]]:
    """Places of the observations that take most, one after the other, the answer's spread after each, and why."""
    covariance, found = np.eye(len(a)), list[tuple[int, float, tuple[float, float, float]]]()
    usable = np.isfinite(b).all(axis=0) & np.isfinite(spread) & (spread > 0.0)
    b = np.where(usable, b, 0.0)
    noise = np.where(usable, spread, 1.0) ** 2
    while len(found) < count:
        along = covariance @ b
        variance = noise + np.einsum("ij,ij->j", b, along)
        taken = np.where(usable, (a @ along) ** 2 / variance, -1.0)
        taken[[k for k, _, _ in found]] = -1.0
        k, before = int(np.argmax(taken)), float(a @ covariance @ a)
        if taken[k] <= before * (1.0 - (1.0 - _WORTH) ** 2):
            break
        own, answer = float(np.sqrt(b[:, k] @ along[:, k])), float(np.sqrt(before))
        told = answer, own, float(a @ along[:, k]) / (answer * own)
        covariance = covariance - np.outer(along[:, k], along[:, k]) / variance[k]
        found.append((k, float(np.sqrt(max(a @ covariance @ a, 0.0))), told))
    return found


def _candidates(
    aircraft: Aircraft, loadings: Sequence[Loading], conditions: Sequence[Condition], where: str
) -> list[tuple[Observation, str, str]]:
    """Every kind of flight in every loading and condition, with the names of both."""
    settled = weighed_and_settled(central(completed_for(aircraft, [], where)[0]), where)
    found = []
    for loading in loadings:
        for condition in conditions:
            speeds = _speeds(settled, loading, condition)
            found += [
                (replace(one, name=f"{one.name}, {loading.name}, {condition.name}"), loading.name, condition.name)
                for one in _kinds(loading, condition, *speeds)
            ]
    return found


def _speeds(aircraft: Aircraft, loading: Loading, condition: Condition) -> tuple[float, float]:
    """Calibrated airspeeds of the best climb and of a glide."""
    question = Question(aircraft, (), (loading,), (condition,), Flying())
    measures = evaluate([aircraft], flights_of(question, [aircraft], ())).measures
    climb, stall = (float(np.ravel(measures[f"{name}_calibrated"])[0]) for name in ("best_climb_speed", "stall_speed"))
    return climb, _GLIDE_FACTOR * stall


def _kinds(loading: Loading, condition: Condition, climb: float, glide: float) -> list[Observation]:
    def one(name: str, kind: str, measured: str, **more: Any) -> Observation:
        return Observation(name, kind, measured, 0.0, None, condition, stations=loading.stations, **more)

    return [
        one("climb", "climb", "rate", airspeed=climb),
        one("full throttle", "level", "speed", full_throttle=True),
        one("cruise", "level", "speed", power_fraction=_SETTING),
        one("stall", "stall", "speed"),
        one("glide", "glide", "sink", airspeed=glide),
        one("standing", "static-thrust", "thrust"),
    ]
