"""The answer in order and in words: none, none fits, what can't be told from what."""

import pytest

from sim.reproduce.answer.ranking import (
    CAUTION,
    CENTRED,
    FEWEST,
    NONE_FITS,
    TOO_CLOSE,
    UNSHOWN,
    WHY_ALIKE,
    alike_told,
    as_document,
    name,
    ranked,
    severity_told,
    silent_told,
    verdict,
    why_alike,
)
from sim.reproduce.causes import LOOK_ALIKES, Cause, Causes

NONE = Cause((), 0.0)
MIDDLE = (0.2, 0.5, 0.9)


def causes(*others, none=0.0, **more):
    return Causes((NONE._replace(log_evidence=none), *others), **more)


def cause(*faults, nats=0.0, place=None):
    return Cause(tuple(sorted(faults)), nats, place, MIDDLE, 1)


FLIP = causes(
    cause("prop-wrong-hand", nats=20.0, place="front left"),
    cause("prop-upside-down", nats=14.0),
    cause("cg-offset", nats=19.0),
    cause("over-mass", nats=2.0),
)


def test_likeliest_first_with_all_probabilities():
    found = ranked(FLIP)
    assert [one.faults for one in found][:2] == [("prop-wrong-hand",), ("cg-offset",)]
    assert len(found) == FEWEST  # the third is less likely than is worth a line, but told
    assert sum(one.chance for one in found) == pytest.approx(1.0, abs=1e-3)


def test_what_can_t_be_told_from_the_first():
    first = ranked(FLIP)[0]
    assert set(first.alike) == {("cg-offset",), ("prop-upside-down",)}
    told = alike_told(first)
    assert f"Not told apart from cg-offset: {TOO_CLOSE}." in told
    assert any("prop-upside-down" in line and "push the wrong way" in line for line in told)


def test_what_it_says_nothing_of_is_named():
    (told,) = silent_told(causes(cause("cg-offset", nats=19.0), cause("over-mass", nats=0.2)))
    assert told.endswith("all the same: over-mass.")
    assert silent_told(causes(cause("cg-offset", nats=19.0))) == ()


def test_what_shows_only_where_it_is_bad_is_named_with_how_bad():
    known = causes(cause("cg-offset", nats=19.0), hidden={"over-mass": 0.42, "pack-cold": 1.0})
    whole, mild = silent_told(known)
    assert whole.endswith("all the same: pack-cold.")
    assert (
        mild == "These may be there while they are mild, up to the severity given: over-mass 0.4."
    )


def test_every_stated_set_of_look_alikes_says_why():
    assert set(WHY_ALIKE) == set(LOOK_ALIKES)
    for alike in LOOK_ALIKES:
        a, b = sorted(alike)[:2]
        assert why_alike((a,), (b,)) in WHY_ALIKE.values()


def test_a_reversed_channel_that_looks_sound_says_that_the_stick_was_centred():
    assert why_alike(("pitch-channel-reversed",), ()) == CENTRED
    assert why_alike((), ("pitch-channel-reversed",)) == CENTRED
    assert why_alike(("cg-offset",), ()) == TOO_CLOSE
    assert why_alike((), ("cg-offset",)) == UNSHOWN


def test_none_is_an_answer():
    found = causes(cause("cg-offset", nats=-5.0), none=3.0)
    assert ranked(found)[0].faults == ()
    assert verdict(found).startswith("None: it flew as a sound aircraft does (")
    assert name(()) == "none"
    assert severity_told(NONE) == ""
    assert severity_told(NONE._replace(faults=("mode-switch-swapped",), severity=(0.55,) * 3)) == ""


def test_none_fits_comes_first_and_takes_its_share():
    found = causes(cause("cg-offset", nats=30.0), fit=0.2, fits=False)
    first, second, *_ = ranked(found)
    assert first.faults == NONE_FITS
    assert (first.chance, second.chance) == pytest.approx((0.8, 0.2))
    assert verdict(found).startswith("None fits")
    assert as_document(first)["faults"] == ["none-fits"]
    assert alike_told(first) == []
    unknown = causes(cause("cg-offset", nats=30.0), fits=False)
    assert ranked(unknown)[0].chance == 1.0


def test_the_verdict_names_place_and_what_it_does():
    told = verdict(FLIP)
    assert "prop-wrong-hand, front left" in told
    assert "rolls over onto that corner" in told


def test_as_json_has_it():
    document = as_document(ranked(FLIP)[0])
    assert document["faults"] == ["prop-wrong-hand"]
    assert document["look_alikes"] == ["cg-offset", "prop-upside-down"]
    assert (document["severity_low"], document["severity"], document["severity_high"]) == MIDDLE
    assert document["place"] == "front left"
    none = as_document(ranked(causes(cause("cg-offset", nats=-9.0)))[0])
    assert (none["faults"], none["severity"]) == ([], 0.0)


def test_a_pair_is_one_answer():
    both = causes(cause("cg-offset", "over-mass", nats=30.0))
    assert name(ranked(both)[0].faults) == "cg-offset and over-mass"


def test_the_caution_says_simulation_propellers_and_rules():
    assert all(word in CAUTION for word in ("simulation", "propellers come off", "Local rules"))
