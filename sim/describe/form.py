"""The questions as a sheet to fill in: whatever is written, in any order, and what follows from it so far."""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from sim.describe.account import outlook, problems
from sim.describe.answers import Answers
from sim.describe.plausible import Finding
from sim.describe.questions import PARTS, SWINGS, SWUNG, Question, answer, put
from sim.describe.rules import Estimate, so_far
from sim.errors import InputError, Problem, Refusal

SWUNG_ID, SWING = "swung", "swing."
SWING_PART = "A swing on two strings"
Asked = tuple[str, Question]  # (where its answer is written, the question)


class Form:
    """What is written, by question; everything else follows from it.

    texts : the answers as written. estimates : by key, of what is good so far. answers : all of
    them, once they are complete and go together. findings : what is likely of it, then. said : why
    it can't be, if answers don't go together or nothing would fly.
    """

    def __init__(self, texts: Mapping[str, str] | None = None) -> None:
        known = {id_ for _, asked in _parts(True) for id_, _ in asked}
        self.texts = {id_: text for id_, text in (texts or {}).items() if id_ in known}
        self._work()

    @property
    def parts(self) -> list[tuple[str, list[Asked]]]:
        """The questions to be asked now, under their titles; those of a swing if there was one."""
        return _parts(self.text(SWUNG_ID) == "yes")

    @property
    def asked(self) -> list[Asked]:
        """The questions to be asked now, one after another."""
        return [one for _, asked in self.parts for one in asked]

    def text(self, id_: str) -> str:
        """Return what is written at a question."""
        return self.texts.get(id_, "")

    def write(self, id_: str, text: str) -> None:
        """Write an answer."""
        if text != self.text(id_):
            self.texts[id_] = text
            self._work()

    def wrong(self, id_: str) -> str:
        """Return why the answer written can't be; nothing if it can, or if none is written."""
        return self._wrong.get(id_, "") if self.text(id_).strip() else ""

    @property
    def open_(self) -> str:
        """The first question without a good answer; nothing if there is none."""
        return next((id_ for id_, _ in self.asked if id_ in self._wrong), "")

    def _work(self) -> None:
        self._wrong: dict[str, str] = {}
        self.answers: Answers | None = None
        self.findings: list[Finding] = []
        self.said = ""
        data: dict[str, Any] = {}
        for id_, question in self.asked:
            try:
                put(data, id_, answer(question, self.text(id_)))
            except ValueError as error:
                self._wrong[id_] = str(error)
        data.pop(SWUNG_ID, None)
        if len(data.get(SWING[:-1], {})) < len(SWINGS):
            data.pop(SWING[:-1], None)
        self.estimates: dict[str, Estimate] = so_far(data)
        if not self._wrong:
            self._look(data)

    def _look(self, data: dict[str, Any]) -> None:
        try:
            self.answers = Answers.model_validate(data)
            self.findings = outlook(self.answers)
        except ValidationError as error:
            self.said = said(problems("", error))
        except InputError as error:
            self.said = said(error.problems)
        except Refusal as refusal:
            self.said = str(refusal)


def said(found: Iterable[Problem]) -> str:
    """Return what can't be, as sentences."""
    return " ".join(f"{p.rule[:1].upper()}{p.rule[1:]}." for p in found)


def _parts(swung: bool) -> list[tuple[str, list[Asked]]]:
    swing: list[Asked] = [(SWUNG_ID, SWUNG)]
    swing += [(SWING + question.key, question) for question in SWINGS if swung]
    return [
        *(
            (part.title, [(question.key, question) for question in part.questions])
            for part in PARTS
        ),
        (SWING_PART, swing),
    ]
