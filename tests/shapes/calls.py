"""Every public function that computes, as a call with plain numbers: the one table that the shape tests run over.

A row is the function's dotted name without the package, a call, and whole numbers at which it has an answer.
"""

from climbwright.air import airspeed, airspeed_error, altimetry, condition, ground_speed, moist, standard, state
from climbwright.air.state import Air
from climbwright.aircraft import balance, changes, loading, permitted, propulsion, wheels, wing
from climbwright.aircraft.description import Drag, Engine, EnvelopePoint, Limits, Mass, Propeller, Scale, Station
from climbwright.flight import ceilings, climb, glide, level, momentum, power, rotation, runway, runway_factors, stall
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.constant_speed import ConstantSpeed
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import Lapse

SEAT, TANK = Station("seat", 1.0), Station("tank", 2.0, density=720.0, unusable=1.0)
TWO_NUMBERS = Limits(maximum_mass=600.0, forward=1.0, aft=4.0)
POLYGON = Limits(envelope=(EnvelopePoint(300.0, 1.0), EnvelopePoint(600.0, 1.0), EnvelopePoint(600.0, 5.0)))
TABLE = [10.0, 20.0, 40.0], [12.0, 21.0, 39.0]


def _airframe(weight):
    return Airframe(weight, 1, 10, 0.75)


def _fixed(kind_of_power):
    return FixedPitch(kind_of_power, 0.7, 40)


def _even(kind_of_power):
    return ConstantEfficiency(kind_of_power, 0.7)


def _loaded(seat, tank):
    return {"seat": loading.Amount(mass=seat), "tank": loading.Amount(mass=tank)}


def _settled(rated, area):
    propeller = propulsion.settled(Propeller("fixed-pitch", speed_ratio=0.8), Engine(rated), Drag(parasite_area=area))
    return propeller.best_efficiency_speed


def _margin(field, limits):
    return lambda mass, arm: getattr(balance.margins(mass, arm, limits), field)


def _legs(solve, field):
    return lambda a, b, c, x, y, z: getattr(solve([a, b, c], [x, y, z]), field)


def _permitted(end, limits):
    return lambda mass, arm, place: permitted.permitted_mass(mass, arm, place, limits)[end]


