"""Climb, worked: best rate and angle, ceilings, the altimeter's rate, and a climb as it was asked for."""

import numpy as np

from climbwright.air import standard
from climbwright.air.state import Air
from climbwright.answers.phases.climb import bound_at_sea_level  # what the answer itself decides by
from climbwright.answers.phases.fuel import fuel_density
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.case import HERE, Case, Names
from climbwright.answers.working.power import lapse
from climbwright.answers.working.stall import stall_symbol
from climbwright.answers.working.step import central
from climbwright.arrays import Floats

__all__ = ["altimeter", "asked", "best_climb", "ceilings"]

_LOWRY, _ANDERSON = "lowry", "anderson-6"


def best_climb(case: Case) -> None:
    """Best rate and angle, at speeds held above the stall."""
    chain = case.chain
    case.best_rate_speed("V_y", "V_f", case.speed("best_climb_speed"))
    case.rate("best-rate", "V_y", "_y", ends="best_climb_rate")
    case.shown("V_y", "y", "best_climb_speed", "best-climb")
    _angle_speed(case)
    case.rate("angle-rate", "V_x", "_x")
    chain.step("best-angle", "gamma", "asin(w_x/V_x)", "angle", "definition", ends="best_angle")
    formula = "w_x/(sqrt(V_x^2 - w_x^2) - U)"
    chain.step("gradient", "tan_g", formula, "ratio", "definition", ends="climb_gradient")
    case.shown("V_x", "x", "best_angle_speed", "best-angle")


def _angle_speed(case: Case) -> None:
    chain, value = case.chain, case.speed("best_angle_speed")
    if case.kind == "fixed":
        chain.step("best-angle-speed", "V_xu", "(-H/K)^(1/4)", "speed", _LOWRY, what="best-angle")
        case.held("V_x", "V_xu", "V_f", "best-angle", value)
        return
    chain.found("best-angle-speed", "V_x", value, "speed", _ANDERSON, what="best-angle")
    if case.kind == "efficiency":
        # not where the speed is held above the stall, and so solves nothing
        free = value > central(case.flight.true(case.flight.floor)) * (1.0 + 1e-9)
        formula = "(V_x^4 + eta*P/(rho*f)*V_x)/(2*H/(rho*f))"
        if free.any():
            chain.checking = "V_x"
            chain.step("angle-balance", "k_x", formula, "ratio", _ANDERSON, only=free)
            chain.checking = None


def ceilings(case: Case) -> None:
    """Absolute and service ceiling in the standard atmosphere."""
    natural = case.flight.lapse.aspiration == "natural"
    if natural and case.kind == "fixed" and not np.any(bound_at_sea_level(case.flight)):
        _closed_absolute(case)
        _service(case)
    else:
        _ceiling(case, "absolute_ceiling", "a")
        _ceiling(case, "service_ceiling", "v")


def _floor_at_sea_level(case: Case) -> None:
    case.sea_level_terms()
    if case.needs("V_f0"):
        case.chain.step("floor-0", "V_f0", "1.2*V_s1", "speed", "common-practice")


def _closed_absolute(case: Case) -> None:
    """At one equivalent airspeed thrust less drag depends on power alone, so that the ceiling is exact."""
    chain = case.chain
    _floor_at_sea_level(case)
    chain.step("ceiling-speed", "V_ca", "max((-H_0/K_0)^(1/4), V_f0)", "speed", _LOWRY)
    chain.step("ceiling-power", "Phi_a", "(H_0/V_ca^2 - K_0*V_ca^2)/E_0", "ratio", _LOWRY)
    chain.step("ceiling-ratio", "s_a", "C + Phi_a*(1 - C)", "ratio", "gagg-farrar")
    worked_air.density_altitude_of(chain, "h_a", "s_a", "absolute-ceiling", ends="absolute_ceiling")


