"""A calibration, worked: how each observation was reduced, how far it is off, and how much it pulls each number."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from climbwright.aircraft.changes import weighed
from climbwright.aircraft.description import Aircraft
from climbwright.aircraft.loading import loaded_mass
from climbwright.answers.calibration.calibrate import Learned
from climbwright.answers.calibration.observation import Observation, quantity_of
from climbwright.answers.question import weighed_and_settled
from climbwright.answers.spread import central as certain
from climbwright.answers.working import air as worked_air
from climbwright.answers.working.step import Chain, Step, central
from climbwright.arrays import Floats, Measured

__all__ = ["numbers_learned", "observation_reduced"]

_DAY = ("p_d", "T_d")  # the air as it most likely was
_LINEAR = 1e-6  # of a number: one that moves less far from a sum of pulls is that sum


def observation_reduced(learned: Learned, observations: Sequence[Observation], place: int) -> list[Step]:
    """Steps from what was read to weight, air and airspeed, and to how far it is from what it should have read.

    Parameters
    ----------
    learned : Learned
        The fit.
    observations : sequence of Observation
        As sent.
    place : int
        Which of them.

    Returns
    -------
    list of Step
        Ending in the reduced numbers and in the standard deviations of the difference.
    """
    fitted, shared, flights = learned.unknowns.placed(learned.unknowns.values(learned.fit.z[None]))
    one = flights[place]
    days = list(dict.fromkeys(other.day for other in observations))
    day = days.index(one.day)
    chain = Chain()
    with np.errstate(all="ignore"):
        worked_air.state(chain, one.condition)
        _air_of_day(chain, shared.altitude[day], shared.temperature[day], one.day)
        _weight(chain, fitted, learned, one, shared.empty_mass)
        _airspeed(chain, learned, one, place)
        _rate(chain, one)
        _difference(chain, learned, observations[place], place)
    return chain.needed({step.ends for step in chain.steps if step.ends})


def _air_of_day(chain: Chain, height: Floats, warmth: Floats, day: str) -> None:
    chain.give("dh", height, "altitude", "day-altitude", day or "that day")
    chain.give("dT", warmth, "temperature difference", "day-temperature", day or "that day")
    chain.step("pressure-of-day", "p_d", "p*exp(-dh*g*rho/p)", "pressure", "hydrostatic")
    chain.step("temperature-of-day", "T_d", "T + dT", "temperature", "definition", ends="temperature")
    worked_air.altitude_of_pressure(chain, "pressure-altitude", "h_d", "p_d", ends="pressure_altitude")
    moist = "e" in chain.values
    mixture = "(p_d - e)/(R*T_d) + e/(R_v*T_d)" if moist else "p_d/(R*T_d)"
    chain.step("moist-density" if moist else "dry-density", "rho_d", mixture, "density", "ideal-gas")
    chain.step("density-ratio", "sigma_d", "rho_d/rho_0", "ratio", "definition")
    worked_air.density_altitude_of(chain, "h_rd", "sigma_d", ends="density_altitude")


def _weight(chain: Chain, fitted: Aircraft, learned: Learned, one: Observation, error: Floats) -> None:
    """The weight with half of the fuel burned; the empty one as it most likely is."""
    as_weighed, now = (weighed(weighed_and_settled(each, "")) for each in (certain(learned.aircraft), fitted))
    chain.give("k_e", error, "ratio", "empty-error")
    chain.give("m_e", now.mass, "mass", "empty-weight")
    burned = ""
    if one.fuel_used is not None:
        chain.give("m_f", one.fuel_used, "mass", "fuel-used")
        burned = " - m_f/2"
    if one.mass is not None:
        chain.give("m_s", one.mass, "mass", "stated-weight")
        same = central(as_weighed.mass) == central(now.mass)
        formula = f"m_s{burned} + m_e*k_e"
        if not same:
            chain.give("m_w", as_weighed.mass, "mass", "empty-before-fit")
            formula += " + m_e - m_w"
        chain.step("flown-weight", "m", formula, "mass", "definition", ends="weight")
        return
    parts = ["m_e*(1 + k_e)"]
    for i, item in enumerate(fitted.items, 1):
        chain.give(f"m_i{i}", item.mass, "mass", "item-weight", item.name)
        parts.append(f"m_i{i}")
    for i, station in enumerate(fitted.stations, 1):
        mass = loaded_mass((one.stations or {}).get(station.name), station)
        if (central(mass) != 0.0).any():
            chain.give(f"m_{i}", mass, "mass", "station-weight", station.name)
            parts.append(f"m_{i}")
    chain.step("flown-weight", "m", " + ".join(parts) + burned, "mass", "faa-8083-1", ends="weight")


def _airspeed(chain: Chain, learned: Learned, one: Observation, place: int) -> None:
    """Calibrated and true airspeed of what was read beside the measured quantity."""
    if one.airspeed is None:
        return
    if one.reading == "true":
        chain.give("V", one.airspeed, "speed", "stated-true")
        worked_air.calibrated(chain, "V", "q_c", "V_c", ends="calibrated", air=_DAY)
        chain.step("as-sent", "V_t", "V", "speed", "definition", ends="true")
        return
    if one.reading == "calibrated":
        chain.give("V_s", one.airspeed, "speed", "stated-calibrated")
        chain.step("as-sent", "V_c", "V_s", "speed", "definition", ends="calibrated")
    else:
        read = _through_the_table(chain, learned.aircraft, one.airspeed, "V_i", "V_r")
        _without_errors(chain, learned, read, place)
    worked_air.true_of_calibrated(chain, "V_c", "q_c", "V_t", ends="true", air=_DAY)


def _through_the_table(chain: Chain, aircraft: Aircraft, airspeed: Any, given: str, read: str) -> str:
    """An indicated airspeed through the owner's table; the symbol of what comes out."""
    chain.give(given, airspeed, "speed", "stated-indicated")
    table = aircraft.airspeed_correction
    if not table:
        return given
    columns = [p.indicated for p in table], [p.calibrated for p in table]
    worked_air.corrected(chain, "calibrated-of-indicated", given, read, columns)
    return read


