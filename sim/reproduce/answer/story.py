"""The story of a drill made from a report: in the member's words, without giving the fault away."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId

STEM = 4  # letters; own: "propeller" and "prop", "reversed" and "reversing" are alike by so many
ENOUGH = 2  # words; own: one alone, such as "motor", every report has
SMALL = frozenset(
    re.findall(
        r"\w+",
        "about after and are for from high last low not off one out over per the too unset was were "
        "with an as at be by do he if in is it me my no of on or so to up us we",
    )
)  # words that every report has
LONGEST = 600  # letters; a drill's story may have no more
PLAIN = "A member brought it back and said no more than that something was not right with it."


class Told(NamedTuple):
    """A story as it may be told, and the sentences left out because they name the cause."""

    story: str
    left_out: tuple[str, ...]


def _stems(text: str) -> frozenset[str]:
    found = re.findall(r"[a-z]+", text.lower())
    return frozenset(word[:STEM] for word in found if len(word) > 1 and word not in SMALL)


def secret(fault: FaultId) -> frozenset[str]:
    """Return the beginnings of the words by which a fault is called."""
    return _stems(f"{fault} {CATALOGUE[fault].item}")


def gives_away(text: str, faults: Iterable[FaultId]) -> bool:
    """Tell whether words name a fault: two of the words it is called by, or the only one it has."""
    told = _stems(text)
    return any(len(told & secret(f)) >= min(ENOUGH, len(secret(f))) for f in faults)


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
