"""The page for a club evening: who is ready for what, what is due, what comes next."""

from collections import Counter
from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from sim.logbook import memory
from sim.logbook.ahead import WORDS
from sim.logbook.person import Person, ready_words
from sim.logbook.standing import TOPICS, Topic
from sim.pages.render import page
from sim.procedure.hazards import hazard_words
from sim.session.scenario import RUNGS

LOOK_BACK = timedelta(days=30)  # own: what a club still remembers


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
            "reason": coming.reason,
        },
    }


def to_talk_about(people: Sequence[Person], now: datetime) -> list[dict[str, Any]]:
    """Return the grave acts of late with how often each was done, the most frequent first."""
    acts = Counter(g.hazard for one in people for g in one.graves if now - g.ended <= LOOK_BACK)
    times = {1: "once", 2: "twice"}
    return [
        {"words": hazard_words(key), "times": times.get(n, f"{n} times")}
        for key, n in sorted(acts.items(), key=lambda one: (-one[1], one[0]))
    ]


def club_page(people: Sequence[Person], now: datetime) -> str:
    """Return the page, people by name."""
    return page(
        "club.html",
        day=f"{now.astimezone():%Y-%m-%d}",
        topics=[WORDS[topic] for topic in TOPICS],
        people=[row(one) for one in sorted(people, key=lambda one: one.name.casefold())],
        talk=to_talk_about(people, now),
    )
