"""Slips of paper laid over the folder: where to carry it, a squawk, the last word."""

from typing import TYPE_CHECKING, Protocol, get_args

from sim.aircraft.site import PlaceName
from sim.faults.catalogue import CATALOGUE
from sim.session import actions as act
from sim.window import theme
from sim.window.canvas import Rect, paragraph
from sim.window.pictures import paper
from sim.window.screens.panels import HOLDS, PLACES
from sim.window.tell import cause_words
from sim.window.theme import BODY_BOLD, HEAD, SMALL
from sim.window.ui import Ui

if TYPE_CHECKING:
    from sim.window.screens.desk import Desk

SURE = ("1  a guess", "2  likely", "3  quite sure", "4  certain")
VERDICTS = ("clear", "stay on the bench")


class Slip(Protocol):
    """A slip lying over the folder until it is done with."""

    def show(self, ui: Ui, desk: "Desk", rect: Rect) -> None:
        """Draw it and do what was asked."""
        ...


def laid(ui: Ui, desk: "Desk", rect: Rect, title: str) -> Rect:
    """Draw a slip with its title and the way back; return what is left of it."""
    paper.sheet(ui.canvas, rect)
    inner = rect.inset(14 * ui.unit)
    ui.canvas.text((inner.x, inner.y), title, HEAD)
    h = ui.row_height
    back = Rect(inner.right - 90 * ui.unit * ui.canvas.text_scale, inner.y - 2 * ui.unit, 0, h)
    if ui.button("slip-back", back._replace(w=inner.right - back.x), "Back", "Esc") or (
        not ui.typing and ui.inputs.take("escape")
    ):
        desk.slip = None
    return inner.below(h + 10 * ui.unit)


class CarrySlip:
    """Where to carry the aircraft and how to leave it there."""

    def show(self, ui: Ui, desk: "Desk", rect: Rect) -> None:
        """Draw the places; one press carries it."""
        inner = laid(ui, desk, rect, "Carry it where, and then?")
        options = [(p, h) for p in get_args(PlaceName) for h in HOLDS]
        scroll = ui.scroll("carry", inner, len(options))
        for i, row in scroll:
            place, hold = options[i]
            if ui.row(f"carry:{i}", row, f"{PLACES[place]}, {HOLDS[hold]}"):
                desk.ask(act.Carry(to=place, hold=hold))
                desk.slip = None
        ui.scrollbar(scroll)


class SquawkSlip:
    """A claim: which item, which cause, how sure."""

    def __init__(self) -> None:
        self.item: str | None = None
        self.family = ""
        self.cause: str | None = None

    def show(self, ui: Ui, desk: "Desk", rect: Rect) -> None:
        """Draw the step that is due."""
        if self.item is None:
            self._items(ui, laid(ui, desk, rect, "Squawk: which item?"))
        elif self.cause is None:
            self._causes(ui, laid(ui, desk, rect, f"Squawk: {self.item}. What is wrong?"))
        else:
            self._sure(ui, desk, laid(ui, desk, rect, f"Squawk: {self.item}. How sure?"))

    def _items(self, ui: Ui, rect: Rect) -> None:
        items = sorted({(f.family, f.item) for f in CATALOGUE.values()})
        scroll = ui.scroll("item", rect, len(items))
        for i, row in scroll:
            family, item = items[i]
            if ui.row(f"item:{i}", row, item, family):
                self.item, self.family = item, family
                ui.focus = "cause:0"
        ui.scrollbar(scroll)

    def _causes(self, ui: Ui, rect: Rect) -> None:
        causes = [f.id for f in CATALOGUE.values() if f.family == self.family]
        scroll = ui.scroll("cause", rect, len(causes))
        for i, row in scroll:
            if ui.row(f"cause:{i}", row, cause_words(causes[i])):
                self.cause = causes[i]
                ui.focus = "sure:2"
        ui.scrollbar(scroll)

    def _sure(self, ui: Ui, desk: "Desk", rect: Rect) -> None:
        assert self.cause is not None
        assert self.item is not None
        words = cause_words(self.cause)
        used = paragraph(ui.canvas, rect, words, theme.NOTE)
        scroll = ui.scroll("sure", rect.below(used + 8 * ui.unit), len(SURE))
        for i, row in scroll:
            if ui.row(f"sure:{i}", row, SURE[i]):
                desk.ask(act.Squawk(item=self.item, cause=self.cause, confidence=i + 1))
                desk.slip, desk.page = None, "page-squawks"


class WordSlip:
    """The last word before, or instead of, the hop."""

    def __init__(self) -> None:
        self.reason = ""

    def show(self, ui: Ui, desk: "Desk", rect: Rect) -> None:
        """Draw the reason and the two words."""
        inner = laid(ui, desk, rect, "The last word")
        h, u = ui.row_height, ui.unit
        used = paragraph(
            ui.canvas,
            inner,
            "Clear: every card is complete, you will fly. Stay on the bench: it is not fit to fly "
            "tonight; write why. That ends the drill.",
            SMALL,
        )
        at = inner.below(used + 10 * u)
        ui.canvas.text((at.x, at.y), "Reason", BODY_BOLD)
        at = at.below(h)
        written = ui.field("reason", at.top(h), self.reason, "why")
        if written is not None:
            self.reason = written
            ui.focus = "verdict:0"
        at = at.below(h + 12 * u)
        scroll = ui.scroll("verdict", at, len(VERDICTS))
        for i, row in scroll:
            if ui.row(f"verdict:{i}", row, VERDICTS[i].capitalize()):
                desk.ask(act.Declare(verdict=VERDICTS[i], reason=self.reason))
                desk.slip = None
