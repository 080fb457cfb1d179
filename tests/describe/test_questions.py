"""The questions in the terminal: every answer is asked for, and a wrong one asked again."""

from collections.abc import Iterator
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from sim.commands.asking import asked
from sim.describe.answers import Answers, Swing
from sim.describe.formulas import FORMULAS
from sim.describe.questions import PARTS, QUESTIONS, SWINGS, SWUNG
from sim.describe.rules import RULES

BENCH: dict[str, str] = {
    "name": "my-own", "about": "", "mass_g": "620", "frame.front_width_mm": "230",
    "frame.rear_width_mm": "220", "frame.length_mm": "200", "frame.rotors_above_mm": "-5",
    "frame.legs_length_mm": "140", "frame.legs_width_mm": "150", "frame.legs_height_mm": "80",
    "frame.compass_forward_mm": "-30", "frame.compass_above_mm": "60", "front_right_clockwise": "n",
    "propeller.diameter_in": "6", "propeller.pitch_in": "3", "propeller.mass_g": "3.4",
    "motor.kv_rpm_v": "1800", "motor.mass_g": "", "motor.diameter_mm": "24",
    "motor.resistance_ohm": "", "motor.no_load_a": "", "pack.cells": "3", "pack.capacity_ah": "1.5",
    "pack.mass_g": "130", "pack.size_mm": "75, 35 25", "pack.above_mm": "15", "pack.cell_ohm": "",
    "board_delay_ms": "", "link_frame_ms": "14", "stop_switch": "yes", "hover_throttle": "",
    "hover_current_a": "7.5",
}  # fmt: skip


class Person:
    """Answers by question; a list of answers to one question is given one after another."""

    def __init__(self, answers: dict[str, str | list[str]], swing: list[str] | None = None):
        self.words = {q.shown: q.key for q in QUESTIONS}
        self.answers = answers
        self.swing: Iterator[str] = iter(swing or [])
        self.swung = swing is not None
        self.told: list[str] = []

    def tell(self, words: str) -> None:
        """Keep what is told beside the titles of the parts."""
        if words.strip() not in {part.title for part in PARTS}:
            self.told.append(words)

    def ask(self, words: str) -> str:
        if words == SWUNG.shown:
            return "y" if self.swung else ""
        if words not in self.words:
            return next(self.swing)
        given = self.answers[self.words[words]]
        return given.pop(0) if isinstance(given, list) else given


def leaves(model: type[BaseModel], before: str = "") -> set[str]:
    """Return every dotted key of a model's own values."""
    keys = set()
    for name, field in model.model_fields.items():
        kind: Any = field.annotation
        inner = isinstance(kind, type) and issubclass(kind, BaseModel)
        keys |= leaves(kind, f"{before}{name}.") if inner else {before + name}
    return keys


def test_every_answer_has_a_question():
    asked_for = {q.key for q in QUESTIONS}
    assert leaves(Answers) - asked_for == {"origin", "kind_of_pack", "swing"}
    assert asked_for <= leaves(Answers)
    assert {q.key for q in SWINGS} == set(Swing.model_fields)


def test_every_measurement_is_asked_for_where_its_estimate_is():
    measured = [q.estimates for q in (*QUESTIONS, *SWINGS) if q.estimates]
    assert len(set(measured)) == len(measured)
    never = {"bell_inertia_kg_m2", "propeller_inertia_kg_m2", "lead_ohm"}
    assert set(FORMULAS) - set(measured) == never
    assert set(RULES) == set(FORMULAS) - {"hover_throttle", "hover_current_a"}
    for key, formula in FORMULAS.items():
        assert formula.measure.startswith("No simple way") is (key in never)
    for question in QUESTIONS:  # the same unit, so that an estimate may stand where a number goes
        if question.estimates and FORMULAS[question.estimates].factor == 1e3:
            assert question.words.endswith(f", {FORMULAS[question.estimates].unit}")


def test_answers_come_out_as_given():
    person = Person(dict(BENCH), swing=["300", "1500", "1.1", "1.2", "1.5"])
    found = asked(person.ask, person.tell)
    assert not person.told
    assert found.mass_g == 620.0
    assert found.frame.rotors_above_mm == -5.0
    assert found.front_right_clockwise is False
    assert found.stop_switch is True
    assert found.pack.size_mm == (75.0, 35.0, 25.0)
    assert found.motor.mass_g is None
    assert found.motor.diameter_mm == 24.0
    assert (found.board_delay_ms, found.link_frame_ms) == (6, 14)
    assert found.hover_current_a == 7.5
    assert found.about == "an aircraft of one's own"
    assert found.origin == "described"
    assert found.swing is not None
    assert found.swing.yaw_s == 1.5
    assert asked(Person(dict(BENCH)).ask, print).swing is None


@pytest.mark.parametrize(
    ("key", "wrong", "says"),
    [
        ("mass_g", "heavy", "Please answer with a number, without a unit."),
        ("pack.capacity_ah", "1,5", "Please write it without a comma; a point goes before tenths."),
        ("mass_g", "620 g", "Please answer with a number, without a unit."),
        ("mass_g", "", "Please answer with a number, without a unit."),
        ("mass_g", "5", "That can't be: it must be at least 20."),
        ("mass_g", "nan", "That can't be: it must be"),
        ("pack.cells", "2.5", "Please answer with a whole number"),
        ("pack.cells", "7", "it must be at most 6."),
        ("pack.size_mm", "70 30", "Please answer with three numbers"),
        ("pack.size_mm", "70 30 -1", "it must be more than 0."),
        ("pack.size_mm", "70 x 30", "Please answer with three numbers"),
        ("motor.mass_g", "-3", "it must be more than 0."),
        ("board_delay_ms", "3", "it must be 0, 2, 4"),
        ("hover_throttle", "47", "it must be at most 1."),
        ("front_right_clockwise", "left", "Please answer y or n."),
        ("name", "two words", "it must be letters"),
        ("name", "", "it must be"),
    ],
)
def test_a_wrong_answer_is_asked_again(key, wrong, says):
    person = Person({**BENCH, key: [wrong, BENCH[key]]})
    found = asked(person.ask, person.tell)
    assert len(person.told) == 1
    assert says in person.told[0]
    assert found == asked(Person(dict(BENCH)).ask, print)


def test_answers_that_do_not_go_together():
    with pytest.raises(ValidationError, match="must weigh less than the whole"):
        asked(Person({**BENCH, "pack.mass_g": "700"}).ask, print)
