"""Which words give a fault away: those it is called by, and those by which it is told and cured."""

import re
from collections import Counter
from collections.abc import Iterable
from functools import cache

from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId

STEM = 4  # letters; own: "propeller" and "prop", "reversed" and "reversing" are alike by so many
ENOUGH = 2  # words; own: one alone, such as "motor", every report has
RARE = 4  # faults; own: a word in the texts of no more than these tells which it is
SMALL = frozenset(
    re.findall(
        r"\w+",
        "about after and are for from high last low not off one out over per the too unset was were "
        "with an as at be by do he if in is it me my no of on or so to up us we ",
    )
)  # words that every report has
COMMON = frozenset(
    re.findall(
        r"\w+",
        "again all away before come does down ever every goes half has have here how its just like long "
        "made more most much need never nobody now once only other own put same see some still such take "
        "than that them then there they this those time two under until use very way well what when where "
        "which while who will work you your",
    )
)  # words that every story has as well; some faults are called by one of them


def stems(text: str, without: frozenset[str] = SMALL) -> dict[str, str]:
    """Return the beginnings of the words of a text that may tell something, each with its first word."""
    found: dict[str, str] = {}
    for word in re.findall(r"[a-z]+", text.lower()):
        if len(word) > 1 and word not in without:
            found.setdefault(word[:STEM], word)
    return found


def secret(fault: FaultId) -> frozenset[str]:
    """Return the beginnings of the words by which a fault is called."""
    return frozenset(stems(f"{fault} {CATALOGUE[fault].item}"))


def gives_away(text: str, faults: Iterable[FaultId]) -> bool:
    """Tell whether words name a fault: two of the words it is called by, or the only one it has.

    For what somebody said who had seen it go wrong, and can't but speak of the things concerned.
    """
    told = stems(text).keys()
    return any(len(told & secret(f)) >= min(ENOUGH, len(secret(f))) for f in faults)


@cache
def _texts() -> dict[FaultId, frozenset[str]]:
    """Return, of each fault, the beginnings of the words of its symptoms, its cause and its cures."""
    return {
        name: frozenset(
            stems(
                " ".join((f.explanation, f.in_the_air, f.lucky, f.only_in_the_air, *f.fixes)),
                SMALL | COMMON,
            )
        )
        for name, f in CATALOGUE.items()
    }


@cache
def telling(fault: FaultId) -> frozenset[str]:
    """Return the beginnings of the words in a fault's texts that stand in the texts of few others."""
    often = Counter(stem for texts in _texts().values() for stem in texts)
    return frozenset(stem for stem in _texts()[fault] if often[stem] <= RARE)


def hints(text: str, faults: Iterable[FaultId]) -> tuple[str, ...]:
    """Return the words of a made-up story that give a fault away, in their order; none is as it should be.

    Any word the fault, its item or its family is called by does; of the words by which its
    symptoms, its cause and its cures are told, two that few other faults share.
    """
    told = stems(text)
    found: set[str] = set()
    for fault in faults:
        found |= told.keys() & (secret(fault) | stems(CATALOGUE[fault].family).keys())
        if len(shared := told.keys() & telling(fault)) >= ENOUGH:
            found |= shared
    return tuple(word for stem, word in told.items() if stem in found)
