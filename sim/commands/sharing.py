"""The commands that give a run or a drill away as one file, and open such a file."""

from pathlib import Path
from typing import Annotated

import typer

from sim.commands.ends import err, out
from sim.commands.options import Replace
from sim.commands.ready import get_ready
from sim.errors import InputError, Problem

What = Annotated[str, typer.Argument(metavar="RUN|DRILL", help="A run folder, or a drill.")]
To = Annotated[
    Path | None, typer.Option("--out", help="File to write; named after it if not given.")
]
Nameless = Annotated[
    bool,
    typer.Option(
        "--nameless", help="Without the names of who practised the run and who signed it."
    ),
]
File = Annotated[
    Path | None, typer.Argument(metavar="FILE", help="A shared file, ending in .dryhop.")
]
Into = Annotated[
    Path | None,
    typer.Option("--out", help="Folder to put the drill into, or run folder to make."),
]
Window = Annotated[bool, typer.Option(help="Show it in a window, if there is a display.")]
Register = Annotated[
    bool,
    typer.Option(
        "--register", help="Let a double click open shared files (Linux and other free desktops)."
    ),
]
ByClick = Annotated[bool, typer.Option("--by-click", hidden=True)]


def share(what: What, to: To = None, replace: Replace = False, nameless: Nameless = False) -> None:
    """Give a finished run or a drill away: one file, with its aircraft, and digests that find damage.

    What was done and by whom can be read in it; a drill names what is hidden.
    """
    from sim.sharing.container import EXTENSION
    from sim.sharing.shared import noted_name, shared, write

    content = shared(what, nameless)
    path = to or Path(content.manifest.name + EXTENSION)
    write(content, path, replace)
    out.plain(f"Shared: {path}")
    if name := noted_name(content):
        out.plain(f"The name in it: {name}; --nameless leaves it out.")


def open_(
    file: File = None,
    to: Into = None,
    window: Window = True,
    register: Register = False,
    by_click: ByClick = False,
) -> None:
    """Open a shared file: a drill is put among yours and begun, a run is marked anew and shown.

    Everything in it is checked before anything is written. Digests find damage; they do not prove
    who made it.
    """
    from sim.commands.window import at_home, has_display, on_shared
    from sim.sharing.shared import opened

    if register:
        from sim.commands.desktop import registered

        for path in registered():
            out.plain(f"Written: {path}")
        if file is None:
            return
    if file is None:
        raise InputError((Problem("open", None, "", "", "name a shared file"),))
    try:
        one = opened(file)
    except InputError as error:
        if by_click and has_display():  # nobody reads a terminal
            at_home(str(error))
            return
        raise
    if window and to is None and has_display():
        on_shared(one)
    else:
        _put(one, to)


def _put(one: object, to: Path | None) -> None:
    """Lay down what was opened, without a window, and say how to go on."""
    from sim.pages.debrief import write
    from sim.paths import opened_runs, own_drills
    from sim.sharing.shared import SharedDrill, SharedRun, place_of, put_drill, put_run

    if isinstance(one, SharedDrill):
        path = put_drill(one, to or own_drills())
        out.plain(f"Drill: {path}")
        out.plain(f"{one.drill.title}: dryhop practise {path}")
    elif isinstance(one, SharedRun):
        get_ready(one.airframe)
        folder, there = (to, False) if to else place_of(one, opened_runs())
        if there:
            err.plain("It was opened before.")
        else:
            put_run(one, folder, write)
        out.plain(f"Run folder: {folder}")
        out.plain(f"Watch it: dryhop replay {folder} --window")
        out.plain(f"Into the logbook: dryhop logbook import {folder}")
