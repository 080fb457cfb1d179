"""What is made of a recording: shake in its band, dips, jitter, what turns with a rotor."""

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from sim.aircraft import library
from sim.aircraft.airframe import Airframe
from sim.aircraft.changes import with_value
from sim.aircraft.design import reach_m, world_of
from sim.aircraft.fields import PLACES
from sim.bench.checklist import CHECKS
from sim.bench.checks import control, frame, legs, link, motors, pack, range_walk, supply
from sim.bench.person import half_step, read_off
from sim.bench.rig import COLUMN, HANDS_OFF, History, Rig
from tests.bench.checks.steady import MODULES
from tests.worlds import sound_world

DESIGN = sound_world().airframe


def with_planned(values: dict[str, float]) -> Airframe:
    """Return the trainer's design with other settings planned."""
    return with_value(DESIGN, "sheet.setup", DESIGN.sheet.setup.model_copy(update=values))


def recording(seconds: float = 20.0, step_s: float = 0.002, **columns: Any) -> History:
    """Return a recording whose columns are functions of time."""
    times = step_s * np.arange(round(seconds / step_s))
    rows = np.zeros((len(times), len(COLUMN)))
    rows[:, COLUMN["time_s"]] = times
    for name, values in columns.items():
        rows[:, COLUMN[name]] = values(times) if callable(values) else values
    return History(rows)


def sine(hz: float, size: float = 1.0):
    return lambda t: 3.0 + size * np.sin(2.0 * np.pi * hz * t)


@pytest.mark.parametrize(("hz", "share"), [(4.7, 0.0), (5.15, 1.0), (20.0, 1.0), (59.5, 1.0), (60.4, 0.0)])  # fmt: skip
def test_shake_is_felt_from_five_to_sixty_hertz(hz, share):
    """The deviation of a sine of size 0.4 is 0.283; a Hann window over 20 s blurs by 0.1 Hz."""
    held = recording(drive_front_left=sine(hz, 0.4))
    size, strongest = control.shake(held, "drive_front_left", control.shake_band_hz(DESIGN))
    assert size == pytest.approx(share * 0.4 / np.sqrt(2.0), abs=0.003)
    if share:
        assert strongest == pytest.approx(hz, abs=0.06)


@pytest.mark.parametrize(("cutoff_hz", "low_hz"), [(60.0, 5.0), (24.0, 2.0), (120.0, 10.0)])
def test_where_shaking_is_looked_for_goes_with_the_gyros_filter_as_planned(cutoff_hz, low_hz):
    planned = {"gyro_cutoff_hz": cutoff_hz}
    found = control.shake_band_hz(with_planned(planned))
    assert found == pytest.approx((low_hz, cutoff_hz), rel=1e-12)


@pytest.mark.parametrize(("limit_deg", "share"), [(20.0, 0.25), (40.0, 0.125), (4.0, 1.0)])
def test_a_tap_asks_for_five_degrees_however_far_a_full_stick_leans_it(limit_deg, share):
    assert control.tap(with_planned({"tilt_limit_deg": limit_deg})) == pytest.approx(share)


def test_noise_has_the_size_it_has():
    rng = np.random.default_rng(1)
    white = recording(drive_rear_left=lambda t: rng.normal(0.0, 1.0, len(t)))
    size, _ = control.shake(white, "drive_rear_left", (5.0, 60.0))
    # white to 250 Hz, of which 55 are in the band
    assert size == pytest.approx(np.sqrt(55.0 / 250.0), rel=0.05)


def test_what_is_felt_is_the_noise_faster_than_the_frame():
    rng = np.random.default_rng(2)
    both = recording(
        accel_x_m_s2=lambda t: rng.normal(0.0, 0.3, len(t)) + 5.0 * np.sin(t),
        accel_y_m_s2=lambda t: rng.normal(0.0, 0.4, len(t)),
    )
    assert control._felt(both) == pytest.approx(np.sqrt((0.09 + 0.16) / 2.0), rel=0.03)


