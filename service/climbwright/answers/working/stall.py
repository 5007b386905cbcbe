"""Stall speeds of every configuration, worked, and the speeds that follow from them."""

import numpy as np

from climbwright.aircraft.description import Stall
from climbwright.answers.measures import STALL_SPEEDS
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.case import Case
from climbwright.answers.working.step import central

__all__ = ["manoeuvre", "stall_symbol", "stalls"]

_ANDERSON = "anderson-5"


def stall_symbol(case: Case, configuration: str) -> str:
    """Symbol of the equivalent stall speed of a configuration."""
    names = list(case.flight.stalls)
    return f"V_s{names.index(configuration) + 1}"


def stalls(case: Case) -> None:
    """Equivalent, true and calibrated stall speeds, wings level, power off; the least speed flown."""
    chain, one = case.chain, case.flight.aircraft
    for i, stall in enumerate(one.stalls, 1):
        symbol, name = f"V_s{i}", stall.configuration
        formula = _flown(case, stall, i) if stall.speed is not None else _by_lift(case, stall, i)
        chain.step("stall", symbol, formula, "speed", _ANDERSON, name=name)
        first = i == 1
        chain.step(
            "stall-true", f"V_t{i}", f"{symbol}/sqrt(sigma)", "speed", "naca-837",
            ends="stall_speed_true" if first else None, name=name,
        )  # fmt: skip
        ends = "stall_speed_calibrated" if first else f"{STALL_SPEEDS}/{name}"
        worked_air.calibrated(chain, f"V_t{i}", f"q_s{i}", f"V_c{i}", ends, "stall")
    case.indicated("V_c1", "V_i1", "stall_speed_indicated", "stall")
    chain.step("floor", "V_f", "1.2*V_s1/sqrt(sigma)", "speed", "common-practice")


def _lift(case: Case, stall: Stall, number: int) -> str:
    """The factor of the lift gained, nothing where none is."""
    gain = central(stall.lift_gain)
    if not (gain != 0.0).any():
        return ""
    case.chain.hold(f"k_l{number}", gain, "ratio", "lift-gain", stall.configuration)
    return f"*(1 + k_l{number})"


def _by_lift(case: Case, stall: Stall, number: int) -> str:
    chain, lift = case.chain, _lift(case, stall, number)
    chain.give("S", case.flight.aircraft.wing.area, "area", "wing-area")
    name = stall.configuration
    chain.give(f"C_L{number}", stall.maximum_lift_coefficient, "ratio", "lift-coefficient", name)
    return f"sqrt(2*m*g/(rho_0*S*C_L{number}{lift}))"


def _flown(case: Case, stall: Stall, number: int) -> str:
    chain, lift, name = case.chain, _lift(case, stall, number), stall.configuration
    chain.give(f"V_r{number}", stall.speed, "speed", "stall-flown", name)
    chain.give(f"m_r{number}", stall.mass, "mass", "stall-flown-weight", name)
    load = f"*{_tail_load(case, stall, number)}" if _known(case, stall) else ""
    return f"V_r{number}*sqrt(m{load}/(m_r{number}{lift}))"


def _known(case: Case, stall: Stall) -> bool:
    one = case.flight.aircraft
    return all(x is not None for x in (one.tail_arm, stall.arm, one.wing.chord, one.wing.leading_edge_arm))


def _tail_load(case: Case, stall: Stall, number: int) -> str:
    """What the wing carries for the tail, now over in the stall that was flown."""
    chain, one = case.chain, case.flight.aircraft
    if case.needs("x_ac"):
        chain.give("c", one.wing.chord, "length", "chord")
        chain.give("x_LE", one.wing.leading_edge_arm, "length", "leading-edge-arm")
        chain.give("l_t", one.tail_arm, "length", "tail-arm")
        chain.step("aerodynamic-centre", "x_ac", "x_LE + 0.25*c", "length", "common-practice")
    chain.give(f"x_r{number}", stall.arm, "length", "stall-flown-arm", stall.configuration)
    formula = f"(1 + (x_ac - x)/l_t)/(1 + (x_ac - x_r{number})/l_t)"
    known = np.isfinite(chain.values["x_ac"] + chain.values[f"x_r{number}"] + chain.values["l_t"])
    symbol, names = f"r_{number}", {"name": stall.configuration}
    only = None if known.all() else known
    chain.step("tail-load", symbol, formula, "ratio", "perkins-hage", only=only, **names)
    if only is not None:
        chain.step("no-tail-load", symbol, "1", "ratio", "common-practice", only=~known, **names)
    return symbol


def manoeuvre(case: Case) -> None:
    """Approach speed, load factor left at this weight, and the manoeuvring speed."""
    chain, limits = case.chain, case.flight.aircraft.limits
    last = len(case.flight.aircraft.stalls)
    formula = f"1.3*V_c{last}"
    chain.step("approach", "V_app", formula, "speed", "common-practice", ends="approach_speed_calibrated")
    case.indicated("V_app", "V_iapp", "approach_speed_indicated", "approach")
    if limits.load_factor is None:
        return
    chain.give("n_1", limits.load_factor, "ratio", "load-factor-shown")
    chain.give("m_1n", limits.load_factor_mass, "mass", "load-factor-weight")
    chain.step("allowed-load-factor", "n_a", "n_1*min(m_1n/m, 1)", "ratio", "definition", ends="allowed_load_factor")
    formula = "V_c1*sqrt(n_a)"
    chain.step("manoeuvring", "V_A", formula, "speed", _ANDERSON, ends="manoeuvring_speed_calibrated")
