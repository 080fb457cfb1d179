"""The study of drills: stand-ins over many seeds; what measuring has in common with it."""

from collections.abc import Iterable
from pathlib import Path
from time import perf_counter
from typing import Any

from rich import box
from rich.console import Console
from rich.table import Table as Grid

from sim.commands.asked import drill_of
from sim.commands.working import Work
from sim.diagnosis.attempts import attempts
from sim.diagnosis.tally import studied
from sim.errors import InputError, Problem, nearest
from sim.origin import digest
from sim.scoring.detection import Z_95
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import Scenario
from sim.trainees.standins import STAND_INS

KINDS = ("--bands", "--detection", "--symptoms", "--validity", "--learners")
RUNS = 20  # own: seeds for each drill, unless told otherwise


def require_unasked(study: bool, **given: object) -> None:
    """Raise InputError for options that were given and mean nothing to the study asked for."""
    problems = [
        Problem(f"--{name.replace('_', '-')}", None, "", str(value), "goes with drills alone")
        for name, value in given.items()
        if study and value is not None
    ]
    if problems:
        raise InputError(problems)


def require_one(*kinds: bool) -> None:
    """Raise InputError unless exactly one kind of study is asked for."""
    if kinds.count(True) != 1:
        rule = f"name drills, or give one of {', '.join(KINDS)}"
        raise InputError((Problem("study", None, "", "", rule),))


def chosen(option: str, asked: list[str], known: Iterable[str], rule: str) -> list[str]:
    """Return the names asked for, given apart or with commas; InputError for an unknown one."""
    names = [name.strip() for part in asked for name in part.split(",") if name.strip()]
    there = list(known)
    problems = [
        Problem(option, None, "", n, rule, nearest(n, there)) for n in names if n not in there
    ]
    if problems:
        raise InputError(problems)
    return list(dict.fromkeys(names))


def chosen_stand_ins(asked: list[str]) -> list[str]:
    """Return the stand-ins asked for; InputError for none or an unknown one."""
    names = chosen("--stand-ins", asked, STAND_INS, f"not one of {', '.join(STAND_INS)}")
    if not names:
        raise InputError((Problem("--stand-ins", None, "", "", "name at least one stand-in"),))
    return names


def drills_of(names: Iterable[str], airframe: str | None, site: str | None) -> dict[str, Scenario]:
    """Return the drills asked for, on another airframe or site if one is given."""
    return {Path(name).stem: drill_of(name, airframe, site) for name in names}


def asked_of(drills: dict[str, Scenario], who: list[str], runs: int) -> dict[str, Any]:
    """Return what a study of drills depends on beside the program."""
    inputs = [
        (one.model_dump_json(), one.designed().model_dump_json(), one.tables)
        for one in drills.values()
    ]
    return {
        "study": "drills",
        "drills": list(drills),
        "stand_ins": who,
        "runs": runs,
        "inputs": digest(*inputs),
    }


def drills_study(
    err: Console, work: Work, drills: dict[str, Scenario], who: list[str], runs: int
) -> dict[str, Any]:
    """Return the study of drills by stand-ins."""
    started = perf_counter()
    with work.begun(err, asked_of(drills, who, runs)) as (spread, begins, done):
        begins("Attempts", len(drills) * len(who) * runs)
        document = studied(attempts(drills, who, runs, spread, done))
    document["seconds"] = round(perf_counter() - started, 1)
    return document


def print_drills_study(console: Console, document: dict[str, Any]) -> None:
    """Print the study of drills."""
    grid = Grid(box=box.SIMPLE, padding=(0, 1, 0, 0))
    heads = (
        "stand-in",
        "cleared",
        "critical",
        "points",
        "faults noticed",
        "hazard ≥ 4",
        "false",
        "d′",
        "stated, right",
    )
    for head in heads:
        grid.add_column(head, overflow="fold")
    for name, one in document["stand_ins"].items():
        grid.add_row(
            name,
            f"{one['verdicts'].get(CLEARED, 0)} of {one['attempts']}",
            str(one["critical"]),
            _points(one["points"]),
            _noticed(one["faults"]),
            _noticed(one["dangerous"]),
            str(one["false_squawks"]),
            one["d_prime_words"].split(" (")[0],
            _known(one["calibration"]),
        )
    console.print(grid)
    for name, one in document["stand_ins"].items():
        if one["wise_refusals"]:
            console.print(f"{name} rightly stayed on the bench {one['wise_refusals']} times.")
        if one["stuck"]:
            console.print(f"{name} was stuck at a refusal in {one['stuck']} of {one['attempts']}.")
    for apart in document["separations"]:
        console.print(
            f"Points tell {apart['better']} from {apart['worse']} with AUC {apart['auc']:.3f} "
            f"± {Z_95 * apart['auc_se']:.3f}."
        )
    console.print("Scripted stand-ins are not evidence about people.")


def _points(points: dict[str, Any]) -> str:
    spread = "" if points["spread"] is None else f" ± {points['spread']:.1f}"
    return f"{points['mean']:.1f}{spread} ({points['least']:.0f}–{points['most']:.0f})"


def _known(known: dict[str, Any] | None) -> str:
    if known is None:
        return "no claims"
    return f"{100 * known['stated']:.0f} %, {100 * known['right']:.0f} %"


def _noticed(share: dict[str, Any]) -> str:
    if not share["hidden"]:
        return "none hidden"
    return f"{100 * share['share']:.0f} % ({100 * share['low']:.0f}–{100 * share['high']:.0f})"
