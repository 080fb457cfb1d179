"""The questions about an aircraft of one's own, asked one after another in a terminal."""

from collections.abc import Callable
from typing import Any

from sim.describe.answers import Answers
from sim.describe.questions import PARTS, SWINGS, SWUNG, Question, answer, put

Ask = Callable[[str], str]
Say = Callable[[str], None]


def _one(question: Question, ask: Ask, say: Say) -> Any:
    """Ask until there is an answer that can be."""
    while True:
        try:
            return answer(question, ask(question.shown))
        except ValueError as error:
            say(str(error))


def asked(ask: Ask, say: Say) -> Answers:
    """Ask everything and return the answers; ValidationError if they don't go together."""
    data: dict[str, Any] = {}
    for part in PARTS:
        say(f"\n{part.title}")
        for question in part.questions:
            put(data, question.key, _one(question, ask, say))
    if _one(SWUNG, ask, say):
        data["swing"] = {question.key: _one(question, ask, say) for question in SWINGS}
    return Answers.model_validate(data)
