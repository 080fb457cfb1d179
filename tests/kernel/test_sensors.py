"""Instruments: truth, and what their errors make of it."""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.kernel import sensors
from sim.kernel.frames import ZERO, Mat3, Vec3, from_angles
from sim.kernel.sensors import Dipole

G = 9.80665
FIELD = Vec3(19.5, 0.3, 45.0)
SCALED = Mat3(1.02, 0.0, 0.0, 0.01, 0.98, 0.0, 0.0, 0.0, 1.01)


@pytest.fixture(scope="module")
def exact(quiet):
    return quiet.sensors


def seen(flight, name):
    return flight.vector(f"sensors.{name}")


def test_rest_upright_reads_gravity_upwards(quiet, flight):
    still = flight(quiet)
    still.run(1.0)
    assert_allclose(seen(still, "accel_m_s2"), (0.0, 0.0, -G), atol=1e-9)  # settled on its legs
    assert_allclose(seen(still, "gyro_rad_s"), 0.0, atol=1e-9)
    assert_allclose(seen(still, "mag_ut"), quiet.field.earth_ut, atol=1e-9)


def test_falling_reads_nothing(quiet, flight):
    falling = flight(quiet._replace(frame_drag_n_s2_m2=0.0, lateral_drag_n_s2_m=0.0))
    falling.put("body.position_m.z", -100.0)
    falling.run(0.5)
    assert_allclose(seen(falling, "accel_m_s2"), 0.0, atol=1e-9)


def test_noise_has_its_stated_size(craft, flight):
    """In still air on the pad, 5000 samples give each spread to 1 %, six to half of that."""
    history = flight(craft._replace(plugged=0.0)).run(5.0)
    p = craft.sensors
    for name, size in (("gyro", p.gyro_noise_rad_s), ("accel", p.accel_noise_m_s2)):
        unit = "rad_s" if name == "gyro" else "m_s2"
        spread = [history[f"{name}_{axis}_{unit}"].std() for axis in "xyz"]
        assert spread == pytest.approx([size] * 3, rel=0.05)
    slow = history.rows[::10]  # 500 new readings: spread to 3 %
    assert slow[:, 23].std() == pytest.approx(p.mag_noise_ut, rel=0.12)
    assert slow[:, 40].std() == pytest.approx(p.baro_noise_m, rel=0.12)


def test_slow_instruments_read_every_tenth_tick(craft, flight):
    field = flight(craft).run(0.2)["field_x_ut"]
    changed = np.flatnonzero(np.diff(field)) + 1
    assert np.all(np.diff(changed) == 10)


def test_hard_and_soft_iron_and_current(exact):
    wrong = exact._replace(
        mag_hard_iron_ut=Vec3(5.0, -3.0, 2.0),
        mag_soft_iron=SCALED,
        mag_per_amp_ut_a=Vec3(0.1, 0.0, -0.2),
    )
    by_hand = (
        np.reshape(SCALED, (3, 3)) @ FIELD + (5.0, -3.0, 2.0) + 10.0 * np.array((0.1, 0, -0.2))
    )
    # same sums in another order
    assert_allclose(sensors.mag_exact_ut(FIELD, 10.0, wrong), by_hand, atol=1e-12)
    assert sensors.mag_exact_ut(FIELD, 10.0, exact) == FIELD


def test_compass_turns_against_the_aircraft(exact, quiet):
    east = from_angles(0.0, 0.0, np.pi / 2.0)
    _, field = sensors.mag_reading(np.uint64(1), east, ZERO, 0.0, quiet.field, exact)
    earth = quiet.field.earth_ut
    assert_allclose(field, (earth.y, -earth.x, earth.z), atol=1e-12)  # nose east: north is left


def test_dipole_falls_with_the_cube_of_distance():
    steel = Dipole(Vec3(1.0, 2.0, 3.0), Vec3(0.4, -0.9, 1.3))
    away = np.array((0.3, -0.2, 0.5))
    near = np.array(sensors.dipole_field_ut(Vec3(*(away + steel.position_m)), steel))
    for k in (2.0, 3.0, 10.0):
        far = sensors.dipole_field_ut(Vec3(*(k * away + steel.position_m)), steel)
        assert_allclose(np.array(far) * k**3, near, rtol=1e-12)  # same sums scaled


def test_dipole_on_its_axis_and_beside_it():
    steel = Dipole(ZERO, Vec3(0.0, 0.0, 2.0))
    on_axis = sensors.dipole_field_ut(Vec3(0.0, 0.0, 2.0), steel)
    beside = sensors.dipole_field_ut(Vec3(2.0, 0.0, 0.0), steel)
    assert_allclose(on_axis, (0.0, 0.0, 2.0 * 2.0 / 8.0), atol=1e-15)
    assert_allclose(beside, (0.0, 0.0, -2.0 / 8.0), atol=1e-15)
    touching = sensors.dipole_field_ut(ZERO, steel)
    assert np.isfinite(touching).all()


