"""The guesses as a sheet to be confirmed: what may be chosen of each, and what follows from it.

A person chooses column, unit or sign of a channel; what has been chosen stays, and what follows from
it is guessed anew.
"""

from typing import Any, Literal, NamedTuple, cast

from sim.aircraft import library
from sim.reproduce.channels import CHANNELS, ONE_WAY
from sim.reproduce.importer.drafts import Draft
from sim.reproduce.importer.guessing import Guesses, guess, nothing_known
from sim.reproduce.importer.mapping import ASK, SOURCES, Settled
from sim.reproduce.importer.questions import Question, absent, questions
from sim.reproduce.importer.reading import Table
from sim.reproduce.importer.units import UNITS
from sim.reproduce.recording import Attitude

Key = Literal["column", "unit", "sign"]
KEYS: tuple[Key, ...] = ("column", "unit", "sign")
MISSING = "not in it"
OPEN = "not said yet"
GROWS, FALLS = "grows", "falls"
AIRFRAME, ATTITUDE = "airframe", "attitude"
ATTITUDES = ("aboard", "outside")


class Row(NamedTuple):
    """One channel as guessed: its column, unit and sign, and whether something of it is open."""

    channel: str
    column: str
    unit: str
    sign: str
    open: bool
    needed: bool


def usable(guesses: Guesses) -> Settled:
    """Return what holds: a channel of which something is open is left out."""
    left_out = {question.channel for question in questions(guesses)}
    settled = guesses.settled()
    return settled._replace(
        sources={n: None if n in left_out else s for n, s in settled.sources.items()}
    )


def missing(guesses: Guesses) -> list[str]:
    """Return, in sentences, what has to be there or answered first; nothing if it can be used."""
    return lacking(guesses) + [f"Still open: {q.words}" for q in questions(guesses) if q.needed]


def lacking(guesses: Guesses) -> list[str]:
    """Return, in sentences, what has to be there and is said not to be."""
    return [f"It has no {words}: it can't be used." for words in absent(guesses)]


class Sheet:
    """A recording's guesses, and what a person has chosen. known : what is settled beforehand."""

    def __init__(self, table: Table, known: Settled | None = None) -> None:
        self.table = table
        self.known = known or nothing_known(library.TRAINER)
        self._guess()

    def _guess(self) -> None:
        self.guesses = guess(self.table, library.airframe(self.known.airframe), self.known)

    @property
    def questions(self) -> list[Question]:
        """Everything that is open."""
        return questions(self.guesses)

    @property
    def missing(self) -> list[str]:
        """What has to be there or answered first."""
        return missing(self.guesses)

    @property
    def lacking(self) -> list[str]:
        """What has to be there and is said not to be."""
        return lacking(self.guesses)

    @property
    def settled(self) -> Settled:
        """What holds."""
        return usable(self.guesses)

    @property
    def rows(self) -> list[Row]:
        """Every channel: what can't be done without and is open first, then what is there."""
        found = [self._row(draft) for draft in self.guesses.drafts.values()]
        return sorted(found, key=lambda row: (not row.open, not row.needed, row.column == MISSING))

    def _row(self, draft: Draft) -> Row:
        channel = CHANNELS[draft.channel]
        column, unit, sign = (self.value(draft.channel, key) for key in KEYS)
        if draft.found is None:
            unit = sign = ""
        return Row(draft.channel, column, unit, sign, bool(draft.open), channel.needed)

    def why(self, channel: str) -> str:
        """Return what the guess of a channel rests on."""
        return self.guesses.bases().get(channel, "")

    # --- what may be chosen ----------------------------------------------------------------------

    def keys(self, channel: str) -> tuple[Key, ...]:
        """Return what there is to choose of a channel."""
        if self.guesses.drafts[channel].found is None:
            return ("column",)
        return ("column", "unit") if CHANNELS[channel].kind in ONE_WAY else KEYS

    def options(self, channel: str, key: Key) -> tuple[str, ...]:
        """Return what may be chosen, as it is called; what is open is among it while it is open."""
        open_ = (OPEN,) if self.value(channel, key) == OPEN else ()
        if key == "column":
            return (*open_, *self.table.names, MISSING)
        if key == "unit":
            return (*open_, *UNITS[CHANNELS[channel].kind])
        return (*open_, GROWS, FALLS)

    def value(self, channel: str, key: Key) -> str:
        """Return what holds now, as it is called."""
        draft = self.guesses.drafts[channel]
        if key == "column":
            return MISSING if draft.column is None else _called(draft.column)
        if key == "unit":
            return _called(draft.unit)
        return {1: GROWS, -1: FALLS}.get(cast(Any, draft.sign), OPEN)

    def choose(self, channel: str, key: Key, value: str) -> None:
        """Settle one thing and guess anew what follows from it. A new column is all open again."""
        draft = self.guesses.drafts[channel]
        data: dict[str, Any] = {"column": draft.column, "unit": draft.unit, "sign": draft.sign}
        if key == "column":
            one_way = CHANNELS[channel].kind in ONE_WAY
            data = {"column": value, "unit": ASK, "sign": 1 if one_way else ASK}
        else:
            data[key] = {GROWS: 1, FALLS: -1}.get(value, value)
            data |= {"ends": draft.ends, "over": draft.over}
        gone = key == "column" and value == MISSING
        model = SOURCES[CHANNELS[channel].kind]
        kept = {k: v for k, v in data.items() if v is not None}
        source = None if gone else model.model_validate(kept)
        self.known = self.known._replace(sources={**self.known.sources, channel: source})
        self._guess()

    def take_attitude(self, value: str) -> None:
        """Settle where the angles were measured."""
        self.known = self.known._replace(attitude=cast(Attitude, value))
        self._guess()

    def take_airframe(self, name: str) -> None:
        """Settle which airframe flew."""
        self.known = self.known._replace(airframe=name)
        self._guess()


def _called(value: str) -> str:
    return OPEN if value == ASK else value
