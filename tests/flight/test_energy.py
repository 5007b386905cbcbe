"""Where the shaft power goes: drag, climb and the propeller's losses, each worked by itself, over 10,000 states.

The constant-speed propeller's balance is in test_constant_speed.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.flight.climb import climb_rate
from climbwright.flight.constant_efficiency import ConstantEfficiency
from climbwright.flight.glide import sink_rate

from .crowds import Polar, crowd, written_out_drag
from .machines import SEA_LEVEL_DENSITY

MANY = 10_000
NEAR = 1e-9


def assert_balanced(paid, *parts):
    """To a share of the greatest part: with the propeller far above its speed the losses pass the shaft power."""
    largest = np.max(np.abs([paid, *parts]), axis=0)
    assert paid.shape == (MANY,)
    assert np.max(np.abs(paid - sum(parts)) / largest) < NEAR


def spent(propulsion, airframe, phi, sigma, true):
    """Drag power written out here, and the power that climbs: weight times the rate that is answered."""
    rho = sigma * SEA_LEVEL_DENSITY
    rate = climb_rate(propulsion.thrust(true, phi, sigma), airframe.drag(true, rho), airframe.weight, true)
    return written_out_drag(airframe, true, rho) * true, airframe.weight * rate


def assumed_propeller(propulsion, seed):
    """Turns of 15 to 60 a second and diameters of 1 to 3 m, which the balance must not depend on."""
    random = np.random.default_rng(seed)
    turns = random.uniform(15.0, 60.0, MANY)
    return Polar(propulsion, turns, random.uniform(1.0, 3.0, MANY)), turns


def test_fixed_pitch_on_an_engine_limited_by_power():
    """P = D V + W dh/dt + rho n³ D⁵ (C_P - J C_T), n from the power at a C_P that stays."""
    propulsion, airframe, phi, sigma, true = crowd(MANY, 11, "power")
    polar, _ = assumed_propeller(propulsion, 12)
    rho, shaft = sigma * SEA_LEVEL_DENSITY, propulsion.delivered(phi, sigma)
    assert_allclose(shaft, propulsion.power * phi, rtol=1e-14)
    losses = polar.losses(polar.turns_of_power(propulsion.power * phi, rho), true, rho)
    assert_balanced(shaft, *spent(propulsion, airframe, phi, sigma, true), losses)


def test_fixed_pitch_on_an_engine_limited_by_torque():
    """The same with the torque of the power ratio, Q = Phi P/(2 pi n0); the shaft power is torque times n."""
    propulsion, airframe, phi, sigma, true = crowd(MANY, 13, "torque")
    polar, turns = assumed_propeller(propulsion, 14)
    rho, torque = sigma * SEA_LEVEL_DENSITY, phi * propulsion.power / (2.0 * np.pi * turns)
    now = polar.turns_of_torque(torque, rho)
    assert_allclose(propulsion.delivered(phi, sigma), 2.0 * np.pi * now * torque, rtol=1e-12)
    losses = polar.losses(now, true, rho)
    assert_balanced(propulsion.delivered(phi, sigma), *spent(propulsion, airframe, phi, sigma, true), losses)


@pytest.mark.parametrize("limited_by", ["torque", "power"])
def test_fixed_pitch_in_level_flight_at_part_throttle(limited_by):
    """P = D V + rho n³ D⁵ (C_P - J C_T), n from the thrust that level flight takes."""
    propulsion, airframe, _, sigma, true = crowd(MANY, 15, limited_by)
    polar, _ = assumed_propeller(propulsion, 16)
    rho = sigma * SEA_LEVEL_DENSITY
    drag = written_out_drag(airframe, true, rho)
    losses = polar.losses(polar.turns_of_thrust(drag, true, rho), true, rho)
    assert_balanced(propulsion.power_for(drag, true, sigma), drag * true, losses)


@pytest.mark.parametrize("limited_by", ["torque", "power"])
def test_in_any_air_a_fixed_pitch_turns_the_same_best_share_of_its_power_into_thrust(limited_by):
    """The polar knows the best efficiency as a number of its own: at J = sqrt(-m C_P/(3 b)), whatever the density."""
    propulsion, _, phi, sigma, true = crowd(MANY, 17, limited_by)
    polar, _ = assumed_propeller(propulsion, 18)
    J = np.sqrt(-polar.m * polar.C_P / (3.0 * polar.b))
    best = polar.turns_of_power(propulsion.delivered(phi, sigma), sigma * SEA_LEVEL_DENSITY) * polar.diameter * J
    share = best * propulsion.thrust(best, phi, sigma) / propulsion.delivered(phi, sigma)
    assert_allclose(share, propulsion.best_efficiency, rtol=1e-12)
    other = true * propulsion.thrust(true, phi, sigma) / propulsion.delivered(phi, sigma)
    assert np.all(other <= share * (1.0 + 1e-12))


def test_constant_efficiency():
    """P = D V + W dh/dt + (1 - eta) P."""
    fixed, airframe, phi, sigma, true = crowd(MANY, 19)
    propulsion = ConstantEfficiency(fixed.power, fixed.best_efficiency)
    losses = (1.0 - fixed.best_efficiency) * fixed.power * phi
    assert_balanced(propulsion.delivered(phi, sigma), *spent(propulsion, airframe, phi, sigma, true), losses)


def test_constant_efficiency_in_level_flight_at_part_throttle():
    fixed, airframe, _, sigma, true = crowd(MANY, 20)
    propulsion = ConstantEfficiency(fixed.power, fixed.best_efficiency)
    drag = written_out_drag(airframe, true, sigma * SEA_LEVEL_DENSITY)
    shaft = propulsion.power_for(drag, true, sigma)
    assert_balanced(shaft, drag * true, (1.0 - fixed.best_efficiency) * shaft)


def test_a_glider_pays_with_its_height():
    """Without power D V = W times the rate of sink, the load factor of a turn in the drag alone."""
    _, airframe, _, sigma, true = crowd(MANY, 21)
    rho = sigma * SEA_LEVEL_DENSITY
    sink = sink_rate(airframe, rho, true)
    assert_balanced(airframe.weight * sink, written_out_drag(airframe, true, rho) * true)


@pytest.mark.parametrize("limited_by", ["torque", "power"])
def test_excess_power_is_thrust_less_drag_times_speed(limited_by):
    """10,000 propellers, some of them beyond what momentum allows, where the polar is not what pulls."""
    propulsion, airframe, _, sigma, _ = crowd(MANY, 41, limited_by, bounded=True)
    phi = np.minimum(sigma, 1.0)
    for true in (15.0, 30.0, 60.0):
        drag = written_out_drag(airframe, true, sigma * SEA_LEVEL_DENSITY)
        pulled = propulsion.thrust(true, phi, sigma)
        excess = propulsion.excess_power(true, airframe, phi, sigma)
        assert np.max(np.abs(excess - true * (pulled - drag)) / (true * (np.abs(pulled) + drag))) < 1e-13
    assert np.any(propulsion.is_bound(15.0, phi, sigma))
