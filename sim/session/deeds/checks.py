"""Checks, as one act or by hand, and what is written down of them."""

from typing import cast

from sim.bench.check import Check
from sim.bench.checklist import CHECKS
from sim.keys import CheckKey
from sim.procedure import cards
from sim.session import actions as act
from sim.session import connecting
from sim.session.deeds.refusing import refuse_if
from sim.session.record import Outcome
from sim.session.state import Deed, State

HALF = "Part of it is read; the rest is still to be done."


def read(state: State, action: act.Read) -> Outcome:
    """Take a check as one act."""
    check = CHECKS[action.check]
    refuse_check(state, check)
    state.by_hand.drop()
    unsafe = state.unsafe_to_turn() if check.hurts else []
    reading = check.take(state.rig)
    state.evening.log(*unsafe)
    state.evening.minutes += check.minutes
    state.known.took(check, reading, state.rig)
    return Outcome(check.asks, reading)


def begin(state: State, action: act.Begin) -> Outcome:
    """Begin a check by hand."""
    refuse_check(state, CHECKS[action.check])
    state.evening.minutes += state.by_hand.begin(action.check)
    return Outcome(
        f"Begun: {CHECKS[action.check].title[0].lower()}{CHECKS[action.check].title[1:]}."
    )


def done(state: State, action: act.Done) -> Outcome:
    """Read what was done since it was begun."""
    refuse_if(state.armed, "Disarm first.", "disarmed")
    reading = state.known.joined(state.by_hand.done())
    check = CHECKS[cast(CheckKey, reading.check)]
    state.known.took(check, reading, state.rig)
    return Outcome(HALF if reading.missing else check.asks, reading)


def refuse_check(state: State, check: Check) -> None:
    """Refuse a check whose needs are not met or whose numbers can't be reached."""
    state.needs(*check.needs)
    refuse_if(state.armed, "Disarm before starting a check.", "disarmed")
    if connecting.shown_by(check):
        connecting.refuse_unreached(state.board, state.rig.world)


def squawk(state: State, action: act.Squawk) -> Outcome:
    """Write a squawk down."""
    state.known.squawks[action.item] = action
    return Outcome("Noted on the squawk sheet.")


def withdraw(state: State, action: act.Withdraw) -> Outcome:
    """Strike one out."""
    none = action.item not in state.known.squawks
    refuse_if(none, f"No squawk about {action.item!r}.", "unknown")
    del state.known.squawks[action.item]
    return Outcome("Struck out.")


def answer(state: State, action: act.Answer) -> Outcome:
    """Answer an item of a card."""
    cards.item_of(action.card, action.item)
    return Outcome("Answered.")


DEEDS: dict[str, Deed] = {
    "read": read,
    "begin": begin,
    "done": done,
    "squawk": squawk,
    "withdraw": withdraw,
    "answer": answer,
}
