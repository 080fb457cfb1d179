"""Every key of every check and setting has words, a unit we know, and outside factors hold."""

import pytest

from sim.aircraft import library
from sim.aircraft.setup import Setup
from sim.bench.checklist import CHECKS
from sim.session import actions as act
from sim.session import scenario
from sim.session.session import Session
from sim.window import sheet
from sim.window.names import CODES, NAMES, SETTINGS, YES_NO
from sim.window.values import (
    Told,
    kind_of,
    noted,
    plain,
    reading_told,
    setting_told,
)

CALIBRATIONS = (
    "residual_m_s2",
    "offset_x_m_s2",
    "scale_x_share",
    "fitted_field_ut",
    "site_field_ut",
    "residual_share",
    "coverage_share",
    "loosest_share",
    "offset_z_ut",
    "readings",
    "roll_low_was_us",
    "throttle_high_was_us",
    "meter_v",
    "was_shown_v",
)


def test_every_key_of_every_check_is_known(readings):
    assert set(readings) == set(CHECKS)
    unknown = [k for r in readings.values() for k in r.values if kind_of(k) is None]
    assert not unknown
    assert kind_of("spin_rad_s") is None
    assert kind_of("anything_new") is None


@pytest.mark.parametrize("key", CALIBRATIONS)
def test_every_key_of_a_calibration_is_known(key):
    assert kind_of(key) is not None


def test_words_are_plain_and_tell_values_apart(readings):
    for reading in readings.values():
        words = [reading_told(key, value).words for key, value in reading.values.items()]
        assert len(set(words)) == len(words), reading.check
        assert all("_" not in w and w.strip() for w in words)


def test_axes_of_traces_are_known(readings):
    names = {n for r in readings.values() for s in r.series.values() for n in (s.x_name, s.y_name)}
    assert names
    assert all(kind_of(name) for name in names)


def test_tables_hold_no_key_twice_under_two_kinds():
    assert not YES_NO & set(CODES)
    assert all(name == name.strip() and "_" not in name for name in NAMES.values())


def test_every_setting_has_words():
    session = Session(scenario.load("quiet-morning"), 1)
    assert sheet.rows(session.view()) == []  # nobody can read them without power
    session.do(act.PlugPack())
    rows = sheet.rows(session.view())
    said = [(row.part, setting_told(row.key, row.value).words) for row in rows]
    assert len(set(said)) == len(said)
    assert len(rows) > 60


# value, key, what is shown in imperial units; the factors are those of NIST SP 811, all exact
OUTSIDE = [
    (0.3048, "ceiling_m", "1.00", "ft"),
    (25.4, "span_mm", "1.000", "in"),
    (0.45359237, "mass_kg", "1 lb 0.0", "oz"),
    (0.45359237 * 3.5, "mass_kg", "3 lb 8.0", "oz"),
    (0.45359237 * 0.99999, "mass_kg", "1 lb 0.0", "oz"),
    (4.4482216152605, "pull_apart_n", "1.0", "lbf"),
    (4.4482216152605 * 0.0254, "front_left_twist_holds_n_m", "1.00", "lbf in"),
    (0.0, "air_degc", "32", "°F"),
    (100.0, "air_degc", "212", "°F"),
    (-40.0, "air_degc", "−40", "°F"),
    (10.0, "connector_warmer_k", "18.0", "°F"),
    (9.80665, "level_m_s2", "32.174", "ft/s²"),
    (49.06, "site_ut", "49.06", "µT"),
    (30.0, "tilt_deg", "30.0", "deg"),
    (12.5, "meter_v", "12.50", "V"),
    (1500.0, "roll_centre_us", "1500", "µs"),
    (4543.2, "slowest_rotor_rpm", "4543", "rpm"),
]


@pytest.mark.parametrize(("value", "key", "shown", "unit"), OUTSIDE)
def test_imperial_units_by_outside_factors(value, key, shown, unit):
    assert reading_told(key, value, "imperial")[1:] == (shown, unit)


@pytest.mark.parametrize(
    ("key", "value", "words", "amount"),
    [
        ("front_left_no_load_a", 0.294, "front left: current, no load", "0.29 A"),
        ("drop_v_cell", 0.0926, "drop", "0.093 V/cell"),
        ("armed_with_throttle_up", 0.0, "arms with throttle up", "no"),
        ("armed_with_throttle_up", 1.0, "arms with throttle up", "yes"),
        ("people_in_ring", 1.0, "somebody inside the ring", "yes"),
        ("label_cells", 1.0, "cells on the label", "1 cells"),
        ("front_left_dips_count", 1.0, "front left: dips of speed", "1"),
        ("residual_share", 0.0123, "left over", "1.2 %"),
        ("rear_left_turns_sign", -1.0, "rear left: turns", "counter-clockwise"),
        ("rear_left_turns_sign", 1.0, "rear left: turns", "clockwise"),
        ("rear_left_turns_sign", 0.0, "rear left: turns", "none"),
        ("rear_left_turns_corner", 0.0, "rear left: corner that turns", "none"),
        ("yaw_moves_bar", 1.0, "yaw: bar that moves most", "pitch"),
        ("north_off_deg", -0.04, "north: heading off by", "0.0 deg"),
        ("north_off_deg", -3.04, "north: heading off by", "−3.0 deg"),
        ("roll.p now", 0.06, "roll P gain, set now", "0.06 per rad/s"),
        ("failsafe sheet", 1.0, "link lost, build sheet", "stop"),
        ("right_down_front_left_rpm", -131.2, "right side down, front left", "−131 rpm"),
    ],
)
def test_what_is_said(key, value, words, amount):
    said = reading_told(key, value)
    assert (said.words, said.amount) == (words, amount)


def test_settings_are_said_as_set():
    assert setting_told("setup.transmitter.roll.low_us", 1000.0) == Told(
        "roll low end", "1000", "µs"
    )
    assert setting_told("controller.failsafe", "stop") == Told("link lost", "stop", "")
    assert setting_told("bias_gain_per_s2", 0.004).amount == "0.004 per s²"
    assert setting_told("rate_limit_deg_s", 200).amount == "200 deg/s"
    assert setting_told("inputs.pitch", -1).value == "reversed"
    fields = set(type(library.airframe(library.TRAINER).sheet.setup).model_fields)
    assert fields - {"roll", "pitch", "yaw"} <= set(SETTINGS)
    assert set(Setup.model_fields) >= {"transmitter", "inputs", "controller"}


def test_notes_about_numbers_that_became_words_are_left_out(readings):
    said = [noted(n) for r in readings.values() for n in r.notes]
    assert not any("+1" in note or "numbered" in note or "_" in note for note in said)


def test_numbers_in_unknown_units_are_said_bare():
    assert reading_told("anything_new", -2.5) == Told("anything new", "−2.5", "")
    assert plain("spin_rad_s") == "spin rad s"
