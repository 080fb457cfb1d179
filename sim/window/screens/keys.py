"""All keys on one sheet; each can be given another."""

from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.inputs import Stroke
from sim.window.keys import ACTS, BY_NAME, Act, When, cap_of
from sim.window.layout import line_in
from sim.window.screens.paper import (
    Roll,
    foot,
    headed,
    leading_out,
    lower,
    taped,
    wood,
)
from sim.window.theme import BODY, HEAD, KEY, NOTE, SMALL
from sim.window.ui import Ui

GROUPS: tuple[tuple[When, str], ...] = (
    ("always", "At any time"),
    ("bench", "At the bench and on the pad"),
    ("menu", "On all other sheets"),
    ("flight", "Armed: the sticks"),
)
BARE = frozenset({"shift", "ctrl"})  # go with other keys
FIRST = "Back to the first keys"
SURE = "Really? All of them"
WHICH = "which?"


def taken(act: Act, strokes: list[Stroke]) -> str | None:
    """Return the key an act is to get from what was struck, or None if that was none.

    A key that is held down is watched by its plain name, so shift and the like don't count there.
    """
    for stroke in strokes:
        if act.held:
            return stroke.key
        if stroke.key not in BARE:
            return stroke.name
    return None


class Keys:
    """The sheet of keys; `back` is shown when it is left."""

    def __init__(self, back: Screen) -> None:
        self.back = back
        self.waits: str | None = None
        self.said = ""
        self._sure = False
        self._clashed = False
        self._roll = Roll()

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the sheet; take the new key if one is waited for."""
        canvas = ui.canvas
        if self.waits is not None:
            self._listen(ui, app, self.waits)
        notice = self._words(ui) or app.notice
        sheet, low = wood(ui, area, notice)
        rest = headed(canvas, taped(canvas, sheet), "Keys")
        rest = self._buttons(ui, app, rest)
        self._roll.show(ui, "keys-roll", rest, "Keys", lambda r: self._groups(ui, r), read=False)
        lower(ui, low, notice, leading_out(ui), caution=self._clashed or not self._words(ui))
        ui.typing = ui.typing or self.waits is not None

    def _words(self, ui: Ui) -> str:
        if self.waits is None:
            return self.said
        act = BY_NAME[self.waits]
        return f"{self.said} Strike the key for: {act.words}. Enter leaves it as it is.".strip()

    def _listen(self, ui: Ui, app: App, name: str) -> None:
        """Give an act the key that was struck, unless that clashes."""
        strokes = ui.inputs.strokes
        ui.inputs.strokes = []
        if any(stroke.key == "return" for stroke in strokes):
            self.waits, self.said, self._clashed = None, "", False
            return
        key = taken(BY_NAME[name], strokes)
        if key is None:
            ui.typing = True
            return
        trouble = ui.keys.clash(name, key)
        if trouble is not None:
            self.said, self._clashed = trouble, True
            return
        app.change(keys=ui.keys.with_key(name, key).changed)
        self._clashed = False
        self.waits, self.said = None, f"{BY_NAME[name].words}: {ui.keys.cap(name)}."

    def _buttons(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the lower buttons; return what is left above them."""
        free = self.waits is None
        words = SURE if self._sure else FIRST
        changed = bool(app.settings.keys)
        ways = (("pause", "Back", free), ("first-keys", words, changed and free))
        above, pressed = foot(ui, rect, ways)
        if pressed == "first-keys":
            if self._sure:
                app.change(keys={})
                self.said = "All keys are the first ones again."
            self._sure = not self._sure
        elif pressed == "pause":
            app.go(self.back)
        return above

    def _groups(self, ui: Ui, sheet: Rect) -> float:
        canvas, gap = ui.canvas, 26 * ui.unit
        widest = max(_row_width(ui, act) for act in ACTS)
        columns = next((n for n in (3, 2) if n * widest + (n - 1) * gap <= sheet.w), 1)
        ends = [sheet.y] * columns
        for when, words in GROUPS:
            at = ends.index(min(ends))
            column = sheet.column(at, columns, gap)
            y = ends[at]
            canvas.text((column.x, y), words, HEAD)
            y += canvas.measure("x", HEAD)[1] + 4 * ui.unit
            for act in (a for a in ACTS if a.when == when):
                self._row(ui, Rect(column.x, y, column.w, ui.row_height), act)
                y += ui.row_height
            ends[at] = y + 12 * ui.unit
        return max(ends) - sheet.y

    def _row(self, ui: Ui, rect: Rect, act: Act) -> None:
        canvas, u = ui.canvas, ui.unit
        waits = self.waits == act.name
        if ui.blank_row(f"key-{act.name}", rect, act.words, ui.keys.cap(act.name), waits):
            self.waits, self.said, self._sure = act.name, "", False
        line_in(canvas, rect, act.words, BODY, pad=6)
        if waits:
            line_in(canvas, rect, WHICH, NOTE, "right", pad=8)
            return
        x = ui.keycap(rect.right - 8 * u, rect.centre[1], ui.keys.cap(act.name))
        line_in(canvas, rect._replace(w=x - rect.x), _before(ui, act), SMALL, "right", pad=4)


def _before(ui: Ui, act: Act) -> str:
    """Return what a changed key was at first."""
    return "" if ui.keys.key(act.name) == act.key else f"first {cap_of(act.key)}"


def _row_width(ui: Ui, act: Act) -> float:
    canvas = ui.canvas
    cap = canvas.measure(ui.keys.cap(act.name), KEY)[0] + canvas.measure(_before(ui, act), SMALL)[0]
    return (
        canvas.measure(act.words, BODY)[0] + max(cap, canvas.measure(WHICH, NOTE)[0]) + 48 * ui.unit
    )
