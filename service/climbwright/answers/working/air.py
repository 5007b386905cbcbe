"""The air, worked: from what a condition states to pressure, density, density altitude and airspeeds."""

from functools import lru_cache
from typing import Any

import numpy as np

from climbwright.air import standard
from climbwright.air.airspeed import read_correction
from climbwright.air.condition import Condition
from climbwright.answers.working.step import Chain, central
from climbwright.arrays import Number

__all__ = [
    "altitude_of_pressure",
    "calibrated",
    "corrected",
    "density_altitude_of",
    "standard_air",
    "state",
    "true_of_calibrated",
]

# Layers of the standard atmosphere: the formula below 11 km, from there to 20 km, and above; h is an altitude
_TEMPERATURE = ("T_0 - L*{h}", "216.65 + 0*{h}", "216.65 + 0.001*({h} - 20000)")
_PRESSURE = (
    "p_0*(1 - L*{h}/T_0)^(g/(R*L))",
    "p_0*(216.65/T_0)^(g/(R*L))*exp((11000 - {h})*g/(R*216.65))",
    "p_0*(216.65/T_0)^(g/(R*L))*exp(-9000*g/(R*216.65))*(1 + 0.001*({h} - 20000)/216.65)^(-1000*g/R)",
)
_ALTITUDE_OF_PRESSURE = (
    "T_0/L*(1 - ({p}/p_0)^(R*L/g))",
    "11000 - R*216.65/g*ln({p}/(p_0*(216.65/T_0)^(g/(R*L))))",
    "20000 + 216650*(({p}/(p_0*(216.65/T_0)^(g/(R*L))*exp(-9000*g/(R*216.65))))^(-0.001*R/g) - 1)",
)
_ALTITUDE_OF_DENSITY = (
    "T_0/L*(1 - {s}^(R*L/(g - R*L)))",
    "11000 - R*216.65/g*ln({s}*rho_0*R*216.65/(p_0*(216.65/T_0)^(g/(R*L))))",
    "20000 + 216650*(({s}*rho_0*R*216.65/(p_0*(216.65/T_0)^(g/(R*L))*exp(-9000*g/(R*216.65))))"
    "^(-0.001*R/(g + 0.001*R)) - 1)",
)
_ISO = "iso-2533"


def _layered(
    chain: Chain, key: str, symbol: str, formulas: tuple[str, ...], altitude: Number, kind: str, ends: str | None
) -> None:
    """One step, by the formula of the layer in which each altitude lies."""
    height = np.asarray(altitude)
    if (height <= standard.TROPOPAUSE).all():
        chain.step(key, symbol, formulas[0], kind, _ISO, ends=ends)
        return
    low, high = height <= standard.TROPOPAUSE, height > standard.UPPER_BASE
    for formula, layer in zip(formulas, (low, ~low & ~high, high), strict=True):
        if layer.any():
            chain.step(key, symbol, formula, kind, _ISO, ends=ends, only=layer)


def standard_air(chain: Chain, height: str, temperature: str, pressure: str) -> None:
    """Temperature and pressure of the standard atmosphere at an altitude that the chain knows."""
    altitude = chain.values[height]
    _layered(chain, "standard-temperature", temperature, _at(_TEMPERATURE, h=height), altitude, "temperature", None)
    _layered(chain, "standard-pressure", pressure, _at(_PRESSURE, h=height), altitude, "pressure", None)


@lru_cache(maxsize=256)
def _at(formulas: tuple[str, ...], **symbols: str) -> tuple[str, ...]:
    return tuple(formula.format(**symbols) for formula in formulas)


def altitude_of_pressure(chain: Chain, key: str, symbol: str, pressure: str, ends: str | None = None) -> None:
    """Standard altitude of a pressure that the chain knows."""
    altitude = standard.pressure_altitude(chain.values[pressure])
    _layered(chain, key, symbol, _at(_ALTITUDE_OF_PRESSURE, p=pressure), altitude, "altitude", ends)


def density_altitude_of(
    chain: Chain, symbol: str, ratio: str, key: str = "density-altitude", ends: str | None = None
) -> None:
    """Standard altitude of a density ratio that the chain knows."""
    altitude = standard.density_altitude(chain.values[ratio] * standard.SEA_LEVEL_DENSITY)
    _layered(chain, key, symbol, _at(_ALTITUDE_OF_DENSITY, s=ratio), altitude, "altitude", ends)


