"""The command that answers what somebody reported: a recording, a report in words, or both."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from sim.commands.compiling import compile_with_progress
from sim.commands.ends import Json, err, out, say
from sim.errors import Refusal

YAML = (".yaml", ".yml")  # what the file of a report ends in

File = Annotated[
    Path,
    typer.Argument(
        metavar="RECORDING|REPORT", help="CSV file of any logger, or a report in words (YAML)."
    ),
]
Columns = Annotated[
    Path | None, typer.Option("--columns", help="Map of its columns, as --write-columns wrote.")
]
Airframe = Annotated[str | None, typer.Option(help="The airframe that flew, by name or file.")]
Accept = Annotated[bool, typer.Option("--accept", help="Take the guesses as they are.")]
WriteColumns = Annotated[
    Path | None,
    typer.Option("--write-columns", help="Map to write, to be put right and reused."),
]
Save = Annotated[
    Path | None,
    typer.Option("--save", help="CSV file to write, in our own columns; no causes are sought."),
]
Said = Annotated[
    Path | None, typer.Option("--report", help="What was said of the flight recorded (YAML).")
]
Overlay = Annotated[
    Path | None, typer.Option("--overlay", help="SVG file to draw: recorded and simulated.")
]
Write = Annotated[
    Path | None, typer.Option("--write", help="Drill to make of it, flown before it is kept.")
]
Cause = Annotated[
    str | None,
    typer.Option("--cause", help="Fault of the drill, two apart by a comma; else the likeliest."),
]
Open = Annotated[bool, typer.Option("--open", help="Begin the drill written in the window.")]


@dataclass(frozen=True)
class _Asked:
    """What is asked about the columns of a recording."""

    columns: Path | None
    airframe: str | None
    accept: bool
    write_columns: Path | None
    save: Path | None
    as_json: bool


def reproduce(
    file: File,
    columns: Columns = None,
    airframe: Airframe = None,
    accept: Accept = False,
    write_columns: WriteColumns = None,
    save: Save = None,
    report: Said = None,
    overlay: Overlay = None,
    write: Write = None,
    cause: Cause = None,
    open_: Open = False,
    as_json: Json = False,
) -> None:
    """Say which faults explain a recording or a report, and what to check next; make a drill of it.

    Of a recording, each column is guessed first, and what can't be guessed is asked. A simulation says
    what would explain a flight, not what an aircraft has: local rules and your club's come first.
    Exit 1 while something needed is open or nobody has confirmed, or if no drill shows the failure.
    """
    from sim.commands import answering
    from sim.diagnosis.reported import Brought

    document: dict[str, Any] = {}
    if file.suffix.lower() in YAML:
        heard = answering.heard(file)
        brought = Brought(airframe or heard.airframe, report=heard)
    else:
        asked = _Asked(columns, airframe, accept, write_columns, save, as_json)
        kept, document = _recorded(file, asked)
        if save is not None:
            return
        brought = Brought(kept.airframe, kept, answering.heard(report) if report else None)
    if brought.recording is not None or write is not None:
        compile_with_progress()
    found, about = answering.answer_to(err, brought)
    if not say(document | about, as_json):
        answering.show(out, found)
    if overlay is not None:
        answering.draw(found, file.name, overlay)
    if write is not None:
        told = err if as_json else out
        answering.hand_back(told, err, found, answering.cause_of(found, cause), write)
        if open_:
            _begin(write)


def _recorded(file: Path, asked: _Asked) -> tuple[Any, dict[str, Any]]:
    """Return a recording in our columns, and what is told of its columns as JSON has it."""
    from sim.commands import reproduce as commands
    from sim.reproduce.importer.converting import recording
    from sim.reproduce.recording import save as save_as

    table, guesses = commands.read(file, asked.columns, asked.airframe)
    if not asked.as_json:
        commands.show(out, guesses)
    if asked.write_columns is not None:
        commands.written(guesses, asked.write_columns)
    try:
        where = asked.write_columns or asked.columns
        kept = recording(table, commands.confirmed(guesses, asked.accept, where))
    except Refusal:
        say(commands.document(guesses, None), asked.as_json)
        raise
    found = commands.document(guesses, kept)
    if asked.save is not None:
        save_as(asked.save, kept)
        say(found, asked.as_json)
    if not asked.as_json:
        for line in commands.summary(kept):
            out.plain(line)
    return kept, found


def _begin(drill: Path) -> None:
    """Open the window on a drill."""
    from sim.commands.window import has_display, on_drill
    from sim.session.scenario import load

    if not has_display():
        raise Refusal("No display here: the drill is written, but can't be opened.", "no_display")
    on_drill(load(str(drill)), drill.stem, None, "")
