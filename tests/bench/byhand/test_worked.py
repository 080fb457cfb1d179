"""Checks worked by a stand-in's hands read what the automatic ones do, and no more than was done."""

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from sim.aircraft.fields import PLACES
from sim.bench.check import sticks
from sim.bench.checklist import CHECKS
from sim.bench.checks.motors import CHOP_S
from sim.bench.checks.motors import RUN_COMMAND as RUN
from sim.bench.evidence import measured
from sim.bench.inputs import ALL, Inputs, Slider, Turning
from sim.bench.reading import Reading
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import CheckKey, FaultId
from sim.session import actions as act
from sim.trainees.byhand import motors, throttled, turned, walked
from sim.trainees.byhand.hold import pose
from sim.trainees.byhand.routine import still
from tests.bench.byhand.at_rig import AtRig, brought, worked
from tests.bench.checks.steady import steadied
from tests.worlds import TRAINER, ready_on_pad

ROUTINES = {**turned.ROUTINES, **motors.ROUTINES, **throttled.ROUTINES, **walked.ROUTINES}
SEVERITY = 0.7

# How far one reading by hand may lie from the automatic one, eyes that do not err: what tremor,
# where in time a look falls and how finely a needle is read make of it, measured over three seeds.
# By end of the line: (absolute, of the value).
APART: dict[CheckKey, dict[str, tuple[float, float]]] = {
    "heading-marks": {"off_deg": (0.5, 0.15), "field_ut": (0.4, 0.0), "told_deg": (0.0, 0.0)},
    "field-turn": {"_ut": (0.2, 0.0)},
    "six-faces": {"m_s2": (0.03, 0.01)},
    "level-and-still": {"deg": (0.11, 0.0), "deg_s": (0.04, 0.02)},
    "pad-look": {"deg": (0.15, 0.0), "deg_s": (0.03, 0.0)},
    "one-motor": {
        "shake_m_s2": (0.004, 0.03),
        "rpm": (20.0, 0.0),
        "start_us": (4.0, 0.0),
        "no_load_a": (0.02, 0.0),
        "coast_s": (0.05, 0.2),
        "share": (0.0006, 0.0),
        "dips_count": (0.0, 0.5),
        "": (0.0, 0.0),
    },
    "ramp-and-snap": {
        "stops_count": (4.0, 0.0),
        "misses_count": (4.0, 0.0),
        "slowest_rpm": (60.0, 0.0),
        "fastest_rpm": (500.0, 0.0),
        "speed_rpm": (20.0, 0.0),
        "share": (0.0006, 0.0),
        "": (0.0, 0.0),
    },
    "steady-throttle": {"share": (0.0004, 0.1)},
    "idle-creep": {"share": (0.015, 0.12)},
    "compass-ramp": {
        "current_a": (0.11, 0.0),
        "ut_a": (0.03, 0.07),
        "hover_heading_deg": (1.0, 0.1),
    },
    "restrained-run-up": {
        "v_cell": (0.006, 0.0),
        "current_a": (0.11, 0.0),
        "rpm": (30.0, 0.0),
        "mohm_cell": (0.4, 0.0),
        "swing_deg": (0.3, 0.0),
        "drop_mv": (3.0, 0.0),
        "warmer_k": (0.5, 0.0),
    },
    "light-on-legs": {
        "ringing_share": (0.0002, 0.8),  # it grows until the hand cuts
        "ringing_hz": (30.0, 0.0),  # of silence no tone can be told
        "throttle_share": (0.008, 0.0),
        "height_jump_m": (0.1, 0.0),  # gusts on the barometer
        "lean_deg": (0.25, 0.3),  # its own wash leans it by tenths, now this way, now that
        "_deg": (1.2, 0.0),
        "share": (0.06, 0.0),  # of one that rings, where in its cycle the hand cuts
        "rpm": (280.0, 0.0),  # a ringing one swings by a thousand; where in its cycle a look falls
        "shake_m_s2": (0.006, 0.25),  # a ringing one shakes the more the longer it has rung
        "v_cell": (0.035, 0.0),  # the pack falls with the time it is loaded
        "": (0.0, 0.0),
    },
    "range-walk": {"lost_share": (0.03, 0.12), "gap_s": (0.02, 1.0), "": (0.0, 0.0)},
}

