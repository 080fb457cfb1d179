"""A phone on the bench: which item is ticked unread, and how often."""

from math import exp
from types import SimpleNamespace
from typing import Any

import pytest

from sim.bench.checklist import CHECKS
from sim.procedure import interruptions
from sim.procedure.bowties import BOW_TIES, about
from sim.procedure.cards import CARDS


def ringing(per_min: float) -> Any:
    return SimpleNamespace(world=SimpleNamespace(conduct=SimpleNamespace(rings_per_min=per_min)))


@pytest.fixture
def drawn(monkeypatch):
    """Fix the share that chance draws: drawn(0.2)."""

    def fixed(share: float) -> None:
        coin = SimpleNamespace(random=lambda: share)
        monkeypatch.setattr(interruptions, "senses", lambda rig, subject: coin)

    return fixed


def test_the_item_after_is_that_of_the_first_card_it_stands_on():
    seen = set()
    for card in CARDS:
        checks = [item.check for item in card.items]
        for i, check in enumerate(checks):
            if check not in seen:
                following = checks[i + 1] if i + 1 < len(checks) else None
                assert interruptions.after(check) == following
                seen.add(check)
    assert interruptions.after("no-such-check") is None  # type: ignore[arg-type]


@pytest.mark.parametrize(("rings", "minutes"), [(0.5, 2.0), (2.0, 1.0), (10.0, 0.5)])
def test_three_in_ten_interruptions_cost_the_next_item(drawn, rings, minutes):
    """In t minutes it rings at least once with a chance of 1 - exp(-rate t)."""
    (check,) = [c for c in CHECKS.values() if c.key == "people-and-room"]
    check = SimpleNamespace(key=check.key, minutes=minutes)  # type: ignore[assignment]
    chance = 0.3 * (1.0 - exp(-rings * minutes))
    for share, skipped in ((0.99, {"propellers"}), (1.01, set())):
        drawn(share * chance)
        assert interruptions.ticked_unread(set(), check, ringing(rings)) == skipped


def test_what_was_ticked_stays_so_until_it_is_done(drawn):
    drawn(0.0)
    check = CHECKS["people-and-room"]
    before = {"people-and-room", "failsafe"}
    assert interruptions.ticked_unread(before, check, ringing(0.0)) == {"failsafe"}  # type: ignore[arg-type]
    assert interruptions.ticked_unread(before, check, ringing(9.0)) == {"failsafe", "propellers"}  # type: ignore[arg-type]
    last = CHECKS["propellers"]  # nothing follows on its card
    assert interruptions.ticked_unread(before, last, ringing(9.0)) == before  # type: ignore[arg-type]


def test_each_hazard_is_about_the_tie_that_names_it():
    for tie in BOW_TIES:
        for hazard in tie.hazards:
            found = about(hazard)
            assert found is not None
            assert hazard in found.hazards
    assert about("no-such-hazard") is None
