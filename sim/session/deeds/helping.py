"""Hints that are asked for."""

from sim.bench.checklist import CHECKS
from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.session.hints import LINE, WHERE, Hinted
from sim.session.record import Outcome
from sim.session.state import Deed, State

NOTHING = "The helper knows of nothing that is not on your squawk sheet."
POINTED = "The helper points at the line: it stands on the helper's page."


def hint(state: State, action: act.Hint) -> Outcome:
    """Ask the helper for the next hint."""
    known, evening = state.known, state.evening
    named = {squawk.cause for squawk in known.squawks.values()}
    given = state.helper.hint(known.present, named, state.rig.time_s, evening.minutes)
    return Outcome(words(given))


def words(given: Hinted) -> str:
    """Return a hint in a sentence."""
    if given.fault is None or given.cue is None:
        return NOTHING
    if given.step == WHERE:
        return f"The helper would look here: {CHECKS[given.cue.check].title}."
    if given.step == LINE:
        return POINTED if given.cue.measure else "The helper says: it is to be seen with the eyes."
    return f"The helper says what it means: {CATALOGUE[given.fault].explanation}"


DEEDS: dict[str, Deed] = {"hint": hint}
