"""The sheet of guesses: what may be chosen, what follows from it, and what can be used."""

import numpy as np
import pytest

from sim.reproduce.importer.confirming import FALLS, GROWS, MISSING, OPEN, Sheet, usable
from sim.reproduce.importer.converting import recording
from tools.samples.reported import log

STICKS = ("roll", "pitch", "throttle", "yaw")
MOTORS = {"front_left": "motor2", "front_right": "motor1", "rear_right": "motor4", "rear_left": "motor3"}  # fmt: skip


@pytest.fixture
def sheet():
    return Sheet(log())


def answer_all(sheet):
    """Answer every question as somebody would who has the logger's manual."""
    sheet.take_attitude("outside")
    for stick in STICKS:
        sheet.choose(f"stick_{stick}", "sign", GROWS)
    for place, column in MOTORS.items():
        sheet.choose(f"drive_{place}", "column", column)
    for question in list(sheet.questions):
        if question.key == "sign":
            sheet.choose(question.channel, "sign", GROWS)


def test_what_is_open_stands_first_and_is_asked_for(sheet):
    rows = sheet.rows
    opened = [row.open for row in rows]
    assert opened == sorted(opened, reverse=True)
    assert rows[0].channel == "stick_roll"
    assert (rows[0].column, rows[0].unit, rows[0].sign) == ("rc roll", "us", OPEN)
    assert [row.column for row in rows][-1] == MISSING
    assert any("roll stick goes right" in words for words in sheet.missing)


def test_an_answer_settles_one_thing_and_the_rest_stays_guessed(sheet):
    before = len(sheet.questions)
    sheet.choose("stick_roll", "sign", FALLS)
    assert sheet.value("stick_roll", "sign") == FALLS
    assert sheet.value("stick_roll", "unit") == "us"
    assert len(sheet.questions) == before - 1
    assert OPEN not in sheet.options("stick_roll", "sign")
    assert OPEN in sheet.options("stick_pitch", "sign")


def test_another_column_is_guessed_anew(sheet):
    sheet.choose("pack_v", "column", "motor1")
    assert sheet.value("pack_v", "column") == "motor1"
    sheet.choose("pack_v", "column", "battery voltage")
    assert sheet.value("pack_v", "unit") == "v"
    sheet.choose("pack_v", "column", MISSING)
    assert sheet.keys("pack_v") == ("column",)
    assert sheet.settled.sources["pack_v"] is None


def test_what_counts_one_way_has_no_sign_to_choose(sheet):
    assert sheet.keys("time_s") == ("column", "unit")
    assert sheet.keys("roll_rad") == ("column", "unit", "sign")


def test_all_answered_makes_a_recording_with_those_answers(sheet):
    answer_all(sheet)
    assert sheet.missing == []
    sheet.choose("stick_pitch", "sign", FALLS)
    kept = recording(sheet.table, sheet.settled)
    assert kept.attitude == "outside"
    pulses = log()["rc pitch"]
    assert kept["stick_pitch"] == pytest.approx((1500.0 - pulses) / 500.0, abs=1e-6)
    assert kept["drive_front_left"] == pytest.approx((log()["motor2"] - 1000.0) / 1000.0, abs=1e-6)


def test_what_is_open_but_not_needed_is_left_out(sheet):
    answer_all(sheet)
    sheet.choose("field_x_ut", "column", "gyro z")
    assert [q.channel for q in sheet.questions if not q.needed] == ["field_x_ut"] * 2
    assert sheet.missing == []
    assert usable(sheet.guesses).sources["field_x_ut"] is None
    assert usable(sheet.guesses).sources["pack_v"] is not None


def test_what_can_t_be_done_without_is_said(sheet):
    sheet.choose("armed", "column", MISSING)
    answer_all(sheet)
    assert sheet.missing == ["It has no 1 while armed, else 0: it can't be used."]


def test_the_airframe_decides_the_guesses_that_hang_on_it(sheet):
    before = sheet.guesses
    sheet.take_airframe("small-127mm")
    assert sheet.settled.airframe == "small-127mm"
    assert sheet.guesses is not before
    assert np.isfinite(sheet.table.values).all()