def state(chain: Chain, condition: Condition, fields: bool = False) -> None:
    """p, T, e where there is vapour, rho, sigma and h_rho from what a condition states, as its central case.

    Parameters
    ----------
    chain : Chain
        Knows them afterwards.
    condition : Condition
        In one of its forms.
    fields : bool
        The steps end the fields of a density altitude.
    """
    if condition.density_altitude is not None:
        chain.give("h", condition.density_altitude, "altitude", "stated-density-altitude")
        standard_air(chain, "h", "T", "p")
    else:
        _pressure(chain, condition)
        altitude_of_pressure(chain, "pressure-altitude", "h_p", "p")
        _temperature(chain, condition)
    moist = _vapour(chain, condition)
    mixture = "(p - e)/(R*T) + e/(R_v*T)" if moist else "p/(R*T)"
    chain.step("moist-density" if moist else "dry-density", "rho", mixture, "density", "ideal-gas")
    chain.step("density-ratio", "sigma", "rho/rho_0", "ratio", "definition")
    density_altitude_of(chain, "h_rho", "sigma")
    if fields:
        _fields(chain, condition, moist)


def _fields(chain: Chain, condition: Condition, moist: bool) -> None:
    """What a density altitude answers beyond the state of the air."""
    if condition.density_altitude is not None:
        altitude_of_pressure(chain, "pressure-altitude", "h_p", "p")
    chain.step("dry-density-ratio", "sigma_d", "p/(R*T*rho_0)", "ratio", "ideal-gas")
    density_altitude_of(chain, "h_d", "sigma_d", "dry-density-altitude", ends="density_altitude_dry")
    if "T_s" not in chain.values:
        _standard_temperature(chain)
    chain.step("isa-deviation", "dT", "T - T_s", "temperature difference", "definition", ends="isa_deviation")
    ends = {
        "h_p": "pressure_altitude",
        "h_rho": "density_altitude",
        "p": "station_pressure",
        "T": "temperature",
        "rho": "density",
        "sigma": "density_ratio",
        "e": "vapour_pressure",
    }
    chain.end({symbol: field for symbol, field in ends.items() if symbol != "e" or moist})


def _pressure(chain: Chain, condition: Condition) -> None:
    if condition.pressure_altitude is not None:
        chain.give("h", condition.pressure_altitude, "altitude", "stated-pressure-altitude")
        _layered(chain, "pressure", "p", _at(_PRESSURE, h="h"), chain.values["h"], "pressure", None)
    elif condition.station_pressure is not None:
        chain.give("p", condition.station_pressure, "pressure", "stated-pressure")
    else:
        chain.give("Q", condition.qnh, "pressure", "stated-qnh")
        chain.give("z", condition.elevation, "altitude", "stated-elevation")
        chain.step("pressure-from-qnh", "p", "p_0*((Q/p_0)^(R*L/g) - L*z/T_0)^(g/(R*L))", "pressure", "icao-7488")


def _standard_temperature(chain: Chain) -> None:
    formulas = _at(_TEMPERATURE, h="h_p")
    _layered(chain, "standard-temperature-here", "T_s", formulas, chain.values["h_p"], "temperature", None)


def _temperature(chain: Chain, condition: Condition) -> None:
    if condition.oat is not None:
        chain.give("T", condition.oat, "temperature", "stated-temperature")
        return
    _standard_temperature(chain)
    chain.give("d", condition.temperature_offset, "temperature difference", "stated-offset")
    chain.step("offset-temperature", "T", "T_s + d", "temperature", "definition")


def _vapour(chain: Chain, condition: Condition) -> bool:
    """Vapour pressure, where a dew point or a humidity was stated."""
    if condition.dew_point is not None:
        stated = np.minimum(central(condition.dew_point), chain.values["T"])
        chain.give("T_d", stated, "temperature", "stated-dew-point")
        chain.step("dew-point-celsius", "t", "T_d - 273.15", "number", "definition")
    elif condition.relative_humidity is not None:
        chain.give("U", condition.relative_humidity, "ratio", "stated-humidity")
        chain.step("temperature-celsius", "t", "T - 273.15", "number", "definition")
    else:
        return False
    chain.step("saturation-pressure", "e_s", "611.2*exp(17.62*t/(243.12 + t))", "pressure", "wmo-8")
    if condition.dew_point is not None:
        chain.step("vapour-of-dew-point", "e", "e_s", "pressure", "definition")
    else:
        chain.step("vapour-of-humidity", "e", "U*e_s", "pressure", "definition")
    return True


