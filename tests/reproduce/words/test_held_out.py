"""Hops no table has seen, told by people who slip: how often the answer is right, and as sure as it says."""

from functools import cache

import numpy as np
import pytest

from sim.reproduce.causes import NONE, PAIR_SHARE, SOUND_SHARE
from tests.reproduce.words.held_out import OF_EACH, SOUND, Answered, answered, told, unseen

TELLINGS = 4  # of each hop
SINGLE_PRIOR = (1.0 - SOUND_SHARE) * (1.0 - PAIR_SHARE)
SOUND_PRIOR = SOUND_SHARE / (SOUND_SHARE + SINGLE_PRIOR)  # of those and none, as causes are weighed


@cache
def answers() -> tuple[Answered, ...]:
    return tuple(answered(one) for one in told(11, TELLINGS))


def share(values):
    values = list(values)
    assert len(values) > 100
    return float(np.mean(values))


def of_faults(seen):
    quiet = unseen()
    return [a for a in answers() if a.told.truth and (a.told.truth[0] not in quiet) == seen]


def test_the_hops_are_all_there():
    truths = [a.told.truth for a in answers()]
    assert truths.count(NONE) == SOUND * TELLINGS
    assert len(truths) == (SOUND + OF_EACH * len(set(truths) - {NONE})) * TELLINGS
    assert 30 < len(unseen()) < 45


def test_a_sound_aircraft_is_called_none():
    assert share(a.first == NONE for a in answers() if not a.told.truth) > 0.93


def test_what_shows_is_found_or_named_as_not_told_apart():
    found = of_faults(seen=True)
    assert 0.40 < share(a.rank == 0 for a in found) < 0.60
    assert 0.60 < share(a.rank < 3 for a in found) < 0.80
    assert 0.65 < share(a.group or a.rank < 3 for a in found) < 0.85


def test_what_does_not_show_is_none_rather_than_another_fault():
    found = of_faults(seen=False)
    assert share(a.first == NONE for a in found) > 0.90
    assert share(a.rank < 3 or NONE in [f for f, _ in a.chances[:3]] for a in found) > 0.97


@pytest.mark.parametrize(
    ("low", "high", "off"),
    [(0.02, 0.1, 0.02), (0.1, 0.3, 0.04), (0.3, 0.5, 0.06), (0.5, 0.9, 0.15), (0.9, 1.01, 0.06)],
)
def test_it_is_as_sure_as_it_is_right(low, high, off):
    """Hops count by the prior; off : twice what chance alone would make of so few tellings."""
    hops = [a for a in answers() if a.told.truth]
    quiet = [a for a in answers() if not a.told.truth]
    rows = [
        (weight, chance, faults == a.told.truth)
        for of, weight in ((hops, (1 - SOUND_PRIOR) / len(hops)), (quiet, SOUND_PRIOR / len(quiet)))
        for a in of
        for faults, chance in a.chances
        if low <= chance < high
    ]
    weights, said, so = np.array(rows).T
    assert np.average(said, weights=weights) == pytest.approx(
        np.average(so, weights=weights), abs=off
    )


def test_the_severity_interval_holds_the_true_one():
    graded = [a for a in of_faults(seen=True) if a.severity != (1.0, 1.0, 1.0)]
    held = share(a.severity[0] <= a.told.severity <= a.severity[2] for a in graded)
    assert 0.75 < held < 0.97  # of 90 in 100 stated


def test_other_slips_leave_the_shares_as_they_are():

    again = [answered(one) for one in told(12, 1)]
    quiet = unseen()
    seen = [a for a in again if a.told.truth and a.told.truth[0] not in quiet]
    assert 0.5 < share(a.rank < 3 for a in seen) < 0.85
