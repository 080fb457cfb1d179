"""The commands that write pages: the debrief of a run, the cards for a bench."""

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.ends import out
from sim.commands.options import InBrowser, Page, RunDir
from sim.commands.ready import get_ready


def debrief(
    folder: RunDir,
    to: Annotated[
        Path | None, typer.Option("--out", help="Page; in the folder if not given.")
    ] = None,
    show: InBrowser = False,
) -> None:
    """Write the debrief of a run as a page to read or print: what could be known when, and what came of it."""
    from sim.commands.ownwords import ask_first
    from sim.pages.debrief import write
    from sim.runs import flown, worked_out

    get_ready(*flown(folder))
    ask_first(folder)
    _written(write(*worked_out(folder), folder, to=to), show)


def cards(
    airframe: Annotated[
        str | None, typer.Option("--airframe", help="Whose limits, by name or file; the trainer's.")
    ] = None,
    to: Page = Path("cards.html"),
    show: InBrowser = False,
) -> None:
    """Write the cards to print for a real bench: boxes for values seen, limits of the build sheet.

    Local rules and your club's instructor come first.
    """
    from sim.aircraft import library
    from sim.aircraft.textfile import write_text_atomic
    from sim.bench.evidence import has_tables
    from sim.pages.cards import cards_page

    name = library.file_or_name(airframe or library.TRAINER)
    there = library.airframe(name)
    design = there if library.is_file(name) else name
    if not has_tables(design):
        get_ready(design)
    write_text_atomic(to, cards_page(design))
    _written(to, show)


def _written(page: Path, show: bool) -> None:
    """Say where a page is, and show it if asked to."""
    out.plain(f"Page: {page}")
    if show:
        typer.launch(page.resolve().as_uri())