def test_a_hand_cuts_when_it_leans_rings_or_leaves():
    calm = {"load_n": 0.7}
    lean = np.radians(4.0)
    for share, cut in ((0.99, False), (1.01, True)):
        assert control.must_cut(recording(0.06, **calm, roll_rad=-0.6 * share * lean, pitch_rad=0.8 * share * lean)) is cut  # fmt: skip
        ringing: dict[str, Any] = {"drive_rear_right": lambda t, s=share: 0.12 * s * np.sign(np.sin(500.0 * t) + 1e-9)}  # fmt: skip
        level = recording(0.06, **calm, **ringing)
        deviation = level["drive_rear_right"].std()
        assert control.must_cut(level) is bool(deviation > 0.12)
    assert control.must_cut(recording(0.06, load_n=0.0))
    assert not control.must_cut(recording(0.06, **calm))


def test_by_corner_says_which_way():
    held = recording(
        1.0,
        roll_rad=np.radians(2.0),
        pitch_rad=np.radians(-3.0),
        drive_front_left=0.5,
        drive_front_right=0.3,
        drive_rear_right=0.6,
        drive_rear_left=0.2,
        speed_rear_left_rad_s=100.0 * np.pi,
    )
    values = legs.by_corner(held, ("front_right", "rear_left"))
    assert values["lean_right_deg"] == pytest.approx(2.0)
    assert values["lean_back_deg"] == pytest.approx(-3.0)
    assert values["yaw_command_share"] == pytest.approx((0.5 - 0.3 + 0.6 - 0.2) / 4.0)
    other = legs.by_corner(held, ("front_left", "rear_right"))  # it is these that slow down
    assert other["yaw_command_share"] == pytest.approx(-values["yaw_command_share"])
    assert values["rear_right_command_share"] == pytest.approx(0.6)
    assert values["rear_left_rotor_rpm"] == pytest.approx(3000.0)


def test_dips_and_jitter_of_a_speed():
    speed = np.full(1000, 700.0)
    assert motors.usual(speed) == 700.0
    assert motors.dips(speed) == 0
    for start in (0, 200, 500, 990):
        speed[start : start + 8] = 0.84 * 700.0
    assert motors.dips(speed) == 4
    speed[200:208] = 0.86 * 700.0  # not so deep as to be heard
    assert motors.dips(speed) == 3
    rng = np.random.default_rng(4)
    jittery = 700.0 * (1.0 + 0.01 * rng.standard_normal(4000))
    jittery[100:140] = 300.0  # a dip does not count as jitter
    assert motors.unsteady(jittery) == pytest.approx(0.01, rel=0.06)
    assert motors.unsteady(np.full(10, 0.5)) == 0.0


def test_what_comes_once_a_turn_is_told_from_the_rest():
    turning = 446.0 * np.pi / 2.0  # rad/s; a whole number of turns, 701 rad/s, in the four seconds
    both = recording(
        4.0,
        0.001,
        accel_x_m_s2=lambda t: 0.3 * np.cos(turning * t) + 0.5 * np.cos(800.0 * t),
        accel_y_m_s2=lambda t: 0.3 * np.sin(turning * t),
    )
    assert motors.once_a_turn_m_s2(both, turning) == pytest.approx(0.3, rel=0.01)
    assert motors.once_a_turn_m_s2(both, 720.0) == pytest.approx(0.3, rel=0.01)  # within 4 %
    # 4 % of 729.5 rad/s reaches down to its peak, 4 % of 730.5 to the flank, half as high
    assert motors.once_a_turn_m_s2(both, 729.5) == pytest.approx(0.3, rel=0.01)
    assert motors.once_a_turn_m_s2(both, 730.5) == pytest.approx(0.15, rel=0.05)
    assert motors.once_a_turn_m_s2(both, 735.0) == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(
    ("supply_v", "extra_v", "extra_a", "rail"),
    [
        (12.0, 0.0, 0.0, 5.05 - 0.15 * 0.35),
        (12.0, 0.0, 0.5, 5.05 - 0.15 * 0.85),
        (12.0, 3.0, 0.0, 5.05 - 0.15 * 0.35 - 0.03),
        (5.2, 0.0, 0.0, 4.7),  # a tenth below the 5.3 V it needs for 4.8
        (0.2, 0.0, 0.0, 0.0),
    ],
)
def test_the_rail_gives_with_load_and_drops_out(world, craft, supply_v, extra_v, extra_a, rail):
    leads = world.build.leads.model_copy(
        update={"regulator_extra_v": extra_v, "avionics_extra_a": extra_a}
    )
    drawn = craft.pack._replace(avionics_a=0.35 + extra_a, sag_limit_v=5.3)
    assert supply.rail_v(supply_v, leads, drawn) == pytest.approx(rail)


