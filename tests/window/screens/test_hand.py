"""The aircraft drawn in the hands is turned as it really is, and an act turns it smoothly."""

from itertools import pairwise
from math import acos, degrees
from types import SimpleNamespace
from typing import Any

import pytest

from sim.kernel.frames import from_angles
from sim.window.screens.hand import EASE_S, Hand


def view(roll_rad: float, pitch_rad: float = 0.0, heading_rad: float = 0.0) -> Any:
    turned = SimpleNamespace(roll_rad=roll_rad, pitch_rad=pitch_rad, heading_rad=heading_rad)
    return SimpleNamespace(aircraft=turned)


def apart_deg(a: Any, b: Any) -> float:
    return degrees(2.0 * acos(min(1.0, abs(sum(x * y for x, y in zip(a, b, strict=True))))))


def test_first_seen_as_it_is():
    hand = Hand()
    hand._ease(view(0.7), 0.016)
    assert apart_deg(hand.drawn, from_angles(0.7, 0.0, 0.0)) < 0.01


@pytest.mark.parametrize("start", [0.0, 3.0])
def test_after_an_act_it_turns_there_the_short_way_and_then_stands(start):
    hand, there = Hand(), from_angles(start + 1.0, 0.4, -0.6)
    hand._ease(view(start), 0.0)
    gaps = []
    for _ in range(120):
        hand._ease(view(start + 1.0, 0.4, -0.6), 1 / 60)
        gaps.append(apart_deg(hand.drawn, there))
    assert gaps[0] > 40.0
    assert all(b <= a for a, b in pairwise(gaps))
    after = gaps[round(3 * EASE_S * 60)]
    assert 0.02 < after / gaps[0] < 0.08  # e to the minus third
    assert gaps[-1] < 1e-4
    assert hand.drawn is not None
    assert sum(x * x for x in hand.drawn) == pytest.approx(1.0)


def test_turned_by_hand_it_follows_without_lag():
    hand = Hand()
    hand._follow(view(0.3, -0.2, 0.9))
    assert apart_deg(hand.drawn, from_angles(0.3, -0.2, 0.9)) < 0.01
    assert hand.pose == pytest.approx([15.0, -10.0, 50.0])  # to the nearest five degrees


def test_the_short_way_also_over_half_a_turn():
    """From 172 degrees of roll to -172 it is 16 degrees, not 344."""
    hand = Hand()
    hand._ease(view(3.0), 0.0)
    turned = []
    for _ in range(60):
        before = hand.drawn
        hand._ease(view(-3.0), 1 / 60)
        turned.append(apart_deg(before, hand.drawn))
    assert sum(turned) == pytest.approx(degrees(0.2832), abs=0.5)
