"""Studies of what marks and the choice of drills are worth: of validity, and of simulated trainees."""

from time import perf_counter
from typing import Any

from rich.console import Console

from sim.commands.ends import FINE, NO, Paper, err, out, say
from sim.commands.report import folded_table
from sim.commands.study import asked_of
from sim.commands.working import Work
from sim.diagnosis import validity as marking
from sim.diagnosis.planted import plans
from sim.logbook.learners import PACES, Lived, compared, lived, lives
from sim.origin import digest
from sim.scoring.detection import Z_95
from sim.session.scenario import Scenario

RUNS = 1  # own: seeds for each drill; drills differ more than seeds of one
LEARNERS = 50  # own: enough that chance moves the median little, in a minute


def validity(work: Work, drills: dict[str, Scenario], runs: int | None, as_json: bool) -> int:
    """Do and print the study of validity; return the exit code."""
    document = validity_study(err, work, drills, runs or RUNS)
    if not say(document, as_json):
        print_validity(out, document)
    return FINE if marking.enough(document) else NO


def learners(work: Work, trainees: int | None, as_json: bool) -> int:
    """Do and print the study of simulated trainees; return the exit code."""
    document = learners_study(err, work, trainees or LEARNERS)
    if not say(document, as_json):
        print_learners(out, document)
    sooner = all(
        2 * one["sooner_by_logbook"] > one["trainees"] for one in document["paces"].values()
    )
    return FINE if sooner else NO


def validity_study(
    err: Console, work: Work, drills: dict[str, Scenario], runs: int
) -> dict[str, Any]:
    """Return the study of validity."""
    started, planned = perf_counter(), plans()
    asked = {**asked_of(drills, list(marking.PERSONS), runs), "study": "validity"}
    with work.begun(err, asked) as (spread, begins, done):
        document = marking.studied(drills, runs, planned, spread, begins, done)
    document["seconds"] = round(perf_counter() - started, 1)
    return document


def print_validity(paper: Paper, document: dict[str, Any]) -> None:
    """Print the study of validity, in short."""
    people = folded_table("stand-in", "attempts", "cleared", "points")
    for name, one in document["stand_ins"].items():
        spread = "" if one["spread"] is None else f" ± {one['spread']:.1f}"
        people.add_row(
            name, str(one["attempts"]), str(one["cleared"]), f"{one['points']:.1f}{spread}"
        )
    paper.print(people)
    for line in (*_groups(document["groups"]), *_dependable(document["dependability"])):
        paper.plain(line)
    rungs = folded_table("rung", "plans", "agreed", "kappa")
    for name, one in document["rungs"].items():
        rungs.add_row(
            name,
            str(one["plans"]),
            f"{100 * one['agreed']:.1f} %",
            f"{one['kappa']:.3f} ± {Z_95 * one['se']:.3f}",
        )
    paper.print(rungs)
    for why, n in document["left_out"].items():
        paper.plain(f"Plans not carried out, {why}: {n}.")
    for one in document["differing"]:
        paper.plain(f"{one['fault']}: planned {one['planned']}, scored {one['scored']}")
    paper.plain(document["caution"])


def _groups(found: dict[str, Any]) -> list[str]:
    good, poor = ", ".join(found["good"]), ", ".join(found["poor"])
    told = (
        f"Points tell the good ({good}) from the poor ({poor}) with AUC {found['auc']:.3f} "
        f"± {Z_95 * found['auc_se']:.3f}."
    )
    at = found["cut"]
    if at is None:
        return [told, f"No cut between them: {found['why_no_cut']}."]
    return [
        f"{told} Their means lie {found['d']:.2f} pooled spreads apart.",
        f"Cut of contrasting groups: {at['points']:.1f} points, where {found['pass_points']:g} are "
        f"asked for. Good below it: {at['failing']:.1%} by normal curves, {at['failing_seen']:.1%} "
        f"counted; poor at or above it: {at['passing']:.1%} and {at['passing_seen']:.1%}.",
    ]


def _dependable(found: dict[str, Any] | None) -> list[str]:
    if found is None:
        return ["How far drills can be relied on together takes two drills and more."]
    phi = ", ".join(f"{n}: {value:.3f}" for n, value in found["phi"].items())
    wanted = found["drills_wanted"]
    return [
        f"Dependability (Φ) of the mean points over so many drills: {phi}; "
        f"{marking.DEPENDABLE:g} takes {wanted:g} drills."
    ]


def learners_study(err: Console, work: Work, trainees: int) -> dict[str, Any]:
    """Return the study of simulated trainees."""
    started, every = perf_counter(), lives(range(trainees))
    asked = {"study": "learners", "trainees": trainees, "inputs": digest(every)}
    with work.begun(err, asked) as (spread, begins, done):
        begins("Simulated trainees", len(every))
        found: list[Lived] = list(spread(lived, every, done))
    return {
        "paces": {
            f"{pace:g}": compared([one for one in found if one.pace == pace]) for pace in PACES
        },
        "seconds": round(perf_counter() - started, 1),
        "caution": "Simulated trainees are not people: how people learn and forget is not known here.",
    }


def print_learners(paper: Paper, document: dict[str, Any]) -> None:
    """Print the study of simulated trainees."""
    heads = ("pace", "drills by", "ready", "minutes", "drills", "rung by thirds", "due came back")
    sheet = folded_table(*heads)
    for pace, both in document["paces"].items():
        for choice in ("logbook", "random"):
            one = both[choice]
            sheet.add_row(
                pace,
                choice,
                f"{one['ready']} of {both['trainees']}",
                "never" if one["median_minutes"] is None else str(one["median_minutes"]),
                f"{one['median_drills']:g}",
                ", ".join(f"{rung:.1f}" for rung in one["rung_by_thirds"]),
                "" if one["due_came_back"] is None else f"{one['due_came_back']:.0%}",
            )
    paper.print(sheet)
    for pace, both in document["paces"].items():
        n = both["sooner_by_logbook"]
        paper.plain(f"Pace {pace}: {n} of {both['trainees']} are ready sooner by the logbook.")
    paper.plain("Minutes and drills are medians.")
    paper.plain(document["caution"])
