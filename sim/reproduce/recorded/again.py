"""Which hypotheses are looked at further: those fitted again after a first look."""

from collections.abc import Callable, Iterable

import numpy as np

from sim.reproduce.recorded.evidence import Fit
from sim.reproduce.recorded.hypotheses import by_fault
from sim.reproduce.recorded.weigher import Weigher
from sim.reproduce.recording import Values

WORTH_NATS = 30.0  # nats; own: what lies further behind stays there
HOPELESS_NATS = (
    60.0  # nats; own: what a first look leaves so far behind *none* no fit lifts above it
)
NEIGHBOURS = 3  # own: ways along columns fitted again beside the best of a fault
MOST_AGAIN = 40  # own: so many are fitted again
MODES = 3  # own: so many of the best, from which *none* is fitted again
LIKE_NONE_NATS = (
    10.0  # nats; own: no more above *none* lies what hardly differs from it; so many of those
)
RISEN_NATS = 0.5  # nats; own: if *none* rises by more, what does not show has to rise with it
MOST_RISES = 3  # 1; own; one in twenty-five recordings needs one
Progress = Callable[[float], None]


def likeliest(looks: dict[int, Fit], some: Iterable[int]) -> list[int]:
    """Return some hypotheses, likeliest first."""
    return sorted(some, key=lambda i: -looks[i].log_evidence)


def _nearest(weigher: Weigher, i: int, fitted: Fit, looks: Iterable[int]) -> list[int]:
    """Return the ways along columns next to where the fit of one of them came to lie."""
    every = weigher.every
    of = [k for k in looks if every[k].fault == every[i].fault]

    def amounts(k: int) -> Values:
        out = np.zeros(len(weigher.sigmas))
        for column, sigmas in every[k].shift:
            out[column] = sigmas
        return out

    moved_columns = sorted({column for k in of for column, _ in every[k].shift})
    there = (amounts(i) + fitted.delta)[moved_columns]
    return sorted(of, key=lambda k: float(np.linalg.norm(amounts(k)[moved_columns] - there)))[
        :NEIGHBOURS
    ]


def again(weigher: Weigher, looks: dict[int, Fit], done: Progress) -> dict[int, Fit]:
    """Fit again what may be the cause: the likeliest way of each fault, and all near the best.

    Last, *none* is fitted again from where the best lie; if it rises by that, the others are fitted again
    from where it came to lie.
    """
    every, fits = weigher.every, dict(looks)
    hopeless = weigher.none.log_evidence - HOPELESS_NATS
    tried: set[int] = set()

    def best_ways() -> list[int]:
        best = [likeliest(fits, some)[0] for some in by_fault(every, fits).values()]
        return [i for i in best if fits[i].log_evidence > hopeless]

    def refit(some: Iterable[int], share: float, width: float) -> None:
        todo = [i for i in some if i not in tried]
        for n, i in enumerate(todo):
            better = weigher.fitted(i, looks[i])
            if better.log_evidence > fits[i].log_evidence:
                fits[i] = better
            tried.add(i)
            done(share + width * (n + 1) / len(todo))

    def near(some: Iterable[int], nats: float) -> list[int]:
        top = max(fitted.log_evidence for fitted in fits.values())
        return [i for i in some if fits[i].log_evidence > top - nats][:MOST_AGAIN]

    firsts = best_ways()
    refit(firsts, 0.0, 0.5)
    shifted = [i for i in firsts if every[i].world is None]
    beside = [k for i in shifted for k in _nearest(weigher, i, fits[i], looks)]
    refit(near(beside, 3.0 * WORTH_NATS), 0.5, 0.2)
    refit(near(likeliest(fits, fits), WORTH_NATS), 0.7, 0.2)
    for rise in range(MOST_RISES):
        before = weigher.none.log_evidence
        order = likeliest(fits, fits)
        like_none = [i for i in order if fits[i].log_evidence < before + LIKE_NONE_NATS]
        weigher.settle(fits[i] for i in order[:MODES] + like_none[:MODES])
        if weigher.none.log_evidence < before + RISEN_NATS:
            break
        tried.clear()
        fits = {
            i: max(was, weigher.looked(i), key=lambda x: x.log_evidence) for i, was in fits.items()
        }
        refit(best_ways(), 0.9 + 0.03 * rise, 0.03)
    return fits
