"""The report file: what may be left out, what contradicts itself, and what is said of a slip."""

import random
from pathlib import Path
from typing import get_args

import pytest

from sim.aircraft.textfile import dump_yaml
from sim.errors import InputError
from sim.reproduce.causes import NONE
from sim.reproduce.words.changes import HANDLED, Change
from sim.reproduce.words.flight import PHASES
from sim.reproduce.words.observed import CUT, GROUPS
from sim.reproduce.words.report import (
    LET_GO,
    WHEN_SAYS,
    Heard,
    Moved,
    Report,
    StickWord,
    When,
    load_report,
)
from sim.reproduce.words.table import shipped
from sim.reproduce.words.weighing import causes
from tools.spoil import bytes_spoiled

WHOLE = """
title: Over at the first try
story: It left the ground, rolled to the right and went over. I cut as fast as I could.
airframe: trainer-254mm
when: leaving
moved: [rolled-right, flipped]
heard: don't know
sticks: [let-go]
pilot: cut
changed: [propellers]
worked: [stick-display, hand-tilt]
"""


def read(text, tmp_path):
    path = tmp_path / "report.yaml"
    path.write_text(text, encoding="utf-8")
    return load_report(path)


def problem(text, tmp_path):
    with pytest.raises(InputError) as caught:
        read(text, tmp_path)
    return str(caught.value.problems[0])


def test_a_whole_report_is_read(tmp_path):
    report = read(WHOLE, tmp_path)
    assert report.moved == ("rolled-right", "flipped")
    assert report.heard is None
    assert report.told["rolled-right"]
    assert not report.told["rolled-left"]
    assert report.told[CUT]
    assert "ringing" not in report.told
    assert "held-left" not in report.told  # the sticks were let go: there is nothing to tell


def test_everything_may_be_left_out_and_not_known(tmp_path):
    assert read("title: nothing known\n", tmp_path).told == {}
    unknown = [k for k in Report.model_fields if k not in ("title", "story", "airframe")]
    assert read("\n".join(f"{k}: don't know" for k in unknown), tmp_path) == Report()


def test_an_empty_list_is_an_answer(tmp_path):
    assert not any(read("heard: []\n", tmp_path).told.values())
    assert set(read("heard: []\n", tmp_path).told) == set(GROUPS["heard"])


def test_it_is_written_as_it_is_read(tmp_path):
    report = read(WHOLE, tmp_path)
    assert read(dump_yaml(report.model_dump(exclude_none=True)), tmp_path) == report


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("moved: [rolled-rigt]", ":1: moved.0 = \"rolled-rigt\": not one of"),
        ("moved: [rolled-rigt]", "nearest: rolled-right"),
        ("\nwhen: hovver", ":2: when = \"hovver\": must be one of: at-the-bench"),
        ("heard: ringing", "heard = \"ringing\": must be a list"),
        ("worked: [hand-titl]", "nearest: hand-tilt"),
        ("changed: [motors]", "nearest: motor"),
        ("airframe: trainer", "not a known airframe; nearest: trainer-254mm"),
        ("wehn: hover", "unknown key; nearest: when"),
        ("check: hand-tilt", "check goes with when: at-the-bench"),
        ("when: at-the-bench\nmoved: [flipped]", "are of a flight"),
        ("when: never\nmoved: [flipped]", "moved must be empty"),
        ("sticks: [let-go, weak]", "let-go alone"),
        ("changed: [nothing, motor]", "nothing alone"),
        ("when: at-the-bench\ncheck: failsafe\nworked: [failsafe]", "must not name the check"),
    ],
)  # fmt: skip
def test_a_slip_is_named_with_line_key_value_and_rule(text, said, tmp_path):
    assert said in problem(text, tmp_path)


def test_every_word_there_is_may_be_written():
    assert set(get_args(Moved)) == set(GROUPS["moved"])
    assert set(get_args(Heard)) == set(GROUPS["heard"])
    assert set(get_args(StickWord)) == {*GROUPS["sticks"], LET_GO}
    assert set(get_args(Change)) == set(HANDLED)
    assert set(get_args(When)) == {*PHASES, "at-the-bench", "never"} == set(WHEN_SAYS)


@pytest.mark.parametrize("cases", [300, pytest.param(10_000, marks=pytest.mark.slow)])
def test_spoiled_reports_are_refused_in_words_or_answered(cases, tmp_path):
    chance, path = random.Random(cases), Path(tmp_path) / "spoiled.yaml"
    refused = answered = 0
    for _ in range(cases):
        path.write_bytes(bytes_spoiled(WHOLE.encode(), chance))
        try:
            found = causes(load_report(path), shipped())
        except InputError as error:
            refused += all(p.rule and p.file == str(path) for p in error.problems)
        else:
            assert found.of(NONE) is not None
            assert sum(share for _, share in found.posterior()) == pytest.approx(1.0)
            answered += 1
    assert refused + answered == cases
    assert refused > 0.2 * cases
    assert answered > 0
