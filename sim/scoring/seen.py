"""How much of what was to be seen was seen; good manners and a good hop count in that proportion.

It is the share of what was hidden that was noticed, by hazard, or the share of the cards' checks that
were answered with a value that was read, whichever is less: only what is answered tells who reads
from who guesses right, or finds nothing where nothing is. A wrong cause that comes near a fault is
as much worth here as in naming: causes drawn by lot come near one now and then. Who rightly leaves a
fault to others has not come to the rest of the cards, and is asked for answers up to there.
"""

import re

from sim.keys import CheckKey, FaultId
from sim.procedure.cards import CARDS, COMPLETE, item_of, value_said
from sim.scoring.case import Case
from sim.scoring.ladder import Rung
from sim.session.actions import Answer

SAID = re.compile(
    r"(?<!\S)([a-z][a-z0-9_]*) (-?\d[\d.]*(?:e[+-]?\d+)?)(?=[\s,;]|$)"
)  # a line, a number


def answerable(case: Case) -> frozenset[CheckKey]:
    """Return the checks on the cards with a line on which sound aircraft differ."""
    on_cards = {item.check for card in CARDS for item in card.items}
    bands = case.measured.bands
    return frozenset(c for c, line in bands if c in on_cards and case.measured.tells(c, line))


def answered(case: Case) -> frozenset[CheckKey]:
    """Return the checks answered with what they read last: `line value`, to four digits.

    Every number said must be right, and one of them on a line that differs between sound aircraft.
    """
    found = set()
    for at, event in enumerate(case.events):
        said = event.action
        if not isinstance(said, Answer) or said.item == COMPLETE:
            continue
        item = item_of(said.card, said.item)
        read = None if item is None else case.last_read(item.check, at)
        if item is None or read is None:
            continue
        values = case.readings[read][1]
        pairs = [(k, number) for k, number in SAID.findall(said.value) if k in values]
        true = all(_alike(number, values[k]) for k, number in pairs)
        if true and {k for k, _ in pairs} & set(case.measured.telling(item.check, values)):
            found.add(item.check)
    return frozenset(found)


def _alike(said: str, value: float) -> bool:
    try:
        return value_said(float(said)) == value_said(value)
    except ValueError:
        return False


def seen_share(
    case: Case,
    rungs: list[Rung],
    left: frozenset[FaultId] = frozenset(),
    stop: int | None = None,
) -> float:
    """Return the share of what was to be seen that was seen, 0..1, in full from the rubric's.

    left : faults rightly left on the bench, which were named; stop : the event that first showed one
    of them, after which no check had to be answered.
    """
    enough = case.rubric.seen
    hidden = [r for r in rungs if r.present_at_start and not r.by_precaution]
    found = 1.0
    if hidden:
        near = case.rubric.right_family
        worth = {r.id: 1.0 if r.sure or r.id in left else near * r.noticed for r in hidden}
        noticed = sum(r.hazard * worth[r.id] for r in hidden)
        found = min(1.0, noticed / sum(r.hazard for r in hidden) / enough.found)
    asked = answerable(case)
    if stop is not None:
        asked &= {check for at, (check, _) in case.readings.items() if at < stop}
    if not asked:
        return found
    return min(found, len(answered(case) & asked) / len(asked) / enough.answered)
