"""Power of the engine, thrust terms of the propeller, and how fast both turn, worked."""

import numpy as np

from climbwright.air import standard
from climbwright.answers.working.case import Case
from climbwright.answers.working.step import central
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.fixed_pitch import FixedPitch

__all__ = ["lapse", "power", "turning"]


def power(case: Case) -> None:
    """Phi and P in this air, power to weight, and what thrust and drag are made of."""
    chain, engine = case.chain, case.flight.aircraft.engine
    chain.give("P_r", engine.power, "power", "rated-power")
    chain.give("k", engine.power_margin, "ratio", "power-margin")
    lapse(case, "p", "e", "T", "Phi")
    chain.step("installed-power", "P_k", "P_r*k", "power", "definition")
    chain.step("power-here", "P", "P_k*Phi", "power", "definition", ends="power_available")
    chain.step("power-to-weight", "z", "P/m", "power to weight", "definition", ends="power_to_weight")
    formula = "P_r/m"
    chain.step("rated-to-weight", "z_r", formula, "power to weight", "definition", ends="installed_power_to_weight")
    _terms(case)


def lapse(case: Case, pressure: str, vapour: str, temperature: str, symbol: str, suffix: str = "") -> None:
    """Full-throttle power in some air over rated power."""
    chain, engine = case.chain, case.flight.aircraft.engine
    aspiration = case.flight.lapse.aspiration
    if aspiration == "electric":
        chain.step("electric", symbol, "1", "ratio", "electric")
        return
    if case.needs("C"):
        chain.give("C", case.flight.lapse.constant, "ratio", "lapse-constant")
    dry = pressure
    if vapour and (chain.values[vapour] != 0.0).any():
        dry = f"p_d{suffix}"
        chain.step("dry-pressure", dry, f"{pressure} - {vapour}", "pressure", "naca-426")
    usual, sigma = f"T_s{suffix}", f"s_s{suffix}"
    formula = f"max(T_0*({dry}/p_0)^(R*L/g), 216.65)"
    chain.step("standard-temperature-of-dry", usual, formula, "temperature", "iso-2533")
    chain.step("standard-density-of-dry", sigma, f"{dry}/(R*{usual}*rho_0)", "ratio", "iso-2533")
    natural = symbol if aspiration == "natural" else f"{symbol}_n"
    formula = f"max(({sigma} - C)/(1 - C), 0)*sqrt({usual}/{temperature})"
    chain.step("lapse", natural, formula, "ratio", "gagg-farrar")
    if aspiration != "turbocharged":
        return
    if case.needs("Phi_c"):
        chain.give("h_c", engine.critical_altitude, "altitude", "critical-altitude")
        formula = "(1 - L*h_c/T_0)^(g/(R*L) - 1)"
        if (chain.values["h_c"] <= standard.TROPOPAUSE).all():
            chain.step("critical-density-ratio", "s_c", formula, "ratio", "iso-2533")
        else:
            chain.give("s_c", case.flight.lapse.critical_density_ratio, "ratio", "critical-density")
        chain.step("critical-lapse", "Phi_c", "(s_c - C)/(1 - C)", "ratio", "gagg-farrar")
    chain.step("turbocharged", symbol, f"min({natural}/Phi_c, 1)", "ratio", "turbocharged")


def _terms(case: Case) -> None:
    """What the description says of propeller and drag, and E, F, K and H in this air."""
    chain, one, propulsion = case.chain, case.flight.aircraft, case.flight.propulsion
    chain.give("f", one.drag.parasite_area, "area", "parasite-area")
    chain.give("b", one.wing.span, "length", "span")
    chain.give("e_w", one.drag.span_efficiency, "ratio", "span-efficiency")
    if not isinstance(propulsion, ConstantEfficiency) and one.propeller.diameter is not None:
        chain.give("d", one.propeller.diameter, "length", "diameter")
    if isinstance(propulsion, FixedPitch):
        chain.give("eta", propulsion.best_efficiency, "ratio", "best-efficiency")
        chain.give("V_b", propulsion.best_efficiency_speed, "speed", "best-efficiency-speed")
        chain.step("static-term-0", "E_0", "1.5*eta*P_k/V_b", "force", "lowry")
        chain.step("slope-term-0", "F_0", "-0.5*eta*P_k/V_b^3", "thrust slope", "lowry")
    elif isinstance(propulsion, ConstantSpeed):
        chain.give("q_1", propulsion.quality, "ratio", "quality")
        chain.give("q_0", propulsion.static_quality, "ratio", "static-quality")
        chain.give("V_q", propulsion.quality_speed, "speed", "quality-speed")
    else:
        chain.give("eta", propulsion.efficiency, "ratio", "efficiency")
    case.terms()


