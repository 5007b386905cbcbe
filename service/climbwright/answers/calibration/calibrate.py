"""An aeroplane and its flights in, the aeroplane as it most likely is out, each number with its spread."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.air.condition import check_condition
from climbwright.air.state import standard_air
from climbwright.aircraft.description import Aircraft, AirspeedErrors, Propeller
from climbwright.aircraft.loading import misloaded
from climbwright.aircraft.starting_values import StartingValue, complete
from climbwright.answers.calibration.doubts import Doubt, doubts
from climbwright.answers.calibration.fit import Fit, fitted
from climbwright.answers.calibration.observation import POWER_FRACTION, SHARED, Observation, Shared, quantity_of
from climbwright.answers.calibration.prediction import Flown, Prediction, flown, predict
from climbwright.answers.notes import Assumed, assumed_start
from climbwright.answers.question import weighed_and_settled
from climbwright.answers.spread import central, lay_out, placed, shares, standard_deviation, uncertain
from climbwright.arrays import Measured, middle
from climbwright.refusal import Refusal, pointer_part

__all__ = ["Learned", "completed_for", "learn", "shared_by"]

_LEAST = 0.05  # of a starting value two spreads and more above zero: no such number goes below this part of it
_MOST = 8.0  # spreads that the search may go along one direction
_PHASES = {"glide": "glide", "ground-roll": "takeoff"}


@dataclass(frozen=True, slots=True)
class Learned:
    """What a calibration learned.

    `numbers` are the uncertain numbers of the completed aeroplane and of the days as they were before, `values` and
    `covariance` those after the fit, in the same order; `table` has their share of each direction. `own` are
    the spreads of the observations with what was uncertain of their own air, load and setting.
    """

    aircraft: Aircraft
    shared: Shared
    numbers: list[Measured]
    values: NDArray[np.float64]
    covariance: NDArray[np.float64]
    table: NDArray[np.float64]
    fit: Fit
    own: NDArray[np.float64]
    prediction: Prediction
    observed: Flown
    doubts: list[Doubt]
    assumed: list[Assumed]


def learn(aircraft: Aircraft, observations: Sequence[Observation], where: str = "/aircraft") -> Learned:
    """Fit an aeroplane to observations.

    Parameters
    ----------
    aircraft : Aircraft
        With gaps.
    observations : sequence of Observation
        At least one.
    where : str
        JSON Pointer of the aircraft.

    Returns
    -------
    Learned
        The aeroplane before, the fit, and what every observation should have read.

    Raises
    ------
    Refusal
        Something is missing, contradicts itself, or lies outside the formulas.
    """
    for i, one in enumerate(observations):
        check_condition(one.condition, f"/observations/{i}/condition")
    _refuse_loads(aircraft, observations)
    observations, spreads = _with_spreads(observations)
    completed, assumed = completed_for(aircraft, observations, where)
    shared, more = shared_by(completed, observations)
    middle = weighed_and_settled(central(completed), where)
    laid, _ = lay_out(tuple(observations), 3)
    own = predict(middle, flown(laid, middle), central(shared)).value
    inputs = np.broadcast_to(standard_deviation(own), (1, 1, len(observations)))[0, 0] if len(own) > 1 else 0.0
    spread = np.asarray(np.hypot([one.spread or 0.0 for one in observations], inputs))
    observed = flown(central(tuple(observations)), middle)
    tree = completed, shared
    numbers = uncertain(tree)
    table = shares(numbers)
    start = np.array([number.value for number in numbers])
    least = np.where(start > 2.0 * np.linalg.norm(table, axis=1), _LEAST * start, -np.inf)

    def flight_at(z: NDArray[np.float64], observed: Flown = observed) -> Prediction:
        columns = np.maximum(start + np.clip(z, -_MOST, _MOST) @ table.T, least).T.reshape(len(numbers), -1, 1, 1, 1)
        laid_aircraft, laid_shared = placed(tree, list(columns))
        return predict(weighed_and_settled(laid_aircraft, where), observed, laid_shared)

    def model(z: NDArray[np.float64]) -> Any:
        value = flight_at(z).value
        return np.broadcast_to(value, (len(z), 1, 1, len(observations)))[:, 0, 0]

    values, count = [one.value for one in observations], table.shape[1]
    fit = fitted(model, values, spread, count)

    def without(places: Collection[int]) -> Fit:
        there = np.array([place not in places for place in range(len(observations))])
        return fitted(model, values, np.where(there, spread, np.inf), count)

    def in_standard_air() -> NDArray[np.float64]:
        air = standard_air(observed.air.pressure_altitude)
        return np.asarray(flight_at(fit.z[None], replace(observed, air=air)).value[0, 0, 0])

    return Learned(
        completed,
        shared,
        numbers,
        np.maximum(start + table @ fit.z, least),
        table @ fit.covariance @ table.T,
        table,
        fit,
        spread,
        flight_at(fit.z[None]),
        observed,
        doubts(fit, without, observations, in_standard_air),
        [*map(assumed_start, assumed), *more, *spreads],
    )


def completed_for(aircraft: Aircraft, observations: Sequence[Observation], where: str) -> tuple[Aircraft, list[Any]]:
    """The aeroplane without gaps, as far as its observations ask."""
    phases = {_PHASES[one.kind] for one in observations if one.kind in _PHASES}
    if any(one.configuration is not None for one in observations):
        phases.add("climb")  # what flaps add to the drag
    completed, starts = complete(aircraft, where, phases)
    completed = replace(completed, propeller=_turning(completed))
    if completed.airspeed_errors is None:
        errors = AirspeedErrors(SHARED["near_stall"][1], SHARED["cruise"][1])
        completed = replace(completed, airspeed_errors=errors)
        starts += [
            StartingValue(f"{where}/airspeed_errors/{name}", f"airspeed-{name}", "ratio", SHARED[name][1])
            for name in ("near_stall", "cruise")
        ]
    return completed, starts


def _turning(aircraft: Aircraft) -> Propeller:
    """The propeller with its engine's speed standing still as a number, where its pitch class tells it."""
    propeller, rated = aircraft.propeller, aircraft.engine.speed
    fraction = propeller.static_fraction
    if propeller.static_speed is not None or not isinstance(fraction, Measured) or rated is None:
        return propeller
    static = Measured(fraction.value * middle(rated), fraction.plus_minus * middle(rated))
    return replace(propeller, static_speed=static, static_fraction=None)


