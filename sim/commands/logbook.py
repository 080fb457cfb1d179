"""The logbook's commands."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from sim.commands.ends import FINE, NO, Json, err, out, say
from sim.commands.options import Page
from sim.errors import InputError, Problem, Refusal, nearest

logbook = typer.Typer(
    help="Who can do what by now, what is due, what comes next.",
    invoke_without_command=True,
    rich_markup_mode=None,
)
File = Annotated[
    Path | None, typer.Option("--book", help="Another logbook than your own: its file.")
]
Who = Annotated[str, typer.Argument(metavar="NAME", help="A trainee, as the logbook lists them.")]


@contextmanager
def _book(file: Path | None) -> Iterator[Any]:
    """Give the logbook, with what was finished since it was last open."""
    from sim.logbook.book import Book
    from sim.runs import RUNS, elsewhere

    with Book(file) as book:
        if file is None:
            book.sync(RUNS, *elsewhere())
        yield book


def _person(book: Any, name: str) -> Any:
    from sim.logbook.ahead import shipped
    from sim.logbook.book import now
    from sim.logbook.person import person

    return person(book, name, shipped(), now())


def _people(book: Any) -> list[Any]:
    from sim.logbook.ahead import shipped
    from sim.logbook.book import now
    from sim.logbook.person import person

    drills, when = shipped(), now()
    return [person(book, name, drills, when, whole=False) for name in book.trainees()]


@logbook.callback()
def everybody(context: typer.Context, file: File = None, as_json: Json = False) -> None:
    """List everybody: attempts, drills cleared, last time, what comes next."""
    if context.invoked_subcommand is not None:
        return
    from sim.commands.logpages import among_others, everybody_table

    with _book(file) as book:
        people = _people(book)
    if say([among_others(one) for one in people], as_json):
        return
    if not people:
        out.print("Nobody has finished a drill yet: dryhop practise.")
        return
    out.print(everybody_table(people))


@logbook.command()
def show(name: Who, file: File = None, as_json: Json = False) -> None:
    """Show where somebody stands, their attempts and what comes next."""
    from sim.commands.logpages import print_person, whole

    with _book(file) as book:
        one = _person(book, name)
    if not say(whole(one), as_json):
        print_person(out, one)


@logbook.command("next")
def comes_next(name: Who, file: File = None, as_json: Json = False) -> None:
    """Say which drill comes next, and why; where somebody is on the ladder, and what is due again."""
    from sim.commands.logpages import next_data
    from sim.logbook.ahead import shipped
    from sim.logbook.book import now
    from sim.logbook.way import told, way

    with _book(file) as book:
        book.require(name)
        theirs = way(book, name, shipped(), now())
    coming = next_data(name, theirs.next)
    coming["due"] = list(theirs.due)
    coming["ladder"] = [step._asdict() for step in theirs.steps]
    if not say(coming, as_json):
        out.plain(f"{coming['title']} (dryhop practise {coming['drill']} --trainee {name!r})")
        out.plain(coming["reason"])
        for line in told(theirs):
            out.plain(line)


@logbook.command("import")
def take_in(
    folders: Annotated[list[Path], typer.Argument(help="Run folders, or folders of them.")],
    file: File = None,
    as_json: Json = False,
) -> None:
    """Take in attempts from another machine; their marks are worked out anew from what was done."""
    from rich.progress import Progress

    from sim.commands.ready import get_ready
    from sim.runs import flown, run_folders
    from sim.session.folder import holds_run

    for folder in folders:
        if not folder.is_dir():
            raise InputError((Problem(str(folder), None, "", "", "no such folder"),))
    places = {folder.parent if holds_run(folder) else folder for folder in folders}
    found = run_folders(*places)
    get_ready(*(airframe for folder in found for airframe in flown(folder)))
    with _book(file) as book, Progress(console=err) as progress:
        task = progress.add_task("Attempts", total=len(found))
        new = book.sync(*places, anew=True, done=lambda: progress.advance(task))
        progress.update(task, completed=len(found))  # with those known already
    if not say({"new": new}, as_json):
        out.plain(f"New in the logbook: {new}")


@logbook.command()
def export(
    form: Annotated[str, typer.Option("--format", help="csv, json or xapi.")] = "csv",
    to: Annotated[Path | None, typer.Option("--out", help="File to write; else printed.")] = None,
    name: Annotated[str | None, typer.Option("--trainee", help="One person's alone.")] = None,
    file: File = None,
) -> None:
    """Give all attempts away: CSV, JSON, or statements of the Experience API."""
    import sys

    from sim.aircraft.textfile import write_text_atomic
    from sim.logbook.export import FORMATS

    if form not in FORMATS:
        rule, near = f"not one of {', '.join(FORMATS)}", nearest(form, FORMATS)
        raise InputError((Problem("--format", None, "", form, rule, near),))
    with _book(file) as book:
        if name is not None:
            book.require(name)
        text = FORMATS[form](book.attempts(name))
    if to is None:
        sys.stdout.write(text)
    else:
        write_text_atomic(to, text)


@logbook.command()
def forget(
    name: Who,
    sure: Annotated[bool, typer.Option("--yes", help="Don't ask again.")] = False,
    file: File = None,
) -> None:
    """Delete all of a person: entries, run folders, name in the window. It can't be undone."""
    import sys

    from sim.logbook.leaving import folders_of
    from sim.logbook.leaving import forget as let_go
    from sim.paths import opened_runs
    from sim.runs import RUNS, elsewhere, run_folders
    from sim.window.settings import forget as unname
    from sim.window.settings import settings_path

    with _book(file) as book:
        theirs = folders_of(name, run_folders(RUNS, *elsewhere(), opened_runs()))
        if not theirs:
            book.require(name)
        attempts = len(book.attempts(name))
        if not sure:
            if not sys.stdin.isatty():
                raise Refusal("Nobody has confirmed it: --yes deletes for good.", "value")
            typer.confirm(f"Delete {name!r} and {attempts} attempts for good?", abort=True)
        gone = let_go(book, name, theirs)
        unname(settings_path(), name)
    out.plain(f"Deleted: {attempts} entries, {len(gone)} run folders.")


