"""An aeroplane and its flights in, the aeroplane as it most likely is out, each number with its spread."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.air.airspeed import read_correction
from climbwright.air.condition import check_condition
from climbwright.air.state import standard_air
from climbwright.aircraft.description import Aircraft, AirspeedErrors, Propeller
from climbwright.aircraft.loading import refuse_misloaded
from climbwright.aircraft.starting_values import StartingValue, complete
from climbwright.answers.assumptions import assumed_of_condition
from climbwright.answers.calibration.doubts import Doubt, doubts
from climbwright.answers.calibration.fit import Fit, Model, fitted
from climbwright.answers.calibration.observation import POWER_FRACTION, SHARED, Observation, Shared, quantity_of
from climbwright.answers.calibration.prediction import LIFT_OFF_FACTOR, ROLLING_LIFT, Flown, Prediction, flown, predict
from climbwright.answers.notes import Assumed, assumed_start
from climbwright.answers.question import weighed_and_settled
from climbwright.answers.spread import central, least_of, placed, shares, uncertain
from climbwright.answers.work import PREDICTED, ask_for
from climbwright.arrays import Floats, Measured, Number, middle
from climbwright.flight.surfaces import SURFACES
from climbwright.refusal import Refusal, pointer_part

__all__ = [
    "Learned",
    "Unknowns",
    "by_the_table",
    "completed_for",
    "learn",
    "refuse_loads",
    "refuse_untold",
    "shared_by",
    "turning",
    "with_spreads",
]

_SUREST = 0.01  # of the usual spread
_MOST = 8.0  # spreads that the search may go along one direction
_PHASES = {"glide": "glide", "ground-roll": "takeoff"}


class Unknowns:
    """All that is uncertain of an aeroplane, its days and its flights, along independent directions.

    Parameters
    ----------
    aircraft, shared, observations
        Their uncertain numbers are `Measured`.

    Attributes
    ----------
    numbers : list of Measured
        In that order.
    shares : numpy.ndarray, shape (numbers, directions)
        Change of each along each direction, one standard deviation of it. [SI]
    """

    def __init__(self, aircraft: Aircraft, shared: Shared, observations: tuple[Observation, ...]) -> None:
        self.tree = aircraft, shared, observations
        self.numbers = uncertain(self.tree)
        self.shares = shares(self.numbers)
        self._middle = np.array([number.value for number in self.numbers])
        self._least = least_of(self._middle, self.shares)

    def values(self, z: NDArray[np.float64]) -> NDArray[np.float64]:
        """The numbers at places, shape (..., directions) to (..., numbers)."""
        return np.asarray(np.maximum(self._middle + z @ self.shares.T, self._least))

    def bounds(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Least and greatest of each direction: so far, and no further than the numbers that it moves alone may go."""
        least = np.full(self.shares.shape[1], -_MOST)
        greatest = -least
        for row, down in zip(self.shares, self._least - self._middle, strict=True):
            along = np.flatnonzero(row)
            if len(along) == 1 and row[along] > 0.0:
                least[along] = np.maximum(least[along], down / row[along])
            elif len(along) == 1:
                greatest[along] = np.minimum(greatest[along], down / row[along])
        return least, greatest

    def placed(self, values: NDArray[np.float64]) -> tuple[Aircraft, Shared, tuple[Observation, ...]]:
        """Aeroplane, days and flights with numbers of shape (cases, numbers), each laid out as (cases, 1, 1, 1)."""
        columns = values.T.reshape(len(self.numbers), -1, 1, 1, 1)
        aircraft, shared, observations = placed(self.tree, list(columns))
        return aircraft, shared, observations


