"""The desk: the aircraft in view, the transmitter, the sheet of the last reading, the folder.

Everything before the motors are armed happens here, at the bench and on the pad; armed on the pad,
the flight screen takes over.
"""

from collections.abc import Callable

from sim.bench.reading import Reading
from sim.procedure.cards import in_hand
from sim.session import actions as act
from sim.session.view import Visible
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Canvas, Rect
from sim.window.controls import HELD
from sim.window.evidence import Picked
from sim.window.layout import Cut, cells
from sim.window.padwords import told, told_at_a_check
from sim.window.pictures import paper
from sim.window.pictures.sticks import transmitter
from sim.window.practice import Practice
from sim.window.said import Said
from sim.window.screens.byhand import sticks_hint, strip, strip_height
from sim.window.screens.flight import Flight
from sim.window.screens.hand import Hand
from sim.window.screens.instruments import Instruments, MotorSlip
from sim.window.screens.keys import Keys
from sim.window.screens.lines import WAYS_GAP_UNITS, Lines
from sim.window.screens.pages import PAGES
from sim.window.screens.pages.card import CardPage
from sim.window.screens.pages.helper import HelperPage, heard, pointed
from sim.window.screens.pages.setup import SetupPage
from sim.window.screens.panels import (
    clock_keys,
    draw_state,
    note,
    picture_of,
    shown_sticks,
)
from sim.window.screens.paper import LARGE_TEXT
from sim.window.screens.propellers import PropellersSlip
from sim.window.screens.slips import SLIPS, SquawkSlip
from sim.window.screens.workplace import Page, Pauses, Slip
from sim.window.theme import BODY
from sim.window.ui import Ui
from sim.window.values import Units

PAPER_UNITS = 410.0  # units; own: width of the folder at 100 % text
LOWER_UNITS = 280.0  # units; own: height of transmitter and reading
SCENE_UNITS = 240.0  # units; own: a picture this high holds state and note
PANEL = "stick-panel"  # what the keys act on while the sticks are taken up
STICKS_UNITS = 236.0  # units; own: width of the transmitter

HANDWORK = (
    "pack",
    "propellers",
    "transmitter",
    "carry",
    "hand",
    "mode",
    "sticks",
    "instruments",
    "arm",
    "squawk",
    "word",
    "finish",
)

LAID: tuple[type[Slip], ...] = (*SLIPS, PropellersSlip)

Debriefs = Callable[[App, Practice], None]  # shows what came of a drill that is over or failed


