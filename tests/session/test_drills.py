"""The shipped drills: they load, start with just the faults named, and give nothing away."""

import re
from collections import Counter
from functools import cache

import numpy as np
import pytest
from pydantic import ValidationError

from sim.errors import InputError
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


def test_every_fault_stands_by_name_in_a_drill_of_the_lower_rungs():
    named = {
        f.id for name in NAMES if drill(name).rung <= scenario.ALONE for f in drill(name).faults
    }
    assert named == set(CATALOGUE)


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


def test_a_drill_holds_no_more_than_can_be_kept_in_mind():
    for name in NAMES:
        assert len(drill(name).faults) <= (4 if drill(name).rung == scenario.CHECK_OUT else 3), name


def test_drills_above_the_foot_need_some_of_the_rung_below():
    for name in NAMES:
        below = {drill(n).rung for n in drill(name).needs if n in NAMES}
        rung = drill(name).rung
        assert bool(below) is (rung > 1 or name == "fresh-board"), name
        assert all(r in (rung - 1, rung) for r in below), name


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


def test_drills_whose_faults_are_drawn_stand_on_their_rung_and_no_others():
    plain = scenario.load("quiet-morning").model_dump()
    with pytest.raises(ValidationError, match="rung 5 must have a draw"):
        Scenario.model_validate(plain | {"rung": 5})
    drawn = scenario.load("lucky-dip").model_dump()
    for rung in (4, 6):
        with pytest.raises(ValidationError, match="rung must be 5"):
            Scenario.model_validate(drawn | {"rung": rung})
    with pytest.raises(ValidationError, match="less than or equal to 6"):
        Scenario.model_validate(plain | {"rung": 7})


def test_every_rung_has_drills_and_several_faults_stand_on_the_upper_ones():
    drills = [scenario.load(name) for name in NAMES]
    assert {drill.rung for drill in drills} == {1, 2, 3, 4, 5, 6}
    assert {drill.rung for drill in drills if not drill.faults} >= {
        1,
        2,
        3,
        4,
    }  # none tells it is sound


def test_the_helper_does_as_the_rung_says_unless_a_drill_says_so():
    by_rung = {1: "shown", 2: "hints"}
    for name in scenario.names():
        drill = scenario.load(name)
        assert drill.helping == by_rung.get(drill.rung, "none"), name
        for said in ("shown", "hints", "none"):
            told = drill.model_copy(update={"help": said})
            assert told.helping == said
            assert told.shows_checks is (said == "shown")


@pytest.mark.parametrize("rung", [5, 6])
def test_from_the_drawn_on_there_is_no_help(rung):
    drill = scenario.load("twins").model_dump() | {"rung": rung}
    assert Scenario.model_validate(drill | {"help": "none"}).helping == "none"
    for said in ("shown", "hints"):
        with pytest.raises(ValidationError, match="no help"):
            Scenario.model_validate(drill | {"help": said})


def test_a_check_out_is_the_same_for_everybody():
    drill = scenario.load("twins").model_dump() | {"rung": 6}
    edge = ({"id": "cg-offset", "severity": "at-edge"},)
    with pytest.raises(ValidationError, match="same for everybody"):
        Scenario.model_validate(drill | {"faults": edge})
    assert Scenario.model_validate(drill | {"rung": 3, "faults": edge}).faults[0].severity


def test_a_severity_at_the_edge_is_the_middling_one_where_nobody_is_known():
    edge = scenario.HiddenFault(id="cg-offset", severity="at-edge")
    half = scenario.HiddenFault(id="cg-offset", severity=0.5)
    for seed in SEEDS:
        rngs = [np.random.default_rng(seed) for _ in range(2)]
        worlds = [
            f.put_into(sound_world(), r, 75.0) for f, r in zip((edge, half), rngs, strict=True)
        ]
        assert worlds[0] == worlds[1]
    with pytest.raises(ValidationError, match="severity"):
        scenario.HiddenFault.model_validate({"id": "cg-offset", "severity": "at-the-edge"})


def test_what_a_drill_needs_is_a_drill_or_a_family():
    plain = scenario.load("quiet-morning").model_dump()
    for good in ("first-evening", "radio"):
        assert Scenario.model_validate(plain | {"needs": (good,)}).needs == (good,)
    with pytest.raises(ValidationError, match="not a known drill or family"):
        Scenario.model_validate(plain | {"needs": ("first-evenin",)})


def test_no_drill_needs_itself(tmp_path, monkeypatch):
    needs = {"first-evening": ("radio", "twins"), "twins": ("lucky-dip",), "lucky-dip": ()}
    monkeypatch.setattr(scenario, "_needs_of", lambda name: needs[name])
    assert scenario.circle("quiet-morning", ("radio", "first-evening", "lucky-dip")) is None
    needs["lucky-dip"] = ("twins", "quiet-morning")  # a ring beside the way, and the way itself
    found = scenario.circle("quiet-morning", ("radio", "first-evening"))
    assert found == ("quiet-morning", "first-evening", "twins", "lucky-dip", "quiet-morning")
    text = scenario.find("quiet-morning").read_text(encoding="utf-8")
    drill = tmp_path / "quiet-morning.yaml"
    drill.write_text(text + "needs: [first-evening]\n", encoding="utf-8")
    with pytest.raises(
        InputError,
        match=r"quiet-morning\.yaml: needs = first-evening: .*itself: quiet-morning needs first",
    ):
        scenario.load(str(drill))


def test_hints_on_a_fault_are_as_many_as_its_family_has():
    drill = scenario.load("borrowed-gear").model_copy(update={"hint_steps": {"radio": 1}})
    assert drill.hints_on("stick-ends-short") == 1
    assert drill.hints_on("cg-offset") == 3


def test_equal_drills_have_one_place_in_a_table():
    drill = scenario.load("borrowed-gear")
    helped = drill.model_copy(update={"hint_steps": {"radio": 1, "power": 2}})
    again = drill.model_copy(update={"hint_steps": {"power": 2, "radio": 1}})
    assert len({drill, helped, again}) == 2
