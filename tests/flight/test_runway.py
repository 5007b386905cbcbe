"""Ground rolls: the closed forms against an integration of the same forces, and against what must hold of any roll."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from numpy.testing import assert_allclose
from scipy.integrate import solve_ivp

from climbwright.flight.drag import Airframe
from climbwright.flight.runway import (
    Roll,
    accelerate_stop_distance,
    ground_effect_factor,
    landing_roll,
    roll_terms,
    steady_distance,
    takeoff_roll,
    wind_components,
)

G = 9.80665
CASES = 1000
CLOSE = 1e-8

accelerations = st.floats(0.3, 5.0)
speeds = st.floats(12.0, 45.0)
changes = st.floats(-1e-4, 4e-3) | st.floats(-1e-9, 1e-9) | st.just(0.0)


class Machine:
    """Light aeroplanes on all kinds of runways, and the forces on them written out one by one."""

    def __init__(self, seed, braked=False, size=CASES):
        draw = np.random.default_rng(seed).uniform
        self.weight = draw(2000.0, 9000.0, size)
        self.density = draw(0.8, 1.3, size)
        self.f, self.b, self.e = draw(0.2, 1.1, size), draw(7.0, 12.0, size), draw(0.6, 0.85, size)
        self.S, self.CL, self.height = draw(8.0, 18.0, size), draw(0.1, 0.8, size), draw(0.4, 2.5, size)
        self.slope = draw(-0.03, 0.03, size)
        self.friction = draw(0.15, 0.5, size) if braked else draw(0.02, 0.12, size)
        self.E = (draw(0.0, 0.05, size) if braked else draw(0.22, 0.45, size)) * self.weight
        self.F = -self.E / (3.0 * draw(28.0, 60.0, size) ** 2)
        self.speed = draw(15.0, 35.0, size)

    def net(self, u):
        """Acceleration from thrust, drag, friction and slope; the air's forces turn round with the air."""
        q = 0.5 * self.density * u * np.abs(u)
        ratio = 16.0 * self.height / self.b
        induced = (self.S * self.CL) ** 2 / (np.pi * self.b**2 * self.e) * ratio**2 / (1.0 + ratio**2)
        thrust = self.E + self.F * u * np.abs(u)
        drag, lift = q * (self.f + induced), q * self.S * self.CL
        force = thrust - drag - self.friction * (self.weight - lift) - self.weight * self.slope
        return force / (self.weight / G)

    def roll(self):
        airframe = Airframe(self.weight, self.f, self.b, self.e)
        return roll_terms(
            airframe, self.S, self.CL, self.height, self.density, self.friction, self.slope, self.E, self.F
        )

    def with_quadratic_term(self, c):
        """The same with the fall of thrust chosen so that c comes out as wished."""
        self.F = self.F + self.weight / G * (c - self.roll().c)
        return self

    def keep(self, rows):
        for name, column in vars(self).items():
            setattr(self, name, column[rows])
        return self


def integrated(net, start, end, headwind):
    """Time and distance over the ground between airspeeds, by integration along the airspeed; all cases at once."""
    span = end - start

    def rates(x, _):
        u = start + span * x
        per_speed = span / net(u)
        return np.concatenate([per_speed, (u - headwind) * per_speed])

    zero = np.zeros(2 * np.size(start))
    done = solve_ivp(rates, (0.0, 1.0), zero, method="DOP853", rtol=1e-11, atol=1e-11)
    return np.split(done.y[:, -1], 2)


def winds(machine, kind, seed):
    draw = np.random.default_rng(seed).uniform
    return {"head": draw(0.0, 0.95, CASES), "tail": draw(-0.5, 0.0, CASES), "none": np.zeros(CASES)}[
        kind
    ] * machine.speed


def check_takeoffs(machine, wind):
    """Both closed forms, for the cases that get there with a tenth of their acceleration left."""
    reserve = np.minimum(machine.net(wind), machine.net(machine.speed))
    rows = reserve > 0.1 * np.maximum(machine.net(wind), machine.net(machine.speed))
    machine, wind = machine.keep(rows), wind[rows]
    assert rows.sum() > 0.7 * rows.size
    time, distance = integrated(machine.net, wind, machine.speed, wind)
    assert_allclose(takeoff_roll(machine.roll(), machine.speed, wind), distance, rtol=CLOSE)
    assert_allclose(machine.roll().duration(wind, machine.speed), time, rtol=CLOSE)


