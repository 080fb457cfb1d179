"""The study of sound aircraft: what fresh ones and whole evenings show, and the bands from it."""

from collections.abc import Callable, Iterable

from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.diagnosis.pool import Mapper
from sim.diagnosis.readings import Batch, SoundEvening, evening_shown, fresh_shown
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


def sound(
    spread: Mapper,
    airframe: str,
    builds: int,
    evenings: int,
    begins: Callable[[str, int], None] = lambda name, total: None,
    done: Callable[[], None] = lambda: None,
) -> dict[str, Shown]:
    """Return what fresh sound builds show, and what others do in evenings, round by round."""
    every = tuple(CHECKS)
    begins("Fresh aircraft", builds)
    batches = [Batch(None, 0.0, APART + n, every, airframe) for n in range(builds)]
    parts = spread(fresh_shown, batches, done)
    begins("Evenings", evenings)
    asked = [SoundEvening(n, APART + builds + n, airframe) for n in range(evenings)]
    return pooled((*parts, *spread(evening_shown, asked, done)))


def bands(
    spread: Mapper,
    airframe: str,
    builds: int,
    evenings: int,
    begins: Callable[[str, int], None] = lambda name, total: None,
    done: Callable[[], None] = lambda: None,
) -> list[Band]:
    """Return the measured bands of an airframe."""
    groups = sound(spread, airframe, builds, evenings, begins, done)
    return bands_of(tuple(groups.values()), builds, evenings)
