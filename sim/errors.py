"""Errors a person may meet: bad input, and actions refused.

DryhopError
  InputError   one or more problems in a file, each with its place
  Refusal      an action that may not be done now
"""

import reprlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple


def legible(text: str) -> str:
    """Return text for a line on a terminal: what can't be printed is written as its escape."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else ascii(c)[1:-1] for c in text)


def sentence(rule: str) -> str:
    """Return a rule, such as that of a problem, as a sentence."""
    return f"{rule[:1].upper()}{rule[1:].rstrip('.')}."


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name most like one, None if none is like it."""
    from difflib import get_close_matches  # seldom needed, and slow to load

    return next(iter(get_close_matches(name, list(known), n=1)), None)


class DryhopError(Exception):
    """Root of all errors raised on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong in one place of a file; `value` is already shortened for reading."""

    file: str
    line: int | None
    key: str
    value: str
    rule: str
    nearest: str | None = None

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        subject = " = ".join(part for part in (self.key, self.value) if part)
        text = ": ".join(part for part in (place, subject, self.rule) if part)
        if self.nearest is not None:
            text += f"; nearest: {self.nearest}"
        return legible(text)


class InputError(DryhopError):
    """A file that cannot be used; `problems` says where and why, one line each."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(str(problem) for problem in self.problems)


MustBeFirst = Literal[
    "powered",
    "unplugged",
    "linked",
    "props_off",
    "props_on",
    "in_hands",
    "standing",
    "clamped",
    "disarmed",
    "rotors_still",
    "started",
    "software",
    "throttle_down",
    "stop_switch_off",
    "level",
    "compass",
    "layout",
    "mode_switch",
    "sticks",
    "drives",
    "accelerometer",
    "own_memory",
    "cable_in",
    "cable_out",
    "at_bench",
    "connected",
    "disconnected",
    "restarted",
    "other_rate",
    "begun",
    "moved",
    "all_faces",
    "held_still",
    "held_square",
    "other_face",
]
CanNotBe = Literal[
    "will_not_arm",
    "over",
    "flown",
    "already",
    "unknown",
    "not_tonight",
    "value",
    "no_fit",
    "dead",
    "in_use",
    "no_display",
    "one_act",
]
Reason = MustBeFirst | CanNotBe


class Objection(NamedTuple):
    """One thing that stands in the way of an act: its code, and the sentence that says it."""

    reason: Reason
    words: str


class Refusal(DryhopError):
    """An action a person may not do now; the message says why.

    reasons : what must be so first, or why it can't be at all; code reads these, never the words.
    """

    def __init__(self, words: str, reason: Reason, *more: Reason) -> None:
        self.reasons = frozenset((reason, *more))
        super().__init__(words)


def refuse_for(objections: Iterable[Objection], begins: str = "", *also: Reason) -> None:
    """Refuse with everything that stands in the way; do nothing if nothing does."""
    all_of_them = tuple(objections)
    if all_of_them:
        words = " ".join((begins, *(one.words for one in all_of_them))).strip()
        raise Refusal(words, *also, *(one.reason for one in all_of_them))


class _Short(reprlib.Repr):
    """Shortened values, written as the file would write them."""

    def repr_str(self, x: str, level: int) -> str:
        return '"' + (x if len(x) <= 60 else x[:57] + "...") + '"'

    def repr_bool(self, x: bool, level: int) -> str:
        return str(x).lower()

    def repr_NoneType(self, x: None, level: int) -> str:
        return "null"


_SHORT = _Short()


def shown(value: object) -> str:
    """Return a value of a file in one short piece of text."""
    return _SHORT.repr(value)


def line_of(error: OSError | DryhopError) -> str:
    """Return an error on one line: what the system said of a file, folder or disk, or our words."""
    if isinstance(error, DryhopError):
        return str(error)
    what = error.strerror or str(error) or type(error).__name__
    names = [str(name) for name in (error.filename, error.filename2) if name is not None]
    return ": ".join((" and ".join(names) or "files", what))