@pytest.mark.parametrize("kind", ["head", "tail", "none"])
def test_takeoff_roll_against_integration(kind):
    machine = Machine(seed=1)
    check_takeoffs(machine, winds(machine, kind, seed=2))


@pytest.mark.parametrize("kind", ["head", "tail", "none"])
@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_takeoff_roll_with_next_to_no_quadratic_term(kind, sign):
    machine = Machine(seed=3)
    tiny = sign * 10.0 ** np.random.default_rng(4).uniform(-18.0, -4.0, CASES)
    check_takeoffs(machine.with_quadratic_term(tiny), winds(machine, kind, seed=5))


@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_takeoff_roll_with_a_large_quadratic_term_of_either_sign(sign):
    machine = Machine(seed=6)
    check_takeoffs(machine.with_quadratic_term(np.full(CASES, sign * 1e-3)), winds(machine, "tail", seed=7))


@pytest.mark.parametrize("kind", ["head", "tail", "none"])
def test_landing_roll_against_integration(kind):
    machine = Machine(seed=8, braked=True)
    wind = winds(machine, kind, seed=9)
    rows = np.maximum(machine.net(wind), machine.net(machine.speed)) < -0.3
    machine, wind = machine.keep(rows), wind[rows]
    assert rows.sum() > 0.7 * rows.size
    time, distance = integrated(machine.net, machine.speed, wind, wind)
    assert_allclose(landing_roll(machine.roll(), machine.speed, 0.0, wind), distance, rtol=CLOSE)
    assert_allclose(machine.roll().duration(machine.speed, wind), time, rtol=CLOSE)


def test_takeoff_in_time_until_the_airspeed_is_there():
    """The equation of motion itself, step by step in time, stopped by the event, one aeroplane after the other."""
    done = 0
    for seed in range(60):
        machine = Machine(seed=100 + seed, size=1)
        wind = np.random.default_rng(seed).uniform(-5.0, 8.0)
        if min(machine.net(wind)[0], machine.net(machine.speed)[0]) < 0.2:
            continue
        done += 1

        def there(_, state, machine=machine):
            return state[0] - machine.speed[0]

        there.terminal = True
        run = solve_ivp(
            lambda _, state, machine=machine, wind=wind: [machine.net(state[0])[0], state[0] - wind],
            (0.0, 1000.0),
            [wind, 0.0],
            method="DOP853",
            rtol=1e-11,
            atol=1e-11,
            events=there,
        )
        got = takeoff_roll(machine.roll(), machine.speed, wind)
        assert_allclose(got, run.y_events[0][0][1], rtol=CLOSE)
        assert_allclose(machine.roll().duration(wind, machine.speed), run.t_events[0], rtol=CLOSE)
    assert done > 40


@given(accelerations, speeds, st.floats(-0.4, 0.9))
def test_steady_acceleration_by_hand(a, speed, share):
    """Over the ground from rest to V - Vw: (V - Vw)²/2a, in (V - Vw)/a."""
    wind = share * speed
    assert_allclose(takeoff_roll(Roll(a, 0.0), speed, wind), (speed - wind) ** 2 / (2.0 * a), rtol=1e-12)
    assert_allclose(Roll(a, 0.0).duration(wind, speed), (speed - wind) / a, rtol=1e-14)
    assert_allclose(landing_roll(Roll(-a, 0.0), speed, 0.0, wind), (speed - wind) ** 2 / (2.0 * a), rtol=1e-12)


@given(accelerations, speeds, st.floats(-1e-9, 1e-9))
def test_a_hint_of_a_quadratic_term_costs_no_digit(a, speed, x):
    """With x = c V²/a the series are 1 - x/2 + x²/3 and 1 - x/3 + x²/5; what follows is beyond the last digit."""
    roll = Roll(a, x * a / speed**2)
    assert_allclose(takeoff_roll(roll, speed), speed**2 / (2.0 * a) * (1.0 - x / 2.0 + x**2 / 3.0), rtol=1e-15)
    assert_allclose(roll.duration(0.0, speed), speed / a * (1.0 - x / 3.0 + x**2 / 5.0), rtol=1e-15)


