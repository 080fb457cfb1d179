"""The study of sound aircraft: what fresh ones and whole evenings show, and the bands from it."""

from collections.abc import Callable, Iterable

from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.diagnosis.pool import Mapper
from sim.diagnosis.readings import FRESH, Batch, SoundEvening, evening_shown, fresh_shown
from sim.diagnosis.sound import Shown, bands_of

APART = 1_000_000  # own: no drill and no other study takes these seeds, so all others are fresh


def pooled(parts: Iterable[dict[str, Shown]]) -> dict[str, Shown]:
    """Return the values of all parts together, group by group."""
    found: dict[str, Shown] = {}
    for part in parts:
        for name, group in part.items():
            into = found.setdefault(name, {})
            for where, values in group.items():
                into.setdefault(where, []).extend(values)
    return found


def bands(
    spread: Mapper,
    airframe: str,
    builds: int,
    evenings: int,
    begins: Callable[[str, int], None] = lambda name, total: None,
    done: Callable[[], None] = lambda: None,
) -> list[Band]:
    """Return the bands of fresh sound builds, and of evenings on others, read round by round."""
    every = tuple(CHECKS)
    begins("Fresh aircraft", builds)
    batches = [Batch(None, 0.0, APART + n, every, airframe) for n in range(builds)]
    fresh = pooled(spread(fresh_shown, batches, done))
    begins("Evenings", evenings)
    asked = [SoundEvening(n, APART + builds + n, airframe) for n in range(evenings)]
    rounds = pooled(spread(evening_shown, asked, done))
    return bands_of(fresh[FRESH], tuple(rounds.values()), builds, evenings)
