"""The independent model flies, and knows nothing of ours but names and the sheet."""

import ast
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sim.aircraft.fields import PLACES
from sim.faults.catalogue import CATALOGUE
from tests.reproduce.twin import craft
from tests.reproduce.twin.faults import FAULTS
from tests.reproduce.twin.recordings import Case, drawn, fly

MAY_IMPORT = {"sim.reproduce.channels", "sim.reproduce.recording"}
BRIEF = Case(seed=4, manoeuvre="takeoff")
FLIP = {"motor-order-swapped", "prop-wrong-hand", "motor-spin-reversed", "board-rotation-untold"}


@cache
def flight(case):
    return fly(case).recording


def test_it_takes_nothing_of_the_simulation_but_names_of_columns():
    for file in Path(craft.__file__).parent.glob("*.py"):
        if file.name.startswith("test_"):
            continue
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Import):
                assert not any(n.name.split(".")[0] == "sim" for n in node.names), file
            if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "sim":
                assert node.module in MAY_IMPORT, file


def test_its_faults_are_of_the_catalogue_and_of_every_kind_that_flies():
    assert len(FAULTS) >= 22
    assert set(FAULTS) <= set(CATALOGUE)
    families = {CATALOGUE[name].family for name in FAULTS}  # type: ignore[index]
    assert families == {"radio", "sensing", "control", "power", "airframe", "propulsion"}
    assert tuple(craft.PLACES) == PLACES


def test_standing_and_hovering_show_gravity_and_the_weight():
    kept = flight(BRIEF)
    standing, t = kept["time_s"] < 1.5, kept["time_s"]
    assert kept["accel_z_m_s2"][standing].mean() == pytest.approx(-9.81, abs=0.1)
    assert kept["field_z_ut"][standing].mean() == pytest.approx(45.0, abs=1.5)
    # thrust carries the weight: vertical speed at both ends of the flight's middle differs by
    # what gravity and the accelerometer do in between
    up = (t > 5.0) & (t < 6.5)
    climb = np.gradient(kept["height_m"], t)
    lift = -kept["accel_z_m_s2"][up] * np.cos(kept["roll_rad"][up]) * np.cos(kept["pitch_rad"][up])
    gained = np.sum(lift - 9.81) * 0.01
    smooth = np.convolve(climb, np.ones(20) / 20, mode="same")
    assert smooth[up][-1] - smooth[up][0] == pytest.approx(gained, abs=0.15)  # m/s; noise of 2 mm


def test_angles_are_the_sum_of_rates_and_signs_are_ours():
    kept = flight(Case(seed=4))
    t, air = kept["time_s"], (kept["time_s"] > 5.0) & (kept["time_s"] < 15.0)
    for axis, angle in (("roll", "roll_rad"), ("pitch", "pitch_rad"), ("yaw", "heading_rad")):
        turned = np.cumsum(kept[f"{axis}_rate_rad_s"]) * 0.01
        told = np.unwrap(kept[angle])
        middle = slice(np.flatnonzero(air)[0], np.flatnonzero(air)[-1])
        corr = np.corrcoef(np.diff(told[middle], n=1), kept[f"{axis}_rate_rad_s"][middle][1:])[0, 1]
        assert corr > 0.8, axis
        assert np.ptp((told - turned)[middle]) < 0.1, axis  # rad; small leans hardly mix the axes
        stick = kept[f"stick_{axis}"]
        begun = np.flatnonzero((stick[1:] > 0.3) & (stick[:-1] <= 0.3) & air[1:])
        later = np.concatenate([kept[f"{axis}_rate_rad_s"][b + 5 : b + 25] for b in begun])
        assert later.mean() > 0.1, axis  # rad/s; roll right, nose up and yaw right positive
    leaning = np.corrcoef(
        kept["roll_rad"][air], np.gradient(np.gradient(kept["east_m"], t), t)[air]
    )
    assert t[1] - t[0] == pytest.approx(0.01)
    assert leaning[0, 1] > 0.0  # a lean to the right drives it right


@pytest.mark.slow
@pytest.mark.parametrize("fault", ["", *FAULTS])
def test_every_fault_changes_the_flight_and_a_sound_one_is_flown_well(fault):
    case = Case(seed=8, fault=fault, severity=0.6)
    kept, sound = flight(case), flight(Case(seed=8))
    assert np.isfinite(kept.rows[:, :5]).all()
    tilt = np.degrees(np.hypot(kept["roll_rad"], kept["pitch_rad"]).max())
    if not fault:
        assert tilt < 15.0
        assert kept["time_s"][-1] > 20.0
        return
    n = min(len(kept.rows), len(sound.rows))
    assert not np.array_equal(kept.rows[:n], sound.rows[:n], equal_nan=True)
    if fault in FLIP:
        assert tilt > 30.0
        assert kept["time_s"][-1] < 12.0


def test_a_case_follows_from_its_seed():
    assert [drawn(n) for n in range(200)] == [drawn(n) for n in range(200)]
    assert {drawn(n).fault for n in range(400)} >= set(FAULTS)
    one, again, other = (
        fly(c).recording.rows for c in (BRIEF, BRIEF, Case(5, manoeuvre="takeoff"))
    )
    assert one.tobytes() == again.tobytes()
    assert one.tobytes() != other.tobytes()
