"""The settings, kept as soon as they are changed."""

from collections.abc import Callable, Mapping
from typing import Any

from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.layout import Cut, line_in
from sim.window.pictures.sticks import Hand, stick
from sim.window.screens.keys import Keys
from sim.window.screens.mapping import PadSheet
from sim.window.screens.paper import (
    GAP_UNITS,
    Column,
    Roll,
    foot,
    headed,
    leading_out,
    lower,
    taped,
    wood,
)
from sim.window.screens.walk import Walk
from sim.window.sticks.modes import MODES
from sim.window.theme import BENCH, BODY, NOTE, SCALES, SMALL
from sim.window.ui import Ui

SHEET_UNITS = 1080.0  # units; own: width of the sheet at 100 % text
LABEL_SHARE = 0.46  # of a row; own: its words, before what can be changed
SKETCH_SHARE = 0.4  # of the sheet's width; own: the sketch of the sticks
VOLUME_STEP = 0.1  # 1; own
SIZES = tuple(f"{scale:.0%}".replace("%", " %") for scale in SCALES)
STICK_MODES = tuple(str(mode) for mode in MODES)
UNITS = {"metric": "metres, grams", "imperial": "feet, ounces"}
SCREENS = {False: "a window", True: "the whole screen"}
PACES: dict[int, str] = {30: "30 a second", 60: "60 a second"}


class SettingsSheet:
    """The sheet of settings; `back` is shown when it is left."""

    def __init__(self, back: Screen) -> None:
        self.back = back
        self._roll = Roll()

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the sheet; keep what was changed."""
        canvas, u = ui.canvas, ui.unit
        place, low = wood(ui, area, app.notice)
        more = ui.row_height + GAP_UNITS * u
        sheet = self._roll.sheet(canvas, place, SHEET_UNITS, more)
        rest = headed(canvas, taped(canvas, sheet), "Settings")
        rest = self._ways(ui, app, rest)
        self._roll.show(
            ui, "settings-roll", rest, "Settings", lambda r: self._sheet(ui, app, r, rest), False
        )
        lower(ui, low, app.notice, (*leading_out(ui), ("← →", "change")))

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the lower buttons; return what is left above them."""
        ways: dict[str, tuple[str, Callable[[], Screen]]] = {
            "pause": ("Back", lambda: self.back),
            "keys": ("Keys", lambda: Keys(self)),
            "gamepads": ("Gamepads and transmitters", lambda: PadSheet(self)),
            "walk": ("Walk round", lambda: Walk(self)),
        }
        above, pressed = foot(ui, rect, [(name, words, True) for name, (words, _) in ways.items()])
        if pressed:
            app.go(ways[pressed][1]())
        return above

    def _sheet(self, ui: Ui, app: App, sheet: Rect, seen: Rect) -> float:
        u = ui.unit
        beside = ui.canvas.text_scale <= 1.5
        rows = Column(ui.canvas, sheet)
        if beside:
            wide = sheet.w * SKETCH_SHARE
            rows = Column(ui.canvas, sheet._replace(w=sheet.w - wide - 30 * u))
            place = Rect(sheet.right - wide, seen.y, wide, min(seen.h, 330 * u))
            sticks_sketch(ui, place, app.settings.stick_mode)
        self._rows(ui, app, rows, beside)
        return rows.used

    def _rows(self, ui: Ui, app: App, rows: Column, beside: bool) -> None:
        kept = app.settings
        size = f"{kept.text_scale:.0%}".replace("%", " %")
        chosen = _choice(ui, rows, "text-scale", "Size of writing", SIZES, size)
        if chosen != size:
            app.change(text_scale=SCALES[SIZES.index(chosen)])
        mode = str(kept.stick_mode)
        chosen = _choice(ui, rows, "stick-mode", "Stick mode", STICK_MODES, mode)
        if chosen != mode:
            app.change(stick_mode=int(chosen))
            if app.devices is not None:
                app.devices.mode = int(chosen)
        if not beside:
            sticks_sketch(ui, rows.top(370 * ui.unit), kept.stick_mode)
        _one_of(ui, app, rows, "units", "Lengths and weights", UNITS)
        self._volume(ui, app, rows)
        _one_of(ui, app, rows, "full_screen", "Shown in", SCREENS)
        _one_of(ui, app, rows, "frames_per_s", "Pictures drawn", PACES)
        rows.gap(4)
        rows.small(f"Kept in {app.path}")
        if app.silent:
            rows.small(app.silent)

    def _volume(self, ui: Ui, app: App, rows: Column) -> None:
        words = "Sound" if app.settings.volume > 0.0 else "Sound (off)"
        place = _labelled(ui, rows, words)
        volume = ui.slider("volume", place, "Sound", app.settings.volume, 0.0, 1.0, VOLUME_STEP)
        if abs(volume - app.settings.volume) > 1e-9:
            app.change(volume=round(volume, 2))


def _labelled(ui: Ui, rows: Column, words: str) -> Rect:
    """Write the words of a row; return where what can be changed goes."""
    row = Cut(rows.top(ui.row_height, 8), ui.unit)
    line_in(ui.canvas, row.left(row.rest.w * LABEL_SHARE), words, BODY)
    return row.rest


def _choice(
    ui: Ui, rows: Column, id_: str, words: str, options: tuple[str, ...], value: str
) -> str:
    return ui.choice(id_, _labelled(ui, rows, words), words, options, value)


def _one_of(
    ui: Ui, app: App, rows: Column, name: str, words: str, options: Mapping[Any, str]
) -> None:
    """Let one setting be chosen from a few; keep it if it was changed."""
    now = options[getattr(app.settings, name)]
    chosen = _choice(ui, rows, name, words, tuple(options.values()), now)
    if chosen != now:
        app.change(**{name: next(value for value, said in options.items() if said == chosen)})


def sticks_sketch(ui: Ui, rect: Rect, mode: int) -> None:
    """Draw both sticks with what each way does in a stick mode."""
    canvas, u = ui.canvas, ui.unit
    layout = MODES[mode]
    words = f"Mode {mode}: what each stick does"
    column = Column(canvas, rect)
    column.write(words, NOTE, 4)
    tall = min(column.rest.h * 0.7, 170 * u * (0.4 + 0.6 * canvas.text_scale))
    box = column.top(tall, 6)
    canvas.fill(box, BENCH, 8 * u)
    left = Hand(0.0, 0.0, layout.left_x, layout.left_y)
    right = Hand(0.0, 0.0, layout.right_x, layout.right_y)
    for i, hand in enumerate((left, right)):
        stick(canvas, box.inset(8 * u).column(i, 2, 10 * u), hand)
    column.write("Roll and pitch lean the aircraft, yaw turns its nose.", SMALL, 2)
