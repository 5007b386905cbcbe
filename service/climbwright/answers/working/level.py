"""Level flight, worked: the greatest speed, cruise, fuel flow, range, endurance, and the speeds of the longest."""

import numpy as np

from climbwright.answers.phases.fuel import fuel_density
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.case import HERE, Case, Names
from climbwright.answers.working.climb import delivered
from climbwright.answers.working.step import central
from climbwright.arrays import Floats
from climbwright.flight.level import longest_range_speed

__all__ = ["cruise", "far_speed", "greatest_level"]

_LOWRY, _ANDERSON = "lowry", "anderson-6"
_STATES = ("", "_m", "_e")  # as loaded, half of the fuel burned, all of it


def greatest_level(case: Case) -> None:
    """Greatest level speed."""
    _fastest(case, HERE, "V_h", case.measure("greatest_level_speed_true"), "greatest_level_speed_true", "h")
    case.shown("V_h", "h", "greatest_level_speed", "level")


def _fastest(case: Case, n: Names, symbol: str, found: Floats, ends: str | None, suffix: str) -> None:
    """Greatest level speed: closed for a fixed pitch within its bound, else found and checked."""
    chain, here = case.chain, None
    if case.kind == "fixed":
        formula = f"sqrt((-{n.E} - sqrt({n.E}^2 + 4*{n.K}*{n.H}))/(2*{n.K}))"
        chain.step("level-speed", symbol, formula, "speed", _LOWRY, ends=ends, what=suffix)
        here = case.bound(chain.values[symbol], found)
        if here is None:
            return
        chain.steps[-1].only = ~here
    chain.found("level-speed", symbol, found, "speed", _ANDERSON, ends=ends, only=here, what=suffix)
    chain.checking = symbol
    thrust, drag = case.thrust(symbol, f"_{suffix}", n), case.drag(symbol, f"_{suffix}", n)
    chain.step("level-balance", f"k_{suffix}", f"{thrust}/{drag}", "ratio", "definition", what=suffix, only=here)
    chain.checking = None


def _shaft_power(case: Case, n: Names, speed: str, suffix: str) -> str:
    """Shaft power of level flight at a speed; its symbol."""
    chain, power, what = case.chain, f"P{suffix}", suffix.strip("_")
    drag = case.drag(speed, suffix, n)
    if case.kind == "fixed":
        chain.step("part-static", f"E{suffix}", f"{drag} - {n.F}*{speed}^2", "force", _LOWRY, what=what)
        formula = f"P_k*sqrt((E{suffix}/E_0)^3/{n.sigma})"
        chain.step("level-power", power, formula, "power", _LOWRY, what=what)
    elif case.kind == "efficiency":
        chain.step("level-power", power, f"{drag}*{speed}/eta", "power", _ANDERSON, what=what)
    else:
        formula = f"q_1 - (q_1 - q_0)*max(1 - {speed}/V_q, 0)^2"
        chain.step("quality", f"q{suffix}", formula, "ratio", "common-practice", what=what)
        formula = f"{drag}*({speed}/2 + sqrt({speed}^2/4 + {drag}/({n.rho}*pi*d^2/2)))/q{suffix}"
        chain.step("level-power", power, formula, "power", "glauert", what=what)
    return power


def cruise(case: Case) -> None:
    """Cruise as asked, and the speeds of the longest range and endurance."""
    chain, wish = case.chain, case.flight.flying.cruise
    if wish is None:
        return
    by_speed = _asked_speed(case)
    if by_speed:
        chain.step("cruise-speed", "V_u", "V_g", "speed", "definition", ends="cruise_speed_true")
        power = _shaft_power(case, HERE, "V_u", "_u")
    else:
        power = _setting(case)
        _level_at(case, HERE, "V_u", case.measure("cruise_speed_true"), "cruise_speed_true", "u")
    case.shown("V_u", "u", "cruise_speed", "cruise")
    chain.step("power-fraction", "k_u", f"{power}/P_r", "ratio", "definition", ends="cruise_power_fraction")
    burns = "fuel_flow" in case.answer.measures
    if burns:
        _fuel(case, power)
    states = _lighter(case) if burns else {"": HERE}
    for economy, ends, what in (("r", "best_range_speed", "range"), ("e", "best_endurance_speed", "endurance")):
        for suffix, n in states.items():
            _economical(case, n, economy, suffix, ends, what)
        case.shown(f"V_{economy}", f"b{economy}", ends, what)
    if burns:
        _lasting(case, states, by_speed)


