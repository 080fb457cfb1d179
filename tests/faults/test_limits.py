"""Where each predicate turns over, as the design states it."""

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.aircraft.setup import AxisGains, CompassCalibration, Unset
from sim.faults.catalogue import CATALOGUE, present_faults
from sim.faults.compass import angle_rad, worst_heading_error_rad
from sim.faults.gains import RESTED, loop_margins
from sim.faults.power import after_hop
from sim.faults.sensing import tilt_error_rad
from sim.kernel import linear

LEVEL_UT = 19.553  # uT; horizontal part of the garage's field


def loaded_cell_v(t):
    return min(after_hop(t, t.cells))


def heading_error_deg(t):
    error = worst_heading_error_rad(t.craft.field.earth_ut, t.craft.sensors, t.craft.estimator)
    return float(np.degrees(error))


@pytest.mark.parametrize(("error_deg", "there"), [(4.8, False), (5.2, True)])
@pytest.mark.parametrize("turn", [0.0, 1.0, 2.5])
def test_compass_may_err_by_five_degrees(world, truth, error_deg, there, turn):
    """Iron of size B_level sin(error) turns the needle by the error where it lies across it."""
    size = LEVEL_UT * np.sin(np.radians(error_deg))
    iron = (size * np.cos(turn), size * np.sin(turn), 3.0)  # iron along the vertical does no harm
    t = truth(with_value(world, "build.sensors.mag_hard_iron_ut", iron))
    # deg; looked at every 5 degrees, the peak is missed by 1 - cos(2.5 deg) at most
    assert heading_error_deg(t) == pytest.approx(error_deg, rel=2e-3)
    assert ("mag-hard-iron-offset" in present_faults(t)) is there


def test_calibrated_iron_is_no_fault(world, truth):
    iron = (6.0, -4.0, 2.0)
    changed = with_value(world, "build.sensors.mag_hard_iron_ut", iron)
    cured = with_value(changed, "setup.compass", CompassCalibration(offset_ut=iron))
    assert present_faults(truth(cured)) == frozenset()
    # and the calibration without the iron is one
    assert "mag-hard-iron-offset" in present_faults(
        truth(with_value(world, "setup.compass", CompassCalibration(offset_ut=iron)))
    )


@pytest.mark.parametrize(
    ("what", "key", "value", "fault"),
    [
        ("compass", "build.sensors.mag_hard_iron_ut", (9.0, 0.0, 0.0), "mag-hard-iron-offset"),
        (
            "compass",
            "build.sensors.mag_soft_iron",
            ((1.2, 0.0, 0.0), (0.0, 0.8, 0.0), (0.0, 0.0, 1.0)),
            "mag-soft-iron",
        ),
        ("accelerometer", "build.sensors.accel_bias_m_s2", (0.6, 0.0, 0.0), "level-trim-off"),
        ("accelerometer", "build.sensors.accel_bias_m_s2", (0.0, 0.0, 0.6), "accel-cal-bad"),
        ("sticks", "setup.transmitter.roll.high_us", 1900.0, "stick-ends-short"),
        ("sticks", "setup.transmitter.roll.centre_us", 1540.0, "stick-centre-off"),
        ("drives", "build.rotors.rear_left.motor.gain", 0.9, "throttle-ends-unmatched"),
    ],
)
def test_a_calibration_nobody_relies_on_is_no_fault_of_it(world, truth, what, key, value, fault):
    changed = with_value(world, key, value)
    assert fault in present_faults(truth(changed))
    assert fault not in present_faults(truth(with_value(changed, "setup.unset", (what,))))
    others = tuple(other for other in get_args(Unset) if other != what)
    assert fault in present_faults(truth(with_value(changed, "setup.unset", others)))


@pytest.mark.parametrize(("tilt_deg", "there"), [(0.95, False), (1.05, True)])
@pytest.mark.parametrize("turn", [0.0, 0.8, 4.0])
def test_level_may_be_off_by_one_degree(world, truth, tilt_deg, there, turn):
    changed = with_value(world, "setup.level_trim_roll_deg", tilt_deg * float(np.cos(turn)))
    changed = with_value(changed, "setup.level_trim_pitch_deg", tilt_deg * float(np.sin(turn)))
    t = truth(changed)
    assert np.degrees(tilt_error_rad(t)) == pytest.approx(tilt_deg, rel=1e-9)
    assert ("level-trim-off" in present_faults(t)) is there


def test_accelerometer_bias_is_a_level_error_that_trim_can_cure(world, truth):
    bias = 9.80665 * float(np.tan(np.radians(2.0)))
    changed = with_value(world, "build.sensors.accel_bias_m_s2", (bias, 0.0, 0.0))
    t = truth(changed)
    assert present_faults(t) == {"level-trim-off", "accel-cal-bad"}
    assert np.degrees(tilt_error_rad(t)) == pytest.approx(2.0, rel=1e-6)
    trimmed = with_value(changed, "setup.level_trim_pitch_deg", 2.0)
    assert present_faults(truth(trimmed)) == {"accel-cal-bad"}  # level, but wrong on other faces


def scaled(world, factor, axes=("roll", "pitch")):
    for axis in axes:
        g = getattr(world.setup.controller, axis)
        louder = AxisGains(p=g.p * factor, i=g.i * factor, d=g.d * factor)
        world = with_value(world, f"setup.controller.{axis}", louder)
    return world


