"""Parts of a tick one by one, as plain functions: instruments, electronics, rotor, controller."""

from math import exp, pi
from types import SimpleNamespace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.kernel import (
    avionics,
    controller,
    drivetrain,
    ground,
    hands,
    linear,
    motor,
    radio,
    sensors,
    step,
    surroundings,
)
from sim.kernel.controller import ControllerState, RateFilter
from sim.kernel.frames import UPRIGHT, ZERO, Vec3, from_angles, norm
from sim.kernel.history import HISTORY, write_history
from sim.kernel.pack import PackState
from sim.kernel.radio import Command, Sticks
from sim.kernel.records import flatten
from sim.kernel.start import initial_state, resting_rotor
from sim.kernel.tables import interpolate, locate

STEADY_RAD_S = 480.0  # rad/s; about the hover


@pytest.fixture(scope="module")
def state(quiet):
    return initial_state(quiet, UPRIGHT, 0.97, 7)


def wired(state, **changes):
    return state._replace(**changes)


def test_the_rail_restarts_the_electronics_and_counts_their_time(quiet, state):
    """5 ms below 5.3 V, then 3 s of restart; without a plug nothing counts."""
    low, high = quiet.pack.sag_limit_v - 0.01, quiet.pack.sag_limit_v + 0.01
    up = wired(state, rail_low_ticks=3.0, reset_ticks=0.0, powered_ticks=700.0)
    assert avionics.rail(up, high, quiet) == (0.0, 0.0, 701.0)
    assert avionics.rail(up, low, quiet) == (4.0, 0.0, 701.0)
    worn = wired(up, rail_low_ticks=4.0)
    assert avionics.rail(worn, low, quiet) == (0.0, 3000.0, 0.0)
    restarting = wired(up, reset_ticks=9.0, rail_low_ticks=0.0)
    assert avionics.rail(restarting, high, quiet) == (0.0, 8.0, 0.0)
    assert avionics.rail(restarting, low, quiet) == (1.0, 8.0, 0.0)
    assert avionics.rail(up, high, quiet._replace(plugged=0.0)) == (0.0, 0.0, 0.0)


def test_a_moved_start_shows_once_the_electronics_have_started(quiet, state):
    """The error of a start that was moved counts from two seconds after power, not before."""
    moved = Vec3(0.03, -0.02, 0.01)
    craft = quiet._replace(sensors=quiet.sensors._replace(gyro_moved_rad_s=moved))
    for ticks in (500.0, 1900.0, 2100.0, 60_000.0):
        at = wired(state, powered_ticks=ticks, tick=1)
        _, felt = avionics.sensed(at.random, at, craft)
        _, sound = avionics.sensed(at.random, at, quiet)
        difference = np.subtract(felt.gyro_rad_s, sound.gyro_rad_s)
        expected = sensors.start_error(ticks * 0.001, 2.0, craft.sensors)
        assert_allclose(difference, expected, atol=1e-15)
        assert bool(norm(expected) > 0.0) is (ticks > 2000.0)


def test_a_warm_gyro_creeps_with_the_time_since_power(quiet, state):
    warm = Vec3(0.0, 0.04, 0.0)
    craft = quiet._replace(sensors=quiet.sensors._replace(gyro_warm_rad_s=warm, gyro_warm_s=120.0))
    shown = []
    for ticks in (10_000.0, 130_000.0):
        at = wired(state, powered_ticks=ticks, tick=1)
        _, felt = avionics.sensed(at.random, at, craft)
        shown.append(felt.gyro_rad_s.y)
    assert shown[1] - shown[0] == pytest.approx(0.04 * (exp(-10.0 / 120.0) - exp(-130.0 / 120.0)))


def test_slow_instruments_scatter_by_their_noise_and_shift_by_thrust(quiet, state):
    """Sigma of 500 readings: 8 cm, 10 mV; 0.01 m lower for each newton of thrust."""
    noisy = quiet._replace(sensors=quiet.sensors._replace(baro_noise_m=0.08, volt_noise_v=0.01))
    rotors = tuple(
        r._replace(thrust_n=t) for r, t in zip(state.rotors, (1.0, 2.0, 3.0, 4.0), strict=True)
    )
    body = state.body._replace(position_m=Vec3(0.0, 0.0, -1.5))
    at = wired(state, rotors=rotors, supply_v=12.0, body=body)
    random, baro, volts = at.random, [], []
    for _ in range(500):
        random, seen = avionics.slow_instruments(random, at, ZERO, ZERO, ZERO, ZERO, ZERO, noisy)
        baro.append(seen.baro_m)
        volts.append(seen.volt_v)
    assert np.std(baro) == pytest.approx(0.08, rel=0.12)  # 1; sigma over the root of 1000, thrice
    assert np.std(volts) == pytest.approx(0.01, rel=0.12)
    assert np.mean(baro) == pytest.approx(1.5 - 0.01 * 10.0, abs=0.015)
    assert np.mean(volts) == pytest.approx(12.0, abs=0.002)