CALLS = {
    "air.standard.geopotential_altitude": (standard.geopotential_altitude, [3000]),
    "air.standard.geometric_altitude": (standard.geometric_altitude, [3000]),
    "air.standard.temperature": (standard.temperature, [3001]),
    "air.standard.pressure": (standard.pressure, [3001]),
    "air.standard.density": (standard.density, [3001]),
    "air.standard.pressure_altitude": (standard.pressure_altitude, [90001]),
    "air.standard.temperature_at": (standard.temperature_at, [90001]),
    "air.standard.density_altitude": (standard.density_altitude, [1]),
    "air.standard.speed_of_sound": (standard.speed_of_sound, [290]),
    "air.standard.dynamic_viscosity": (standard.dynamic_viscosity, [290]),
    "air.moist.saturation_vapour_pressure": (moist.saturation_vapour_pressure, [290]),
    "air.moist.dew_point": (moist.dew_point, [1200]),
    "air.moist.vapour_pressure": (moist.vapour_pressure, [290, 1]),
    "air.moist.moist_air_density": (moist.moist_air_density, [90001, 290, 1200]),
    "air.altimetry.station_pressure": (altimetry.station_pressure, [101000, 500]),
    "air.altimetry.altimeter_setting": (altimetry.altimeter_setting, [95000, 500]),
    "air.airspeed_error.reading_from_calibrated": (airspeed_error.reading_from_calibrated, [30, 20, 2, 1]),
    "air.airspeed_error.calibrated_from_reading": (airspeed_error.calibrated_from_reading, [30, 20, 2, 1]),
    "air.airspeed.impact_pressure": (airspeed.impact_pressure, [30]),
    "air.airspeed.mach_from_calibrated": (airspeed.mach_from_calibrated, [30, 90000]),
    "air.airspeed.calibrated_from_true": (airspeed.calibrated_from_true, [31, 290, 90000]),
    "air.airspeed.calibrated_from_mach": (airspeed.calibrated_from_mach, [1, 90000]),
    "air.airspeed.true_from_mach": (airspeed.true_from_mach, [1, 290]),
    "air.airspeed.mach_from_true": (airspeed.mach_from_true, [30, 290]),
    "air.airspeed.equivalent_from_true": (airspeed.equivalent_from_true, [30, 2]),
    "air.airspeed.true_from_equivalent": (airspeed.true_from_equivalent, [30, 2]),
    "air.airspeed.dynamic_pressure": (airspeed.dynamic_pressure, [3, 1]),
    "air.airspeed.read_correction": (lambda v: airspeed.read_correction(v, *TABLE), [15]),
    "air.ground_speed.from_tracks.true": (_legs(ground_speed.from_tracks, "true"), [33, 40, 45, 1, 3, 5]),
    "air.ground_speed.from_tracks.wind_direction": (
        _legs(ground_speed.from_tracks, "wind_direction"),
        [33, 40, 45, 1, 3, 5],
    ),
    "air.ground_speed.from_headings.true": (_legs(ground_speed.from_headings, "true"), [33, 40, 45, 1, 3, 5]),
    "air.ground_speed.from_headings.wind_speed": (
        _legs(ground_speed.from_headings, "wind_speed"),
        [33, 40, 45, 1, 3, 5],
    ),
    "air.ground_speed.widest_three": (lambda x, y, z: ground_speed.widest_three([x, y, z]), [1, 3, 5]),
    "air.state.standard_air": (lambda h: state.standard_air(h).density, [3001]),
    "air.state.Air.density": (lambda p, t, e: Air(p, t, e).density, [90001, 290, 1200]),
    "air.state.Air.speed_ratio": (lambda p, t, e: Air(p, t, e).speed_ratio, [90001, 290, 1200]),
    "air.state.Air.density_ratio": (lambda p, t, e: Air(p, t, e).density_ratio, [90001, 290, 1200]),
    "air.state.Air.pressure_altitude": (lambda p: Air(p, 290).pressure_altitude, [90001]),
    "air.state.Air.density_altitude": (lambda p, t, e: Air(p, t, e).density_altitude, [90001, 290, 1200]),
    "air.state.Air.dry_density_altitude": (lambda p, t: Air(p, t, 1200).dry_density_altitude, [90001, 290]),
    "air.state.Air.isa_deviation": (lambda p, t: Air(p, t).isa_deviation, [90001, 290]),
    "air.state.Air.speed_of_sound": (lambda t: Air(90000, t).speed_of_sound, [290]),
    "air.condition.air_of": (
        lambda h, q, t: condition.air_of(condition.Condition(elevation=h, qnh=q, oat=t)).density,
        [500, 101000, 290],
    ),
    "aircraft.balance.combine": (lambda m, x: balance.combine([Mass(m, x), Mass(50, 2)]).arm, [99, 1]),
    "aircraft.balance.weigh": (
        lambda m, x: balance.weigh([Scale("a", m, 3, x), Scale("b", 50, 0, 2)]).arm,
        [99, 1],
    ),
    "aircraft.balance.ballast_arm": (balance.ballast_arm, [400, 2, 3, 7]),
    "aircraft.balance.ballast_mass": (balance.ballast_mass, [400, 2, 3, 7]),
    "aircraft.balance.chord_fraction": (balance.chord_fraction, [1, 0, 3]),
    "aircraft.balance.arm_margin": (lambda mass, arm: balance.arm_margin(mass, arm, TWO_NUMBERS), [500, 2]),
    "aircraft.balance.arm_margin of an envelope": (lambda mass, arm: balance.arm_margin(mass, arm, POLYGON), [501, 2]),
    "aircraft.balance.margins.forward_limit": (_margin("forward_limit", TWO_NUMBERS), [500, 2]),
    "aircraft.balance.margins.aft_limit": (_margin("aft_limit", TWO_NUMBERS), [500, 2]),
    "aircraft.balance.margins.arm": (_margin("arm", TWO_NUMBERS), [500, 2]),
    "aircraft.balance.margins.mass": (_margin("mass", TWO_NUMBERS), [500, 2]),
    "aircraft.balance.margins of an envelope.forward_limit": (_margin("forward_limit", POLYGON), [501, 2]),
    "aircraft.balance.margins of an envelope.aft_limit": (_margin("aft_limit", POLYGON), [501, 2]),
    "aircraft.balance.margins of an envelope.arm": (_margin("arm", POLYGON), [501, 2]),
    "aircraft.balance.margins of an envelope.mass": (_margin("mass", POLYGON), [501, 2]),
    "aircraft.balance.margins of an envelope.envelope_distance": (_margin("envelope_distance", POLYGON), [501, 2]),
    "aircraft.loading.loaded_mass": (lambda v: loading.loaded_mass(loading.Amount(volume=v), TANK), [1]),
    "aircraft.loading.load": (lambda a, b: loading.load([Mass(300, 1)], [SEAT, TANK], _loaded(a, b)).arm, [82, 43]),
    "aircraft.loading.burn_path": (
        lambda a, b: loading.burn_path([Mass(300, 1)], [SEAT, TANK], _loaded(a, b))[-1].arm,
        [82, 43],
    ),
    "aircraft.loading.between": (
        lambda a, b: loading.between([Mass(a, 1), Mass(b, 2)], [350])[-1].arm,
        [400, 301],
    ),
    "aircraft.permitted.permitted_mass.least": (_permitted(0, TWO_NUMBERS), [300, 5, 1]),
    "aircraft.permitted.permitted_mass.greatest": (_permitted(1, TWO_NUMBERS), [300, 5, 1]),
    "aircraft.permitted.permitted_mass of an envelope.least": (_permitted(0, POLYGON), [301, 3, 1]),
    "aircraft.permitted.permitted_mass of an envelope.greatest": (_permitted(1, POLYGON), [301, 3, 1]),
    "aircraft.wheels.wheel_loads": (lambda m, x: wheels.wheel_loads(m, x, [0, 4, 4])[0], [401, 3]),
    "aircraft.wing.mean_chord": (wing.mean_chord, [2, 1]),
    "aircraft.wing.mean_chord_arm": (wing.mean_chord_arm, [10, 2, 1, 1, 3]),
    "aircraft.changes.moved_parts": (
        lambda m, x: balance.combine([Mass(300, 1), *changes.moved_parts(changes.Add(name="a", mass=m, arm=x))]).arm,
        [20, 3],
    ),
    "aircraft.propulsion.reference_speed": (propulsion.reference_speed, [60001, 1]),
    "aircraft.propulsion.settled": (_settled, [60001, 1]),
    "flight.power.altitude_lapse": (power.altitude_lapse, [2, 0]),
    "flight.power.power_ratio": (lambda p, t, c: power.power_ratio(Air(p, t), c), [90001, 290, 0]),
    "flight.climb.climb_rate": (climb.climb_rate, [1500, 901, 4801, 28]),
    "flight.climb.climb_angle": (climb.climb_angle, [3, 28]),
    "flight.climb.climb_gradient": (climb.climb_gradient, [3, 28, 2]),
    "flight.stall.load_factor": (stall.load_factor, [1]),
    "flight.stall.stall_speed": (stall.stall_speed, [481, 13, 2, 1, 0]),
    "flight.stall.scaled_stall_speed": (stall.scaled_stall_speed, [20, 401, 480, 1, 0, 1]),
    "flight.stall.wing_load_ratio": (stall.wing_load_ratio, [1, 2, 3, 5]),
    "flight.rotation.rotational_speed": (rotation.rotational_speed, [31, 300, 340, 50, 1, 2]),
    "flight.rotation.helical_tip_mach": (rotation.helical_tip_mach, [31, 300, 2, 340]),
    "flight.rotation.ideal_static_thrust": (rotation.ideal_static_thrust, [60001, 2, 1]),
    "flight.drag.Airframe.induced_term": (lambda w, rho: _airframe(w).induced_term(rho), [4801, 1]),
    "flight.drag.Airframe.drag": (lambda w, v, rho: _airframe(w).drag(v, rho), [4801, 31, 1]),
}


