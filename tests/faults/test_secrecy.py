"""Which words of a made-up story give a fault away."""

import pytest

from sim.faults.catalogue import CATALOGUE
from sim.faults.secrecy import COMMON, ENOUGH, RARE, SMALL, hints, secret, stems, telling
from sim.session import scenario


@pytest.mark.parametrize(
    ("text", "fault", "found"),
    [
        ("Pitched forward over the winter", "pitch-channel-reversed", ("pitched",)),
        ("Somebody reversing a car was late", "pitch-channel-reversed", ("reversing",)),
        ("A cold evening", "pack-cold", ("cold",)),
        ("The hall smells of power", "pack-high-resistance", ("power",)),  # its family
        ("It sags, and its resistance rises", "pack-cold", ("resistance", "rises")),
        ("Nobody has looked at it since the fair.", "pack-cold", ()),
        ("It rises early", "pack-cold", ()),  # one word that others share tells nothing
        ("", "pack-cold", ()),
    ],
)
def test_words_that_give_it_away(text, fault, found):
    told = hints(text, [fault])
    assert set(found) <= set(told)
    assert bool(told) is bool(found)


@pytest.mark.parametrize("fault", CATALOGUE)
def test_its_name_its_item_its_family_and_its_texts_all_do(fault):
    entry = CATALOGUE[fault]
    assert hints(fault.replace("-", " "), [fault])
    assert hints(entry.item, [fault])
    assert hints(entry.family, [fault])
    if len(telling(fault)) >= ENOUGH:
        assert hints(f"{entry.explanation} {entry.in_the_air}", [fault])


def test_hardly_a_fault_has_too_few_words_of_its_own():
    few = [fault for fault in CATALOGUE if len(telling(fault)) < ENOUGH]
    assert len(few) <= 2, few


def test_a_word_many_faults_are_told_by_is_not_telling():
    for fault in CATALOGUE:
        for stem in telling(fault):
            assert sum(stem in telling(other) for other in CATALOGUE) <= RARE
    assert not telling("pack-cold") & stems("turn motor stick back").keys()


def test_letters_that_stand_alone_are_no_words():
    assert stems("x marks it, s and t") == {"mark": "marks"}


def test_small_words_tell_nothing_and_hide_no_name():
    assert hints(" ".join(SMALL), CATALOGUE) == ()
    assert not [fault for fault in CATALOGUE if not secret(fault)]
    assert not SMALL & COMMON


@pytest.mark.parametrize("name", [n for n in scenario.names() if scenario.load(n).rung > 1])
def test_the_shipped_drills_keep_it(name):
    drill = scenario.load(name)
    faults = [fault.id for fault in drill.faults]
    assert hints(f"{name} {drill.title} {drill.story}", faults) in ((), ("hand",))  # market-day
