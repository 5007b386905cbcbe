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
from climbwright.aircraft.description import Aircraft, Engine, Mass, Stall
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


@dataclass(frozen=True, slots=True)
class _Flight:
    """One evaluation's airframe and propulsion in its air; `stall` is equivalent airspeed."""

    aircraft: Aircraft
    airframe: Airframe
    propulsion: Propulsion
    air: Air
    power_ratio: Floats
    stall: Floats

    @property
    def here(self) -> tuple[Airframe, Floats, Floats]:
        """What a speed of the propulsion depends on."""
        return self.airframe, self.power_ratio, self.air.density_ratio

    def true(self, equivalent: Floats) -> Floats:
        """True airspeed in this air."""
        return equivalent / np.sqrt(self.air.density_ratio)

    def rate(self, true: Floats) -> Floats:
        """Rate of climb at a true airspeed."""
        thrust = self.propulsion.thrust(true, self.power_ratio, self.air.density_ratio)
        return climb_rate(thrust, self.airframe.drag(true, self.air.density), self.airframe.weight, true)


def _fly(aircraft: Aircraft, loaded: Mass, stall: Floats, flights: Flights, answer: Evaluation) -> None:
    air, drag = flights.air, aircraft.drag
    weight = loaded.mass * standard.GRAVITY
    airframe = Airframe(weight, drag.parasite_area, aircraft.wing.span, drag.span_efficiency)
    phi = power_ratio(air, aircraft.engine.lapse_constant)
    flight = _Flight(aircraft, airframe, propulsion_of(aircraft), air, phi, stall)
    power = np.multiply(flight.propulsion.power, phi)
    answer.measures["power_available"] = power
    answer.measures["power_to_weight"] = power / loaded.mass
    answer.measures["installed_power_to_weight"] = np.divide(aircraft.engine.power, loaded.mass)
    answer.checks["power_ratio"] = phi
    answer.checks["sea_level_power"] = flight.propulsion.power + 0.0 * loaded.mass
    rate_speed, angle_speed = _climb(flight, flights, answer)
    level_speed = _level(flight, answer)
    _ceilings(flight, answer)
    wide = 0.0 * (rate_speed + angle_speed)
    calibrated = _calibrated(np.stack([rate_speed + wide, angle_speed + wide, level_speed + wide]), air)
    answer.measures["best_climb_speed_calibrated"] = calibrated[0]
    answer.measures["best_angle_speed_calibrated"] = calibrated[1]
    answer.measures["greatest_level_speed_calibrated"] = calibrated[2]
    _turn(flight, rate_speed, level_speed, answer)


def _climb(flight: _Flight, flights: Flights, answer: Evaluation) -> tuple[Floats, Floats]:
    """Best rate and angle, at speeds held above the stall; returns the two true airspeeds."""
    floor = flight.true(STALL_MARGIN * flight.stall)
    unheld_rate = flight.propulsion.best_rate_speed(*flight.here)
    unheld_angle = flight.propulsion.best_angle_speed(*flight.here)
    rate_speed, angle_speed = np.maximum(unheld_rate, floor), np.maximum(unheld_angle, floor)
    angle_rate = flight.rate(angle_speed)
    answer.measures["best_climb_rate"] = flight.rate(rate_speed)
    answer.measures["best_angle"] = climb_angle(angle_rate, angle_speed)
    answer.measures["climb_gradient"] = climb_gradient(angle_rate, angle_speed, flights.headwind)
    answer.checks["rate_held"] = floor - unheld_rate
    answer.checks["angle_held"] = floor - unheld_angle
    if flights.climb_speed is not None:
        air = flights.air
        given = true_from_mach(mach_from_calibrated(flights.climb_speed, air.pressure), air.temperature)
        answer.measures["climb_rate_at_speed"] = flight.rate(given)
        answer.checks["climb_speed_over_stall"] = given / flight.true(flight.stall)
    return rate_speed, angle_speed


def _level(flight: _Flight, answer: Evaluation) -> Floats:
    """Greatest level speed; none where it lies below the stall."""
    speed = flight.propulsion.greatest_level_speed(*flight.here)
    with np.errstate(invalid="ignore"):
        speed = np.where(speed < flight.true(flight.stall), np.nan, speed)
    answer.measures["greatest_level_speed_true"] = speed
    return speed


def _ceilings(flight: _Flight, answer: Evaluation) -> None:
    """Ceilings of the standard atmosphere, whatever the condition."""
    lapse, slowest = flight.aircraft.engine.lapse_constant, STALL_MARGIN * flight.stall
    absolute = flight.propulsion.absolute_ceiling(flight.airframe, lapse, slowest)
    service = flight.propulsion.service_ceiling(flight.airframe, lapse, slowest, SERVICE_RATE)
    answer.measures["absolute_ceiling"] = standard.density_altitude(absolute * standard.SEA_LEVEL_DENSITY)
    answer.measures["service_ceiling"] = standard.density_altitude(service * standard.SEA_LEVEL_DENSITY)


def _turn(flight: _Flight, rate_speed: Floats, level_speed: Floats, answer: Evaluation) -> None:
    """Engine speed with a fixed pitch, the power that it leaves, tip speed and static thrust."""
    engine, propeller, propulsion = flight.aircraft.engine, flight.aircraft.propeller, flight.propulsion
    power, phi, sigma = answer.measures["power_available"], flight.power_ratio, flight.air.density_ratio
    if isinstance(propulsion, ConstantEfficiency):
        answer.measures["power_delivered"] = power
    elif propeller.diameter is not None:
        ideal = ideal_static_thrust(power, propeller.diameter, flight.air.density)
        with np.errstate(invalid="ignore"):  # no power, no thrust, no ratio
            answer.checks["static_thrust_ratio"] = propulsion.thrust(0.0, phi, sigma) / ideal
    turning: Number = engine.speed
    fastest = np.where(np.isnan(level_speed), rate_speed, level_speed)
    static = None if isinstance(propulsion, ConstantEfficiency) else _static_speed(flight.aircraft)
    if static is not None:
        rated_airspeed = propulsion.greatest_level_speed(flight.airframe, 1.0, 1.0)
        in_climb = rotational_speed(rate_speed, static, engine.speed, rated_airspeed, phi, sigma)
        answer.measures["power_delivered"] = power * in_climb / engine.speed
        turning = rotational_speed(fastest, static, engine.speed, rated_airspeed, phi, sigma)
    if turning is not None and propeller.diameter is not None:
        geared = np.divide(turning, _reduction(engine))
        answer.checks["tip_mach"] = helical_tip_mach(fastest, geared, propeller.diameter, flight.air.speed_of_sound)


def _reduction(engine: Engine) -> Number:
    """Engine speed over propeller speed; 1 where it is not given, beside others that give it too."""
    if engine.reduction is None:
        return 1.0
    return np.where(np.isnan(engine.reduction), 1.0, engine.reduction)


def _static_speed(aircraft: Aircraft) -> Number:
    """Engine speed standing still at sea level, None where nothing tells it."""
    propeller, engine = aircraft.propeller, aircraft.engine
    if engine.speed is None:
        return None
    by_class = None if propeller.static_fraction is None else np.multiply(propeller.static_fraction, engine.speed)
    if propeller.static_speed is None or by_class is None:
        return by_class if propeller.static_speed is None else propeller.static_speed
    return np.where(np.isnan(propeller.static_speed), by_class, propeller.static_speed)