def test_a_stick_is_moved_alone():
    for position, throttle in ((-1.0, 0.0), (0.0, 0.5), (1.0, 1.0)):
        assert link._moved("throttle", position)[:4] == (0.0, 0.0, throttle, 0.0)
        assert link._moved("yaw", position)[:4] == (0.0, 0.0, 0.0, position)
        assert link._moved("roll", position)[:4] == (position, 0.0, 0.0, 0.0)


REACH_MM, SPAN_MM = 1000.0 * reach_m(DESIGN), 1000.0 * DESIGN.propeller.diameter_m
LEFT_G_MM = DESIGN.propeller.unbalance_g_mm
ERRORS = {  # of eye, ruler, scales and fingers: one sigma, and the step of the scale
    "look-and-tug": {
        "pack_slides_mm": (0.0044 * REACH_MM, 0.5),
        "arm_play_mm": (0.06, 0.05),
        "board_play_mm": (0.1, 0.05),
        "rear_left_bell_off_square_deg": (0.25, 0.25),
    },
    "propellers-in-hand": {
        "rear_left_heavy_side_g_mm": (0.24 * LEFT_G_MM, 0.2 * LEFT_G_MM),
        "rear_left_span_mm": (0.0028 * SPAN_MM, 1.0),
        "rear_left_clear_mm": (2.0, 1.0),
    },
    "people-and-room": {
        "abort_try_s": (0.08, 0.1),
        "ceiling_m": (0.01, 0.01),
        "nearest_wall_m": (0.01, 0.01),
        "ribbon_deg": (2.0, 1.0),
    },
    "weigh-and-balance": {
        "mass_kg": (0.002 * DESIGN.mass_kg, 0.005),
        "heavy_forward_mm": (0.0038 * REACH_MM, 0.5),
        "heavy_right_mm": (0.0038 * REACH_MM, 0.5),
        "rocks_mm": (2.5 * DESIGN.frame.foot_down_m, 0.5),
        "stands_off_level_deg": (0.1, 0.1),
    },
    "pad-survey": {"field_standing_ut": (0.35, 0.1), "field_lifted_ut": (0.35, 0.1)},
    "pack-at-rest": {"cell_1_v": (0.005, 0.002), "cell_3_v": (0.005, 0.002)},
    "restrained-run-up": {"current_a": (0.1, 0.1), "heading_swing_deg": (0.3, 0.1)},
    "first-power": {"idle_current_a": (0.02, 0.01)},
    "rails": {
        "rail_all_on_v": (0.02, 0.01),
        "rail_lowest_v": (0.02, 0.01),
        "supply_lowest_v": (0.05, 0.01),
    },
    "breath-and-torch": {"height_change_m": (0.01, 0.01)},
    "compass-ramp": {"current_a": (0.1, 0.1)},
    "level-and-still": {
        "roll_ahead_deg": (0.05, 0.05),
        "pitch_turned_deg": (0.05, 0.05),
        "rate_ahead_deg_s": (0.01, 0.01),
        "crept_deg": (0.05, 0.05),
    },
    "pad-look": {
        "roll_deg": (0.05, 0.05),
        "heading_deg": (0.3, 0.05),
        "rate_deg_s": (0.01, 0.01),
    },
    "heading-marks": {"north_off_deg": (0.5, 0.1), "west_field_ut": (0.35, 0.1)},
    "field-turn": {"smallest_ut": (0.35, 0.1), "largest_ut": (0.35, 0.1)},
    "six-faces": {"level_m_s2": (0.01, 0.01), "nose_up_m_s2": (0.01, 0.01)},
    "failsafe": {"stop_s": (0.1, 0.01)},
    "switches": {"stop_switch_s": (0.1, 0.01)},
    "stick-to-motor": {"roll_right_gain_rpm": (20.0, 10.0)},
    "tilt-while-armed": {"nose_down_front_left_rpm": (20.0, 10.0)},
    "touch-after": {"air_degc": (0.5, 0.5), "rear_left_drive_degc": (0.4, 0.5)},
    "one-motor": {
        "rear_left_start_us": (2.0, 1.0),
        "rear_left_no_load_a": (0.025, 0.01),
        "rear_left_coast_s": (0.04, 0.05),
        "rear_left_unsteady_share": (0.0015, 0.0005),
        "rear_left_shake_m_s2": (0.006, 0.001),
    },
    "ramp-and-snap": {"rear_left_unsteady_share": (0.0015, 0.0005)},
    "light-on-legs": {"throttle_share": (0.003, 0.001), "shake_m_s2": (0.004, 0.001)},
}


