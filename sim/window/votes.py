"""The decisions of a run, put to a class: what could be done next, how many hands each had, what came of it. Pure.

Before the vote a decision says nothing of what was done: it always offers a few checks, by their
titles, and the same four other things.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from sim.bench.checklist import CHECKS
from sim.bench.evidence import Measured
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.procedure.cards import COMPLETE
from sim.session import actions as act
from sim.session.record import Event
from sim.window.values import Units, reading_told

Kind = Literal["check", "squawk", "change", "call", "last-word"]

OTHER: dict[Kind, str] = {
    "squawk": "Write a squawk",
    "change": "Set, swap or calibrate something",
    "call": "Call the card complete",
    "last-word": "Arm, or give the last word",
}
MOST_CHECKS = 3  # own: with the four others as many as a class can weigh
MOST_HANDS = 999  # own: more than any room holds
LATER_STEPS = frozenset({"compass-finish", "face-take", "face-finish"})  # of what was begun before


class Choice(NamedTuple):
    """One thing that could be done next. check : which, if it is one."""

    words: str
    kind: Kind
    check: CheckKey | None = None


@dataclass
class Decision:
    """One thing that was decided, and the hands for each choice.

    act : its number among all acts; through : of the act after which it is known what it told;
    minutes : of the evening before it; made, best : places among the choices, of what was done and of
    the check that was expected to tell most a minute, None if none was worth doing.
    """

    act: int
    through: int
    minutes: float
    choices: tuple[Choice, ...]
    made: int
    best: int | None
    hands: list[int] = field(init=False)

    def __post_init__(self) -> None:
        self.hands = [0] * len(self.choices)

    def count(self, at: int, hands: int) -> None:
        """Note so many hands for a choice; what no room holds is left out."""
        if 0 <= hands <= MOST_HANDS:
            self.hands[at] = hands

    @property
    def favourite(self) -> int | None:
        """The choice with most hands; None without hands, or where two have as many."""
        most = max(self.hands)
        return self.hands.index(most) if most and self.hands.count(most) == 1 else None


def kind_of(action: act.Action) -> Kind | None:
    """Return what kind of decision an act is; None if it is none."""
    match action:
        case act.Read() | act.Begin():
            return "check"
        case act.Squawk():
            return "squawk"
        case act.Set() | act.Swap():
            return "change"
        case act.Calibrate():
            return None if action.what in LATER_STEPS else "change"
        case act.Answer():
            return "call" if action.item == COMPLETE else None
        case act.Arm() | act.Declare():
            return "last-word"
        case _:
            return None


def choices(made: CheckKey | None, best: Sequence[CheckKey]) -> tuple[Choice, ...]:
    """Return what is offered: a few checks by title, and the other things. best : the best first."""
    checks = [] if made is None else [made]
    checks += [check for check in best if check != made][: MOST_CHECKS - len(checks)]
    titles = sorted((CHECKS[check].title, check) for check in checks)
    return (
        *(Choice(title, "check", check) for title, check in titles),
        *(Choice(words, kind) for kind, words in OTHER.items()),
    )


def decisions(events: Sequence[Event], best: Sequence[Sequence[CheckKey]]) -> list[Decision]:
    """Return the decisions of a run in order.

    Parameters
    ----------
    events : Sequence[Event]
        All that was done.
    best : Sequence[Sequence[CheckKey]]
        For each of them the checks worth doing just before it, the best first.
    """
    found: list[Decision] = []
    for at, event in enumerate(events):
        kind = kind_of(event.action)
        if kind is None or event.refused is not None or (found and at <= found[-1].through):
            continue
        action = event.action
        made = action.check if isinstance(action, act.Read | act.Begin) else None
        offered = choices(made, best[at])
        done = next(i for i, c in enumerate(offered) if (c.kind, c.check) == (kind, made))
        top = next(iter(best[at]), None)
        worth = None if top is None else next(i for i, c in enumerate(offered) if c.check == top)
        before = events[at - 1].minutes if at else 0.0  # min; the evening begins
        found.append(Decision(at, _through(events, at), before, offered, done, worth))
    return found


def _through(events: Sequence[Event], at: int) -> int:
    """Return the act after which it is known what one told: of a check begun by hand, when it was done."""
    begun = events[at].action
    if not isinstance(begun, act.Begin):
        return at
    for later, event in enumerate(events[at + 1 :], start=at + 1):
        if isinstance(event.action, act.Begin) and event.refused is None:
            break
        read = event.reading
        if isinstance(event.action, act.Done) and read is not None and read.check == begun.check:
            return later
    return at


def outside(reading: Reading, check: CheckKey, known: Measured, units: Units) -> list[str]:
    """Return the lines of a reading that lie outside what sound aircraft show, in words."""
    lines = [line for line in reading.values if known.outside(check, reading.values, line)]
    told = [reading_told(line, reading.values[line], units) for line in lines]
    return [f"{one.words}: {one.amount}" for one in told]


class Tally(NamedTuple):
    """What came of the votes. voted : decisions with hands; trainee, best : in which most hands went so."""

    asked: int
    voted: int
    hands: int
    trainee: int
    best: int


def tally(asked: Sequence[Decision]) -> Tally:
    """Return what came of the votes."""
    voted = [one for one in asked if sum(one.hands)]
    return Tally(
        len(asked),
        len(voted),
        sum(sum(one.hands) for one in voted),
        sum(one.favourite == one.made for one in voted),
        sum(one.favourite is not None and one.favourite == one.best for one in voted),
    )
