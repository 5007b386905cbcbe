"""The evaluation: aeroplanes, loadings and conditions in, every measure out, as one array.

Numbers have the axes spread, aircraft, loading, condition, or fewer that broadcast to them.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from climbwright.air import standard
from climbwright.air.airspeed import calibrated_from_mach, mach_from_calibrated, mach_from_true, true_from_mach
from climbwright.air.state import Air
from climbwright.aircraft.balance import Margins, chord_fraction, margins
from climbwright.aircraft.changes import weighed
from climbwright.aircraft.description import Aircraft, Mass, Stall
from climbwright.aircraft.loading import Amount, between, burn_path
from climbwright.answers.stacking import stack_aircraft, stack_masses
from climbwright.arrays import Floats, Number
from climbwright.flight.climb import STALL_MARGIN, climb_angle, climb_gradient, climb_rate
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import power_ratio
from climbwright.flight.rotation import helical_tip_mach, ideal_static_thrust, rotational_speed
from climbwright.flight.stall import scaled_stall_speed, stall_speed, wing_load_ratio
from climbwright.refusal import Refusal

__all__ = ["SERVICE_RATE", "Evaluation", "Flights", "evaluate", "propulsion_of"]

SERVICE_RATE = 100.0 * 0.3048 / 60.0  # rate of climb left at the service ceiling, 100 ft/min [m/s]
AERODYNAMIC_CENTRE = 0.25  # of the mean chord; common practice, no source

Propulsion = FixedPitch | ConstantEfficiency


@dataclass(frozen=True, slots=True)
class Flights:
    """What is flown in which air: loadings, all stations' names, air, headwind and calibrated climb speed [m/s]."""

    loadings: Sequence[Mapping[str, Amount]]
    stations: Sequence[str]
    air: Air
    headwind: Number = 0.0
    climb_speed: Number = None


@dataclass(slots=True)
class Evaluation:
    """The aeroplanes as stacked, every measure by name, the stall speeds, and what the cautions need, all SI."""

    aircraft: Aircraft
    amounts: dict[str, Amount]
    margins: Margins
    burned: list[tuple[Mass, Margins]]
    measures: dict[str, Floats] = field(default_factory=dict)
    stall_speeds: dict[str, Floats] = field(default_factory=dict)
    checks: dict[str, Floats] = field(default_factory=dict)


def propulsion_of(aircraft: Aircraft) -> Propulsion:
    """Engine and propeller of an aeroplane whose gaps are filled."""
    propeller = aircraft.propeller
    power = np.multiply(aircraft.engine.power, aircraft.engine.power_margin)
    if propeller.kind == "constant-efficiency":
        return ConstantEfficiency(power, propeller.efficiency)
    return FixedPitch(power, propeller.best_efficiency, propeller.best_efficiency_speed)


def evaluate(aircraft: Sequence[Aircraft], flights: Flights) -> Evaluation:
    """Evaluate aeroplanes with the same kind of propeller together.

    Parameters
    ----------
    aircraft : sequence of Aircraft
        Gaps filled, spreads laid out; they share the names of their stall configurations.
    flights : Flights
        Loadings, air and wind.

    Returns
    -------
    Evaluation
        Each measure of a shape that broadcasts to (spread, aircraft, loading, condition).
    """
    one = stack_aircraft(aircraft, flights.stations)
    answer, loaded = _balance(one, stack_masses(aircraft, flights.loadings, flights.stations))
    stalls = _stalls(one, loaded, answer, flights.air)
    _fly(one, loaded, stalls, flights, answer)
    return answer


def _balance(aircraft: Aircraft, amounts: dict[str, Amount]) -> tuple[Evaluation, Mass]:
    path = burn_path([weighed(aircraft), *aircraft.items], aircraft.stations, amounts)
    corners = aircraft.limits.envelope
    # between two plain limits the CG goes one way only; an envelope may bend into its way
    burning = between(path, [corner.mass for corner in corners]) if corners else path[1:]
    start = margins(path[0].mass, path[0].arm, aircraft.limits)
    burned = [(point, margins(point.mass, point.arm, aircraft.limits)) for point in burning]
    answer, loaded = Evaluation(aircraft, amounts, start, burned), path[0]
    wing = aircraft.wing
    answer.measures["weight"] = loaded.mass
    answer.measures["cg_arm"] = loaded.arm
    if wing.chord is not None and wing.leading_edge_arm is not None:
        answer.measures["cg_chord_fraction"] = chord_fraction(loaded.arm, wing.leading_edge_arm, wing.chord)
    answer.measures["cg_margin"] = answer.margins.arm
    return answer, loaded


