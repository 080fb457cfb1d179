"""What a flight shows to somebody there, in the words of the report: when first, and what."""

from typing import NamedTuple

from sim.reproduce.words.detectors import MOVED
from sim.reproduce.words.flight import PHASES, Flight, Hands, NotFlown, Phase
from sim.reproduce.words.sounds import HEARD
from sim.reproduce.words.sticks import STICKS

RINGING = "ringing"  # heard rather than seen, but in some phase or other
DARK, REFUSED, CUT = "stayed-dark", "would-not-arm", "had-to-cut"
AT_THE_START = ("motor-late", "motor-silent")  # show as soon as the motors are to turn

MOTIONS = {
    **{word: said for word, (said, _) in MOVED.items() if word != RINGING},
    DARK: "nothing came on",
    REFUSED: "the controller would not arm",
}
SOUNDS = {RINGING: MOVED[RINGING][0], **{word: said for word, (said, _) in HEARD.items()}}
HANDLING = {word: said for word, (said, _) in STICKS.items()}
GROUPS: dict[str, dict[str, str]] = {
    "moved": MOTIONS,
    "heard": SOUNDS,
    "sticks": HANDLING,
    "pilot": {CUT: "the motors had to be cut"},
}
"""Words of symptoms with what they say, by the question they answer."""

SYMPTOMS = tuple(word for words in GROUPS.values() for word in words)


class Observed(NamedTuple):
    """One flight in words: in which phase something first went wrong, None if nothing did."""

    hands: Hands
    when: Phase | None
    symptoms: frozenset[str]


def phases_shown(flight: Flight) -> dict[Phase, frozenset[str]]:
    """Return what shows in each phase that there was, of what can show in a phase."""
    return {
        phase: frozenset(word for word, (_, shows) in MOVED.items() if shows(flight, phase))
        for phase in PHASES
        if flight.rows(phase).any()
    }


def observed(flight: Flight | NotFlown) -> Observed:
    """Return a flight in words, as somebody would tell it who misses nothing."""
    if isinstance(flight, NotFlown):
        return Observed(flight.hands, "starting", frozenset({DARK if flight.dark else REFUSED}))
    moves = phases_shown(flight)
    others = {word for word, (_, heard) in HEARD.items() if heard(flight)}
    others |= {word for word, (_, told) in STICKS.items() if told(flight)}
    if flight.had_to_cut:
        others.add(CUT)
    when = next((phase for phase in PHASES if moves.get(phase)), None)
    if others.intersection(AT_THE_START):
        when = "starting"
    return Observed(flight.hands, when, frozenset(others).union(*moves.values()))
