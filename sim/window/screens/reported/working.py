"""Something that takes seconds, done beside the window: how far it is, and a way out."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from sim.errors import DryhopError, line_of
from sim.window import theme
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.screens.paper import (
    Column,
    foot,
    headed,
    leading_out,
    lower,
    middle,
    taped,
    wood,
)
from sim.window.screens.waiting import CALM_S
from sim.window.ui import Ui

WIDE_UNITS, TALL_UNITS = 620.0, 300.0  # units; own: as the other small sheets
BAR_UNITS = 14.0  # units; own


class Progress:
    """How far work is: told by the worker, read by the window; both only replace values."""

    def __init__(self) -> None:
        self.words, self.share, self.stopped = "", 0.0, False

    def __call__(self, words: str, share: float) -> None:
        """Tell what is being done and how far it is, 0..1. Raises Stopped if nobody waits any more."""
        self.words, self.share = words, share
        if self.stopped:
            raise Stopped


class Stopped(DryhopError):
    """Nobody waits for the work any more."""


Work = Callable[[Progress], Any]
Done = Callable[[Any], None]


class Working:
    """Shows work under way. `back` is shown when it is stopped; `done` gets what came of it."""

    def __init__(self, back: Screen, title: str, work: Work, done: Done) -> None:
        self.back, self.title, self.done = back, title, done
        self.progress = Progress()
        self._pool = ThreadPoolExecutor(1, "reported")
        self._work: Future[Any] = self._pool.submit(work, self.progress)

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw how far it is; go on when it is done."""
        app.calm_s = CALM_S
        self._over(app)
        place, low = wood(ui, area, app.notice)
        u = ui.unit
        sheet = taped(ui.canvas, middle(ui.canvas, place, WIDE_UNITS, TALL_UNITS))
        rest, pressed = foot(
            ui, headed(ui.canvas, sheet, self.title), (("pause", "Stop it", True),)
        )
        column = Column(ui.canvas, rest)
        column.write(self.progress.words or "It begins.", gap=8)
        bar = column.top(BAR_UNITS * u)
        ui.canvas.fill(bar, theme.PAPER_SHADE, 3 * u)
        done = min(1.0, max(0.0, self.progress.share))
        ui.canvas.fill(bar._replace(w=bar.w * done), theme.PENCIL, 3 * u)
        column.gap(6)
        column.small(f"{100.0 * done:.0f} %")
        lower(ui, low, app.notice, leading_out(ui, "stop it"))
        if pressed == "pause":
            self.progress.stopped = True
            app.go(self.back)

    def _over(self, app: App) -> None:
        """Go on if the work is done."""
        if not self._work.done():
            return
        self._pool.shutdown(wait=False)
        try:
            self.done(self._work.result())
        except (DryhopError, OSError) as error:
            app.notice = line_of(error)
            app.go(self.back)
