"""One motor with its drive."""

from math import inf, pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.kernel import motor
from sim.kernel.motor import DriveState, MotorState

SUPPLY_V = 11.5
AIR_K = 293.0
DRAG = 3.3e-7  # N m s2/rad2; about a 10-inch propeller
STILL = MotorState(0.0, 0.0, 0.0, AIR_K)
IDLE = DriveState(0.0, 0.0, 0.0)


@pytest.fixture(scope="module")
def params(craft):
    return craft.rotors[0].motor


def spun(params, duty, seconds, start=STILL, drag=DRAG):
    state, states = start, []
    for _ in range(round(seconds / 0.001)):
        state = motor.turned(state, duty, SUPPLY_V, drag, params, AIR_K, 0.001)
        states.append(state)
    return states


@pytest.mark.parametrize("duty", [0.2, 0.5, 0.9])
def test_steady_speed_is_the_operating_point(params, duty):
    last = spun(params, duty, 2.0)[-1]
    volts, amps = motor.operating_point(last.speed_rad_s, DRAG * last.speed_rad_s**2, params)
    # two seconds are over thirty time constants: e^-30
    assert volts == pytest.approx(duty * SUPPLY_V, rel=1e-9)
    assert last.current_a == pytest.approx(amps, rel=1e-9)
    torque = motor.shaft_torque_n_m(last.current_a, params)
    assert torque == pytest.approx(DRAG * last.speed_rad_s**2, rel=1e-9)


@pytest.mark.parametrize(("friction", "braking"), [(0.01, 0.0), (0.0, 3e-5), (0.01, 3e-5)])
def test_bearing_and_shorted_turns_take_their_current(params, friction, braking):
    """In steady state the torque of friction, of the short and of the air is what current makes."""
    rough = params._replace(friction_n_m=friction, braking_n_m_s=braking)
    last = spun(rough, 0.5, 2.0)[-1]
    load = DRAG * last.speed_rad_s**2 + friction + braking * last.speed_rad_s
    amps = params.no_load_a + load * params.kv_rad_s_v
    assert last.current_a == pytest.approx(amps, rel=1e-9)
    volts, same = motor.operating_point(last.speed_rad_s, DRAG * last.speed_rad_s**2, rough)
    assert (volts, same) == pytest.approx((0.5 * SUPPLY_V, amps), rel=1e-9)
    assert last.speed_rad_s < spun(params, 0.5, 2.0)[-1].speed_rad_s


def test_run_down_of_a_rough_bearing_is_a_straight_line(params):
    rough = params._replace(friction_n_m=0.012, no_load_a=0.0)
    states = spun(rough, 0.0, 0.5, STILL._replace(speed_rad_s=700.0), drag=0.0)
    fall = 0.012 / params.inertia_kg_m2  # rad/s2
    assert states[0].speed_rad_s == pytest.approx(700.0 - 0.001 * fall, rel=1e-12)
    assert states[-1].speed_rad_s == pytest.approx(max(0.0, 700.0 - 0.5 * fall), rel=1e-9)
    assert 0.0 < states[-1].speed_rad_s < 650.0


def test_run_down_of_shorted_turns_is_exponential(params):
    shorted = params._replace(braking_n_m_s=3e-5, no_load_a=0.0)
    states = spun(shorted, 0.0, 1.0, STILL._replace(speed_rad_s=700.0), drag=0.0)
    tau = params.inertia_kg_m2 / 3e-5
    # implicit steps of 1 ms in a lag of 1.4 s: 0.04 % of the logarithm
    assert np.log(700.0 / states[-1].speed_rad_s) == pytest.approx(1.0 / tau, rel=1e-3)


def test_energy_put_in_is_heat_friction_air_and_motion(params):
    """Halving the step halves what an implicit step loses: the balance itself is exact."""
    off = []
    for dt in (0.001, 0.0005):
        state, supplied, gone = STILL, 0.0, 0.0
        for _ in range(round(0.2 / dt)):
            state = motor.turned(state, 0.5, SUPPLY_V, DRAG, params, AIR_K, dt)
            w, i = state.speed_rad_s, state.current_a
            supplied += dt * 0.5 * SUPPLY_V * i
            friction = params.no_load_a / params.kv_rad_s_v
            gone += dt * (i * i * params.resistance_ohm + friction * w + DRAG * w**3)
        motion = 0.5 * params.inertia_kg_m2 * state.speed_rad_s**2
        off.append((supplied - gone - motion) / supplied)
    assert abs(off[0]) < 0.03
    assert off[1] == pytest.approx(0.5 * off[0], rel=0.1)


