"""How a person tells what was to be seen: what they miss, make up, and name the wrong way round.

All chances are stated here and are our own: guesses at witnesses who were busy flying, none
measured. A word that was to be told and was not is missed; of two opposite words the wrong one may
be named.
"""

from typing import NamedTuple

import numpy as np

from sim.reproduce.words.detectors import OPPOSITES
from sim.reproduce.words.flight import PHASES, Values
from sim.reproduce.words.observed import CUT, GROUPS, SYMPTOMS


class Ear(NamedTuple):
    """How far a person's words on one question can be relied on: chances of each slip."""

    misses: float
    makes_up: float
    turns_round: float


EARS: dict[str, Ear] = {
    "moved": Ear(0.15, 0.03, 0.05),
    "heard": Ear(0.30, 0.04, 0.0),
    "sticks": Ear(0.30, 0.03, 0.08),
    "pilot": Ear(0.08, 0.15, 0.0),  # some cut without a cue
}  # 1; own: motion is seen best, sounds drown, hands remember their own work badly
WRONG_PHASE = 0.15  # 1; own: told of a phase beside the one it began in
UNNOTICED = 0.20  # 1; own: something began and the report says nothing went wrong
IMAGINED = 0.10  # 1; own: nothing did, and some phase is named

WHENS = (*PHASES, "never")
INDEX = {word: n for n, word in enumerate(SYMPTOMS)}
GROUP_OF = {word: group for group, words in GROUPS.items() for word in words}
EAR_OF = {word: EARS[group] for word, group in GROUP_OF.items()}
BOTH = ((0, 0), (0, 1), (1, 0), (1, 1))  # of two words, whether each is so
PAIRED = {word for pair in OPPOSITES for word in pair}


def _when_told() -> Values:
    """Return chances: row, what was; column, what is told; both in the order of WHENS."""
    n = len(PHASES)
    table = np.zeros((n + 1, n + 1))
    for was in range(n):
        beside = [other for other in (was - 1, was + 1) if 0 <= other < n]
        table[was, was] = 1.0 - UNNOTICED - WRONG_PHASE
        table[was, beside] = WRONG_PHASE / len(beside)
        table[was, n] = UNNOTICED
    table[n, :n], table[n, n] = IMAGINED / n, 1.0 - IMAGINED
    return table


WHEN_TOLD = _when_told()


def chance_told(ear: Ear, there: float) -> float:
    """Return the chance that a word is told if the symptom was there (1) or not (0)."""
    return 1.0 - ear.misses * (1.0 - ear.makes_up) if there else ear.makes_up


def pair_told(ear: Ear, there: tuple[int, int], told: tuple[int, int]) -> float:
    """Return the chance that of two opposite words just these are told.

    there, told : of each, whether it was so, and whether it is in the report. One of them alone may
    be turned round; where both were so each is told or missed by itself.
    """
    if sum(there) == 1:
        first = there[0]
        seen = 1.0 - ear.misses
        bases = (
            ((first, 1 - first), seen * (1.0 - ear.turns_round)),
            ((1 - first, first), seen * ear.turns_round),
            ((0, 0), ear.misses),
        )
        return sum(weight * _with_made_up(ear, base, told) for base, weight in bases)
    chances = (chance_told(ear, one) for one in there)
    first_chance, second_chance = (p if t else 1.0 - p for p, t in zip(chances, told, strict=True))
    return first_chance * second_chance


def _with_made_up(ear: Ear, named: tuple[int, int], told: tuple[int, int]) -> float:
    """Return the chance that just these are told where some are named and others may be made up."""
    chance = 1.0
    for one, said in zip(named, told, strict=True):
        made = 1.0 if one else ear.makes_up
        chance *= made if said else 1.0 - made
    return chance


def likelihood(there: Values, told: dict[str, bool]) -> Values:
    """Return how likely words are, hop by hop.

    there : the chance of each symptom in each hop, (hops, SYMPTOMS); told : of each word that was
    answered, whether it was said. Words are independent given what was there; opposite ones are not.
    """
    result = np.ones(len(there))
    for word, said in told.items():
        if word not in PAIRED:
            ear, p = EAR_OF[word], there[:, INDEX[word]]
            yes = p * chance_told(ear, 1) + (1.0 - p) * chance_told(ear, 0)
            result *= yes if said else 1.0 - yes
    for one, other in OPPOSITES:
        if one in told and other in told:
            p, q = there[:, INDEX[one]], there[:, INDEX[other]]
            words = (int(told[one]), int(told[other]))
            result *= sum(
                (p if a else 1.0 - p)
                * (q if b else 1.0 - q)
                * pair_told(EAR_OF[one], (a, b), words)
                for a, b in BOTH
            )
    return result


def retold(
    rng: np.random.Generator, when: str, there: frozenset[str]
) -> tuple[str, frozenset[str]]:
    """Return a flight as such a person tells it: the phase named, and the words said."""
    said: set[str] = set()
    named = str(rng.choice(WHENS, p=WHEN_TOLD[WHENS.index(when)]))
    for word in SYMPTOMS:
        if word not in PAIRED and rng.random() < chance_told(EAR_OF[word], float(word in there)):
            said.add(word)
    for one, other in OPPOSITES:
        was = (int(one in there), int(other in there))
        chances = [pair_told(EAR_OF[one], was, told) for told in BOTH]
        first, second = BOTH[int(rng.choice(len(BOTH), p=chances))]
        said |= {word for word, told in ((one, first), (other, second)) if told}
    return named, frozenset(said)


def answered(groups: frozenset[str], said: frozenset[str]) -> dict[str, bool]:
    """Return the words of the questions that were answered, and whether each was said."""
    return {word: word in said for word in SYMPTOMS if GROUP_OF[word] in groups}


__all__ = ["CUT", "WHENS", "answered", "likelihood", "retold"]
