"""Calibrations done at once: level, sticks, voltage; how long a warm-up takes. Signs and sizes."""

import numpy as np
import pytest

from sim.aircraft.changes import with_value
from sim.bench.rig import HANDS_OFF, Rig
from sim.session import actions as act
from sim.session import calibrating
from sim.session.scenario import load
from sim.session.session import Session


@pytest.fixture
def rig(world, placed):
    """Return a rig standing on the pad with these changes, its controller started."""

    def made(**changes):
        changed = world
        for key, value in changes.items():
            changed = with_value(changed, key.replace("__", "."), value)
        found = Rig(placed(changed, place="pad", hold="standing", props_fitted=False), 3)
        found.run(HANDS_OFF, 2.5)
        return found

    return made


def test_a_level_is_added_to_the_trim_there_is(rig):
    """Sound, a trim of 2 and -3 degrees is wrong by as much, and goes; a felt lean is taken up."""
    wrong = rig(setup__level_trim_roll_deg=2.0, setup__level_trim_pitch_deg=-3.0)
    setup = calibrating.levelled(wrong).setup
    assert setup.level_trim_roll_deg == pytest.approx(0.0, abs=0.1)  # deg; noise
    assert setup.level_trim_pitch_deg == pytest.approx(0.0, abs=0.1)
    g = 9.80665
    felt = (g * float(np.tan(np.radians(1.5))), -g * float(np.tan(np.radians(2.5))), 0.0)
    leaning = rig(
        build__sensors__accel_bias_m_s2=felt,
        setup__level_trim_roll_deg=1.0,
        setup__level_trim_pitch_deg=-1.0,
    )
    setup = calibrating.levelled(leaning).setup
    assert setup.level_trim_roll_deg == pytest.approx(2.5, abs=0.15)
    assert setup.level_trim_pitch_deg == pytest.approx(1.5, abs=0.15)


def test_a_voltage_scale_is_multiplied_by_what_the_meter_says_over_what_is_shown(rig):
    """The part shows 1.08 of the truth, of which 0.95 are left: 1/1.08 makes it right."""
    off = rig(build__sensors__volt_scale=1.08, setup__controller__volt_scale=0.95)
    world, _, values = calibrating.voltage(off)
    assert world.setup.controller.volt_scale == pytest.approx(1.0 / 1.08, rel=0.004)  # meter 0.1 %
    assert values["meter_v"] == pytest.approx(12.485, abs=0.05)
    assert values["was_shown_v"] == pytest.approx(12.485 * 1.08 * 0.95, abs=0.02)


def test_sticks_are_brought_to_their_ends_and_trims_out(rig):
    off = rig(
        setup__transmitter__roll__trim_us=40.0,
        setup__transmitter__yaw__low_us=1120.0,
        setup__transmitter__yaw__high_us=1850.0,
        setup__transmitter__pitch__centre_us=1540.0,
    )
    world, _, values = calibrating.sticks(off)
    for channel in ("roll", "pitch", "throttle", "yaw"):
        learnt = getattr(world.setup.transmitter, channel)
        assert learnt.trim_us == 0.0
        ends = (learnt.low_us, learnt.centre_us, learnt.high_us)
        assert ends == pytest.approx((1000.0, 1500.0, 2000.0), abs=3.0)  # us; jitter of half one
    assert values["roll_low_was_us"] == pytest.approx(1040.0, abs=3.0)
    assert values["yaw_low_was_us"] == pytest.approx(1120.0, abs=3.0)
    assert values["yaw_high_was_us"] == pytest.approx(1850.0, abs=3.0)
    assert values["pitch_centre_was_us"] == pytest.approx(1540.0, abs=3.0)


@pytest.mark.parametrize(("minutes", "warm"), [(4.95, False), (5.05, True)])
def test_five_minutes_warm_the_gyro(minutes, warm):
    session = Session(load("quiet-morning"), 1)
    session.do(act.PlugPack())
    changed = with_value(session.rig.world, "build.sensors.gyro_warm_deg_s", (0.0, 2.0, 0.0))
    changed = with_value(changed, "build.sensors.gyro_moved_deg_s", (1.0, 1.0, 0.0))
    session.rig.change(changed)
    session.do(act.Wait(minutes=minutes))
    sensors = session.rig.world.build.sensors
    assert sensors.gyro_warm_deg_s == ((0.0, 0.0, 0.0) if warm else (0.0, 2.0, 0.0))
    assert sensors.gyro_moved_deg_s == ((1.0, 3.0, 0.0) if warm else (1.0, 1.0, 0.0))
