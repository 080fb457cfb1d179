"""The helper at the desk, by keys alone: tells, points at the cue, gives hints where they are asked for."""

import pytest

from sim.session import actions as act
from sim.window.screens.desk import Desk
from tests.window.test_drill import TextWindow


@pytest.fixture
def at_desk(tmp_path):
    made = []

    def begun(drill):
        window = TextWindow(tmp_path, drill)
        made.append(window)
        window.hands().settle()
        return window

    yield begun
    for window in made:
        window.app.leave()


def written(window):
    window.frame()
    return " ".join(line.words for line in window.canvas.written)


def desk_of(window):
    assert isinstance(window.app.screen, Desk)
    return window.app.screen


def hints_of(window):
    return [(h.fault, h.step) for h in window.practice.session.record().hints]


def settled(window):
    window.hands().settle()
    return written(window)


def test_hints_come_by_their_key_from_any_page_and_by_the_button(at_desk):
    window = at_desk("kettle-first")
    window.strike("7")  # the squawk sheet
    window.strike("f")
    first = settled(window)
    assert desk_of(window).page == "page-helper"
    assert hints_of(window) == [("pack-charged-unattended", 1)]
    assert "Where to look" in first
    assert "Which line" not in first
    desk_of(window).app.ui.focus = "hint"
    window.strike("return")
    second = settled(window)
    assert hints_of(window)[-1] == ("pack-charged-unattended", 2)
    assert "Which line" in second
    assert "something is hidden" in second
    assert "Hint 2 of 3" in second
    assert "What it means" not in second
    window.strike("f")  # on its own page the key works as well, once
    third = settled(window)
    assert hints_of(window)[-1] == ("pack-charged-unattended", 3)
    assert len(hints_of(window)) == 3
    assert "What it means" in third
    assert "pack charged unattended" in third


def test_the_fault_is_told_at_the_first_rung_and_its_cue_pointed_at_when_it_is_read(at_desk):
    window = at_desk("carpenters-week")
    window.strike("d")
    told = settled(window)
    assert "loose debris" in told
    assert "Where to look" in told
    window.strike("f")
    settled(window)
    assert hints_of(window) == []  # nobody asks for what is told
    desk_of(window).ask(act.Read(check="people-and-room"))
    settled(window)
    assert "The helper points at" in desk_of(window).said


@pytest.mark.parametrize("drill", ["box-of-bits", "twins"])
def test_where_nobody_helps_there_is_no_such_page_and_no_such_key(at_desk, drill):
    window = at_desk(drill)
    assert "page-helper" not in desk_of(window).pages
    before = desk_of(window).page
    window.strike("d")
    window.strike("f")
    settled(window)
    assert desk_of(window).page == before
    assert window.practice.session.record().events == ()
