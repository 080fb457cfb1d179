"""The report as a form: one question after another, each answered by words to be ticked, or not known."""

from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from pydantic import ValidationError

from sim.bench.checklist import CHECKS
from sim.errors import sentence
from sim.reproduce.words.changes import NOTHING, SAID
from sim.reproduce.words.observed import GROUPS
from sim.reproduce.words.report import AT_THE_BENCH, LET_GO, OF_FLIGHT, WHEN_SAYS, Report

Kind = Literal["text", "one", "several"]

CHECK_SAYS: dict[str, str] = {key: check.title for key, check in CHECKS.items()}
ALONE = {LET_GO, NOTHING}  # words that stand alone, or not at all


class Question(NamedTuple):
    """One question of the form. says : the words to choose from, each with what it says."""

    key: str
    words: str
    kind: Kind
    says: Mapping[str, str]


QUESTIONS = (
    Question("title", "What happened, in one line", "text", {}),
    Question("story", "What happened, in your own words", "text", {}),
    Question("when", "Where did it first go wrong?", "one", WHEN_SAYS),
    Question("check", "At which check did it show?", "one", CHECK_SAYS),
    Question("moved", "What did it do from then on?", "several", GROUPS["moved"]),
    Question("heard", "What was heard or felt?", "several", GROUPS["heard"]),
    Question(
        "sticks",
        "What did the sticks do?",
        "several",
        {LET_GO: "nobody moved them, but the throttle", **GROUPS["sticks"]},
    ),
    Question(
        "pilot",
        "What did the pilot do?",
        "one",
        {"cut": "cut the motors", "landed": "landed, or let it land"},
    ),
    Question("changed", "What was changed since it last flew well?", "several", SAID),
    Question("worked", "Which checks came out well before?", "several", CHECK_SAYS),
)


class Form:
    """What is answered so far; everything else follows from it.

    data : the answers as a report file has them, those to questions no longer asked among them; what
    is not in it is not known. report : what those asked now come to, None where they don't go
    together; said : why not.
    """

    def __init__(self, data: Mapping[str, Any] | None = None) -> None:
        keys = {question.key for question in QUESTIONS} | {"airframe"}
        self.data = {key: value for key, value in (data or {}).items() if key in keys}
        self._work()

    @property
    def asked(self) -> list[Question]:
        """The questions to be asked now: of a bench check, or of a flight."""
        bench = self.data.get("when") == AT_THE_BENCH
        left_out = OF_FLIGHT if bench else ("check",)
        return [question for question in QUESTIONS if question.key not in left_out]

    def chosen(self, key: str) -> str | None:
        """Return the word chosen where one is; None while it is not known."""
        value = self.data.get(key)
        return value if isinstance(value, str) else None

    def ticked(self, key: str) -> tuple[str, ...] | None:
        """Return the words ticked where there may be several; None while it is not known."""
        value = self.data.get(key)
        return tuple(value) if isinstance(value, list | tuple) else None

    def write(self, key: str, value: str | None) -> None:
        """Answer a question by a text or one word; None or nothing: not known."""
        if value:
            self.data[key] = value
        else:
            self.data.pop(key, None)
        self._work()

    def know(self, key: str, known: bool) -> None:
        """Say that a question is answered, with nothing ticked yet, or that it is not known."""
        if known:
            self.data.setdefault(key, [])
        else:
            self.data.pop(key, None)
        self._work()

    def tick(self, key: str, word: str) -> None:
        """Tick a word, or take the tick away; some words stand alone."""
        before = list(self.ticked(key) or ())
        if word in before:
            after = [one for one in before if one != word]
        elif word in ALONE:
            after = [word]
        else:
            after = [*(one for one in before if one not in ALONE), word]
        self.data[key] = after
        self._work()

    def _work(self) -> None:
        self.report: Report | None = None
        self.said = ""
        asked = {question.key for question in self.asked} | {"airframe"}
        try:
            self.report = Report.model_validate({k: v for k, v in self.data.items() if k in asked})
        except ValidationError as error:
            rules = (str(one["msg"]).removeprefix("Value error, ") for one in error.errors())
            self.said = " ".join(map(sentence, rules))