def _service(case: Case) -> None:
    """The service ceiling as searched for; thrust less drag at an equivalent airspeed depends on power alone."""
    chain = case.chain
    sigma = standard.density(case.measure("service_ceiling")) / standard.SEA_LEVEL_DENSITY
    chain.found("v-ceiling-ratio", "s_v", sigma, "ratio", _ANDERSON)
    chain.checking = "s_v"
    _standard_lapse(case, "s_v", "Phi_v")
    chain.step("ceiling-static", "E_v", "E_0*Phi_v", "force", _LOWRY)
    formula = "max(sqrt((-E_v - sqrt(E_v^2 - 12*K_0*H_0))/(6*K_0)), V_f0)"
    chain.step("ceiling-climb-speed", "V_v", formula, "speed", _LOWRY)
    chain.step("ceiling-rate", "w_v", "V_v/sqrt(s_v)*(E_v + K_0*V_v^2 - H_0/V_v^2)/W", "vertical speed", _LOWRY)
    chain.checking = None
    # after the check: what leads to an answer is looked for from the end, and a check belongs to what is needed by then
    worked_air.density_altitude_of(chain, "h_v", "s_v", "service-ceiling", ends="service_ceiling")


def _ceiling(case: Case, measure: str, letter: str) -> None:
    """A ceiling that was searched for, and the rate of climb that is left there."""
    chain = case.chain
    height = case.measure(measure)
    sigma = standard.density(height) / standard.SEA_LEVEL_DENSITY
    _floor_at_sea_level(case)
    s, rho, phi, floor, speed = f"s_{letter}", f"r_{letter}", f"Phi_{letter}", f"Vf_{letter}", f"V_{letter}"
    chain.found(f"{letter}-ceiling-ratio", s, sigma, "ratio", _ANDERSON)
    chain.checking = s
    _standard_lapse(case, s, phi)
    chain.step("ceiling-density", rho, f"{s}*rho_0", "density", "definition")
    chain.step("ceiling-power-there", f"P_{letter}", f"P_k*{phi}", "power", "definition")
    n = Names(
        E=f"E_{letter}", F=f"F_{letter}", K=f"K_{letter}", H=f"H_{letter}",
        rho=rho, sigma=s, Phi=phi, P=f"P_{letter}",
    )  # fmt: skip
    case.terms(n)
    chain.step("floor-there", floor, f"V_f0/sqrt({s})", "speed", "common-practice")
    found: Floats = np.float64(np.nan)
    if case.searches(n):
        flight = case.central_flight()
        safe = np.where(np.isfinite(sigma), sigma, 1.0)[None]
        unheld = flight.propulsion.best_rate_speed(flight.airframe, flight.lapse.standard(safe), safe)
        found = np.maximum(central(unheld), chain.values[floor])
    case.best_rate_speed(speed, floor, found, n, "ceiling")
    case.rate("ceiling-rate", speed, f"_{letter}c", n)
    chain.checking = None
    worked_air.density_altitude_of(chain, f"h_{letter}", s, measure.replace("_", "-"), ends=measure)


def _standard_lapse(case: Case, s: str, phi: str) -> None:
    chain, lapse_ = case.chain, case.flight.lapse
    if lapse_.aspiration == "electric":
        chain.step("electric", phi, "1", "ratio", "electric")
    elif lapse_.aspiration == "natural":
        chain.step("ceiling-lapse", phi, f"max(({s} - C)/(1 - C), 0)", "ratio", "gagg-farrar")
    else:
        formula = f"min(max(({s} - C)/(1 - C), 0)/Phi_c, 1)"
        chain.step("ceiling-lapse", phi, formula, "ratio", "turbocharged")


def altimeter(case: Case) -> None:
    """The best rate as the altimeter shows it, in a climb at one indicated airspeed."""
    chain = case.chain
    chain.step("climb-mach", "M_y", "V_y/sqrt(1.4*R*T)", "ratio", "definition")
    formula = "1 + (1 + 0.2*M_y^2) - (1 + 0.2*M_y^2)^(-2.5) - 0.7*M_y^2*R*L/g"
    chain.step("acceleration-factor", "k_a", formula, "ratio", "energy-height")
    formula = "max(T_0*(p/p_0)^(R*L/g), 216.65)"
    chain.step("standard-temperature-of-pressure", "T_p", formula, "temperature", "iso-2533")
    formula = "w_y/k_a*T_p/T"
    chain.step("altimeter-rate", "w_a", formula, "vertical speed", "energy-height", ends="altimeter_climb_rate")