def test_the_compass_sits_where_it_is_and_feels_the_current(quiet, state):
    sensors_ = quiet.sensors._replace(mag_per_amp_ut_a=Vec3(0.1, -0.2, 0.3), amp_scale=1.1)
    at = wired(state, pack=state.pack._replace(current_a=10.0))
    _, seen = avionics.slow_instruments(
        at.random, at, ZERO, ZERO, ZERO, ZERO, ZERO, quiet._replace(sensors=sensors_)
    )
    _, bare = avionics.slow_instruments(at.random, at, ZERO, ZERO, ZERO, ZERO, ZERO, quiet)
    assert_allclose(np.subtract(seen.mag_ut, bare.mag_ut), (1.0, -2.0, 3.0), atol=1e-12)
    assert seen.amp_a == pytest.approx(11.0)


def turned(quiet, state, tables, **changes):
    """Return one rotor a tick later, at 480 rad/s, out of ground effect unless `near` says."""
    near = changes.pop("near", 1.0)
    rotor = state.rotors[0]._replace(
        motor=state.rotors[0].motor._replace(speed_rad_s=STEADY_RAD_S),
        slip_s=changes.pop("slip_s", 0.0),
    )
    params = quiet.rotors[0]._replace(**changes)
    return drivetrain.one_rotor(
        rotor, params, 12.0, 0.0, near, False, tables, quiet.diameter_m, quiet.air
    )


def test_a_slipping_hub_lifts_a_third_until_it_bites_again(quiet, state, tables):
    """Own values: 0.35 of the thrust for 0.3 s; it lets go above its torque, not below."""
    whole = turned(quiet, state, tables)
    assert whole.slip_s == 0.0
    for holds, slips in ((1.01 * whole.drag_n_m, False), (0.99 * whole.drag_n_m, True)):
        after = turned(quiet, state, tables, slip_n_m=holds)
        assert after.slip_s == pytest.approx(0.3 if slips else 0.0)
        assert after.thrust_n == pytest.approx((0.35 if slips else 1.0) * whole.thrust_n)
        assert after.drag_n_m == whole.drag_n_m
    biting = turned(quiet, state, tables, slip_n_m=0.99 * whole.drag_n_m, slip_s=0.2)
    assert biting.slip_s == pytest.approx(0.199)
    assert biting.thrust_n == pytest.approx(0.35 * whole.thrust_n)


def test_thrust_and_drag_of_a_propeller_as_fitted(quiet, state, tables):
    whole = turned(quiet, state, tables)
    assert whole.thrust_n == pytest.approx(3.53, rel=0.03)  # 3.677 N at 490 rad/s, with its square
    odd = turned(quiet, state, tables, thrust_scale=-0.6, torque_scale=1.1, near=1.2)
    assert odd.thrust_n == pytest.approx(-0.6 * 1.2 * whole.thrust_n, rel=1e-3)
    assert odd.drag_n_m == pytest.approx(1.1 * whole.drag_n_m, rel=1e-3)
    assert turned(quiet, state, tables, fitted=0.0).thrust_n == 0.0


def controlled(params, **changes):
    """Return one control period from rest with these inputs."""
    given = {
        "state": ControllerState(Vec3(0.01, 0.02, 0.03), 0.0, (0.0,) * 4),
        "command": Command(0.0, 0.0, 0.4, 0.0),
        "angles": ZERO,
        "rates": RateFilter(ZERO, ZERO, ZERO, ZERO),
        "bias": ZERO,
        "self_level": 1.0,
    } | changes
    return controller.controlled(*given.values(), params)


def shares(output):
    """Return roll, pitch, yaw and throttle of four commands (the mixer undone)."""
    a, b, c, d = output
    return (
        (a - b - c + d) / 4.0,
        (a + b - c - d) / 4.0,
        (a - b + c - d) / 4.0,
        (a + b + c + d) / 4.0,
    )


