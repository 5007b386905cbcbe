"""Every public function that computes, as a call with plain numbers: the one table that the shape tests run over.

A row is the function's dotted name without the package, a call, and whole numbers at which it has an answer.
"""

from climbwright.air import airspeed, altimetry, condition, moist, standard, state
from climbwright.air.state import Air
from climbwright.aircraft import balance, changes, loading, propulsion
from climbwright.aircraft.description import Drag, Engine, EnvelopePoint, Limits, Mass, Propeller, Scale, Station
from climbwright.flight import climb, power, rotation, stall
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch

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


CALLS = {
    "air.standard.geopotential_altitude": (standard.geopotential_altitude, [3000]),
    "air.standard.geometric_altitude": (standard.geometric_altitude, [3000]),
    "air.standard.temperature": (standard.temperature, [3001]),
    "air.standard.pressure": (standard.pressure, [3001]),
    "air.standard.density": (standard.density, [3001]),
    "air.standard.pressure_altitude": (standard.pressure_altitude, [90001]),
    "air.standard.density_altitude": (standard.density_altitude, [1]),
    "air.standard.speed_of_sound": (standard.speed_of_sound, [290]),
    "air.standard.dynamic_viscosity": (standard.dynamic_viscosity, [290]),
    "air.moist.saturation_vapour_pressure": (moist.saturation_vapour_pressure, [290]),
    "air.moist.dew_point": (moist.dew_point, [1200]),
    "air.moist.vapour_pressure": (moist.vapour_pressure, [290, 1]),
    "air.moist.moist_air_density": (moist.moist_air_density, [90001, 290, 1200]),
    "air.altimetry.station_pressure": (altimetry.station_pressure, [101000, 500]),
    "air.altimetry.altimeter_setting": (altimetry.altimeter_setting, [95000, 500]),
    "air.airspeed.impact_pressure": (airspeed.impact_pressure, [30]),
    "air.airspeed.mach_from_calibrated": (airspeed.mach_from_calibrated, [30, 90000]),
    "air.airspeed.calibrated_from_mach": (airspeed.calibrated_from_mach, [1, 90000]),
    "air.airspeed.true_from_mach": (airspeed.true_from_mach, [1, 290]),
    "air.airspeed.mach_from_true": (airspeed.mach_from_true, [30, 290]),
    "air.airspeed.equivalent_from_true": (airspeed.equivalent_from_true, [30, 2]),
    "air.airspeed.true_from_equivalent": (airspeed.true_from_equivalent, [30, 2]),
    "air.airspeed.dynamic_pressure": (airspeed.dynamic_pressure, [3, 1]),
    "air.airspeed.read_correction": (lambda v: airspeed.read_correction(v, *TABLE), [15]),
    "air.state.standard_air": (lambda h: state.standard_air(h).density, [3001]),
    "air.state.Air.density": (lambda p, t, e: Air(p, t, e).density, [90001, 290, 1200]),
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

# Public, and no function of numbers: they read a text, check or rebuild a description.
NOT_NUMBERS = {
    "air.condition.check_condition",
    "air.condition.refuse_beyond",
    "air.report.decode_report",
    "aircraft.balance.refuse_crossing",
    "aircraft.changes.apply",
    "aircraft.changes.weighed",
    "aircraft.loading.misloaded",
    "aircraft.loading.worst_loadings",
    "aircraft.starting_values.complete",
    "aircraft.starting_values.complete_changes",
}
