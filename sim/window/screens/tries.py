"""What can be tried on the sheets of the walk round, with the real widgets and made-up things."""

from sim.window import theme
from sim.window.action_words import SURE
from sim.window.app import App
from sim.window.canvas import Canvas, Rect
from sim.window.controls import HELD, held_acts
from sim.window.layout import Cut, line_in
from sim.window.pictures import pencil
from sim.window.screens.padparts import drawn_sticks
from sim.window.screens.paper import Column, act_width, labelled, written
from sim.window.screens.sketches import ground
from sim.window.sticks.keysticks import KeySticks
from sim.window.sticks.positions import SAFE, Positions
from sim.window.theme import BODY, NOTE, NUMBER
from sim.window.ui import Ui

VIEWS_UNITS, STICKS_UNITS = 330.0, 380.0  # units; own: most height at 100 % text
LEAN_DEG = 15.0  # deg; own: for each stroke
MOST_LEAN_DEG = 90.0  # deg; own
TURN_1_S = 1.4  # turns/s; own: slow enough to be seen on a picture
CELLS_V = (4.18, 4.17, 3.71)  # V; own: a made-up pack, one cell lower
FULL_V, EMPTY_V = 4.2, 3.2  # V; own: ends of the drawn bars
LINES = ("cell 3, read as 3.71 V", "your goggles on, read as no", "nothing")
ITEMS = ("the pack", "a propeller", "the compass")
CAUSES = ("one cell is weak", "it is the wrong way round", "steel is near it")


def tried(ui: Ui, row: Rect, words: str) -> bool:
    """Draw the strip of tape of what can be tried; tell whether it was pressed."""
    return ui.act("try-it", row._replace(w=min(row.w, act_width(ui, "try-it", words))), words)


class PressTry:
    """A few things to press."""

    first: str | None = "try:0"
    things = ("The drawer with the screws", "The box of propellers", "The bag with the packs")

    def __init__(self) -> None:
        self.said = "Nothing pressed yet."
        self.times = 0

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw a list and a strip of tape; tell what was pressed."""
        column = Column(ui.canvas, ground(ui.canvas, rect))
        place = column.top(len(self.things) * ui.row_height + 2 * ui.unit, 12)
        for i, row in ui.scroll("try", place, len(self.things)):
            if ui.row(f"try:{i}", row, self.things[i]):
                self._note(self.things[i])
        words = "Press this strip of tape"
        strip = column.top(ui.row_height, 14)
        if tried(ui, strip, words):
            self._note("The strip of tape")
        column.write(self.said, NOTE)

    def _note(self, what: str) -> None:
        self.times += 1
        self.said = f"{what}. That makes {self.times}."


class HandTry:
    """A small aircraft to lean by the arrow keys, seen from behind and from its left."""

    first: str | None = "try-hand"

    def __init__(self) -> None:
        self.roll_deg = self.pitch_deg = 0.0

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw both views; take the arrow keys."""
        canvas = ui.canvas
        rect = rect.top(VIEWS_UNITS * ui.unit * canvas.text_scale)
        inner = ground(canvas, rect)
        if ui.hand("try-hand", rect, "The aircraft in the hands"):
            self._keys(ui)
        ui.ring("try-hand", rect)
        h = canvas.measure("x", NOTE)[1]
        views = (
            ("from behind", "roll", self.roll_deg, False),
            ("from its right", "pitch", self.pitch_deg, True),
        )
        for i, (words, axis, angle, side) in enumerate(views):
            cell = inner.column(i, 2, 12 * ui.unit)
            size = min(0.8 * cell.w, cell.h - 3 * h)
            centre = (cell.centre[0], cell.y + (cell.h - 2 * h) / 2)
            pencil.profile(canvas, centre, size, -angle if side else angle, side)
            canvas.text((cell.centre[0], cell.bottom - 2 * h), words, NOTE, "middle")
            said = f"{axis} {angle:+.0f}°" if angle else f"{axis} 0°"
            canvas.text((cell.centre[0], cell.bottom - h), said, NUMBER, "middle")

    def _keys(self, ui: Ui) -> None:
        take = ui.inputs.take
        self.roll_deg += LEAN_DEG * (take("right") - take("left"))
        self.pitch_deg += LEAN_DEG * (take("down") - take("up"))
        if take("home"):
            self.roll_deg = self.pitch_deg = 0.0
        self.roll_deg = max(-MOST_LEAN_DEG, min(MOST_LEAN_DEG, self.roll_deg))
        self.pitch_deg = max(-MOST_LEAN_DEG, min(MOST_LEAN_DEG, self.pitch_deg))


