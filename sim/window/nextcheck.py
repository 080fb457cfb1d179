"""The next check in words: what it takes, what is needed first, and what its answer would mean."""

from sim.aircraft.library import Design
from sim.bench.checklist import CHECKS
from sim.diagnosis.nextcheck import NOTHING, REFUSAL, NextCheck, Outcome
from sim.keys import CheckKey
from sim.reproduce.answer.ranking import name
from sim.window.buildsheet import key_of, words_of
from sim.window.evidence import shipped_bands
from sim.window.values import member_of, plain

SIDES = {"above": "above its band", "below": "below its band", "either": "out of its band"}
PROPELLERS = "Propellers on: only after every check without them came out well."
NO_CHECK = "No check is expected to tell any more of it."
BIT = "one bit halves what is open"
MOST_CHECKS = 3  # own: more is not read
LEAST = 0.02  # probability; own: what is less likely afterwards is not named
MOST = 2  # causes; own: named after each outcome


def _at_a_corner(measure: str) -> str:
    """Return what is measured at one of four corners; nothing for another measure."""
    member = member_of(measure)
    return member[3] if member is not None and member[0] == "place" and not member[1] else ""


def line_name(check: CheckKey, measure: str, airframe: Design) -> str:
    """Return the line of a measure in words, quoted."""
    if corner := _at_a_corner(measure):
        return f"“{plain(corner)}”"
    band = shipped_bands(airframe).get((check, measure))
    words = plain(key_of(measure)) if band is None else words_of(measure, band.middle)
    return f"“{words}”"


def line_told(check: CheckKey, line: str, airframe: Design) -> str:
    """Return an outcome of a check in words."""
    if line == NOTHING:
        return "everything within its bands"
    if line == REFUSAL:
        return "the controller will not arm for it"
    measure, _, side = line.rpartition(" ")
    off = "out of its band at a corner" if _at_a_corner(measure) else SIDES[side]
    return f"{line_name(check, measure, airframe)} {off}"


def meaning(check: CheckKey, outcome: Outcome, airframe: str) -> str:
    """Return what an outcome would mean."""
    likely = [(faults, chance) for faults, chance in outcome.causes[:MOST] if chance >= LEAST]
    told = ", ".join(f"{name(faults)} {100.0 * chance:.0f} in 100" for faults, chance in likely)
    return f"{line_told(check, outcome.line, airframe)}: {told}"


def told(found: NextCheck) -> str:
    """Return a check in a line: what it is, how long with getting ready, and what it should tell."""
    title = CHECKS[found.check].title
    on = ", propellers on" if found.propellers_on else ""
    return f"{title}: {found.minutes:g} min{on}, {found.gain_bits:.2f} bit expected"


def first(found: NextCheck) -> list[str]:
    """Return what has to be so first and what to be careful about, in sentences."""
    lines = [PROPELLERS] if found.propellers_on else []
    return [*lines, *found.needs, *([found.caution] if found.caution else [])]
