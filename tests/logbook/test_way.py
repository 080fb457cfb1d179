"""The way up the ladder: what is done, due, next and better done before."""

from datetime import timedelta

from sim.logbook.ahead import WORDS, shipped
from sim.logbook.book import Book
from sim.logbook.way import beginning, way, way_of
from sim.session.scenario import RUNGS
from tests.logbook.entering import BEGAN, card, entry, fault, finished

LATER = BEGAN + timedelta(days=60)
PITCH = fault("pitch-channel-reversed", "radio", True)


def test_somebody_new_stands_at_the_foot():
    found = beginning(shipped(), BEGAN)
    assert [(s.rung, s.words) for s in found.steps] == list(enumerate(RUNGS, 1))
    assert sum(s.drills_n for s in found.steps) == len(shipped())
    assert all(s.cleared_n == 0 for s in found.steps)
    assert (found.done, found.due, found.rung) == ({}, (), 0)
    assert found.next.drill.name == "first-evening"
    assert found.missing["twice-round"] == ("First evening",)
    assert found.missing["first-evening"] == ()


def test_the_logbook_knows_what_was_done_and_what_is_due(tmp_path):
    with Book(tmp_path / "book.sqlite") as book:
        book.take_in(
            [
                entry("Ada", "first-evening", 1, 0, card(PITCH)),
                entry("Ada", "twins", 2, 1, card(PITCH, cleared=False)),
                entry("Ada", "twins", 3, 2, card(PITCH)),
                entry("Ada", "good-numbers", 4, 3, card(fault("pack-cold", "site", False), cleared=False)),
                entry("Bo", "open-day", 5, 3, card(PITCH)),
            ]
        )  # fmt: skip
        ada = way(book, "Ada", shipped(), LATER)
        nobody = way(book, "Cy", shipped(), LATER)
    assert ada.done == {"first-evening": True, "twins": True, "good-numbers": False}
    assert [s.cleared_n for s in ada.steps] == [1, 0, 0, 1, 0, 0]
    assert set(ada.due) == {WORDS["radio"], WORDS["site"]}
    assert ada.missing["twice-round"] == ()
    assert ada.rung == 0  # one right at the first is not enough
    assert nobody == beginning(shipped(), LATER)


def test_who_sits_down_is_looked_up_with_what_was_just_finished(tmp_path, monkeypatch):
    monkeypatch.setattr("sim.logbook.book.user_data", lambda: tmp_path)
    finished(tmp_path / "runs", "a", "Ada", "first-evening", card(PITCH))
    assert way_of("Ada", shipped(), tmp_path / "runs").done == {"first-evening": True}
    assert way_of("Bo", shipped(), tmp_path / "runs").done == {}
    (tmp_path / "logbook.sqlite").write_text("no logbook")
    assert way_of("Ada", shipped(), tmp_path / "runs").done == {}  # as for a beginner