def shared_by(aircraft: Aircraft, observations: Sequence[Observation]) -> tuple[Shared, list[Assumed]]:
    """Errors of the days; an empty mass whose spread the owner states has no other."""
    days = len({one.day for one in observations})
    altitude, temperature = SHARED["altitude"][1], SHARED["temperature"][1]
    weighed_surely = aircraft.empty is not None and not isinstance(aircraft.empty.mass, Measured)
    empty = SHARED["empty_mass"][1] if weighed_surely else 0.0
    names = ["altitude", "temperature", *(["empty_mass"] if weighed_surely else [])]
    assumed = [Assumed("/observations", f"shared-{name}", SHARED[name][1], SHARED[name][0]) for name in names]
    return Shared((altitude,) * days, (temperature,) * days, empty), assumed


def _with_spreads(observations: Sequence[Observation]) -> tuple[list[Observation], list[Assumed]]:
    """Observations with what is usual where their owner states no spread."""
    filled, assumed = [], []
    for i, one in enumerate(observations):
        where = f"/observations/{i}"
        if one.spread is None:
            known = quantity_of(one.kind, one.measured)
            usual = Measured(one.value, known.usual(one.value))
            field = one.reading if one.measured == "speed" else one.measured
            assumed.append(Assumed(f"{where}/{field}", "observation-spread", usual, known.kind))
            one = replace(one, spread=usual.plus_minus)
        if isinstance(one.power_fraction, float):
            setting = Measured(one.power_fraction, POWER_FRACTION)
            assumed.append(Assumed(f"{where}/power_fraction", "power-setting-spread", setting, "ratio"))
            one = replace(one, power_fraction=setting)
        filled.append(one)
    return filled, assumed


def _refuse_loads(aircraft: Aircraft, observations: Sequence[Observation]) -> None:
    """What no station can hold."""
    table = {station.name: station for station in aircraft.stations}
    for i, one in enumerate(observations):
        for name, amount in (one.stations or {}).items():
            problem = misloaded(name, amount, [table[name]] if name in table else [])
            if problem is not None:
                raise Refusal(f"/observations/{i}/stations/{pointer_part(name)}", problem)
