"""Symptoms as one tells them: the plainest first, and as sentences."""

from collections.abc import Iterable

from sim.reproduce.words.observed import CUT, GROUPS, SYMPTOMS

PLAINEST = (
    "stayed-dark", "would-not-arm", "flipped", "stayed-down", "went-dead", "climbed", "sank",
    "rolled-right", "rolled-left", "pitched-up", "pitched-down", "yawed-right", "yawed-left",
    "roll-backwards", "pitch-backwards", "yaw-backwards", "crossed", "ringing", "wobbled", "circled",
)  # fmt: skip
"""What anybody would tell first; all else in the order of the report's own words."""
WORDS = {word: says for words in GROUPS.values() for word, says in words.items()}


def plainest_first(symptoms: Iterable[str]) -> tuple[str, ...]:
    """Return symptoms as they would be told; that somebody had to cut, last."""
    rank = {word: n for n, word in enumerate((*PLAINEST, *SYMPTOMS))}
    rank |= {word: n for n, word in enumerate(PLAINEST)} | {CUT: len(rank)}
    return tuple(sorted(symptoms, key=lambda word: rank[word]))


def sentence(symptoms: Iterable[str]) -> str:
    """Return what was seen as a story would tell it."""
    said = [WORDS[word] for word in plainest_first(symptoms)]
    if not said:
        return "A recording came without a word; to the eye nothing was wrong with it."
    listed = ", ".join(said[:-1]) + (" and " if len(said) > 1 else "") + said[-1]
    return f"A recording came without a word. What it shows: {listed}."