def calibrated(
    chain: Chain,
    true: str,
    impact: str,
    symbol: str,
    ends: str | None = None,
    what: str = "",
    air: tuple[str, str] = ("p", "T"),
) -> None:
    """Calibrated airspeed of a true one, in air of this pressure and temperature."""
    p, t = air
    chain.step("impact-pressure", impact, f"{p}*((1 + {true}^2/(7*R*{t}))^3.5 - 1)", "pressure", "naca-837", what=what)
    formula = f"a_0*sqrt(5*((1 + {impact}/p_0)^(2/7) - 1))"
    chain.step("calibrated", symbol, formula, "speed", "naca-837", ends=ends, what=what)


def true_of_calibrated(
    chain: Chain,
    symbol: str,
    impact: str,
    true: str,
    what: str = "",
    ends: str | None = None,
    air: tuple[str, str] = ("p", "T"),
) -> None:
    """True airspeed of a calibrated one, in air of this pressure and temperature."""
    p, t = air
    formula = f"p_0*((1 + 0.2*({symbol}/a_0)^2)^3.5 - 1)"
    chain.step("impact-pressure", impact, formula, "pressure", "naca-837", what=what)
    formula = f"sqrt(7*R*{t}*((1 + {impact}/{p})^(2/7) - 1))"
    chain.step("true-of-impact", true, formula, "speed", "naca-837", ends=ends, what=what)


def read_with_errors(
    chain: Chain, calibrated: str, symbol: str, stall: str, ends: str | None = None, what: str = ""
) -> None:
    """The reading of a calibrated airspeed, the learned error of the airspeed system put in."""
    formula = f"{calibrated}*(k_n + (k_c - k_n)*min(max({calibrated}/{stall} - 1, 0), 1))"
    chain.step("reading-with-error", symbol, formula, "speed", "common-practice", ends=ends, what=what)


def read_without_errors(
    chain: Chain, reading: str, symbol: str, stall: str, ends: str | None = None, what: str = ""
) -> None:
    """The calibrated airspeed of a reading, the learned error of the airspeed system taken out, where each lies."""
    read, low, high = chain.values[reading], chain.values["k_n"], 2.0 * chain.values["k_c"]
    slow = np.asarray(read <= low * chain.values[stall])
    fast = np.asarray(read >= high * chain.values[stall])
    between = f"2*{reading}/(2*k_n - k_c + sqrt((2*k_n - k_c)^2 + 4*(k_c - k_n)*{reading}/{stall}))"
    for formula, there in ((f"{reading}/k_n", slow), (between, ~slow & ~fast), (f"{reading}/k_c", fast)):
        if there.any():
            only = None if there.all() else there
            chain.step(
                "calibrated-of-reading", symbol, formula, "speed", "common-practice", ends=ends, only=only, what=what
            )


def corrected(
    chain: Chain,
    key: str,
    given: str,
    symbol: str,
    columns: tuple[Any, Any],
    ends: str | None = None,
    what: str = "",
) -> None:
    """A speed read out of the owner's table, between the two lines where it lies.

    Parameters
    ----------
    chain : Chain
        Knows `given`.
    key, given, symbol : str
        Of the step, of the speed known and of the one read.
    columns : tuple of sequence of float
        The table's column of the one and of the other. [m/s]
    ends : str, optional
        As `Step`.
    what : str
        Name of the speed.
    """
    have, want = (np.asarray(column, dtype=float) for column in columns)
    speed = chain.values[given]
    line = np.clip(np.searchsorted(have, speed, side="right") - 1, 0, len(have) - 2)
    inside = np.isfinite(np.asarray(read_correction(speed, have, want)))
    one, two, low, high = (f"{symbol}{suffix}" for suffix in ("_1", "_2", "_a", "_b"))
    chain.hold(low, have[line], "speed", "table-given-low")
    chain.hold(high, have[line + 1], "speed", "table-given-high")
    chain.hold(one, want[line], "speed", "table-wanted-low")
    chain.hold(two, want[line + 1], "speed", "table-wanted-high")
    formula = f"{one} + ({two} - {one})*({given} - {low})/({high} - {low})"
    only = None if inside.all() else inside
    chain.step(key, symbol, formula, "speed", "linear-table", ends=ends, only=only, what=what)