def _asked_speed(case: Case) -> bool:
    """V_g, where the cruise states a speed."""
    chain, wish = case.chain, case.flight.flying.cruise
    if wish is None:
        return False
    if wish.true is not None:
        chain.give("V_g", wish.true, "speed", "cruise-true")
        return True
    calibrated = wish.calibrated
    if wish.indicated is not None:
        table, learned = case.flight.aircraft.airspeed_correction, case.flight.aircraft.airspeed_errors is not None
        chain.give("V_gi", wish.indicated, "speed", "cruise-indicated")
        read = "V_gi"
        if table:
            columns = [p.indicated for p in table], [p.calibrated for p in table]
            read = "V_gr" if learned else "V_gc"
            worked_air.corrected(chain, "calibrated-of-indicated", "V_gi", read, columns, None, "cruise")
        if learned:
            worked_air.read_without_errors(chain, read, "V_gc", case.errors(), what="cruise")
        elif not table:
            chain.step("no-table", "V_gc", "V_gi", "speed", "no-table", what="cruise")
    elif calibrated is not None:
        chain.give("V_gc", calibrated, "speed", "cruise-calibrated")
    else:
        return False
    worked_air.true_of_calibrated(chain, "V_gc", "q_g", "V_g", "cruise")
    return True


def _setting(case: Case) -> str:
    """P_u, the shaft power of the setting; full throttle where that gives less."""
    chain, wish = case.chain, case.flight.flying.cruise
    chain.step("delivered-full", "P_f", delivered(case, "Phi", "sigma"), "power", _LOWRY)
    if wish is None or wish.full_throttle:
        chain.step("setting-full", "P_u", "P_f", "power", "definition")
    else:
        chain.give("k_p", wish.power_fraction, "ratio", "power-setting")
        chain.step("setting", "P_u", "min(k_p*P_r, P_f)", "power", "definition")
    if case.kind == "fixed":
        chain.step("setting-static", "E_u", "min(E, E_0*cbrt((P_u/P_k)^2*sigma))", "force", _LOWRY)
    return "P_u"


def _level_at(case: Case, n: Names, symbol: str, found: Floats, ends: str | None, suffix: str) -> None:
    """Level speed at the power P_u."""
    chain = case.chain
    if case.kind == "fixed":
        formula = f"sqrt((-E_u - sqrt(E_u^2 + 4*{n.K}*{n.H}))/(2*{n.K}))"
        chain.step("level-at-power", symbol, formula, "speed", _LOWRY, ends=ends, what=suffix)
        return
    chain.found("level-at-power", symbol, found, "speed", _ANDERSON, ends=ends, what=suffix)
    chain.checking = symbol
    power = _shaft_power(case, n, symbol, f"_q{suffix}")
    chain.step("power-balance", f"k_q{suffix}", f"{power}/P_u", "ratio", "definition", what=suffix)
    chain.checking = None