@given(st.floats(0.5, 5.0), st.floats(-2e-3, 4e-3), st.floats(-5.0, 20.0), st.floats(0.05, 0.95))
def test_a_roll_in_two_parts_is_the_same_roll(a, c, wind, share):
    roll, speed = Roll(a, c), 21.0
    assume(min(roll.acceleration(wind), roll.acceleration(speed)) > 1e-3)
    middle = wind + share * (speed - wind)
    parts = roll.distance(wind, middle, wind) + roll.distance(middle, speed, wind)
    assert_allclose(parts, takeoff_roll(roll, speed, wind), rtol=1e-9)
    assert_allclose(takeoff_roll(roll, speed, wind, start=middle), roll.distance(middle, speed, wind), rtol=1e-14)
    times = roll.duration(wind, middle) + roll.duration(middle, speed)
    assert_allclose(times, roll.duration(wind, speed), rtol=1e-9)


@given(accelerations, speeds, changes)
def test_braking_is_the_film_of_an_acceleration_run_backwards(a, speed, c):
    """In still air the same net force, forwards or backwards, needs the same way."""
    assert_allclose(Roll(-a, -c).distance(speed, 0.0), Roll(a, c).distance(0.0, speed), rtol=1e-11)


def test_a_roll_begins_at_the_wind_and_a_slower_start_is_none():
    roll = Roll(2.5, -1e-3)
    assert takeoff_roll(roll, 22.0, 4.0, start=1.0) == takeoff_roll(roll, 22.0, 4.0)
    assert takeoff_roll(roll, 22.0, -3.0, start=0.0) < takeoff_roll(roll, 22.0, -3.0)


def test_no_roll_in_a_wind_as_fast_as_the_speed():
    roll, brakes = Roll(2.5, -1e-3), Roll(-3.0, 1e-3)
    wind = np.array([21.999999, 22.0, 22.000001, 40.0])
    assert_allclose(takeoff_roll(roll, 22.0, wind)[1:], 0.0, atol=0.0)
    assert 0.0 <= takeoff_roll(roll, 22.0, wind)[0] < 1e-12
    assert_allclose(landing_roll(brakes, 22.0, 1.5, wind)[1:], 0.0, atol=0.0)
    # also where it would not even move: the wheels have nothing to do
    assert takeoff_roll(Roll(-1.0, -1e-3), 22.0, 25.0) == 0.0


@pytest.mark.parametrize(
    ("roll", "headwind", "moves", "arrives"),
    [
        (Roll(2.5, -1e-3), 0.0, True, True),
        (Roll(-0.1, -1e-3), 0.0, False, False),
        (Roll(0.0, 1e-3), 0.0, False, True),
        (Roll(0.0, 1e-3), 5.0, True, True),  # wind over the wings takes weight off soft ground
        (Roll(-0.1, 1e-3), 12.0, True, True),
        (Roll(0.3, -1e-3), 0.0, True, False),
        (Roll(0.1, -1e-3), 12.0, False, False),
        (Roll(0.1, 2e-3), -8.0, False, True),
    ],
)
def test_not_moving_and_not_arriving_are_told_apart(roll, headwind, moves, arrives):
    assert (roll.acceleration(headwind) > 0.0) == moves
    assert (roll.acceleration(22.0) > 0.0) == arrives
    assert np.isfinite(takeoff_roll(roll, 22.0, headwind)) == (moves and arrives)


def test_one_that_does_not_get_there_leaves_its_neighbours_alone():
    roll = Roll(np.array([2.5, -0.1, 0.3, 2.5]), -1e-3)
    got = takeoff_roll(roll, 22.0, [[0.0], [-3.0]])
    assert got.shape == (2, 4)
    assert np.isnan(got).tolist() == [[False, True, True, False]] * 2
    assert_allclose(got[:, 0], [takeoff_roll(Roll(2.5, -1e-3), 22.0, wind) for wind in (0.0, -3.0)], rtol=1e-14)