def _propulsion(module, name, make):
    """The rows of a propulsion, the same for each kind."""
    speeds = ("best_rate_speed", "best_angle_speed", "greatest_level_speed")
    rows = {
        speed: (lambda p, w, phi, sigma, s=speed: getattr(make(p), s)(_airframe(w), phi, sigma), [60001, 4801, 1, 1])
        for speed in speeds
    }
    rows["thrust"] = (lambda p, v, phi, sigma: make(p).thrust(v, phi, sigma), [60001, 31, 1, 1])
    rows["excess_power"] = (
        lambda p, v, w, phi, sigma: make(p).excess_power(v, _airframe(w), phi, sigma),
        [60001, 31, 4801, 1, 1],
    )
    rows["absolute_ceiling"] = (lambda p, w, c, u: make(p).absolute_ceiling(_airframe(w), c, u), [60001, 4801, 0, 24])
    rows["service_ceiling"] = (
        lambda p, w, c, u, r: make(p).service_ceiling(_airframe(w), c, u, r),
        [60001, 4801, 0, 24, 1],
    )
    return {f"flight.{module}.{name}.{row}": call for row, call in rows.items()}


CALLS |= _propulsion("fixed_pitch", "FixedPitch", _fixed)
CALLS |= _propulsion("constant_efficiency", "ConstantEfficiency", _even)
CALLS |= {
    "flight.fixed_pitch.FixedPitch.E0": (lambda p: _fixed(p).E0, [60001]),
    "flight.fixed_pitch.FixedPitch.F0": (lambda p: _fixed(p).F0, [60001]),
    "flight.constant_efficiency.ConstantEfficiency.thrust_power": (lambda p: _even(p).thrust_power, [60001]),
}