CASES: list[tuple[CheckKey, FaultId | None]] = [
    *((check, None) for check in APART),
    ("heading-marks", "mag-hard-iron-offset"),
    ("field-turn", "mag-soft-iron"),
    ("six-faces", "accel-cal-bad"),
    ("level-and-still", "level-trim-off"),
    ("level-and-still", "gyro-bias-moved"),
    ("pad-look", "floor-steel"),
    ("one-motor", "motor-order-swapped"),
    ("one-motor", "motor-weak-or-shorted"),
    ("one-motor", "phase-joint-bad"),
    ("ramp-and-snap", "idle-too-high"),
    ("ramp-and-snap", "drive-desync"),
    ("ramp-and-snap", "regulator-brownout"),
    ("steady-throttle", "damping-gain-high"),
    ("idle-creep", "integral-windup-on-pad"),
    ("compass-ramp", "mag-current-coupling"),
    ("restrained-run-up", "pack-high-resistance"),
    ("restrained-run-up", "connector-high-resistance"),
    ("light-on-legs", "rate-gain-high"),
    ("light-on-legs", "over-mass"),
    ("light-on-legs", "prop-size-mismatch"),
    ("range-walk", "aerial-damaged"),
]


@pytest.fixture(autouse=True)
def _steady(monkeypatch):
    steadied(monkeypatch)


def faulty(fault: FaultId | None, seed: int = 1):
    world = ready_on_pad()
    if fault is None:
        return world
    return CATALOGUE[fault].inject(world, SEVERITY, np.random.default_rng(seed))


def apart(check: CheckKey, line: str, value: float) -> float:
    """How far a line may differ; the longest fitting end of its name counts."""
    ends = [end for end in APART[check] if line.endswith(end)]
    fixed, share = APART[check][max(ends, key=len)]
    return fixed + share * abs(value)


def called(fault: FaultId, check: CheckKey, reading: Reading) -> bool:
    """Tell whether the careful call the fault on some line of a reading."""
    table = measured(TRAINER)
    return any(table.past_limit(fault, check, reading.values, line) for line in reading.values)


@pytest.mark.parametrize(("check", "fault"), CASES)
def test_by_hand_reads_what_the_check_reads(check, fault):
    automatic = CHECKS[check].take(brought(faulty(fault), check))
    by_hand = worked(brought(faulty(fault), check), check, ROUTINES[check])
    assert by_hand.missing == ()
    assert set(by_hand.values) == set(automatic.values)
    assert by_hand.check == check
    off = {
        line: (by_hand.values[line], value)
        for line, value in automatic.values.items()
        if abs(by_hand.values[line] - value) > apart(check, line, value) + 1e-9
    }
    assert not off
    if fault is not None:
        assert called(fault, check, automatic) == called(fault, check, by_hand)


@pytest.mark.parametrize(
    "fault",
    ["level-trim-off", "cg-offset", "motor-spin-reversed", "prop-upside-down", "tilt-limit-wild",
     "sensor-mount-loose", "yaw-mix-sign-wrong"],
)  # fmt: skip
def test_what_makes_a_hand_cut_is_called_by_hand_too(fault):
    """The very moment of a cut differs, and what is read of it; what it is called does not."""
    automatic = CHECKS["light-on-legs"].take(brought(faulty(fault), "light-on-legs"))
    rig = brought(faulty(fault), "light-on-legs")
    by_hand = worked(rig, "light-on-legs", ROUTINES["light-on-legs"])
    assert called(fault, "light-on-legs", automatic)
    assert called(fault, "light-on-legs", by_hand)
    assert by_hand.values["cut_count"] == automatic.values["cut_count"] == 1.0


