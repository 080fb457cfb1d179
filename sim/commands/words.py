"""Causes from a report in words: what is printed, and what is worth a warning."""

from pathlib import Path
from time import perf_counter
from typing import Any

from rich import box
from rich.table import Table as Sheet
from rich.text import Text

from sim.aircraft import library
from sim.commands.ends import Paper
from sim.diagnosis import table as detection
from sim.reproduce.answer.ranking import (
    CAUTION,
    alike_told,
    as_document,
    name,
    ranked,
    severity_told,
    verdict,
)
from sim.reproduce.causes import Causes
from sim.reproduce.words import table as symptoms
from sim.reproduce.words.report import Report, load_report
from sim.reproduce.words.weighing import causes, never_called

OTHER_AIRFRAME = (
    "What faults do in a hop was measured on the trainer; this aircraft may do it more or less."
)


def said(report: Report) -> Causes:
    """Return what a report says of what was wrong."""
    asked = report.check is not None or report.worked
    called = detection.shipped().called if asked else never_called
    return causes(report, symptoms.shipped(), called)


def answered(file: Path) -> tuple[Report, Causes, float]:
    """Read a report; return it with what it says, and how long that took, s."""
    started = perf_counter()
    report = load_report(file)
    return report, said(report), perf_counter() - started


def document(report: Report, found: Causes, seconds: float) -> dict[str, Any]:
    """Return an answer from words as one JSON document."""
    return {
        "report": report.model_dump(mode="json", exclude_none=True),
        "ranking": [as_document(one) for one in ranked(found)],
        "seconds": round(seconds, 3),
    }


def show(say: Paper, report: Report, found: Causes) -> None:
    """Print an answer from words."""
    order = ranked(found)
    say.plain(verdict(found))
    for line in alike_told(order[0]):
        say.plain(line)
    sheet = Sheet(box=box.SIMPLE, padding=(0, 1, 0, 0))
    for head in ("cause", "in 100", "severity", "where"):
        sheet.add_column(head, overflow="fold")
    for one in order:
        if one.cause is not None:
            cells = (severity_told(one.cause), one.cause.place or "")
            sheet.add_row(*map(Text, (name(one.faults), f"{100.0 * one.chance:.1f}", *cells)))
    say.print(sheet)
    if report.airframe != library.TRAINER:
        say.plain(OTHER_AIRFRAME)
    say.plain(CAUTION)
