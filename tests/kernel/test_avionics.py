"""The shake of unbalanced rotors at the instruments, and the electronics' own clock."""

from math import pi

import numpy as np
import pytest
from numpy.testing import assert_allclose

from sim.kernel.avionics import BOOT_TICKS
from sim.kernel.clock import TICK_S
from sim.kernel.frames import Vec3

UNBALANCE_KG_M = 2e-6  # 2 g mm
SPEED_RAD_S = 480.0
PLACES = range(4)


@pytest.fixture(scope="module")
def shaken(quiet, flight):
    """Return what gyro and accelerometer show of a weightless craft in a vacuum with one rotor out
    of balance: shaken(place, spin, **sensor values) -> (gyro, accel), float64[n, 3]."""

    def made(place, spin=None, seconds=0.6, speed=SPEED_RAD_S, **values):
        rotors = [
            r._replace(motor=r.motor._replace(no_load_a=0.0), torque_scale=0.0)
            for r in quiet.rotors
        ]
        turning = rotors[place]
        rotors[place] = turning._replace(
            unbalance_kg_m=UNBALANCE_KG_M, spin=turning.spin if spin is None else spin
        )
        craft = quiet._replace(
            rotors=tuple(rotors),
            body=quiet.body._replace(gravity_m_s2=0.0),
            air=quiet.air._replace(density_kg_m3=0.0),
            lateral_drag_n_s2_m=0.0,
            frame_drag_n_s2_m2=0.0,
            plugged=0.0,
            sensors=quiet.sensors._replace(**values),
        )
        found = flight(craft)
        found.put("body.position_m.z", -100.0)
        found.put(f"rotors.{place}.motor.speed_rad_s", speed)
        seen = found.run(seconds)
        assert_allclose(found.vector("body.rate_rad_s"), 0.0, atol=1e-12)  # the body itself rests
        return (
            np.column_stack([seen[f"gyro_{a}_rad_s"] for a in "xyz"]),
            np.column_stack([seen[f"accel_{a}_m_s2"] for a in "xyz"]),
        )

    return made


@pytest.mark.parametrize("spin", [1.0, -1.0])
@pytest.mark.parametrize("place", PLACES)
def test_the_gyro_feels_the_torque_of_the_force_the_accelerometer_feels(quiet, shaken, place, spin):
    """Newton and Euler of one force F at the hub r: a = F/m and I dw/dt = r x F, at every moment."""
    gyro, accel = shaken(place, spin)
    force = quiet.body.mass_kg * accel
    torque = np.cross(np.array(quiet.rotors[place].hub_m), force)
    # the slope over two ticks of a sine of angle s a tick is sin(s)/s of its own
    step = SPEED_RAD_S * TICK_S
    slope = (gyro[2:] - gyro[:-2]) / (2.0 * TICK_S) * step / np.sin(step)
    found = np.array(quiet.body.inertia_kg_m2) * slope
    assert_allclose(found, torque[1:-1], atol=1e-6 * np.abs(torque).max())
    hub = quiet.rotors[place].hub_m
    levers = np.array((abs(hub.z), abs(hub.z), np.hypot(hub.x, hub.y)))  # m; the force turns about
    assert levers == pytest.approx((0.03, 0.03, 0.2126), abs=1e-4)
    assert np.abs(torque).max(axis=0) == pytest.approx(
        np.abs(torque).max() * levers / levers[2], rel=0.03
    )


@pytest.mark.parametrize("spin", [1.0, -1.0])
def test_the_shake_turns_with_the_rotor(shaken, spin):
    """Clockwise from above is from forward to right."""
    _, accel = shaken(1, spin)
    angle = np.unwrap(np.arctan2(accel[:, 1], accel[:, 0]))
    assert_allclose(np.diff(angle), spin * SPEED_RAD_S * TICK_S, rtol=1e-6)


def test_size_of_the_sway(quiet, shaken):
    """m r w times the arm over the moment of inertia: once a turn, in proportion to the speed."""
    arm = float(np.hypot(quiet.rotors[0].hub_m.x, quiet.rotors[0].hub_m.y))
    for speed in (240.0, 480.0):
        gyro, _ = shaken(0, speed=speed)
        expected = UNBALANCE_KG_M * speed * arm / quiet.body.inertia_kg_m2.z
        assert gyro[:, 2].std() * np.sqrt(2.0) == pytest.approx(expected, rel=0.01)
    assert expected == pytest.approx(0.00669, rel=0.01)  # rad/s; by hand


def test_foam_passes_less_of_both(shaken):
    hard, soft = shaken(0), shaken(0, shake_gain=0.25, sway_gain=0.25)
    for a, b in zip(hard, soft, strict=True):
        assert_allclose(b, 0.25 * a, atol=1e-15)
        assert np.abs(a).max() > 1e-3


def test_the_gyro_can_be_spared_what_the_accelerometer_feels(shaken):
    gyro, accel = shaken(0)
    still, felt = shaken(0, sway_gain=0.0)
    assert_allclose(felt, accel, atol=1e-15)
    assert np.abs(still).max() < 1e-12 < np.abs(gyro).max()


@pytest.mark.parametrize("mount_hz", [40.0, 150.0])
def test_a_loose_mount_amplifies_below_and_cuts_above_its_own_frequency(shaken, mount_hz):
    """Transmissibility of spring and damper: |1 + 2 i z r| / |1 - r^2 + 2 i z r|, r = w/w0."""
    damping = 0.3
    rigid, _ = shaken(0)
    loose, _ = shaken(0, mount_rad_s=2.0 * pi * mount_hz, mount_damping=damping)
    ratio = SPEED_RAD_S / (2.0 * pi * mount_hz)
    passed = abs((1.0 + 2j * damping * ratio) / (1.0 - ratio**2 + 2j * damping * ratio))
    settled = slice(300, None)
    got = loose[settled, 2].std() / rigid[settled, 2].std()
    # steps of 1 ms at 0.5 rad a step: within a quarter; above 1 or below it is never in doubt
    assert got == pytest.approx(passed, rel=0.25)
    assert (passed > 1.0) is (mount_hz == 150.0)


@pytest.mark.parametrize(("low_s", "restarts"), [(0.004, False), (0.006, True)])
def test_a_low_rail_restarts_the_electronics_after_five_milliseconds(
    quiet, hovering, low_s, restarts
):
    flight, sticks = hovering(quiet)
    flight.change(quiet._replace(pack=quiet.pack._replace(sag_limit_v=50.0)))
    flight.run(low_s, sticks)
    flight.change(quiet)
    flight.run(0.01, sticks)
    assert bool(flight.value("reset_ticks") > 0.0) is restarts


def test_start_up_takes_two_seconds(quiet, flight):
    assert pytest.approx(2.0) == BOOT_TICKS * TICK_S
    biased = quiet._replace(sensors=quiet.sensors._replace(gyro_bias_rad_s=Vec3(0.02, 0.0, 0.0)))
    started = flight(biased)
    started.run(2.1)
    assert started.value("estimator.bias_rad_s.x") == pytest.approx(0.02, rel=1e-3)
