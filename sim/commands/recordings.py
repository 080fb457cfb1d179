"""The command that reads recordings."""

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.ends import Json, out, say
from sim.errors import Refusal

YAML = (".yaml", ".yml")  # what the file of a report ends in


def reproduce(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="RECORDING|REPORT", help="CSV file of any logger, or a report in words (YAML)."
        ),
    ],
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
    """Say which faults explain a report in words, or read a recording.

    Of a recording: guess what each column is, ask what can't be guessed, write it in our columns.

    Exit 1 while something needed is open or nobody has confirmed the guesses.
    """
    if file.suffix.lower() in YAML:
        from sim.commands import words

        answer = words.answered(file)
        if not say(words.document(*answer), as_json):
            words.show(out, *answer[:2])
        return
    from sim.commands import reproduce as commands
    from sim.reproduce.importer.converting import recording
    from sim.reproduce.recording import save as save_as

    table, guesses = commands.read(file, columns, airframe)
    if not as_json:
        commands.show(out, guesses)
    if write_columns is not None:
        commands.written(guesses, write_columns)
    try:
        kept = recording(table, commands.confirmed(guesses, accept, write_columns or columns))
    except Refusal:
        say(commands.document(guesses, None), as_json)
        raise
    if save is not None:
        save_as(save, kept)
    if not say(commands.document(guesses, kept), as_json):
        for line in commands.summary(kept):
            out.plain(line)