class CheckTry:
    """A made-up check: three cells measured, and a line to write what was seen."""

    first: str | None = "try-it"

    def __init__(self) -> None:
        self.measured = False
        self.noted = ""

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the check, what it showed, and the line."""
        canvas = ui.canvas
        column = Column(canvas, ground(canvas, rect))
        words = "Measure the pack's cells"
        strip = column.top(ui.row_height, 12)
        if tried(ui, strip, words):
            self.measured = True
        if not self.measured:
            return
        for i, volts in enumerate(CELLS_V):
            _cell(canvas, column.top(max(ui.row_height * 0.9, 22 * ui.unit), 2), i, volts)
        column.gap(8)
        column.write("What did you see?", BODY, 2)
        line = column.top(ui.row_height, 8)
        note = written(ui, "try-note", line, self.noted, "write it here", "What you saw")
        if note is not None:
            self.noted = note
        if self.noted:
            column.small("Noted. Whether that is right is for you to find out.")


def _cell(canvas: Canvas, rect: Rect, i: int, volts: float) -> None:
    u = canvas.scale
    line_in(canvas, rect, f"{volts:.2f} V", NUMBER, "right")
    parts = Cut(labelled(canvas, rect, f"cell {i + 1}", "cell 0 ", 0.0), u)
    parts.right(canvas.measure(" 0.00 V", NUMBER)[0], 10)
    bar = parts.rest._replace(y=rect.centre[1] - 7 * u, h=14 * u)
    canvas.frame(bar, theme.INK_SOFT, 1.5 * u)
    share = (volts - EMPTY_V) / (FULL_V - EMPTY_V)
    canvas.fill(bar.inset(2.5 * u)._replace(w=(bar.w - 5 * u) * share), theme.PENCIL)


class SquawkTry:
    """A squawk to put together and write."""

    first: str | None = "try-line"

    def __init__(self) -> None:
        self.line, self.item, self.cause, self.sure = LINES[0], ITEMS[0], CAUSES[0], SURE[1]
        self.sheet: list[str] = []

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the four choices and what was written."""
        canvas = ui.canvas
        column = Column(canvas, ground(canvas, rect))
        self.line = self._choice(ui, column, "try-line", "Rests on", LINES, self.line)
        self.item = self._choice(ui, column, "try-item", "Item", ITEMS, self.item)
        self.cause = self._choice(ui, column, "try-cause", "Cause", CAUSES, self.cause)
        self.sure = self._choice(ui, column, "try-sure", "Sure", SURE, self.sure)
        words = "Write it"
        strip = column.top(ui.row_height, 10)
        if tried(ui, strip, words):
            self.sheet = [
                *self.sheet[-1:],
                f"{self.item}: {self.cause} ({self.sure}), on {self.line}",
            ]
        for line in self.sheet:
            column.write(line, NOTE, 2)

    def _choice(
        self, ui: Ui, column: Column, id_: str, words: str, options: tuple[str, ...], value: str
    ) -> str:
        place = labelled(ui.canvas, column.top(ui.row_height, 6), words, "Rests on")
        return ui.choice(id_, place, words, options, value)