@dataclass(frozen=True, slots=True)
class Learned:
    """What a calibration learned: the unknowns, the fit, and what every observation should have read.

    `values` are the observations as they were compared: airspeeds after the owner's table. [SI]
    """

    aircraft: Aircraft
    shared: Shared
    unknowns: Unknowns
    fit: Fit
    prediction: Prediction
    observed: Flown
    values: NDArray[np.float64]
    doubts: list[Doubt]
    assumed: list[Assumed]

    @property
    def numbers(self) -> list[Measured]:
        """Every uncertain number as it is after the fit, in the order of the unknowns."""
        spread = np.linalg.norm(self.unknowns.shares @ np.linalg.cholesky(self.fit.covariance), axis=1)
        values = self.unknowns.values(self.fit.z)
        return [Measured(float(value), float(sigma)) for value, sigma in zip(values, spread, strict=True)]


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
    refuse_loads(aircraft, observations)
    observations, spreads = with_spreads(observations)
    observations = by_the_table(aircraft, observations)
    completed, assumed = completed_for(aircraft, observations, where)
    shared, more = shared_by(completed, observations)
    weighed = weighed_and_settled(central(completed), where)
    unknowns = Unknowns(completed, shared, tuple(observations))
    as_read = flown(central(unknowns.tree[2]), weighed)
    sure = not uncertain(unknowns.tree[2])

    def predicted(z: NDArray[np.float64], in_standard_air: bool = False) -> Prediction:
        aircraft, errors, flights = unknowns.placed(unknowns.values(z))
        observed = as_read if sure else flown(flights, weighed)
        if in_standard_air:
            observed = replace(observed, air=standard_air(observed.air.pressure_altitude))
        return predict(weighed_and_settled(aircraft, where), observed, errors)

    def predictions(z: NDArray[np.float64]) -> Floats:
        ask_for(PREDICTED * len(z) * len(observations))
        return np.broadcast_to(predicted(z).value, (len(z), 1, 1, len(observations)))[:, 0, 0]

    model = Model(predictions, *unknowns.bounds())
    before = model.place(np.zeros(unknowns.shares.shape[1]))
    refuse_untold(before.predicted, range(len(observations)))
    values, spread = (np.array([getattr(one, name) for one in observations]) for name in ("value", "spread"))

    def without(places: Collection[int], *near: Fit) -> Fit:
        there = np.array([place not in places for place in range(len(observations))])
        return fitted(model, values, np.where(there, spread, np.inf), (before, *near))

    fit = without(())
    best = fit.z[None]
    doubted = doubts(fit, without, observations, lambda: np.asarray(predicted(best, True).value[0, 0, 0]))
    assumed_too = [*map(assumed_start, assumed), *more, *spreads]
    return Learned(completed, shared, unknowns, fit, predicted(best), as_read, values, doubted, assumed_too)


def completed_for(
    aircraft: Aircraft, observations: Sequence[Observation], where: str, more: Collection[str] = ()
) -> tuple[Aircraft, list[Any]]:
    """The aeroplane without gaps, as far as its observations and more phases ask."""
    phases = {*more} | {_PHASES[one.kind] for one in observations if one.kind in _PHASES}
    if any(one.configuration is not None for one in observations):
        phases.add("climb")  # what flaps add to the drag
    completed, starts = complete(aircraft, where, phases)
    completed = replace(completed, propeller=turning(completed))
    if completed.airspeed_errors is None:
        errors = AirspeedErrors(SHARED["near_stall"][1], SHARED["cruise"][1])
        completed = replace(completed, airspeed_errors=errors)
        starts += [
            StartingValue(f"{where}/airspeed_errors/{name}", f"airspeed-{name}", "ratio", SHARED[name][1])
            for name in ("near_stall", "cruise")
        ]
    return completed, starts


def turning(aircraft: Aircraft) -> Propeller:
    """The propeller with its engine's speed standing still as a number, where its pitch class tells it."""
    propeller, rated = aircraft.propeller, aircraft.engine.speed
    fraction = propeller.static_fraction
    if propeller.static_speed is not None or fraction is None or rated is None:
        return propeller
    if isinstance(fraction, Measured):
        speed: Number = Measured(fraction.value * middle(rated), fraction.plus_minus * middle(rated))
    else:
        speed = np.multiply(fraction, rated)
    return replace(propeller, static_speed=speed, static_fraction=None)


def shared_by(aircraft: Aircraft, observations: Sequence[Observation]) -> tuple[Shared, list[Assumed]]:
    """Errors of the days; an empty mass whose spread the owner states has no other."""
    days = len({one.day for one in observations})
    altitude, temperature = SHARED["altitude"][1], SHARED["temperature"][1]
    weighed_surely = not uncertain((aircraft.empty, aircraft.scales))
    empty = SHARED["empty_mass"][1] if weighed_surely else 0.0
    names = ["altitude", "temperature", *(["empty_mass"] if weighed_surely else [])]
    assumed = [Assumed("/observations", f"shared-{name}", SHARED[name][1], SHARED[name][0]) for name in names]
    return Shared((altitude,) * days, (temperature,) * days, empty), assumed


