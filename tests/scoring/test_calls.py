"""Which cards were called complete over open lines: not done, due again, or not written down."""

from dataclasses import replace

import pytest

from sim.bench.evidence import Measured
from sim.keys import CheckKey
from sim.procedure.cards import BY_KEY, COMPLETE
from sim.procedure.rubric import shipped
from sim.scoring.calls import called_open
from sim.scoring.case import Case
from sim.session import actions as act
from sim.session.record import Event
from tests.scoring.conftest import READY

CARD = BY_KEY["link"]
CHECKS: frozenset[CheckKey] = frozenset(item.check for item in CARD.items)


@pytest.fixture
def case(record):
    """Return what makes a case of answers: (minute, item, checks that hold)."""

    def made(*answers):
        events = [
            Event(
                0, "bench", act.Answer(card=CARD.key, item=item, value="seen"), None, None,
                frozenset(), READY, False, minute, facts,
            )
            for minute, item, facts in answers
        ]  # fmt: skip
        return Case(replace(record(set()), events=tuple(events)), shipped(), Measured({}, {}))

    return made


def all_answered():
    return [(1.0, item.key, CHECKS) for item in CARD.items]


def test_a_card_done_and_written_down_is_called_rightly(case):
    assert called_open(case(*all_answered(), (2.0, COMPLETE, CHECKS))) == []


def test_a_line_not_written_down_is_open(case):
    answers = all_answered()
    others = {item.check for item in CARD.items[1:]}
    open_ = [item for item in CARD.items if item.check not in others]
    (call,) = called_open(case(*answers[1:], (2.0, COMPLETE, CHECKS)))
    assert (call.card, call.minutes, list(call.items)) == (CARD.key, 2.0, open_)


def test_a_line_due_again_is_open_though_it_was_written_down(case):
    gone = CARD.items[-1].check
    (call,) = called_open(case(*all_answered(), (3.0, COMPLETE, CHECKS - {gone})))
    assert {item.check for item in call.items} == {gone}


def test_what_is_written_down_after_the_call_was_open_at_the_call(case):
    (call,) = called_open(case((2.0, COMPLETE, CHECKS), *all_answered()))
    assert list(call.items) == list(CARD.items)