class SticksTry:
    """The sticks moved by the keys."""

    first: str | None = "try-sticks"

    def __init__(self) -> None:
        self.positions: Positions = SAFE
        self._keys = KeySticks()

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the sticks; move them while the ring is round them."""
        canvas, u = ui.canvas, ui.unit
        rect = rect.top(STICKS_UNITS * u * canvas.text_scale)
        held = ui.hand("try-sticks", rect, "The sticks")
        acts = held_acts(ui.keys, ui.inputs.held) if held else frozenset()
        self.positions = self._keys.step(acts, dt_s)
        arrows = ("left", "right", "up", "down")
        for key in (*arrows, *(ui.keys.key(name) for name in HELD)) if held else ():
            ui.inputs.take(key)
        told = (
            ("throttle", ("stick-up", "stick-down")),
            ("yaw", ("yaw-left", "yaw-right")),
            ("roll", ("roll-left", "roll-right")),
            ("pitch", ("nose-down", "nose-up")),
            ("firm", ("firm",)),
            ("throttle down", ("throttle-cut",)),
        )
        line = canvas.measure("x", BODY)[1] + 4 * u
        rows = -(-len(told) // 2)
        drawn_sticks(
            canvas, rect.top(rect.h - rows * line - 10 * u), app.settings.stick_mode, self.positions
        )
        ui.ring("try-sticks", rect)
        for i, (words, acts_of) in enumerate(told):
            cell = rect.column(i % 2, 2, 14 * u)
            y = rect.bottom - (rows - i // 2) * line
            canvas.text((cell.x + 6 * u, y), words, BODY)
            x = cell.right - 6 * u
            for name in reversed(acts_of):
                x = ui.keycap(x, y + line / 2 - 2 * u, ui.keys.cap(name), live=not ui.typing)


class StopTry:
    """A motor that turns until it is cut."""

    first: str | None = "try-it"

    def __init__(self) -> None:
        self.turns = True
        self.cuts = 0
        self._at = 0.1

    def show(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        """Draw the motor; stop it on the cut."""
        canvas, u = ui.canvas, ui.unit
        inner = ground(canvas, rect)
        parts = Cut(inner, u)
        words = ("Cut", "Let it turn again")
        again, cut = parts.bottom(ui.row_height, 6), parts.bottom(ui.row_height, 8)
        if ui.act("cut", cut._replace(w=act_width(ui, "cut", words[0]) * 1.2), words[0]):
            self.cuts += self.turns
            self.turns = False
        if tried(ui, again, words[1]):
            self.turns = True
        if self.turns:
            self._at = (self._at + TURN_1_S * min(dt_s, 0.1)) % 1.0
        self._motor(canvas, parts.rest)

    def _motor(self, canvas: Canvas, rect: Rect) -> None:
        u = canvas.scale
        h = canvas.measure("x", NOTE)[1]
        x, y = rect.centre[0], rect.y + (rect.h - h) / 2
        r = min(rect.w, rect.h - h) * 0.44
        canvas.disc((x, y), r, theme.INK_SOFT, 1.2 * u)
        for half in (0.0, 0.5):
            deg = 360.0 * (self._at + half)
            tip, side = pencil.at((x, y), r, deg), pencil.at((x, y), 0.55 * r, deg + 11)
            canvas.shape([(x, y), side, tip, pencil.at((x, y), 0.7 * r, deg - 3)], theme.INK_SOFT)
        canvas.disc((x, y), 0.1 * r, theme.INK)
        if self.turns:
            canvas.line(pencil.arc((x, y), 1.1 * r, -70.0, 50.0), theme.PENCIL, 2.5 * u)
            pencil.arrow_head(canvas, pencil.at((x, y), 1.1 * r, 57.0), 146.0, 14 * u, theme.PENCIL)
        words = "turning" if self.turns else f"stopped, {self.cuts} times now"
        words = "stopped, once now" if not self.turns and self.cuts == 1 else words
        canvas.text((x, rect.bottom - h), words, NOTE, "middle")
