"""Take-off, landing and a strip's margins, worked, each way along the strip."""

import numpy as np

from climbwright.answers.flying import Landing, Strip, TakeOff
from climbwright.answers.phases.runway import FITTED  # the part of the lift-off speed that the answer takes
from climbwright.answers.working.case import Case, Names
from climbwright.answers.working.climb import flaps
from climbwright.answers.working.step import central
from climbwright.arrays import Floats
from climbwright.flight.runway_factors import SAFETY, SLOPE, SURFACE_FACTORS, TAILWIND
from climbwright.flight.surfaces import SURFACES

__all__ = ["landing", "strip", "takeoff"]

_RAYMER, _ANDERSON, _CAA = "raymer-17", "anderson-6", "caa-7"
_PAVED = SURFACES["paved-dry"]
FORWARD, REVERSED, CALM = "1", "2", "3"


def _strip(case: Case) -> Strip:
    runway = case.flight.flying.strip
    if runway is None:
        raise AssertionError("a take-off or a landing is completed with a strip")
    return runway


def _ways(case: Case) -> None:
    """Headwind, slope and friction of each way: as stated, turned round, and on a level paved runway in calm air."""
    if not case.needs("U_1"):
        return
    chain, runway = case.chain, _strip(case)
    chain.give("i", runway.slope, "ratio", "slope")
    chain.give("mu_r", runway.rolling_friction, "ratio", "rolling-friction")
    chain.give("mu_b", runway.braking_friction, "ratio", "braking-friction")
    chain.give("mu_r3", _PAVED.rolling_friction.value, "ratio", "paved-rolling")
    chain.give("mu_b3", _PAVED.braking_friction.value, "ratio", "paved-braking")
    wind = _wind(case)
    for way, sign in ((FORWARD, ""), (REVERSED, "-")):
        chain.step(f"way-wind-{way}", f"U_{way}", f"{sign}{wind}", "speed", "definition")
        chain.step(f"way-slope-{way}", f"i_{way}", f"{sign}i", "ratio", "definition")
    chain.give("U_3", 0.0, "speed", "calm")
    chain.give("i_3", 0.0, "ratio", "level")
    if runway.obstacle_height is not None:
        chain.give("h_o", runway.obstacle_height, "runway distance", "obstacle")


def _wind(case: Case) -> str:
    """Symbol of the headwind on the strip: that of the way, but where a wind is known by its direction."""
    chain, wind = case.chain, central(case.flight.runway_wind)
    if np.array_equal(wind, chain.values["U"]):
        return "U"
    if case.needs("U_w"):
        chain.hold("U_w", wind, "speed", "runway-wind")
    return "U_w"


def _lift_drag(case: Case, n: Names, letter: str, coefficient: object) -> tuple[str, str]:
    """Lift area and drag area while rolling; their symbols."""
    chain, wing = case.chain, case.flight.aircraft.wing
    lift, drag = f"L_{letter}", f"f_{letter}r"
    if case.needs("S"):
        chain.give("S", wing.area, "area", "wing-area")
    chain.give(f"C_{letter}", coefficient, "ratio", "rolling-lift")
    chain.step("lift-area", lift, f"S*C_{letter}", "area", "definition")
    if case.needs("k_g"):
        chain.give("h_w", wing.height, "length", "wing-height")
        formula = "(16*h_w/b)^2/(1 + (16*h_w/b)^2)"
        chain.step("ground-effect", "k_g", formula, "ratio", _ANDERSON)
    formula = f"{n.f} + k_g*{lift}^2/(pi*e_w*b^2)"
    chain.step("rolling-drag-area", drag, formula, "area", _ANDERSON)
    return lift, drag


def _roll(
    case: Case, letter: str, way: str, areas: tuple[str, str], friction: str, thrust: tuple[str, str] | None
) -> tuple[str, str]:
    """a and c of du/dt = a + c u²; their symbols."""
    chain, (lift, drag) = case.chain, areas
    a, c = f"a_{letter}{way}", f"c_{letter}{way}"
    static, change = (f"{thrust[0]}/W - ", f"{thrust[1]} - ") if thrust else ("-", "-")
    formula = f"g*({static}{friction} - i_{way})"
    chain.step("roll-a", a, formula, "acceleration", _RAYMER, way=way)
    formula = f"g*({change}rho*({drag} - {friction}*{lift})/2)/W"
    chain.step("roll-c", c, formula, "per length", _RAYMER, way=way)
    return a, c