def read_of(check: CheckKey, routine: Callable[[Any], None]) -> Reading:
    return worked(brought(ready_on_pad(), check), check, routine)


@pytest.mark.parametrize("check", [*APART])
def test_nothing_done_is_refused_with_what_to_do(check):
    def idle(at: AtRig) -> None:
        if check in ("level-and-still", "pad-look"):
            still(at, 0.5)  # too short to be a look
        elif check != "heading-marks" and check != "six-faces":
            still(at, 3.0)
        else:
            at.fly(Inputs(sticks(), Turning(0.3, 0.3, 0.3)), 3.0)

    with pytest.raises(Refusal) as refusal:
        read_of(check, idle)
    assert refusal.value.reasons <= {"moved", "held_still"}
    assert len(str(refusal.value)) > 40


def test_three_marks_are_three_marks_lines():
    def three(at: AtRig) -> None:
        for mark in (0.0, 90.0, 180.0):
            pose(at, 0.0, 0.0, mark)
            still(at, 2.0)

    reading = read_of("heading-marks", three)
    assert set(reading.missing) == {"west_off_deg", "west_field_ut"}
    assert {"north_off_deg", "east_off_deg", "south_off_deg"} <= set(reading.values)
    assert not set(reading.missing) & set(reading.values)


def test_a_mark_passed_by_is_not_read_and_a_nose_a_little_off_is_allowed_for():
    def passing(at: AtRig) -> None:
        pose(at, 0.0, 0.0, 7.0)
        still(at, 8.0)
        at.fly(Inputs(sticks(), Turning(yaw=0.25)), 4.0)

    reading = read_of("heading-marks", passing)
    assert set(reading.values) == {"north_off_deg", "north_field_ut", "compass_turn_told_deg"}
    assert reading.values["north_off_deg"] == pytest.approx(0.0, abs=1.5)


def test_half_a_turn_tells_smallest_and_largest_of_that_half():
    def half(at: AtRig) -> None:
        at.fly(Inputs(sticks(), Turning(yaw=0.25)), 8.0)

    reading = read_of("field-turn", half)
    assert reading.missing == ("once_a_turn_ut", "twice_a_turn_ut")
    assert reading.values["largest_ut"] >= reading.values["smallest_ut"]
    (trace,) = reading.series.values()
    assert 6 <= len(trace.x) <= 8


def test_a_turn_on_its_side_is_no_level_turn():
    def askew(at: AtRig) -> None:
        pose(at, 45.0, 0.0)
        at.fly(Inputs(sticks(), Turning(yaw=0.25)), 16.5)

    with pytest.raises(Refusal):
        read_of("field-turn", askew)


def test_two_faces_are_two_lines():
    def two(at: AtRig) -> None:
        still(at, 2.0)
        pose(at, 0.0, 90.0)
        still(at, 2.0)
        pose(at, 45.0, 0.0)
        still(at, 2.0)  # between two faces: neither

    reading = read_of("six-faces", two)
    assert set(reading.values) == {"level_m_s2", "nose_up_m_s2"}
    assert len(reading.missing) == 4


def test_one_way_round_tells_nothing_of_the_other():
    reading = read_of("level-and-still", lambda at: still(at, 12.5))
    assert set(reading.missing) == {"roll_turned_deg", "pitch_turned_deg", "rate_turned_deg_s"}
    assert "roll_ahead_deg" in reading.values
    assert "crept_deg" in reading.values


def test_one_motor_of_four_is_its_lines():
    def one(at: AtRig) -> None:
        still(at, 0.5)
        for command in np.arange(0.02, 0.14, 0.004):
            motors.slide(at, Slider("rear_right", float(command)), 0.15)
            if at.see().aircraft.rotors_turning:
                break
        motors.slide(at, Slider("rear_right", RUN), 5.0)
        still(at, 4.2)

    reading = read_of("one-motor", one)
    assert all(line.startswith("rear_right_") for line in reading.values)
    assert len(reading.values) == 10
    assert len(reading.missing) == 30
    assert reading.values["rear_right_turns_corner"] == 3.0