def test_each_axis_has_its_own_law(quiet):
    """P error + I sum - D slope, error = goal - (gyro - bias), with the sheet's gains."""
    p = quiet.controller
    rates = RateFilter(ZERO, Vec3(0.11, -0.12, 0.13), ZERO, Vec3(1.0, 2.0, 3.0))
    after = controlled(p, rates=rates, bias=Vec3(0.01, -0.02, 0.03))
    measured = (0.10, -0.10, 0.10)
    start, gains = (0.01, 0.02, 0.03), (p.roll, p.pitch, p.yaw)
    for i in range(3):
        integral = start[i] - gains[i].i * measured[i] * 0.002
        assert after.integral[i] == pytest.approx(integral, rel=1e-12)
        asked = -gains[i].p * measured[i] + integral - gains[i].d * (i + 1.0)
        assert shares(after.output)[i] == pytest.approx(asked, rel=1e-9)


def test_throttle_curve_and_sense(quiet):
    p = quiet.controller
    for gain, stick, command in ((1.0, 0.4, 0.4), (1.5, 0.4, 0.6), (0.5, 0.8, 0.4)):
        after = controlled(
            p._replace(throttle_gain=gain),
            command=Command(0.0, 0.0, stick, 0.0),
            state=ControllerState(ZERO, 0.0, (0.0,) * 4),
        )
        assert after.output == pytest.approx((command,) * 4)
    tilted = {"angles": Vec3(0.05, 0.03, 0.0), "state": ControllerState(ZERO, 0.0, (0.0,) * 4)}
    right = shares(controlled(p, **tilted).output)
    left = shares(controlled(p._replace(sense=Vec3(-1.0, -1.0, -1.0)), **tilted).output)
    assert_allclose(left[:2], np.negative(right[:2]), rtol=1e-9)
    assert right[0] < 0.0
    assert right[1] < 0.0


def test_a_layout_turned_by_an_eighth_mixes_roll_into_pitch(quiet):
    p = quiet.controller._replace(layout_turn_rad=pi / 4.0)
    asked = shares(controlled(quiet.controller, angles=Vec3(0.05, 0.03, 0.0)).output)
    turned_ = shares(controlled(p, angles=Vec3(0.05, 0.03, 0.0)).output)
    c = 0.5**0.5
    assert turned_[0] == pytest.approx(c * asked[0] - c * asked[1])
    assert turned_[1] == pytest.approx(c * asked[0] + c * asked[1])


def test_the_controller_keeps_time_and_obeys_switches(quiet, state):
    """Every other tick; the stop switch, a lost link, a restart and a pulled plug end arming."""
    up = wired(state, armed=1.0, reset_ticks=0.0, tick=2)
    link = SimpleNamespace(linked=1.0, pulse_us=(1500.0, 1500.0, 1400.0, 1500.0))
    sticks = SimpleNamespace(stop=0.0, self_level=1.0)
    estimate = state.estimator

    def armed(state=up, link=link, sticks=sticks, craft=quiet):
        return avionics.controls(state, link, sticks, state.rates, estimate, craft)[0]

    assert armed() == 1.0
    killed = SimpleNamespace(stop=1.0, self_level=1.0)
    lost = SimpleNamespace(linked=0.0, pulse_us=link.pulse_us)
    assert armed(sticks=killed) == 0.0
    assert armed(link=lost) == 0.0
    assert armed(state=up._replace(reset_ticks=5.0)) == 0.0
    assert armed(craft=quiet._replace(plugged=0.0)) == 0.0
    unset = quiet._replace(controller=quiet.controller._replace(stop_switch=0.0))
    holds = quiet._replace(radio=quiet.radio._replace(failsafe_stops=0.0))
    assert armed(sticks=killed, craft=unset) == 1.0
    assert armed(link=lost, craft=holds) == 1.0
    _, odd, _ = avionics.controls(up._replace(tick=3), link, sticks, state.rates, estimate, quiet)
    assert odd == up.controller


def test_start_up_takes_the_mean_of_the_gyro_for_its_bias():
    bias = ZERO
    samples = np.random.default_rng(3).normal(0.01, 0.003, (50, 3))
    for k, sample in enumerate(samples, start=1):
        bias = avionics.started_bias(bias, Vec3(*sample), float(k))
    assert_allclose(bias, samples.mean(axis=0), rtol=1e-12)


