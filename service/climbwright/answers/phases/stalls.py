"""Stall speeds of every configuration, power off, and the speeds that follow from them."""

import numpy as np

from climbwright.aircraft.description import Aircraft, Mass, Stall
from climbwright.aircraft.wing import AERODYNAMIC_CENTRE
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.stacking import along
from climbwright.arrays import Floats, Number
from climbwright.flight.climb import APPROACH_FACTOR
from climbwright.flight.stall import (
    allowed_load_factor,
    manoeuvring_speed,
    scaled_stall_speed,
    stall_speed,
    wing_load_ratio,
)
from climbwright.refusal import Refusal

__all__ = ["equivalent_stalls", "first_stall", "manoeuvre", "shown_stalls", "wing_load"]


def equivalent_stalls(aircraft: Aircraft, loaded: Mass) -> dict[str, Floats]:
    """Equivalent stall speeds by configuration, wings level. [m/s]"""
    return {stall.configuration: _stall(stall, aircraft, loaded) for stall in aircraft.stalls}


def _stall(stall: Stall, aircraft: Aircraft, loaded: Mass) -> Floats:
    if stall.speed is None:
        return stall_speed(loaded.mass, aircraft.wing.area, stall.maximum_lift_coefficient, lift_gain=stall.lift_gain)
    ratio = wing_load(stall, aircraft, loaded)
    return scaled_stall_speed(stall.speed, stall.mass, loaded.mass, lift_gain=stall.lift_gain, wing_load_ratio=ratio)


def wing_load(stall: Stall, aircraft: Aircraft, loaded: Mass) -> Number:
    """What the wing carries for each unit of weight, over what it carried when that stall was flown; 1 if unknown. [-]

    Raises
    ------
    Refusal
        A CG lies so far off the wing that the tail would carry the aeroplane.
    """
    wing = aircraft.wing
    known = (stall.speed, aircraft.tail_arm, stall.arm, wing.chord, wing.leading_edge_arm)
    if any(x is None for x in known):
        return 1.0
    centre = np.add(wing.leading_edge_arm, np.multiply(AERODYNAMIC_CENTRE, wing.chord))
    ratio = wing_load_ratio(loaded.arm, stall.arm, centre, aircraft.tail_arm)
    far = ratio <= 0.0
    if np.count_nonzero(far):
        raise Refusal("/tail_arm", "a CG lies so far off the wing that the tail would carry it: check arms", far)
    # an aeroplane stacked beside ones that know more has nan for what it does not know
    unknown = np.isnan(centre + stall.arm + aircraft.tail_arm)
    return np.where(unknown, 1.0, ratio) if np.count_nonzero(unknown) else ratio


def first_stall(flight: Flight, answer: Evaluation) -> None:
    """Stall speed of the first configuration."""
    answer.speeds["stall_speed"] = answer.measures["stall_speed_true"] = flight.true_stall


def shown_stalls(flight: Flight, answer: Evaluation) -> None:
    """Calibrated stall speeds of every configuration, the first one's also true."""
    true = flight.true(along(*flight.stalls.values()))
    calibrated = flight.calibrated(true)
    for i, configuration in enumerate(flight.stalls):
        answer.stall_speeds[configuration] = calibrated[i]
    answer.measures["stall_speed_true"] = true[0]
    answer.measures["stall_speed_calibrated"] = calibrated[0]


def manoeuvre(flight: Flight, answer: Evaluation) -> None:
    """Approach speed of the last configuration, load factor left at this weight, and the manoeuvring speed."""
    limits = flight.aircraft.limits
    landing = answer.stall_speeds[flight.aircraft.stalls[-1].configuration]
    answer.measures["approach_speed_calibrated"] = APPROACH_FACTOR * landing
    if limits.load_factor is not None:
        left = allowed_load_factor(flight.loaded.mass, limits.load_factor, limits.load_factor_mass)
        answer.measures["allowed_load_factor"] = left
        answer.measures["manoeuvring_speed_calibrated"] = manoeuvring_speed(answer.stall_speeds[clean(flight)], left)


def clean(flight: Flight) -> str:
    """Name of the first configuration."""
    return flight.aircraft.stalls[0].configuration
