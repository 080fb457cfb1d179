"""What a scorecard says in plain words of work, judgement and minutes."""

import io

import pytest
from rich.console import Console

from sim.commands.report import air_told, lucky_told, print_scorecard, work_told
from sim.procedure.rubric import shipped
from sim.scoring.scorecard import scorecard
from sim.session.scenario import load
from sim.session.session import Session
from tests.scoring.tables import TABLES
from tools.samples.sheets import bad_card, card_of

KNOWN = {"claims": 4, "stated": 0.7, "right": 0.75, "brier": 0.1234}
SEEN = {"hits": 2, "misses": 1, "false_alarms": 3, "correct_rejections": 34}


@pytest.fixture
def told():
    """Return what is said of a card with these counts."""

    def made(**changes):
        seen = {**SEEN, "d_prime_words": "too few items (3 faulty, 37 sound)"}
        plain = {"needless": [], "parts_used": 0, "detection": seen, "calibration": None}
        return work_told(plain | changes)

    return made


def test_what_could_be_seen_is_told_by_counts(told):
    (line,) = told()
    assert "3 faults were there and 37 were not" in line
    assert "you called 2 rightly and 3 wrongly (d': too few items (3 faulty, 37 sound))" in line


def test_chances_changes_and_parts_are_told_where_there_are_any(told):
    words = "\n".join(told(needless=["swap:pack", "swap:aerial"], parts_used=3, calibration=KNOWN))
    assert "nothing called for it: swap:pack, swap:aerial." in words
    assert "Parts used: 3." in words
    assert "4 causes claimed, 70 % sure on average and 75 % right; Brier score 0.12" in words


def test_nothing_is_told_of_one_who_looked_at_nothing(told):
    none = dict.fromkeys(SEEN, 0) | {"d_prime_words": "no calls made"}
    assert told(detection=none) == []


def test_luck_is_told_by_the_fault_that_flew_unseen():
    rungs = [{"id": "no-spotter", "lucky": "nothing came up."}, {"id": "over-mass", "lucky": ""}]
    assert lucky_told(rungs) == ["no-spotter: you were lucky: nothing came up."]


def test_minutes_stand_beside_careful_s_and_a_lock_up_is_told():
    session = Session(load("quiet-morning").model_copy(update={"careful_min": 1.0}), 1)
    session.state.evening.minutes = 2.0
    session.state.lock_up()
    card = scorecard(session.record(), "somebody", "a drill", shipped(), TABLES)
    out = io.StringIO()
    print_scorecard(Console(file=out, width=200), card)
    assert "2 bench minutes (careful needs 1)" in out.getvalue()
    assert "the club locked up" in out.getvalue()


def test_what_came_of_the_air_is_told_apart():
    assert air_told(card_of()["air"]) == []
    lines = air_told(bad_card()["air"])
    assert lines[0] == "Landed at the first doubt: well done."
    assert "rate-gain-high (flew with it): named, cleared, proved." in lines[1]
    assert "leg-snag-or-bent (came after the first takeoff): named, cleared." in lines[2]
    assert "motor-shaft-bent (flew with it): not found." in lines[4]
    assert lines[5] == "Hop 2: took off at 64.2 s with motor-shaft-bent; it crashed."
