"""When an aeroplane answer carries which caution, and with which numbers."""

from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from climbwright.aircraft.balance import Margins, margins
from climbwright.aircraft.description import EnvelopePoint, Limits, Mass
from climbwright.aircraft.loading import Loading, between
from climbwright.answers.balance_cautions import below_envelope, below_minimum, leaves_limits, outside, over_maximum
from climbwright.answers.evaluation import Evaluation
from climbwright.answers.instruments import calibrated_of_reading
from climbwright.answers.notes import EXCEEDED, Caution, Value
from climbwright.answers.stacking import central_case
from climbwright.arrays import Floats, field_names
from climbwright.flight.climb import APPROACH_FACTOR, STALL_MARGIN

__all__ = [
    "cautions_of",
    "codes_of",
]

TIP_MACH_LIMIT = 0.85  # helical; common practice, no source
STATIC_THRUST_LIMIT = 0.80  # of the ideal; common practice, no source
CROSSWIND = 0.2  # over the stall speed; common practice, no source
LUGGING_LIMIT = 0.75  # engine speed standing still over rated; common practice, no source
LEAST_CLEARANCE = 9.0 * 0.0254  # of the tips of a tailwheel aeroplane; 14 CFR 23.925 as of 1996 (from memory) [m]


def cautions_of(
    evaluation: Evaluation, shape: tuple[int, int, int], loadings: Sequence[Loading], conditions: Sequence[str]
) -> list[list[Caution]]:
    """Every caution of each aeroplane of an evaluation, broken limits first.

    Parameters
    ----------
    evaluation : Evaluation
        Of aeroplanes evaluated together.
    shape : tuple of int
        Aircraft, loadings, conditions.
    loadings : sequence of Loading
        As asked.
    conditions : sequence of str
        Names of the conditions.

    Returns
    -------
    list of list of Caution
        For each aeroplane; at most one of each code for a loading, at the worst of its conditions.
    """
    finder = _Finder(evaluation, shape, loadings, conditions)
    if evaluation.aircraft.propeller.kind == "constant-efficiency":
        for found in finder.found:
            found.append(Caution("constant-efficiency", ""))
    if evaluation.aircraft.engine.aspiration == "electric":
        for found in finder.found:
            found.append(Caution("ceiling-without-lapse", ""))
    with np.errstate(invalid="ignore"):  # what does not exist is nan, and nan is no caution
        _limits(finder)
        _load_factor(finder)
        _stations(finder)
        _flight(finder)
        _propulsion(finder)
        _phases(finder)
        _rules(finder)
    rank = {code: order for order, code in enumerate(EXCEEDED)}
    return [sorted(found, key=lambda caution: rank.get(caution.code, len(rank))) for found in finder.found]


def codes_of(evaluation: Evaluation, count: int, loadings: Sequence[Loading]) -> list[list[str]]:
    """Codes of the cautions of each row of a table, broken limits first.

    Parameters
    ----------
    evaluation : Evaluation
        Of rows along the aircraft axis.
    count : int
        How many.
    loadings : sequence of Loading
        The one that they share the names of.
    """
    found = cautions_of(evaluation, (count, 1, 1), loadings, [""])
    return [[caution.code for caution in row] for row in found]