def _variable(kind_of_power, diameter=2, quality_speed=28):
    return ConstantSpeed(kind_of_power, diameter, 0.85, 0.62, quality_speed)


CALLS |= {
    f"flight.constant_speed.ConstantSpeed.{speed}": (
        lambda p, d, q, w, phi, sigma, s=speed: getattr(_variable(p, d, q), s)(_airframe(w), phi, sigma),
        [90001, 2, 28, 4801, 1, 1],
    )
    for speed in ("best_rate_speed", "best_angle_speed", "greatest_level_speed")
}
CALLS |= {
    "flight.constant_speed.ConstantSpeed.quality_at": (lambda q, v: _variable(1, 2, q).quality_at(v), [41, 31]),
    "flight.constant_speed.ConstantSpeed.thrust": (
        lambda p, d, q, v, phi, sigma: _variable(p, d, q).thrust(v, phi, sigma),
        [60001, 2, 41, 31, 1, 1],
    ),
    "flight.constant_speed.ConstantSpeed.excess_power": (
        lambda p, d, q, v, w, phi, sigma: _variable(p, d, q).excess_power(v, _airframe(w), phi, sigma),
        [60001, 2, 41, 31, 4801, 1, 1],
    ),
    "flight.constant_speed.ConstantSpeed.power_for": (
        lambda d, q, t, v, sigma: _variable(1, d, q).power_for(t, v, sigma),
        [2, 41, 601, 31, 1],
    ),
    "flight.constant_speed.ConstantSpeed.delivered": (
        lambda p, phi, sigma: _variable(p).delivered(phi, sigma),
        [60001, 1, 1],
    ),
    "flight.constant_speed.ConstantSpeed.level_speed": (
        lambda p, w, part, phi, sigma: _variable(p).level_speed(_airframe(w), part, phi, sigma),
        [90001, 4801, 60001, 1, 1],
    ),
    "flight.constant_speed.ConstantSpeed.longest_endurance_speed": (
        lambda d, q, w, sigma: _variable(60000, d, q).longest_endurance_speed(_airframe(w), sigma),
        [2, 28, 4801, 1],
    ),
    "flight.constant_speed.ConstantSpeed.longest_range_speed": (
        lambda d, q, w, sigma, wind: _variable(60000, d, q).longest_range_speed(_airframe(w), sigma, wind),
        [2, 28, 4801, 1, -5],
    ),
    "flight.momentum.disc_term": (momentum.disc_term, [2, 1]),
    "flight.momentum.through_disc.thrust": (lambda p, d, v: momentum.through_disc(p, d, v)[0], [60001, 5, 31]),
    "flight.momentum.through_disc.through": (lambda p, d, v: momentum.through_disc(p, d, v)[1], [60001, 5, 31]),
    "flight.momentum.through_disc.induced": (lambda p, d, v: momentum.through_disc(p, d, v)[2], [60001, 5, 31]),
    "flight.momentum.momentum_thrust": (momentum.momentum_thrust, [60001, 2, 1, 31]),
    "flight.momentum.induced_speed": (momentum.induced_speed, [1501, 2, 1, 31]),
    "flight.momentum.shaft_power_for": (momentum.shaft_power_for, [1501, 2, 1, 31]),
    "flight.momentum.ideal_efficiency": (momentum.ideal_efficiency, [3]),
    "flight.ceilings.standard_ceiling": (
        lambda a, b, rate: ceilings.standard_ceiling(lambda sigma: a * sigma - b, rate),
        [11, 5, 1],
    ),
}