@pytest.mark.parametrize("check", ERRORS)
def test_how_well_each_thing_is_seen(world, ready, monkeypatch, check):
    rig = ready(world, CHECKS[check])
    for i in (0, 1):
        for module in MODULES:
            if hasattr(module, "read_off"):
                monkeypatch.setattr(module, "read_off", lambda rng, value, *error, i=i: error[i])
        values = CHECKS[check].take(rig).values
        assert {key: values[key] for key in ERRORS[check]} == pytest.approx(
            {key: pair[i] for key, pair in ERRORS[check].items()}
        )


@pytest.mark.parametrize(("name", "play_mm"), [("indoor-57mm", 1.925), ("heavy-381mm", 0.3234)])
def test_hands_flex_a_short_arm_further_at_the_same_frequency(monkeypatch, name, play_mm):
    """By hand: 0.05 + 105/(40^2 d) mm, rotors 35 and 240 mm from the middle."""
    monkeypatch.setattr(frame, "read_off", lambda rng, value, *error: value)
    craft = library.airframe(name)
    loose = with_value(world_of(craft), "build.frame.loose_arm_hz", 40.0)
    values = CHECKS["look-and-tug"].take(Rig(loose, 1)).values
    assert values["arm_play_mm"] == pytest.approx(play_mm, rel=1e-3)
    mount = with_value(world_of(craft), "build.sensors.loose_mount_hz", 40.0)
    values = CHECKS["look-and-tug"].take(Rig(mount, 1)).values
    assert values["board_play_mm"] == pytest.approx(0.4875, rel=1e-9)  # a board is a board


@pytest.mark.parametrize(
    ("size", "step"), [(0.06, 0.00005), (1.5, 0.005), (4.5, 0.005), (57.0, 0.05), (254.0, 0.5)]
)
def test_who_measures_a_small_thing_takes_a_finer_scale(size, step):
    assert half_step(size) == pytest.approx(step)


def test_fingers_judge_a_grip_to_a_sixth_of_what_they_feel():
    rng = np.random.default_rng(4)
    seen = np.array([frame._grip_n_m(rng, 0.1, 0.25) for _ in range(4000)])
    assert seen.mean() == pytest.approx(0.1, abs=0.002)
    assert seen.std() == pytest.approx(0.1 / 6.0, rel=0.04)
    firm = [frame._grip_n_m(rng, None, 0.00312) for _ in range(200)]
    assert max(firm) == 0.0031  # two digits are said
    assert min(firm) < 0.0025


def test_a_reading_is_a_normal_error_in_steps_of_the_scale():
    rng = np.random.default_rng(3)
    seen = np.array([read_off(rng, 5.0, 0.4, 0.25) for _ in range(4000)])
    assert np.all(seen % 0.25 == 0.0)
    assert seen.mean() == pytest.approx(5.0, abs=0.02)
    assert seen.std() == pytest.approx(np.hypot(0.4, 0.25 / np.sqrt(12.0)), rel=0.04)
    assert min(read_off(rng, 0.0, 0.4, 0.25, 0.0) for _ in range(100)) == 0.0


class Sure:
    """Chance that always errs by one sigma, and never overlooks or imagines anything."""

    def standard_normal(self) -> float:
        return 1.0

    def random(self) -> float:
        return 0.5


def test_what_is_told_of_a_motor_driven_alone():
    """700 rad/s for four tenths of the time, out of step in the rest; errors of one sigma each."""
    steady = np.arange(2000) % 5 < 2
    run = recording(
        4.0,
        speed_rear_right_rad_s=np.where(steady, 700.0, 200.0),
        shown_pack_a=np.where(steady, 0.65, 5.0),
    )
    coast = recording(4.0, speed_rear_right_rad_s=lambda t: np.maximum(0.0, 700.0 * (1.0 - t)))
    alone = motors.Alone("rear_right", 0.044, run, coast, standing_a=0.35)
    rig = SimpleNamespace(
        craft=SimpleNamespace(rotors=[SimpleNamespace(spin=s) for s in (1, 1, -1, 1)]),
        world=SimpleNamespace(airframe=SimpleNamespace(clockwise=("rear_right",))),
    )
    told = motors._told(Sure(), rig, alone)  # type: ignore[arg-type]
    assert told["turns_corner"] == 3.0
    assert told["turns_sign"] == -1.0
    assert told["start_us"] == pytest.approx(1044.0 + 2.0)
    # 6684.5 rpm and 0.4 % more, to ten
    assert told["speed_rpm"] == pytest.approx(6710.0)
    assert told["no_load_a"] == pytest.approx(0.325, abs=0.0051)  # a hundredth is the step
    assert told["coast_s"] == pytest.approx(0.95)  # a tenth is left after 0.902, and 0.04 more
    assert told["dips_count"] == 400.0
    assert told["unsteady_share"] == pytest.approx(0.0015)