def _stall(stall: Stall, aircraft: Aircraft, loaded: Mass) -> Floats:
    """Equivalent stall speed of a configuration, wings level."""
    wing = aircraft.wing
    if stall.speed is None:
        return stall_speed(loaded.mass, wing.area, stall.maximum_lift_coefficient, lift_gain=stall.lift_gain)
    ratio: Number = 1.0
    if all(x is not None for x in (aircraft.tail_arm, stall.arm, wing.chord, wing.leading_edge_arm)):
        centre = np.add(wing.leading_edge_arm, np.multiply(AERODYNAMIC_CENTRE, wing.chord))
        ratio = wing_load_ratio(loaded.arm, stall.arm, centre, aircraft.tail_arm)
        if np.any(ratio <= 0.0):
            raise Refusal("/tail_arm", "a CG lies so far off the wing that the tail would carry it: check arms")
        # an aeroplane stacked beside ones that know more has nan for what it does not know
        ratio = np.where(np.isnan(centre + stall.arm + aircraft.tail_arm), 1.0, ratio)
    return scaled_stall_speed(stall.speed, stall.mass, loaded.mass, lift_gain=stall.lift_gain, wing_load_ratio=ratio)


def _stalls(aircraft: Aircraft, loaded: Mass, answer: Evaluation, air: Air) -> Floats:
    """Stall speeds of every configuration; returns the first one's equivalent speed."""
    equivalent = [_stall(stall, aircraft, loaded) for stall in aircraft.stalls]
    wide = 0.0 * sum(equivalent, air.density_ratio)
    true = np.stack([speed + wide for speed in equivalent]) / np.sqrt(air.density_ratio)
    calibrated = _calibrated(true, air)
    for i, stall in enumerate(aircraft.stalls):
        answer.stall_speeds[stall.configuration] = calibrated[i]
    answer.measures["stall_speed_true"] = true[0]
    answer.measures["stall_speed_calibrated"] = answer.stall_speeds[aircraft.stalls[0].configuration]
    return equivalent[0]


def _calibrated(true: Floats, air: Air) -> Floats:
    return calibrated_from_mach(mach_from_true(true, air.temperature), air.pressure)


