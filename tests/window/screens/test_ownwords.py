"""Own words are asked on two sheets, may stay empty, and lead on by key or pointer."""

from datetime import UTC, datetime

import pytest

from sim.session.ownwords import MOST_LINES
from sim.window.canvas import TextCanvas
from sim.window.screens.ownwords import ASKED, FIELDS, OwnWordsSheets
from tests.window.screens.person import KeyPerson

AT = datetime(2026, 1, 31, tzinfo=UTC)


@pytest.fixture
def done():
    return []


@pytest.fixture
def sheets(app, done):
    made = OwnWordsSheets(done.append, lambda: done.append("home"))
    app.go(made)
    return made


@pytest.fixture
def person(app, sheets):
    return KeyPerson(app)


def test_both_are_asked_and_nothing_of_a_score_is_told(person):
    for heading, question in ASKED.values():
        assert heading in person.said.split("\n")
        assert question in " ".join(person.said.split())
    assert "points" not in person.said
    assert "cleared" not in person.said


def test_written_by_keys_line_by_line(person, app, done):
    for i in range(len(FIELDS)):
        person.frame()
        assert app.ui.focus == FIELDS[i]
        if i != 1:
            person.types(f"line {i}")
        person.strike("return")
    assert not done
    person.frame()
    assert app.ui.focus == "work-out"
    person.strike("return")
    (words,) = done
    assert words.plus == ("line 0", "line 2")
    assert words.delta == ("line 3", "line 4", "line 5")
    assert words.at_utc.utcoffset().total_seconds() == 0.0
    assert len(FIELDS) == 2 * MOST_LINES


def test_a_line_is_kept_when_it_is_left_without_enter(person, sheets, done):
    person.types("kept")
    person.strike("tab")
    person.frame()
    assert sheets.written(AT).plus == ("kept",)
    person.types("more")
    person.press("work-out")
    assert done[0].plus == ("kept", "more")


def test_they_may_stay_empty(person, done):
    person.strike("escape", "c")
    (words,) = done
    assert (words.plus, words.delta) == ((), ())
    person.strike("escape")
    assert done[1:] == ["home"]


def test_letters_are_no_acts_while_one_writes(person, done):
    person.types("c")
    assert not done
    person.strike("escape", "c")
    assert done[0].plus == ("c",)


def test_the_pointer_goes_on(person, app, done):
    x, y = app.ui.node("work-out").rect.centre
    person.frame(pointer=(x, y), pressed=True, down=True)
    person.frame(pointer=(x, y), released=True)
    assert len(done) == 1


def test_of_a_long_line_the_end_is_seen_while_it_is_written(person, sheets, app):
    long = "a" * 150 + " end"
    person.types(long)
    assert "end" in person.said
    person.frame()
    assert sheets.written(AT).plus == (long,)
    person.strike("tab")
    person.frame()
    assert "end" not in person.said
    assert isinstance(person.canvas, TextCanvas)