def turning(case: Case) -> None:
    """Power delivered, engine speeds, tips, and thrust standing still."""
    chain, answer, kind = case.chain, case.answer, case.kind
    engine, propeller = case.flight.aircraft.engine, case.flight.aircraft.propeller
    # a governed propeller's quality standing still, q_0, leads to other measures too
    if kind == "governed" or (kind == "fixed" and case.wants("static_thrust", "static_thrust_fraction")):
        chain.step("static-thrust", "Th_s", case.thrust("", "_0"), "force", "definition", ends="static_thrust")
        if propeller.diameter is not None:
            chain.step("ideal-static", "Th_d", "cbrt(2*rho*(pi*d^2/4)*P^2)", "force", "glauert")
            formula = "Th_s/Th_d"
            chain.step("static-fraction", "k_t", formula, "ratio", "definition", ends="static_thrust_fraction")
    rotates = kind == "fixed" and "static_engine_speed" in answer.measures
    if rotates:
        _rotation(case)
    elif kind != "fixed":
        chain.step("delivered-governed", "P_d", "P", "power", "definition", ends="power_delivered")
    if "engine_speed_level" not in answer.measures:
        return
    if not rotates:
        chain.give("n_r", engine.speed, "rotational speed", "rated-speed")
        for key, symbol, ends in (
            ("rated-static", "n_0", "static_engine_speed"),
            ("rated-climb", "n_y", "engine_speed_in_climb"),
            ("rated-level", "n_h", "engine_speed_level"),
        ):
            if ends in answer.measures:
                chain.step(key, symbol, "n_r", "rotational speed", "definition", ends=ends)
    if "tip_mach" in answer.measures and case.wants("tip_mach"):
        reduction = 1.0 if engine.reduction is None else np.where(np.isnan(engine.reduction), 1.0, engine.reduction)
        chain.give("i_g", reduction, "ratio", "reduction")
        chain.step("speed-of-sound", "a", "sqrt(1.4*R*T)", "speed", "iso-2533")
        formula = "sqrt(V_h^2 + (n_h/i_g*d/2)^2)/a"
        chain.step("tip-mach", "M_t", formula, "ratio", "definition", ends="tip_mach")


def _rotation(case: Case) -> None:
    """Engine speeds with a fixed pitch, and the power that is left of them."""
    chain, one = case.chain, case.flight.aircraft
    engine, propeller = one.engine, one.propeller
    chain.give("n_r", engine.speed, "rotational speed", "rated-speed")
    by_class = None if propeller.static_fraction is None else np.multiply(propeller.static_fraction, engine.speed)
    static = propeller.static_speed
    if by_class is not None and static is not None:
        static = np.where(np.isnan(static), by_class, static)
    chain.give("n_s", by_class if static is None else static, "rotational speed", "static-speed")
    case.sea_level_terms()
    formula = "sqrt((-E_0 - sqrt(E_0^2 + 4*K_0*H_0))/(2*K_0))"
    chain.step("level-at-sea-level", "V_r", formula, "speed", "lowry")
    _bound_at_sea_level(case)
    ratio = "Phi" if case.torque else "cbrt(Phi^2*sigma)"
    for key, symbol, speed, ends in (
        ("turning-static", "n_0", "", "static_engine_speed"),
        ("turning-climb", "n_y", "V_y", "engine_speed_in_climb"),
        ("turning-level", "n_h", "V_h", "engine_speed_level"),
    ):
        moving = f" + (n_r^2 - n_s^2)*({speed}/V_r)^2" if speed else ""
        formula = f"sqrt(n_s^2*{ratio}/sigma{moving})"
        chain.step(key, symbol, formula, "rotational speed", "rotation", ends=ends)
    unknown = np.isnan(chain.values["n_s"])
    if unknown.any():
        chain.steps[-1].only = ~unknown
        ends = "engine_speed_level"
        chain.step("rated-level", "n_h", "n_r", "rotational speed", "definition", ends=ends, only=unknown)
    formula = "P*n_y/n_r" if case.torque else "P"
    chain.step("delivered", "P_d", formula, "power", "rotation", ends="power_delivered")


def _bound_at_sea_level(case: Case) -> None:
    """V_r where momentum theory bounds the propeller there."""
    propulsion = case.flight.propulsion
    if not isinstance(propulsion, FixedPitch) or not propulsion.may_be_bound:
        return
    flight, chain = case.central_flight(), case.chain
    found = central(flight.propulsion.greatest_level_speed(flight.airframe, 1.0, 1.0))
    other = case.bound(chain.values["V_r"], found)
    if other is not None:
        chain.steps[-1].only = ~other
        chain.found("bound-speed", "V_r", found, "speed", "glauert", only=other, what="sea-level")
