"""The way up the ladder for one person: what is done, what is due, what is next and why."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from sim.logbook.ahead import WORDS, Drill, Next, ahead, due
from sim.logbook.book import Book, looked_up, now
from sim.logbook.person import person
from sim.logbook.rung import stands_on
from sim.logbook.standing import Standings
from sim.session.scenario import RUNGS


class Step(NamedTuple):
    """A rung of the ladder: its number and name, how many drills it has, how many are cleared."""

    rung: int
    words: str
    drills_n: int
    cleared_n: int


class Way(NamedTuple):
    """Where somebody is on the ladder.

    rung : on which they stand, 0 for none yet; done : drills finished before by name, and whether they
    were ever cleared; due : topics that want to come again, in words, the longest due first; missing :
    what should be done before each drill and is not, by title or in words.
    """

    rung: int
    steps: tuple[Step, ...]
    done: Mapping[str, bool]
    due: tuple[str, ...]
    next: Next
    missing: Mapping[str, tuple[str, ...]]


def way(book: Book, name: str, drills: Sequence[Drill], when: datetime) -> Way:
    """Return the way of a person; that of a beginner for who is not in the logbook."""
    if name not in book.trainees():
        return beginning(drills, when)
    one = person(book, name, drills, when)
    done: dict[str, bool] = {}
    for attempt in one.attempts:
        done[attempt.drill] = done.get(attempt.drill, False) or attempt.cleared
    missing = _missing(drills, one.standings, one.brief.cleared)
    late = tuple(WORDS[topic] for topic in due(one.standings, when))
    return Way(stands_on(book.trials(name)), steps(drills, done), done, late, one.next, missing)


def beginning(drills: Sequence[Drill], when: datetime) -> Way:
    """Return the way of somebody of whom nothing is known."""
    coming = ahead(drills, {}, (), when)
    return Way(0, steps(drills, {}), {}, (), coming, _missing(drills, {}, ()))


def _missing(
    drills: Sequence[Drill], standings: Standings, cleared: Collection[str]
) -> dict[str, tuple[str, ...]]:
    """Return what should be done before each drill and is not, by title or in words."""
    titles = {drill.name: drill.title for drill in drills} | dict(WORDS)
    return {d.name: tuple(titles[n] for n in d.missing(standings, cleared)) for d in drills}


def steps(drills: Sequence[Drill], done: Mapping[str, bool]) -> tuple[Step, ...]:
    """Return the rungs from the foot. done : as of a way."""
    found = []
    for rung, words in enumerate(RUNGS, 1):
        names = [drill.name for drill in drills if drill.rung == rung]
        found.append(Step(rung, words, len(names), sum(done.get(name, False) for name in names)))
    return tuple(found)


def told(way: Way) -> list[str]:
    """Return where somebody is on the ladder, and what is due, in lines."""
    every = " · ".join(f"{s.rung} {s.words} {s.cleared_n} of {s.drills_n}" for s in way.steps)
    stands = [f"You stand on rung {way.rung}, {RUNGS[way.rung - 1]}."] if way.rung else []
    return [
        f"Cleared: {every}",
        *stands,
        *([f"Due again: {', '.join(way.due)}."] if way.due else []),
    ]


def way_of(trainee: str, drills: Sequence[Drill], *places: Path) -> Way:
    """Return the way of whoever sits down, with what they finished below some folders.

    Where the logbook can't be read it is that of a beginner.
    """
    when = now()
    return looked_up(
        lambda book: way(book, trainee, drills, when), lambda: beginning(drills, when), *places
    )
