"""Where in a recording something was done: from rows to masks and spans."""

import numpy as np
import pytest

from sim.bench.byhand.spans import (
    between,
    calm,
    centred,
    falls,
    holds_from,
    lately,
    near,
    nose_near,
    rises,
    tilted_near,
)
from sim.bench.recorded import averaged
from sim.bench.rig import COLUMN, History
from sim.kernel.history import HISTORY
from sim.units import RAD_PER_DEG

STEP_S = 0.002


def recording(seconds: float, **columns) -> History:
    """Rows 2 ms apart; a column given as a number, or as a function of the time."""
    rows = np.zeros((round(seconds / STEP_S), len(HISTORY)))
    time_s = np.arange(len(rows)) * STEP_S
    rows[:, COLUMN["time_s"]] = time_s
    for name, value in columns.items():
        rows[:, COLUMN[name]] = value(time_s) if callable(value) else value
    return History(rows)


def test_a_mean_is_over_the_time_about_each_row():
    seen = recording(2.0, baro_m=lambda t: (t >= 1.0) * 1.0)
    mean = averaged(seen, seen["baro_m"], 0.5)
    assert mean[np.searchsorted(seen["time_s"], 0.70)] == 0.0
    assert mean[500] == pytest.approx(0.5, abs=0.01)
    assert mean[np.searchsorted(seen["time_s"], 1.30)] == 1.0


def test_a_mean_of_lately_knows_nothing_of_what_comes():
    seen = recording(2.0, baro_m=lambda t: (t >= 1.0) * 1.0)
    mean = lately(seen, seen["baro_m"], 0.5)
    assert mean[499] == 0.0
    assert mean[500 + 125 - 1] == pytest.approx(0.5, abs=0.005)
    assert mean[500 + 250] == 1.0
    assert lately(seen, np.ones(len(seen)), 0.5)[0] == 1.0


@pytest.mark.parametrize(("rate_deg_s", "still"), [(6.5, True), (7.5, False)])
@pytest.mark.parametrize("axis", ["roll", "pitch", "yaw"])
def test_held_still_is_slower_than_seven_degrees_a_second(axis, rate_deg_s, still):
    seen = recording(1.0, **{f"{axis}_rate_rad_s": -rate_deg_s * RAD_PER_DEG})
    assert calm(seen).all() == still


def test_a_tremor_is_still_and_a_slow_sway_is_not():
    tremor = recording(2.0, roll_rate_rad_s=lambda t: 0.5 * np.sin(2.0 * np.pi * 10.0 * t))
    sway = recording(4.0, roll_rate_rad_s=lambda t: 0.5 * np.sin(2.0 * np.pi * 0.5 * t))
    assert calm(tremor)[125:-125].all()
    assert not calm(sway).all()


@pytest.mark.parametrize(
    ("heading", "mark", "there"),
    [(8.0, 0.0, True), (12.0, 0.0, False), (-175.0, 180.0, True), (175.0, -180.0, True),
     (92.0, 90.0, True), (-92.0, 90.0, False)],
)  # fmt: skip
def test_a_nose_over_a_mark_all_round(heading, mark, there):
    seen = recording(0.01, heading_rad=heading * RAD_PER_DEG)
    assert nose_near(seen, mark, 10.0).all() == there


@pytest.mark.parametrize(
    ("pose", "face", "there"),
    [((0.0, 0.0), (0.0, 0.0), True), ((19.0, 0.0), (0.0, 0.0), True),
     ((21.0, 0.0), (0.0, 0.0), False), ((-90.0, 0.0), (-90.0, 0.0), True),
     ((90.0, 0.0), (-90.0, 0.0), False), ((0.0, 90.0), (0.0, 90.0), True),
     ((0.0, -90.0), (0.0, 90.0), False), ((180.0, 0.0), (0.0, 0.0), False),
     ((-180.0, 5.0), (180.0, 0.0), True)],
)  # fmt: skip
def test_a_face_is_told_by_where_down_is(pose, face, there):
    roll, pitch = pose
    seen = recording(0.01, roll_rad=roll * RAD_PER_DEG, pitch_rad=pitch * RAD_PER_DEG)
    assert tilted_near(seen, face[0], face[1], 20.0).all() == there


def test_a_thumb_off_the_sticks():
    assert centred(recording(0.01, stick_throttle=1.0, stick_roll=0.03)).all()
    for name in ("roll", "pitch", "yaw"):
        assert not centred(recording(0.01, **{f"stick_{name}": -0.04})).any()


def test_near_is_up_to_the_edge_on_both_sides():
    values = np.array([0.69, 0.71, 0.80, 0.90, 0.92])
    assert near(values, 0.8, 0.1).tolist() == [False, True, True, True, False]


def test_between_leaves_out_its_beginning():
    seen = recording(1.0)
    part = between(seen, 0.1, 0.2)
    assert part["time_s"][0] == pytest.approx(0.102)
    assert part["time_s"][-1] == pytest.approx(0.2)


def test_a_rise_is_from_low_all_the_way_to_high():
    values = np.array([0.0, 0.1, 0.5, 0.8, 0.5, 0.8, 0.1, 0.8, 0.9])
    assert rises(values, 0.1, 0.8) == [(1, 3), (6, 7)]
    assert falls(values, 0.8, 0.1) == [(5, 6)]
    assert rises(np.array([0.9, 0.9]), 0.1, 0.8) == []


def test_a_hold_is_cut_to_the_time_asked_and_none_if_shorter():
    seen = recording(1.0)
    held = seen["time_s"] < 0.6
    part = holds_from(seen, held, 50, 0.4)
    assert part is not None
    assert part["time_s"][[0, -1]] == pytest.approx([0.1, 0.5])
    assert holds_from(seen, held, 50, 0.55) is None
    assert holds_from(seen, np.ones(len(seen), bool), 400, 0.4) is None
