"""The report file: a failure in our own words. Everything may be left out; `don't know` is an answer.

A list that is given answers its question whole: what is not in it was not noticed. An empty list
says that there was nothing of the kind.
"""

from pathlib import Path
from typing import Annotated, Literal, TypeVar

from pydantic import BeforeValidator, field_validator, model_validator

from sim.aircraft import library
from sim.aircraft.fields import Line, Strict, Text
from sim.aircraft.textfile import load_model
from sim.keys import CheckKey
from sim.reproduce.words.changes import NOTHING, Change
from sim.reproduce.words.observed import CUT, GROUPS
from sim.session.scenario import file_or_known

DONT_KNOW = "don't know"
LET_GO = "let-go"
AT_THE_BENCH = "at-the-bench"
OF_FLIGHT = ("moved", "heard", "sticks", "pilot")  # questions about a flight


def _known(answer: object) -> object:
    """Return an answer, None for one that says it is not known."""
    if answer == DONT_KNOW:
        return None
    return tuple(answer) if isinstance(answer, list) else answer


When = Literal["at-the-bench", "starting", "on-legs", "leaving", "hover", "landing", "never"]
Moved = Literal[
    "rolled-right", "rolled-left", "pitched-up", "pitched-down", "yawed-right", "yawed-left",
    "climbed", "sank", "stayed-down", "drifted-forward", "drifted-back", "drifted-right",
    "drifted-left", "circled", "wobbled", "flipped", "stayed-dark", "would-not-arm",
]  # fmt: skip
Heard = Literal[
    "ringing", "rattle", "rough", "motor-late", "motor-silent", "motor-faltered", "went-dead",
    "one-hot", "all-hot", "alarm",
]  # fmt: skip
StickWord = Literal[
    "roll-backwards", "pitch-backwards", "yaw-backwards", "crossed", "wild", "weak", "held-right",
    "held-left", "held-back", "held-forward", "held-yaw-right", "held-yaw-left", "throttle-high",
    "throttle-low", "let-go",
]  # fmt: skip
Pilot = Literal["cut", "landed"]
T = TypeVar("T")
Known = Annotated[T | None, BeforeValidator(_known)]
"""What may be left out, or answered by `don't know`."""

WHEN_SAYS: dict[str, str] = {
    "at-the-bench": "at the bench, at a check",
    "starting": "when the motors were to start",
    "on-legs": "light on the legs",
    "leaving": "as it left the ground",
    "hover": "in the hover",
    "landing": "on landing",
    "never": "never: nothing went wrong",
}


class Report(Strict):
    """What somebody says of a failure.

    when : where it first went wrong; check : the one at which it showed, if that was at the bench;
    moved : what it did from then on; heard : and felt; sticks : what they did, `let-go` if nobody
    moved them; pilot : what became of it; changed : since the last good flight; worked : checks
    that came out well before.
    """

    title: Line = ""
    story: Text = ""
    airframe: Line = library.TRAINER
    when: Known[When] = None
    check: Known[CheckKey] = None
    moved: Known[tuple[Moved, ...]] = None
    heard: Known[tuple[Heard, ...]] = None
    sticks: Known[tuple[StickWord, ...]] = None
    pilot: Known[Pilot] = None
    changed: Known[tuple[Change, ...]] = None
    worked: Known[tuple[CheckKey, ...]] = None

    @field_validator("airframe")
    @classmethod
    def _airframe(cls, name: str) -> str:
        return file_or_known("airframe", name)

    @model_validator(mode="after")
    def _agrees(self) -> "Report":
        if (self.check is not None) > (self.when == AT_THE_BENCH):
            raise ValueError("check goes with when: at-the-bench")
        of_flight = any(getattr(self, key) is not None for key in OF_FLIGHT)
        if self.when == AT_THE_BENCH and of_flight:
            raise ValueError("moved, heard, sticks and pilot are of a flight: when is at-the-bench")
        if self.check is not None and self.check in (self.worked or ()):
            raise ValueError("worked must not name the check at which it showed")
        if self.when == "never" and self.moved:
            raise ValueError("moved must be empty where nothing went wrong: when: never")
        if LET_GO in (self.sticks or ()) and len(self.sticks or ()) > 1:
            raise ValueError("sticks must be let-go alone, or what they did")
        if NOTHING in (self.changed or ()) and len(self.changed or ()) > 1:
            raise ValueError("changed must be nothing alone, or what was changed")
        return self

    @property
    def told(self) -> dict[str, bool]:
        """The words of the questions answered about the flight, and whether each was said."""
        given: dict[str, tuple[str, ...] | None] = {"moved": self.moved, "heard": self.heard}
        if self.sticks != (LET_GO,):
            given["sticks"] = self.sticks
        if self.pilot is not None:
            given["pilot"] = (CUT,) if self.pilot == "cut" else ()
        said = {group: words for group, words in given.items() if words is not None}
        return {word: word in said[group] for group in said for word in GROUPS[group]}


def load_report(path: Path, text: str | None = None) -> Report:
    """Read a report; InputError names file, line, key, value, rule and nearest choice."""
    return load_model(path, Report, text)