@pytest.mark.parametrize("angles", [(0.3, -0.2, 1.0), (-0.5, 0.4, -2.0)])
def test_a_start_reads_attitude_from_gravity_and_field(quiet, angles):
    from sim.kernel.frames import from_angles, to_angles, to_body

    attitude = from_angles(*angles)
    accel = to_body(attitude, Vec3(0.0, 0.0, -9.80665))
    mag = to_body(attitude, Vec3(19.55, 0.324, 45.0))
    params = quiet.estimator._replace(declination_rad=float(np.arctan2(0.324, 19.55)))
    found = to_angles(avionics.start_attitude(accel, mag, params))
    assert_allclose(found, angles, atol=1e-12)


def test_bare_motors_do_not_drag(quiet, state):
    """Wind of 2 m/s ahead: four rotors at 480 rad/s hold back by k v w each, bare bells do not."""
    turning = tuple(
        r._replace(motor=r.motor._replace(speed_rad_s=STEADY_RAD_S)) for r in state.rotors
    )
    body = state.body._replace(velocity_m_s=Vec3(2.0, 0.0, 0.0))
    bare = quiet._replace(
        rotors=tuple(r._replace(fitted=0.0) for r in quiet.rotors), frame_drag_n_s2_m2=0.0
    )
    still = bare._replace(rotors=quiet.rotors)
    forces = [
        drivetrain.rotor_wrench(body, turning, turning, ZERO, 0.0, craft)[0].x
        for craft in (bare, still)
    ]
    assert forces[0] == 0.0
    assert forces[1] == pytest.approx(-4.0 * quiet.lateral_drag_n_s2_m * 2.0 * STEADY_RAD_S)


@pytest.mark.parametrize("wall", ["floor", "ceiling", "north", "south", "east", "west"])
def test_every_wall_pushes_back_and_drags_whichever_way_it_is_met(quiet, wall):
    """A centimetre deep, closing at 0.2 m/s, sliding 3 m/s along both other axes: k d + c v, and
    friction times that against the slide, in proportion.
    """
    p = quiet.contact
    room = ground.Room(4.0, -3.5, 2.6, -2.6, 2.6)
    axis, sign, at = {
        "floor": (2, 1.0, 0.0),
        "ceiling": (2, -1.0, -2.6),
        "north": (0, 1.0, 4.0),
        "south": (0, -1.0, -3.5),
        "east": (1, 1.0, 2.6),
        "west": (1, -1.0, -2.6),
    }[wall]
    place, speed = np.array((0.0, 0.0, -1.3)), np.array((1.8, 1.8, 1.8))
    first, second = (i for i in range(3) if i != axis)
    place[axis], speed[axis] = at + 0.01 * sign, 0.2 * sign
    speed[first], speed[second] = 1.8, -2.4  # m/s; 3 m/s together
    force = ground.bump_force(ground.Touch(Vec3(*place), Vec3(*speed), ZERO), room, p)
    load = p.bump_stiffness_n_m * 0.01 + p.bump_damping_n_s_m * 0.2
    assert force[axis] == pytest.approx(-sign * load)
    assert force[first] == pytest.approx(-0.6 * p.friction * load)
    assert force[second] == pytest.approx(0.8 * p.friction * load)


def test_held_where_it_is_asked_to_be_it_stays(quiet, state):
    """Nothing to turn: no rate, the pose to the last bit."""
    params = quiet.hold._replace(kind=hands.CLAMP, target=UPRIGHT)
    _, after = hands.guided(state.random, state.hold, params, 0.001)
    assert after.attitude == UPRIGHT
    assert after.rate_rad_s == ZERO


def test_a_rotor_turns_by_its_mean_speed_and_counts_within_a_turn(quiet):
    params = quiet.rotors[0].motor
    start = motor.MotorState(500.0, 1.0, 0.0, 290.0)
    for duty in (0.0, 0.9):  # running down, running up
        after = motor.turned(start, duty, 12.0, 0.0, params, 290.0, 0.001)
        assert after.speed_rad_s != start.speed_rad_s
        mean = 0.5 * (start.speed_rad_s + after.speed_rad_s)
        assert after.phase_rad == pytest.approx(1.0 + mean * 0.001, rel=1e-12)
    round_ = motor.turned(start._replace(phase_rad=6.0), 0.5, 12.0, 0.0, params, 290.0, 0.001)
    mean = 0.5 * (500.0 + round_.speed_rad_s)
    assert round_.phase_rad == pytest.approx(6.0 + mean * 0.001 - 2.0 * pi, rel=1e-12)


