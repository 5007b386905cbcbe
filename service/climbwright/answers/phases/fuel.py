"""The fuel of a loading: how much of it can be burned, and its density."""

import numpy as np

from climbwright.aircraft.starting_values import FUEL_DENSITY
from climbwright.answers.phases.flight import Evaluation, Flight
from climbwright.arrays import Floats

__all__ = ["fuel_density", "usable_fuel"]


def fuel_density(flight: Flight) -> Floats:
    """Density of the fuel in the first tank; a petrol's where there is none. [kg/m³]"""
    density: Floats = np.float64(np.nan)
    for station in flight.aircraft.stations:
        if station.density is not None:
            density = np.where(np.isnan(density), station.density, density)
    return np.where(np.isnan(density), FUEL_DENSITY, density)


def usable_fuel(answer: Evaluation) -> Floats:
    """Fuel that can be burned. [kg]"""
    fuel: Floats = np.float64(0.0)
    for station in answer.aircraft.stations:
        if station.density is not None:
            left = 0.0 if station.unusable is None else station.unusable
            fuel = fuel + np.maximum(np.subtract(answer.amounts[station.name].mass, left), 0.0)
    return fuel
