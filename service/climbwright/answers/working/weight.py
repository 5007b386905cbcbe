"""Weight and balance, worked: sums of moments, and where a CG stands in its limits."""

from collections.abc import Sequence

import numpy as np

from climbwright.aircraft.balance import margins
from climbwright.aircraft.description import EnvelopePoint, Limits, Mass, Scale, Station, Wing
from climbwright.answers.working.case import Case
from climbwright.answers.working.step import Chain, central
from climbwright.arrays import Floats, Number

Room = tuple[Floats, Floats]

__all__ = [
    "chord",
    "chord_fraction",
    "cornered",
    "edge_limit",
    "edges",
    "limit_margin",
    "loaded",
    "number_of",
    "part",
    "scales",
    "summed",
]

_FAA = "faa-8083-1"


def summed(
    chain: Chain,
    parts: Sequence[tuple[str, str]],
    symbols: tuple[str, str, str] = ("m", "M", "x"),
    keys: tuple[str, str, str] = ("weight", "moment", "cg-arm"),
    ends: tuple[str | None, str | None, str | None] = (None, None, None),
    **names: str,
) -> None:
    """Total mass, moment and arm of parts.

    Parameters
    ----------
    chain : Chain
        Knows the symbols of every part's mass and arm.
    parts : sequence of (str, str)
        Those symbols.
    symbols, keys, ends : tuple
        Of the mass, the moment and the arm.
    **names
        Names that the words speak of.
    """
    mass, moment, arm = symbols
    total = " + ".join(m for m, _ in parts)
    chain.step(keys[0], mass, total, "mass", _FAA, ends=ends[0], **names)
    total = " + ".join(f"{m}*{x}" for m, x in parts)
    chain.step(keys[1], moment, total, "moment", _FAA, ends=ends[1], **names)
    chain.step(keys[2], arm, f"{moment}/{mass}", "length", _FAA, ends=ends[2], **names)


def scales(chain: Chain, weighed: Sequence[Scale]) -> None:
    """m_e and x_e of the empty aeroplane from what its scales read."""
    parts = []
    for i, scale in enumerate(weighed, 1):
        chain.give(f"s_{i}", scale.mass, "mass", "scale-reading", scale.name)
        chain.give(f"t_{i}", scale.tare, "mass", "scale-tare", scale.name)
        chain.give(f"x_{i}", scale.arm, "length", "scale-arm", scale.name)
        parts.append((f"(s_{i} - t_{i})", f"x_{i}"))
    keys = ("weighed", "weighed-moment", "weighed-arm")
    summed(chain, parts, ("m_e", "M_e", "x_e"), keys)


def part(chain: Chain, number: int, mass: Mass, code: str, name: str) -> tuple[str, str]:
    """Give a part's mass and arm; its two symbols."""
    m, x = f"m_{number}", f"x_{number}"
    chain.give(m, mass.mass, "mass", f"{code}-weight", name)
    chain.give(x, mass.arm, "length", f"{code}-arm", name)
    return m, x


def chord(chain: Chain, wing: Wing, ends: bool = False) -> None:
    """c and x_LE: as given, or of the tapered wing."""
    shape = wing.planform
    if shape is None or ends is False:
        chain.give("c", wing.chord, "length", "chord")
        chain.give("x_LE", wing.leading_edge_arm, "length", "leading-edge-arm")
        return
    chain.give("c_r", shape.root_chord, "length", "root-chord")
    chain.give("c_t", shape.tip_chord, "length", "tip-chord")
    chain.give("b", wing.span, "length", "span")
    sweep = 0.0 if shape.leading_edge_sweep is None else shape.leading_edge_sweep
    chain.give("Lambda", sweep, "angle", "sweep")
    chain.give("x_r", shape.root_leading_edge_arm, "length", "root-leading-edge-arm")
    chain.step("taper", "k", "c_t/c_r", "ratio", "definition")
    chain.step("mean-chord", "c", "2/3*c_r*(1 + k + k^2)/(1 + k)", "length", "raymer-4", ends="chord")
    formula = "x_r + b/6*(1 + 2*k)/(1 + k)*tan(Lambda)"
    chain.step("mean-chord-arm", "x_LE", formula, "length", "raymer-4", ends="leading_edge_arm")


