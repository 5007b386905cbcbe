"""Gliding and turning, worked."""

import math

import numpy as np

from climbwright.answers.working import air as worked_air
from climbwright.answers.working.case import HERE, Case, Names
from climbwright.answers.working.level import far_speed
from climbwright.answers.working.step import central

__all__ = ["glide", "turn"]

_ANDERSON = "anderson-6"


def _gliding(case: Case) -> Names:
    """Symbols of drag with the idling or stopped propeller."""
    chain, idle = case.chain, case.flight.aircraft.drag.idle_propeller_area
    if case.needs("f_g"):
        chain.give("f_i", 0.0 if idle is None else idle, "area", "idle-propeller")
        chain.step("gliding-area", "f_g", "f + f_i", "area", "definition")
    return HERE.at(f="f_g")


def _equal(case: Case, n: Names, symbol: str) -> None:
    formula = f"(2*{n.H}/({n.rho}*{n.f}))^(1/4)"
    case.chain.step("equal-terms", symbol, formula, "speed", _ANDERSON)


def _sink(case: Case, n: Names, speed: str, suffix: str, ends: str | None = None) -> str:
    """Rate of sink at a speed; its symbol."""
    drag, symbol = case.drag(speed, suffix, n), f"s{suffix}"
    formula = f"{drag}*{speed}/{n.W}"
    case.chain.step("sink", symbol, formula, "vertical speed", _ANDERSON, ends=ends, what=suffix.strip("_"))
    return symbol


def glide(case: Case) -> None:
    """Flattest glide in still air and in the wind, and the least sink."""
    chain, n = case.chain, _gliding(case)
    _equal(case, n, "V_g0")
    case.held("V_bg", "V_g0", "V_f", "glide")
    formula = f"V_bg/{_sink(case, n, 'V_bg', '_bg')}"
    chain.step("glide-ratio", "E_bg", formula, "ratio", "definition", ends="best_glide_ratio")
    case.shown("V_bg", "bg", "best_glide_speed", "glide")
    far_speed(case, "V_g0", "V_gwu", 2.0, "glide-wind", "gw")
    _not_beyond_limit(case)
    formula = f"(V_gw - U)/{_sink(case, n, 'V_gw', '_gw')}"
    chain.step("glide-ratio-in-wind", "E_gw", formula, "ratio", "definition", ends="glide_ratio_in_wind")
    case.shown("V_gw", "gw", "glide_speed_in_wind", "glide-wind")
    chain.step("least-sink-speed", "V_ls0", "V_g0*(1/3)^(1/4)", "speed", _ANDERSON)
    case.held("V_ls", "V_ls0", "V_f", "sink")
    _sink(case, n, "V_ls", "_ls", "least_sink")
    case.shown("V_ls", "ls", "least_sink_speed", "sink")


def _not_beyond_limit(case: Case) -> None:
    """V_gw: held above the stall and, where its owner gave one, below the never-exceed speed."""
    chain, never = case.chain, case.flight.aircraft.speed_limits.never_exceed
    if never is None:
        case.held("V_gw", "V_gwu", "V_f", "glide-wind")
        return
    case.held("V_gwh", "V_gwu", "V_f", "glide-wind")
    chain.give("V_nc", never, "speed", "never-exceed")
    worked_air.true_of_calibrated(chain, "V_nc", "q_ne", "V_ne", "never-exceed")
    known = np.isfinite(chain.values["V_ne"])
    formula, source = "min(V_gwh, V_ne)", "common-practice"
    chain.step("limited-speed", "V_gw", formula, "speed", source, only=None if known.all() else known)
    if not known.all():
        chain.step("unlimited-speed", "V_gw", "V_gwh", "speed", source, only=~known)


def turn(case: Case) -> None:
    """A level turn at full throttle, and a gliding turn back."""
    chain, wish = case.chain, case.flight.flying.turn
    if wish is None:
        return
    chain.give("phi", wish.bank, "angle", "bank")
    chain.give("psi", math.pi if wish.reversal is None else wish.reversal, "angle", "reversal")
    chain.step("load-factor", "n", "1/cos(phi)", "ratio", _ANDERSON, ends="load_factor_in_turn")
    chain.step("turn-floor", "V_fn", "V_f*sqrt(n)", "speed", "anderson-5")
    chain.step("turn-stall", "V_sn", "V_fn/1.2", "speed", "anderson-5")
    case.shown("V_sn", "sn", "stall_speed_in_turn", "turn-stall")
    banked = HERE.at(H="H_n", n="n")
    case.terms(banked)
    found = np.float64(np.nan)
    if case.searches(banked):
        flight = case.central_flight()
        one = flight.with_airframe(load_factor=np.reshape(chain.values["n"], (1, 1, 1, 1)))
        found = np.maximum(central(one.propulsion.best_rate_speed(*one.here)), chain.values["V_fn"])
    case.best_rate_speed("V_yn", "V_fn", found, banked, "turn")
    case.rate("turn-rate", "V_yn", "_n", banked, ends="climb_rate_in_turn")
    _gliding(case)
    gliding = banked.at(f="f_g")
    _equal(case, gliding, "V_n0")
    case.held("V_gn", "V_n0", "V_fn", "gliding-turn")
    case.shown("V_gn", "gn", "turn_glide_speed", "gliding-turn")
    chain.step("turn-radius", "r_t", "V_gn^2/(g*tan(phi))", "runway distance", "faa-8083-25", ends="turn_radius")
    sink = _sink(case, gliding, "V_gn", "_gn")
    chain.step("turn-time", "t_t", "V_gn*psi/(g*tan(phi))", "time", "faa-8083-25")
    formula = f"{sink}*t_t"
    chain.step("height-lost", "h_t", formula, "altitude", "definition", ends="reversal_height_lost")
