"""The study of sound aircraft: what fresh ones and whole evenings show, and the bands from it."""

from collections.abc import Callable, Iterable
from pathlib import Path
from tempfile import TemporaryDirectory

from sim.aircraft.library import Design
from sim.bench.bands import Band
from sim.bench.checklist import CHECKS
from sim.diagnosis.columns import Columns
from sim.diagnosis.pool import Mapper, no_matter
from sim.diagnosis.readings import FRESH, Batch, SoundEvening, evening_shown, fresh_shown
from sim.diagnosis.sound import Shown, Where, bands_of

APART = 1_000_000  # own: no drill and no other study takes these seeds, so all others are fresh


class Pool(dict[str, Columns[Where]]):
    """All that was shown, by group of readings; on disk in a folder."""

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._folder = folder

    def add(self, parts: Iterable[dict[str, Shown]]) -> None:
        """Put what was shown to that of the same groups."""
        for part in parts:
            for name, group in part.items():
                if name not in self:
                    self[name] = Columns(self._folder / name)
                for where, values in group.items():
                    self[name].extend(where, values)


def bands(
    spread: Mapper,
    airframe: Design,
    builds: int,
    evenings: int,
    begins: Callable[[str, int], None] = lambda name, total: None,
    done: Callable[[], None] = no_matter,
) -> list[Band]:
    """Return the bands of fresh sound builds, and of evenings on others, read round by round."""
    every = tuple(CHECKS)
    batches = (Batch(None, 0.0, APART + n, every, airframe) for n in range(builds))
    asked = (SoundEvening(n, APART + builds + n, airframe) for n in range(evenings))
    with TemporaryDirectory(prefix="dryhop-") as folder:
        pool = Pool(Path(folder))
        begins("Fresh aircraft", builds)
        pool.add(spread(fresh_shown, batches, done))
        fresh = pool.pop(FRESH)
        begins("Evenings", evenings)
        pool.add(spread(evening_shown, asked, done))
        return bands_of(fresh, tuple(pool.values()), builds, evenings)