def _fuel(case: Case, power: str) -> None:
    """Fuel flow, and what may burn before the reserve."""
    chain, flight, wish = case.chain, case.flight, case.flight.flying.cruise
    if case.needs("c_s"):
        chain.give("c_s", flight.aircraft.engine.specific_consumption, "specific fuel consumption", "consumption")
    chain.hold("rho_f", central(fuel_density(flight)), "fuel density", "fuel-density")
    chain.step("mass-flow", "g_u", f"{power}*c_s", "mass flow", "definition", what="u")
    chain.step("fuel-flow", "v_u", "g_u/rho_f", "fuel flow", "definition", ends="fuel_flow")
    terms = []
    for i, station in enumerate(case.answer.aircraft.stations, 1):
        held = f"m_s{i}"
        if station.density is None or held not in chain.values:
            continue
        left = central(0.0 if station.unusable is None else station.unusable)
        chain.hold(f"u_{i}", np.where(np.isinf(left), chain.values[held], left), "mass", "unusable", station.name)
        terms.append(f"max({held} - u_{i}, 0)")
    chain.step("usable-fuel", "m_f", " + ".join(terms) or "0", "mass", "definition")
    reserve = 0.0 if wish is None or wish.reserve is None else wish.reserve
    chain.give("t_r", reserve, "time", "reserve")
    chain.step("fuel-to-burn", "m_b", "max(m_f - t_r*g_u, 0)", "mass", "definition")


def _lighter(case: Case) -> dict[str, Names]:
    """Symbols of the aeroplane as loaded, with half of that fuel burned, and with all."""
    chain, states = case.chain, {"": HERE}
    for suffix, share, what in (("_m", "0.5", "half"), ("_e", "1", "all")):
        formula = f"1 - m_b*{share}/m" if share != "1" else "1 - m_b/m"
        chain.step(f"lighter-{what}", f"k{suffix}", formula, "ratio", "definition")
        chain.step("lighter-weight", f"W{suffix}", f"W*k{suffix}", "force", "definition")
        chain.step("lighter-floor", f"V_f{suffix}", f"V_f*sqrt(k{suffix})", "speed", "anderson-5")
        n = HERE.at(W=f"W{suffix}", H=f"H{suffix}")
        case.terms(n)
        states[suffix] = n
    return states


def far_speed(case: Case, equal: str, symbol: str, linear: float, what: str, suffix: str) -> str:
    """Speed of the longest range from the one at which both terms of drag are equal; its symbol."""
    chain = case.chain
    if (chain.values["U"] == 0.0).all():
        formula = f"2^(1/4)*{equal}" if linear == 4.0 else equal
        chain.step("far-speed", symbol, formula, "speed", _ANDERSON, what=what)
        return symbol
    v0, wind = chain.values[equal], chain.values["U"]
    found = longest_range_speed(v0, wind, linear=linear, constant=linear - 1.0)
    chain.found("far-speed-in-wind", symbol, found, "speed", _ANDERSON, what=what)
    chain.checking = symbol
    chain.step("range-x", f"x_{suffix}", f"{symbol}/{equal}", "ratio", "definition")
    chain.step("range-y", f"y_{suffix}", f"U/{equal}", "ratio", "definition")
    three, four = ("3*", "4") if linear == 4.0 else ("", "2")
    x, y = f"x_{suffix}", f"y_{suffix}"
    formula = f"(2*{x}^5 + {three}{y})/(3*{y}*{x}^4 + {four}*{x})"
    chain.step("range-balance", f"z_{suffix}", formula, "ratio", _ANDERSON)
    chain.checking = None
    return symbol


def _economical(case: Case, n: Names, economy: str, state: str, ends: str, what: str) -> None:
    """Speed of the longest range or endurance, not below the floor nor above the greatest level speed."""
    chain, symbol, floor = case.chain, f"V_{economy}{state}", f"V_f{state}"
    if case.kind == "governed":
        found = case.speed(ends) if not state else _searched(case, state, economy)
        chain.found("economical", symbol, found, "speed", "glauert", what=what)
        return
    equal = f"V_0{state}"
    if case.needs(equal):
        formula = f"(-{n.H}/{n.K})^(1/4)" if case.kind == "fixed" else f"(2*{n.H}/({n.rho}*{n.f}))^(1/4)"
        chain.step("equal-terms", equal, formula, "speed", _ANDERSON)
    free = f"{symbol}u"
    if economy == "r":
        far_speed(case, equal, free, 4.0 if case.kind == "fixed" else 2.0, what, f"r{state}")
    else:
        formula = equal if case.kind == "fixed" else f"{equal}/3^(1/4)"
        chain.step("long-speed", free, formula, "speed", _ANDERSON, what=what)
    fastest = f"V_h{state}"
    if case.needs(fastest):
        found = np.float64(np.nan)
        if case.kind == "efficiency" or case.may_bind(n):
            flight = case.central_flight()
            airframe = flight.with_airframe(weight=chain.values[n.W][None]).airframe
            found = central(flight.propulsion.greatest_level_speed(airframe, *flight.here[1:]))
        _fastest(case, n, fastest, found, None, f"h{state}")
    chain.step("economical", symbol, f"min(max({free}, {floor}), {fastest})", "speed", "common-practice", what=what)