def with_spreads(observations: Sequence[Observation]) -> tuple[list[Observation], list[Assumed]]:
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
        elif one.spread < _SUREST * quantity_of(one.kind, one.measured).usual(one.value):
            field = one.reading if one.measured == "speed" else one.measured
            message = "no reading is as sure as this plus_minus says: send what you could be wrong by, or leave it out"
            raise Refusal(f"{where}/{field}", message)
        if isinstance(one.power_fraction, float):
            setting = Measured(one.power_fraction, POWER_FRACTION)
            assumed.append(Assumed(f"{where}/power_fraction", "power-setting-spread", setting, "ratio"))
            one = replace(one, power_fraction=setting)
        if one.mass is not None and one.arm is None:
            assumed.append(Assumed(f"{where}/arm", "observation-arm"))
        filled.append(one)
        assumed += [*_of_roll(one, where), *assumed_of_condition(one.condition, f"{where}/condition")]
    return filled, assumed


def _of_roll(one: Observation, where: str) -> list[Assumed]:
    """What stands in for what was not said of a ground roll."""
    if one.kind != "ground-roll":
        return []
    found = [Assumed(where, "takeoff-rolling_lift_coefficient", ROLLING_LIFT, "ratio")]
    if one.airspeed is None:
        found.append(Assumed(where, "takeoff-lift_off_factor", LIFT_OFF_FACTOR, "ratio"))
    if any(one.rolling_friction is surface.rolling_friction for surface in SURFACES.values()):
        found.append(Assumed(f"{where}/rolling_friction", "strip-rolling_friction", one.rolling_friction, "ratio"))
    return found


def by_the_table(aircraft: Aircraft, observations: Sequence[Observation]) -> list[Observation]:
    """Observations whose indicated airspeeds have been read through the owner's table where they are what was measured.

    Raises
    ------
    Refusal
        An indicated airspeed lies outside the table.
    """
    table = aircraft.airspeed_correction
    if not table:
        return [*observations]
    indicated, calibrated = [p.indicated for p in table], [p.calibrated for p in table]
    found = []
    for i, one in enumerate(observations):
        if one.reading == "indicated":
            speeds = {"indicated": one.airspeed, "end_speed": one.end_airspeed}
            if one.measured == "speed":
                speeds["indicated"] = one.value
            for name, speed in speeds.items():
                if speed is not None and np.isnan(read_correction(middle(speed), indicated, calibrated)):
                    message = "outside the airspeed_correction table, which is never extended: widen the table"
                    raise Refusal(f"/observations/{i}/{name}", message)
            if one.measured == "speed":
                one = replace(one, value=float(read_correction(one.value, indicated, calibrated)))
        found.append(one)
    return found


def refuse_untold(predicted: Floats, places: Sequence[int]) -> None:
    """An observation of which the aeroplane as described says nothing.

    Parameters
    ----------
    predicted : numpy.ndarray, shape (n,)
        What each should read. [SI]
    places : sequence of int, length n
        Where it stands in the request.

    Raises
    ------
    Refusal
        Names the first of them.
    """
    for value, place in zip(predicted, places, strict=True):
        if not np.isfinite(value):
            message = (
                "the aeroplane as described does not tell what this should read (a constant efficiency says nothing of "
                "standing still, an engine speed needs a fixed pitch and its static_speed or pitch_class): leave it out"
            )
            raise Refusal(f"/observations/{place}", message)


def refuse_loads(
    aircraft: Aircraft, observations: Sequence[Observation], places: Collection[int] | None = None
) -> None:
    """What no station can hold, of the observations at these places, or of all.

    Raises
    ------
    Refusal
        Names the observation and the station.
    """
    table = {station.name: central(station) for station in aircraft.stations}
    for i, one in enumerate(observations):
        if places is not None and i not in places:
            continue
        for name, amount in (one.stations or {}).items():
            where = f"/observations/{i}/stations/{pointer_part(name)}"
            if name not in table:
                raise Refusal(where, f"there is no station '{name}'")
            refuse_misloaded(name, amount, [table[name]], where)
