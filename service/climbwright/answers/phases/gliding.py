"""Gliding with an idling or stopped propeller, and turns: what they cost in height and where they stall."""

import math
from dataclasses import replace

import numpy as np

from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.answers.stacking import along
from climbwright.arrays import Number
from climbwright.flight.climb import STALL_MARGIN
from climbwright.flight.drag import Airframe
from climbwright.flight.glide import (
    best_glide_speed,
    glide_ratio,
    least_sink_speed,
    sink_rate,
    turn_radius,
    turn_time,
)
from climbwright.flight.stall import allowed_load_factor, load_factor

__all__ = ["glide", "turn"]


def _gliding(flight: Flight) -> Airframe:
    """The airframe with the propeller idling or stopped."""
    idle = flight.aircraft.drag.idle_propeller_area
    area = np.add(flight.airframe.parasite_area, 0.0 if idle is None else idle)
    return replace(flight.airframe, parasite_area=area)


def glide(flight: Flight, answer: Evaluation) -> None:
    """Flattest glide in still air and in the wind, and the least sink, at speeds held above the stall."""
    gliding, measures = _gliding(flight), answer.measures
    floor, rho = flight.true(flight.floor), flight.air.density
    flattest = np.maximum(best_glide_speed(gliding, rho), floor)
    windy = np.maximum(best_glide_speed(gliding, rho, flight.headwind), floor)
    never = flight.aircraft.speed_limits.never_exceed
    if never is not None:
        windy = np.fmin(windy, flight.true_of_calibrated(never))
    slowest = np.maximum(least_sink_speed(gliding, rho), floor)
    speeds = along(flattest, windy, slowest)
    sinks = sink_rate(gliding, rho, speeds)
    measures["best_glide_ratio"] = glide_ratio(sinks[0], speeds[0])
    measures["glide_ratio_in_wind"] = glide_ratio(sinks[1], speeds[1], flight.headwind)
    measures["least_sink"] = sinks[2]
    names = ("best_glide_speed", "glide_speed_in_wind", "least_sink_speed")
    answer.speeds |= dict(zip(names, speeds, strict=True))


def turn(flight: Flight, answer: Evaluation) -> None:
    """A level turn at full throttle, and a gliding turn back, both 1.2 times above the stall in that bank."""
    asked = flight.flying.turn
    if asked is None:
        return
    bank: Number = asked.bank
    reversal: Number = math.pi if asked.reversal is None else asked.reversal
    n = load_factor(bank)
    banked = flight.with_airframe(load_factor=n)
    measures = answer.measures
    measures["load_factor_in_turn"] = n
    limits = flight.aircraft.limits
    if limits.load_factor is not None:
        answer.checks["load_factor_allowed"] = allowed_load_factor(
            flight.loaded.mass, limits.load_factor, limits.load_factor_mass
        )
    floor = flight.true(flight.floor) * np.sqrt(n)
    answer.speeds["stall_speed_in_turn"] = floor / STALL_MARGIN
    climbing = np.maximum(banked.propulsion.best_rate_speed(*banked.here), floor)
    measures["climb_rate_in_turn"] = banked.rate(climbing)
    gliding, rho = _gliding(banked), flight.air.density
    speed = np.maximum(best_glide_speed(gliding, rho), floor)  # of the flattest glide at this load factor
    answer.speeds["turn_glide_speed"] = speed
    measures["turn_radius"] = turn_radius(speed, bank)
    measures["reversal_height_lost"] = sink_rate(gliding, rho, speed) * turn_time(speed, bank, reversal)
    answer.checks["reversal_bank"] = np.asarray(bank, dtype=float)
