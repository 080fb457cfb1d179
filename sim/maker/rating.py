"""How hard a drill is: rehearsed by stand-ins before anybody practises it.

Three stand-ins do it with a few seeds: the careful, and two that do each check with a chance of three
and two in four. Whether each topic was proved is a trial, as the logbook counts them. How able the
partial ones are was measured at shipped drills; from that, and from the rung as a first guess, follows
how hard the drill is, on the logbook's scale, by the logbook's own step (`tried`): a hard drill and an
able trainee are the same but for the sign.
"""

from collections.abc import Callable, Iterable
from math import ceil, sqrt
from statistics import median
from typing import NamedTuple

from sim.logbook.entries import Card
from sim.logbook.skill import MIDDLE_RUNG, RUNG_STEP, UNKNOWN, Skill, chance, difficulty, tried
from sim.procedure.rubric import shipped
from sim.runs import rehearse
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import RUNGS, Scenario
from sim.trainees.standins import Attempt

Tell = Callable[[str, float], None]
"""Is told what is being done, and how much of all is done, 0..1."""

CAREFUL = "careful"
ABILITY = {"partial-75": 1.10, "partial-50": -0.02}  # log odds; measured by tools/abilities.py:
# 97 and 64 of 129 topics proved at the 28 shipped drills of the middle rung, 3 seeds each
STAND_INS = {
    CAREFUL: "Who does everything (careful)",
    "partial-75": "Who leaves out one check in four (partial-75)",
    "partial-50": "Who leaves out every other check (partial-50)",
}  # each with what is said of it
SEEDS = (1, 2, 3)  # own: some seconds each; enough to see whether it can be done at all
NO_END_MIN = 1e4  # min; own: nobody locks up while it is measured
QUARTER_MIN = 15.0  # min; own: closer, the evening's length would tell how much is hidden
FIRST_VARIANCE = (2.0 * RUNG_STEP) ** 2  # (log odds)^2; own: a drill may well be two rungs off


class Try(NamedTuple):
    """One rehearsal. right : of each topic, whether all of it was proved; wise : it rightly stayed."""

    stand_in: str
    seed: int
    cleared: bool
    wise: bool
    minutes: float
    points: float
    right: tuple[bool, ...]

    @property
    def passed(self) -> bool:
        """Whether it came to a good end."""
        return self.cleared or self.wise


class Rated(NamedTuple):
    """All rehearsals, the minutes the drill states, and how hard it is: mean and variance, log odds."""

    tries: tuple[Try, ...]
    careful_min: float
    hard: Skill

    def by(self, stand_in: str) -> list[Try]:
        """Return the rehearsals of one stand-in."""
        return [one for one in self.tries if one.stand_in == stand_in]

    @property
    def passable(self) -> bool:
        """Whether careful work leads to a good end at least once."""
        return any(one.passed for one in self.by(CAREFUL))

    @property
    def like_rung(self) -> int:
        """The rung whose drills are about as hard."""
        rung = round(MIDDLE_RUNG + self.hard.mean / RUNG_STEP)
        return min(len(RUNGS), max(1, rung))


def stated_minutes(measured: Iterable[float]) -> float:
    """Return what a drill states of the minutes measured: their middle, up to a quarter of an hour.

    Never below what a drill has that states none: closer, the length of the evening would tell how
    much is hidden.
    """
    least = float(Scenario.model_fields["careful_min"].default)
    return max(least, QUARTER_MIN * ceil(median(measured) / QUARTER_MIN))


def endless(drill: Scenario) -> Scenario:
    """Return a drill at which nobody locks up."""
    return drill.model_copy(update={"careful_min": NO_END_MIN})


def attempt(drill: Scenario, stand_in: str, seed: int) -> Try:
    """Return one rehearsal, scored."""
    card = rehearse(Attempt(drill, stand_in, seed), "rehearsal", None)
    right = tuple(Card.model_validate(card).topics().values())
    cleared, wise = card["verdict"] == CLEARED, bool(card["wise_refusal"])
    return Try(stand_in, seed, cleared, wise, card["minutes"], card["points"], right)


def how_hard(rung: int, tries: Iterable[Try]) -> Skill:
    """Return how hard a drill is after what the partial stand-ins proved of it."""
    found = Skill(-difficulty(rung), FIRST_VARIANCE)
    for one in tries:
        for right in one.right if one.stand_in in ABILITY else ():
            found = tried(found, -ABILITY[one.stand_in], right)
    return Skill(-found.mean, found.variance)


def rated(
    drill: Scenario, minutes: float | None = None, tell: Tell = lambda words, share: None
) -> Rated:
    """Return how hard a drill is, and the minutes it is to state.

    minutes : stated by whoever makes it; measured if None. tell : may raise, which stops it.
    """
    steps, done = len(STAND_INS) * len(SEEDS), 0

    def rehearsal(drill: Scenario, stand_in: str, seed: int) -> Try:
        nonlocal done
        tell(f"Rehearsed by {stand_in}, seed {seed}", done / steps)
        done += 1
        return attempt(drill, stand_in, seed)

    if minutes is None:
        careful = [rehearsal(endless(drill), CAREFUL, seed) for seed in SEEDS]
        minutes = stated_minutes(one.minutes for one in careful)
        drill = drill.model_copy(update={"careful_min": minutes})
        end = minutes * shipped().evening  # who was ready by then did not meet it
        careful = [c if c.minutes < end else attempt(drill, CAREFUL, c.seed) for c in careful]
    else:
        drill = drill.model_copy(update={"careful_min": minutes})
        careful = [rehearsal(drill, CAREFUL, seed) for seed in SEEDS]
    partial = [rehearsal(drill, who, seed) for who in ABILITY for seed in SEEDS]
    return Rated((*careful, *partial), minutes, how_hard(drill.rung, partial))


def told(found: Rated) -> list[str]:
    """Return in lines how hard a drill is."""
    lines = []
    for stand_in, who in STAND_INS.items():
        mine = found.by(stand_in)
        passed, proved = sum(one.passed for one in mine), [r for one in mine for r in one.right]
        spent = sorted({f"{one.minutes:.0f}" for one in mine}, key=float)
        span = " to ".join(dict.fromkeys((spent[0], spent[-1])))
        lines.append(
            f"{who}: {passed} of {len(mine)} came to a good end, {sum(proved)} of {len(proved)} "
            f"topics proved, {span} min."
        )
    mean, spread = found.hard.mean, sqrt(found.hard.variance)
    beginner = 100.0 * chance(UNKNOWN, mean)
    lines.append(
        f"Expected difficulty: {mean:+.1f} ± {spread:.1f} on the logbook's scale (rung {MIDDLE_RUNG} "
        f"is 0), about as the drills of rung {found.like_rung}; a beginner proves it in {beginner:.0f} "
        "of 100."
    )
    if not found.passable:
        lines.append("Nobody has come to a good end in it: it asks for more than careful work.")
    return lines
