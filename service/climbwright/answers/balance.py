"""Weight and balance of what an owner lists: totals, limits, and the line the CG walks as fuel burns."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from climbwright.aircraft.balance import ballast_arm, chord_fraction, margins, weigh
from climbwright.aircraft.changes import Change, moved_parts
from climbwright.aircraft.description import Limits, Mass, Scale, Station, Wheel, Wing
from climbwright.aircraft.loading import (
    Amount,
    between,
    burn_path,
    burned_tanks,
    loaded_mass,
    refuse_misloaded,
    worst_loadings,
)
from climbwright.aircraft.permitted import permitted_mass
from climbwright.answers.assumptions import assumed_of_balance
from climbwright.answers.balance_cautions import below_envelope, below_minimum, leaves_limits, outside, over_maximum
from climbwright.answers.cases import Cases, single_of, singles_of
from climbwright.answers.ground import WheelLoad, loads_on_wheels, tipping, weighing_doubts, wheels_of
from climbwright.answers.notes import Assumed, Caution
from climbwright.answers.pilot import PilotRange, pilot_ranges
from climbwright.answers.single import Single
from climbwright.answers.spread import lay_out
from climbwright.arrays import Floats, Number, middle
from climbwright.refusal import Refusal, pointer_part, refuse_where

__all__ = ["BalanceAnswer", "BalanceInputs", "Entry", "Extreme", "balance"]


_NO_WING = Wing(None, None)


@dataclass(frozen=True, slots=True, kw_only=True)
class BalanceInputs:
    """What was weighed and what came after it, stations with what they hold, limits, wing and wheels.

    None and empty where nothing was said; of the wing only the mean chord is used.
    """

    empty: Mass | None = None
    scales: tuple[Scale, ...] = ()
    loads: tuple[Mass, ...] = ()
    items: tuple[Mass, ...] = ()
    changes: tuple[Change, ...] = ()
    stations: tuple[Station, ...] = ()
    amounts: Mapping[str, Amount]
    burn_order: tuple[str, ...] = ()
    limits: Limits
    wing: Wing = _NO_WING
    ballast_arm: Number = None
    ballast_mass: Number = None
    wheels: tuple[Wheel, ...] = ()
    pilot_station: str | None = None


@dataclass(frozen=True, slots=True)
class Extreme:
    """A worst loading: masses by station [kg], totals by field name, and whether its limits are kept."""

    held: Mapping[str, float]
    totals: dict[str, Single]
    in_limits: bool | None


@dataclass(frozen=True, slots=True)
class Entry:
    """A line of the empty weight's record: what came in or went out, and the running weight and arm after it."""

    name: str
    columns: dict[str, Single]


@dataclass(frozen=True, slots=True)
class BalanceAnswer:
    """Totals and margins by field name, whether all limits are kept (None without limits), and the burn path.

    `worst` are the worst forward and aft loadings; `ballast` mends a CG outside its limits, or is the code of the
    reason why there is none. `record` is empty where nothing was weighed, `wheels` where the aeroplane stands on none,
    `pilot` where no station was named.
    """

    totals: dict[str, Single]
    in_limits: bool | None
    burn: list[tuple[str, dict[str, Single], bool | None]]
    worst: tuple[Extreme, Extreme] | None
    ballast: Mass | str
    record: list[Entry]
    wheels: list[WheelLoad]
    pilot: list[PilotRange]
    assumed: list[Assumed]
    cautions: list[Caution]


def balance(inputs: BalanceInputs, draws: int = 0) -> BalanceAnswer:
    """Total weight and CG, margins to the limits given, and the same after each tank has burned.

    Parameters
    ----------
    inputs : BalanceInputs
        At least one part or loaded station.
    draws : int
        Cases drawn at random for the spreads; 0 for linear spreads.

    Returns
    -------
    BalanceAnswer
        With a caution for each limit that is broken.

    Raises
    ------
    Refusal
        The total is not above zero, or a station is loaded with what it cannot hold.
    """
    laid, count = lay_out(inputs, 0, draws)
    cases = Cases(count, draws > 0)
    _refuse_loading(laid)
    weighed, moved = _weighed(laid), [(change.name, part) for change in laid.changes for part in moved_parts(change)]
    parts = [*weighed, *laid.loads, *laid.items, *(part for _, part in moved)]
    path = burn_path(parts, laid.stations, laid.amounts, laid.burn_order)
    refuse_where(np.less_equal(path[0].mass, 0.0), "", "the weights add up to nothing: send what the aeroplane weighs")
    tanks = burned_tanks(laid.stations, laid.amounts, laid.burn_order)
    totals, inside = _totals(path[0], laid, cases)
    wheels = loads_on_wheels(path[0], wheels_of(laid.wheels, laid.scales), cases)
    return BalanceAnswer(
        totals=totals | _mean_chord(laid.wing, cases),
        in_limits=inside,
        burn=[(tank.name, *_totals(point, laid, cases)) for tank, point in zip(tanks, path[1:], strict=True)],
        worst=_worst(parts, laid),
        ballast=_ballast(path[0], laid),
        record=_record(weighed, [*((item.name, item) for item in laid.items), *moved], cases),
        wheels=wheels,
        pilot=pilot_ranges(laid.pilot_station, parts, laid.stations, laid.amounts, laid.limits, cases, laid.burn_order),
        assumed=_assumed(inputs, bool(wheels)),
        cautions=[*_cautions(path, laid), *weighing_doubts(laid.scales), *tipping(wheels)],
    )


