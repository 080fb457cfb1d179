"""The sheet of the last reading: its pages, its lines to pick, what sound aircraft show on them."""

from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.keys import CheckKey
from sim.window.canvas import Canvas, Rect, paragraph
from sim.window.evidence import Picked, shipped_bands, sound_told
from sim.window.layout import cells
from sim.window.pictures import paper
from sim.window.pictures.reading import draw_reading
from sim.window.screens.panels import sheet_title
from sim.window.screens.workplace import Workplace
from sim.window.theme import SMALL
from sim.window.ui import Ui
from sim.window.values import reading_told

LINE = "line"  # list of what can be picked on the page that is seen
WAYS_GAP_UNITS = 4.0  # units; own: between two rows of acts


class Lines:
    """A reading on the desk, page by page; each of its lines can be picked."""

    def __init__(self) -> None:
        self.reading: Reading | None = None
        self.page = 0
        self.pages = 1
        self.banded = False
        self._seen: list[tuple[str, Rect]] = []

    def lay(self, reading: Reading) -> None:
        """Lay a reading on top."""
        self.reading, self.page, self._seen = reading, 0, []

    @property
    def check(self) -> CheckKey | None:
        """Return the check that was read; None if nothing that can be pointed at lies here."""
        if self.reading is None or self.reading.check not in CHECKS:
            return None
        return self.reading.check

    @property
    def seen(self) -> list[str]:
        """Return the lines on the page that is seen, in order."""
        return [key for key, _ in self._seen]

    def held(self, ui: Ui) -> Picked | None:
        """Return the line the keys are on."""
        here, _, at = (ui.focus or "").rpartition(":")
        if here != LINE or self.check is None or int(at) >= len(self._seen):
            return None
        return Picked(self.check, self._seen[int(at)][0])

    def show(self, ui: Ui, desk: Workplace, rect: Rect, marked: Picked | None) -> Picked | None:
        """Draw the sheet; return the line that was picked, if one was. marked : the one to ring."""
        if self.reading is None:
            blank(ui.canvas, rect)
            return None
        ring = marked.line if marked is not None and marked.check == self.check else None
        title, units = sheet_title(self.reading), desk.units
        drawn = draw_reading(ui.canvas, rect, title, self.reading, units, ring, self.page)
        self._seen, self.pages = drawn.values, drawn.pages
        self.page = min(self.page, drawn.pages - 1)
        if self.check is None:
            return None
        told = [
            (reading_told(key, self.reading.values[key], units), box) for key, box in drawn.values
        ]
        at = ui.spots(LINE, [(said.words, said.amount, box) for said, box in told])
        return None if at is None else Picked(self.check, drawn.values[at][0])

    def sound(self, ui: Ui, desk: Workplace) -> str:
        """Return what sound aircraft show on the line in hand or pointed at; nothing if not asked."""
        if not self.banded or self.reading is None or self.check is None:
            return ""
        held, pointer = self.held(ui), ui.inputs.pointer
        pointed = [Picked(self.check, key) for key, box in self._seen if box.holds(pointer)]
        picked = held or next(iter(pointed), None)
        if picked is None:
            return ""
        scenario = desk.practice.scenario
        known = shipped_bands(scenario.airframe, scenario.place)
        return " ".join(sound_told(known, picked, self.reading.values, desk.units))

    def ways(self, ui: Ui, rect: Rect, notable: bool) -> bool:
        """Draw the acts of the sheet; tell whether a line is to be written on the card.

        notable : whether the card asks for the line in hand, or for the check without one.
        """
        u = ui.unit
        page, lines, card, bands = cells(rect, 4, 2, 5 * u, WAYS_GAP_UNITS * u)
        at, of = self.page + 1, self.pages
        if ui.act("turn-page", page, f"Page {at} of {of}", of > 1, short=f"{at}/{of}"):
            self.page = (self.page + 1) % self.pages
        if ui.act("lines", lines, "Pick a line", self.check is not None, short="Pick"):
            ui.focus = f"{LINE}:0"
        words = "Hide band" if self.banded else "Sheet's band"
        if ui.act("bands", bands, words, self.check is not None, short="Band"):
            self.banded = not self.banded
            if self.banded and self.held(ui) is None:
                ui.focus = f"{LINE}:0"
        return ui.act("note-line", card, "To the card", notable, short="Card")


def blank(canvas: Canvas, rect: Rect) -> None:
    """Draw the empty sheet."""
    paper.sheet(canvas, rect)
    words = (
        "What a check shows is drawn here. Read it, then write on the card what you saw. "
        "Pick the line that looks wrong to write a squawk on it."
    )
    paragraph(canvas, rect.inset(18 * canvas.scale), words, SMALL)