class _Finder:
    """Collects the cautions of an evaluation: the central case, all aeroplanes at once."""

    def __init__(
        self,
        evaluation: Evaluation,
        shape: tuple[int, int, int],
        loadings: Sequence[Loading],
        conditions: Sequence[str],
    ) -> None:
        self.evaluation, self.aircraft, self.shape = evaluation, evaluation.aircraft, shape
        self.loadings, self.conditions = loadings, conditions
        self.found: list[list[Caution]] = [[] for _ in range(shape[0])]

    def wide(self, value: Any) -> Floats:
        """The central case of a value, for every aeroplane, loading and condition."""
        return np.add(central_case(value), np.zeros(self.shape))  # a fifth of the cost of np.broadcast_to

    def look(
        self, code: str, kind: str, value: Any, bad: Any, limit: Any = None, *, least: bool = False, marked: Any = None
    ) -> None:
        """A caution for each aeroplane and loading in which any condition is bad, with the worst one's number.

        The worst is the greatest, or the least where small is bad.
        """
        if value is None:
            return
        wrong = bad(central_case(value))
        if not np.count_nonzero(wrong):  # a fifth of the cost of any(), and there are many codes
            return
        values = self.wide(value).tolist()
        others = {"limit": limit, "marked": marked}
        wide = {name: self.wide(other) for name, other in others.items() if other is not None}
        for a, i, places in _scenes(np.logical_or(wrong, np.zeros(self.shape, dtype=bool))):
            j = (min if least else max)(places, key=values[a][i].__getitem__)
            shown: dict[str, Value] = {
                "loading": self.loadings[i].name,
                "condition": _scene_name(self.conditions[j], len(places)),
                "value": (values[a][i][j], kind),
            }
            shown |= {name: (float(other[a, i, j]), kind) for name, other in wide.items()}
            self.found[a].append(Caution(code, f"/loadings/{i}", shown))

    def scene(self, loading: int) -> tuple[str, str]:
        """Pointer and name of a loading."""
        return f"/loadings/{loading}", self.loadings[loading].name

    def each(self, wrong: Any) -> list[tuple[int, int]]:
        """Aeroplanes and loadings in which something is wrong, whatever the condition."""
        if not np.count_nonzero(wrong):
            return []
        return [(a, i) for a, i in np.argwhere(np.broadcast_to(wrong, self.shape)[:, :, 0]).tolist()]


def _scenes(wrong: Floats) -> Iterator[tuple[int, int, list[int]]]:
    """Aeroplanes and loadings in which something is wrong, each with the conditions in which it is."""
    for a, loadings in enumerate(wrong.tolist()):
        for i, conditions in enumerate(loadings):
            places = [j for j, here in enumerate(conditions) if here]
            if places:
                yield a, i, places


def _scene_name(condition: str, count: int) -> str:
    return condition if count == 1 else f"{condition} (the worst of {count} such conditions)"


def _limits(finder: _Finder) -> None:
    """Weight and CG as loaded, and on the way that the CG goes as fuel burns."""
    evaluation = finder.evaluation
    inside = central_case(evaluation.margins.inside)
    way = _way(finder)
    there = margins(way.mass, way.arm, _central_limits(evaluation.aircraft.limits))
    if np.count_nonzero(inside) < np.size(inside):
        _as_loaded(finder)
    leaving = np.logical_and(inside, ~there.inside)  # an aeroplane that starts outside cannot leave
    for a, i in finder.each(leaving.any(axis=0)):
        first = int(np.argmax(leaving[:, a, i, 0]))
        where, loading = finder.scene(i)
        point = Mass(float(way.mass[first, a, i, 0]), float(way.arm[first, a, i, 0]))
        finder.found[a].append(leaves_limits(point, where, loading=loading))


def _way(finder: _Finder) -> Mass:
    """The central case of the points that each burning aeroplane passes, along a leading axis."""
    evaluation = finder.evaluation
    path = [Mass(central_case(point.mass), central_case(point.arm)) for point in evaluation.path]
    corners = _central_limits(evaluation.aircraft.limits).envelope
    # between two plain limits the CG goes one way only; an envelope may bend into its way
    points = between(path, [corner.mass for corner in corners]) if corners and path[1:] else path[1:] or path
    masses, arms = ([finder.wide(getattr(point, name)) for point in points] for name in ("mass", "arm"))
    return Mass(np.array(masses), np.array(arms))


def _central_limits(limits: Limits) -> Limits:
    corners = tuple(EnvelopePoint(central_case(corner.mass), central_case(corner.arm)) for corner in limits.envelope)
    return Limits(central_case(limits.maximum_mass), central_case(limits.forward), central_case(limits.aft), corners)