def _fly(aircraft: Aircraft, loaded: Mass, stall: Floats, flights: Flights, answer: Evaluation) -> None:
    air, engine, drag = flights.air, aircraft.engine, aircraft.drag
    weight = loaded.mass * standard.GRAVITY
    sigma = air.density_ratio
    phi = power_ratio(air, engine.lapse_constant)
    airframe = Airframe(weight, drag.parasite_area, aircraft.wing.span, drag.span_efficiency)
    propulsion = propulsion_of(aircraft)
    slowest = STALL_MARGIN * stall
    floor = slowest / np.sqrt(sigma)

    unheld_rate = propulsion.best_rate_speed(airframe, phi, sigma)
    unheld_angle = propulsion.best_angle_speed(airframe, phi, sigma)
    rate_speed, angle_speed = np.maximum(unheld_rate, floor), np.maximum(unheld_angle, floor)
    level_speed = propulsion.greatest_level_speed(airframe, phi, sigma)
    with np.errstate(invalid="ignore"):
        level_speed = np.where(level_speed < stall / np.sqrt(sigma), np.nan, level_speed)

    def rate_at(true: Floats) -> Floats:
        return climb_rate(propulsion.thrust(true, phi, sigma), airframe.drag(true, air.density), weight, true)

    rate, angle_rate = rate_at(rate_speed), rate_at(angle_speed)
    power = np.multiply(propulsion.power, phi)
    measures = answer.measures
    measures["power_available"] = power
    measures["power_to_weight"] = power / loaded.mass
    measures["installed_power_to_weight"] = np.divide(engine.power, loaded.mass)
    measures["best_climb_rate"] = rate
    measures["best_angle"] = climb_angle(angle_rate, angle_speed)
    measures["climb_gradient"] = climb_gradient(angle_rate, angle_speed, flights.headwind)
    if flights.climb_speed is not None:
        given = true_from_mach(mach_from_calibrated(flights.climb_speed, air.pressure), air.temperature)
        measures["climb_rate_at_speed"] = rate_at(given)
        answer.checks["climb_speed_over_stall"] = given / (stall / np.sqrt(sigma))
    ceiling = propulsion.absolute_ceiling(airframe, engine.lapse_constant, slowest)
    service = propulsion.service_ceiling(airframe, engine.lapse_constant, slowest, SERVICE_RATE)
    measures["absolute_ceiling"] = standard.density_altitude(ceiling * standard.SEA_LEVEL_DENSITY)
    measures["service_ceiling"] = standard.density_altitude(service * standard.SEA_LEVEL_DENSITY)
    measures["greatest_level_speed_true"] = level_speed
    wide = 0.0 * (rate_speed + angle_speed)
    calibrated = _calibrated(np.stack([rate_speed + wide, angle_speed + wide, level_speed + wide]), air)
    measures["best_climb_speed_calibrated"] = calibrated[0]
    measures["best_angle_speed_calibrated"] = calibrated[1]
    measures["greatest_level_speed_calibrated"] = calibrated[2]

    checks = answer.checks
    checks["power_ratio"] = phi
    checks["sea_level_power"] = propulsion.power + 0.0 * loaded.mass
    checks["rate_held"] = floor - unheld_rate
    checks["angle_held"] = floor - unheld_angle
    _turn(aircraft, airframe, propulsion, rate_speed, level_speed, flights, answer)


def _turn(
    aircraft: Aircraft,
    airframe: Airframe,
    propulsion: Propulsion,
    rate_speed: Floats,
    level_speed: Floats,
    flights: Flights,
    answer: Evaluation,
) -> None:
    """Engine speed with a fixed pitch, the power that it leaves, tip speed and static thrust."""
    air, engine, propeller = flights.air, aircraft.engine, aircraft.propeller
    power, phi, sigma = answer.measures["power_available"], answer.checks["power_ratio"], air.density_ratio
    if isinstance(propulsion, ConstantEfficiency):
        answer.measures["power_delivered"] = power
    elif propeller.diameter is not None:
        ideal = ideal_static_thrust(power, propeller.diameter, air.density)
        with np.errstate(invalid="ignore"):  # no power, no thrust, no ratio
            answer.checks["static_thrust_ratio"] = propulsion.thrust(0.0, phi, sigma) / ideal
    turning: Number = engine.speed
    fastest = np.where(np.isnan(level_speed), rate_speed, level_speed)
    static = None if isinstance(propulsion, ConstantEfficiency) else _static_speed(aircraft)
    if static is not None:
        rated_airspeed = propulsion.greatest_level_speed(airframe, 1.0, 1.0)
        in_climb = rotational_speed(rate_speed, static, engine.speed, rated_airspeed, phi, sigma)
        answer.measures["power_delivered"] = power * in_climb / engine.speed
        turning = rotational_speed(fastest, static, engine.speed, rated_airspeed, phi, sigma)
    if turning is not None and propeller.diameter is not None:
        geared = np.divide(turning, 1.0 if engine.reduction is None else engine.reduction)
        answer.checks["tip_mach"] = helical_tip_mach(fastest, geared, propeller.diameter, air.speed_of_sound)


def _static_speed(aircraft: Aircraft) -> Number:
    """Engine speed standing still at sea level, None where nothing tells it."""
    propeller, engine = aircraft.propeller, aircraft.engine
    if engine.speed is None:
        return None
    by_class = None if propeller.static_fraction is None else np.multiply(propeller.static_fraction, engine.speed)
    if propeller.static_speed is None or by_class is None:
        return by_class if propeller.static_speed is None else propeller.static_speed
    return np.where(np.isnan(propeller.static_speed), by_class, propeller.static_speed)