def test_brakes_that_do_not_hold_the_slope():
    wheels = Airframe(4800.0, 0.6, 9.9, 0.74)
    slopes = np.array([-0.25, -0.15, -0.1, 0.0])
    braking = roll_terms(wheels, 13.4, 0.4, 1.5, 1.225, friction=0.15, slope=slopes)
    assert np.isnan(landing_roll(braking, 23.0, 1.0)).tolist() == [True, True, False, False]
    # a strong tailwind pushes on where still air would let it stop
    pushed = roll_terms(wheels, 13.4, 0.4, 1.5, 1.225, friction=0.02, slope=-0.015)
    assert np.isfinite(landing_roll(pushed, 23.0, 1.0))
    assert np.isnan(landing_roll(pushed, 23.0, 1.0, headwind=-15.0))


def test_more_wind_behind_and_more_uphill_is_longer():
    machine = Machine(seed=10)
    rolls = [takeoff_roll(machine.roll(), machine.speed, wind) for wind in np.linspace(9.0, -6.0, 31)]
    longer = np.diff(rolls, axis=0)
    assert (longer[np.isfinite(longer)] > 0.0).all()
    level = takeoff_roll(machine.roll(), machine.speed)
    machine.slope = machine.slope + 0.005
    uphill = takeoff_roll(machine.roll(), machine.speed)
    assert (uphill > level)[np.isfinite(uphill)].all()
    assert np.isfinite(level)[np.isfinite(uphill)].all()


@given(st.floats(5.0, 40.0), st.floats(0.0, 5.0), st.floats(-10.0, 50.0))
def test_steady_distance(true, time, wind):
    assert_allclose(steady_distance(true, time, wind), max((true - wind) * time, 0.0), rtol=1e-14)


def test_accelerate_stop_is_its_three_parts():
    full, brakes = Roll(2.6, -1.2e-3), Roll(-2.9, 1.1e-3)
    for wind in (0.0, 4.0, -3.0):
        up, down = integrated_roll(full, wind, 18.0, wind), integrated_roll(brakes, 18.0, wind, wind)
        got = accelerate_stop_distance(takeoff_roll(full, 18.0, wind), brakes, 18.0, 2.0, wind)
        assert_allclose(got, up + (18.0 - wind) * 2.0 + down, rtol=CLOSE)
    assert np.isnan(accelerate_stop_distance(takeoff_roll(Roll(0.1, -1e-3), 18.0), brakes, 18.0, 2.0))
    assert np.isnan(accelerate_stop_distance(takeoff_roll(full, 18.0), Roll(0.1, -1e-3), 18.0, 2.0))


def integrated_roll(roll, start, end, wind):
    return integrated(lambda u: roll.a + roll.c * u * abs(u), np.array([start]), np.array([end]), wind)[1]


def test_where_seven_tenths_of_lift_off_speed_have_to_be_there():
    """Half the distance, a little less: acceleration falls with speed (0.7² = 0.49)."""
    roll = Roll(2.6, -1.2e-3)
    share = takeoff_roll(roll, 0.7 * 22.0) / takeoff_roll(roll, 22.0)
    assert 0.40 < share < 0.49
    assert_allclose(takeoff_roll(Roll(2.6, 0.0), 0.7 * 22.0) / takeoff_roll(Roll(2.6, 0.0), 22.0), 0.49, rtol=1e-14)


@given(st.floats(0.1, 4.0), st.floats(6.0, 15.0))
def test_ground_effect_only_takes_away(height, span):
    factor = ground_effect_factor(height, span)
    assert 0.0 < factor < 1.0
    assert ground_effect_factor(2.0 * height, span) > factor
    assert_allclose(ground_effect_factor(1e6 * span, span), 1.0, rtol=1e-12)


def test_ground_effect_halves_the_drag_a_sixteenth_of_the_span_up():
    assert_allclose(ground_effect_factor(1.0, 16.0), 0.5, rtol=1e-15)


@given(st.floats(0.0, 6.3), st.floats(0.0, 30.0), st.floats(0.0, 6.3))
def test_wind_components(direction, speed, heading):
    """The wind as a vector against the runway's direction and the one to its right, x east and y north."""
    wind = -speed * np.array([np.sin(direction), np.cos(direction)])  # where it blows to
    along = np.array([np.sin(heading), np.cos(heading)])
    right = np.array([np.cos(heading), -np.sin(heading)])
    assert_allclose(wind_components(direction, speed, heading), [-wind @ along, -wind @ right], rtol=0.0, atol=1e-12)
