"""Which faults may be there, and how bad, without showing: what a recording can't rule out."""

from collections.abc import Mapping, Sequence

import numpy as np

from sim.keys import FaultId
from sim.reproduce.causes import APART_NATS
from sim.reproduce.recorded.hypotheses import LEAST_SEEN, Hypothesis


def hidden(every: Sequence[Hypothesis], evidence: Mapping[int, float]) -> dict[FaultId, float]:
    """Return the severity up to which each fault may be there unseen; only where that makes it a fault.

    evidence : for each way with it over the same without, nats. At the place and in the direction in
    which a fault shows least it may be as bad as where the evidence turns twenty to one against it.
    """
    chains: dict[int, list[int]] = {}
    for i in evidence:
        chains.setdefault(every[i].chain, []).append(i)
    found: dict[FaultId, float] = {}
    for chain in chains.values():
        fault = every[chain[0]].fault
        upto = _upto(
            [every[i].severity for i in chain],
            [evidence[i] for i in chain],
            every[chain[0]].degrees,
        )
        if upto >= LEAST_SEEN:
            found[fault] = max(found.get(fault, 0.0), upto)
    return found


def _upto(severities: Sequence[float], evidence: Sequence[float], degrees: bool) -> float:
    """Return the severity at which evidence, straight from step to step, falls below what parts two causes.

    Without any fault it is 0; a step stands for all that is worse where it is the last.
    """
    if not degrees:
        return 1.0 if max(evidence) >= -APART_NATS else 0.0
    order = np.argsort(severities)
    s = np.concatenate([[0.0], np.array(severities)[order], [1.0]])
    e = np.concatenate([[0.0], np.array(evidence)[order]])
    e = np.append(e, e[-1] * (1.0 / s[-2]))
    below = np.flatnonzero(e < -APART_NATS)
    if not below.size:
        return 1.0
    k = int(below[0])
    return float(np.interp(APART_NATS, [-e[k - 1], -e[k]], [s[k - 1], s[k]]))
