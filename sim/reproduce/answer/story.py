"""The story of a drill made from a report: in the member's words, without giving the fault away."""

import re
from collections.abc import Sequence
from typing import NamedTuple

from sim.faults.secrecy import gives_away
from sim.keys import FaultId

LONGEST = 600  # letters; a drill's story may have no more
PLAIN = "A member brought it back and said no more than that something was not right with it."


class Told(NamedTuple):
    """A story as it may be told, and the sentences left out because they name the cause."""

    story: str
    left_out: tuple[str, ...]


def sentences(text: str) -> list[str]:
    """Return the sentences of a text, each with its end."""
    return [one.strip() for one in re.split(r"(?<=[.!?;])\s+|\n+", text) if one.strip()]


def told(words: str, faults: Sequence[FaultId], instead: str = PLAIN) -> Told:
    """Return the story of a report with what gives the faults away left out.

    instead : told where nothing is left. Cut at the end of a sentence if it is too long.
    """
    kept: list[str] = []
    left_out: list[str] = []
    for sentence in sentences(words):
        if gives_away(sentence, faults):
            left_out.append(sentence)
        elif len(" ".join((*kept, sentence))) <= LONGEST:
            kept.append(sentence)
    story = " ".join(kept)
    if not story:
        story = PLAIN if gives_away(instead, faults) else instead
    return Told(story, tuple(left_out))
