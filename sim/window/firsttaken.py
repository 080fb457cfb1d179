"""The first of several places that the disk takes."""

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TypeVar

T = TypeVar("T")


def first_taken(
    places: Iterable[Callable[[], Path]], work: Callable[[Path], T]
) -> tuple[T, OSError | None]:
    """Return what work made of the first place the disk takes, and the error of the first, if any.

    Raises that error if no place is taken.
    """
    first: OSError | None = None
    for place in places:
        try:
            return work(place()), first
        except OSError as error:
            first = first or error
    raise first or ValueError("no places")
