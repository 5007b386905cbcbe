"""Engine speed, tip speed and the bound of static thrust."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from climbwright.flight.rotation import helical_tip_mach, ideal_static_thrust, rotational_speed

static, rated, airspeeds = st.floats(200.0, 310.0), st.floats(320.0, 360.0), st.floats(30.0, 70.0)


@given(static, rated, airspeeds)
def test_it_turns_as_fast_as_was_seen_standing_and_at_the_rated_airspeed(ns, nr, vr):
    assert_allclose(rotational_speed(0.0, ns, nr, vr), ns, rtol=1e-14)
    assert_allclose(rotational_speed(vr, ns, nr, vr), nr, rtol=1e-14)


@given(static, rated, airspeeds, st.floats(0.0, 60.0), st.floats(0.4, 1.1), st.floats(0.5, 1.1))
def test_the_propellers_torque_is_the_engines(ns, nr, vr, v, phi, sigma):
    """Torque of the linear polar, n^2 (a - b J^2) times density, is the engine's at every speed and in any air.

    The polar's two numbers are found here from the two speeds of rotation that are known, in units of the
    engine's torque at sea level; advance is taken without the diameter, which cancels.
    """
    a = 1.0 / ns**2
    b = (a * nr**2 - 1.0) / vr**2
    n = rotational_speed(v, ns, nr, vr, phi, sigma)
    torque = sigma * n**2 * (a - b * (v / n) ** 2)
    assert_allclose(torque, phi, rtol=1e-10)


@given(static, rated, airspeeds, st.floats(0.0, 60.0), st.floats(0.5, 10.0))
def test_it_speeds_up_with_airspeed(ns, nr, vr, v, more):
    assert rotational_speed(v + more, ns, nr, vr) > rotational_speed(v, ns, nr, vr)


@given(st.floats(0.0, 70.0), st.floats(100.0, 350.0), st.floats(1.2, 2.0), st.floats(310.0, 350.0))
def test_the_tip_goes_forward_and_round(v, n, diameter, sound):
    mach = helical_tip_mach(v, n, diameter, sound)
    assert_allclose((mach * sound) ** 2, v**2 + (n * diameter / 2.0) ** 2, rtol=1e-12)


@given(st.floats(1e4, 2e5), st.floats(1.2, 2.2), st.floats(0.6, 1.3))
def test_ideal_static_thrust_is_the_discs_own_momentum(power, diameter, density):
    """All power goes into the stream that the disc pulls through: P = T v, T = 2 rho A v^2."""
    thrust = ideal_static_thrust(power, diameter, density)
    inflow = np.sqrt(thrust / (2.0 * density * np.pi * diameter**2 / 4.0))
    assert_allclose(thrust * inflow, power, rtol=1e-12)
