"""A balance, worked: weighing, sums of moments, limits, burned fuel, worst loadings, ballast, record, wheels, pilot."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from climbwright.aircraft.changes import moved_parts
from climbwright.aircraft.description import EnvelopePoint, Limits, Station
from climbwright.aircraft.loading import Amount, burned_tanks
from climbwright.aircraft.wheels import abreast
from climbwright.answers.balance import BalanceAnswer, BalanceInputs
from climbwright.answers.ground import wheels_of
from climbwright.answers.single import Single
from climbwright.answers.spread import lay_out
from climbwright.answers.working import weight
from climbwright.answers.working.step import Chain, Step
from climbwright.answers.working.weight import number_of
from climbwright.arrays import middle

__all__ = ["balance"]

_FAA = "faa-8083-1"
Part = tuple[str, str]


def balance(inputs: BalanceInputs, found: BalanceAnswer) -> list[Step]:
    """Steps from what was weighed to what a balance answers.

    Parameters
    ----------
    inputs : BalanceInputs
        As sent.
    found : BalanceAnswer
        What was answered, from which searches are taken to be checked.

    Returns
    -------
    list of Step
        Each ends a field; deeper ones are named as ``fuel_burn/0/weight``.
    """
    chain, (inputs, _) = Chain(), lay_out(inputs, axes=0)
    with np.errstate(all="ignore"):
        weighed = _weighed(chain, inputs)
        fixed = [*weighed, *_fixed(chain, inputs, len(weighed))]
        held = _held(chain, inputs)
        weight.summed(chain, [*fixed, *held.values()], ends=("weight", "moment", "cg_arm"))
        if inputs.wing.chord is not None or inputs.wing.planform is not None:
            weight.chord(chain, inputs.wing, ends=True)
        _totals(chain, inputs, found.totals)
        _burned(chain, inputs, found, fixed, held)
        _worst(chain, inputs, found, fixed)
        _ballast(chain, inputs, found)
        _record(chain, fixed, bool(weighed), inputs)
        _wheels(chain, inputs)
        _pilot(chain, inputs, found, fixed, held)
    return chain.needed({step.ends for step in chain.steps if step.ends})


def _weighed(chain: Chain, inputs: BalanceInputs) -> list[Part]:
    if inputs.scales:
        weight.scales(chain, inputs.scales)
        return [("m_e", "x_e")]
    if inputs.empty is None:
        return []
    chain.give("m_e", inputs.empty.mass, "mass", "empty-weight")
    chain.give("x_e", inputs.empty.arm, "length", "empty-arm")
    return [("m_e", "x_e")]


def _fixed(chain: Chain, inputs: BalanceInputs, start: int) -> list[Part]:
    """Loads, items, and what changes put in or take out."""
    named = [("load", load.name or f"load {i}", load) for i, load in enumerate(inputs.loads, 1)]
    named += [("item", item.name, item) for item in inputs.items]
    named += [("change", change.name, part) for change in inputs.changes for part in moved_parts(change)]
    return [weight.part(chain, i, mass, code, name) for i, (code, name, mass) in enumerate(named, 1)]


def _held(chain: Chain, inputs: BalanceInputs) -> dict[str, Part]:
    """What each loaded station holds."""
    parts: dict[str, Part] = {}
    for i, station in enumerate(inputs.stations):
        amount = inputs.amounts.get(station.name)
        if amount is not None:
            parts[station.name] = held_part(chain, f"s{chr(97 + i % 26)}{i // 26 or ''}", station, amount)
    return parts


def held_part(chain: Chain, suffix: str, station: Station, amount: Amount) -> Part:
    """Mass and arm of what a station holds, a volume turned into a mass."""
    m, x = f"m_{suffix}", f"x_{suffix}"
    if amount.mass is None and station.density is not None:
        chain.give(f"v_{suffix}", amount.volume, "volume", "station-volume", station.name)
        chain.give(f"r_{suffix}", station.density, "fuel density", "station-density", station.name)
        chain.step("volume-weight", m, f"v_{suffix}*r_{suffix}", "mass", "definition", name=station.name)
    else:
        chain.give(m, 0.0 if amount.mass is None else amount.mass, "mass", "station-weight", station.name)
    chain.give(x, station.arm, "length", "station-arm", station.name)
    return m, x


def _totals(chain: Chain, inputs: BalanceInputs, totals: Mapping[str, Single]) -> None:
    limits = _plain(inputs.limits)
    if "c" in chain.values:
        weight.chord_fraction(chain, "k_c", "x", "cg_chord_fraction")
    if limits.envelope:
        for symbol, ends in (("x_fl", "forward_limit"), ("x_al", "aft_limit")):
            key = f"{ends.partition('_')[0]}-limit-here"
            weight.edge_limit(chain, limits, "m", np.asarray(totals[ends].value), symbol, key, ends)
        _envelope_distance(chain, limits, bool(totals["envelope_distance"].value >= 0.0))
    weight.limit_margin(chain, limits, "m", "x", "d", "cg_margin", _room(chain, limits, "m", "x", totals))
    most = _greatest(limits)
    if most is not None:
        chain.give("m_max", most, "mass", "maximum-weight")
        chain.step("weight-margin", "d_m", "m_max - m", "mass", "definition", ends="weight_margin")


def _greatest(limits: Limits) -> float | None:
    known = [] if limits.maximum_mass is None else [middle(limits.maximum_mass)]
    known += [max(middle(corner.mass) for corner in limits.envelope)] if limits.envelope else []
    return min(known, default=None)


def _plain(limits: Limits) -> Limits:
    """Limits as plain numbers."""

    def number(value: object) -> float | None:
        return None if value is None else number_of(value)

    corners = tuple(EnvelopePoint(number_of(c.mass), number_of(c.arm)) for c in limits.envelope)
    return Limits(number(limits.maximum_mass), number(limits.forward), number(limits.aft), corners)


def _envelope_distance(chain: Chain, limits: Limits, inside: bool) -> None:
    """Distance to the nearest edge, the envelope drawn one unit wide and high."""
    corners = [(float(c.mass), float(c.arm)) for c in limits.envelope]
    width = max(x for _, x in corners) - min(x for _, x in corners)
    height = max(m for m, _ in corners) - min(m for m, _ in corners)
    mass, arm = float(chain.values["m"]), float(chain.values["x"])

    def gap(edge: int) -> float:
        (m1, x1), (m2, x2) = corners[edge], corners[(edge + 1) % len(corners)]
        dx, dy = (x2 - x1) / width, (m2 - m1) / height
        u, v = (arm - x1) / width, (mass - m1) / height
        along = min(max((u * dx + v * dy) / (dx**2 + dy**2), 0.0), 1.0)
        return float(np.hypot(u - along * dx, v - along * dy))

    nearest = min(range(len(corners)), key=gap)
    for name, (m, x) in (("1", corners[nearest]), ("2", corners[(nearest + 1) % len(corners)])):
        chain.give(f"m_q{name}", m, "mass", "corner-weight")
        chain.give(f"x_q{name}", x, "length", "corner-arm")
    chain.give("b_e", width, "length", "envelope-width")
    chain.give("h_e", height, "mass", "envelope-height")
    for key, symbol, formula in (
        ("edge-across", "u_e", "(x_q2 - x_q1)/b_e"),
        ("edge-up", "v_e", "(m_q2 - m_q1)/h_e"),
        ("point-across", "u", "(x - x_q1)/b_e"),
        ("point-up", "v", "(m - m_q1)/h_e"),
        ("edge-place", "k", "min(max((u*u_e + v*v_e)/(u_e^2 + v_e^2), 0), 1)"),
    ):
        chain.step(key, symbol, formula, "ratio", "envelope-edge")
    formula = "sqrt((u - k*u_e)^2 + (v - k*v_e)^2)"
    formula = formula if inside else f"-{formula}"
    chain.step("envelope-distance", "d_e", formula, "ratio", "envelope-edge", ends="envelope_distance")


def _room(chain: Chain, limits: Limits, mass: str, arm: str, totals: Mapping[str, Single]) -> tuple[Any, Any] | None:
    """Nearest limit of an envelope and the distance to it, which was answered; None where it has no such mass."""
    met = weight.edges(limits, float(chain.values[mass])) if limits.envelope else []
    if not met:
        return None if not limits.envelope else (np.float64(np.nan), np.float64(np.nan))
    x = float(chain.values[arm])
    return np.float64(min((edge[4] for edge in met), key=lambda limit: abs(limit - x))), totals["cg_margin"].value


def _point(
    chain: Chain,
    inputs: BalanceInputs,
    totals: Mapping[str, Single],
    parts: Sequence[Part],
    suffix: str,
    place: str,
    **names: str,
) -> None:
    """Weight, CG, chord fraction and margin of another loading."""
    symbols = f"m{suffix}", f"M{suffix}", f"x{suffix}"
    ends = f"{place}/weight", None, f"{place}/cg_arm"
    keys = ("weight-then", "moment-then", "cg-arm-then")
    weight.summed(chain, parts, symbols, keys, ends, **names)
    if "c" in chain.values:
        weight.chord_fraction(chain, f"k{suffix}", symbols[2], f"{place}/cg_chord_fraction")
    limits, (mass, _, arm) = _plain(inputs.limits), symbols
    room = _room(chain, limits, mass, arm, totals)
    weight.limit_margin(chain, limits, mass, arm, f"d{suffix}", f"{place}/cg_margin", room)


def _burned(
    chain: Chain, inputs: BalanceInputs, found: BalanceAnswer, fixed: list[Part], held: dict[str, Part]
) -> None:
    left = dict(held)
    for i, tank in enumerate(burned_tanks(inputs.stations, inputs.amounts, inputs.burn_order)):
        m, x = held[tank.name]
        unusable = 0.0 if tank.unusable is None else tank.unusable
        chain.give(f"u_{i}", unusable, "mass", "unusable", tank.name)
        chain.step("left-in-tank", f"m_u{i}", f"min({m}, u_{i})", "mass", "definition", name=tank.name)
        left[tank.name] = (f"m_u{i}", x)
        parts = [*fixed, *left.values()]
        _point(chain, inputs, found.burn[i][1], parts, f"_b{i}", f"fuel_burn/{i}", name=tank.name)


def _worst(chain: Chain, inputs: BalanceInputs, found: BalanceAnswer, fixed: list[Part]) -> None:
    if found.worst is None:
        return
    for place, suffix, extreme in zip(("worst_forward", "worst_aft"), ("wf", "wa"), found.worst, strict=True):
        parts = []
        for i, station in enumerate(inputs.stations):
            mass = extreme.held[station.name]
            if mass:
                m, x = f"m_{suffix}{i}", f"x_{suffix}{i}"
                chain.give(m, mass, "mass", "station-extreme", station.name)
                chain.give(x, station.arm, "length", "station-arm", station.name)
                parts.append((m, x))
        _point(chain, inputs, extreme.totals, [*fixed, *parts], f"_{suffix}", place, name=place.replace("_", " "))


def _ballast(chain: Chain, inputs: BalanceInputs, found: BalanceAnswer) -> None:
    """Ballast, and the CG with it."""
    if isinstance(found.ballast, str):
        return
    by_arm = inputs.ballast_mass is None
    if by_arm:
        chain.give("x_b", found.ballast.arm, "length", "ballast-arm")
        chain.found("ballast-weight", "m_b", np.float64(found.ballast.mass), "mass", _FAA, ends="ballast/weight")
    else:
        chain.give("m_b", found.ballast.mass, "mass", "ballast-weight-given")
        chain.found("ballast-arm-found", "x_b", np.float64(found.ballast.arm), "length", _FAA, ends="ballast/arm")
    chain.checking = "m_b" if by_arm else "x_b"
    chain.step("cg-with-ballast", "x_w", "(M + m_b*x_b)/(m + m_b)", "length", _FAA)
    chain.checking = None


def _record(chain: Chain, fixed: list[Part], weighed: bool, inputs: BalanceInputs) -> None:
    """The running empty weight: every item and change in turn."""
    if not weighed:
        return
    entries = [fixed[0], *fixed[1 + len(inputs.loads) :]]
    for i, (m, x) in enumerate(entries):
        place = f"empty_weight_record/{i}"
        number = str(i + 1)
        chain.step("entry-moment", f"M_r{i}", f"{m}*{x}", "moment", _FAA, ends=f"{place}/moment", entry=number)
        formulas = (f"m_r{i - 1} + {m}", f"J_r{i - 1} + M_r{i}") if i else (m, "M_r0")
        chain.step("running-weight", f"m_r{i}", formulas[0], "mass", _FAA, ends=f"{place}/running_weight", entry=number)
        chain.step("running-moment", f"J_r{i}", formulas[1], "moment", _FAA, entry=number)
        only = None if chain.values[f"m_r{i}"] != 0.0 else np.asarray(False)
        chain.step(
            "running-arm", f"x_r{i}", f"J_r{i}/m_r{i}", "length", _FAA,
            ends=f"{place}/running_arm", only=only, entry=number,
        )  # fmt: skip


def _wheels(chain: Chain, inputs: BalanceInputs) -> None:
    wheels = wheels_of(inputs.wheels, inputs.scales)
    if not wheels:
        return
    groups = abreast([wheel.arm for wheel in wheels])
    if groups is None:
        return
    for i, wheel in enumerate(wheels):
        chain.give(f"x_w{i}", wheel.arm, "length", "wheel-arm", wheel.name)
    for symbol, key, group in (("x_fw", "forward-wheels", groups[0]), ("x_rw", "aft-wheels", groups[1])):
        formula = f"({' + '.join(f'x_w{i}' for i in group)})/{len(group)}"
        chain.step(key, symbol, formula, "length", "definition")
    chain.step("on-aft-wheels", "m_rw", "m*(x - x_fw)/(x_rw - x_fw)", "mass", "roskam-9")
    for i, wheel in enumerate(wheels):
        fore = i in groups[0]
        formula = f"(m - m_rw)/{len(groups[0])}" if fore else f"m_rw/{len(groups[1])}"
        place = f"wheel_loads/{i}"
        name = wheel.name
        chain.step("wheel-load", f"m_w{i}", formula, "mass", "roskam-9", ends=f"{place}/load", name=name)
        chain.step("wheel-share", f"k_w{i}", f"m_w{i}/m", "ratio", "definition", ends=f"{place}/fraction", name=name)


def _pilot(chain: Chain, inputs: BalanceInputs, found: BalanceAnswer, fixed: list[Part], held: dict[str, Part]) -> None:
    """Least and greatest weight in a seat, and the CG with each."""
    seat = next((station for station in inputs.stations if station.name == inputs.pilot_station), None)
    if seat is None:
        return
    chain.give("x_p", seat.arm, "length", "station-arm", seat.name)
    others = [station for station in inputs.stations if station is not seat]
    for j, state in enumerate(found.pilot):
        parts = [*fixed, *(_in_state(chain, station, held, state.fuel, j, i) for i, station in enumerate(others))]
        for end, single in (("least", state.least), ("greatest", state.greatest)):
            if not np.isfinite(single.value):
                continue
            symbol = f"m_p{j}{end[0]}"
            ends = f"pilot_weights/{j}/{end}"
            chain.found(f"pilot-{end}", symbol, np.float64(single.value), "mass", _FAA, ends=ends, fuel=state.fuel)
            suffix = f"_p{j}{end[0]}"
            chain.checking = symbol
            for key, what, formula in (
                ("pilot-total", f"T{suffix}", " + ".join([*(m for m, _ in parts if m), symbol])),
                ("pilot-moment", f"M{suffix}", " + ".join([*(f"{m}*{x}" for m, x in parts if m), f"{symbol}*x_p"])),
            ):
                kind = "mass" if key == "pilot-total" else "moment"
                chain.step(key, what, formula, kind, _FAA)
            chain.step("pilot-cg", f"x{suffix}", f"M{suffix}/T{suffix}", "length", _FAA)
            chain.checking = None


def _in_state(chain: Chain, station: Station, held: dict[str, Part], fuel: str, state: int, number: int) -> Part:
    """Symbols of what a station holds in a state of the fuel; empty ones where it holds nothing."""
    if station.density is None or fuel == "as loaded":
        return held.get(station.name, ("", ""))
    mass = station.capacity if fuel == "full" else station.unusable
    m, x = f"m_t{state}_{number}", f"x_t{state}_{number}"
    chain.give(m, 0.0 if mass is None else mass, "mass", f"tank-{fuel}", station.name)
    chain.give(x, station.arm, "length", "station-arm", station.name)
    return m, x