def _weighed(inputs: BalanceInputs) -> list[Mass]:
    """The empty aeroplane; nothing where only loads were given."""
    if not inputs.scales:
        return [] if inputs.empty is None else [inputs.empty]
    empty = weigh(inputs.scales)
    refuse_where(np.less_equal(empty.mass, 0.0), "/scales", "the scales carry nothing: send what they read")
    return [empty]


def _record(weighed: Sequence[Mass], after: Sequence[tuple[str, Mass]], cases: Cases) -> list[Entry]:
    """The running empty weight and arm, as it is kept on paper; none where nothing was weighed."""
    if not weighed:
        return []
    entries = [*(("as weighed", empty) for empty in weighed), *after]
    mass = np.stack([np.broadcast_to(part.mass, (cases.count,)) for _, part in entries], axis=-1)
    arm = np.stack([np.broadcast_to(part.arm, (cases.count,)) for _, part in entries], axis=-1)
    moment = mass * arm
    running = np.cumsum(mass, axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        running_arm = np.cumsum(moment, axis=-1) / np.where(running == 0.0, np.nan, running)
    columns = {"weight": mass, "arm": arm, "moment": moment, "running_weight": running, "running_arm": running_arm}
    lines = zip(*(singles_of(column, cases) for column in columns.values()), strict=True)
    return [Entry(name, dict(zip(columns, line, strict=True))) for (name, _), line in zip(entries, lines, strict=True)]


def _mean_chord(wing: Wing, cases: Cases) -> dict[str, Single]:
    known = {"chord": wing.chord, "leading_edge_arm": wing.leading_edge_arm}
    return {name: single_of(np.nan if value is None else value, cases) for name, value in known.items()}


def _assumed(inputs: BalanceInputs, stands: bool) -> list[Assumed]:
    """Of the inputs as they were sent."""
    found = assumed_of_balance(inputs.stations, inputs.amounts)
    unnamed = [tank for tank in burned_tanks(inputs.stations, inputs.amounts) if tank.name not in inputs.burn_order]
    if len(unnamed) > 1:
        found.append(Assumed("/burn_order", "burn-order-of-stations"))
    shape = inputs.wing.planform
    if shape is not None and shape.leading_edge_sweep is None:
        found.append(Assumed("/leading_edge_sweep", "unswept", 0.0, "angle"))
    if stands and not inputs.wheels:
        found.append(Assumed("/wheels", "wheels-as-weighed"))
    return found


def _worst(parts: Sequence[Mass], inputs: BalanceInputs) -> tuple[Extreme, Extreme] | None:
    """The central case of the worst loadings."""
    stated = [Mass(middle(part.mass), middle(part.arm)) for part in parts]
    found = worst_loadings(stated, inputs.stations, inputs.amounts, inputs.limits)
    if found is None:
        return None
    forward, aft = (Extreme(one.held, *_totals(one.loaded, inputs, Cases(1))) for one in found)
    return forward, aft


def _ballast(loaded: Mass, inputs: BalanceInputs) -> Mass | str:
    """Least ballast at its arm, or the arm of ballast of its mass, that brings the CG back to the nearer limit."""
    place, ballast, limits = inputs.ballast_arm, inputs.ballast_mass, inputs.limits
    if place is None and ballast is None:
        return "no-ballast-asked"
    mass, arm = middle(loaded.mass), middle(loaded.arm)
    found = margins(mass, arm, limits)
    if found.inside or not (limits.envelope or found.arm < 0.0):
        return "no-ballast-needed"
    if ballast is None:
        least, _ = permitted_mass(mass, arm, place, limits)
        return "ballast-there-is-worse" if np.isnan(least) else Mass(float(least), place)
    heavier = margins(mass + ballast, arm, limits)
    if heavier.mass < 0.0 or heavier.lightest < 0.0:
        return "ballast-of-wrong-weight"
    wanted = float(heavier.nearest_limit) if heavier.arm < 0.0 else arm  # its weight alone may lift it inside
    return Mass(ballast, float(ballast_arm(mass, arm, wanted, ballast)))


def _refuse_loading(inputs: BalanceInputs) -> None:
    table = {station.name: station for station in inputs.stations}
    for name, amount in inputs.amounts.items():
        where = f"/loading/{pointer_part(name)}"
        if name not in table:
            raise Refusal(where, f"there is no station '{name}'")
        refuse_misloaded(name, amount, [table[name]], where)


def _totals(point: Mass, inputs: BalanceInputs, cases: Cases) -> tuple[dict[str, Single], bool | None]:
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
    wing = inputs.wing
    if wing.chord is not None and wing.leading_edge_arm is not None:
        columns["cg_chord_fraction"] = chord_fraction(point.arm, wing.leading_edge_arm, wing.chord)
    limited = inputs.limits != Limits()
    inside = bool(np.ravel(found.inside)[0]) if limited else None
    return {name: single_of(value, cases) for name, value in columns.items()}, inside


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
    if found.inside and len(points) > 1:
        way = between(points, [corner.mass for corner in limits.envelope]) if limits.envelope else points[1:]
        left = ~margins([p.mass for p in way], [p.arm for p in way], limits).inside
        if left.any():
            cautions.append(leaves_limits(way[int(left.argmax())], "/stations"))
    for i, station in enumerate(inputs.stations):
        held = inputs.amounts.get(station.name)
        mass = 0.0 if held is None else middle(loaded_mass(held, station))
        if station.minimum is not None and mass < middle(station.minimum):
            cautions.append(below_minimum(station.name, mass, middle(station.minimum), f"/stations/{i}"))
    return cautions
