"""The small answers about air, airspeeds and the stall, worked step by step."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.air.condition import Condition
from climbwright.aircraft.description import CorrectionPoint
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.step import Chain, Step
from climbwright.arrays import Number, field_names, field_values
from climbwright.refusal import Refusal

__all__ = ["airspeeds", "atmosphere", "density_altitude", "one_calculation", "stall_speeds"]


def one_calculation(given: Mapping[str, Any]) -> None:
    """Refuse lists: one calculation is shown.

    Raises
    ------
    Refusal
        Names the first list.
    """
    for name, value in given.items():
        if isinstance(value, np.ndarray):
            raise Refusal(f"/{name}", "working shows one calculation: send one value here, or leave working out")


def _of_condition(condition: Condition | None) -> dict[str, Any]:
    if condition is None:
        return {}
    return dict(zip(field_names(Condition), field_values(Condition)(condition), strict=True))


def _all(chain: Chain) -> list[Step]:
    return chain.needed({step.ends for step in chain.steps if step.ends})


def atmosphere(altitude: Number, geometric_altitude: Number, temperature_offset: Number) -> list[Step]:
    """Steps of the standard atmosphere at an altitude.

    Parameters
    ----------
    altitude, geometric_altitude, temperature_offset
        As `answers.air.atmosphere`, without lists.
    """
    given = {"altitude": altitude, "geometric_altitude": geometric_altitude, "temperature_offset": temperature_offset}
    one_calculation(given)
    chain = Chain()
    with np.errstate(all="ignore"):
        if altitude is None:
            chain.give("z", geometric_altitude, "altitude", "stated-geometric-altitude")
            chain.give("r", standard.EARTH_RADIUS, "altitude", "earth-radius")
            chain.step("geopotential-altitude", "h", "r*z/(r + z)", "altitude", "iso-2533", ends="altitude")
        else:
            chain.give("h", altitude, "altitude", "stated-altitude")
        worked_air.standard_air(chain, "h", "T_s", "p")
        chain.give("d", temperature_offset, "temperature difference", "stated-offset")
        chain.step("offset-temperature", "T", "T_s + d", "temperature", "definition", ends="temperature")
        chain.end({"p": "pressure"})
        chain.step("dry-density", "rho", "p/(R*T)", "density", "ideal-gas", ends="density")
        for key, symbol, formula in (
            ("temperature-ratio", "theta", "T/T_0"),
            ("pressure-ratio", "delta", "p/p_0"),
            ("density-ratio", "sigma", "rho/rho_0"),
        ):
            chain.step(key, symbol, formula, "ratio", "definition", ends=key.replace("-", "_"))
        chain.step("speed-of-sound", "a", "sqrt(1.4*R*T)", "speed", "iso-2533", ends="speed_of_sound")
        formula = "0.000001458*T^1.5/(T + 110.4)"
        chain.step("viscosity", "mu", formula, "dynamic viscosity", "iso-2533", ends="dynamic_viscosity")
        worked_air.density_altitude_of(chain, "h_rho", "sigma", ends="density_altitude")
    return _all(chain)


def density_altitude(condition: Condition) -> list[Step]:
    """Steps from what a condition states to its density altitude.

    Parameters
    ----------
    condition : Condition
        In exactly one form, without lists.
    """
    one_calculation(_of_condition(condition))
    chain = Chain()
    with np.errstate(all="ignore"):
        worked_air.state(chain, condition, fields=True)
    return _all(chain)


def airspeeds(speeds: Mapping[str, Any], condition: Condition, correction: tuple[CorrectionPoint, ...]) -> list[Step]:
    """Steps from one airspeed to the others.

    Parameters
    ----------
    speeds, condition, correction
        As `answers.air.airspeeds`, without lists.
    """
    one_calculation({**speeds, **_of_condition(condition)})
    ((stated, speed),) = speeds.items()
    columns = [p.indicated for p in correction], [p.calibrated for p in correction]
    chain = Chain()
    with np.errstate(all="ignore"):
        worked_air.state(chain, condition)
        chain.step("speed-of-sound", "a", "sqrt(1.4*R*T)", "speed", "iso-2533")
        symbol = {"indicated": "V_i", "calibrated": "V_c", "equivalent": "V_e", "true": "V", "mach": "M"}[stated]
        chain.give(symbol, speed, "ratio" if stated == "mach" else "speed", f"stated-{stated}")
        if stated == "indicated":
            _read(chain, "calibrated-of-indicated", "V_i", "V_c", columns, "calibrated")
        if stated in ("indicated", "calibrated"):
            formula = "p_0*((1 + 0.2*(V_c/a_0)^2)^3.5 - 1)"
            chain.step("impact-pressure", "q_c", formula, "pressure", "naca-837", ends="impact_pressure", what="")
            chain.step("mach-of-impact", "M", "sqrt(5*((1 + q_c/p)^(2/7) - 1))", "ratio", "naca-837", ends="mach")
        elif stated == "equivalent":
            chain.step("true-of-equivalent", "V", "V_e/sqrt(sigma)", "speed", "naca-837", ends="true", what="")
        if stated in ("equivalent", "true"):
            chain.step("mach-of-true", "M", "V/a", "ratio", "definition", ends="mach")
        else:
            chain.step("true-of-mach", "V", "M*a", "speed", "definition", ends="true")
        chain.step("equivalent-of-true", "V_e", "V*sqrt(sigma)", "speed", "naca-837", ends="equivalent")
        chain.step("dynamic-pressure", "q", "rho*V^2/2", "pressure", "definition", ends="dynamic_pressure")
        if stated not in ("indicated", "calibrated"):
            formula = "p*((1 + 0.2*M^2)^3.5 - 1)"
            chain.step("impact-pressure", "q_c", formula, "pressure", "naca-837", ends="impact_pressure", what="")
            formula = "a_0*sqrt(5*((1 + q_c/p_0)^(2/7) - 1))"
            chain.step("calibrated", "V_c", formula, "speed", "naca-837", ends="calibrated", what="")
        if stated != "indicated":
            _read(chain, "indicated-of-calibrated", "V_c", "V_i", columns[::-1], "indicated")
    return _all(chain)


def _read(chain: Chain, key: str, have: str, want: str, columns: tuple[Any, Any], ends: str) -> None:
    """Through the owner's table, or the same where there is none."""
    if columns[0]:
        worked_air.corrected(chain, key, have, want, columns, ends)
    else:
        chain.step("no-table", want, have, "speed", "no-table", ends=ends, what="")


