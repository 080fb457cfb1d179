"""The questions as a sheet to fill in: whatever is written, in any order, and what follows from it so far."""

from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from sim.describe.account import outlook, problems
from sim.describe.answers import Answers
from sim.describe.plausible import Finding
from sim.describe.questions import PARTS, SWINGS, SWUNG, Question, answer, put
from sim.describe.rules import Estimate, so_far
from sim.describe.written import Written
from sim.errors import InputError, Problem, Refusal, sentence

SWUNG_ID, SWING = "swung", "swing."
SWING_PART = "A swing on two strings"
Asked = tuple[str, Question]  # (where its answer is written, the question)


class Form(Written):
    """What is written, by question; everything else follows from it.

    texts : the answers as written. estimates : by key, of what is good so far. answers : all of
    them, once they are complete and go together. findings : what is likely of it, then. said : why
    it can't be, if answers don't go together or nothing would fly.
    """

    def __init__(self, texts: Mapping[str, str] | None = None) -> None:
        super().__init__(texts, {id_ for _, asked in _parts(True) for id_, _ in asked})

    @property
    def parts(self) -> list[tuple[str, list[Asked]]]:
        """The questions to be asked now, under their titles; those of a swing if there was one."""
        return _parts(self.text(SWUNG_ID) == "yes")

    @property
    def asked(self) -> list[Asked]:
        """The questions to be asked now, one after another."""
        return [one for _, asked in self.parts for one in asked]

    @property
    def keys(self) -> Iterable[str]:
        """The questions to be asked now, by where their answers are written."""
        return (id_ for id_, _ in self.asked)

    def _work(self) -> None:
        self.answers: Answers | None = None
        self.findings: list[Finding] = []
        self.said = ""
        data: dict[str, Any] = {}
        questions = dict(self.asked)
        for id_, value in self._read(lambda id_, text: answer(questions[id_], text)).items():
            put(data, id_, value)
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
    return " ".join(sentence(p.rule) for p in found)


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
