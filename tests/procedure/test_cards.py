"""The cards, the facts and the bow-ties: short, killers first, and everything they name exists."""

from dataclasses import replace
from typing import get_args

import pytest

from sim.bench.check import Line
from sim.bench.checklist import CHECKS
from sim.errors import Refusal
from sim.faults.catalogue import CATALOGUE
from sim.keys import FixKey
from sim.procedure import bowties
from sim.procedure.barriers import BARRIERS, MITIGATIONS
from sim.procedure.cards import AFTER_HOP, CARDS, COMPLETE, LONGEST_CARD, is_open, item_of, items
from sim.procedure.facts import voided_by
from sim.procedure.hazards import HAZARDS
from sim.procedure.rubric import shipped

ON_CARDS = [item.check for card in CARDS for item in card.items]


def test_every_check_is_on_a_card_and_every_item_has_a_check():
    assert set(ON_CARDS) == set(CHECKS)


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.key)
def test_cards_are_short_with_killers_first_and_end_in_a_call(card):
    assert 1 <= len(card.items) <= LONGEST_CARD
    ranks = [item.killer for item in card.items]
    assert ranks == sorted(ranks, reverse=True)
    assert card.call
    assert len({item.key for item in card.items}) == len(card.items)
    assert all(":" in item.asks for item in card.items)  # each asks for what is seen


def test_a_card_too_long_or_with_a_killer_below_is_refused():
    card = next(c for c in CARDS if len({i.killer for i in c.items}) == 2)
    with pytest.raises(ValueError, match="killer items first"):
        replace(card, items=card.items[::-1])
    with pytest.raises(ValueError, match="at most"):
        replace(card, items=card.items[:1] * (LONGEST_CARD + 1))


def test_what_can_kill_is_proved_by_a_check_on_a_card():
    for fault in CATALOGUE.values():
        if shipped().dangerous(fault.id) and not fault.only_in_the_air:
            assert set(fault.proved_by) & set(ON_CARDS), fault.id


def test_the_order_goes_from_unplugged_to_propellers_on():
    firsts = {check: ON_CARDS.index(check) for check in CHECKS}
    first_on = min(firsts[k] for k, c in CHECKS.items() if "props_on" in c.needs)
    assert firsts["propellers"] < firsts["first-power"] < firsts["switches"]
    assert firsts["stick-display"] < firsts["failsafe"] < first_on
    assert firsts["one-motor"] < firsts["stick-to-motor"]
    assert firsts["hand-tilt"] < firsts["tilt-while-armed"] < first_on
    assert max(firsts[k] for k, c in CHECKS.items() if "props_off" in c.needs) < first_on


def test_the_killers_are_said_again_at_the_last_gate():
    last = CARDS[-1]
    assert {"people-and-room", "failsafe", "switches"} <= {i.check for i in last.items if i.killer}


def test_every_part_setting_calibration_and_preparation_makes_checks_due_again():
    assert [fix for fix in get_args(FixKey) if not voided_by(fix)] == []


def test_two_lines_at_one_place_of_a_card_are_refused(monkeypatch):
    check = CHECKS["rails"]
    twice = (*check.lines, Line("power", 10, "again", "Once more: say it"))
    monkeypatch.setitem(CHECKS, "rails", replace(check, lines=twice))
    with pytest.raises(ValueError, match="card power: two lines"):
        items("power")


def test_a_killer_stands_above_others_wherever_its_line_says(monkeypatch):
    check = CHECKS["rails"]
    last = (*check.lines, Line("power", 99, "smoke", "Smoke: say none", killer=True))
    monkeypatch.setitem(CHECKS, "rails", replace(check, lines=last))
    assert [item.key for item in items("power")][:2] == ["smoke", "rails"]


def test_a_fix_makes_due_what_proves_it():
    for fault in CATALOGUE.values():
        due = frozenset().union(*(voided_by(fix) for fix in fault.fixes))
        if not {"remove-props", "mode"} & set(fault.fixes):
            assert due & set(fault.proved_by), (fault.id, fault.fixes, fault.proved_by)


def test_bow_ties_name_only_what_exists():
    barriers = {**BARRIERS, **MITIGATIONS}
    for barrier in barriers.values():
        assert not barrier.check or barrier.check in CHECKS, barrier.key
    used: set[str] = set()
    for tie in bowties.BOW_TIES:
        assert set(tie.hazards) <= set(HAZARDS)
        assert set(tie.mitigations) <= set(MITIGATIONS)
        used |= set(tie.mitigations)
        for threat in tie.threats:
            assert set(threat.faults) <= set(CATALOGUE)
            assert set(threat.barriers) <= set(BARRIERS)
            used |= set(threat.barriers)
    assert used == set(barriers)


def test_every_hazard_belongs_to_one_bow_tie():
    for hazard in HAZARDS:
        assert sum(hazard in tie.hazards for tie in bowties.BOW_TIES) == 1, hazard
        assert bowties.about(hazard) is not None


@pytest.mark.parametrize("fault", CATALOGUE.values(), ids=list(CATALOGUE))
def test_a_barrier_on_the_way_a_fault_opens_shows_it(fault):
    """Each fault stands in one bow-tie, and one of the barriers there is a check that tells."""
    ((_, threat),) = bowties.opened(frozenset({fault.id}))
    assert fault.id in threat.faults
    told = {BARRIERS[key].check for key in threat.barriers}
    assert told & {*fault.revealed_by, *fault.proved_by}, (threat.key, told)


def test_every_threat_has_faults_that_open_it():
    assert all(threat.faults for tie in bowties.BOW_TIES for threat in tie.threats)


def test_a_fault_opens_its_threats_and_checks_stand_against_it():
    ((tie, threat),) = bowties.opened(frozenset({"loop-sign-reversed"}))
    assert tie.key == "hover-out-of-control"
    assert not bowties.standing(threat, frozenset())
    holds = bowties.standing(threat, frozenset({"tilt-while-armed"}))
    assert [barrier.key for barrier in holds] == ["sense-by-tilt"]


@pytest.mark.parametrize("card", [*CARDS, AFTER_HOP], ids=lambda card: card.key)
def test_an_item_is_found_by_its_key_alone(card):
    assert [item_of(card.key, item.key) for item in card.items] == list(card.items)
    assert item_of(card.key, COMPLETE) is None
    with pytest.raises(Refusal, match="has no item 'nothing-like-it'"):
        item_of(card.key, "nothing-like-it")


def test_a_line_is_open_until_its_check_holds_and_a_value_of_it_is_written_down():
    item = CARDS[0].items[0]
    this, other = {item.check}, {check for check in CHECKS if check != item.check}
    assert not is_open(item, this, this)
    assert is_open(item, other, this)
    assert is_open(item, this, other)
