"""The display on the desk: its pages, the lines picked for a trace, and the motor test's slip."""

from typing import ClassVar

from sim.aircraft.fields import PLACES
from sim.bench.inputs import ALL, Output, Slider
from sim.window.canvas import Rect, paragraph
from sim.window.layout import cells
from sim.window.pictures.display import CORNERS, MOST_TRACES, draw_display, strips
from sim.window.practice import Practice
from sim.window.screens.lines import WAYS_GAP_UNITS
from sim.window.screens.slips import laid
from sim.window.screens.workplace import Workplace
from sim.window.theme import NUMBER, SMALL
from sim.window.ui import Ui

SHOWN = "shown"  # list of what can be picked on the display
SNAPS = {"pageup": 0.8, "pagedown": 0.1}  # of command; trade experience: up and down in a snap
MOST_COMMAND, COMMAND_STEP = 0.8, 0.01  # of command; own: as far as a check goes, by hundredths


class Instruments:
    """The display, which remembers what is traced."""

    def __init__(self) -> None:
        self.traced = ["roll_deg", "pitch_deg"]
        self.page = 0
        self.pages = 1
        self._papers = strips()

    def show(self, ui: Ui, practice: Practice, rect: Rect) -> None:
        """Draw the display; a line pressed is traced, or no more."""
        drawn = draw_display(
            ui.canvas, rect, practice.view, practice.shown, self.traced, self._papers, self.page
        )
        self.pages = drawn.pages
        display = practice.view.display
        if display is None:
            return
        spots = [(line.words, line.said(display), place) for line, place in drawn.lines]
        at = ui.spots(SHOWN, spots)
        if at is not None:
            self.trace(drawn.lines[at][0].field)

    def trace(self, field: str) -> None:
        """Trace a line, or no more; the one traced longest makes room."""
        if field in self.traced:
            self.traced.remove(field)
        else:
            self.traced = [*self.traced, field][-MOST_TRACES:]

    def ways(self, ui: Ui, rect: Rect, testable: bool) -> bool:
        """Draw the acts of the display; tell whether the motor test is asked for."""
        u = ui.unit
        page, lines, motor, _ = cells(rect, 4, 2, 5 * u, WAYS_GAP_UNITS * u)
        at, of = self.page % self.pages + 1, self.pages
        if ui.act("turn-page", page, f"Page {at} of {of}", of > 1, short=f"{at}/{of}"):
            self.page = (self.page + 1) % self.pages
        if ui.act("lines", lines, "Trace a line", short="Line"):
            ui.focus = f"{SHOWN}:0"
        return ui.act("motor-test", motor, "Motor test", testable, short="Test")


class MotorSlip:
    """The motor test: which output, and how far its slider is pushed."""

    act: ClassVar = "motor-test"
    first: ClassVar = "motor-output"

    def __init__(self) -> None:
        self.output: Output = PLACES[0]
        self.command = 0.0
        self._driven = False  # since the output was chosen: let go, it coasts

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw output and slider; whatever is set drives it from now on."""
        u = ui.unit
        at, back = laid(ui, desk, rect, "Motor test")
        words = (
            "Caution: propellers off, count them. Hair, sleeves and lanyards away from the bells. "
            "The slider drives one output of the controller, or all four; look which corner turns, and "
            "which way. PgUp and PgDn snap it."
        )
        at = at.below(paragraph(ui.canvas, at, words, SMALL) + 8 * u)
        told = [CORNERS[place] for place in PLACES] + ["all four"]
        outputs: tuple[Output, ...] = (*PLACES, ALL)
        now = told[outputs.index(self.output)]
        place = at.top(ui.row_height)
        output = ui.choice("motor-output", place, "Output", tuple(told), now)
        if output != now:
            self.output, self.command = outputs[told.index(output)], 0.0
            self._driven = False
        at = at.below(ui.row_height + 8 * u)
        number_w = ui.canvas.measure("100 %", NUMBER)[0] + 8 * u
        bar = at.top(ui.row_height)._replace(w=at.w - number_w)
        if ui.focus == "motor-command":
            snap = [c for key, c in SNAPS.items() if ui.inputs.take(key)]
            self.command = snap[-1] if snap else self.command
        self.command = round(
            ui.slider(
                "motor-command", bar, "Command", self.command, 0.0, MOST_COMMAND, COMMAND_STEP
            ),
            2,
        )
        said = f"{100 * self.command:.0f} %"
        ui.canvas.text((at.right, bar.y + 4 * u), said, NUMBER, "right")
        self._driven |= self.command > 0.0
        desk.practice.motor = Slider(self.output, self.command) if self._driven else None
        if back:
            desk.practice.motor = None
            desk.close_slip(ui)