class Desk:
    """The screen of everything that is done by hand."""

    def __init__(self, app: App, practice: Practice, debrief: Debriefs, pause: Pauses) -> None:
        self.app = app
        self.debrief, self.pause = debrief, pause
        self.practice = practice
        self.card = CardPage(in_hand(bool(practice.scenario.blank), hopped=False))
        self.pages: dict[str, Page] = {
            kind.act: self.card if kind is CardPage else kind()
            for kind in PAGES
            if kind is not HelperPage or practice.scenario.helping != "none"
        }
        self.page = self.card.act
        self.slip: Slip | None = None
        self.hand = Hand()
        self.lines = Lines()
        self.instruments = Instruments()
        self.in_front = "reading"  # or the display
        self.said = ""
        self.refused = False
        self.units: Units = "metric"
        self.later = ""  # an act asked for while the rotors ran down
        self._recalled = False

    # --- doing -----------------------------------------------------------------------------------

    def ask(self, action: act.Action) -> bool:
        """Ask for something to be done; tell whether it was begun."""
        return self.app.ask(action)

    def hear(self, said: Said) -> None:
        """Take in what came back."""
        self.said, self.refused = said.told, said.refused
        if isinstance(
            said.action, act.Carry | act.FitProps | act.FitProp | act.RemoveProps | act.RemoveProp
        ):
            self.hand.rest()
        if isinstance(said.action, act.Begin) and not said.refused:
            self.in_front = "display"
        if said.reading is not None:
            self.lay(said.reading)
            self.said = f"{self.said} {pointed(self, said.reading)}".strip()

    @property
    def reading(self) -> Reading | None:
        """Return the reading that lies on top."""
        return self.lines.reading

    def lay(self, reading: Reading) -> None:
        """Lay a reading's sheet on top."""
        self.lines.lay(reading)
        self.in_front = "reading"

    @property
    def picked(self) -> Picked | None:
        """Return the line the squawk in hand rests on."""
        return self.slip.picked if isinstance(self.slip, SquawkSlip) else None

    def rest_on(self, ui: Ui, picked: Picked) -> None:
        """Rest a squawk on a line: the one in hand, or a new one."""
        if self.slip is None:
            self.open_slip(ui, SquawkSlip(picked))
        elif isinstance(self.slip, SquawkSlip):
            self.slip.picked, ui.focus = picked, self.slip.due

    def open_slip(self, ui: Ui, slip: Slip) -> None:
        """Lay a slip over the folder."""
        self.slip, ui.focus = slip, slip.first

    def close_slip(self, ui: Ui) -> None:
        """Take the slip away and go back to the page below it."""
        self.practice.motor = None
        self.slip, ui.focus = None, self.pages[self.page].first

    # --- the frame -------------------------------------------------------------------------------

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the desk and do what was asked."""
        self.units = app.settings.units
        ui.by_pad = False
        said = self.practice.poll()
        if said is not None:
            self.hear(said)
        canvas, u = ui.canvas, ui.unit
        if self.practice.failed:
            self.debrief(app, self.practice)
            return
        if not self.practice.ready:
            canvas.fill(area, theme.BENCH)
            wait(canvas, area, self.practice.busy + " …")
            return
        if not self._recalled:
            self._recall()
        if self._elsewhere(app):
            return
        if self.later:
            self._do(ui, self.later)
            self.later = ""
        grown = canvas.text_scale
        paper_w = min(area.w * 0.5, PAPER_UNITS * u * (1.0 + 0.55 * (grown - 1.0)))
        parts = Cut(area, u)
        folder = parts.right(paper_w)
        lower = parts.bottom(LOWER_UNITS * u * (1.0 + 0.15 * (grown - 1.0)))
        rows = -(-len(HANDWORK) // across(grown))
        handwork = parts.bottom(rows * (ui.row_height + 4 * u) + 6 * u)
        self._at_hand(ui, app)
        doing = None if self.practice.view.doing is None else parts.bottom(strip_height(ui))
        scene = parts.rest
        canvas.fill(folder, theme.BENCH)
        canvas.fill(area.below(scene.h)._replace(w=scene.w), theme.BENCH)
        if doing is not None:
            strip(ui, self, doing)
        self._scene(ui, app, scene, dt_s)
        if self.slip is not None:
            self.slip.show(ui, self, folder.inset(10 * u))
        else:
            self._folder(ui, folder)
        self._handwork(ui, handwork.inset(8 * u, 4 * u))
        self._lower(ui, app, lower.inset(8 * u))
        clock_keys(ui, self.practice)
        if ui.struck("pause") or (app.pad is not None and "pause" in app.pad.went_on):
            self.pause(app, self)
        if ui.struck("keys"):
            app.go(Keys(self))

    def _at_hand(self, ui: Ui, app: App) -> None:
        """Give the keys of the sticks to the sticks, or to the hands on the aircraft."""
        held = not ui.typing and ui.keys.key("hands-on") in ui.inputs.held
        app.at_sticks = ui.focus == PANEL or held
        ui.flight(app.at_sticks)
        if app.at_sticks:
            keys = {ui.keys.key(name) for name in HELD}
            ui.inputs.strokes = [s for s in ui.inputs.strokes if s.key not in keys]
        if ui.struck("stop-switch"):
            self.practice.stop = not self.practice.stop
        if app.pad is not None and "check" in app.pad.went_on:
            self.card.next_step(self)

    def _recall(self) -> None:
        """Lay everything out as it was, if the attempt was begun before."""
        self._recalled = True
        for _, said in self.practice.log:
            self.card.recall(said)
            self.hear(said)

    def _elsewhere(self, app: App) -> bool:
        """Go to the flight while time passes, to the debrief once it is over."""
        practice = self.practice
        if practice.busy:
            return False
        if practice.card is not None:
            self.debrief(app, practice)
            return True
        if practice.flying:
            app.at_sticks = True
            app.go(Flight(self))
            return True
        return False

    def _scene(self, ui: Ui, app: App, rect: Rect, dt_s: float) -> None:
        canvas, u = ui.canvas, ui.unit
        self.hand.show(ui, self, rect, dt_s)
        slip, view = self.slip, self.practice.view
        held = slip.in_hand(view) if isinstance(slip, PropellersSlip) else None
        picture_of(canvas, app, self.practice, rect, self.hand.drawn, offered=held)
        ui.ring("craft", rect.inset(6 * u))
        words, cautions = self._note(ui, app)
        if not words or rect.h > SCENE_UNITS * u:  # where there is room for both
            draw_state(canvas, rect, self.practice)
        if words:
            note(canvas, rect, words, cautions)

    def _note(self, ui: Ui, app: App) -> tuple[str, bool]:
        """Return what is noted on the picture, the most pressing first, and whether it cautions."""
        if self.practice.busy:
            return self.practice.busy + " …", False
        if app.notice:
            return app.notice, True
        if ui.focus == PANEL:
            return (sticks_hint(ui.keys) if app.device is None else told(app.device)), False
        turns = self.hand.hint(ui.keys, self.practice.view) if ui.focus == "craft" else ""
        if turns:
            return turns, False
        sound = self.lines.sound(ui, self)
        if sound:
            return sound, False
        full = ui.canvas.text_scale > LARGE_TEXT  # more would not stand on the picture
        if self.refused or full or app.device is None or self.practice.view.doing is None:
            return self.said, self.refused
        on_the_pad = self.practice.view.conduct.place == "pad"
        return f"{self.said} {told_at_a_check(app.device, on_the_pad)}", False

    def _handwork(self, ui: Ui, rect: Rect) -> None:
        view, u = self.practice.view, ui.unit
        c = view.conduct
        words = {
            "pack": ("Unplug the pack", "Unplug")
            if c.pack_plugged
            else ("Plug the pack in", "Plug in"),
            "propellers": ("Propellers off", "Prop. off")
            if all_on(c)
            else ("Propellers on", "Prop. on"),
            "transmitter": ("Transmitter off", "Trans off")
            if c.transmitter_on
            else ("Transmitter on", "Trans on"),
            "carry": ("Carry it", "Carry"),
            "hand": ("In hand", "Hand"),
            "mode": ("To rate", "Rate") if c.self_level else ("To self-level", "Level"),
            "sticks": ("Sticks down", "Put down")
            if ui.focus == PANEL
            else ("Take the sticks", "Sticks"),
            "instruments": ("Reading", "Reading")
            if self.in_front == "display"
            else ("Display", "Display"),
            "arm": ("Arm", "Arm"),
            "squawk": ("Squawk", "Squawk"),
            "word": ("Last word", "Word"),
            "finish": ("Finish", "Finish"),
        }
        places = cells(rect, len(HANDWORK), across(ui.canvas.text_scale), 6 * u, 5 * u)
        for name, cell in zip(HANDWORK, places, strict=True):
            long, short = words[name]
            if name == "arm" and view.armed:
                if ui.act("cut", cell, "Disarm"):
                    self.ask(act.Disarm())
            elif ui.act(name, cell, long, self.slip is None, short=short):
                self._do(ui, name)

    def _do(self, ui: Ui, name: str) -> None:
        c = self.practice.view.conduct
        plain: dict[str, act.Action] = {
            "pack": act.UnplugPack() if c.pack_plugged else act.PlugPack(),
            "transmitter": act.SwitchTransmitter(on=not c.transmitter_on),
            "mode": act.SetMode(self_level=not c.self_level),
            "arm": act.Arm(),
        }
        if all_on(c):
            plain["propellers"] = act.RemoveProps()
        laid_by = {slip.act: slip for slip in LAID}
        if name in plain:
            self.ask(plain[name])
        elif name == SquawkSlip.act:
            self.open_slip(ui, SquawkSlip(self.lines.held(ui)))
        elif name in laid_by:
            self.open_slip(ui, laid_by[name]())
        elif name == "hand":
            ui.focus = "craft"
        elif name == "sticks":
            ui.focus = self.pages[self.page].first if ui.focus == PANEL else PANEL
            self.in_front = "display" if ui.focus == PANEL else self.in_front
        elif name == "instruments":
            self.in_front = "reading" if self.in_front == "display" else "display"

    def _folder(self, ui: Ui, rect: Rect) -> None:
        u = ui.unit
        columns = 3
        rows = -(-len(self.pages) // columns)
        parts = Cut(rect, u)
        tabs = parts.top(rows * ui.row_height + 8 * u).inset(4 * u, 3 * u)
        places = cells(tabs, len(self.pages), columns, 3 * u, 2 * u)
        for (name, page), cell in zip(self.pages.items(), places, strict=True):
            cap = ui.keys.cap(name)
            if ui.tab(name, cell, page.words, cap, name == self.page) or ui.struck(name):
                self._turn(ui, name)
        if heard(ui, self):
            self._turn(ui, HelperPage.act)
        sheet = Rect(
            rect.x + 4 * u, tabs.bottom, rect.w - 10 * u, rect.bottom - tabs.bottom - 6 * u
        )
        paper.sheet(ui.canvas, sheet)
        self.pages[self.page].show(ui, self, sheet.inset(14 * u, 10 * u))

    def _turn(self, ui: Ui, name: str) -> None:
        """Turn to a page of the folder."""
        page, newly = self.pages[name], name != self.page
        self.page, ui.focus = name, page.first
        if newly and isinstance(page, SetupPage):
            page.opened(self)

    def _lower(self, ui: Ui, app: App, rect: Rect) -> None:
        canvas, u = ui.canvas, ui.unit
        parts = Cut(rect, u)
        side = Cut(parts.left(STICKS_UNITS * u, 10), u)
        ways = side.bottom(2 * ui.row_height + WAYS_GAP_UNITS * u, 6)
        ui.hand(PANEL, side.rest, "The transmitter's sticks")
        transmitter(canvas, side.rest, shown_sticks(app, self.practice))
        ui.ring(PANEL, side.rest)
        if self.in_front == "display":
            testable = self.slip is None and self.practice.view.display is not None
            if self.instruments.ways(ui, ways, testable):
                self.open_slip(ui, MotorSlip())
            self.instruments.show(ui, self.practice, parts.rest)
            return
        held = self.picked or self.lines.held(ui)
        check = held.check if held is not None else self.lines.check
        notable = self.card.asks_for(check)
        if self.lines.ways(ui, ways, notable) and check is not None:
            self.page = self.card.act
            self.card.mark(self, check, held and held.line)
            if self.slip is not None:
                self.close_slip(ui)
        picked = self.lines.show(ui, self, parts.rest, self.picked)
        if picked is not None:
            self.rest_on(ui, picked)


def all_on(conduct: Visible) -> bool:
    """Tell whether all four propellers are on."""
    return conduct.props_fitted and not conduct.bare


def across(text_scale: float) -> int:
    """Return how many hand-work buttons stand in a row, so that their words fit."""
    return 6 if text_scale < 1.3 else 4 if text_scale < 1.8 else 3


def wait(canvas: Canvas, area: Rect, words: str) -> None:
    """Say that something is being got ready."""
    w, h = canvas.measure(words, BODY)
    canvas.text((area.centre[0] - w / 2, area.centre[1] - h / 2), words, BODY.on(theme.CHALK))