def test_an_output_that_turns_nothing_tells_nothing():
    slow = recording(1.0, speed_rear_left_rad_s=24.0, shown_pack_a=0.4)
    alone = motors.Alone("rear_left", 0.14, slow, slow, standing_a=0.35)
    assert set(motors._told(Sure(), None, alone).values()) == {0.0}  # type: ignore[arg-type]


POSES: dict[str, list[tuple[Any, Any, Any]]] = {  # what the hands are asked for: roll, pitch, heading in deg
    "hand-tilt": [(0, 0, 0), (0, -30, 0), (0, 0, 0), (30, 0, 0), (0, 0, 0), (0, 0, 45), (0, 0, 0)],
    "heading-marks": [(0, 0, 0), (0, 0, 90), (0, 0, 180), (0, 0, -90), (0, 0, 0)],
    "field-turn": [(0, 0, 30 * k) for k in range(13)],
    "six-faces": [(0, 0, 0), (-90, 0, 0), (90, 0, 0), (0, -90, 0), (0, 90, 0), (180, 0, 0), (0, 0, 0)],
    "tilt-while-armed": [(0, 0, 0), (15, 0, 0), (0, 0, 0), (0, -15, 0), (0, 0, 0), (0, 0, 20), (0, 0, 0)],
    "idle-creep": [(4, 0, 0), (0, 0, 0)],
    "switches": [(40, 0, None), (0, 0, None)],  # at the heading it has
}  # fmt: skip


@pytest.mark.parametrize("check", POSES)
def test_the_hands_turn_it_as_the_check_says(world, ready, monkeypatch, check):
    asked = []
    turn = Rig.turn

    def noted(rig, *pose):
        asked.append(pose)
        return turn(rig, *pose)

    rig = ready(world, CHECKS[check])
    monkeypatch.setattr(Rig, "turn", noted)
    CHECKS[check].take(rig)
    assert len(asked) == len(POSES[check])
    for pose, expected in zip(asked, POSES[check], strict=True):
        for angle, wanted in zip(pose, expected, strict=True):
            assert wanted is None or angle == wanted


SECONDS = {  # what each step takes, as the check's own text and constants say, in s
    "breath-and-torch": 3.0 + 3.0,
    "warm-creep": 4.0 + 180.0 + 4.0,
    "pad-look": 8.0 + 2.0,
    "level-and-still": 2.0 * (8.0 + 4.0) + 8.0,
    "compass-ramp": 0.1 + 2.0 + 10 * 0.1 + 6.0 + 2.0 + 1.0,
    "restrained-run-up": 0.5 + 0.1 + 19 * 0.05 + 6.0 + 1.0,
    "steady-throttle": 0.1 + 1.5 + 3.0 + 1.0,
    "range-walk": 4 * 3.0 + 0.2,
    "stick-display": 13 * 0.1,
    "voltage-and-alarm": 1.0,
    "board-touch": 0.0,
}


@pytest.mark.parametrize("check", SECONDS)
def test_a_check_takes_its_time(world, ready, check):
    rig = ready(world, CHECKS[check])
    before = rig.time_s
    CHECKS[check].take(rig)
    # s; running down is looked at each half second and takes one look or two
    slack = 0.5 if check in ("compass-ramp", "restrained-run-up", "steady-throttle") else 0.0
    assert rig.time_s - before == pytest.approx(SECONDS[check], abs=slack + 1e-9)