def _as_loaded(finder: _Finder) -> None:
    evaluation, found = finder.evaluation, finder.found
    start = Margins(*(central_case(getattr(evaluation.margins, name)) for name in field_names(Margins)))
    mass, arm = finder.wide(evaluation.measures["weight"]), finder.wide(evaluation.measures["cg_arm"])

    def at(value: Any, a: int, i: int) -> float:
        return float(np.broadcast_to(value, finder.shape)[a, i, 0])

    for a, i in finder.each(start.mass < 0.0):
        where, loading = finder.scene(i)
        found[a].append(over_maximum(at(mass, a, i), at(start.mass, a, i), where, loading=loading))
    for a, i in finder.each(start.lightest < 0.0):
        where, loading = finder.scene(i)
        found[a].append(below_envelope(at(mass, a, i), at(start.lightest, a, i), where, loading=loading))
    for a, i in finder.each(start.arm < 0.0):
        where, loading = finder.scene(i)
        here = Margins(*(at(getattr(start, name), a, i) for name in field_names(Margins)))
        found[a].append(outside(at(arm, a, i), here, where, loading=loading))


def _load_factor(finder: _Finder) -> None:
    limits = finder.aircraft.limits
    if limits.load_factor is None or limits.load_factor_mass is None:
        return
    weight = central_case(finder.evaluation.measures["weight"])
    places = finder.each(weight > central_case(limits.load_factor_mass))
    if not places:
        return
    mass, most, factor = (finder.wide(x) for x in (weight, limits.load_factor_mass, limits.load_factor))
    for a, i in places:
        where, loading = finder.scene(i)
        now, shown = float(mass[a, i, 0]), float(most[a, i, 0])
        values: dict[str, Value] = {
            "loading": loading,
            "weight": (now, "mass"),
            "shown": (shown, "mass"),
            "factor": (float(factor[a, i, 0]) * shown / now, "ratio"),
        }
        finder.found[a].append(Caution("load-factor-reduced", where, values))


def _stations(finder: _Finder) -> None:
    for station in finder.aircraft.stations:
        if station.minimum is None:
            continue
        held, least = finder.wide(finder.evaluation.amounts[station.name].mass), finder.wide(station.minimum)
        for a, i in finder.each(held < least):
            where, loading = finder.scene(i)
            mass, most = float(held[a, i, 0]), float(least[a, i, 0])
            finder.found[a].append(below_minimum(station.name, mass, most, where, loading=loading))


def _flight(finder: _Finder) -> None:
    aircraft, look = finder.aircraft, finder.look
    measures, checks = finder.evaluation.measures, finder.evaluation.checks
    limit = aircraft.engine.power_limit
    if limit is not None:
        most = central_case(limit)
        # the mount will meet all of these, and a margin below one may be a guess
        greatest = np.maximum(np.maximum(measures["power_available"], checks["sea_level_power"]), aircraft.engine.power)
        look("power-above-limit", "power", greatest, lambda v: v > most, limit)
    level = measures["greatest_level_speed_calibrated"]
    for code, marked in (
        ("faster-than-never-exceed", aircraft.speed_limits.never_exceed),
        ("faster-than-smooth-air-limit", aircraft.speed_limits.smooth_air),
    ):
        if marked is not None:
            top = _calibrated_limit(central_case(marked), finder.evaluation)
            look(code, "speed", level, lambda v, top=top: v > top, top, marked=marked)
    flaps = aircraft.speed_limits.flaps
    if flaps is not None:
        widest = _calibrated_limit(central_case(flaps), finder.evaluation)
        approach = APPROACH_FACTOR * measures["stall_speed_calibrated"]
        look("approach-above-flap-limit", "speed", approach, lambda v: v > widest, widest, marked=flaps)
    look("no-climb", "vertical speed", measures["best_climb_rate"], lambda v: v <= 0.0, least=True)
    flyable = ~np.isnan(central_case(measures["weight"]))
    grounded = np.isnan(central_case(measures["greatest_level_speed_true"])) & flyable
    look("no-level-flight", "vertical speed", measures["best_climb_rate"], lambda v: grounded & (v == v), least=True)
    vertical = np.isnan(central_case(measures["best_angle"])) & flyable
    look("thrust-exceeds-weight", "vertical speed", measures["best_climb_rate"], lambda v: vertical & (v == v))
    for code, held, speed in (
        ("best-angle-speed-held", checks["angle_held"], measures["best_angle_speed_calibrated"]),
        ("best-rate-speed-held", checks["rate_held"], measures["best_climb_speed_calibrated"]),
    ):
        binds = central_case(held) > 0.0
        look(code, "speed", speed, lambda v, binds=binds: binds)
    look(
        "climb-speed-near-stall", "ratio", checks.get("climb_speed_over_stall"), lambda v: v < STALL_MARGIN, least=True
    )