def test_accelerometer_bias_scale_and_clip(exact):
    wrong = exact._replace(accel_bias_m_s2=Vec3(0.2, 0.0, -0.1), accel_matrix=SCALED)
    reading = sensors.accel_reading(Vec3(1.0, 2.0, -G), ZERO, wrong)
    assert_allclose(reading, (1.22, 1.97, -1.01 * G - 0.1), atol=1e-12)
    limit = exact.accel_clip_m_s2
    hit = sensors.accel_reading(Vec3(1e4, -1e4, 3.0), ZERO, exact)
    assert hit == (limit, -limit, 3.0)


def test_gyro_bias_and_mounting(exact):
    turned = exact._replace(
        gyro_bias_rad_s=Vec3(0.01, 0.02, 0.03),
        mounting=Mat3(0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0),  # turned a quarter right
    )
    reading = sensors.gyro_reading(Vec3(1.0, 2.0, 3.0), Vec3(0.1, 0.0, 0.0), ZERO, turned)
    assert_allclose(reading, (2.02, -1.11, 3.03), atol=1e-12)


def test_gyro_drift_grows_with_the_root_of_time(exact):
    walking = exact._replace(gyro_walk_rad_s2=1e-3)
    random, ends = np.uint64(9), []
    for _ in range(300):
        drift = ZERO
        for _ in range(9):
            random, drift = sensors.drifted(np.uint64(random), drift, walking, 1.0)
        ends.append(drift)
    # 900 numbers: spread to 2.4 %
    assert np.std(ends) == pytest.approx(3e-3, rel=0.08)


@pytest.mark.parametrize("dt_s", [0.01, 0.25, 4.0])
def test_one_step_of_drift_goes_with_the_root_of_its_time(exact, dt_s):
    walking = exact._replace(gyro_walk_rad_s2=1e-3)
    start = Vec3(0.02, -0.01, 0.03)
    _, push = sensors.three_gaussians(np.uint64(9), 1e-3)
    _, drift = sensors.drifted(np.uint64(9), start, walking, dt_s)
    expected = np.array(start) + np.sqrt(dt_s) * np.array(push)
    assert_allclose(drift, expected, rtol=1e-12)
    assert np.abs(push).max() > 1e-3


@pytest.mark.parametrize("damping", [0.05, 0.4])
def test_a_loose_mount_swings_out_like_spring_and_damper(exact, damping):
    """Closed form of x" + 2 z w x' + w^2 x = 0 from x = 0, x' = 1, x the bend, x' the rate left."""
    w, dt = 2.0 * np.pi * 12.0, 1e-5
    loose = exact._replace(mount_rad_s=w, mount_damping=damping)
    rate, bend, seen = Vec3(1.0, 0.0, -2.0), ZERO, []
    for _ in range(8000):
        rate, bend = sensors.mounted(ZERO, rate, bend, loose, dt)
        seen.append((rate.x, rate.z))
    t = dt * np.arange(1, 8001)
    swing = w * np.sqrt(1.0 - damping**2)
    fading = np.exp(-damping * w * t)
    expected = fading * (np.cos(swing * t) - damping * w / swing * np.sin(swing * t))
    # one step of 10 us at 75 rad/s
    assert_allclose(np.array(seen), np.outer(expected, (1.0, -2.0)), atol=3e-3)


def test_a_loose_mount_follows_slow_turning(exact):
    loose = exact._replace(mount_rad_s=90.0, mount_damping=0.05)
    rate, bend = ZERO, ZERO
    for _ in range(5000):
        rate, bend = sensors.mounted(Vec3(0.3, 0.0, 0.0), rate, bend, loose, 1e-3)
    assert rate.x == pytest.approx(0.3, abs=1e-3)


def test_unbalance_shakes_with_the_square_of_speed():
    slow = sensors.shake_m_s2(100.0, 0.7, 1e-6, 1.5)
    fast = sensors.shake_m_s2(300.0, 0.7, 1e-6, 1.5)
    assert_allclose(fast, 9.0 * np.array(slow), rtol=1e-12)
    assert np.hypot(slow.x, slow.y) == pytest.approx(1e-6 * 100.0**2 / 1.5, rel=1e-12)


def test_monitor_scales(quiet, hovering):
    wrong = quiet.sensors._replace(volt_scale=1.03, amp_scale=0.9)
    flight, sticks = hovering(quiet._replace(sensors=wrong))
    history = flight.run(1.0, sticks)
    shown, true = history["shown_pack_v"][-1], history["pack_v"][-10]
    # the reading is of up to ten ticks ago, hover current is steady to a percent
    assert shown == pytest.approx(1.03 * true, rel=2e-3)
    assert history["shown_pack_a"][-1] == pytest.approx(0.9 * history["pack_a"][-10], rel=0.02)