CALLS |= {
    "flight.runway.Roll.acceleration": (lambda a, c, u: runway.Roll(a, c).acceleration(u), [3, 1, -2]),
    "flight.runway.Roll.duration": (lambda a, c, u, v: runway.Roll(a, c).duration(u, v), [5, 1, -2, 22]),
    "flight.runway.Roll.distance": (lambda a, c, u, v, w: runway.Roll(a, c).distance(u, v, w), [5, 1, 3, 22, 2]),
    "flight.runway.ground_effect_factor": (runway.ground_effect_factor, [2, 10]),
    "flight.runway.roll_terms": (
        lambda w, *others: runway.roll_terms(_airframe(w), *others).acceleration(20.0),
        [4801, 13, 1, 2, 1, 0, 0, 1500, -1],
    ),
    "flight.runway.steady_distance": (runway.steady_distance, [22, 3, -2]),
    "flight.runway.takeoff_roll": (lambda a, c, v, w: runway.takeoff_roll(runway.Roll(a, c), v, w), [5, 1, 22, -2]),
    "flight.runway.takeoff_roll already rolling": (
        lambda a, c, v, w, u: runway.takeoff_roll(runway.Roll(a, c), v, w, u),
        [5, 1, 22, -2, 3],
    ),
    "flight.runway.landing_roll": (
        lambda a, c, v, t, w: runway.landing_roll(runway.Roll(a, c), v, t, w),
        [-5, -1, 22, 1, -2],
    ),
    "flight.runway.accelerate_stop_distance": (
        lambda s, b, v, t, w: runway.accelerate_stop_distance(s, runway.Roll(b, 0), v, t, w),
        [60, -3, 18, 2, -2],
    ),
    "flight.runway.airborne_distance": (runway.airborne_distance, [1500, 4801, 22, 24, 15, 2, 0, 1]),
    "flight.runway.approach_distance": (runway.approach_distance, [30, 25, 22, 1, 1, 2, 0]),
    "flight.runway.wind_components.headwind": (lambda d, v, h: runway.wind_components(d, v, h)[0], [2, 10, 1]),
    "flight.runway.wind_components.crosswind": (lambda d, v, h: runway.wind_components(d, v, h)[1], [2, 10, 1]),
    "flight.runway_factors.takeoff_factor": (runway_factors.takeoff_factor, [2, 1, -1]),
    "flight.runway_factors.landing_factor": (runway_factors.landing_factor, [2, -1, -1]),
    "flight.runway_factors.takeoff_scale": (runway_factors.takeoff_scale, [2, 300, 11]),
    "flight.runway_factors.landing_scale": (runway_factors.landing_scale, [2, 300, 11]),
}


def _part_throttle(module, name, make):
    """The rows of a propulsion at part throttle, the same for each kind."""
    rows = {
        "power_for": (lambda p, t, v, sigma: make(p).power_for(t, v, sigma) + 0 * p, [60001, 601, 31, 1]),
        "delivered": (lambda p, phi, sigma: make(p).delivered(phi, sigma), [60001, 1, 2]),
        "level_speed": (
            lambda p, w, part, phi, sigma: make(p).level_speed(_airframe(w), part, phi, sigma),
            [60001, 4801, 40001, 1, 1],
        ),
        "longest_endurance_speed": (
            lambda p, w, sigma: make(p).longest_endurance_speed(_airframe(w), sigma),
            [60001, 4801, 1],
        ),
        "longest_range_speed": (
            lambda p, w, sigma, wind: make(p).longest_range_speed(_airframe(w), sigma, wind),
            [60001, 4801, 1, -5],
        ),
    }
    return {f"flight.{module}.{name}.{row}": call for row, call in rows.items()}


def _without_lapse(kind_of_power, diameter=None):
    return FixedPitch(kind_of_power, 0.7, 40, diameter, limited_by="power")