def _distance(case: Case, terms: tuple[str, str], start: str, end: str, way: str, symbol: str, key: str) -> str:
    """Distance over the ground between two airspeeds, one of which is the headwind; its symbol.

    An empty `start` or `end` stands for the headwind.
    """
    chain, (a, c), wind = case.chain, terms, f"U_{way}"
    blows = np.asarray(chain.values[wind])
    if (blows == 0.0).all():
        one, other = (f" + {c}*{start}^2" if start else "", f" + {c}*{end}^2" if end else "")
        formula = f"ln(({a}{other})/({a}{one}))/(2*{c})"
        chain.step(key, symbol, formula, "runway distance", _RAYMER, way=way)
        return symbol
    as_fast = blows >= chain.values[start or end]
    if as_fast.any():
        chain.step("wind-as-fast", symbol, "0", "runway distance", _RAYMER, way=way, only=as_fast)
    sign = np.sign(np.asarray(chain.values[a] * chain.values[c]))
    for behind in (False, True):
        here = (blows < 0.0 if behind else blows >= 0.0) & ~as_fast
        if here.any():
            _in_wind(case, terms, (start, end), (way, symbol, key), behind, here, sign)
    return symbol


def _in_wind(
    case: Case,
    terms: tuple[str, str],
    ends: tuple[str, str],
    names: tuple[str, str, str],
    behind: bool,
    here: Floats,
    sign: Floats,
) -> None:
    """The same in a wind: way through the air less the wind's; with the wind from behind in two stretches."""
    chain, (a, c), (start, end), (way, symbol, key) = case.chain, terms, ends, names
    wind = f"U_{way}"
    parts = [(start or wind, end or wind, c, "")]
    if behind:
        low, high = ((wind, ""), ("", end)) if not start else (("", wind), (start, ""))
        parts = [(*low, f"(-{c})", "b"), (*high, c, "h")]
    ways, times = [], []
    for first, last, change, tag in parts:
        air, time = f"{symbol}{tag}a", f"{symbol}{tag}t"
        one, other = (f" + {change}*{u}^2" if u else "" for u in (first, last))
        formula = f"ln(({a}{other})/({a}{one}))/(2*{change})"
        chain.step("air-distance", air, formula, "runway distance", _RAYMER, way=way, only=here)
        turned = -sign if tag == "b" else sign
        for positive in (True, False):
            there = here & (turned > 0.0 if positive else turned < 0.0)
            if there.any():
                formula = _time(a, change, first, last, positive)
                chain.step("roll-time", time, formula, "time", _RAYMER, way=way, only=there)
        ways.append(air)
        times.append(time)
    spent = times[0] if len(times) == 1 else f"({' + '.join(times)})"
    formula = f"max({' + '.join(ways)} - {wind}*{spent}, 0)"
    only = None if here.all() else here
    chain.step(key, symbol, formula, "runway distance", _RAYMER, way=way, only=only)


def _time(a: str, c: str, start: str, end: str, arc: bool) -> str:
    """Time between two airspeeds, by an arc tangent where a and c have one sign, else by a logarithm."""
    if arc:
        root = f"sqrt({c}/{a})"
        angles = f"atan({end}*{root})" if end else "0"
        angles += f" - atan({start}*{root})" if start else ""
        return f"({angles})/({a}*{root})"
    root = f"sqrt(-{c}/{a})"
    top = [f"(1 + {end}*{root})" if end else "", f"(1 - {start}*{root})" if start else ""]
    low = [f"(1 - {end}*{root})" if end else "", f"(1 + {start}*{root})" if start else ""]
    ratio = f"({'*'.join(x for x in top if x)})/({'*'.join(x for x in low if x)})"
    return f"ln({ratio})/(2*{a}*{root})"


def _factor(case: Case, kind: str, way: str, speed: str) -> str:
    """The published factors for surface, slope and tailwind; the symbol of their product."""
    chain, surface = case.chain, _strip(case).surface or "paved-dry"
    factor, uphill = f"k_{kind[0]}s", "max(-i_{way}, 0)" if kind == "landing" else "max(i_{way}, 0)"
    chain.give(factor, getattr(SURFACE_FACTORS[surface], kind), "ratio", "surface-factor")
    rise = (getattr(SLOPE, kind) - 1.0) / SLOPE.step
    tail = (getattr(TAILWIND, kind) - 1.0) / TAILWIND.step
    symbol = f"k_{kind[0]}{way}"
    formula = f"{factor}*(1 + {rise:.10g}*{uphill.format(way=way)})*(1 + {tail:.10g}*max(-U_{way}/{speed}, 0))"
    chain.step("published-factor", symbol, formula, "ratio", _CAA, way=way)
    return symbol


