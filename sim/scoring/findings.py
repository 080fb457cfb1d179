"""Habits of a search that cost minutes, or point at nothing: told by the decision, not by how it came out. Pure."""

from collections import Counter
from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Family
from sim.keys import CheckKey, FixKey
from sim.scoring.case import Claim
from sim.scoring.needless import called_for, changes
from sim.scoring.search import Search, Step, Weighing

NAMED_EARLY = 0.5  # 1; own: what is named should be more likely than not
CHANGED_BLIND = 0.2  # 1; own: what is changed should have a chance of one in five to be the cause
STUCK = 3  # checks; own: twice is care, three times is a habit
SAFETY_FIRST: frozenset[CheckKey] = frozenset(
    {"people-and-room", "propellers", "switches", "failsafe"}
)  # what ends or holds off a danger comes first, whatever else would tell more


class Early(NamedTuple):
    """A cause named before the readings gave it even chances. chance : by what had been read."""

    claim: Claim
    chance: float


class Blind(NamedTuple):
    """A change of something that no reading made likely. at : its event; chance : of the likeliest cause."""

    at: int
    fix: FixKey
    chance: float


class Stuck(NamedTuple):
    """Checks of one family in a row, done again though little spoke for it. chance : of the family at most."""

    family: Family
    steps: tuple[Step, ...]
    chance: float


def again_for_nothing(search: Search) -> list[Step]:
    """Return the checks read again though nothing was changed since, and nothing had been outside."""
    return [step for step in search.steps if step.clean]


def dearest(search: Search, most: int) -> list[Step]:
    """Return the checks that fell shortest of the best one, the dearest first; none that keep people safe."""
    found = [s for s in search.steps if s.regret > 0.0 and s.done.check not in SAFETY_FIRST]
    return sorted(found, key=lambda step: -step.regret * step.done.minutes)[:most]


def named_early(search: Search) -> list[Early]:
    """Return the causes named before they were more likely than not, on a line not plainly outside."""
    found = []
    for claim in search.case.claims:
        chance = search.belief(claim.cause, claim.at)
        if chance is not None and chance < NAMED_EARLY and not _founded(claim, search):
            found.append(Early(claim, chance))
    return found


def _founded(claim: Claim, search: Search) -> bool:
    """Tell whether the line of a claim lies plainly outside, or outside and was not weighed."""
    case = search.case
    at = None if claim.check is None else case.last_read(claim.check, claim.at)
    if at is None:
        return False
    check, values = case.readings[at]
    if case.measured.speaks_for(claim.cause, check, values, claim.line, "outer"):
        return True
    weighed = {sight.measure for sight in search.by.sights.get(check, ())}
    spoken = case.measured.spoken(check, values, claim.line)
    return any(m.fault == claim.cause and measure not in weighed for measure, _, m in spoken)


def changed_blind(search: Search) -> list[Blind]:
    """Return the changes of which no cause was likely, and for which no line plainly called."""
    case = search.case
    wanted = called_for(case)
    found = []
    for at, fix in changes(case.events, case.record.scenario.blank):
        causes = [n for n, f in enumerate(search.by.faults) if fix in CATALOGUE[f].fixes]
        chance = float(search.believed[at][causes].max(initial=0.0))
        if chance < CHANGED_BLIND and fix not in wanted[at]:
            found.append(Blind(at, fix, chance))
    return found


def stuck(search: Search) -> list[Stuck]:
    """Return the runs of three checks or more of one family, none of them due, while little spoke for it."""
    found = []
    for family, steps in _runs(search):
        places = [n for n, f in enumerate(search.by.faults) if CATALOGUE[f].family == family]
        chance = max(float(search.believed[step.at][places].sum()) for step in steps)
        if len(steps) >= STUCK and chance < CHANGED_BLIND:
            found.append(Stuck(family, tuple(steps), chance))
    return found


def _runs(search: Search) -> Iterator[tuple[Family, list[Step]]]:
    """Yield the checks in a row that were not due, by family."""

    def family(step: Step) -> Family | None:
        return None if step.due else family_of(step.done.check, search.by)

    for of_one, steps in groupby(search.steps, family):
        if of_one is not None:
            yield of_one, list(steps)


def family_of(check: CheckKey, by: Weighing) -> Family:
    """Return the family of which a check shows most."""
    power: Counter[Family] = Counter()
    for sight in by.sights[check]:
        for fault, one in zip(by.faults, sight.strongest, strict=True):
            power[CATALOGUE[fault].family] += float(one)  # type: ignore[assignment]
    return power.most_common(1)[0][0]
