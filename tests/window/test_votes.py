"""What a class is asked: the decisions of a run, always the same kinds of choices, and how hands fell."""

from typing import get_args

import pytest

from sim.aircraft.conduct import Conduct
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session.record import Event
from sim.window.votes import (
    LATER_STEPS,
    MOST_CHECKS,
    MOST_HANDS,
    OTHER,
    choices,
    decisions,
    kind_of,
    tally,
)

CALL = act.Answer(card="arrival", item="complete", value="Arrival complete")
NOTE = act.Answer(card="arrival", item="people", value="two")
SQUAWK = act.Squawk(item="pack", cause="pack-cold")
BEST: tuple[CheckKey, ...] = ("pack-at-rest", "hand-tilt", "settings-sheet", "stick-display")


def event(action, minutes=0.0, refused=None, read=None):
    reading = None if read is None else Reading(read, {"roll_deg": 1.0})
    return Event(0, "bench", action, refused, reading, frozenset(), Conduct(), False, minutes)


@pytest.mark.parametrize(
    ("action", "kind"),
    [
        (act.Read(check="hand-tilt"), "check"),
        (act.Begin(check="hand-tilt"), "check"),
        (act.Done(), None),
        (SQUAWK, "squawk"),
        (act.Withdraw(item="pack"), None),
        (act.Set(key="setup.controller.idle", value=0.1), "change"),
        (act.Swap(part="pack"), "change"),
        (act.Calibrate(what="level"), "change"),
        (act.Calibrate(what="compass-start"), "change"),
        (act.Calibrate(what="compass-finish"), None),
        (CALL, "call"),
        (NOTE, None),
        (act.Arm(), "last-word"),
        (act.Disarm(), None),
        (act.Declare(verdict="clear"), "last-word"),
        (act.PlugPack(), None),
    ],
)
def test_what_is_a_decision(action, kind):
    assert kind_of(action) == kind


def test_every_step_of_a_calibration_is_a_beginning_or_a_later_step():
    steps = set(get_args(act.Calibrate.model_fields["what"].annotation))
    assert steps >= LATER_STEPS
    assert {s.partition("-")[0] for s in LATER_STEPS} == {"compass", "face"}


def test_what_is_offered_does_not_tell_what_was_done():
    for made in (None, "hand-tilt", "people-and-room"):
        offered = choices(made, BEST)
        checks = [one for one in offered if one.kind == "check"]
        assert len(checks) == MOST_CHECKS
        assert [one.words for one in checks] == sorted(one.words for one in checks)
        assert [one.words for one in offered[MOST_CHECKS:]] == list(OTHER.values())
        assert made is None or made in {one.check for one in checks}
        assert BEST[0] in {one.check for one in checks}


def test_the_decisions_of_a_run():
    events = [
        event(act.PlugPack(), 0.5),
        event(act.Read(check="hand-tilt"), 2.0, read="hand-tilt"),
        event(act.Swap(part="pack"), 2.0, refused="the pack is in"),
        event(NOTE, 2.0),
        event(SQUAWK, 2.5),
        event(CALL, 3.0),
    ]
    found = decisions(events, [BEST] * len(events))
    assert [one.act for one in found] == [1, 4, 5]
    assert [one.minutes for one in found] == [0.5, 2.0, 2.5]
    assert [one.choices[one.made].kind for one in found] == ["check", "squawk", "call"]
    assert found[0].choices[found[0].made].check == "hand-tilt"
    tops = [one.best for one in found if one.best is not None]
    assert [found[0].choices[tops[0]].check, len(tops)] == [BEST[0], 3]
    assert decisions([events[1]], [BEST])[0].minutes == 0.0
    assert decisions([events[4]], [()])[0].best is None


def test_a_check_begun_by_hand_is_told_once_it_is_done_and_asked_once():
    events = [
        event(act.Begin(check="hand-tilt"), 1.0),
        event(act.Turn(roll_deg=20.0), 1.1),
        event(act.Done(), 2.0, read="hand-tilt"),
        event(act.Begin(check="hand-tilt"), 2.5),
        event(act.Begin(check="stick-display"), 3.0),
        event(act.Done(), 4.0, read="stick-display"),
    ]
    found = decisions(events, [BEST] * len(events))
    assert [(one.act, one.through) for one in found] == [(0, 2), (3, 3), (4, 5)]


def counted(*hands, made=0, best=None):
    (one,) = decisions([event(act.Read(check="hand-tilt"))], [BEST])
    for at, n in enumerate(hands):
        one.count(at, n)
    one.made, one.best = made, best
    return one


def test_hands_are_counted_and_ties_have_no_favourite():
    assert counted().favourite is None
    assert counted(2, 5, 1).favourite == 1
    assert counted(5, 5).favourite is None
    full = counted(MOST_HANDS)
    full.count(0, MOST_HANDS + 1)
    full.count(1, -1)
    assert full.hands[:2] == [MOST_HANDS, 0]


def test_the_tally():
    asked = [
        counted(3, 1, made=0, best=1),
        counted(1, 4, made=0, best=1),
        counted(2, 2, made=0, best=0),
        counted(made=0, best=0),
        counted(0, 0, 6, made=2, best=None),
    ]
    assert tally(asked) == (5, 4, 3 + 1 + 1 + 4 + 2 + 2 + 6, 2, 1)
    assert tally([]) == (0, 0, 0, 0, 0)
