"""All the logbook can say of one person at a time."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any, NamedTuple

from sim.logbook import memory
from sim.logbook.ahead import WORDS, Drill, Next, ahead
from sim.logbook.book import Attempt, Book, Brief, Grave, Met
from sim.logbook.skill import MIDDLE_RUNG, believed, chance, difficulty, surely
from sim.logbook.standing import TOPICS, Standing, Topic
from sim.session.scenario import CHECK_OUT, RUNGS
from sim.session.signed import signature_of

MOSTLY = 0.8  # 1; own: four faults in five proved


class Signed(NamedTuple):
    """A check-out with an instructor's name under it: which, by whom, when."""

    title: str
    instructor: str
    at: datetime

    @property
    def day(self) -> str:
        """The day it was signed, here."""
        return f"{self.at.astimezone():%Y-%m-%d}"


class Person(NamedTuple):
    """A person's attempts, where they stand, their grave acts, faults met, and what comes next."""

    name: str
    brief: Brief
    attempts: tuple[Attempt, ...]
    standings: dict[Topic, Standing]
    graves: tuple[Grave, ...]
    faults: tuple[Met, ...]
    signed: tuple[Signed, ...]
    next: Next
    now: datetime

    @property
    def last_day(self) -> str:
        """The day of the last attempt, here."""
        last = self.brief.last
        return f"{last.ended.astimezone():%Y-%m-%d}" if last else "never"


def person(
    book: Book, name: str, drills: Sequence[Drill], now: datetime, whole: bool = True
) -> Person:
    """Return all there is of a person; InputError for somebody who is not in it.

    whole : with every attempt; else in brief alone.
    """
    standings = book.standings(name)
    brief = book.brief(name)
    attempts = tuple(book.attempts(name)) if whole else ()
    graves = tuple(book.graves(name))
    last = brief.last
    grave = last is not None and any(one.ended == last.ended for one in graves)
    coming = ahead(drills, standings, brief.cleared, now, last.drill if last and grave else None)
    faults = tuple(book.faults(name))
    signed = tuple(check_outs(book, name))
    return Person(name, brief, attempts, standings, graves, faults, signed, coming, now)


def check_outs(book: Book, name: str) -> Iterator[Signed]:
    """Give the check-outs of a person that are signed, as their run folders tell, the earliest first."""
    for one in book.attempts(name, CHECK_OUT):
        signature = signature_of(one.folder)
        if signature is not None:
            yield Signed(one.title, signature.instructor, signature.at_utc)


def ready_words(standing: Standing | None) -> str:
    """Return what somebody is ready for in a topic."""
    if standing is None:
        return "not tried yet"
    rung = standing.ready_for
    return f"{rung} {RUNGS[rung - 1]}" if rung else "still practising"


def topic_data(topic: Topic, standing: Standing | None, now: datetime) -> dict[str, Any]:
    """Return where a person stands in a topic, as plain data; shares of the middle rung.

    belief : how much the count alone speaks for at least `MOSTLY` proved, whatever the rungs.
    """
    data: dict[str, Any] = {"topic": topic, "words": WORDS[topic], "ready": ready_words(standing)}
    if standing is None:
        return data
    middle = difficulty(MIDDLE_RUNG)
    return {
        **data,
        "tried": standing.tried_n,
        "proved": standing.right_n,
        "ready_for": standing.ready_for,
        "chance": round(chance(standing.skill, middle), 3),
        "at_least": round(surely(standing.skill, middle), 3),
        "belief": round(believed(standing.right_n, standing.tried_n, MOSTLY), 3),
        "due": memory.due(standing.card).isoformat(),
        "kept": round(memory.kept(standing.card, now), 3),
    }


def topics_data(one: Person) -> list[dict[str, Any]]:
    """Return where a person stands in every topic, as plain data."""
    return [topic_data(topic, one.standings.get(topic), one.now) for topic in TOPICS]
