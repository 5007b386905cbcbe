"""Plausible light aeroplanes to draw from, and answers found the long way: by search instead of by formula."""

import numpy as np
from hypothesis import strategies as st
from scipy.optimize import brentq, minimize_scalar

from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.drag import Airframe
from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.power import altitude_lapse

SEA_LEVEL_DENSITY = 101325.0 / (287.05287 * 288.15)  # 1.225 to eight digits [kg/m³]

airframes = st.builds(
    Airframe,
    weight=st.floats(2000.0, 9000.0),
    parasite_area=st.floats(0.2, 1.1),
    span=st.floats(7.0, 12.0),
    span_efficiency=st.floats(0.6, 0.85),
)
fixed_pitches = st.builds(
    FixedPitch,
    power=st.floats(25e3, 120e3),
    best_efficiency=st.floats(0.55, 0.8),
    best_efficiency_speed=st.floats(28.0, 60.0),
)
constant_efficiencies = st.builds(ConstantEfficiency, power=st.floats(25e3, 120e3), efficiency=st.floats(0.5, 0.85))
propulsions = fixed_pitches | constant_efficiencies
density_ratios = st.floats(0.5, 1.1)
lapse_constants = st.just(0.0) | st.floats(0.001, 0.2)


def excess_power(propulsion, airframe, phi, sigma):
    """Thrust power less drag power as a function of true airspeed."""
    rho = sigma * SEA_LEVEL_DENSITY
    return lambda v: v * (propulsion.thrust(v, phi, sigma) - airframe.drag(v, rho))


def excess_thrust(propulsion, airframe, phi, sigma):
    """Thrust less drag as a function of true airspeed."""
    rho = sigma * SEA_LEVEL_DENSITY
    return lambda v: propulsion.thrust(v, phi, sigma) - airframe.drag(v, rho)


def slope(function, x):
    """Derivative by five points, good to about eleven digits of a smooth function."""
    h = 2e-3 * x
    return (function(x - 2 * h) - 8 * function(x - h) + 8 * function(x + h) - function(x + 2 * h)) / (12 * h)


def top(function, low=2.0, high=400.0):
    """Where a function with one maximum is greatest."""
    return brentq(lambda x: slope(function, x), low, high, xtol=1e-12, rtol=1e-14)


def greatest_crossing(function, high=2000.0):
    """The last zero of a function that rises to one maximum and falls; nan where it stays below zero."""
    best = top(function)
    if function(best) < 0.0:
        return np.nan
    return brentq(function, best, high, xtol=1e-12, rtol=1e-14)


def best_rate(propulsion, airframe, lapse_constant, slowest, sigma):
    """Greatest rate of climb in standard air at or above an equivalent speed, by search over the speed."""
    phi = altitude_lapse(sigma, lapse_constant)
    power = excess_power(propulsion, airframe, phi, sigma)
    floor = max(slowest / np.sqrt(sigma), 1.0)
    found = minimize_scalar(
        lambda v: -power(v), bounds=(floor, floor + 250.0), method="bounded", options={"xatol": 1e-9}
    )
    return max(-found.fun, power(floor)) / airframe.weight


def ceiling(propulsion, airframe, lapse_constant, slowest, rate):
    """Density ratio at which that rate of climb is left, by search over the density."""
    return brentq(
        lambda sigma: best_rate(propulsion, airframe, lapse_constant, slowest, sigma) - rate,
        lapse_constant + 1e-3,
        20.0,
        xtol=1e-13,
        rtol=1e-13,
    )
