"""What is written on a card: words first, lines as keys and numbers, never a number cut short."""

import math

from sim.aircraft.fields import LINE_LENGTH
from sim.bench.evidence import measured
from sim.window.answers import MOST, best, put, words_of
from tests.worlds import TRAINER

VALUES = {"mass_kg": 1.23456, "roll.p now": 0.06, "shift_deg": -12345.6}


def test_words_come_first_and_lines_to_four_digits():
    assert put("looks fine", VALUES) == (
        "looks fine, mass_kg 1.235, roll.p now 0.06, shift_deg -1.235e+04"
    )
    assert put("", VALUES).startswith("mass_kg 1.235, ")
    assert put("looks fine", {}) == "looks fine"
    assert put("", {}) == ""


def test_words_are_cut_before_lines_and_no_line_is_cut():
    whole = put("x" * 300, VALUES)
    assert len(whole) == LINE_LENGTH
    assert whole.endswith(", mass_kg 1.235, roll.p now 0.06, shift_deg -1.235e+04")
    many = put("", {f"a_rather_long_line_{i}": 1.5 for i in range(30)})
    assert LINE_LENGTH - 30 < len(many) <= LINE_LENGTH
    assert all(piece.endswith(" 1.5") for piece in many.split(", "))
    assert len(put("y" * 300, {})) == LINE_LENGTH


def test_words_are_told_from_lines():
    assert words_of(put("looks fine, I think", VALUES)) == "looks fine, I think"
    assert words_of(put("", VALUES)) == ""
    assert words_of("off by about 12 mm, mass_kg 1.2") == "off by about 12 mm"
    assert words_of("it was off by 12") == "it was off by 12"


def test_the_lines_written_unasked_are_those_in_which_sound_aircraft_differ(readings):
    tables = measured(TRAINER)
    for check, reading in readings.items():
        found = best(check, reading.values, TRAINER)
        telling = tables.telling(check, reading.values)
        assert len(found) <= MOST
        assert set(found) <= set(telling or reading.values)
        assert not telling or found


def test_of_an_aircraft_nobody_measured_the_first_lines_are_written():
    values = {"a": math.nan, "b": 1.0, "c": 2.0, "d": 3.0, "e": 4.0}
    assert best("rails", values, "an aircraft of one's own") == ["b", "c", "d"]