def _propulsion(finder: _Finder) -> None:
    """Cautions of engine and propeller as they turn."""
    look, measures, checks = finder.look, finder.evaluation.measures, finder.evaluation.checks
    look("tip-mach", "ratio", checks.get("tip_mach"), lambda v: v > TIP_MACH_LIMIT, TIP_MACH_LIMIT)
    ratio = checks.get("static_thrust_ratio")
    look("static-thrust-impossible", "ratio", ratio, lambda v: v > 1.0)
    look("static-thrust-high", "ratio", ratio, lambda v: (v > STATIC_THRUST_LIMIT) & (v <= 1.0))
    look("power-above-rated", "ratio", checks["power_ratio"], lambda v: v > 1.0)
    over = checks.get("engine_speed_over_greatest")
    if over is not None:
        fast = central_case(over) > 1.0 + 1e-9  # a hair, because rated speed is reached level by definition
        level = measures["engine_speed_level"]
        look("overspeed", "rotational speed", level, lambda v: fast & (v == v), np.divide(level, over))
    look("lugging", "ratio", checks.get("static_speed_over_rated"), lambda v: v < LUGGING_LIMIT, least=True)
    clearance = checks.get("clearance")
    look("propeller-clearance", "length", clearance, lambda v: v < LEAST_CLEARANCE, LEAST_CLEARANCE, least=True)


def _phases(finder: _Finder) -> None:
    """Cautions of cruise, glide, turns and the runway."""
    look, measures, checks = finder.look, finder.evaluation.measures, finder.evaluation.checks
    beyond = checks.get("setting_beyond")
    if beyond is not None:
        more = central_case(beyond) > 0.0
        look("setting-beyond-full-throttle", "ratio", checks["setting"], lambda v: more & (v == v))
    look("reserve-not-carried", "mass", checks.get("reserve_missing"), lambda v: v > 0.0)
    look("cruise-near-stall", "ratio", checks.get("cruise_over_stall"), lambda v: v < STALL_MARGIN, least=True)
    allowed = checks.get("load_factor_allowed")
    if allowed is not None:
        most = central_case(allowed)
        look("turn-above-load-factor", "ratio", measures["load_factor_in_turn"], lambda v: v > most, allowed)
    _wind(finder)
    _leaving(finder)
    if "landing_roll" in measures:
        stuck = np.isnan(central_case(measures["landing_distance"])) & ~np.isnan(central_case(measures["weight"]))
        look("does-not-stop", "speed", checks["touchdown"], lambda v: stuck & (v == v))
    for way in ("", "_reversed"):
        for name in ("takeoff", "landing"):
            _strip(finder, name, way)
    for code, name in (("glide-idle-propeller", "best_glide_ratio"), ("turn-back", "reversal_height_lost")):
        if name in measures:
            for found in finder.found:
                found.append(Caution(code, ""))
    if "takeoff_distance" in measures or "landing_distance" in measures:
        for found in finder.found:
            found.append(Caution("runway-estimate", ""))


