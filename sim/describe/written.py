"""What is written at the questions of a form, and which answers can't be."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Container, Iterable, Mapping
from typing import Any


class Written(ABC):
    """Answers as they are written, by question; everything else of a form follows from them.

    texts : the answers. known : the questions there are; what is written at others is left out.
    """

    def __init__(self, texts: Mapping[str, str] | None, known: Container[str]) -> None:
        self.texts = {key: text for key, text in (texts or {}).items() if key in known}
        self._work()

    @property
    @abstractmethod
    def keys(self) -> Iterable[str]:
        """The questions to be asked now, one after another."""

    @abstractmethod
    def _work(self) -> None:
        """Work out anew what follows from the answers."""

    def text(self, key: str) -> str:
        """Return what is written at a question."""
        return self.texts.get(key, "")

    def write(self, key: str, text: str) -> None:
        """Write an answer."""
        if text != self.text(key):
            self.texts[key] = text
            self._work()

    def wrong(self, key: str) -> str:
        """Return why the answer written can't be; nothing if it can, or if none is written."""
        return self._wrong.get(key, "") if self.text(key).strip() else ""

    @property
    def open_(self) -> str:
        """The first question without a good answer; nothing if there is none."""
        return next((key for key in self.keys if key in self._wrong), "")

    def _read(self, answer: Callable[[str, str], Any]) -> dict[str, Any]:
        """Return the good answers by question, in their order; why the others can't be is kept.

        answer : takes question and text, raises ValueError with a sentence.
        """
        self._wrong: dict[str, str] = {}
        good = {}
        for key in self.keys:
            try:
                good[key] = answer(key, self.text(key))
            except ValueError as error:
                self._wrong[key] = str(error)
        return good
