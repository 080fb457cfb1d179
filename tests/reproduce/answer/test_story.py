"""The story of a report: the member's own words, without what names the fault."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.faults.secrecy import SMALL, gives_away
from sim.reproduce.answer.story import LONGEST, PLAIN, sentences, told


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("I think the pitch is reversed.", "pitch-channel-reversed"),
        ("One propeller may have been the wrong hand", "prop-wrong-hand"),
        ("somebody swapped two motors", "motor-order-swapped"),
        ("the rate gains were set HIGH", "rate-gain-high"),
    ],
)
def test_what_names_the_cause_gives_it_away(text, fault):
    assert gives_away(text, [fault])


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("It pitched down as it left the ground.", "pitch-channel-reversed"),
        ("Two motors sounded louder than the others.", "motor-order-swapped"),
        ("The stick went right and it rolled left.", "roll-channel-reversed"),
        ("It was too high for my taste.", "rate-gain-high"),
        ("The pitch is reversed.", "cg-offset"),
    ],
)
def test_what_was_seen_does_not(text, fault):
    assert not gives_away(text, [fault])


@pytest.mark.parametrize("fault", CATALOGUE)
def test_every_fault_is_given_away_by_its_own_name(fault):
    assert gives_away(f"It was {fault.replace('-', ' ')}.", [fault])
    assert not SMALL & {fault}


def test_only_the_sentences_that_name_it_are_left_out():
    report = "It flipped at once. The pitch channel is reversed! Nobody was near."
    found = told(report, ["pitch-channel-reversed"])
    assert found.story == "It flipped at once. Nobody was near."
    assert found.left_out == ("The pitch channel is reversed!",)
    assert told(report, ["cg-offset"]).story == report


def test_where_nothing_is_left_something_else_is_told():
    words = "The pitch channel is reversed."
    assert told(words, ["pitch-channel-reversed"], "It ran away.").story == "It ran away."
    assert told(words, ["pitch-channel-reversed"], words).story == PLAIN
    assert told("", ["cg-offset"]).story == PLAIN


def test_a_long_report_ends_with_a_sentence():
    story = told("It went up. " * 80, ["cg-offset"]).story
    assert LONGEST - 12 < len(story) <= LONGEST
    assert story.endswith("up.")


def test_sentences():
    assert sentences("One! Two?\nThree; four. ") == ["One!", "Two?", "Three;", "four."]


@pytest.mark.parametrize("fault", CATALOGUE)
def test_the_plain_story_and_title_name_nothing(fault):
    from sim.reproduce.answer.drill import PURPOSE, TITLE

    assert not gives_away(f"{PLAIN} {TITLE} {PURPOSE}", [fault])
