"""A fixed pitch of known diameter: never more thrust than momentum theory allows, else the linear polar.

The bound is that of the engine's power at its power ratio. Range: see `crowds.crowd`, at 0 to 130 m/s.
"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from climbwright.flight.fixed_pitch import FixedPitch
from climbwright.flight.momentum import momentum_thrust
from climbwright.flight.power import altitude_lapse

from .crowds import crowd, linear_terms
from .machines import SEA_LEVEL_DENSITY

MANY = 10_000
SPEEDS = [0.0, 5.0, 15.0, 30.0, 60.0, 100.0, 130.0]
both = pytest.mark.parametrize("limited_by", ["torque", "power"])


def linear(propulsion, true, phi, sigma):
    """E + F V², written out."""
    E0, F0 = linear_terms(propulsion)
    ratio = phi if propulsion.limited_by == "torque" else (phi**2 * sigma) ** (1.0 / 3.0)
    return E0 * ratio + F0 * sigma * true**2


@both
@pytest.mark.parametrize("true", SPEEDS)
def test_no_thrust_exceeds_the_momentum_bound(limited_by, true):
    """10,000 propellers: the bound is not passed, nor does a loss-free disc need more than the power."""
    propulsion, _, _, sigma, _ = crowd(MANY, 31, limited_by, bounded=True)
    phi, density = altitude_lapse(sigma), sigma * SEA_LEVEL_DENSITY
    power, thrust = propulsion.power * phi, propulsion.thrust(true, phi, sigma)
    assert np.all(thrust <= momentum_thrust(power, propulsion.diameter, density, true) * (1.0 + 1e-14))
    pulling = thrust > 0.0
    two_rho_area = density * np.pi * propulsion.diameter**2 / 2.0
    induced = (np.sqrt(true**2 + 4.0 * np.maximum(thrust, 0.0) / two_rho_area) - true) / 2.0
    assert np.all((thrust * (true + induced))[pulling] <= power[pulling] * (1.0 + 1e-12))
    assert np.any(pulling)


@both
@pytest.mark.parametrize("true", SPEEDS)
def test_below_the_bound_it_is_the_linear_polar_and_above_it_the_bound(limited_by, true):
    propulsion, _, _, sigma, _ = crowd(MANY, 32, limited_by, bounded=True)
    phi = altitude_lapse(sigma)
    free = linear(propulsion, true, phi, sigma)
    bound = momentum_thrust(propulsion.power * phi, propulsion.diameter, sigma * SEA_LEVEL_DENSITY, true)
    thrust = propulsion.thrust(true, phi, sigma)
    scale = free - linear_terms(propulsion)[1] * sigma * true**2  # E, of which F V² takes most digits near zero
    assert np.max(np.abs(thrust - np.minimum(free, bound)) / scale) < 1e-13
    if true <= 30.0:
        assert 0.02 < np.mean(free > bound) < 0.98  # both happen


def test_an_engine_without_lapse_is_bound_in_thin_air_too():
    propulsion, _, _, sigma, _ = crowd(MANY, 33, "power", bounded=True)
    for true in SPEEDS:
        bound = momentum_thrust(propulsion.power, propulsion.diameter, sigma * SEA_LEVEL_DENSITY, true)
        assert np.all(propulsion.thrust(true, 1.0, sigma) <= bound * (1.0 + 1e-14))


@both
def test_without_a_diameter_there_is_no_bound(limited_by):
    propulsion, _, phi, sigma, true = crowd(MANY, 34, limited_by)
    E = linear(propulsion, 0.0, phi, sigma)
    assert np.max(np.abs(propulsion.thrust(true, phi, sigma) - linear(propulsion, true, phi, sigma)) / E) < 1e-13


def test_without_power_the_windmill_is_not_bound():
    propulsion = FixedPitch(60e3, 0.7, 40.0, diameter=1.0)
    assert propulsion.thrust(0.0, 0.0, 0.8) == 0.0
    assert_allclose(propulsion.thrust(50.0, 0.0, 0.8), linear(propulsion, 50.0, 0.0, 0.8), rtol=1e-14)


def test_one_propeller_that_is_bound_leaves_the_others_alone():
    diameters = np.array([0.7, 1.2, 1.7])
    together = FixedPitch(60e3, 0.7, 40.0, diameter=diameters)
    for true in SPEEDS:  # at the higher ones none is bound
        alone = [FixedPitch(60e3, 0.7, 40.0, diameter=d).thrust(true, 0.9, 0.8) for d in diameters]
        got = together.thrust(true, 0.9, 0.8)
        assert got.shape == (3,)
        assert_allclose(got, alone, rtol=1e-14)


@pytest.mark.parametrize("smallest", [0.7, 1.6])
def test_a_diameter_that_is_not_known_bounds_nothing(smallest):
    """Of several aeroplanes one may have none, which is nan beside the others: bound or not, it keeps its thrust."""
    together = FixedPitch(60e3, 0.7, 40.0, diameter=np.array([smallest, np.nan]))
    free = FixedPitch(60e3, 0.7, 40.0).thrust(5.0, 0.9, 0.8)
    got = together.thrust(5.0, 0.9, 0.8)
    assert got.shape == (2,)
    assert_allclose(got[1], free, rtol=1e-14)
