"""The page for a club evening: who is ready for what, what is due, what comes next.

It lies on a table for all to read. So it tells no marks and no grave acts, not even without names,
which a small club would guess; nor why a drill comes next, which may be one of them. Each person
finds those in their own view. A check-out that is signed stands there, however it went: the
signature says who was there.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sim.logbook import memory
from sim.logbook.ahead import WORDS
from sim.logbook.person import Person, ready_words
from sim.logbook.standing import TOPICS, Topic
from sim.pages.render import page
from sim.session.scenario import RUNGS


def _topic(one: Person, topic: Topic) -> dict[str, Any]:
    standing = one.standings.get(topic)
    is_due = standing is not None and memory.due(standing.card) <= one.now
    return {"ready": ready_words(standing), "is_due": is_due}


def row(one: Person) -> dict[str, Any]:
    """Return a person's line of the grid."""
    coming = one.next
    return {
        "name": one.name,
        "topics": [_topic(one, topic) for topic in TOPICS],
        "last": one.last_day,
        "next": {
            "title": coming.drill.title,
            "rung": f"{coming.drill.rung} {RUNGS[coming.drill.rung - 1]}",
        },
    }


def club_page(people: Sequence[Person], now: datetime) -> str:
    """Return the page, people by name."""
    by_name = sorted(people, key=lambda one: one.name.casefold())
    return page(
        "club.html",
        day=f"{now.astimezone():%Y-%m-%d}",
        topics=[WORDS[topic] for topic in TOPICS],
        people=[row(one) for one in by_name],
        check_outs=[(one.name, signed) for one in by_name for signed in one.signed],
    )
