"""What came back from something asked of the session."""

from collections.abc import Callable
from dataclasses import dataclass

from sim.bench.reading import Reading
from sim.errors import Reason, Refusal
from sim.session import actions as act
from sim.session.record import Outcome
from sim.window.action_words import setting_words


@dataclass(frozen=True)
class Said:
    """What came back from something asked."""

    action: act.Action
    words: str
    reasons: frozenset[Reason] = frozenset()
    reading: Reading | None = None

    @property
    def refused(self) -> bool:
        """Whether it was refused: then there are reasons."""
        return bool(self.reasons)

    @property
    def told(self) -> str:
        """Return what came of it; of a setting, in the words of its line on the sheet."""
        if isinstance(self.action, act.Set) and not self.refused:
            return f"Set: {setting_words(self.action)}."
        return self.words


def said_of(does: Callable[[act.Action], Outcome], action: act.Action) -> Said:
    """Do something and return what came back, refused or not."""
    try:
        outcome = does(action)
    except Refusal as refusal:
        return Said(action, str(refusal), refusal.reasons)
    return Said(action, outcome.words, reading=outcome.reading)
