"""The command that writes the page of a run."""

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.ends import out
from sim.commands.ready import get_ready


def debrief(
    folder: Annotated[Path, typer.Argument(help="A run folder.")],
    to: Annotated[
        Path | None, typer.Option("--out", help="Page; in the folder if not given.")
    ] = None,
    show: Annotated[bool, typer.Option("--open", help="Open it in the browser.")] = False,
) -> None:
    """Write the debrief of a run as a page to read or print: what could be known when, and what came of it."""
    from sim.aircraft.textfile import write_text_atomic
    from sim.commands.ownwords import ask_first
    from sim.pages.debrief import DEBRIEF, debrief_page
    from sim.runs import flown, worked_out

    get_ready(*flown(folder))
    ask_first(folder)
    page = to or folder / DEBRIEF
    write_text_atomic(page, debrief_page(*worked_out(folder)))
    out.plain(f"Page: {page}")
    if show:
        typer.launch(page.resolve().as_uri())
