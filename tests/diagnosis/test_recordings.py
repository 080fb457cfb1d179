"""Simulated recordings hold what their plan says, and nothing of the truth but by the flight."""

from dataclasses import replace

import numpy as np
import pytest

from sim.diagnosis.logged import NUDGE
from sim.diagnosis.recordings import (
    COLUMNS_OF,
    LEAST_SEVERITY,
    MANOEUVRES,
    RATES_HZ,
    Plan,
    drawn,
    made,
    recordable,
)
from sim.kernel.history import HISTORY
from sim.reproduce.channels import COLUMNS, INDEX
from sim.reproduce.importer.converting import recording
from sim.reproduce.importer.mapping import Settled
from sim.reproduce.recording import Recording

SHORT = Plan(seed=3, manoeuvre="takeoff", kept=())


def flown(plan, column):
    return made(plan).flight[:, HISTORY.index(column)]


def test_a_plan_makes_the_same_bits_again_and_another_seed_others():
    one, again, other = (made(replace(SHORT, seed=s, noise=1.0)) for s in (3, 3, 4))
    assert one.recording.rows.tobytes() == again.recording.rows.tobytes()
    assert one.recording.rows.tobytes() != other.recording.rows.tobytes()


@pytest.mark.parametrize("rate_hz", [20, 200])
def test_rows_come_at_the_rate(rate_hz):
    kept = made(replace(SHORT, rate_hz=rate_hz)).recording
    assert np.allclose(np.diff(kept["time_s"]), 1.0 / rate_hz)
    assert kept["time_s"][0] == 0.0


def test_rows_begin_anywhere_between_two_moves_of_a_hand():
    plans = [replace(SHORT, seed=seed, rate_hz=20) for seed in range(3, 9)]
    first_ms = {round(1000.0 * made(p).flight[0, HISTORY.index("time_s")]) % 50 for p in plans}
    assert len(first_ms) > 3


def test_only_what_the_logger_keeps_is_there_beside_what_is_needed():
    bare = set(made(SHORT).recording.there)
    for group, columns in COLUMNS_OF.items():
        there = set(made(replace(SHORT, kept=(group,))).recording.there)
        assert there - bare == set(columns)
    assert bare | {c for columns in COLUMNS_OF.values() for c in columns} == set(COLUMNS)


def test_a_nudge_moves_each_stick_to_and_fro_and_the_aircraft_with_it():
    plan = replace(SHORT, manoeuvre="nudges", kept=("heading",))
    kept = made(plan).recording
    for axis in ("roll", "pitch", "yaw"):
        stick, rate = kept[f"stick_{axis}"], kept[f"{axis}_rate_rad_s"]
        for way in (1.0, -1.0):
            pushed = way * stick > 0.6 * NUDGE
            assert pushed.sum() >= 2 * 20  # rows; two nudges of a quarter second at 100 Hz
            later = np.flatnonzero(pushed) + 10  # rows; a rate follows its stick within 0.1 s
            assert way * rate[later].mean() > 0.1  # rad/s; half stick asks for more


def test_what_is_worked_out_aboard_is_what_the_sensors_show():
    outside, aboard = (made(replace(SHORT, attitude=a)) for a in ("outside", "aboard"))
    assert aboard.flight.tobytes() == outside.flight.tobytes()
    for kept, source in ((outside, "roll_rate_rad_s"), (aboard, "gyro_x_rad_s")):
        flight = kept.flight[:, HISTORY.index(source)]
        assert np.allclose(kept.recording["roll_rate_rad_s"], flight, atol=1e-6)
    spread = [m.recording["roll_rate_rad_s"][:90].std() for m in (outside, aboard)]
    assert spread[0] < 1e-4 < spread[1]  # rad/s; standing still, only a gyro trembles


def test_noise_grows_with_its_share_and_is_none_at_none():
    kept = [made(replace(SHORT, noise=n, kept=("accelerometer",))) for n in (0.0, 0.5, 1.0)]
    accel = [m.recording["accel_x_m_s2"] for m in kept]
    spread = [(a - accel[0]).std() for a in accel]
    assert spread[0] == 0.0
    assert spread[1] == pytest.approx(0.01, rel=0.1)  # m/s2; half of the logger's 0.02
    assert spread[2] == pytest.approx(0.02, rel=0.1)


def test_a_fault_is_in_the_flight_and_its_corner_in_the_truth():
    plan = replace(SHORT, faults=(("prop-wrong-hand", 0.7),), manoeuvre="hover")
    found = made(plan)
    assert found.truth.faults == ("prop-wrong-hand",)
    assert found.truth.severities == (0.7,)
    assert len(found.truth.places) == 1
    tilt = np.abs(found.flight[:, [HISTORY.index("roll_rad"), HISTORY.index("pitch_rad")]])
    assert tilt.max() > np.radians(60.0)  # it turns over
    assert flown(replace(plan, faults=()), "roll_rad").max() < np.radians(15.0)


def test_a_worse_fault_moves_it_further():
    away = []
    for severity in (0.0, 0.3, 1.0):
        plan = Plan(seed=5, faults=(("motor-weak-or-shorted", severity),), manoeuvre="hover")
        found = made(plan)
        held = found.recording.rows[800:1400, INDEX["drive_front_left"] :][:, :4].mean(axis=0)
        away.append(np.ptp(held))
    assert away[0] < away[1] < away[2]


def test_plans_by_chance_cover_everything_and_follow_the_seed():
    plans = [drawn(seed) for seed in range(600)]
    assert plans == [drawn(seed) for seed in range(600)]
    assert {p.rate_hz for p in plans} == set(RATES_HZ)
    assert {p.manoeuvre for p in plans} == set(MANOEUVRES)
    severities = [s for p in plans for _, s in p.faults]
    assert LEAST_SEVERITY <= min(severities) < 0.25
    assert 0.95 < max(severities) <= 1.0
    assert 0.17 < np.mean([not p.faults for p in plans]) < 0.32  # four standard deviations
    assert {f for p in plans for f, _ in p.faults} == set(recordable())
    assert all(len(drawn(seed, 2).faults) == 2 for seed in range(5))


def test_written_and_read_it_is_the_same(tmp_path):
    from sim.aircraft import library
    from sim.reproduce.importer.guessing import guess, nothing_known
    from sim.reproduce.importer.reading import read_table

    kept = made(replace(SHORT, kept=("volts",), rate_hz=50)).recording
    path = tmp_path / "r.csv"
    path.write_text(kept.text())
    table = read_table(path)
    found: Settled = guess(
        table, library.airframe(library.TRAINER), nothing_known(library.TRAINER)
    ).settled()
    again: Recording = recording(table, found)
    assert np.array_equal(again.rows, kept.rows, equal_nan=True)