def _wind(finder: _Finder) -> None:
    """Wind across the strip or from behind, and a one-way strip that looks turned round."""
    measures, checks = finder.evaluation.measures, finder.evaluation.checks
    across, along = measures.get("crosswind"), measures.get("headwind")
    if across is not None:
        limit = CROSSWIND * measures["stall_speed_calibrated"]
        most = central_case(limit)
        finder.look("crosswind-strong", "speed", np.abs(across), lambda v: v > most, limit)
    if along is not None:
        finder.look("tailwind-on-strip", "speed", np.negative(along), lambda v: v > 0.0)
    finder.look("one-way-uphill", "ratio", checks.get("one_way_slope"), lambda v: v > 0.0)


def _leaving(finder: _Finder) -> None:
    """A take-off that does not begin, does not reach lift-off speed, or does not clear the obstacle."""
    look, measures, checks = finder.look, finder.evaluation.measures, finder.evaluation.checks
    start = checks.get("start_acceleration")
    if start is None:
        return
    look("does-not-move", "ratio", np.negative(start), lambda v: v >= 0.0)
    rolls = central_case(start) > 0.0
    look("does-not-lift-off", "ratio", checks["lift_off_acceleration"], lambda v: rolls & (v <= 0.0), least=True)
    roll = measures["takeoff_roll"]
    sunk = np.isnan(central_case(measures["takeoff_distance"]))
    look("does-not-clear-obstacle", "runway distance", roll, lambda v: sunk & (v == v))


def _strip(finder: _Finder, name: str, way: str) -> None:
    """A strip that is too short, or long enough only without the safety factor."""
    measures = finder.evaluation.measures
    margin = measures.get(f"{name}_margin{way}")
    if margin is None or not np.count_nonzero(~(central_case(margin) >= 0.0)):  # the margin is to more than is needed
        return
    strip_length = finder.evaluation.checks["strip_length"]
    needed = measures[f"{name}_distance{way}"]
    if not way:  # what rolls beyond the strip is too long, whether or not it flies then
        needed = np.where(np.isnan(needed), measures[f"{name}_roll"], needed)
    short = central_case(needed) > central_case(strip_length)
    suffix = "-reversed" if way else ""
    distance = "runway distance"
    finder.look(f"too-short-for-{name}{suffix}", distance, needed, lambda v: short & (v == v), strip_length)
    required = strip_length - margin
    tight = ~short & (central_case(margin) < 0.0)
    finder.look(f"short-of-{name}-margin{suffix}", distance, required, lambda v: tight & (v == v), strip_length)


def _rules(finder: _Finder) -> None:
    """Caps of a category that the owner gave: weight, stall speed, and level speed at sea level."""
    rules = finder.aircraft.rules
    if rules is None:
        return
    measures, checks = finder.evaluation.measures, finder.evaluation.checks
    for code, kind, value, cap in (
        ("above-rule-weight", "mass", measures["weight"], rules.maximum_mass),
        ("above-rule-stall-speed", "speed", checks["stall_at_sea_level"], rules.stall_speed),
        ("above-rule-level-speed", "speed", checks["level_at_sea_level"], rules.level_speed),
    ):
        if cap is not None:
            finder.look(code, kind, value, lambda v, cap=cap: v > central_case(cap), cap)


def _calibrated_limit(limit: Floats, evaluation: Evaluation) -> Floats:
    """A limit marked on the airspeed indicator as a calibrated speed; as it is where the table does not reach."""
    aircraft, stall = evaluation.aircraft, evaluation.measures["stall_speed_calibrated"]
    calibrated = calibrated_of_reading(limit, stall, aircraft)
    if aircraft.airspeed_errors is not None:
        calibrated = central_case(calibrated)
    return np.where(np.isnan(calibrated), limit, calibrated)