def test_a_finger_feels_what_the_foam_gives(world, ready):
    """1.2 mm, judged to 15 % and 0.05 mm: over 900 touches the mean is within 3 sigma of 0.006."""
    rig = ready(world, CHECKS["board-touch"])
    felt = []
    for tick in range(900):
        rig.put("tick", 10_000 + tick)
        felt.append(CHECKS["board-touch"].take(rig).values["give_mm"])
    assert np.mean(felt) == pytest.approx(1.2, abs=0.02)
    assert np.std(felt) == pytest.approx(np.hypot(0.18, 0.05), rel=0.08)
    assert np.allclose(np.round(felt, 1), felt, atol=1e-12)


def test_the_throttle_is_raised_half_way_before_arming_is_tried(world, ready, monkeypatch):
    tried = []

    def asked(rig, sticks=HANDS_OFF):
        tried.append(sticks)
        return ["No."]

    monkeypatch.setattr(link, "reasons_not_to_arm", asked)
    rig = ready(world, CHECKS["switches"])
    values = link.forbidden_cases(rig)
    assert [(s.throttle, s.stop) for s in tried] == [(0.5, 0.0), (0.0, 1.0), (0.0, 0.0), (0.0, 0.0)]
    assert set(values.values()) == {0.0}


def test_a_finger_and_a_meter_on_the_connector_err_as_they_do(world, ready):
    """One kelvin, 2 mV of which only the upper half is seen; 300 touches."""
    rig = ready(world, CHECKS["board-touch"])
    warmer, drop = [], []
    for tick in range(300):
        rig.put("tick", 10_000 + tick)
        told = pack.connector(rig, 12.0)
        warmer.append(told["connector_warmer_k"])
        drop.append(told["connector_drop_mv"])
    assert np.std(warmer) == pytest.approx(1.0, rel=0.13)  # 3 sigma
    assert np.mean(drop) == pytest.approx(2.0 / np.sqrt(2.0 * np.pi), rel=0.3)
    assert min(drop) == 0.0


def test_a_finger_errs_alike_on_all_four_drives(world, ready):
    """2 K for the day's finger, 0.4 K more from drive to drive; 300 touches, three sigma."""
    rig = ready(world, CHECKS["touch-after"])
    felt = []
    for tick in range(300):
        rig.put("tick", 10_000 + tick)
        values = CHECKS["touch-after"].take(rig).values
        felt.append([values[f"{place}_drive_degc"] for place in PLACES])
    assert np.std(felt, axis=0) == pytest.approx([np.hypot(2.0, 0.4)] * 4, rel=0.13)
    assert np.std(np.diff(felt), axis=0) == pytest.approx(
        [np.sqrt(2.0 * (0.4**2 + 0.5**2 / 12.0))] * 3, rel=0.15
    )


def test_what_is_said_beside_the_numbers(world, ready):
    def notes(check, key="", value=None):
        changed = with_value(world, key, value) if key else world
        return " ".join(CHECKS[check].take(ready(changed, CHECKS[check])).notes)

    assert "No dents, no smell." in notes("pack-at-rest")
    assert "bulges" in notes("pack-at-rest", "build.pack.swollen", True)
    turning = notes("one-motor")
    assert "front_left: the front left bell turns." in turning
    assert "no bell" not in turning
    assert "front_left: no bell turns." in notes(
        "one-motor", "build.rotors.front_left.output", "rear_left"
    )
    assert "lights come on" in notes("first-power")
    assert "No light" in notes("first-power", "build.leads.destroyed", True)
    assert "wrong way" in notes("first-power", "build.leads.polarity_right", False)


def test_the_needle_shows_the_sign_of_a_reversed_lead(world, ready):
    check = CHECKS["first-power"]
    values = check.take(ready(with_value(world, "build.leads.polarity_right", False), check)).values
    assert values["meter_v"] == pytest.approx(-12.49, abs=0.04)
    assert "idle_current_a" not in values


def test_a_swing_is_counted_from_where_the_heading_stood(world, ready):
    check = CHECKS["restrained-run-up"]
    turned = with_value(world, "build.sensors.compass_turn_deg", 90.0)
    values = check.take(ready(turned, check)).values
    assert values["heading_swing_deg"] == pytest.approx(0.0, abs=3.0)


def test_every_frame_that_comes_is_counted(world, ready):
    """A sound link loses none: 300 of 300, one each 10 ms."""
    lost, gap_s = range_walk._frames(ready(world, CHECKS["range-walk"]))
    assert lost == pytest.approx(0.0, abs=1e-12)
    assert gap_s == pytest.approx(0.01, abs=0.005)
