"""What a gyro on a loose mount logs, against the transmissibility of spring and damper."""

from math import pi

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.reproduce.recorded.mounts import logged_turning
from sim.reproduce.recorded.passes import vehicle_of

STEP_S = 0.002
DAMPING, OWN_HZ = 0.3, 10.0
MOUNT = (2.0 * pi * OWN_HZ, DAMPING)
TIMES_S = STEP_S * np.arange(5000)


@pytest.mark.parametrize("hz", [1.0, 8.0, 10.0, 30.0])
def test_a_loose_mount_passes_what_a_spring_and_damper_passes(hz):
    """|1 + 2 i z r| / |1 - r^2 + 2 i z r|, r = f/f0; phase and all, as a complex ratio."""
    body = np.column_stack([np.sin(2.0 * pi * hz * TIMES_S)] * 3)
    gyro = logged_turning(body, MOUNT, STEP_S)
    turned = np.exp(-2j * pi * hz * TIMES_S)[1000:]  # what it began with has died away
    ratio = hz / OWN_HZ
    passed = (1.0 + 2j * DAMPING * ratio) / (1.0 - ratio**2 + 2j * DAMPING * ratio)
    for axis in range(3):
        got = (gyro[1000:, axis] @ turned) / (body[1000:, axis] @ turned)
        # rows of 2 ms held even: half a row of 30 Hz is a tenth of a radian either way
        assert got == pytest.approx(passed, rel=0.12)
    assert abs(passed) > 1.0 if hz < 14.0 else abs(passed) < 0.4


def test_a_steady_turning_reaches_the_gyro_whole():
    gyro = logged_turning(np.ones((500, 3)), MOUNT, STEP_S)
    assert gyro[-50:].mean() == pytest.approx(1.0, abs=1e-3)
    assert gyro[0].max() < 0.1  # at first the mount gives


def test_a_rigid_mount_changes_nothing():
    body = np.random.default_rng(0).standard_normal((50, 3))
    assert logged_turning(body, (0.0, DAMPING), STEP_S) is body


@pytest.mark.parametrize("aboard", [True, False])
def test_readings_logged_aboard_have_been_through_the_mount_already(sound, aboard):
    """A pass takes rates logged outside through it, readings not once more."""
    loose = vehicle_of(with_value(sound, "build.sensors.loose_mount_hz", OWN_HZ), aboard)
    assert loose.mount[0] == pytest.approx(2.0 * pi * OWN_HZ)
    expected = 0.0 if aboard else 2.0 * pi * OWN_HZ
    assert float(loose.craft["sensors__mount_rad_s"][0]) == pytest.approx(expected)
