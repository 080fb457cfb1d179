"""Checks of motors and drives: what they show, and that they keep quiet otherwise."""

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.changes import with_value
from sim.bench.checklist import CHECKS
from sim.bench.rig import HANDS_OFF
from tests.bench.checks.steady import steadied
from tests.worlds import powered_rig as rig
from tests.worlds import suspected

AIRFRAME = library.airframe(library.TRAINER)
MINE = ("one-motor", "ramp-and-snap", "touch-after")
BY_CHECK = {
    "one-motor": (
        "motor-order-swapped",
        "motor-spin-reversed",
        "motor-bearing-rough",
        "motor-shaft-bent",
        "motor-weak-or-shorted",
        "phase-joint-bad",
        "signal-ground-missing",
        "throttle-ends-unmatched",
    ),
    "ramp-and-snap": (
        "throttle-ends-unmatched",
        "idle-too-low",
        "idle-too-high",
        "drive-desync",
        "signal-ground-missing",
    ),
}


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    """What a reading shows and what is made of it; how often its errors mislead, studies measure."""
    steadied(monkeypatch)


@pytest.mark.parametrize(("check", "fault"), [(c, f) for c, fs in BY_CHECK.items() for f in fs])
def test_shows_what_it_is_meant_to_show(check, fault):
    # own measure: the careful judgement names it in at least 4 of 5 seeds at severity 0.5
    named = [fault in suspected(check, rig(fault, 0.5, seed)) for seed in range(5)]
    assert sum(named) >= 4


@pytest.mark.parametrize("check", MINE)
def test_no_false_alarm_on_a_sound_aircraft(check):
    alarms = [bool(suspected(check, rig(seed=seed))) for seed in range(20)]
    assert sum(alarms) <= 1


def test_one_output_alone_turns_only_its_own_motor():
    where = rig()
    seen = where.drive_only(("rear_left",), 0.5, 1.0)
    assert seen["speed_rear_left_rad_s"][-1] > 400.0  # rad/s; 0.5 x 12 V x 96 rad/s/V = 580
    for place in ("front_left", "front_right", "rear_right"):
        assert seen[f"speed_{place}_rad_s"].max() == 0.0
    assert where.value("armed") == 0.0


def test_no_load_speed_and_run_down_are_those_of_the_motor():
    m, values = AIRFRAME.motor, CHECKS["one-motor"].take(rig()).values
    duty, volts = 0.6, 12.5
    expected = m.kv_rpm_v * (duty * volts - m.no_load_a * m.resistance_ohm)
    assert values["front_left_speed_rpm"] == pytest.approx(expected, rel=0.03)
    kt = 1.0 / (m.kv_rpm_v * 2.0 * np.pi / 60.0)  # N m/A
    speed = values["front_left_speed_rpm"] * 2.0 * np.pi / 60.0
    coast = 0.9 * speed * m.bell_inertia_kg_m2 / (m.no_load_a * kt)  # s; to a tenth of the speed
    assert values["front_left_coast_s"] == pytest.approx(coast, abs=0.15)


def test_a_bell_out_of_balance_shakes_the_frame_by_its_force():
    where = rig()
    where.change(with_value(where.world, "build.rotors.rear_right.motor.bell_unbalance_g_mm", 0.4))
    values = CHECKS["one-motor"].take(where).values
    speed = values["rear_right_speed_rpm"] * 2.0 * np.pi / 60.0
    expected = 0.4e-6 * speed**2 / AIRFRAME.mass_kg  # m/s2; m r w^2 over the mass
    assert values["rear_right_shake_m_s2"] == pytest.approx(expected, rel=0.15)


def test_touch_tells_a_hot_drive():
    where = rig()
    where.put("rotors.2.motor.temperature_k", 340.0)
    values = CHECKS["touch-after"].take(where).values
    assert values["rear_right_drive_degc"] > values["front_left_drive_degc"] + 30.0
    assert suspected("touch-after", where) == {"drive-thermal-limit"}
    where.swap_motor("rear_right")
    assert not suspected("touch-after", where)


def test_a_wrong_propeller_makes_anyone_cut_the_throttle_on_the_legs():
    def cut(fault):
        where = rig(fault)
        conduct = where.world.conduct.model_copy(
            update={"props_fitted": True, "place": "pad", "hold": "standing"}
        )
        where.change(where.world.model_copy(update={"conduct": conduct}))
        where.place()
        where.run(HANDS_OFF, 1.0)
        return CHECKS["light-on-legs"].take(where).values["cut_count"]

    assert cut("") == 0.0
    assert cut("prop-wrong-hand") == 1.0
    assert cut("motor-spin-reversed") == 1.0