def takeoff(case: Case) -> None:
    """Roll, distance over the obstacle, published factors, checkpoint and accelerate-stop distance."""
    chain, wish = case.chain, case.flight.flying.takeoff or TakeOff()
    _ways(case)
    n, stall = flaps(case, wish.configuration, "t")
    true = stall.replace("V_s", "V_t")
    chain.give("k_lo", wish.lift_off_factor, "ratio", "lift-off-factor")
    chain.give("k_ob", wish.obstacle_factor, "ratio", "obstacle-factor")
    chain.give("k_tt", wish.technique_factor, "ratio", "technique")
    chain.give("t_ro", wish.rotation_time, "time", "rotation-time")
    chain.step("lift-off-speed", "V_lo", f"k_lo*{true}", "speed", "common-practice")
    case.shown("V_lo", "lo", "lift_off_speed", "lift-off")
    chain.step("obstacle-speed", "V_ob", f"k_ob*{true}", "speed", "common-practice")
    areas = _lift_drag(case, n, "t", wish.rolling_lift_coefficient)
    thrust = _thrust_terms(case, n)
    chain.step("mean-speed", "V_mo", "(V_lo + V_ob)/2", "speed", "definition")
    excess = f"{case.thrust('V_mo', '_mo', n)} - {case.drag('V_mo', '_mo', n)}"
    chain.step("excess", "X_mo", excess, "force", _ANDERSON)
    chain.step("energy-height", "h_e", "max(h_o + (V_ob^2 - V_lo^2)/(2*g), 0)", "runway distance", "energy-height")
    rolls = {}
    for way in (FORWARD, REVERSED, CALM):
        friction = "mu_r3" if way == CALM else "mu_r"
        rolls[way] = _roll(case, "t", way, areas, friction, thrust)
        ran = _distance(case, rolls[way], "", "V_lo", way, f"s_t{way}", "takeoff-run")
        ends = "takeoff_roll" if way == FORWARD else None
        chain.step("roll", f"s_r{way}", f"k_tt*{ran}", "runway distance", "common-practice", ends=ends, way=way)
        chain.step("ground-share", f"k_w{way}", f"max(1 - 2*U_{way}/(V_lo + V_ob), 0)", "ratio", "definition", way=way)
        formula = f"X_mo/W - i_{way}*k_w{way}"
        chain.step("climb-slope", f"j_{way}", formula, "ratio", _ANDERSON, way=way)
        formula = f"k_w{way}*h_e/j_{way} + max(V_lo - U_{way}, 0)*t_ro"
        chain.step("airborne", f"s_a{way}", formula, "runway distance", _RAYMER, way=way)
        formula = f"s_r{way} + k_tt*s_a{way}"
        ends = {FORWARD: "takeoff_distance", REVERSED: "takeoff_distance_reversed", CALM: None}[way]
        chain.step("takeoff-distance", f"s_o{way}", formula, "runway distance", "definition", ends=ends, way=way)
    _required(case, "takeoff", "o", "V_lo", FORWARD)
    chain.give("k_cp", wish.checkpoint, "ratio", "checkpoint")
    chain.step("checkpoint-speed", "V_cp", "k_cp*V_lo", "speed", "common-practice")
    ran = _part(case, rolls[FORWARD])
    formula = f"k_tt*{ran}"
    chain.step("checkpoint", "s_cp", formula, "runway distance", "common-practice", ends="takeoff_checkpoint")
    braking = _roll(case, "j", FORWARD, areas, "mu_b", None)
    chain.give("t_re", wish.reaction_time, "time", "reaction-time")
    stop = _distance(case, braking, "V_lo", "", FORWARD, "s_j", "braked-run")
    formula = f"k_tt*(s_t1 + max(V_lo - U_1, 0)*t_re + {stop})"
    chain.step("accelerate-stop", "s_as", formula, "runway distance", _RAYMER, ends="accelerate_stop_distance")


def _part(case: Case, terms: tuple[str, str]) -> str:
    return _distance(case, terms, "", "V_cp", FORWARD, "s_k", "takeoff-run-part")


def _thrust_terms(case: Case, n: Names) -> tuple[str, str]:
    """E and F of thrust as E + F u² through standstill and a part of the lift-off speed."""
    chain = case.chain
    part = 0.7 if case.kind == "efficiency" else FITTED
    chain.step("part-speed", "V_pt", f"{part:.10g}*V_lo", "speed", _RAYMER)
    rolling = case.thrust("V_pt", "_pt", n)
    if case.kind == "efficiency":
        chain.step("no-thrust-change", "F_t", "0", "thrust slope", _RAYMER)
        return rolling, "F_t"
    static = case.thrust("", "_t0", n)
    chain.step("thrust-change", "F_t", f"({rolling} - {static})/V_pt^2", "thrust slope", _RAYMER)
    return static, "F_t"


