"""Which drill comes next."""

from datetime import timedelta

import pytest

from sim.logbook import memory
from sim.logbook.ahead import WORDS, Drill, ahead, due, expected, shipped
from sim.logbook.skill import Skill
from sim.logbook.standing import TOPICS, Standing, Topic
from tests.logbook.entering import BEGAN

FIRST = Drill("a-shown", "Shown", 1, frozenset({"power"}))
HARDER = Drill("b-alone", "Alone", 3, frozenset({"power"}))
OTHER = Drill("c-radio", "Radio", 1, frozenset({"radio"}))
SOUND = Drill("d-sound", "Sound", 3, frozenset({"sound"}))
DRILLS = (FIRST, HARDER, OTHER, SOUND)
LATER = BEGAN + timedelta(days=60)


def stands(mean: float, variance: float = 0.2, last=BEGAN) -> Standing:
    return Standing(Skill(mean, variance), 5, 4, memory.reviewed("", True, last))


def test_a_grave_act_is_made_good_first():
    assert ahead(DRILLS, {}, (), BEGAN, "b-alone").drill is HARDER


def test_a_beginner_begins_at_the_foot():
    chosen = ahead(DRILLS, {}, (), BEGAN)
    assert chosen.drill is FIRST
    assert chosen.reason == "New: pack and power."


def test_what_is_new_comes_before_what_is_not_due():
    standings: dict[Topic, Standing] = {"power": stands(1.0, last=LATER)}
    assert ahead(DRILLS, standings, {"a-shown"}, LATER).drill is OTHER


def met(**some: Standing) -> dict[Topic, Standing]:
    """Return standings in every topic: all but some were practised just now and sit firmly."""
    return {topic: some.get(topic, stands(3.0, last=LATER)) for topic in TOPICS}


def test_what_is_new_does_not_wait_behind_what_is_due():
    standings = met(power=stands(1.1))
    del standings["sound"]
    assert ahead(DRILLS, standings, (), LATER).drill is SOUND


def test_what_is_due_comes_back_the_longest_due_first_at_the_rung_that_teaches():
    standings = met(radio=stands(0.0, last=BEGAN + timedelta(days=9)), power=stands(1.1))
    assert due(standings, LATER) == ["power", "radio"]
    chosen = ahead(DRILLS, standings, (), LATER)
    assert chosen.drill is HARDER  # 0.75 at the third rung, 0.88 at the first
    assert "power" not in chosen.reason
    assert ahead(DRILLS, standings, {"b-alone"}, LATER).drill is FIRST


def test_on_the_first_rungs_the_reason_tells_what_to_look_for():
    standings = met(power=stands(-0.5))
    reason = ahead(DRILLS, standings, (), LATER).reason
    assert reason == "To be seen again: pack and power; it was due 58 days ago."


def test_what_is_far_too_hard_waits():
    standings: dict[Topic, Standing] = {topic: stands(-2.0, last=LATER) for topic in TOPICS}
    assert ahead(DRILLS, standings, (), LATER).drill.rung == 1


def test_then_the_least_sure_is_practised():
    standings: dict[Topic, Standing] = {topic: stands(1.0, last=LATER) for topic in TOPICS}
    standings["radio"] = stands(0.2, last=LATER)
    assert ahead(DRILLS, standings, (), LATER).drill is OTHER


def test_the_chance_of_a_drill_is_that_of_its_topics():
    pair = Drill("pair", "Pair", 3, frozenset({"power", "radio"}))
    standings: dict[Topic, Standing] = {"power": stands(2.0, 0.0), "radio": stands(-2.0, 0.0)}
    assert expected(pair, standings) == pytest.approx(0.5)


def test_every_topic_has_words_and_a_shipped_drill():
    assert set(WORDS) == set(TOPICS)
    assert set().union(*(drill.topics for drill in shipped())) == set(TOPICS)


def test_an_alone_drill_gives_no_topic_away():
    given = [ahead([HARDER], {"power": stands(0.5)}, (), when).reason for when in (BEGAN, LATER)]
    for topic, words in WORDS.items():
        assert all(topic not in reason and words not in reason for reason in given)


def test_a_drill_waits_until_what_it_needs_was_done_or_who_is_ready_for_the_rung_below():
    gated = HARDER._replace(needs=frozenset({"a-shown", "radio"}))
    assert gated.missing({}, ()) == ("a-shown", "radio")
    assert gated.missing({}, {"a-shown"}) == ("radio",)
    assert gated.missing({"radio": stands(0.0)}, {"a-shown"}) == ()
    unproved = stands(0.0)._replace(right_n=0)
    assert gated.missing({"radio": unproved}, {"a-shown"}) == ("radio",)
    assert stands(1.5).ready_for == 3
    assert stands(0.9).ready_for == 1
    assert gated.missing({"power": stands(1.5)}, ()) == ()
    assert gated.missing({"power": stands(0.9)}, ()) == ("a-shown", "radio")
    standings: dict[Topic, Standing] = {"power": stands(1.1), "sound": stands(1.0, last=LATER)}
    assert ahead([HARDER, FIRST, SOUND], standings, (), LATER).drill is HARDER
    standings = {"power": stands(0.9), "sound": stands(1.0, last=LATER)}
    assert ahead([gated, FIRST, SOUND], standings, (), LATER).drill is FIRST


def test_somebody_new_begins_with_what_most_others_need():
    needed = OTHER._replace(needs=frozenset({"d-sound"}))
    drills = (FIRST, HARDER._replace(needs=frozenset({"c-radio"})), needed, SOUND)
    assert ahead(drills, {}, (), BEGAN).drill is SOUND  # c-radio has needs itself
    assert ahead(drills, {}, {"d-sound"}, BEGAN).drill is not SOUND
    assert ahead(shipped(), {}, (), BEGAN).drill.name == "first-evening"


def test_what_shipped_drills_need_is_read_from_their_files():
    by_name = {drill.name: drill for drill in shipped()}
    assert by_name["twice-round"].needs == {"first-evening"}
    assert by_name["first-evening"].needs == frozenset()