def test_command_noise_has_its_size_and_wants_a_command(quiet, state):
    """Sigma of 2000 duties at half a command: 0.03, to 3 sigma; none at no command."""
    params = quiet.rotors[0].motor._replace(command_noise=0.03)
    drive, random, duties = motor.DriveState(0.0, 0.5, 0.0), state.random, []
    for _ in range(2000):
        random, after = motor.driven(random, drive, 0.5, 290.0, params, 0.001)
        duties.append(after.duty)
    assert np.std(duties) == pytest.approx(0.03, rel=0.05)
    assert np.mean(duties) == pytest.approx(0.5, abs=0.002)
    _, still = motor.driven(random, drive._replace(recent_command=0.0), 0.0, 290.0, params, 0.001)
    assert still.duty == 0.0
    _, dead = motor.driven(random, drive._replace(dead_s=0.1), 0.5, 290.0, params, 0.001)
    assert dead.duty == 0.0
    assert dead.dead_s == pytest.approx(0.099)


def test_the_air_damps_by_climb_and_by_sideways_slide(quiet, tables):
    """c_x = sum a y2 + k z2, c_y with x, c_z = sum k (x2 + y2); hubs far up make k z2 count."""
    high = quiet._replace(
        rotors=tuple(r._replace(hub_m=Vec3(r.hub_m.x, 1.5 * r.hub_m.y, -1.0)) for r in quiet.rotors)
    )
    trim = linear.hover_trim(high, tables, PackState(0.9, 0.9, 0.0, 0.0, 0.0))
    a = linear.axial_damping_n_s_m(high, tables, trim)
    k = high.lateral_drag_n_s2_m * trim.speed_rad_s
    x, y = 0.140, 1.5 * 0.160  # m; the arms, those of the sides stretched
    found = linear.turn_damping(high, tables, trim)
    expected = (4.0 * (a * y**2 + k), 4.0 * (a * x**2 + k), 4.0 * k * (x**2 + y**2))
    assert_allclose(found, expected, rtol=1e-9)
    assert a > 0.0


def test_each_input_listens_to_the_channel_it_is_told(quiet):
    """Four different pulses, twice in other orders."""
    pulses = (1600.0, 1700.0, 1800.0, 1900.0)
    straight = radio.command(pulses, quiet.radio)
    assert straight == pytest.approx((0.2, 0.4, 0.8, 0.8))
    mixed = radio.command(pulses, quiet.radio._replace(order=(3.0, 0.0, 1.0, 2.0)))
    assert mixed == pytest.approx((0.8, 0.2, 0.7, 0.6))


def test_a_pulse_is_measured_by_the_end_on_its_own_side():
    uneven = radio.Input(1.0, 1000.0, 1500.0, 1900.0)
    for pulse, share in ((1500.5, 0.5 / 400.0), (1499.5, -0.5 / 500.0), (1500.0, 0.0)):
        assert radio.understood(pulse, uneven) == pytest.approx(share)


def test_a_rigid_mount_passes_the_rate_as_it_is(quiet):
    rate, rigid = Vec3(0.3, -0.2, 0.1), quiet.sensors._replace(mount_rad_s=0.0)
    assert sensors.mounted(rate, ZERO, ZERO, rigid, 0.001) == (rate, ZERO)


@pytest.mark.parametrize("at", range(4))
def test_each_input_is_read_its_own_way_round(quiet, at):
    inputs = list(quiet.radio.inputs)
    inputs[at] = inputs[at]._replace(direction=-1.0)
    pulses = (1600.0, 1700.0, 1800.0, 1900.0)
    straight = list(radio.command(pulses, quiet.radio))
    straight[at] = 1.0 - straight[at] if at == 2 else -straight[at]
    turned_ = radio.command(pulses, quiet.radio._replace(inputs=tuple(inputs)))
    assert turned_ == pytest.approx(tuple(straight))


def test_a_sound_drive_takes_any_command_as_it_is(quiet, state):
    """No noise, no gap, no jump: the chance is not even asked."""
    params = quiet.rotors[0].motor
    for command in (0.2, 0.6, 1.0):
        drive = motor.DriveState(0.0, command, 0.0)
        random, after = motor.driven(state.random, drive, command, 290.0, params, 0.001)
        assert random == state.random
        assert after.duty == pytest.approx(params.offset + params.gain * command)
        assert after.dead_s == 0.0