def _without_errors(chain: Chain, learned: Learned, read: str, place: int) -> None:
    """The calibrated airspeed of a reading, the error of the airspeed system as learned taken out."""
    errors = learned.prediction.flight.aircraft.airspeed_errors
    if errors is None:
        chain.step("as-sent", "V_c", read, "speed", "definition", ends="calibrated")
        return
    chain.give("k_n", errors.near_stall, "ratio", "error-near-stall")
    chain.give("k_c", errors.cruise, "ratio", "error-cruise")
    chain.hold("V_s", np.float64(_here(learned, learned.prediction.stall, place)), "speed", "stall-learned")
    worked_air.read_without_errors(chain, read, "V_c", "V_s", "calibrated")


def _rate(chain: Chain, one: Observation) -> None:
    """The rate in height gained, of one that the altimeter showed."""
    if one.measured not in ("rate", "sink") or not one.by_altimeter:
        return
    chain.give("w_i", np.float64(one.value), "vertical speed", "altimeter-rate")
    worked_air.standard_air(chain, "h_d", "T_s", "p_s")
    chain.step("tapeline", "w_t", "w_i*T_d/T_s", "vertical speed", "hydrostatic", ends="tapeline")


def _difference(chain: Chain, learned: Learned, one: Observation, place: int) -> None:
    """How far what was sent is from what it should have read, over the spread of that difference."""
    kind, fit = quantity_of(one.kind, one.measured).kind, learned.fit
    if one.measured == "speed" and one.reading == "indicated" and learned.aircraft.airspeed_correction:
        observed = _through_the_table(chain, learned.aircraft, np.float64(one.value), "v_i", "v_o")
    else:
        chain.give("x_o", np.float64(learned.values[place]), kind, "observed")
        observed = "x_o"
    chain.give("x_e", np.float64(fit.predicted[place]), kind, "expected-by-fit")
    chain.give("s_o", np.float64(fit.spread[place]), kind, "observed-spread")
    chain.give("s_e", np.float64(fit.forecast_spread[place]), kind, "expected-spread")
    chain.step("off", "r", f"({observed} - x_e)/s_o", "ratio", "definition")
    formula = "r/sqrt(max(1 - (s_e/s_o)^2, 0.000000001))"
    chain.step("off-studentized", "t", formula, "ratio", "belsley", ends="standard_deviations")


def _here(learned: Learned, value: Floats, place: int) -> float:
    return float(np.broadcast_to(value, (1, 1, 1, len(learned.observed.kinds)))[0, 0, 0, place])


def numbers_learned(
    learned: Learned,
    observations: Sequence[Observation],
    numbers: Sequence[tuple[str, str, Measured, Measured]],
    slopes: NDArray[np.float64],
) -> list[Step]:
    """Each learned number, and the sum that the search made least.

    Where the answer is smooth, each lies where it was before plus its pull by each observation times how many spreads
    that is off, which a pocket calculator can check. At a kink, as where an engine just cannot give a power setting,
    or where a number follows from others by a formula, it is shown as found.

    Parameters
    ----------
    learned : Learned
        The fit.
    observations : sequence of Observation
        In the order of the fit.
    numbers : sequence of (str, str, Measured, Measured)
        JSON Pointer, kind, before and after of each.
    slopes : numpy.ndarray, shape (numbers, directions)
        Change of each along each direction, where the fit began. [SI]
    """
    chain, fit = Chain(), learned.fit
    count = range(1, len(observations) + 1)
    for i, one in zip(count, observations, strict=True):
        chain.give(f"r_{i}", np.float64(fit.residual[i - 1]), "ratio", "off-of", one.name)
    terms = " + ".join(f"k_{i}*r_{i}" for i in count)
    pulls = slopes @ (fit.slopes / fit.spread[:, None]).T
    for (where, kind, before, after), pull in zip(numbers, pulls, strict=True):
        if abs(before.value + pull @ fit.residual - after.value) > _LINEAR * abs(after.value):
            chain.found("number-learned", "x", np.float64(after.value), kind, "tarantola", ends=where, number=where)
            continue
        chain.give("x_b", np.float64(before.value), kind, "number-before")
        for i, one in zip(count, observations, strict=True):
            chain.give(f"k_{i}", np.float64(pull[i - 1]), kind, "pull-of", one.name)
        chain.step("number-learned", "x", f"x_b + {terms}", kind, "tarantola", ends=where, number=where)
    for k, way in enumerate(fit.z, 1):
        chain.give(f"z_{k}", np.float64(way), "ratio", "way-along", str(k))
    squares = [f"r_{i}^2" for i in count] + [f"z_{k}^2" for k in range(1, len(fit.z) + 1)]
    chain.step("misfit", "Q", " + ".join(squares), "ratio", "tarantola")
    return chain.steps
