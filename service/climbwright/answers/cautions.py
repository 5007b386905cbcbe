"""When an aeroplane answer carries which caution, and with which numbers."""

from collections.abc import Callable, Sequence
from dataclasses import fields
from typing import Any

import numpy as np

from climbwright.air.airspeed import read_correction
from climbwright.aircraft.balance import Margins
from climbwright.aircraft.description import Aircraft, Limits
from climbwright.aircraft.loading import Loading
from climbwright.answers.evaluation import Evaluation
from climbwright.answers.notes import EXCEEDED, Caution
from climbwright.arrays import Floats

__all__ = ["ESTIMATE", "STALL_POWER_OFF", "below_minimum", "cautions_of", "leaves_limits", "outside", "over_maximum"]

ESTIMATE = Caution("estimate", "")
STALL_POWER_OFF = Caution("stall-power-off", "")
TIP_MACH_LIMIT = 0.85  # helical; common practice, no source
STATIC_THRUST_LIMIT = 0.80  # of the ideal; common practice, no source

Value = tuple[float, str] | str


class _Case:
    """One aeroplane of an evaluation, the central case: arrays of loading and condition."""

    def __init__(self, evaluation: Evaluation, shape: tuple[int, ...], index: int) -> None:
        self._evaluation, self._shape, self._index = evaluation, shape, index

    def cut(self, value: Any) -> Floats:
        """The loadings and conditions of one value."""
        return np.broadcast_to(value, self._shape)[0, self._index]

    def measure(self, name: str) -> Floats | None:
        value = self._evaluation.measures.get(name)
        return None if value is None else self.cut(value)

    def check(self, name: str) -> Floats | None:
        value = self._evaluation.checks.get(name)
        return None if value is None else self.cut(value)


def cautions_of(
    aircraft: Aircraft,
    evaluation: Evaluation,
    shape: tuple[int, ...],
    index: int,
    loadings: Sequence[Loading],
    conditions: Sequence[str],
) -> list[Caution]:
    """Every caution of one aeroplane, broken limits first.

    Parameters
    ----------
    aircraft : Aircraft
        As described and changed; its spread, if any, lies along the first axis.
    evaluation : Evaluation
        Of the aeroplanes it was evaluated with.
    shape : tuple of int
        Spread, aircraft, loading, condition.
    index : int
        Which aeroplane of the evaluation.
    loadings : sequence of Loading
        As asked.
    conditions : sequence of str
        Names of the conditions.

    Returns
    -------
    list of Caution
        At most one of each code for a loading, at the worst of its conditions.
    """
    case = _Case(evaluation, shape, index)
    found: list[Caution] = []
    _balance(found, case, aircraft.limits, evaluation, loadings)
    _stations(found, case, aircraft, evaluation, loadings)
    _flight(found, case, aircraft, loadings, conditions)
    rank = {code: order for order, code in enumerate(EXCEEDED)}
    return sorted(found, key=lambda caution: rank.get(caution.code, len(rank)))


def _first(value: Any) -> float:
    """The central case of a number of the description."""
    return float(np.ravel(value)[0])


def over_maximum(mass: float, margin: float, where: str, **names: Value) -> Caution:
    """The aeroplane weighs more than its limits allow."""
    values: dict[str, Value] = {"weight": (mass, "mass"), "limit": (mass + margin, "mass"), "excess": (-margin, "mass")}
    return Caution("over-maximum-weight", where, names | values)


def outside(arm: float, found: Margins, where: str, **names: Value) -> Caution:
    """The CG is outside its limits, with the limit that it breaks."""
    forward, aft = float(found.forward_limit), float(found.aft_limit)
    ahead = np.isnan(aft) or abs(arm - forward) < abs(arm - aft)
    values: dict[str, Value] = {
        "arm": (arm, "length"),
        "limit": (forward if ahead else aft, "length"),
        "excess": (-float(found.arm), "length"),
        "side": "ahead of the forward" if ahead else "behind the aft",
    }
    return Caution("cg-outside-limits", where, names | values)


def leaves_limits(margin: float, where: str, **names: Value) -> Caution:
    """The CG begins inside its limits and leaves them as fuel burns."""
    return Caution("cg-leaves-limits-as-fuel-burns", where, names | {"excess": (-margin, "length")})


def below_minimum(station: str, mass: float, least: float, where: str, **names: Value) -> Caution:
    """A station holds less than its minimum."""
    values: dict[str, Value] = {"station": station, "weight": (mass, "mass"), "least": (least, "mass")}
    return Caution("below-station-minimum", where, names | values)


