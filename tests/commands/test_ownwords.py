"""At the keyboard a person is asked for own words before the score, once; nobody else is."""

from datetime import UTC, datetime

import pytest

from sim.commands.ownwords import ask_first
from sim.pages.debrief import DEBRIEF
from sim.session.attempt import ATTEMPT, SCORECARD, Note
from sim.session.journal import JOURNAL
from sim.session.ownwords import MOST_LINES, asked_already, keep_words, own_words, words_of
from tools.fuzz import small_run


@pytest.fixture
def run(tmp_path):
    note = Note(trainee="somebody", by="person", scenario="first-evening", seed=1)
    (tmp_path / ATTEMPT).write_text(note.text())
    (tmp_path / JOURNAL).write_text('{"tick":0}\n{"end":true,"tick":1}\n')
    (tmp_path / SCORECARD).write_text("{}")
    return tmp_path


def test_the_page_written_by_the_command_holds_them(tmp_path, dryhop):
    folder = tmp_path / "run"
    small_run(folder, whole=True)
    said = own_words(["kept calm"], ["spotter first"], datetime(2026, 1, 31, tzinfo=UTC))
    keep_words(folder, said)
    for words, page in (
        ((), folder / DEBRIEF),
        (("--out", tmp_path / "a.html"), tmp_path / "a.html"),
    ):
        assert dryhop("debrief", folder, *words).out == f"Page: {page}\n"
        text = page.read_text(encoding="utf-8")
        assert "kept calm" in text
        assert "spotter first" in text


def told(*lines):
    """Return what answers with these lines, one after another, and then no more."""
    left = list(lines)
    return lambda prompt: left.pop(0)


def test_a_person_is_asked_once(run):
    assert ask_first(run, told("kept calm", "", "spotter first", ""), lambda: True)
    words = words_of(run)
    assert words is not None
    assert (words.plus, words.delta) == (("kept calm",), ("spotter first",))
    assert not ask_first(run, told(), lambda: True)


def test_a_full_sheet_goes_on_by_itself(run):
    lines = [f"line {i}" for i in range(MOST_LINES)]
    assert ask_first(run, told(*lines, ""), lambda: True)
    words = words_of(run)
    assert words is not None
    assert (words.plus, words.delta) == (tuple(lines), ())


def test_without_a_keyboard_nobody_is_asked(run):
    assert not ask_first(run, told(), lambda: False)
    assert not asked_already(run)
    assert not ask_first(run, told())  # of a test, the streams are no terminal


@pytest.mark.parametrize("without", [ATTEMPT, SCORECARD])
def test_only_of_a_run_that_is_finished_and_whose(run, without):
    (run / without).unlink()
    assert not ask_first(run, told(), lambda: True)


def test_a_stand_in_is_not_asked(run):
    note = Note(trainee="careful", by="stand-in", scenario="first-evening", seed=1)
    (run / ATTEMPT).write_text(note.text())
    assert not ask_first(run, told(), lambda: True)
    assert not asked_already(run)