def _searched(case: Case, state: str, economy: str) -> Floats:
    """Speeds of a constant-speed propeller at a lighter weight, from the same functions as the answer."""
    chain, flight = case.chain, case.central_flight()
    airframe = flight.with_airframe(weight=chain.values[f"W{state}"][None]).airframe
    sigma = flight.air.density_ratio
    if economy == "r":
        best = flight.propulsion.longest_range_speed(airframe, sigma, flight.headwind)
    else:
        best = flight.propulsion.longest_endurance_speed(airframe, sigma)
    fastest = flight.propulsion.greatest_level_speed(airframe, *flight.here[1:])
    return np.minimum(np.maximum(central(best), chain.values[f"V_f{state}"]), central(fastest))


def _lasting(case: Case, states: dict[str, Names], by_speed: bool) -> None:
    """Endurance and range by Simpson's rule over the fuel burned: as loaded, half burned, all burned."""
    chain = case.chain
    flows = []
    for state, n in states.items():
        if by_speed:
            power = "P_u" if not state else _shaft_power(case, n, "V_u", f"_u{state}")
            flow = "g_u" if not state else f"g_u{state}"
            if state:
                chain.step("mass-flow", flow, f"{power}*c_s", "mass flow", "definition", what=f"u{state}")
            flows.append((flow, "V_u"))
        else:
            speed = "V_u" if not state else f"V_u{state}"
            if state:
                found = np.float64(np.nan) if case.kind == "fixed" else _level_lighter(case, state)
                _level_at(case, n, speed, found, None, f"u{state}")
            flows.append(("g_u", speed))
    _sum(case, flows, "t_u", "endurance", "time")
    _sum(case, flows, "x_u", "range", "distance")
    for economy, measure, kind in (("r", "greatest_range", "distance"), ("e", "greatest_endurance", "time")):
        flows = []
        for state, n in states.items():
            power = _shaft_power(case, n, f"V_{economy}{state}", f"_{economy}{state}")
            flow = f"g_{economy}{state}"
            what = f"{economy}{state}"
            chain.step("mass-flow", flow, f"{power}*c_s", "mass flow", "definition", what=what)
            flows.append((flow, f"V_{economy}{state}"))
        _sum(case, flows, f"{kind[0]}_{economy}", measure, kind)


def _level_lighter(case: Case, state: str) -> Floats:
    chain, flight = case.chain, case.central_flight()
    airframe = flight.with_airframe(weight=chain.values[f"W{state}"][None]).airframe
    power = chain.values["P_u"][None] if np.ndim(chain.values["P_u"]) else chain.values["P_u"]
    return central(flight.propulsion.level_speed(airframe, power, *flight.here[1:]))


def _sum(case: Case, flows: list[tuple[str, str]], symbol: str, measure: str, kind: str) -> None:
    """Time or distance over the ground."""
    tops = ["1" if kind == "time" else f"({speed} - U)" for _, speed in flows]
    terms = " + ".join(
        f"{weight}{top}/{flow}" for weight, top, (flow, _) in zip(("", "4*", ""), tops, flows, strict=True)
    )
    key = f"simpson-{kind}"
    case.chain.step(key, symbol, f"m_b*({terms})/6", kind, "simpson", ends=measure)
