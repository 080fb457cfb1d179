"""Two faults at once: to the likeliest one the fault is added that explains most of what it leaves.

What a second fault does is taken to add to what the first does.
"""

from collections import Counter
from collections.abc import Iterable
from math import log
from typing import NamedTuple

import numpy as np

from sim.keys import FaultId
from sim.reproduce.recorded.evidence import Fit, Look, fit
from sim.reproduce.recorded.weigher import ROUNDS, Weigher

PARTNERS, BASES = 4, 2  # own: second faults fitted with each of the two likeliest ones


class Pair(NamedTuple):
    """Two ways at once: their numbers, the likelier first, and their evidence, averaged over all ways."""

    first: int
    second: int
    log_evidence: float


def _likeliest(weigher: Weigher, fits: dict[int, Fit], but: Iterable[FaultId] = ()) -> list[int]:
    """Return the best way of each fault, likeliest fault first."""
    best: dict[FaultId, int] = {}
    for i in sorted(fits, key=lambda k: -fits[k].log_evidence):
        best.setdefault(weigher.every[i].fault, i)
    return [i for fault, i in best.items() if fault not in but]


def _joined(weigher: Weigher, base: int, start: Fit, second: int) -> Fit:
    """Return the fit of two ways at once."""
    residual, sigmas, worse = weigher.parts(base)
    more, wide, beside = weigher.parts(second)
    residual = residual - (weigher.recorded - weigher.sound - more)
    count = len(weigher.sigmas)
    added = [x for x in (worse, beside) if x is not None]
    columns = np.column_stack([weigher.columns, *added]) if added else weigher.columns
    every = np.concatenate([np.maximum(sigmas[:count], wide[:count]), np.ones(len(added))])
    delta = np.concatenate([start.delta[:count], np.zeros(len(added))])
    return fit(residual, columns, every, weigher.noise, start._replace(delta=delta), ROUNDS)


def paired(weigher: Weigher, fits: dict[int, Fit]) -> list[Pair]:
    """Return the likeliest pairs: the likeliest faults, each with what explains most of the rest."""
    ways = Counter(weigher.every[i].fault for i in fits)
    found = []
    for base in _likeliest(weigher, fits)[:BASES]:
        left = weigher.parts(base)[0] - (weigher.recorded - weigher.sound)
        look = Look(weigher.columns, weigher.noise, fits[base])
        looks = {}
        for i in fits:
            residual, sigmas, worse = weigher.parts(i)
            looks[i] = look.fit(residual + left, sigmas, worse)
        for second in _likeliest(weigher, looks, (weigher.every[base].fault,))[:PARTNERS]:
            joined = _joined(weigher, base, fits[base], second)
            width = log(ways[weigher.every[base].fault]) + log(ways[weigher.every[second].fault])
            found.append(Pair(base, second, joined.log_evidence - width))
    return found
