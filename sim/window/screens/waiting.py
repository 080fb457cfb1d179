"""While something is got ready that takes long, such as the flight model: a bar, and a window that answers."""

import subprocess
from collections.abc import Callable, Sequence
from contextlib import suppress
from math import exp, log
from threading import Thread
from typing import NamedTuple

from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Rect, paragraph
from sim.window.layout import centred
from sim.window.pictures import paper
from sim.window.theme import BODY, TITLE
from sim.window.ui import Ui

CALM_S = 0.25  # s; own: between pictures, so that the compiler has the machine


def share_after(spent_s: float, usual_s: float) -> float:
    """Return how far the bar has come: nine tenths in the usual time, then ever slower, never still."""
    return 1.0 - exp(-log(10.0) * spent_s / usual_s)


def _quit(app: App) -> None:
    app.quits = True


class Long(NamedTuple):
    """A program that takes long: its command, what it reads, what is said, about how long it takes, s.

    words : with the name of the step in hand for `{}`.
    """

    command: Sequence[str]
    title: str
    words: str
    usual_s: float
    text: str = ""


class Waiting:
    """Runs a program in a process of its own and waits for it: `then` goes on, `leave` does not."""

    def __init__(
        self, then: Callable[[App], None], work: Long, leave: Callable[[App], None] = _quit
    ) -> None:
        self.then, self.work, self.leave = then, work, leave
        self.done, self.steps, self.name = 0, 1, "getting ready"
        self.spent_s = 0.0
        self.failed = ""
        self._over = False
        self._process = subprocess.Popen(
            work.command,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        with self._process as process:  # closes its pipes and waits for its end
            assert process.stdin is not None
            assert process.stdout is not None
            assert process.stderr is not None
            with suppress(BrokenPipeError):  # one that has ended already says why
                process.stdin.write(self.work.text)
                process.stdin.close()
            for line in process.stdout:
                done, steps, self.name = line.strip().split(" ", 2)
                self.done, self.steps = int(done), int(steps)
            errors = process.stderr.read().strip()
        if process.returncode != 0:
            self.failed = errors.splitlines()[-1] if errors else "no reason given"
        self._over = True

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the bar; go on when it is done."""
        canvas, u = ui.canvas, ui.unit
        app.calm_s = CALM_S
        self.spent_s += dt_s
        canvas.fill(area, theme.BENCH)
        box = centred(area, 560 * u, 220 * u)
        paper.sheet(canvas, box)
        inner = box.inset(24 * u)
        canvas.text((inner.x, inner.y), self.work.title, TITLE)
        at = inner.below(canvas.measure("x", TITLE)[1] + 8 * u)
        words = self.work.words.format(self.name)
        if self.failed:
            words = f"That went wrong: {self.failed}"
        at = at.below(paragraph(canvas, at, words, BODY) + 12 * u)
        canvas.frame(at.top(18 * u), theme.INK, 1.5 * u)
        share = max(self.done / self.steps, share_after(self.spent_s, self.work.usual_s))
        canvas.fill(at.top(18 * u).inset(3 * u)._replace(w=(at.w - 6 * u) * share), theme.PENCIL)
        leave = Rect(inner.x, inner.bottom - ui.row_height, 120 * u, ui.row_height)
        if ui.act("pause", leave, "Leave"):
            self._process.terminate()
            self.leave(app)
            return
        if self._over and not self.failed:
            self.then(app)
