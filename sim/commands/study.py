"""The study command: stand-ins over many seeds, or every fault against every check."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, contextmanager
from dataclasses import asdict
from difflib import get_close_matches
from pathlib import Path
from time import perf_counter
from typing import Any

from rich import box
from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.table import Table as Grid

from sim.aircraft.textfile import write_text_atomic
from sim.diagnosis import table
from sim.diagnosis.attempts import attempts, studied
from sim.diagnosis.pool import Mapper, cores, on_cluster, on_cores
from sim.diagnosis.study import Study, everything, load_model
from sim.errors import InputError, Problem
from sim.faults.catalogue import CATALOGUE
from sim.scoring.scorecard import CLEARED
from sim.session.scenario import load
from sim.trainees.standins import STAND_INS

SUMMARY = Path("docs/detection.md")


def mapper(workers: int | None, cluster: str | None) -> AbstractContextManager[Mapper]:
    """Return where the work is done."""
    if cluster is not None:
        return on_cluster(cluster)
    return on_cores(cores() if workers is None else workers, load_model)


@contextmanager
def progress_on(err: Console) -> Iterator[tuple[Callable[[str, int], None], Callable[[], None]]]:
    """Show a bar on stderr; give `begins(name, total)` and `done()`."""
    columns = (
        TextColumn("{task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=err) as progress:

        def begins(name: str, total: int) -> None:
            progress.add_task(name, total=total)

        def done() -> None:
            progress.advance(progress.task_ids[-1])

        yield begins, done


def chosen(option: str, asked: list[str], known: Iterable[str], rule: str) -> list[str]:
    """Return the names asked for, given apart or with commas; InputError for an unknown one."""
    names = [name.strip() for part in asked for name in part.split(",") if name.strip()]
    there = list(known)
    problems = [
        Problem(option, None, "", n, rule, next(iter(get_close_matches(n, there, n=1)), None))
        for n in names
        if n not in there
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


def drills_study(
    err: Console, where: AbstractContextManager[Mapper], names: list[str], who: list[str], runs: int
) -> dict[str, Any]:
    """Return the study of drills by stand-ins."""
    drills = {Path(name).stem: load(name) for name in names}
    started = perf_counter()
    with where as spread, progress_on(err) as (begins, done):
        begins("Attempts", len(drills) * len(who) * runs)
        results = attempts(drills, who, runs, spread, done)
    document = studied(results)
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
    )
    for head in heads:
        grid.add_column(head, overflow="fold")
    for name, one in document["stand_ins"].items():
        points = one["points"]
        grid.add_row(
            name,
            f"{one['verdicts'].get(CLEARED, 0)} of {one['attempts']}",
            str(one["critical"]),
            f"{points['mean']:.1f} ({points['least']:.0f}–{points['most']:.0f})",
            _noticed(one["faults"]),
            _noticed(one["dangerous"]),
            str(one["false_squawks"]),
            one["d_prime_words"].split(" (")[0],
        )
    console.print(grid)
    for name, one in document["stand_ins"].items():
        if one["wise_refusals"]:
            console.print(f"{name} rightly stayed on the bench {one['wise_refusals']} times.")
        if one["stuck"]:
            console.print(f"{name} was stuck at a refusal in {one['stuck']} of {one['attempts']}.")
    apart = document["separation"]
    if apart is not None:
        console.print(
            f"Points tell {apart['better']} from {apart['worse']} with AUC {apart['auc']:.3f} "
            f"± {1.96 * apart['auc_se']:.3f}. Scripted stand-ins are not evidence about people."
        )


def _noticed(share: dict[str, Any]) -> str:
    if not share["hidden"]:
        return "none hidden"
    return f"{100 * share['share']:.0f} % ({100 * share['low']:.0f}–{100 * share['high']:.0f})"


def detection_study(
    err: Console, where: AbstractContextManager[Mapper], runs: int, file: Path, only: list[str]
) -> dict[str, Any]:
    """Measure every fault against every check, write the table and the summary; return both.

    only : faults and checks to measure; the other lines of the file are kept. Empty: all.
    """
    started = perf_counter()
    faults, checks = everything()
    names = chosen("--only", only, (*faults, *checks), "not a fault and not a check")
    kept = table.read(file) if names else ()
    faults = tuple(f for f in faults if f in names) or faults
    checks = tuple(c for c in checks if c in names) or checks
    with where as spread, progress_on(err) as (begins, done):
        study = Study(spread, runs, begins, done)
        results = study.detections(faults, checks)
    rows = table.renewed(kept, [table.row_of(*key, found=found) for key, found in results.items()])
    table.save(rows, file)
    measured = table.Table(rows)
    return {
        "file": str(file),
        "summary_in": _refresh_summary(measured) if file == table.default_file() else None,
        "runs": runs,
        "seconds": round(perf_counter() - started, 1),
        "faults": len(faults),
        "checks": len(checks),
        "gaps": [gap for name in measured.gaps() if (gap := _gap(name, measured)) is not None],
        "not_measured": [name for name in CATALOGUE if measured.best(name) is None],
        "false_alarms": _false_alarms(measured),
        "broken": study.broken,
        "rows": [asdict(row) for row in rows],
    }


def _refresh_summary(measured: table.Table) -> str | None:
    """Put the summary into a checkout's document; return its path, or None if it has no place."""
    path = table.default_file().parent.parent / SUMMARY
    if not path.is_file():
        return None
    document = table.with_summary(path.read_text(encoding="utf-8"), measured)
    if document is None:
        return None
    write_text_atomic(path, document)
    return str(path)


def _gap(name: str, measured: table.Table) -> dict[str, Any] | None:
    """Return a fault no check reveals, with the best by either rule; None if not measured."""
    best, value = measured.best(name), measured.best_value(name)
    if best is None or value is None:
        return None
    return {
        "fault": name,
        "best_check": best.check,
        "power": best.power,
        "false_alarm": best.false_alarm,
        "value_check": value.check,
        "best_value": value.best_value,
        "value_power": value.value_power,
        "value_false_alarm": value.value_false_alarm,
    }


def _false_alarms(measured: table.Table) -> dict[str, float]:
    """Return the checks that give cues on the sound aircraft."""
    return {row.check: row.false_alarm for row in measured if row.false_alarm > 0.0}


def print_detection_study(console: Console, document: dict[str, Any]) -> None:
    """Print what the detection study found, in short."""
    console.print(
        f"{document['faults']} faults against {document['checks']} checks in "
        f"{document['seconds']:.0f} s: {document['file']}",
        markup=False,
        soft_wrap=True,
    )
    if document["summary_in"]:
        console.print(f"Summary in {document['summary_in']}", markup=False, soft_wrap=True)
    for check, share in document["false_alarms"].items():
        console.print(f"{check}: {100 * share:.0f} % false alarms on the sound aircraft")
    for gap in document["gaps"]:
        console.print(
            f"{gap['fault']}: no sensitive check; best {gap['best_check']} {gap['power']:.2f}, "
            f"by value {gap['value_check']} ({gap['best_value'] or 'nothing'}) "
            f"{gap['value_power']:.2f} with {gap['value_false_alarm']:.2f} false"
        )
    for name in document["not_measured"]:
        console.print(f"{name}: not measured")
    for broken in document["broken"]:
        console.print(f"Broke off: {broken}", markup=False)
