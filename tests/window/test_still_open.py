"""What is left on a card and what a check takes, said before it is done."""

from dataclasses import replace

import pytest

from sim.aircraft.setup import Setup
from sim.bench.checklist import CHECKS
from sim.procedure.cards import AFTER_HOP, CARDS
from sim.session.scenario import load
from sim.session.session import Session
from sim.window.screens.panels import mode_told, state_line
from sim.window.still_open import (
    TOLD,
    left,
    next_left,
    not_yet,
    questioned,
    takes,
    told,
    where,
)

ARRIVAL = CARDS[0]


@pytest.fixture(scope="module")
def view():
    return Session(load("quiet-morning"), 1).view()


def written(*at):
    return {(ARRIVAL.key, ARRIVAL.items[i].key): "seen" for i in at}


def facts(view, *at):
    return replace(view, facts=frozenset(ARRIVAL.items[i].check for i in at))


def test_an_item_is_open_until_it_is_done_and_written_down(view):
    every = list(range(len(ARRIVAL.items)))
    assert left(ARRIVAL, {}, view) == every
    assert left(ARRIVAL, written(0), view) == every  # written, but due
    assert left(ARRIVAL, {}, facts(view, 0)) == every  # done, but not written
    assert left(ARRIVAL, written(0), facts(view, 0)) == every[1:]


def test_a_check_on_two_cards_answers_both(view):
    twice = [
        (card, item) for card in CARDS for item in card.items if item.check == "people-and-room"
    ]
    (first, item), (second, _) = twice[0], twice[-1]
    assert first.key != second.key
    seen = replace(view, facts=frozenset({"people-and-room"}))
    there = {(first.key, item.key): "seen"}
    assert [second.items[i].check for i in left(second, there, seen)] == [
        i.check for i in second.items if i.check != "people-and-room"
    ]


def test_the_next_open_item_goes_on_from_the_top(view):
    last = len(ARRIVAL.items) - 1
    assert next_left(0, ARRIVAL, {}, view) == min(1, last)
    assert next_left(last, ARRIVAL, {}, view) == 0
    every = range(last + 1)
    assert next_left(0, ARRIVAL, written(*every), facts(view, *every)) is None


def test_what_a_check_takes_and_what_is_still_wanting(view):
    run_up = CHECKS["restrained-run-up"]
    assert takes(run_up) == "pack in, transmitter on, propellers on, in the clamp"
    assert not_yet(run_up, view) == takes(run_up)
    ready = replace(view.conduct, pack_plugged=True, transmitter_on=True, props_fitted=True)
    assert not_yet(run_up, replace(view, conduct=ready)) == "in the clamp"
    held = replace(ready, hold="clamp")
    words = told("restrained-run-up", replace(view, conduct=held))
    assert words == "It takes 4 min: pack in, transmitter on, propellers on, in the clamp."


def test_a_check_of_another_place_says_where(view):
    away = next(c for c in CHECKS.values() if c.place == "open_floor")
    assert "on the open floor" in takes(away)
    assert "on the open floor" in not_yet(away, view)
    there = replace(view.conduct, place="open_floor")
    assert "on the open floor" not in not_yet(away, replace(view, conduct=there))


def test_every_check_of_every_card_says_what_it_takes_and_where(view):
    for card in (*CARDS, AFTER_HOP):
        for item in card.items:
            check = CHECKS[item.check]
            words = told(item.check, view)
            assert f"It takes {check.minutes:g} min: " in words
            assert bool(where(check)) == (check.place != "bench")
            assert where(check) in words
            for need in check.needs:
                assert TOLD[need] in words


def test_the_mode_switch_is_told_by_its_lettering_and_as_unassigned_where_that_is_known():
    fresh = Session(load("fresh-board"), 1).view()
    blank = Setup(controller=fresh.sheet, unset=("mode-switch",))
    assert mode_told(fresh) == "mode switch at self-level"  # nobody has read it yet
    read = replace(fresh, setup=blank)
    assert mode_told(read) == "mode switch at self-level, not assigned"
    back = replace(read, conduct=replace(fresh.conduct, self_level=False))
    assert mode_told(back) == "mode switch at rate, not assigned"
    assert mode_told(replace(read, setup=Setup(controller=fresh.sheet))) == (
        "mode switch at self-level"
    )
    assert mode_told(read) in state_line(read)


@pytest.mark.parametrize(
    ("open_", "said"), [(1, "has one line open"), (2, "has two lines open"), (7, "seven lines")]
)
def test_the_helper_counts_the_open_lines(open_, said):
    assert said in questioned(open_)
