"""Control laws and mixer: signs against the places of the motors, and what gives way first."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose

from sim.kernel import controller
from sim.kernel.controller import AxisGains, ControllerState, RateFilter
from sim.kernel.frames import ZERO, Vec3, cross
from sim.kernel.radio import Command

IDLE = 0.07
CROSS = (Vec3(1.0, 1.0, 1.0), Vec3(-1.0, 1.0, -1.0), Vec3(-1.0, -1.0, 1.0), Vec3(1.0, -1.0, -1.0))
CENTRED = Command(0.0, 0.0, 0.5, 0.0)
QUIET = RateFilter(ZERO, ZERO, ZERO, ZERO)
REST = controller.at_rest(0.0)
share = st.floats(-0.6, 0.6)


@pytest.fixture(scope="module")
def params(craft):
    return craft.controller


def torque_of(outputs, craft):
    """Return the direction of torque of four motors that lift as they are told (body axes)."""
    total = np.zeros(3)
    for place, lift in zip(craft.rotors, outputs, strict=True):
        total += cross(place.hub_m, Vec3(0.0, 0.0, -lift))
        total[2] -= place.spin * lift  # the air holds a clockwise propeller back, turning us left
    return total


@pytest.mark.parametrize(
    ("axis", "asked"), [(0, (0.1, 0.0, 0.0)), (1, (0.0, 0.1, 0.0)), (2, (0.0, 0.0, 0.1))]
)
def test_mixer_turns_the_aircraft_as_asked(craft, axis, asked):
    roll, pitch, yaw = asked
    torque = torque_of(controller.mixed(0.5, roll, pitch, yaw, IDLE, CROSS), craft)
    assert torque[axis] > 0.01
    others = np.delete(torque, axis)
    assert_allclose(others, 0.0, atol=1e-12)  # the frame is symmetrical


@given(st.floats(0.3, 0.7), *[st.floats(-0.05, 0.05)] * 3)
def test_unsaturated_mixer_adds_up(throttle, roll, pitch, yaw):
    a, b, c, d = controller.mixed(throttle, roll, pitch, yaw, IDLE, CROSS)
    assert (a + b + c + d) / 4.0 == pytest.approx(throttle, abs=1e-14)
    assert (a + d - b - c) / 4.0 == pytest.approx(roll, abs=1e-14)
    assert (a + b - c - d) / 4.0 == pytest.approx(pitch, abs=1e-14)
    assert (a + c - b - d) / 4.0 == pytest.approx(yaw, abs=1e-14)


@given(st.floats(0.0, 1.0), share, share, share)
def test_saturated_mixer_keeps_its_ends_and_its_priorities(throttle, roll, pitch, yaw):
    out = controller.mixed(throttle, roll, pitch, yaw, IDLE, CROSS)
    a, b, c, d = out
    rounding = 1e-12
    assert min(out) >= IDLE - rounding
    assert max(out) <= 1.0 + rounding
    room, span = 1.0 - IDLE, 2.0 * (abs(roll) + abs(pitch))
    kept = min(1.0, room / span) if span > 0.0 else 1.0
    # roll and pitch are given whole if they fit at all, else both in proportion
    assert (a + d - b - c) / 4.0 == pytest.approx(kept * roll, abs=rounding)
    assert (a + b - c - d) / 4.0 == pytest.approx(kept * pitch, abs=rounding)
    given_yaw = (a + c - b - d) / 4.0
    assert abs(given_yaw) <= abs(yaw) + rounding
    assert given_yaw * yaw >= -rounding
    if span + 2.0 * abs(yaw) <= room:
        assert given_yaw == pytest.approx(yaw, abs=rounding)


def test_full_throttle_gives_way_to_roll():
    out = controller.mixed(1.0, 0.2, 0.0, 0.0, IDLE, CROSS)
    assert out == pytest.approx((1.0, 0.6, 0.6, 1.0))
    low = controller.mixed(0.0, 0.2, 0.0, 0.0, IDLE, CROSS)
    assert low == pytest.approx((IDLE + 0.4, IDLE, IDLE, IDLE + 0.4))


def controlled(params, command=CENTRED, angles=ZERO, gyro=ZERO, self_level=1.0, state=REST):
    rates = QUIET._replace(twice_rad_s=gyro)
    return controller.controlled(state, command, angles, rates, ZERO, self_level, params)


@pytest.mark.parametrize("axis", [0, 1, 2])
def test_a_disturbance_is_opposed(craft, params, axis):
    push = np.zeros(3)
    push[axis] = 0.1
    for kind in ("angles", "gyro"):
        output = controlled(params, **{kind: Vec3(*push)}).output
        assert torque_of(output, craft)[axis] < -1e-3


@pytest.mark.parametrize("axis", [0, 1, 2])
@pytest.mark.parametrize("self_level", [0.0, 1.0])
def test_a_stick_is_followed(craft, params, axis, self_level):
    stick = CENTRED._replace(**{("roll", "pitch", "yaw")[axis]: 0.5})
    output = controlled(params, stick, self_level=self_level).output
    assert torque_of(output, craft)[axis] > 1e-3


def test_goals(params):
    roll, pitch = controller.rate_goal(CENTRED._replace(roll=0.5), ZERO, 0.0, params)
    assert (roll, pitch) == (0.5 * params.rate_limit_rad_s, 0.0)
    roll, _ = controller.rate_goal(CENTRED, Vec3(0.1, 0.0, 0.0), 1.0, params)
    assert roll == pytest.approx(-0.1 * params.attitude_gain_per_s)
    roll, _ = controller.rate_goal(CENTRED, Vec3(-3.0, 0.0, 0.0), 1.0, params)
    assert roll == params.rate_limit_rad_s
    trimmed = params._replace(level_trim_roll_rad=0.1)
    assert controller.rate_goal(CENTRED, Vec3(0.1, 0.0, 0.0), 1.0, trimmed)[0] == 0.0


def test_heading_hold(params):
    rate, goal = controller.yaw_goal(0.0, 3.0, -3.0, params)  # the short way is through south
    assert goal == -3.0
    assert rate == pytest.approx(params.heading_gain_per_s * (2.0 * np.pi - 6.0))
    rate, goal = controller.yaw_goal(0.5, 1.0, 0.0, params)  # moved: the new heading is kept
    assert (rate, goal) == (0.5 * params.yaw_rate_limit_rad_s, 1.0)
    rate, goal = controller.yaw_goal(0.0, 1.0, 0.0, params._replace(heading_hold=0.0))
    assert (rate, goal) == (0.0, 1.0)


def test_integral_is_limited_and_gated():
    assert controller.summed(0.1, 2.0, 3.0, 0.25, 1.0) == pytest.approx(0.1 + 2.0 * 3.0 * 0.002)
    assert controller.summed(0.249, 20.0, 30.0, 0.25, 1.0) == 0.25
    assert controller.summed(0.1, 2.0, 3.0, 0.25, 0.0) == 0.0


def test_throttle_gate_empties_the_integrals(params):
    wound = ControllerState(Vec3(0.1, 0.1, 0.1), 0.0, (0.0,) * 4)
    assert controlled(params, CENTRED._replace(throttle=0.1), state=wound).integral == ZERO
    assert controlled(params, CENTRED, state=wound).integral != ZERO


def test_pid_and_filters():
    assert controller.pid(2.0, 0.3, 5.0, AxisGains(0.1, 9.0, 0.01)) == pytest.approx(0.45)
    part = controller.low_pass_share(60.0, 0.001)
    state = QUIET
    for _ in range(200):
        state = controller.smoothed(state, Vec3(1.0, -2.0, 0.5), part)
    # 200 ms are 75 time constants of 60 Hz
    assert_allclose(state.twice_rad_s, (1.0, -2.0, 0.5), rtol=1e-12)
    ramp = QUIET._replace(twice_rad_s=Vec3(0.002, 0.0, 0.0))
    assert controller.differentiated(ramp, 1.0).slope_rad_s2.x == pytest.approx(1.0)


def test_delay_line_keeps_order():
    line = ((0.0,) * 4,) * 8
    for k in range(1, 10):
        line = controller.delayed(line, (float(k),) * 4)
    assert [slot[0] for slot in line] == [9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0]