@pytest.mark.parametrize("axes", [("roll",), ("pitch",), ("roll", "pitch")])
def test_gains_need_six_decibels(world, truth, axes):
    """With half as much damping again, phase is no matter and gain alone decides."""
    damped = world
    for axis in ("roll", "pitch"):
        d = getattr(world.setup.controller, axis).d
        damped = with_value(damped, f"setup.controller.{axis}.d", 1.5 * d)
    sound = dict(zip(("roll", "pitch"), loop_margins(truth(damped)), strict=True))
    margin = min(sound[axis].gain_db for axis in axes)
    for left, there in ((6.1, False), (5.9, True)):
        t = truth(scaled(damped, 10.0 ** ((margin - left) / 20.0), axes))
        margins = loop_margins(t)
        # a gain as a factor is exactly as many decibels, but for the root finder
        assert min(m.gain_db for m in margins) == pytest.approx(left, abs=1e-6)
        assert min(m.phase_deg for m in margins) > 45.0
        assert ("rate-gain-high" in present_faults(t)) is there


def test_as_shipped_phase_runs_out_first(world, truth):
    """The shipped gains bear a factor of a little under 1.6 (6 dB would be 1.61)."""
    for factor, there in ((1.4, False), (1.61, True)):
        assert ("rate-gain-high" in present_faults(truth(scaled(world, factor)))) is there


def test_gains_need_forty_five_degrees(world, truth):
    """A slow gyro filter takes phase away where the gain margin is still enough."""
    found = False
    for cutoff_hz in (60.0, 45.0, 35.0, 28.0, 22.0, 18.0):
        t = truth(with_value(world, "setup.controller.gyro_cutoff_hz", cutoff_hz))
        margins = loop_margins(t)
        short = any(m.gain_db < 6.0 or m.phase_deg < 45.0 for m in margins)
        assert ("rate-gain-high" in present_faults(t)) is short
        found = found or any(m.phase_deg < 45.0 for m in margins)
    assert found


def test_margins_are_those_of_the_loop_on_a_rested_pack(world, truth):
    t = truth(world)
    assert loop_margins(t) == linear.craft_margins(t.craft, t.tables, RESTED)
    sagged = with_value(world, "build.pack.charge", 0.3)
    assert loop_margins(truth(sagged)) == loop_margins(t)


def test_pack_must_hold_three_and_a_half_volts(world, truth):
    """Lost capacity takes a charged pack there; a low charge counts as a fault of its own."""
    for key, values, fault in (
        ("build.pack.capacity_factor", np.linspace(1.0, 0.12, 13), "pack-high-resistance"),
        ("build.pack.charge", np.linspace(0.97, 0.2, 12), "pack-undercharged"),
    ):
        volts = []
        for value in values:
            t = truth(with_value(world, key, float(value)))
            volts.append(loaded_cell_v(t))
            there = present_faults(t)
            assert there <= {fault}
            if fault == "pack-high-resistance" or volts[-1] < 3.5:
                # a pack is due for the charger before it would fall below the limit
                assert (fault in there) is (volts[-1] < 3.5)
        assert np.all(np.diff(volts) < 0.0)
        assert volts[0] > 3.5 > volts[-1]


def test_longer_hops_ask_more_of_the_pack(world, truth):
    t = truth(world)
    volts = [loaded_cell_v(replace(t, hop_s=hop_s)) for hop_s in (5.0, 75.0, 240.0)]
    assert np.all(np.diff(volts) < 0.0)


def test_a_hop_is_drawn_to_its_last_second(world, truth):
    t = truth(world)
    at_rest = loaded_cell_v(replace(t, hop_s=0.0))
    assert at_rest == pytest.approx(4.1637, abs=1e-4)  # V; table: 4.079 + 0.7 (4.200 - 4.079)
    short, whole, longer = (loaded_cell_v(replace(t, hop_s=s)) for s in (75.0, 75.5, 80.0))
    # V; half a second more draws a tenth of what five more do, to a fifth: the slow pair bends it
    assert short - whole == pytest.approx(0.1 * (short - longer), rel=0.2)


def test_rounding_does_not_spoil_the_angle_of_no_turn():
    assert angle_rad((1.0 + 1e-12) * np.eye(3)) == 0.0
    assert angle_rad(np.diag([-1.0 - 1e-12, -1.0 - 1e-12, 1.0])) == np.pi


def test_failsafe_must_stop_within_two_seconds(world, truth):
    held = with_value(world, "setup.controller.failsafe", "hold")
    assert present_faults(truth(held)) == {"failsafe-holds-last"}
    for timeout_ms, there in ((1400.0, False), (1600.0, True)):
        slow = with_value(world, "airframe.link.timeout_ms", timeout_ms)
        assert ("failsafe-holds-last" in present_faults(truth(slow))) is there


@pytest.mark.parametrize("fault", CATALOGUE)
def test_every_predicate_is_a_function_of_the_truth_alone(world, truth, fault):
    changed = CATALOGUE[fault].inject(world, 0.6, np.random.default_rng(2))
    t = truth(changed)
    assert present_faults(t) == present_faults(t) == present_faults(truth(changed))
