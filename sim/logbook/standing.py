"""Where a person stands in each family of faults, from their trials in order. Pure functions."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Literal, NamedTuple, get_args

from sim.faults.fault import Family
from sim.logbook import memory
from sim.logbook.skill import Skill, at_first, difficulty, drifted, surely, tried
from sim.session.scenario import RUNGS

Topic = Family | Literal["sound"]
"""What is learnt: a family of faults, or to leave a sound aircraft alone."""

TOPICS: tuple[Topic, ...] = (*get_args(Family), "sound")
READY = 0.7  # 1; own: proved at that rung two times in three and more, in nine cases of ten


class Trial(NamedTuple):
    """One topic at one attempt: whether all of it was proved before takeoff, at which rung."""

    topic: Topic
    rung: int
    right: bool
    when: datetime


class Standing(NamedTuple):
    """What is known of a person in one topic. `card`: the memory's, as `memory` keeps it."""

    skill: Skill
    tried_n: int
    right_n: int
    card: str

    @property
    def ready_for(self) -> int:
        """The highest rung at which they surely prove enough; 0 for none."""
        rungs = range(1, len(RUNGS) + 1)
        return max((r for r in rungs if surely(self.skill, difficulty(r)) >= READY), default=0)


Standings = Mapping[Topic, Standing]


def after(standings: Standings, trial: Trial) -> dict[Topic, Standing]:
    """Return where a person stands after one more trial; trials must come in order of time."""
    there = standings.get(trial.topic)
    skill = there.skill if there else at_first([one.skill for one in standings.values()])
    moved = drifted(tried(skill, difficulty(trial.rung), trial.right))
    now = Standing(
        moved,
        (there.tried_n if there else 0) + 1,
        (there.right_n if there else 0) + trial.right,
        memory.reviewed(there.card if there else "", trial.right, trial.when),
    )
    return {**standings, trial.topic: now}


def standing(trials: Iterable[Trial], so_far: Standings | None = None) -> dict[Topic, Standing]:
    """Return where a person stands after trials that come on top of what is known so far."""
    now = dict(so_far or {})
    for trial in sorted(trials, key=lambda trial: trial.when):
        now = after(now, trial)
    return now