@pytest.mark.parametrize("duty", [0.3, 0.5, 0.8])
def test_63_percent_time(params, duty):
    before = spun(params, duty, 2.0)[-1]
    states = spun(params, duty + 0.002, 1.0, start=before)
    speed = np.array([before.speed_rad_s] + [s.speed_rad_s for s in states])
    risen = (speed - speed[0]) / (speed[-1] - speed[0])
    lag = np.interp(1.0 - np.exp(-1.0), risen, 0.001 * np.arange(len(speed)))
    expected = motor.time_constant_s(params, DRAG, before.speed_rad_s)
    # an implicit step of 1 ms in a lag of 30 ms answers half a step late, 1.7 %; the rest is bend
    assert lag == pytest.approx(expected, rel=0.05)


def test_without_duty_it_coasts_without_current_and_stops(params):
    turning = STILL._replace(speed_rad_s=500.0)
    states = spun(params, 0.0, 3.0, start=turning)
    speeds = np.array([s.speed_rad_s for s in states])
    assert all(s.current_a == 0.0 for s in states)
    assert np.all(np.diff(speeds) <= 0.0)
    assert speeds[-1] == 0.0


def test_it_brakes_faster_than_it_coasts(params):
    turning = STILL._replace(speed_rad_s=700.0)
    braked, coasted = spun(params, 0.2, 0.05, turning)[-1], spun(params, 0.0, 0.05, turning)[-1]
    assert braked.current_a < 0.0
    assert braked.speed_rad_s < coasted.speed_rad_s


@given(st.floats(0.0, 1.0), st.floats(0.0, 900.0))
def test_speed_is_never_negative_and_phase_within_a_turn(params, duty, speed):
    for state in spun(params, duty, 0.05, STILL._replace(speed_rad_s=speed, phase_rad=6.0)):
        assert state.speed_rad_s >= 0.0
        assert 0.0 <= state.phase_rad <= 2.0 * pi


def test_drive_starts_at_its_threshold_and_ends_at_full(params):
    assert motor.drive_duty(params.start_command - 1e-9, AIR_K, params) == 0.0
    assert motor.drive_duty(params.start_command, AIR_K, params) == params.start_command
    assert motor.drive_duty(1.0, AIR_K, params) == 1.0
    assert motor.drive_duty(1.3, AIR_K, params) == 1.0


def test_hot_drive_fades(params):
    half = params.limit_k + 0.5 / params.fade_per_k
    assert motor.drive_duty(1.0, params.limit_k, params) == 1.0
    assert motor.drive_duty(1.0, half, params) == pytest.approx(0.5, rel=1e-12)
    assert motor.drive_duty(1.0, params.limit_k + 100.0, params) == 0.0


def test_drive_warms_to_its_balance(params):
    quick = params._replace(heat_capacity_j_k=0.05)  # J/K; time constant 0.3 s
    last = spun(quick, 0.5, 6.0)[-1]
    loss_w = last.current_a**2 * params.resistance_ohm
    # twenty time constants: e^-20 of the heat of starting
    balance = AIR_K + loss_w * params.heat_resistance_k_w
    assert last.temperature_k - AIR_K == pytest.approx(balance - AIR_K, rel=1e-7)


def test_a_jump_can_upset_commutation(params):
    touchy = params._replace(desync_jump=0.3, desync_chance=20.0, desync_s=0.2)  # certain: 20/20
    random, state = motor.driven(np.uint64(1), IDLE, 0.8, AIR_K, touchy, 0.001)
    assert state.duty == 0.0
    dead = 0
    while state.duty == 0.0:
        random, state = motor.driven(np.uint64(random), state, 0.8, AIR_K, touchy, 0.001)
        dead += 1
    assert dead == pytest.approx(200, abs=1)  # ticks; 0.2 s, the tick it ends in may round
    _, sound = motor.driven(np.uint64(1), IDLE, 0.8, AIR_K, params, 0.001)
    assert params.desync_jump == inf
    assert sound.duty == 0.8


def test_drive_remembers_the_command_of_late(params):
    random, state = np.uint64(1), IDLE
    for _ in range(200):
        random, state = motor.driven(np.uint64(random), state, 0.6, AIR_K, params, 0.001)
    assert state.recent_command == pytest.approx(0.6, rel=1e-4)  # ten windows of 20 ms: e^-10
