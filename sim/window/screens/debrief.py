"""The debrief: verdict, points, each fault's story, unsafe conduct, the hop, where it all lies."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from sim.scoring.scorecard import CLEARED
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Rect
from sim.window.pictures import paper
from sim.window.practice import Practice
from sim.window.screens.keys import Keys
from sim.window.screens.paper import (
    EDGE_UNITS,
    GAP_UNITS,
    Column,
    Roll,
    act_width,
    board,
    flow_height,
    flowed,
    headed,
    leading_out,
    lower,
    lower_height,
    stamped,
    taped,
)
from sim.window.screens.saving import Saving
from sim.window.screens.story import story
from sim.window.theme import BODY, NUMBER, TITLE, Type
from sim.window.ui import Ui

SIDE_SHARE = 0.36  # of the width; own: verdict and points, beside the story
SIDE_MOST_UNITS = 520.0  # units; own
FIGURE = Type("bold", 40, theme.INK)
PARTS = {"ladder": "faults", "conduct": "conduct", "hop": "hop"}
OF_POINTS = "of 100 points"


class Debrief:
    """What a drill came to. `card`: its scorecard; `run`: where it lies, or the drill just done."""

    def __init__(
        self,
        card: dict[str, Any],
        run: Path | Practice,
        again: Callable[[], None],
        home: Callable[[], None],
    ) -> None:
        self.card, self.run = card, run
        self._saving = None if isinstance(run, Path) else Saving(run)
        self.again, self.home = again, home
        self._roll, self._side = Roll(), Roll()
        self._fresh = True

    @property
    def folder(self) -> Path | None:
        """Return where the run lies; None if it is not saved."""
        if isinstance(self.run, Path):
            return self.run
        return None if self.run.unsaved else self.run.folder

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw both sheets and do what was asked."""
        canvas, u = ui.canvas, ui.unit
        board(canvas, area)
        inner = area.inset(EDGE_UNITS * u)
        low_h = lower_height(ui, app.notice, area)
        sheets = inner.top(inner.h - low_h)
        wide = min(
            SIDE_SHARE * inner.w * (0.7 + 0.3 * canvas.text_scale),
            SIDE_MOST_UNITS * u * canvas.text_scale,
        )
        side = Rect(sheets.x, sheets.y, wide, sheets.h)
        gap = GAP_UNITS * u
        long = Rect(side.right + gap, sheets.y, sheets.w - wide - gap, sheets.h)
        rest = headed(canvas, taped(canvas, long), "The whole story")
        units = app.settings.units
        self._roll.show(
            ui, "story", rest, "Debrief", lambda r: story(canvas, r, self.card, self.folder, units)
        )
        self._verdict(ui, app, taped(canvas, side, corners=False))
        if self._fresh:
            ui.focus, self._fresh = "pause", False
        low = Rect(inner.x, sheets.bottom + 10 * u, inner.w, inner.bottom - sheets.bottom)
        lower(ui, low, app.notice, leading_out(ui, "to the drills"))

    def _verdict(self, ui: Ui, app: App, rect: Rect) -> None:
        above = self._ways(ui, app, rect)
        self._side.show(
            ui,
            "verdict",
            above,
            "Verdict",
            lambda r: self._sheet(ui, app, r),
            self.folder is not None,
        )

    def _sheet(self, ui: Ui, app: App, sheet: Rect) -> float:
        canvas = ui.canvas
        card = self.card
        column = Column(canvas, sheet)
        column.write(card["title"], TITLE, 2)
        column.small(
            f"seed {card['seed']}, {card['trainee']}, {card['minutes']:.0f} min at work", 6
        )
        if self._saving is not None:
            self._saving.show(ui, app, column)
        self._stamp(ui, column)
        figure = f"{card['points']:.1f}"
        column.write(figure, FIGURE)
        column.small(OF_POINTS, 6)
        for part, words in PARTS.items():
            row = column.take(ui.row_height)
            self._part(ui, row, words, card["parts"][part])
        column.gap(8)
        if card.get("wise_refusal"):
            column.strong("A wise refusal", 2)
            told = card["wise_refusal"]
            words = told if isinstance(told, str) else "It was right not to fly it tonight."
            column.write(words, BODY, 6)
        column.small("No points buy the verdict: a grave act or a dangerous fault left settles it.")
        return column.used

    def _stamp(self, ui: Ui, column: Column) -> None:
        good = self.card["verdict"] == CLEARED
        colour = theme.STAMP_GOOD if good else theme.WARNING
        words = self.card["verdict"]
        place = column.take(1.7 * paper.stamp_size(ui.canvas, words)[1], 4)
        stamped(ui.canvas, place, words, colour, -3.0)

    def _part(self, ui: Ui, row: Rect, words: str, share: float) -> None:
        canvas, u = ui.canvas, ui.unit
        y = row.centre[1] - canvas.measure("x", BODY)[1] / 2
        label = canvas.measure("conduct ", BODY)[0]
        number = canvas.measure("100 %", NUMBER)[0] + 8 * u
        canvas.text((row.x, y), words, BODY)
        bar = Rect(row.x + label, row.centre[1] - 6 * u, row.w - label - number, 12 * u)
        canvas.frame(bar, theme.INK_SOFT, 1.5 * u)
        canvas.fill(bar.inset(2.5 * u)._replace(w=(bar.w - 5 * u) * share), theme.PENCIL)
        said = f"{100.0 * share:.0f} %"
        canvas.text(
            (row.right, row.centre[1] - canvas.measure("x", NUMBER)[1] / 2), said, NUMBER, "right"
        )

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the ways on; return what is left above them."""
        u, h, gap = ui.unit, ui.row_height, 8 * ui.unit
        ways = (("pause", "To the drills"), ("again", "The same again"), ("keys", "Keys"))
        widths = [act_width(ui, name, words) for name, words in ways]
        tall = flow_height(rect, widths, h, gap)
        places = flowed(Rect(rect.x, rect.bottom - tall, rect.w, 0), widths, h, gap)
        home, again, keys = (
            ui.act(name, place, words) for (name, words), place in zip(ways, places, strict=True)
        )
        if home:
            self.home()
        elif again:
            self.again()
        elif keys:
            app.go(Keys(self))
        return rect.top(rect.h - tall - GAP_UNITS * u)
