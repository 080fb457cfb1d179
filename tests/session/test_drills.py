"""The shipped drills: they load, start with just the faults named, and give nothing away."""

import re
from collections import Counter
from functools import cache

import numpy as np
import pytest
from pydantic import ValidationError

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.session import scenario
from sim.session.scenario import Draw, Scenario
from sim.session.session import Session
from tests.worlds import sound_world

NAMES = scenario.names()
FIRST = frozenset(
    {"club-loaner", "first-evening", "quiet-morning", "second-hand", "spare-from-the-shelf"}
)
FAMILIES = {fault.family for fault in CATALOGUE.values()}
SHORT = {"for", "not", "the", "off", "low", "per", "out", "and", "one", "from", "last"}
SEEDS = (0, 1, 2)


@cache
def drill(name: str) -> Scenario:
    return scenario.load(name)


def hidden(drill: Scenario, seed: int) -> set[FaultId]:
    return {fault.id for fault in drill.hidden(np.random.default_rng(seed))}


def words(text: str) -> set[str]:
    return {word for word in re.findall(r"[a-z]+", text.lower()) if len(word) > 2}


def test_there_are_enough_drills():
    assert len(NAMES) >= 24 + len(FIRST)
    drills = [drill(name) for name in NAMES]
    assert sum(not d.faults and d.draw is None for d in drills) >= 3
    assert sum(d.draw is not None for d in drills) >= 4
    assert sum(len(d.faults) == 2 for d in drills) >= 5


def test_every_family_at_two_levels():
    levels = Counter(
        (CATALOGUE[fault.id].family, fault.severity)
        for name in NAMES
        for fault in drill(name).faults
    )
    missing = [(f, s) for f in FAMILIES for s in (0.4, 0.8) if not levels[(f, s)]]
    assert not missing


@pytest.mark.parametrize("name", NAMES)
def test_it_starts_with_its_faults_and_no_others(name):
    for seed in SEEDS[: 1 if drill(name).draw is None else 3]:
        wanted = hidden(drill(name), seed)
        declared = wanted.union(*(CATALOGUE[i].also for i in wanted))
        declared |= {"person-in-ring"} if drill(name).visitor_in_ring else set()
        record = Session(drill(name), seed).record()
        assert record.hidden == wanted
        assert wanted <= record.present_at_start <= declared


@pytest.mark.parametrize("name", sorted(set(NAMES) - FIRST))
def test_its_words_give_nothing_away(name):
    it = drill(name)
    ids = {fault.id for fault in it.faults}
    if it.draw:
        ids |= {f.id for f in CATALOGUE.values() if f.family in it.draw.families}
    told = words(f"{name} {it.title} {it.story} {it.purpose}") - SHORT
    for i in ids:
        fault = CATALOGUE[i]
        secret = words(f"{fault.id} {fault.item} {fault.family}") - SHORT
        stems = {word.rstrip("s") for word in secret}
        assert not stems & {word.rstrip("s") for word in told}, i


def test_titles_are_all_different():
    assert len({drill(name).title for name in NAMES}) == len(NAMES)


def test_a_draw_is_fixed_by_its_seed_and_differs_between_seeds():
    draw = Draw(families=("radio", "power", "site"), count=3, severity=0.5)
    seen = [draw.drawn(np.random.default_rng(seed), sound_world()) for seed in range(12)]
    assert seen == [draw.drawn(np.random.default_rng(seed), sound_world()) for seed in range(12)]
    assert len({frozenset(f.id for f in faults) for faults in seen}) > 6
    for faults in seen:
        assert {CATALOGUE[f.id].family for f in faults} == {"radio", "power", "site"}


def test_a_draw_takes_no_fault_twice():
    draw = Draw(families=("power",), count=4)
    for seed in range(10):
        assert len({f.id for f in draw.drawn(np.random.default_rng(seed), sound_world())}) == 4


def test_a_draw_refuses_a_family_there_is_not():
    with pytest.raises(ValidationError):
        Draw.model_validate({"families": ["weather"]})


def test_drills_whose_faults_are_drawn_stand_on_the_last_rung_and_no_others():
    plain = scenario.load("quiet-morning").model_dump()
    with pytest.raises(ValidationError, match="rung must be 5"):
        Scenario.model_validate(plain | {"rung": 5})
    drawn = scenario.load("lucky-dip").model_dump()
    with pytest.raises(ValidationError, match="rung must be 5"):
        Scenario.model_validate(drawn | {"rung": 4})
    with pytest.raises(ValidationError, match="less than or equal to 5"):
        Scenario.model_validate(plain | {"rung": 6})


def test_every_rung_has_drills_and_several_faults_stand_on_the_upper_two():
    drills = [scenario.load(name) for name in NAMES]
    assert {drill.rung for drill in drills} == {1, 2, 3, 4, 5}
    assert all(drill.rung == 4 for drill in drills if len(drill.faults) > 1)
    assert {drill.rung for drill in drills if not drill.faults} >= {
        1,
        2,
        3,
        4,
    }  # none tells it is sound


def test_a_check_may_be_had_shown_at_the_first_rung_alone_unless_a_drill_says_so():
    for name in scenario.names():
        drill = scenario.load(name)
        assert drill.shows_checks is (drill.rung == 1), name
        for said in (True, False):
            assert drill.model_copy(update={"show_me": said}).shows_checks is said