CALLS |= _part_throttle("fixed_pitch", "FixedPitch", _fixed)
CALLS |= _part_throttle("constant_efficiency", "ConstantEfficiency", _even)
CALLS |= {
    "flight.fixed_pitch.FixedPitch.thrust_ratio": (lambda phi, sigma: _fixed(1).thrust_ratio(phi, sigma), [1, 2]),
    "flight.fixed_pitch.FixedPitch.thrust_ratio without lapse": (
        lambda phi, sigma: _without_lapse(1).thrust_ratio(phi, sigma),
        [1, 2],
    ),
    "flight.fixed_pitch.FixedPitch.thrust without lapse": (
        lambda p, v, phi, sigma: _without_lapse(p).thrust(v, phi, sigma),
        [60001, 31, 1, 2],
    ),
    "flight.fixed_pitch.FixedPitch.thrust of a wide propeller": (
        lambda p, d, v, phi, sigma: _without_lapse(p, d).thrust(v, phi, sigma),
        [60001, 3, 31, 1, 1],
    ),
    "flight.fixed_pitch.FixedPitch.thrust of a narrow propeller": (
        lambda p, d, v, phi, sigma: _without_lapse(p, d).thrust(v, phi, sigma),
        [60001, 1, 0, 1, 1],
    ),
    "flight.fixed_pitch.FixedPitch.delivered without lapse": (
        lambda p, phi, sigma: _without_lapse(p).delivered(phi, sigma),
        [60001, 1, 2],
    ),
    "flight.power.Lapse.standard": (lambda c, sigma: Lapse(c).standard(sigma), [0, 2]),
    "flight.power.Lapse.standard of a turbocharged engine": (
        lambda c, critical, sigma: Lapse(c, "turbocharged", critical).standard(sigma),
        [0, 3, 2],
    ),
    "flight.power.Lapse.standard of an electric engine": (lambda sigma: Lapse(0, "electric").standard(sigma), [2]),
    "flight.power.Lapse.ratio": (lambda c, p, t: Lapse(c).ratio(Air(p, t)), [0, 90001, 290]),
    "flight.power.Lapse.ratio of a turbocharged engine": (
        lambda c, critical, p, t, e: Lapse(c, "turbocharged", critical).ratio(Air(p, t, e)),
        [0, 3, 90001, 290, 1200],
    ),
    "flight.power.Lapse.ratio of an electric engine": (
        lambda p, t: Lapse(0, "electric").ratio(Air(p, t)),
        [90001, 290],
    ),
    "flight.climb.acceleration_factor": (climb.acceleration_factor, [31, 290]),
    "flight.climb.altimeter_rate": (climb.altimeter_rate, [3, 290, 280]),
    "flight.stall.manoeuvring_speed": (stall.manoeuvring_speed, [20, 4]),
    "flight.stall.allowed_load_factor": (stall.allowed_load_factor, [601, 4, 560]),
    "flight.level.fuel_flow": (level.fuel_flow, [60001, 1]),
    "flight.level.longest_range_speed": (lambda v, w: level.longest_range_speed(v, w, 2.0, 1.0), [28, -5]),
    "flight.level.longest_range_speed of a fixed pitch": (
        lambda v, w: level.longest_range_speed(v, w, 4.0, 3.0),
        [28, 5],
    ),
    "flight.glide.best_glide_speed": (
        lambda w, rho, wind: glide.best_glide_speed(_airframe(w), rho, wind),
        [4801, 1, 5],
    ),
    "flight.glide.least_sink_speed": (lambda w, rho: glide.least_sink_speed(_airframe(w), rho), [4801, 1]),
    "flight.glide.sink_rate": (lambda w, rho, v: glide.sink_rate(_airframe(w), rho, v), [4801, 1, 31]),
    "flight.glide.glide_ratio": (glide.glide_ratio, [2, 31, 5]),
    "flight.glide.turn_radius": (glide.turn_radius, [31, 1]),
    "flight.glide.turn_time": (glide.turn_time, [31, 1, 3]),
}

# Public, and no function of numbers: they read a text, check or rebuild a description.
NOT_NUMBERS = {
    "flight.fixed_pitch.FixedPitch.is_bound",
    "flight.fixed_pitch.FixedPitch.may_be_bound",
    "flight.fixed_pitch.FixedPitch.unbound",
    "air.condition.check_condition",
    "air.condition.refuse_beyond",
    "air.report.decode_report",
    "aircraft.balance.refuse_crossing",
    "aircraft.changes.apply",
    "aircraft.changes.weighed",
    "aircraft.learned.kind_of",
    "aircraft.learned.learned_number",
    "aircraft.learned.root",
    "aircraft.learned.tied",
    "aircraft.learned.with_numbers",
    "aircraft.loading.burned_tanks",
    "aircraft.loading.refuse_misloaded",
    "aircraft.loading.worst_loadings",
    "aircraft.propulsion.as_set",
    "aircraft.starting_values.complete",
    "aircraft.starting_values.complete_changes",
    "aircraft.wheels.abreast",
}
