"""The note of an attempt: who tries which drill, with which seed, by which version."""

from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from sim import __version__
from sim.aircraft.fields import Line, Seed, Strict
from sim.session import beside

ATTEMPT = "attempt.json"
SCORECARD = "scorecard.json"
MAX_BYTES = 4096  # bytes; own: some times the longest note
NAME_LENGTH = 60  # letters; own: fits a line of the scorecard


class Note(Strict):
    """What is written down before anything is done. Marks do not rest on it.

    `scenario`: the drill's name; `by`: whether a person tries, or the stand-in `trainee` names.
    """

    trainee: Annotated[Line, Field(max_length=NAME_LENGTH)]
    by: Literal["person", "stand-in"]
    scenario: Line
    seed: Seed
    dryhop: Line = __version__

    def text(self) -> str:
        """Return the note as its file holds it."""
        return beside.text_of(self)


def noted(folder: Path) -> Note | None:
    """Return the note of a run folder, or None if there is none that can be read."""
    return beside.read(folder / ATTEMPT, Note, MAX_BYTES)