def flaps(case: Case, configuration: str | None, letter: str) -> tuple[Names, str]:
    """Symbols with the flaps of a configuration, and that of its equivalent stall speed."""
    chain, one = case.chain, case.flight.aircraft
    first = one.stalls[0].configuration
    if configuration is None or configuration == first:
        return HERE, "V_s1"
    stall = next(each for each in one.stalls if each.configuration == configuration)
    area, combined = f"f_{letter}", f"K_{letter}"
    gain = 0.0 if stall.parasite_area_gain is None else stall.parasite_area_gain
    chain.give(f"df_{letter}", gain, "area", "flap-area", configuration)
    chain.step("flap-area", area, f"f + df_{letter}", "area", "definition", name=configuration)
    names = HERE.at(f=area, K=combined)
    case.terms(names)
    return names, stall_symbol(case, configuration)


def asked(case: Case) -> None:
    """Rate at the speed and with the flaps asked for; time, fuel and distance between two altitudes."""
    chain, wish = case.chain, case.flight.flying.climb
    if wish is None:
        return
    n, stall = flaps(case, wish.configuration, "k")
    if wish.speed is None:
        chain.step("floor", "V_fk", f"1.2*{stall}/sqrt(sigma)", "speed", "common-practice")
        found: Floats = np.float64(np.nan)
        if case.searches(n):
            found = central(case.central_flight().configured(wish.configuration).best_rate_speed())
        case.best_rate_speed("V_k", "V_fk", found, n, "asked")
    else:
        chain.give("V_kc", wish.speed, "speed", "asked-speed")
        worked_air.true_of_calibrated(chain, "V_kc", "q_k", "V_k", "asked")
    case.rate("asked-rate", "V_k", "_k", n, ends="climb_rate_at_speed")
    if wish.to_altitude is not None:
        _timed(case, n, stall)


def _timed(case: Case, n: Names, stall: str) -> None:
    """The first and the last layer of a timed climb in full, and the sum of all."""
    chain, flight, wish = case.chain, case.flight, case.flight.flying.climb
    if wish is None:
        return
    chain.give("z_2", wish.to_altitude, "altitude", "climb-to")
    if wish.from_altitude is not None:
        chain.give("z_1", wish.from_altitude, "altitude", "climb-from")
    else:
        worked_air.altitude_of_pressure(chain, "climb-from-here", "z_1", "p")
    chain.step("isa-deviation", "dT", "T - max(T_0*(p/p_0)^(R*L/g), 216.65)", "temperature difference", "iso-2533")
    layers = _layer_times(case)
    fuel = "fuel_to_climb" in case.answer.measures
    for i in (0, layers - 1):
        _layer(case, n, stall, i, fuel)
    for measure, letter, key, kind in (
        ("time_to_climb", "t", "climb-time", "time"),
        ("distance_to_climb", "x", "climb-distance", "distance"),
        ("fuel_to_climb", "m", "climb-fuel", "mass"),
    ):
        if measure in case.answer.measures:
            formula = f"{letter}_l1 + {letter}_lb + {letter}_l{layers}"
            if measure == "fuel_to_climb":
                chain.step(key, "m_k", formula, kind, "gauss-legendre")
                chain.hold("rho_f", central(fuel_density(flight)), "fuel density", "fuel-density")
                chain.step("fuel-volume", "v_k", "m_k/rho_f", "volume", "definition", ends=measure)
            else:
                chain.step(key, f"{letter}_k", formula, kind, "gauss-legendre", ends=measure)


