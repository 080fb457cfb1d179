"""Opening the window, where there is a display."""

import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from sim.commands import compiling
from sim.kernel.cache import is_warm


def has_display() -> bool:
    """Tell whether a window can be opened here."""
    if sys.platform.startswith("linux"):
        return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    return True


def open_window(first: Callable[[Any], None]) -> None:
    """Open the window on a first screen and keep it until it is closed."""
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # a command prints its own words
    from sim.pages.debrief import write
    from sim.window.app import App
    from sim.window.pixels.loop import Window
    from sim.window.settings import settings_path

    app = App(settings_path(), write)
    window = Window(app)
    if is_warm():
        first(app)
    else:
        from sim.window.screens.compiling import Compiling

        app.go(Compiling(first, [sys.executable, "-m", compiling.__name__]))
    window.run()


def at_home() -> None:
    """Open the window on the list of drills."""
    from sim.window.start import first_screen

    open_window(first_screen)


def on_drill(name: str, seed: int | None, trainee: str) -> None:
    """Open the window on a drill; without a seed it has its own, or chance picks one."""
    from sim.window.start import practise, seed_of

    def first(app: Any) -> None:
        if trainee:
            app.change(trainee=trainee)
        practise(app, name, seed_of(name) if seed is None else seed)

    open_window(first)


def on_attempt(folder: Path) -> None:
    """Open the window on an attempt left in the middle."""
    from sim.window.start import take_up

    open_window(lambda app: take_up(app, folder))


def on_run(folder: Path, title: str) -> None:
    """Open the window on a run to be watched."""
    from sim.window.start import watch

    open_window(lambda app: watch(app, folder, title))
