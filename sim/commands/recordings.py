"""The command that reads recordings, and how a command says its one JSON document."""

import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from sim.commands.ends import out
from sim.errors import Refusal

Json = Annotated[bool, typer.Option("--json", help="Print one JSON document and nothing else.")]


def say(document: Any, as_json: bool) -> bool:
    """Print a JSON document if asked to; return whether that was done."""
    if as_json:
        import json

        sys.stdout.write(json.dumps(document, indent=2) + "\n")
    return as_json


def reproduce(
    file: Annotated[Path, typer.Argument(metavar="RECORDING", help="CSV file of any logger.")],
    columns: Annotated[
        Path | None, typer.Option("--columns", help="Map of its columns, as --write-columns wrote.")
    ] = None,
    airframe: Annotated[
        str | None, typer.Option(help="The airframe that flew, by name or file.")
    ] = None,
    accept: Annotated[bool, typer.Option("--accept", help="Take the guesses as they are.")] = False,
    write_columns: Annotated[
        Path | None,
        typer.Option("--write-columns", help="Map to write, to be put right and reused."),
    ] = None,
    save: Annotated[
        Path | None, typer.Option("--save", help="CSV file to write, in our own columns.")
    ] = None,
    as_json: Json = False,
) -> None:
    """Read a recording: guess what each column is, ask what can't be guessed, write it in our columns.

    Exit 1 while something needed is open or nobody has confirmed the guesses.
    """
    from sim.commands import reproduce as commands
    from sim.reproduce.recording import save as save_as

    table, guesses = commands.read(file, columns, airframe)
    if not as_json:
        commands.show(out, guesses)
    if write_columns is not None:
        commands.written(guesses, write_columns)
    try:
        kept = commands.cleaned(
            table, commands.confirmed(guesses, accept, write_columns or columns)
        )
    except Refusal:
        say(commands.document(guesses, None), as_json)
        raise
    if save is not None:
        save_as(save, kept)
    if not say(commands.document(guesses, kept), as_json):
        for line in commands.summary(kept):
            out.plain(line)
