"""A shipped drill gives away nothing of what is hidden in it, before the attempt is over."""

import re

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.session.scenario import load, names

DULL = {"high", "off", "bad", "last", "holds", "hard", "rate"}  # ordinary words in any sentence


def words_of(fault):
    parts = re.findall(r"[a-z]+", f"{fault.id} {fault.item} {fault.family}".lower())
    return {word.rstrip("s") for word in parts} - {word.rstrip("s") for word in DULL}


def told(drill):
    scenario = load(drill)
    text = f"{drill} {scenario.title} {scenario.story} {scenario.purpose}"
    return {word.rstrip("s") for word in re.findall(r"[a-z]+", text.lower())}


@pytest.mark.parametrize("drill", names())
def test_no_word_of_its_fault(drill):
    for hidden in load(drill).faults:
        assert not words_of(CATALOGUE[hidden.id]) & told(drill)


def test_the_listing_holds_no_fault(dryhop):
    for words in (["scenarios"], ["scenarios", "--json"]):
        said = dryhop(*words).out.lower()
        for drill in names():
            for hidden in load(drill).faults:
                assert hidden.id not in said
        assert "severity" not in said


def test_there_are_the_four_core_drills_and_a_sound_one():
    hidden = [tuple(fault.id for fault in load(drill).faults) for drill in names()]
    core = [
        "pitch-channel-reversed",
        "mag-hard-iron-offset",
        "rate-gain-high",
        "pack-high-resistance",
    ]
    assert {(fault,) for fault in core} | {()} <= set(hidden)