def test_a_bad_joint_opens_at_its_rate_while_driven(quiet, state):
    """5 a second: of 20 000 ticks of a millisecond 100 open it, for as long as it is said to."""
    params = quiet.rotors[0].motor._replace(gap_rate_per_s=5.0, gap_s=0.2)
    random, opened = state.random, 0
    for _ in range(20_000):
        random, after = motor.driven(
            random, motor.DriveState(0.0, 0.3, 0.0), 0.3, 290.0, params, 0.001
        )
        opened += after.dead_s == 0.2
        assert (after.duty == 0.0) is (after.dead_s > 0.0)
    assert opened == pytest.approx(100, abs=30)  # 3 sigma
    again, after = motor.driven(random, motor.DriveState(0.0, 0.0, 0.0), 0.0, 290.0, params, 0.001)
    assert again == random
    assert after.dead_s == 0.0


def test_a_row_of_a_recording_has_every_column_written(state):
    row = np.full(len(HISTORY), np.nan)
    write_history(row, state, Sticks(0.1, 0.2, 0.3, 0.4, 1.0, 1.0, 0.0))
    assert not np.isnan(row).any()
    assert row[1:5].tolist() == [0.1, 0.2, 0.3, 0.4]


def test_a_resting_rotor_is_nothing_but_as_warm_as_the_air():
    numbers = flatten(resting_rotor(295.0))
    assert sorted(numbers) == [0.0] * (len(numbers) - 1) + [295.0]


@pytest.mark.parametrize("turning", range(4))
def test_only_a_propeller_that_turns_strikes(quiet, state, turning):
    """With the nose to the north-east the front left one alone reaches the north wall."""
    near = quiet._replace(room=quiet.room._replace(north_m=0.30))  # m; its hub lies 0.225 ahead
    body = state.body._replace(position_m=Vec3(0.0, 0.0, -50.0), attitude=from_angles(0, 0, pi / 4))
    rotors = tuple(
        rotor._replace(
            motor=rotor.motor._replace(speed_rad_s=STEADY_RAD_S if i == turning else 0.0)
        )
        for i, rotor in enumerate(state.rotors)
    )
    assert step.strikes(body, rotors, near) == (turning == 0, False, False, False)


def test_in_free_air_nothing_is_a_crash_and_no_foot_bears(quiet, state):
    body = state.body._replace(position_m=Vec3(0.0, 0.0, -50.0))
    assert surroundings.crash_bits(body, body, False, False, False, quiet) == (0, 0.0)
    after = surroundings.feet_after(body, state.feet, 0.0, quiet)
    assert [anchor.load_n for anchor in after] == [0.0] * 4


@pytest.mark.parametrize("place", range(4))
def test_any_one_of_the_four_that_hits_is_enough(place):
    assert step.any_of(tuple(i == place for i in range(4)))
    assert not step.any_of((False,) * 4)


@pytest.mark.parametrize("struck", range(4))
def test_a_strike_breaks_the_propeller_that_struck(quiet, tables, state, struck):
    hit = tuple(i == struck for i in range(4))
    after = step.turned(state.body, state.rotors, 0.0, (0.0,) * 4, hit, tables, quiet)
    assert [rotor.broken for rotor in after] == [float(i == struck) for i in range(4)]


def test_a_table_is_clamped_at_its_last_stretch():
    xs, ys = np.array([0.0, 1.0, 2.0, 4.0]), np.array([5.0, 6.0, 8.0, 7.0])
    assert locate(9.0, xs) == (2, 1.0)
    assert interpolate(9.0, xs, ys) == 7.0
    assert interpolate(-9.0, xs, ys) == 5.0
    assert interpolate(3.0, xs, ys) == 7.5


def test_the_feet_bear_the_weight_on_the_floor_and_nothing_in_the_air(quiet, state):
    weight = quiet.body.mass_kg * quiet.body.gravity_m_s2
    standing = surroundings.held_or_free(state, state.hold, ZERO, ZERO, quiet)
    assert surroundings.wrench(state.body, standing)[0].z == pytest.approx(-weight, rel=1e-9)
    up = state.body._replace(position_m=Vec3(0.0, 0.0, -50.0))
    flying = surroundings.held_or_free(wired(state, body=up), state.hold, ZERO, ZERO, quiet)
    assert surroundings.wrench(up, flying)[0] == ZERO