def chord_fraction(chain: Chain, symbol: str, arm: str, ends: str | None, **names: str) -> None:
    """The CG as a fraction of the mean chord."""
    chain.step("chord-fraction", symbol, f"({arm} - x_LE)/c", "ratio", _FAA, ends=ends, **names)


def limit_margin(
    chain: Chain,
    limits: Limits,
    mass: str,
    arm: str,
    symbol: str,
    ends: str | None,
    room: Room | None = None,
    **names: str,
) -> None:
    """Arm to the nearer limit, positive inside.

    Parameters
    ----------
    chain : Chain
        Knows mass and arm.
    limits : Limits
        Of the aeroplane; nothing is shown where none limits the arm.
    mass, arm, symbol : str
        Symbols of what is known and of the margin.
    ends : str or None
        As `Step`.
    room : tuple, optional
        The nearest limit and the distance to it, where they have been worked out, as their central case.
    **names
        Names that the words speak of.
    """
    if limits.envelope:
        _envelope_margin(chain, limits, mass, arm, symbol, ends, room, names)
        return
    terms = []
    if limits.forward is not None:
        chain.give("x_f", limits.forward, "length", "forward-limit")
        terms.append(f"{arm} - x_f")
    if limits.aft is not None:
        chain.give("x_a", limits.aft, "length", "aft-limit")
        terms.append(f"x_a - {arm}")
    if terms:
        formula = f"min({', '.join(terms)})" if len(terms) == 2 else terms[0]
        chain.step("cg-margin", symbol, formula, "length", _FAA, ends=ends, **names)


