"""From what somebody reported to a drill of it: which sheet follows which."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from sim.aircraft.textfile import write_numbered
from sim.diagnosis.handback import handed_back
from sim.diagnosis.reported import Answer, Brought, answered
from sim.errors import InputError, Refusal
from sim.paths import own_drills
from sim.reproduce.answer.drill import Made, text, told
from sim.reproduce.answer.ranking import Ranked
from sim.reproduce.importer.confirming import Sheet
from sim.reproduce.importer.converting import recording
from sim.reproduce.importer.mapping import Settled, load_map
from sim.reproduce.importer.reading import Table, read_table
from sim.reproduce.words.report import Report, load_report
from sim.window.app import App, Screen
from sim.window.screens.reported.answer import AnswerSheet
from sim.window.screens.reported.brought import BroughtSheet, map_of, maps_in
from sim.window.screens.reported.columns import ColumnsSheet
from sim.window.screens.reported.working import Progress, Working
from sim.window.screens.told import Told

LOOKING = "Looking for what explains it"
MAKING = "Making a drill of it"
REPORTS = (".yaml", ".yml")

Practise = Callable[[App, Path], None]  # (app, drill's file)
Before = dict[tuple[Path, float], ColumnsSheet]
Answers = list[tuple[Settled, AnswerSheet]]  # found so far, by what was confirmed


def brought(app: App, back: Screen, practise: Practise) -> None:
    """Show the files of this folder, each of which leads on to its answer."""
    before: Before = {}
    first = BroughtSheet(
        back,
        Path.cwd(),
        lambda path: opened(app, app.screen, path, practise, before),
        lambda screen: app.go(Told(screen, partial(listened, app, practise))),
    )
    app.go(first)


def opened(app: App, back: Screen, path: Path, practise: Practise, before: Before) -> None:
    """Show the columns of a recording, or the answer to a report; InputError for a bad file.

    before : columns as they were left, by file and when it was written.
    """
    app.notice = ""
    if path.suffix.lower() in REPORTS:
        look(app, back, of_report(load_report(path)), practise)
        return
    as_it_is = (path, path.stat().st_mtime)
    if as_it_is not in before:
        table = read_table(path)
        known, whose = map_for(table)
        answers: Answers = []
        confirm = lambda settled: _confirmed(app, table, settled, practise, answers)  # noqa: E731
        sheet = ColumnsSheet(back, path, Sheet(table, known), confirm)
        sheet.said = f"Columns as kept in {whose.name}." if whose else ""
        before[as_it_is] = sheet
    app.go(before[as_it_is])


def map_for(table: Table) -> tuple[Settled | None, Path | None]:
    """Return a map kept beside a recording that fits it, and its file: its own, else the newest."""
    own = map_of(table.path)
    for path in sorted(maps_in(table.path.parent), key=lambda path: path != own):
        try:
            return load_map(path, table), path
        except (InputError, OSError):
            continue
    return None, None


def listened(app: App, practise: Practise, report: Report) -> None:
    """Answer a report just told."""
    look(app, app.screen, of_report(report), practise)


def of_report(report: Report) -> Brought:
    """Return a report as what was brought."""
    return Brought(report.airframe, report=report)


def _confirmed(
    app: App, table: Table, settled: Settled, practise: Practise, answers: Answers
) -> None:
    """Look for what explains a recording, or show again what was found for these columns."""
    for asked, sheet in answers:
        if asked == settled:
            app.go(sheet)
            return
    brought = Brought(settled.airframe, recording=recording(table, settled))
    look(app, app.screen, brought, practise, lambda sheet: answers.append((settled, sheet)))


def look(
    app: App,
    back: Screen,
    what: Brought,
    practise: Practise,
    keep: Callable[[AnswerSheet], None] = lambda sheet: None,
) -> None:
    """Look for what explains it, then show the answer. keep : gets its sheet."""

    def work(tell: Progress) -> Answer:
        return answered(what, tell)

    def done(found: Answer) -> None:
        keep(show(app, back, found, practise))

    app.notice = ""
    app.go(Working(back, LOOKING, work, done))


def show(app: App, back: Screen, found: Answer, practise: Practise) -> AnswerSheet:
    """Show an answer, a cause of which can be practised; return its sheet."""
    sheet: AnswerSheet

    def make(one: Ranked) -> None:
        if one.cause is None:
            return
        cause = one.cause

        def work(tell: Progress) -> Made:
            return handed_back(found, cause, tell)

        app.notice = ""
        app.go(Working(sheet, MAKING, work, lambda made: _begin(app, made, one, practise)))

    sheet = AnswerSheet(back, found, make)
    app.go(sheet)
    return sheet


def _begin(app: App, made: Made, one: Ranked, practise: Practise) -> None:
    """Keep the drill and begin it; Refusal with what was tried if the failure does not show."""
    assert one.cause is not None
    if made.drill is None:
        raise Refusal(" ".join(told(made, one.cause)), "value")
    practise(app, kept(made, one))


def kept(made: Made, one: Ranked) -> Path:
    """Write a drill into the user's folder, under a name that is free and says nothing; return it."""
    assert made.drill is not None
    assert one.cause is not None
    return write_numbered(own_drills(), "reported", text(made.drill, told(made, one.cause)))
