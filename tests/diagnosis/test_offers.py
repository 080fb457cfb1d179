"""What was worth doing before each act: the best first, nothing that holds, none without a question."""

import pytest

from sim.bench.checklist import CHECKS
from sim.diagnosis.offers import worth_doing
from sim.keys import CheckKey
from sim.procedure.rubric import shipped
from sim.scoring.case import Case
from sim.scoring.search import Weighing, searched
from sim.session import actions as act
from sim.session.scenario import load
from sim.trainees.standins import Attempt, rehearsed


@pytest.fixture(scope="module")
def run():
    """Return a careless run's case, how its search went, and what was worth doing before each act."""
    record = rehearsed(Attempt(load("first-evening"), "partial-75", 7))
    case = Case(record, shipped(), record.scenario.tables)
    by = Weighing(case.measured)
    return case, searched(case, by), worth_doing(case, by)


def test_there_is_an_answer_for_every_act_and_none_after_takeoff_or_for_what_was_refused(run):
    case, _, offers = run
    events = case.record.events
    assert len(offers) == len(events)
    for event, offered in zip(events, offers, strict=True):
        if event.refused is not None or not case.before_takeoff(event):
            assert offered == ()
    assert sum(bool(offered) for offered in offers) > 30


def test_what_still_holds_is_not_offered_and_propellers_come_last(run):
    case, _, offers = run
    before: frozenset[CheckKey] = frozenset()
    for event, offered in zip(case.record.events, offers, strict=True):
        if offered:
            assert not before & set(offered)
            props = [CHECKS[check].stance.props for check in offered]
            assert props == sorted(props)
        before = event.facts


def test_the_first_is_what_the_search_has_as_worth_most(run):
    case, search, offers = run
    acts = [n for n, event in enumerate(case.record.events) if event.refused is None]
    bench = [step for step in search.steps if not CHECKS[step.best.check].stance.props]
    same = [
        offers[acts[step.at]][:1] == (step.best.check,) for step in bench if step.best.bits > 0.1
    ]
    assert len(same) > 10
    assert sum(same) >= 0.9 * len(same)  # the way to a check is reckoned from where it lies by now
    assert any(isinstance(case.events[step.at].action, act.Read) for step in bench)