def test_a_slider_pushed_up_at_once_does_not_tell_where_it_starts():
    def rough(at: AtRig) -> None:
        still(at, 0.5)
        motors.slide(at, Slider("front_left", RUN), 2.0)

    reading = read_of("one-motor", rough)
    assert "front_left_start_us" in reading.missing
    assert "front_left_coast_s" in reading.missing
    assert reading.values["front_left_turns_corner"] == 1.0
    assert "front_left_speed_rpm" in reading.values


def test_a_motor_that_only_just_turned_tells_which_and_which_way():
    def barely(at: AtRig) -> None:
        still(at, 0.5)
        motors.slide(at, Slider("front_left", 0.2), 1.0)

    reading = read_of("one-motor", barely)
    assert set(reading.values) == {
        f"front_left_{line}" for line in ("turns_corner", "turns_sign", "arrow_sign")
    }


def test_a_motor_pushed_up_slowly_and_no_further_tells_where_it_starts_too():
    def barely(at: AtRig) -> None:
        still(at, 0.5)
        for command in np.arange(0.02, 0.14, 0.004):
            motors.slide(at, Slider("front_left", float(command)), 0.15)
            if at.see().aircraft.rotors_turning:
                break

    reading = read_of("one-motor", barely)
    assert {"front_left_start_us", "front_left_turns_corner"} <= set(reading.values)
    assert "front_left_speed_rpm" in reading.missing


def test_a_run_down_ends_where_the_slider_is_pushed_again():
    def twice(at: AtRig) -> None:
        still(at, 0.5)
        motors.slide(at, Slider("front_left", RUN), 5.0)
        still(at, 0.15)  # s; it turns on for longer
        motors.slide(at, Slider("front_left", 0.3), 0.3)
        still(at, 4.0)

    reading = read_of("one-motor", twice)
    assert "front_left_speed_rpm" in reading.values
    assert "front_left_coast_s" in reading.missing


def test_a_look_of_half_a_second_at_the_meters_is_a_look():
    def run_up(at: AtRig, look_s: float) -> None:
        at.do(act.Arm())
        at.do(act.Disarm())  # what was before is no look at rest
        still(at, look_s)
        at.do(act.Arm())
        at.fly(sticks(at.sheet.hover_throttle), 3.0)
        at.do(act.Disarm())

    assert "rest_v_cell" in read_of("restrained-run-up", lambda at: run_up(at, 0.5)).values
    with pytest.raises(Refusal):
        read_of("restrained-run-up", lambda at: run_up(at, 0.3))


def chop(at: AtRig, times: int) -> None:
    still(at, 0.1)
    at.do(act.Arm())
    for _ in range(times):
        at.fly(sticks(0.3), 0.3)
        at.fly(sticks(), CHOP_S + 0.02)
    at.do(act.Disarm())


def test_few_chops_tell_the_idle_speed_and_no_count():
    reading = read_of("ramp-and-snap", lambda at: chop(at, 4))
    assert set(reading.values) == {"idle_slowest_rpm", "idle_fastest_rpm", "idle_set_us"}
    ten = read_of("ramp-and-snap", lambda at: chop(at, 10))
    assert {f"{place}_stops_count" for place in PLACES} <= set(ten.values)


def test_what_stops_in_few_chops_is_told_at_once():
    world = CATALOGUE["idle-too-low"].inject(ready_on_pad(), 1.0, np.random.default_rng(1))
    rig = brought(world, "ramp-and-snap")
    reading = worked(rig, "ramp-and-snap", lambda at: chop(at, 4))
    stops = [n for line, n in reading.values.items() if line.endswith("stops_count")]
    assert stops
    assert all(1.0 <= n <= 4.0 for n in stops)


