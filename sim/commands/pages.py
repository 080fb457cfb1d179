"""The commands that write pages: the debrief of a run, the cards for a bench."""

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


def cards(
    airframe: Annotated[
        str | None, typer.Option("--airframe", help="Whose limits, by name or file; the trainer's.")
    ] = None,
    to: Annotated[Path, typer.Option("--out", help="Page to write.")] = Path("cards.html"),
    show: Annotated[bool, typer.Option("--open", help="Open it in the browser.")] = False,
) -> None:
    """Write the cards to print for a real bench: boxes for values seen, limits of the build sheet.

    Local rules and your club's instructor come first.
    """
    from sim.aircraft import library
    from sim.aircraft.textfile import write_text_atomic
    from sim.bench.evidence import has_tables
    from sim.pages.cards import cards_page

    name = library.file_or_name(airframe or library.TRAINER)
    design = library.airframe(name) if library.is_file(name) else name
    library.airframe(design)
    if not has_tables(design):
        get_ready(design)
    write_text_atomic(to, cards_page(design))
    out.plain(f"Page: {to}")
    if show:
        typer.launch(to.resolve().as_uri())
