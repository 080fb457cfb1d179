"""Opening the window, where there is a display."""

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sim.commands import compiling
from sim.kernel.cache import is_warm

MADE_READY = "This version is made ready: {}. Next time it is there at once."
USUAL_S = 13.0  # s; own: about what compiling takes


def has_display() -> bool:
    """Tell whether a window can be opened here."""
    if sys.platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


def _page(record: Any, card: dict[str, Any], folder: Path, search: Any = None) -> None:
    """Write the page of a finished run; what that takes is not loaded before."""
    from sim.pages.debrief import write

    write(record, card, folder, search)


def _show_page(folder: Path) -> None:
    """Open the page of a run in the browser, written first if it is not there."""
    import typer

    from sim.pages.debrief import DEBRIEF, write
    from sim.runs import worked_out

    page = folder / DEBRIEF
    if not page.exists():
        write(*worked_out(folder), folder)
    typer.launch(page.resolve().as_uri())


def open_window(first: Callable[[Any], None]) -> None:
    """Open the window on a first screen and keep it until it is closed."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # a command prints its own words
    from sim.window.app import App
    from sim.window.pixels.loop import Window
    from sim.window.settings import settings_path

    app = App(settings_path(), _page)
    app.show_page = _show_page
    window = Window(app)
    if is_warm():
        first(app)
    else:
        from sim.window.screens.waiting import Long, Waiting

        command = [sys.executable, "-m", compiling.__name__]
        app.go(Waiting(first, Long(command, "Once for this version", MADE_READY, USUAL_S)))
    window.run()


def at_home(notice: str = "") -> None:
    """Open the window on the list of drills, with something to be told."""
    from sim.window.start import first_screen

    def first(app: Any) -> None:
        first_screen(app)
        app.notice = notice or app.notice

    open_window(first)


def on_shared(one: Any) -> None:
    """Open the window on a run or a drill that was shared."""
    from sim.window.start import given

    open_window(lambda app: given(app, one))


def on_drill(drill: Any, name: str, seed: int | None, trainee: str) -> None:
    """Open the window on a drill called so; without a seed it has its own, or chance picks one."""
    from sim.window.start import begin, seed_of

    def first(app: Any) -> None:
        if trainee:
            app.change(trainee=trainee)
        begin(app, drill, name, seed_of(drill) if seed is None else seed)

    open_window(first)


def on_attempt(folder: Path) -> None:
    """Open the window on an attempt left in the middle."""
    from sim.window.start import take_up

    open_window(lambda app: take_up(app, folder))


def on_run(folder: Path, title: str) -> None:
    """Open the window on a run to be watched."""
    from sim.window.start import watch

    open_window(lambda app: watch(app, folder, title))


def on_class(folder: Path) -> None:
    """Open the window on a run for a class."""
    from sim.window.start import classroom

    open_window(lambda app: classroom(app, folder))