def _balance(
    found: list[Caution], case: _Case, limits: Limits, evaluation: Evaluation, loadings: Sequence[Loading]
) -> None:
    weight, arm = case.cut(evaluation.measures["weight"])[:, 0], case.cut(evaluation.measures["cg_arm"])[:, 0]
    start = evaluation.margins
    columns = [case.cut(getattr(start, field.name))[:, 0] for field in fields(Margins)]
    burned = [case.cut(point.arm)[:, 0] for point in evaluation.burned]
    shown = None if limits.load_factor_mass is None else _first(limits.load_factor_mass)
    for i, loading in enumerate(loadings):
        where, mass = f"/loadings/{i}", float(weight[i])
        here = Margins(*(column[i] for column in columns))
        if here.mass < 0.0:
            found.append(over_maximum(mass, float(here.mass), where, loading=loading.name))
        if here.arm < 0.0:
            found.append(outside(float(arm[i]), here, where, loading=loading.name))
        elif any(point[i] < 0.0 for point in burned):
            worst = min(float(point[i]) for point in burned)
            found.append(leaves_limits(worst, where, loading=loading.name))
        if shown is not None and limits.load_factor is not None and mass > shown:
            values: dict[str, Value] = {
                "loading": loading.name,
                "weight": (mass, "mass"),
                "shown": (shown, "mass"),
                "factor": (_first(limits.load_factor) * shown / mass, "ratio"),
            }
            found.append(Caution("load-factor-reduced", where, values))


def _stations(
    found: list[Caution], case: _Case, aircraft: Aircraft, evaluation: Evaluation, loadings: Sequence[Loading]
) -> None:
    for station in aircraft.stations:
        if station.minimum is None:
            continue
        held = case.cut(evaluation.amounts[station.name].mass)[:, 0]
        least = _first(station.minimum)
        for i, loading in enumerate(loadings):
            if held[i] < least:
                where = f"/loadings/{i}"
                found.append(below_minimum(station.name, float(held[i]), least, where, loading=loading.name))


def _flight(
    found: list[Caution],
    case: _Case,
    aircraft: Aircraft,
    loadings: Sequence[Loading],
    conditions: Sequence[str],
) -> None:
    def worst(code: str, value: Floats | None, bad: Callable[[Floats], Floats], **more: Value) -> None:
        """One caution for each loading in which any condition is bad, with the worst one's number."""
        if value is None:
            return
        with np.errstate(invalid="ignore"):
            wrong = bad(value)
        if not wrong.any():
            return
        kind = _KINDS[code]
        for i, loading in enumerate(loadings):
            if wrong[i].any():
                j = int(np.argmax(np.where(wrong[i], np.abs(value[i]), -1.0)))
                values: dict[str, Value] = {
                    "loading": loading.name,
                    "condition": conditions[j],
                    "value": (float(value[i, j]), kind),
                    **more,
                }
                found.append(Caution(code, f"/loadings/{i}", values))

    limit = aircraft.engine.power_limit
    if limit is not None:
        most = _first(limit)
        worst("power-above-limit", case.measure("power_available"), lambda v: v > most, limit=(most, "power"))
    speed = case.measure("greatest_level_speed_calibrated")
    limits = aircraft.speed_limits
    if limits.never_exceed is not None:
        top = _calibrated_limit(_first(limits.never_exceed), aircraft)
        worst("faster-than-never-exceed", speed, lambda v: v > top, limit=(top, "speed"))
    if limits.smooth_air is not None:
        smooth = _calibrated_limit(_first(limits.smooth_air), aircraft)
        worst("faster-than-smooth-air-limit", speed, lambda v: v > smooth, limit=(smooth, "speed"))
    worst("no-climb", case.measure("best_climb_rate"), lambda v: v <= 0.0)
    worst("no-level-flight", case.measure("greatest_level_speed_true"), np.isnan)
    held = case.check("angle_held")
    angle_speed = case.measure("best_angle_speed_calibrated")
    if held is not None and angle_speed is not None and (held > 0.0).any():
        worst("best-angle-speed-held", np.where(held > 0.0, angle_speed, np.nan), lambda v: v > 0.0)
    held = case.check("rate_held")
    rate_speed = case.measure("best_climb_speed_calibrated")
    if held is not None and rate_speed is not None and (held > 0.0).any():
        worst("best-rate-speed-held", np.where(held > 0.0, rate_speed, np.nan), lambda v: v > 0.0)
    worst("climb-speed-near-stall", case.check("climb_speed_over_stall"), lambda v: v < 1.2)
    worst("tip-mach", case.check("tip_mach"), lambda v: v > TIP_MACH_LIMIT, limit=(TIP_MACH_LIMIT, "ratio"))
    ratio = case.check("static_thrust_ratio")
    worst("static-thrust-impossible", ratio, lambda v: v > 1.0)
    worst("static-thrust-high", ratio, lambda v: (v > STATIC_THRUST_LIMIT) & (v <= 1.0))
    worst("power-above-rated", case.check("power_ratio"), lambda v: v > 1.0)


_KINDS = {
    "power-above-limit": "power",
    "faster-than-never-exceed": "speed",
    "faster-than-smooth-air-limit": "speed",
    "no-climb": "vertical speed",
    "no-level-flight": "speed",
    "best-angle-speed-held": "speed",
    "best-rate-speed-held": "speed",
    "climb-speed-near-stall": "ratio",
    "tip-mach": "ratio",
    "static-thrust-impossible": "ratio",
    "static-thrust-high": "ratio",
    "power-above-rated": "ratio",
}


def _calibrated_limit(limit: float, aircraft: Aircraft) -> float:
    """A limit marked on the airspeed indicator as a calibrated speed; as it is where the table does not reach."""
    table = aircraft.airspeed_correction
    if not table:
        return limit
    calibrated = read_correction(limit, [p.indicated for p in table], [p.calibrated for p in table])
    return limit if np.isnan(calibrated) else float(calibrated)
