"""What marks say: good against poor stand-ins, drills together, and the scorer against planted truth.

Stand-ins are scripts, and not people: that marks tell good scripts from poor ones is wanted, and
says little of people; that they did not would say much.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict
from statistics import fmean, stdev
from typing import Any

from sim.diagnosis.attempts import Result, attempts
from sim.diagnosis.planted import RUNGS, Climbed, Plan, climbed
from sim.diagnosis.pool import Mapper
from sim.diagnosis.reliability import apart, cut, kappa, parts
from sim.procedure.rubric import shipped
from sim.scoring import detection
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import Scenario

GOOD = ("careful", "late")  # own: all of them find, cure and prove what they can
POOR = ("partial-25", "hasty", "hunch")  # own: they skip, or guess
BETWEEN = ("noisy", "cautious", "partial-75", "partial-50")
PERSONS = (*GOOD, *BETWEEN, *POOR)
LEAST_KAPPA = 0.9  # 1; own: the scorer and planted truth are to be almost of one mind on each rung
DEPENDABLE = (
    0.8  # 1; usual reading: from there on for marks with some weight (Downing 2004, abstract)
)
HOW_MANY = (1, 3, 6, 12)  # drills; own

NOT_PEOPLE = (
    "Stand-ins are scripts, not people. That points tell good scripts from poor ones is the least "
    "that can be asked of them and no evidence about people; what a real bench shows is."
)


def studied(
    drills: dict[str, Scenario],
    runs: int,
    planned: Sequence[Plan],
    spread: Mapper,
    begins: Callable[[str, int], None],
    done: Callable[[], None],
) -> dict[str, Any]:
    """Return the whole study as plain data."""
    begins("Attempts", len(drills) * len(PERSONS) * runs)
    results = list(attempts(drills, PERSONS, runs, spread, done))
    begins("Planted trainees", len(planned))
    climbs = list(spread(climbed, planned, done))
    return {
        "drills": list(drills),
        "runs": runs,
        "stand_ins": {
            name: _person([r for r in results if r.stand_in == name]) for name in PERSONS
        },
        "groups": groups(results),
        "dependability": dependability(results, list(drills)),
        "rungs": agreement(climbs),
        "left_out": dict(Counter(one.left_out for one in climbs if one.left_out)),
        "differing": [_differing(one) for one in climbs if _differs(one)],
        "caution": NOT_PEOPLE,
    }


def _person(results: Sequence[Result]) -> dict[str, Any]:
    points = [one.points for one in results]
    return {
        "attempts": len(results),
        "cleared": sum(one.verdict == CLEARED for one in results),
        "points": round(fmean(points), 2),
        "spread": round(stdev(points), 2) if len(points) > 1 else None,
    }


def groups(results: Iterable[Result]) -> dict[str, Any]:
    """Return how well points tell the good from the poor, and where they would be cut."""
    found = list(results)
    good = [one.points for one in found if one.stand_in in GOOD]
    poor = [one.points for one in found if one.stand_in in POOR]
    area = detection.auc(good, poor)
    document: dict[str, Any] = {
        "good": list(GOOD),
        "poor": list(POOR),
        "auc": round(area, 4),
        "auc_se": round(detection.auc_se(area, len(good), len(poor)), 4),
        "pass_points": shipped().pass_points,
    }
    try:
        at = cut(good, poor)
    except ValueError as error:
        return {**document, "cut": None, "why_no_cut": str(error)}
    shares = {name: round(value, 4) for name, value in at._asdict().items()}
    return {**document, "d": round(apart(good, poor), 3), "cut": shares}


def dependability(results: Iterable[Result], drills: Sequence[str]) -> dict[str, Any] | None:
    """Return how far the mean over drills can be relied on; None for fewer than two drills."""
    if len(drills) < 2:
        return None
    cells: dict[tuple[str, str], list[float]] = {}
    for one in results:
        cells.setdefault((one.stand_in, one.drill), []).append(one.points)
    found = parts([[fmean(cells[who, drill]) for drill in drills] for who in PERSONS])
    return {
        "variance": {name: round(value, 2) for name, value in found._asdict().items()},
        "phi": {str(n): round(found.phi(n), 4) for n in dict.fromkeys((*HOW_MANY, len(drills)))},
        "order": {str(n): round(found.relative(n), 4) for n in HOW_MANY},
        "drills_wanted": round(found.drills_for(DEPENDABLE), 1),
    }


def agreement(climbs: Iterable[Climbed]) -> dict[str, dict[str, Any]]:
    """Return, by rung, how far the scorer and planted truth agree."""
    carried = [one for one in climbs if not one.left_out]
    found = {}
    for at, rung in enumerate(RUNGS):
        counts = Counter((one.planned[at], one.scored[at]) for one in carried)
        table = [[counts[said, scored] for scored in (True, False)] for said in (True, False)]
        numbers = {key: round(value, 4) for key, value in kappa(table)._asdict().items()}
        found[rung] = {"plans": len(carried), "table": table, **numbers}
    return found


def enough(document: dict[str, Any]) -> bool:
    """Tell whether the scorer agrees with planted truth on every rung."""
    return all(one["kappa"] >= LEAST_KAPPA for one in document["rungs"].values())


def _differs(one: Climbed) -> bool:
    return not one.left_out and one.planned != one.scored


def _differing(one: Climbed) -> dict[str, Any]:
    return {**asdict(one), "planned": list(one.planned), "scored": list(one.scored)}
