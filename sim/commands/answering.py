"""The answer to what somebody brought: worked out with a bar, printed, drawn, handed back as a drill."""

from pathlib import Path
from time import perf_counter
from typing import Any

from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn
from rich.text import Text

from sim.aircraft import library
from sim.aircraft.textfile import write_text_atomic
from sim.commands.ends import Paper
from sim.commands.report import folded_table
from sim.diagnosis.handback import handed_back
from sim.diagnosis.reported import Answer, Brought, answered, document
from sim.errors import InputError, Problem, Refusal, nearest
from sim.faults.catalogue import CATALOGUE
from sim.reproduce.answer.compared import rival_told
from sim.reproduce.answer.curves import NOTHING_DECIDED, moments
from sim.reproduce.answer.drill import Made, require_quiet, text, told
from sim.reproduce.answer.overlay import drawing
from sim.reproduce.answer.ranking import CAUTION, alike_told, name, ranked, severity_told, verdict
from sim.reproduce.causes import Cause, sorted_faults
from sim.reproduce.words.report import Report, load_report
from sim.window import nextcheck

OTHER_AIRFRAME = (
    "What faults do in a hop and at each check was measured on the trainer; this aircraft may do it "
    "more or less."
)


def bar(err: Paper) -> Progress:
    """Return a bar for what takes seconds."""
    columns = (TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn())
    return Progress(*columns, console=err, transient=True)


def heard(file: Path) -> Report:
    """Read a report in words."""
    return load_report(file)


def answer_to(err: Paper, brought: Brought) -> tuple[Answer, dict[str, Any]]:
    """Return the answer to what was brought, and the same as JSON has it."""
    started = perf_counter()
    with bar(err) as progress:
        task = progress.add_task("", total=1.0)
        found = answered(
            brought, lambda words, share: progress.update(task, description=words, completed=share)
        )
    about = document(found, perf_counter() - started)
    if brought.report is not None:
        about = {"report": brought.report.model_dump(mode="json", exclude_none=True), **about}
    return found, about


def show(say: Paper, found: Answer) -> None:
    """Print an answer."""
    order = ranked(found.causes)
    say.plain(verdict(found.causes))
    for line in (*alike_told(order[0]), *found.blind):
        say.plain(line)
    sheet = folded_table("cause", "in 100", "severity", "where")
    for one in order:
        cells = ("", "")
        if one.cause is not None:
            cells = (severity_told(one.cause), one.cause.place or "")
        sheet.add_row(*map(Text, (name(one.faults), f"{100.0 * one.chance:.1f}", *cells)))
    say.print(sheet)
    _decided(say, found)
    _checks(say, found)
    if found.airframe != library.TRAINER:
        say.plain(OTHER_AIRFRAME)
    say.plain(CAUTION)


def _decided(say: Paper, found: Answer) -> None:
    telling = found.deciding
    if found.curves and not telling:
        say.plain(NOTHING_DECIDED)
    if telling:
        channels = ", ".join(f"{c.words} {c.decided_nats:.0f}" for c in telling[:6])
        say.plain(f"Decided by, in nats (each makes it 2.7 times likelier): {channels}.")
        marks = "; ".join(f"{moment.told}: {moment.nats:.0f}" for moment in moments(telling))
        say.plain(f"Moments: {marks}.")


def _checks(say: Paper, found: Answer) -> None:
    """Print the check to do next with what its outcomes would mean, and the ones after it."""
    if not found.checks:
        say.plain(nextcheck.NO_CHECK)
        return
    best = found.checks[0]
    say.plain(f"Next check ({nextcheck.BIT}): {nextcheck.told(best)}")
    for line in nextcheck.first(best):
        say.plain(f"  First: {line}")
    for outcome in best.outcomes:
        say.plain(f"  {nextcheck.meaning(best.check, outcome, found.airframe)}")
    for one in found.checks[1 : nextcheck.MOST_CHECKS]:
        say.plain(f"Or: {nextcheck.told(one)}")


def draw(found: Answer, title: str, file: Path) -> None:
    """Write the curves as an SVG drawing; Refusal where there are none."""
    shown = found.deciding or list(found.curves)
    if not shown:
        raise Refusal("There are no curves to draw: a report has none.", "value")
    best = name(found.causes.posterior()[0][0].faults)
    write_text_atomic(
        file, drawing(shown, moments(shown), f"{title}: {best}", rival_told(found.causes))
    )


def cause_of(found: Answer, asked: str | None) -> Cause:
    """Return the cause to be put in: the likeliest, or the one asked for, faults apart by commas."""
    if asked is None:
        return next((c for c, _ in found.causes.posterior() if c.faults), found.causes.causes[0])
    named = [one.strip() for one in asked.split(",")]
    for one in named:
        if one not in CATALOGUE:
            near = nearest(one, CATALOGUE)
            raise InputError((Problem("--cause", None, "", one, "not a known fault", near),))
    faults = sorted_faults(fault for fault in CATALOGUE if fault in named)
    known = found.causes.of(faults)
    return known or Cause(faults, 0.0, None, (0.5, 0.5, 0.5), 0)


def hand_back(say: Paper, err: Paper, found: Answer, cause: Cause, file: Path) -> Made:
    """Make a drill of a cause, fly it, and write its file; Refusal if the failure does not show."""
    require_quiet(file, cause.faults)
    with bar(err) as progress:
        task = progress.add_task("", total=1.0)
        made = handed_back(
            found,
            cause,
            lambda words, share: progress.update(task, description=words, completed=share),
        )
    lines = told(made, cause)
    for line in lines:
        say.plain(line)
    if made.drill is None:
        raise Refusal(f"{file} was not written.", "value")
    for sentence in made.left_out:
        say.plain(f"Left out of the story, as it names the cause: {sentence}")
    write_text_atomic(file, text(made.drill, lines))
    say.plain(f"Drill: {file}")
    return made