def test_the_hold_alone_and_nineteen_snaps():
    def held(at: AtRig) -> None:
        motors.slide(at, Slider(ALL, 0.3), 4.7)
        for _ in range(19):
            motors.slide(at, Slider(ALL, 0.1), 0.25)
            motors.slide(at, Slider(ALL, 0.8), 0.4)
        still(at, 1.0)

    reading = read_of("ramp-and-snap", held)
    ends = {line.removeprefix(f"{place}_") for place in PLACES for line in reading.values}
    assert {"speed_rpm", "unsteady_share", "dips_count"} <= ends
    assert "front_left_misses_count" in reading.missing
    assert "front_left_stops_count" in reading.missing
    assert "restarts_count" in reading.missing


def test_a_short_creep_tells_how_it_began():
    def short(at: AtRig) -> None:
        pose(at, 4.0, 0.0)
        at.do(act.Arm())
        at.fly(sticks(), 10.0)
        at.do(act.Disarm())

    reading = read_of("idle-creep", short)
    assert set(reading.values) == {"early_spread_share"}
    assert reading.missing == ("late_spread_share",)


def test_a_short_run_up_tells_current_and_speeds():
    def short(at: AtRig) -> None:
        still(at, 1.0)
        at.do(act.Arm())
        at.fly(sticks(at.sheet.hover_throttle), 3.0)
        at.fly(sticks(), 0.3)
        at.do(act.Disarm())

    reading = read_of("restrained-run-up", short)
    assert "drop_v_cell" in reading.missing
    assert reading.values["current_a"] == pytest.approx(12.25, abs=0.5)
    whole = read_of("restrained-run-up", throttled.ROUTINES["restrained-run-up"])
    assert whole.missing == ()


@pytest.mark.parametrize(("throttle", "told"), [(0.31, True), (0.33, False)])
def test_a_steady_stick_is_at_its_mark(throttle, told):
    def held(at: AtRig) -> None:
        still(at, 0.1)
        at.do(act.Arm())
        at.fly(sticks(throttle), 5.0)
        at.fly(sticks(), 0.3)
        at.do(act.Disarm())

    if told:
        assert len(read_of("steady-throttle", held).values) == 4
    else:
        with pytest.raises(Refusal):
            read_of("steady-throttle", held)


def lift_to(at: AtRig, throttle: float, seconds: float) -> None:
    still(at, 0.5)
    at.do(act.Arm())
    for share in np.arange(0.1, throttle, 0.004):
        at.fly(sticks(float(share)), 0.05)
    at.fly(sticks(throttle), seconds)
    at.fly(sticks(), 0.3)
    at.do(act.Disarm())


def test_untapped_it_does_not_say_whether_it_rings():
    reading = read_of("light-on-legs", lambda at: lift_to(at, 0.436, 2.5))
    assert set(reading.missing) == {"ringing_share", "ringing_hz", "lean_deg"}
    assert "tapped" in reading.notes[0]
    short = read_of("light-on-legs", lambda at: lift_to(at, 0.436, 0.5))
    assert set(short.missing) > {"shake_m_s2", "loaded_v_cell"}
    assert "throttle_share" in short.values


def test_heavy_on_the_legs_is_not_light():
    with pytest.raises(Refusal, match="light"):
        read_of("light-on-legs", lambda at: lift_to(at, 0.38, 2.5))


def test_bars_that_nobody_moves_tell_nothing_and_one_heading_tells_itself():
    def one(at: AtRig) -> None:
        still(at, 4.0)
        at.do(act.Turn(heading_deg=90.0))
        for _ in range(7):
            at.fly(sticks(roll=0.5), 0.25)
            at.fly(sticks(roll=-0.5), 0.25)

    reading = read_of("range-walk", one)
    assert {line for line in reading.values if "lost" in line} == {"right_lost_share"}
    assert len(reading.missing) == 6
