"""Numbers by name, on disk: a study may show more of them than memory holds."""

from array import array
from collections.abc import Hashable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar

K = TypeVar("K", bound=Hashable)

BLOCK = 1024  # numbers; own: so many of each name wait in memory, 8 kB


class Columns(Mapping[K, list[float]]):
    """Columns of numbers, each in a file of a folder; only one that is asked for is in memory."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir()
        self._folder = folder
        self._waiting: dict[K, array[float]] = {}
        self._files: dict[K, Path] = {}

    def extend(self, name: K, values: Iterable[float]) -> None:
        """Append numbers to a column, which begins with the first of them."""
        if name not in self._files:
            self._files[name] = self._folder / str(len(self._files))
            self._waiting[name] = array("d")
        waiting = self._waiting[name]
        waiting.extend(values)
        if len(waiting) >= BLOCK:
            with self._files[name].open("ab") as file:
                waiting.tofile(file)
            del waiting[:]

    def __getitem__(self, name: K) -> list[float]:
        path = self._files[name]
        found = array("d", path.read_bytes() if path.is_file() else b"")
        return [*found, *self._waiting[name]]

    def __iter__(self) -> Iterator[K]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)
