"""What the spotter calls out: each cue just below and above its limit, and who is there to call."""

from types import SimpleNamespace
from typing import Any

import pytest

from sim.session.watch import (
    CALLED_S,
    CUE_TILT_RAD,
    CUT,
    HIGH,
    HIGHEST_M,
    NOT_AGREED,
    PERSON,
    TOWARDS,
    TOWARDS_SHARE,
    FlightWatch,
)
from tests.session.test_watch import aircraft, flown, seen

SOUTH_M = -3.6  # the pilot stands 0.4 m from the wall


def craft(tick: int, spotter: bool = True, ring: bool = False, late_s: float = 0.0, **state) -> Any:
    made = aircraft(tick, south_m=SOUTH_M, **state)
    made.world.conduct = SimpleNamespace(
        spotter_present=spotter, person_in_ring=ring, abort_late_s=late_s
    )
    return made


def called(watch: FlightWatch, look: Any, after_s: float, **who: Any) -> str:
    """Return what is called when a state has lasted for a while."""
    for tick in (10_000, 10_000 + round(after_s * 1000)):
        watch.unsafe(craft(tick), look)
    return watch.shout(craft(10_000 + round(after_s * 1000), **who), look)


LEANING = seen(roll=1.01 * CUE_TILT_RAD)


@pytest.mark.parametrize(("after_s", "words"), [(0.99 * CALLED_S, ""), (1.01 * CALLED_S, CUT)])
def test_called_once_it_has_been_seen(after_s, words):
    assert called(flown(), LEANING, after_s) == words


def test_nothing_is_called_below_the_limit_or_before_it_has_left_the_floor():
    assert called(flown(), seen(roll=0.99 * CUE_TILT_RAD), 1.0) == ""
    assert called(FlightWatch(), LEANING, 1.0) == ""


def test_nobody_calls_without_a_spotter_nor_once_it_is_cut():
    assert called(flown(), LEANING, 1.0, spotter=False) == ""
    assert called(flown(), LEANING, 1.0, armed=0.0) == ""


def test_words_that_were_not_agreed_are_others():
    assert called(flown(), LEANING, 1.0, late_s=0.4) == NOT_AGREED != CUT


@pytest.mark.parametrize(("share", "words"), [(0.99, ""), (1.01, HIGH)])
def test_too_high(share, words):
    assert called(flown(), seen(height=share * HIGHEST_M), 1.0) == words


@pytest.mark.parametrize(("share", "words"), [(0.99, ""), (1.01, TOWARDS)])
def test_coming_at_the_pilot(share, words):
    pad_m = 0.4
    away_m = pad_m - aircraft(0, south_m=SOUTH_M).world.site.room.pilot_north_m
    look = seen(north=pad_m - share * TOWARDS_SHARE * away_m)
    assert called(flown(), look, 0.3) == words


def test_somebody_in_the_ring_comes_first_also_on_the_floor():
    assert called(FlightWatch(), seen(height=0.0), 1.0, ring=True) == PERSON
    assert called(flown(), LEANING, 1.0, ring=True) == PERSON
    assert called(flown(), LEANING, 1.0, ring=True, armed=0.0) == ""