def _required(case: Case, kind: str, letter: str, speed: str, way: str) -> None:
    """Published and required distances, as flown and the other way."""
    chain, safety = case.chain, f"{getattr(SAFETY, kind):.10g}"
    for each in (FORWARD, REVERSED):
        factor = _factor(case, kind, each, speed)
        shown = each == way
        ends = f"{kind}_distance_published" if shown else None
        formula = f"s_{letter}3*{factor}"
        chain.step("published", f"s_{letter}p{each}", formula, "runway distance", _CAA, ends=ends, way=each)
        formula = f"{safety}*max(s_{letter}{each}, s_{letter}p{each})"
        ends = f"{kind}_distance_required" if shown else None
        chain.step("required", f"s_{letter}q{each}", formula, "runway distance", _CAA, ends=ends, way=each)


def landing(case: Case) -> None:
    """Distance from the obstacle to a stop, and the roll; against the take-off direction on a one-way strip."""
    chain, wish, runway = case.chain, case.flight.flying.landing or Landing(), _strip(case)
    _ways(case)
    n, stall = flaps(case, wish.configuration, "d")
    true = stall.replace("V_s", "V_t")
    for symbol, value, kind, code in (
        ("k_ap", wish.approach_factor, "ratio", "approach-factor"),
        ("k_td", wish.touchdown_factor, "ratio", "touchdown-factor"),
        ("k_lt", wish.technique_factor, "ratio", "technique"),
        ("t_fr", wish.free_roll_time, "time", "free-roll-time"),
        ("gamma_a", wish.approach_angle, "angle", "approach-angle"),
        ("n_f", wish.flare_load_factor, "ratio", "flare-load-factor"),
    ):
        chain.give(symbol, value, kind, code)
    chain.step("approach-speed-true", "V_ap", f"k_ap*{true}", "speed", "common-practice")
    chain.step("touchdown-speed", "V_td", f"k_td*{true}", "speed", "common-practice")
    chain.step("mean-speed", "V_ml", "(V_ap + V_td)/2", "speed", "definition")
    chain.step("flare-radius", "r_fl", "V_ml^2/(g*(n_f - 1))", "runway distance", _RAYMER)
    areas = _lift_drag(case, n, "d", wish.rolling_lift_coefficient)
    shown = REVERSED if runway.one_way else FORWARD
    for way in (FORWARD, REVERSED, CALM):
        friction = "mu_b3" if way == CALM else "mu_b"
        braking = _roll(case, "d", way, areas, friction, None)
        stop = _distance(case, braking, "V_td", "", way, f"s_b{way}", "braked-run")
        formula = f"k_lt*(max(V_td - U_{way}, 0)*t_fr + {stop})"
        ends = "landing_roll" if way == shown else None
        chain.step("landing-roll", f"s_l{way}", formula, "runway distance", _RAYMER, ends=ends, way=way)
        _approach(case, way)
        formula = f"s_l{way} + k_lt*s_g{way}"
        ends = {shown: "landing_distance", CALM: None}.get(way, "landing_distance_reversed")
        if way == REVERSED and not runway.one_way:
            ends = "landing_distance_reversed"
        chain.step("landing-distance", f"s_d{way}", formula, "runway distance", "definition", ends=ends, way=way)
    _required(case, "landing", "d", "V_td", shown)


def _approach(case: Case, way: str) -> None:
    """Straight descent and flare, over the ground."""
    chain = case.chain
    for key, symbol, formula, kind in (
        ("ground-share", "k_e", "max(1 - U_{w}/V_ap, 0)", "ratio"),
        ("descent-slope", "j_d", "tan(gamma_a) + i_{w}*k_e{w}", "ratio"),
        ("descent-slant", "k_s", "sqrt(1 + j_d{w}^2)", "ratio"),
        ("flare-height", "h_f", "min(h_o, r_fl*j_d{w}^2/(k_s{w}*(1 + k_s{w})))", "runway distance"),
        ("flare", "s_f", "sqrt(h_f{w}*(2*r_fl - h_f{w}))*max(1 - U_{w}/V_ml, 0)", "runway distance"),
        ("descent", "s_g", "k_e{w}*(h_o - h_f{w})/j_d{w} + s_f{w}", "runway distance"),
    ):
        chain.step(key, f"{symbol}{way}", formula.format(w=way), kind, _RAYMER, way=way)


def strip(case: Case) -> None:
    """What is left of the strip beyond the distances required."""
    chain, runway = case.chain, _strip(case)
    chain.step("headwind", "U_h", _wind(case), "speed", "definition", ends="headwind")
    if runway.length is None:
        return
    chain.give("l", runway.length, "runway distance", "strip-length")
    landed = REVERSED if runway.one_way else FORWARD
    rows = [("takeoff_margin", "o", FORWARD), ("landing_margin", "d", landed)]
    if not runway.one_way:
        rows += [("takeoff_margin_reversed", "o", REVERSED), ("landing_margin_reversed", "d", REVERSED)]
    for measure, letter, way in rows:
        formula = f"l - s_{letter}q{way}"
        chain.step("strip-left", f"l_{letter}{way}", formula, "runway distance", "definition", ends=measure, way=way)
