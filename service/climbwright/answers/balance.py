"""Weight and balance of what an owner lists: totals, limits, and the line the CG walks as fuel burns."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from climbwright.aircraft.balance import ballast_arm, ballast_mass, chord_fraction, margins, weigh
from climbwright.aircraft.changes import Change, moved_parts
from climbwright.aircraft.description import Limits, Mass, Scale, Station
from climbwright.aircraft.loading import Amount, between, burn_path, loaded_mass, misloaded, worst_loadings
from climbwright.answers.cautions import below_envelope, below_minimum, leaves_limits, outside, over_maximum
from climbwright.answers.notes import Caution
from climbwright.answers.single import Single
from climbwright.answers.spread import lay_out, standard_deviation
from climbwright.arrays import Floats, Number, middle
from climbwright.refusal import Refusal, pointer_part, refuse_where

__all__ = ["BalanceAnswer", "BalanceInputs", "Extreme", "balance"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceInputs:
    """Parts already at their arms, stations with what they hold, limits, and the chord; None where nothing was said."""

    parts: tuple[Mass, ...]
    scales: tuple[Scale, ...] = ()
    changes: tuple[Change, ...] = ()
    stations: tuple[Station, ...] = ()
    amounts: Mapping[str, Amount]
    limits: Limits
    chord: Number = None
    leading_edge_arm: Number = None
    ballast_arm: Number = None
    ballast_mass: Number = None


@dataclass(frozen=True, slots=True)
class Extreme:
    """A worst loading: masses by station [kg], totals by field name, and whether its limits are kept."""

    held: Mapping[str, float]
    totals: dict[str, Single]
    in_limits: bool | None


@dataclass(frozen=True, slots=True)
class BalanceAnswer:
    """Totals and margins by field name, whether all limits are kept (None without limits), and the burn path.

    `worst` are the worst forward and aft loadings; `ballast` mends a CG outside its limits, or is the code of the
    reason why there is none.
    """

    totals: dict[str, Single]
    in_limits: bool | None
    burn: list[tuple[str, dict[str, Single], bool | None]]
    worst: tuple[Extreme, Extreme] | None
    ballast: Mass | str
    cautions: list[Caution]


def balance(inputs: BalanceInputs) -> BalanceAnswer:
    """Total weight and CG, margins to the limits given, and the same after each tank has burned.

    Parameters
    ----------
    inputs : BalanceInputs
        At least one part or loaded station.

    Returns
    -------
    BalanceAnswer
        With a caution for each limit that is broken.

    Raises
    ------
    Refusal
        The total is not above zero, or a station is loaded with what it cannot hold.
    """
    laid, cases = lay_out(inputs, axes=0)
    _refuse_loading(laid)
    weighed = [weigh(laid.scales)] if laid.scales else []
    parts = [*weighed, *laid.parts, *(part for change in laid.changes for part in moved_parts(change))]
    path = burn_path(parts, laid.stations, laid.amounts)
    refuse_where(np.less_equal(path[0].mass, 0.0), "", "the weights add up to nothing: send what the aeroplane weighs")
    tanks = [s.name for s in laid.stations if s.density is not None and s.name in laid.amounts]
    totals, inside = _totals(path[0], laid, cases)
    burn = [(name, *_totals(point, laid, cases)) for name, point in zip(tanks, path[1:], strict=True)]
    return BalanceAnswer(totals, inside, burn, _worst(parts, laid), _ballast(path[0], laid), _cautions(path, laid))


def _worst(parts: Sequence[Mass], inputs: BalanceInputs) -> tuple[Extreme, Extreme] | None:
    """The central case of the worst loadings."""
    stated = [Mass(middle(part.mass), middle(part.arm)) for part in parts]
    found = worst_loadings(stated, inputs.stations, inputs.amounts, inputs.limits.maximum_mass)
    if found is None:
        return None
    forward, aft = (Extreme(one.held, *_totals(one.loaded, inputs, 1)) for one in found)
    return forward, aft


def _ballast(loaded: Mass, inputs: BalanceInputs) -> Mass | str:
    """Ballast that brings a CG outside plain limits back to the nearer one, by its arm or by its mass."""
    if inputs.ballast_arm is None and inputs.ballast_mass is None:
        return "no-ballast-asked"
    if inputs.limits.envelope:
        return "ballast-in-envelope"
    mass, arm = middle(loaded.mass), middle(loaded.arm)
    found = margins(mass, arm, inputs.limits)
    if not found.arm < 0.0:
        return "no-ballast-needed"
    wanted = float(found.nearest_limit)
    if inputs.ballast_mass is not None:
        return Mass(inputs.ballast_mass, float(ballast_arm(mass, arm, wanted, inputs.ballast_mass)))
    helps = (inputs.ballast_arm - wanted) * (wanted - arm) > 0.0
    return (
        Mass(float(ballast_mass(mass, arm, wanted, inputs.ballast_arm)), inputs.ballast_arm)
        if helps
        else "ballast-there-is-worse"
    )


def _refuse_loading(inputs: BalanceInputs) -> None:
    table = {station.name: station for station in inputs.stations}
    for name, amount in inputs.amounts.items():
        problem = misloaded(name, amount, [table[name]] if name in table else [])
        if problem is not None:
            raise Refusal(f"/loading/{pointer_part(name)}", problem)


def _totals(point: Mass, inputs: BalanceInputs, cases: int) -> tuple[dict[str, Single], bool | None]:
    found = margins(point.mass, point.arm, inputs.limits)
    columns: dict[str, Floats] = {
        "weight": point.mass,
        "cg_arm": point.arm,
        "moment": np.multiply(point.mass, point.arm),
        "cg_margin": found.arm,
        "forward_limit": found.forward_limit,
        "aft_limit": found.aft_limit,
        "weight_margin": found.mass,
        "envelope_distance": found.envelope_distance,
        "cg_chord_fraction": np.nan,
    }
    if inputs.chord is not None and inputs.leading_edge_arm is not None:
        columns["cg_chord_fraction"] = chord_fraction(point.arm, inputs.leading_edge_arm, inputs.chord)
    limited = inputs.limits != Limits()
    inside = bool(np.ravel(found.inside)[0]) if limited else None
    if cases == 1:
        return {name: Single(np.float64(np.ravel(value)[0])) for name, value in columns.items()}, inside
    wide = {name: np.broadcast_to(value, (cases,)) for name, value in columns.items()}
    return {name: Single(value[0], standard_deviation(value)) for name, value in wide.items()}, inside


def _cautions(path: Sequence[Mass], inputs: BalanceInputs) -> list[Caution]:
    """Of the central case."""
    points = [Mass(middle(point.mass), middle(point.arm)) for point in path]
    start, limits = points[0], inputs.limits
    found = margins(start.mass, start.arm, limits)
    envelope = "/envelope" if limits.envelope else ""
    cautions: list[Caution] = []
    if found.mass < 0.0:
        where = envelope if limits.maximum_mass is None else "/maximum_weight"
        cautions.append(over_maximum(start.mass, float(found.mass), where))
    if found.lightest < 0.0:
        cautions.append(below_envelope(start.mass, float(found.lightest), envelope))
    if found.arm < 0.0:
        cautions.append(outside(start.arm, found, envelope))
    if found.inside:
        way = between(points, [corner.mass for corner in limits.envelope]) if limits.envelope else points[1:]
        leaving = next((p for p in way if not margins(p.mass, p.arm, limits).inside), None)
        if leaving is not None:
            cautions.append(leaves_limits(leaving, "/stations"))
    for i, station in enumerate(inputs.stations):
        held = inputs.amounts.get(station.name)
        mass = 0.0 if held is None else middle(loaded_mass(held, station))
        if station.minimum is not None and mass < middle(station.minimum):
            cautions.append(below_minimum(station.name, mass, middle(station.minimum), f"/stations/{i}"))
    return cautions
