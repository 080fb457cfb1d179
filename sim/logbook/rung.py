"""On which rung of the ladder somebody stands, told from what they did on it. Pure functions.

A rung is held if enough of the latest trials on it were right for it to be more likely than not that
they prove such faults as often as being ready asks for. Somebody stands on the highest rung that is
held with no rung below it lost, where a rung is lost if that is unlikely by now. Unlike what is known
of each family this goes by the rungs alone: no model of ability, no drift.
"""

from collections.abc import Iterable, Sequence

from sim.logbook.skill import believed
from sim.logbook.standing import READY, Trial
from sim.session.scenario import RUNGS

RECENT = 16  # trials; own: what somebody can do now, not what they could when they began
HELD = 0.55  # 1; own: two of two right, or twelve of sixteen
LOST = 0.08  # 1; own: none of two right, one of four, or eight of sixteen


def belief(trials: Sequence[Trial], rung: int) -> float:
    """Return how much belief is due to a rung being held. trials : in order of time."""
    at = [trial.right for trial in trials if trial.rung == rung][-RECENT:]
    return believed(sum(at), len(at), READY)


def stands_on(trials: Iterable[Trial]) -> int:
    """Return the rung somebody stands on; 0 for none."""
    found = sorted(trials, key=lambda trial: trial.when)
    at = 0
    for rung in range(1, len(RUNGS) + 1):
        sure = belief(found, rung)
        if sure < LOST:
            break
        if sure >= HELD:
            at = rung
    return at
