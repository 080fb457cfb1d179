"""Calibrations step by step, and the set-up connection."""

from typing import ClassVar, get_args

from sim.bench.connection import By
from sim.session import actions as act
from sim.window.canvas import Rect
from sim.window.pictures.sphere import coverage, faces
from sim.window.screens.pages.lists import Marked, button, headed
from sim.window.screens.panels import directions
from sim.window.screens.workplace import Workplace
from sim.window.ui import Ui

RATES = get_args(act.Connect.model_fields["rate_bd"].annotation)
STEPS: tuple[tuple[act.Action, str], ...] = (
    (act.Calibrate(what="sticks"), "Sticks: ends, centres, trims"),
    (act.Calibrate(what="drives"), "Drives: ends of the throttle"),
    (act.Calibrate(what="voltage"), "Voltage: set it to the meter"),
    (act.Calibrate(what="level"), "Level: as it stands now"),
    (act.Calibrate(what="face-start"), "Six faces: begin"),
    (act.Calibrate(what="face-take"), "Six faces: take this one"),
    (act.Calibrate(what="face-finish"), "Six faces: work it out"),
    (act.Calibrate(what="compass-start"), "Compass: begin to collect"),
    (act.Calibrate(what="compass-finish"), "Compass: work it out"),
    (act.Cable(plugged=True), "Cable in"),
    (act.Cable(plugged=False), "Cable out"),
    (act.LoadSoftware(), "Load the software"),
    (act.Disconnect(), "Close the connection"),
)


class CalibratePage:
    """Calibrations, link and load."""

    act: ClassVar = "page-calibrate"
    words: ClassVar = "Adjust"
    first: ClassVar = "step:0"

    def __init__(self) -> None:
        self.by = "cable"
        self.rate = str(RATES[0])
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the steps, and the button that does the one marked."""
        u = ui.unit
        words = (
            "A click marks a step, Enter does it. Each says what it measured; turn the aircraft in your "
            "hands between the steps."
        )
        at = headed(ui, rect, "Adjust: calibrations and link", words)
        view = desk.practice.view
        if view.collecting or view.faces:
            h = min(150 * u, at.h * 0.35)
            shown = Rect(at.x, at.bottom - h, at.w, h)
            if view.collecting:
                coverage(ui.canvas, shown, directions(view.collected_ut))
            else:
                faces(ui.canvas, shown, set(view.faces))
            at = Rect(at.x, at.y, at.w, at.h - h - 6 * u)
        self._connect(ui, desk, Rect(at.x, at.bottom - 2 * ui.row_height, at.w, 2 * ui.row_height))
        listed = Rect(at.x, at.y, at.w, at.h - 2 * ui.row_height - 8 * u)
        here = self.marked.see(ui, "step", len(STEPS))
        listed, do_it = button(ui, listed, "Do the step marked")
        scroll = ui.scroll("step", listed, len(STEPS), names=[label for _, label in STEPS])
        for i, row in scroll:
            action, label = STEPS[i]
            ui.row(f"step:{i}", row, label, picked=i == here)
            if self.marked.done(ui, i, do_it):
                desk.ask(action)
        ui.scrollbar(scroll)

    def _connect(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        u = ui.unit
        top, low = rect.row(0, 2, 4 * u), rect.row(1, 2, 4 * u)
        self.by = ui.choice("by", top.column(0, 2, 6 * u), "By", get_args(By), self.by)
        rates = tuple(str(r) for r in RATES)
        self.rate = ui.choice("rate", top.column(1, 2, 6 * u), "Bd", rates, self.rate)
        if ui.button("connect", low, f"Connect by {self.by} at {self.rate} Bd"):
            chosen = {"by": self.by, "rate_bd": int(self.rate)}
            desk.ask(act.Connect.model_validate(chosen))
