"""The trainee's own words on a run: what to keep and what to change, asked before the score is shown.

They lie in the run folder beside the evidence, and no mark rests on them.
"""

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Annotated

from pydantic import AwareDatetime, Field

from sim.aircraft.fields import LINE_LENGTH, Line, Strict, plain
from sim.aircraft.textfile import write_text_atomic
from sim.errors import Refusal
from sim.session import beside

OWN_WORDS = "own-words.json"
MOST_LINES = 3  # lines on each sheet; own: two or three words on each point, not an essay
MAX_BYTES = 1 << 15  # bytes; own: twice six full lines of letters of the longest escape

Lines = Annotated[tuple[Line, ...], Field(max_length=MOST_LINES)]


class OwnWords(Strict):
    """What went well and is kept (`plus`), what is to change (`delta`), and when that was said."""

    plus: Lines = ()
    delta: Lines = ()
    at_utc: AwareDatetime

    def text(self) -> str:
        """Return the words as their file holds them."""
        return beside.text_of(self)


def own_words(plus: Iterable[str], delta: Iterable[str], at_utc: datetime) -> OwnWords:
    """Return what was written, as text on lines; lines left empty are left out.

    Of each sheet the first `MOST_LINES` lines that hold something count, each cut to `LINE_LENGTH`.
    """

    def written(lines: Iterable[str]) -> tuple[str, ...]:
        kept = (plain(line.strip(), LINE_LENGTH) for line in lines)
        return tuple(line for line in kept if line)[:MOST_LINES]

    return OwnWords(plus=written(plus), delta=written(delta), at_utc=at_utc)


def asked_already(folder: Path) -> bool:
    """Tell whether the trainee of a run has been asked."""
    return (folder / OWN_WORDS).exists()


def words_of(folder: Path) -> OwnWords | None:
    """Return the trainee's own words on a run; None if there are none that can be read."""
    return beside.read(folder / OWN_WORDS, OwnWords, MAX_BYTES)


def keep_words(folder: Path, words: OwnWords) -> None:
    """Write the words into a run folder, once.

    Raises Refusal if there are words already, OSError if the disk does not take them.
    """
    if asked_already(folder):
        raise Refusal("Your own words are written already; they stay as they were.", "already")
    write_text_atomic(folder / OWN_WORDS, words.text())
