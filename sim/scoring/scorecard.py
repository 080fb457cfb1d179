"""The scorecard: points and a verdict that points cannot buy."""

from typing import Any

from sim import __version__
from sim.bench.evidence import Measured
from sim.procedure.rubric import Rubric
from sim.scoring.air import flown
from sim.scoring.case import Case
from sim.scoring.claims import on_nothing, wrong_claims
from sim.scoring.hop import hop_quality
from sim.scoring.judgement import neat, told
from sim.scoring.ladder import Rung, ladder_share, stories
from sim.scoring.needless import needless, parts_used
from sim.scoring.refusal import (
    STAY,
    beyond_fixing,
    excused,
    handed_over,
    sound_decision,
    stopped_at,
    wise_refusal,
)
from sim.scoring.seen import seen_share
from sim.session.hints import Hinted
from sim.session.record import Record

CLEARED = "cleared to hop"


def conduct_share(record: Record, rubric: Rubric) -> float:
    """Return the marks for conduct, 0..1: one less the demerits of the hazards."""
    d = rubric.demerit
    return max(0.0, 1.0 - sum(d.critical if h.critical else d.other for h in record.hazards))


def verdict(record: Record, rungs: list[Rung], points: float, rubric: Rubric) -> str:
    """Return the verdict: all conditions together, whatever the points."""
    critical = any(h.critical for h in record.hazards)
    unproved = any(rubric.dangerous(r.id) and not r.proved for r in rungs)
    still_there = any(r.present_at_takeoff for r in rungs) or bool(record.present_at_takeoff)
    still_there |= any(hop.present for hop in record.hops)
    flew = record.takeoff_s is not None and record.finished
    good = flew and not critical and not unproved and not still_there
    return CLEARED if good and points >= rubric.pass_points else STAY


def total(ladder: float, conduct: float, hop: float | None, worth: float, rubric: Rubric) -> float:
    """Return the points of 100; `worth`: the share of them that counts.

    hop : None for one rightly not flown, which leaves the rest the whole.
    """
    s = rubric.shares
    got = s.ladder * ladder + s.conduct * conduct
    if hop is None:
        return round(100.0 * worth * got / (s.ladder + s.conduct), 2)
    return round(100.0 * worth * (got + s.hop * hop), 2)


def hint_told(hint: Hinted) -> dict[str, Any]:
    """Return a hint as plain data."""
    cue = hint.cue
    return {
        "fault": hint.fault,
        "step": hint.step,
        "check": cue and cue.check,
        "line": cue and cue.measure,
        "side": cue and cue.side,
        "minutes": round(hint.minutes, 2),
    }


def scorecard(
    record: Record, trainee: str, scenario_name: str, rubric: Rubric, measured: Measured
) -> dict[str, Any]:
    """Return the scorecard as plain data (design: scorecard.json)."""
    case = Case(record, rubric, measured)
    rungs = stories(case)
    hop = hop_quality(record, rubric)
    wise, sound = wise_refusal(case), sound_decision(case)
    refused = beyond_fixing(record) if wise else frozenset()
    left, spared = handed_over(case), excused(case)
    asked = [r for r in rungs if r.id not in spared]
    ladder = ladder_share(case, asked, refused, left)
    conduct = conduct_share(record, rubric)
    seen = seen_share(case, asked, refused | left, stopped_at(case))
    stopped = rubric.stopped if any(h.critical for h in record.hazards) else 1.0
    points = total(ladder, conduct, None if wise or sound else hop.share, seen * stopped, rubric)
    idle = needless(case, frozenset(r.id for r in rungs if r.noticed))
    return {
        "scenario": scenario_name,
        "title": record.scenario.title,
        "seed": record.seed,
        "trainee": trainee,
        "verdict": verdict(record, rungs, points, rubric),
        "wise_refusal": wise,
        "sound_decision": sound,
        "points": points,
        "parts": neat({"ladder": ladder, "conduct": conduct, "hop": hop.share, "seen": seen}),
        "faults": [vars(r) for r in rungs],
        "false_squawks": [vars(claim) for claim in wrong_claims(case)],
        "on_nothing": on_nothing(case),
        "needless": idle,
        "help": record.scenario.helping,
        "hints": [hint_told(hint) for hint in record.hints],
        "parts_used": parts_used(case),
        **told(case, rungs),
        "hazards": [
            {
                "id": h.id,
                "time_s": round(h.time_s, 3),
                "minutes": round(h.minutes, 2),
                "critical": h.critical,
            }
            for h in record.hazards
        ],
        "takeoff_s": record.takeoff_s,
        "minutes": round(record.minutes, 2),
        "careful_min": record.scenario.careful_min,
        "locked_up": record.locked_up,
        "declared": record.declared,
        "finished": record.finished,
        "hop": neat(vars(hop)),
        "air": flown(case),
        "versions": {"dryhop": __version__, "rubric": 3},
    }