def cornered(limits: Limits, mass: Floats, wanted: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Mass and arm of the two corners of the edge that a wanted arm at a mass lies on."""
    corners = limits.envelope
    if np.ndim(mass) == 0 and np.ndim(wanted) == 0 and all(isinstance(c.mass, float) for c in corners):
        m1, x1, m2, x2 = min(edges(limits, float(mass)), key=lambda edge: abs(edge[4] - wanted))[:4]
        return np.float64(m1), np.float64(x1), np.float64(m2), np.float64(x2)
    shape = np.broadcast(mass, wanted, *(central(c.mass) for c in corners), *(central(c.arm) for c in corners)).shape
    masses = np.stack([np.broadcast_to(central(c.mass), shape) for c in corners])
    arms = np.stack([np.broadcast_to(central(c.arm), shape) for c in corners])
    masses2, arms2 = np.roll(masses, -1, axis=0), np.roll(arms, -1, axis=0)
    crossing = arms + (mass - masses) * (arms2 - arms) / (masses2 - masses)
    met = (np.minimum(masses, masses2) <= mass) & (mass <= np.maximum(masses, masses2)) & (masses != masses2)
    gap = np.where(met, np.abs(crossing - wanted), np.inf)
    edge = gap.argmin(axis=0)[None]
    m1, x1, m2, x2 = (np.take_along_axis(column, edge, axis=0)[0] for column in (masses, arms, masses2, arms2))
    return m1, x1, m2, x2


def edges(limits: Limits, mass: float) -> list[tuple[float, float, float, float, float]]:
    """Edges of an envelope of floats that a mass meets: mass and arm of both corners, and the arm where it does."""
    points = [(corner.mass, corner.arm) for corner in limits.envelope]
    return [
        (m1, x1, m2, x2, x1 + (mass - m1) * (x2 - x1) / (m2 - m1))
        for (m1, x1), (m2, x2) in zip(points, points[1:] + points[:1], strict=True)
        if min(m1, m2) <= mass <= max(m1, m2) and m1 != m2
    ]


def edge_limit(
    chain: Chain, limits: Limits, mass: str, wanted: Floats, symbol: str, key: str, ends: str | None, **names: str
) -> None:
    """A limit of an envelope at a mass: the arm along the edge between two corners; nothing where it has none."""
    only = np.isfinite(wanted)
    if not only.any():
        return
    m1, x1, m2, x2 = cornered(limits, chain.values[mass], wanted)
    one, two = f"{symbol}1", f"{symbol}2"
    for corner, m, x in ((one, m1, x1), (two, m2, x2)):
        chain.hold(f"m_{corner}", m, "mass", "corner-weight")
        chain.hold(f"x_{corner}", x, "length", "corner-arm")
    formula = f"x_{one} + ({mass} - m_{one})*(x_{two} - x_{one})/(m_{two} - m_{one})"
    only = np.isfinite(wanted)
    chain.step(key, symbol, formula, "length", "envelope-edge", ends=ends, only=None if only.all() else only, **names)


def _envelope_margin(
    chain: Chain,
    limits: Limits,
    mass: str,
    arm: str,
    symbol: str,
    ends: str | None,
    room: Room | None,
    names: dict[str, str],
) -> None:
    if room is None:
        corners = tuple(EnvelopePoint(central(corner.mass), central(corner.arm)) for corner in limits.envelope)
        found = margins(chain.values[mass], chain.values[arm], Limits(envelope=corners))
        room = found.nearest_limit, found.arm
    nearest, gap = map(np.asarray, room)
    edge_limit(chain, limits, mass, nearest, "x_n", "nearest-limit", None, **names)
    for sign, only in (("", gap >= 0.0), ("-", gap < 0.0)):
        if only.any():
            formula = f"{sign}abs({arm} - x_n)"
            here = None if only.all() else only
            chain.step("cg-margin", symbol, formula, "length", _FAA, ends=ends, only=here, **names)


def number_of(value: Number) -> float:
    """The central case as a float."""
    return float(np.ravel(central(value))[0])


def loaded(case: Case) -> None:
    """The loaded aeroplane: m, x, W, chord fraction and margin."""
    chain, answer = case.chain, case.answer
    aircraft = answer.aircraft
    empty = aircraft.empty
    if empty is None:
        raise AssertionError("an evaluated aeroplane has been weighed")
    chain.give("m_e", empty.mass, "mass", "empty-weight")
    chain.give("x_e", empty.arm, "length", "empty-arm")
    parts = [("m_e", "x_e"), *(part(chain, i, item, "item", item.name) for i, item in enumerate(aircraft.items, 1))]
    for i, station in enumerate(aircraft.stations):
        held = central(answer.amounts[station.name].mass)
        if (held != 0.0).any():
            suffix = f"s{i + 1}"
            chain.hold(f"m_{suffix}", held, "mass", "station-weight", station.name)
            chain.give(f"x_{suffix}", station.arm, "length", "station-arm", station.name)
            _volumes(case, station, suffix)
            parts.append((f"m_{suffix}", f"x_{suffix}"))
    summed(chain, parts, ends=("weight", None, "cg_arm"))
    chain.step("force", "W", "m*g", "force", "definition")
    if "cg_chord_fraction" in answer.measures:
        chord(chain, aircraft.wing)
        chord_fraction(chain, "k_c", "x", "cg_chord_fraction")
    found = answer.margins
    room = central(found.nearest_limit), central(found.arm)
    limit_margin(chain, aircraft.limits, "m", "x", "d_x", "cg_margin", room)


def _volumes(case: Case, station: Station, suffix: str) -> None:
    """What a station holds where a volume was stated: times its density."""
    stated = [loading.get(station.name) for loading in case.loadings]
    volumes = [np.nan if one is None or one.mass is not None else number_of(one.volume) for one in stated]
    if station.density is None or np.isnan(volumes).all():
        return
    chain = case.chain
    volume = np.array(volumes).reshape(1, -1, 1) if len(set(volumes)) > 1 else np.float64(volumes[0])
    chain.hold(f"v_{suffix}", volume, "volume", "station-volume", station.name)
    chain.give(f"r_{suffix}", station.density, "fuel density", "station-density", station.name)
    only = np.isfinite(volume)
    formula = f"v_{suffix}*r_{suffix}"
    chain.step(
        "volume-weight", f"m_{suffix}", formula, "mass", "definition",
        only=None if only.all() else only, name=station.name,
    )  # fmt: skip
