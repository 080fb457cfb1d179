"""Chances of fault sets: counts, the noisy-or example, cures, against worked numbers and a plain loop."""

from dataclasses import replace
from itertools import chain, combinations
from math import comb, prod

import numpy as np
import pytest

from sim.keys import FaultId
from sim.scoring.faultsets import BY_SIZE, FaultSets, fault_sets, sets_of

NAMES: tuple[FaultId, ...] = ("over-mass", "cg-offset", "pack-cold", "idle-too-low")


def independent(*chances: float) -> FaultSets:
    """Return the sets of up to two of two faults that are there independently of each other."""
    members = sets_of(2, 2)
    weights = np.array(
        [prod(p if n in row else 1.0 - p for n, p in enumerate(chances)) for row in members]
    )
    return FaultSets(NAMES[:2], members, weights)


@pytest.mark.parametrize(("faults", "sets"), [(40, 10_701), (60, 36_051), (87, 109_824)])
def test_there_are_as_many_sets_of_up_to_three_as_the_books_count(faults, sets):
    found = sets_of(faults)
    assert found.shape == (sets, 3)
    assert sets == sum(comb(faults, size) for size in range(4))
    assert len({tuple(row) for row in found[:5000].tolist()}) == 5000


def test_two_causes_at_once_are_weighed_as_in_the_worked_example():
    # p = (.2, .1), d = (.9, .8), f = .05: worked out apart from this code
    sets = independent(0.2, 0.1)
    quiet = 0.95 * sets.all_in(1.0 - np.array([0.9, 0.8]))
    assert float(sets.chances @ (1.0 - quiet)) == pytest.approx(0.283320, abs=1e-6)
    assert sets.given(1.0 - quiet).marginals() == pytest.approx([0.644219, 0.297967], abs=1e-6)
    assert sets.given(quiet).marginals()[0] == pytest.approx(0.024390, abs=1e-6)


def test_sets_begin_by_their_size_and_all_of_one_size_alike():
    sets = fault_sets(NAMES)
    for size, chance in enumerate(BY_SIZE):
        of_size = sets.chances[sets.sizes == size]
        assert of_size.sum() == pytest.approx(chance)
        assert np.ptp(of_size) == pytest.approx(0.0, abs=1e-15)
    assert sum(BY_SIZE) == pytest.approx(1.0)


def test_marginals_are_sums_over_the_sets_that_hold_a_fault():
    sets = fault_sets(NAMES).given(np.arange(1.0, 16.0))
    wanted = [sets.chances[(sets.members == n).any(axis=1)].sum() for n in range(4)]
    assert sets.marginals() == pytest.approx(wanted)


def test_a_cure_moves_the_weight_to_the_same_set_without_the_fault():
    sets = fault_sets(NAMES).given(np.arange(1.0, 16.0))
    cured = sets.cured([1, 3], 0.85)
    by_set = dict(
        zip((frozenset(r) - {4} for r in sets.members.tolist()), sets.chances, strict=True)
    )
    wanted = dict.fromkeys(by_set, 0.0)
    for members, chance in by_set.items():
        wanted[members] += 0.15 * chance
        wanted[members - {1, 3}] += 0.85 * chance
    got = dict(
        zip((frozenset(r) - {4} for r in cured.members.tolist()), cured.chances, strict=True)
    )
    assert got == pytest.approx(wanted)
    assert cured.chances.sum() == pytest.approx(1.0)


def test_a_fix_that_always_takes_leaves_none_of_it():
    assert fault_sets(NAMES).cured([2], 1.0).marginals()[2] == 0.0


def test_a_change_gives_every_fault_a_chance_again():
    sets = fault_sets(NAMES)
    sure = replace(sets, chances=np.eye(15)[0])
    assert sure.unsettled(sets, 0.02).marginals() == pytest.approx(0.02 * sets.marginals())
    assert sure.unsettled(sets, 0.02).chances.sum() == pytest.approx(1.0)


def test_where_there_are_too_few_faults_for_a_set_of_three_the_chances_still_make_one():
    assert fault_sets(NAMES[:1]).chances.sum() == pytest.approx(1.0)


def test_the_heaviest_are_those_with_most_weight():
    sets = fault_sets(NAMES).given(np.arange(1.0, 16.0))
    assert set(sets.heaviest(3)) == set(np.argsort(sets.chances)[-3:])
    assert len(sets.heaviest(99)) == 15


def test_products_over_members_against_a_plain_loop():
    sets = fault_sets(NAMES)
    shares = np.array([0.5, 0.25, 0.1, 0.9])
    subsets = chain.from_iterable(combinations(range(4), size) for size in range(4))
    wanted = [prod(shares[n] for n in subset) for subset in subsets]
    assert sets.all_in(shares) == pytest.approx(wanted)
    assert sets.all_in(np.stack([shares, shares**2], axis=1))[:, 1] == pytest.approx(
        np.square(wanted)
    )