def _layer_times(case: Case) -> int:
    """Time, distance and fuel of the layers that are not shown in full, together, and how many layers there are."""
    chain, layers = case.chain, case.answer.layers
    if layers is None:
        raise AssertionError("a timed climb keeps its layers")
    last = len(layers.altitudes) - 1
    for i in (0, last):
        chain.give(f"z_l{i + 1}", layers.altitudes[i], "altitude", "layer-height", str(i + 1))
        chain.give(f"dz_l{i + 1}", layers.heights[i], "altitude", "layer-thickness", str(i + 1))
    for symbol, each, kind in (
        ("t_lb", layers.time, "time"),
        ("x_lb", layers.distance, "distance"),
        ("m_lb", layers.fuel, "mass"),
    ):
        if each is not None:
            chain.give(symbol, each[1:last].sum(axis=0), kind, "layers-between", str(last - 1))
    return last + 1


def _layer(case: Case, n: Names, stall: str, i: int, fuel: bool) -> None:
    """One layer of air: its density, the speed flown, and what it takes."""
    chain, flight, wish = case.chain, case.flight, case.flight.flying.climb
    if wish is None:
        return
    number = str(i + 1)
    names = {"layer": number}
    z, p, T, rho, s, phi = (f"{letter}_l{number}" for letter in ("z", "p", "T", "r", "s", "Phi"))
    worked_air.standard_air(chain, z, f"Ts_l{number}", p)
    chain.step("layer-temperature", T, f"Ts_l{number} + dT", "temperature", "definition", **names)
    chain.step("layer-density", rho, f"{p}/(R*{T})", "density", "ideal-gas", **names)
    chain.step("density-ratio", s, f"{rho}/rho_0", "ratio", "definition")
    lapse(case, p, "", T, phi, f"_l{number}")
    chain.step("power-there", f"P_l{number}", f"P_k*{phi}", "power", "definition")
    there = n.at(
        E=f"E_l{number}", F=f"F_l{number}", K=f"K_l{number}", H=f"H_l{number}", rho=rho, sigma=s, Phi=phi,
        P=f"P_l{number}",
    )  # fmt: skip
    case.terms(there)
    speed = f"V_l{number}"
    if wish.speed is None:
        chain.step("floor-there", f"Vf_l{number}", f"1.2*{stall}/sqrt({s})", "speed", "common-practice")
        found = np.float64(np.nan)
        if case.searches(there):
            one = case.central_flight().configured(wish.configuration)
            found = central(one.in_air(Air(chain.values[p][None], chain.values[T][None])).best_rate_speed())
        case.best_rate_speed(speed, f"Vf_l{number}", found, there, "layer")
    else:
        formula = "p_0*((1 + 0.2*(V_kc/a_0)^2)^3.5 - 1)"
        chain.step("impact-pressure", f"q_l{number}", formula, "pressure", "naca-837", what="layer")
        formula = f"sqrt(7*R*{T}*((1 + q_l{number}/{p})^(2/7) - 1))"
        chain.step("true-of-impact", speed, formula, "speed", "naca-837", what="layer")
    rate = case.rate("layer-rate", speed, f"_l{number}", there)
    formula = f"dz_l{number}*{T}/Ts_l{number}/{rate}"
    chain.step("layer-time", f"t_l{number}", formula, "time", "gauss-legendre", **names)
    formula = f"t_l{number}*(sqrt({speed}^2 - {rate}^2) - U)"
    chain.step("layer-distance", f"x_l{number}", formula, "distance", "definition", **names)
    if fuel:
        if case.needs("c_s"):
            chain.give("c_s", flight.aircraft.engine.specific_consumption, "specific fuel consumption", "consumption")
        power = delivered(case, phi, s)
        formula = f"t_l{number}*{power}*c_s"
        chain.step("layer-fuel", f"m_l{number}", formula, "mass", "definition", **names)


def delivered(case: Case, phi: str, sigma: str) -> str:
    """Shaft power at full throttle that fuel is burned for, as a formula."""
    return f"P_k*sqrt({phi}^3/{sigma})" if case.torque else f"P_k*{phi}"