@logbook.command()
def check(file: File = None, as_json: Json = False) -> None:
    """Check that the logbook's file is whole and run folders are as entered; exit 1 if not."""
    from sim.logbook.leaving import strayed

    with _book(file) as book:
        whole, (gone, other) = book.whole(), strayed(book)
        attempts = len(book.attempts())
    found = {
        "file": whole,
        "attempts": attempts,
        "gone": [str(folder) for folder in gone],
        "changed": [str(path) for path in other],
    }
    if not say(found, as_json):
        out.plain(f"The logbook's file: {whole}. Attempts: {attempts}.")
        for folder in gone:
            out.plain(f"{folder}: the run folder is gone; its marks stay.")
        for path in other:
            out.plain(f"{path}: not as it was when it was entered.")
    raise typer.Exit(FINE if whole == "ok" and not other else NO)


@logbook.command("sign")
def signs(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="Run folder of a club check-out.")],
    instructor: Annotated[str, typer.Option("--instructor", help="Name of who was there.")],
) -> None:
    """Sign a finished club check-out, once: the instructor's name is kept beside the run."""
    from datetime import UTC, datetime

    from sim.runs import require_run_folder
    from sim.session.signed import sign

    require_run_folder(folder)
    signed = sign(folder, instructor, datetime.now(UTC))
    out.plain(f"Signed by {signed.instructor}: {folder}")


@logbook.command()
def report(to: Page = Path("club-evening.html"), file: File = None) -> None:
    """Write a page for a club evening: who is ready for what, what is due, what comes next."""
    from sim.aircraft.textfile import write_text_atomic
    from sim.logbook.book import now
    from sim.pages.club import club_page

    with _book(file) as book:
        write_text_atomic(to, club_page(_people(book), now()))
    out.plain(f"Page: {to}")