def stall_speeds(given: Mapping[str, Number], condition: Condition | None) -> list[Step]:
    """Steps of the stall speed at a weight, in a bank, with a lift gain.

    Parameters
    ----------
    given, condition
        As `answers.stall.stall_speeds`, without lists.
    """
    one_calculation({**given, **_of_condition(condition)})
    chain = Chain()
    with np.errstate(all="ignore"):
        if condition is not None:
            worked_air.state(chain, condition)
        chain.give("m", given["weight"], "mass", "loaded-weight")
        gain = _lift(chain, given)
        _load_factor(chain, given)
        if given.get("reference_speed") is not None:
            chain.give("V_r", given["reference_speed"], "speed", "stall-flown")
            chain.give("m_r", given["reference_weight"], "mass", "stall-flown-weight")
            level, banked = f"V_r*sqrt(m/(m_r{gain}))", f"V_r*sqrt(n*m/(m_r{gain}))"
            source = "anderson-5"
        else:
            chain.give("S", given["wing_area"], "area", "wing-area")
            chain.give("C_L", given["maximum_lift_coefficient"], "ratio", "lift-coefficient")
            level, banked = f"sqrt(2*m*g/(rho_0*S*C_L{gain}))", f"sqrt(2*n*m*g/(rho_0*S*C_L{gain}))"
            source = "anderson-5"
        for key, symbol, formula in (("stall-banked", "V_s", banked), ("stall-level", "V_1", level)):
            chain.step(key, symbol, formula, "speed", source)
        calibrated = {"V_s": "V_s", "V_1": "V_1"}
        if condition is None:
            chain.end({"V_s": "stall_speed_calibrated"})
        else:
            for symbol, ends in (("V_s", "stall_speed_true"), ("V_1", None)):
                true, what = f"{symbol}t", "stall" if symbol == "V_s" else "stall-level"
                formula = f"{symbol}/sqrt(sigma)"
                chain.step("true-of-equivalent", true, formula, "speed", "naca-837", ends=ends, what=what)
                calibrated[symbol] = f"{symbol}c"
                ends = "stall_speed_calibrated" if symbol == "V_s" else None
                worked_air.calibrated(chain, true, f"q_{symbol[-1]}", f"{symbol}c", ends, what)
        formula = f"1.3*{calibrated['V_1']}"
        chain.step("approach", "V_a", formula, "speed", "common-practice", ends="approach_speed_calibrated")
    return _all(chain)


def _lift(chain: Chain, given: Mapping[str, Number]) -> str:
    """The factor of the greatest lift coefficient, nothing where nothing was gained."""
    if given.get("lift_gain") is None:
        return ""
    chain.give("k", given["lift_gain"], "ratio", "lift-gain")
    return "*(1 + k)"


def _load_factor(chain: Chain, given: Mapping[str, Number]) -> None:
    if given.get("bank") is not None:
        chain.give("phi", given["bank"], "angle", "bank")
        chain.step("load-factor", "n", "1/cos(phi)", "ratio", "anderson-6", ends="load_factor")
    else:
        n = given.get("load_factor")
        chain.give("n", 1.0 if n is None else n, "ratio", "load-factor-stated")
