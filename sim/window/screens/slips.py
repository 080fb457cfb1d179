"""Slips of paper laid over the folder: where to carry it, a squawk, the last word."""

from typing import ClassVar, Literal, get_args

from sim.aircraft.site import PlaceName
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.claims import cost, earned
from sim.session import actions as act
from sim.window import theme
from sim.window.action_words import SURE, cause_words
from sim.window.canvas import Rect, paragraph
from sim.window.layout import Cut
from sim.window.names import HOLDS, PLACES_TOLD
from sim.window.pictures import paper
from sim.window.screens.workplace import Slip, Workplace
from sim.window.theme import BODY_BOLD, HEAD, SMALL
from sim.window.ui import Ui

FIRST_ITEM, FIRST_CAUSE = "squawk-item:0", "squawk-cause:0"  # where the focus begins
VERDICTS: tuple[Literal["clear", "stay on the bench"], ...] = ("clear", "stay on the bench")


def laid(ui: Ui, desk: Workplace, rect: Rect, title: str) -> tuple[Rect, bool]:
    """Draw a slip with its title and the way back; return what is left and whether to go back."""
    paper.sheet(ui.canvas, rect)
    parts = Cut(rect, ui.unit, 14)
    inner = parts.rest
    h, gap = ui.row_height, 10 * ui.unit
    back = parts.right(90 * ui.unit * ui.canvas.text_scale, 10)
    back = back._replace(y=back.y - 2 * ui.unit, h=h)
    goes_back = ui.button("slip-back", back, "Back", ui.keys.cap("pause"))
    goes_back = ui.struck("pause") or goes_back
    used = paragraph(ui.canvas, parts.rest, title, HEAD)
    return inner.below(max(h, used) + gap), goes_back


class CarrySlip:
    """Where to carry the aircraft and how to leave it there."""

    act: ClassVar = "carry"
    first: ClassVar = "carry:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the places; one press carries it."""
        inner, back = laid(ui, desk, rect, "Carry it where, and then?")
        options = [(p, h) for p in get_args(PlaceName) for h in HOLDS]
        scroll = ui.scroll("carry", inner, len(options))
        for i, row in scroll:
            place, hold = options[i]
            if ui.row(f"carry:{i}", row, f"{PLACES_TOLD[place]}, {HOLDS[hold]}"):
                desk.ask(act.Carry(to=place, hold=hold))
                desk.close_slip(ui)
        ui.scrollbar(scroll)
        if back:
            desk.close_slip(ui)


class SquawkSlip:
    """A claim: which item, which cause, how sure."""

    act: ClassVar = "squawk"
    first: ClassVar = FIRST_ITEM

    def __init__(self) -> None:
        self.item: str | None = None
        self.family = ""
        self.cause: FaultId | None = None

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the step that is due; the way back leads to the step before."""
        if self.item is None:
            inner, back = laid(ui, desk, rect, "Squawk: which item?")
            self._items(ui, inner)
        elif self.cause is None:
            inner, back = laid(ui, desk, rect, f"Squawk: {self.item}. What is wrong?")
            self._causes(ui, inner)
        else:
            inner, back = laid(ui, desk, rect, f"Squawk: {self.item}. How sure?")
            self._sure(ui, desk, inner)
        if not back:
            return
        if self.item is None:
            desk.close_slip(ui)
        elif self.cause is None:
            self.item, ui.focus = None, FIRST_ITEM
        else:
            self.cause, ui.focus = None, FIRST_CAUSE

    def _items(self, ui: Ui, rect: Rect) -> None:
        items = squawk_items()
        scroll = ui.scroll("squawk-item", rect, len(items))
        for i, row in scroll:
            family, item = items[i]
            if ui.row(f"squawk-item:{i}", row, item, family):
                self.item, self.family = item, family
                ui.focus = FIRST_CAUSE
        ui.scrollbar(scroll)

    def _causes(self, ui: Ui, rect: Rect) -> None:
        assert self.item is not None
        causes = squawk_causes(self.family, self.item)
        scroll = ui.scroll("squawk-cause", rect, len(causes))
        for i, row in scroll:
            of = CATALOGUE[causes[i]].item
            other = "" if of == self.item else of
            if ui.row(f"squawk-cause:{i}", row, cause_words(causes[i]), other):
                self.cause = causes[i]
                ui.focus = "sure:2"
        ui.scrollbar(scroll)

    def _sure(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        assert self.cause is not None
        assert self.item is not None
        words = cause_words(self.cause)
        used = paragraph(ui.canvas, rect, words, theme.NOTE)
        scroll = ui.scroll("sure", rect.below(used + 8 * ui.unit), len(SURE))
        for i, row in scroll:
            if ui.row(f"sure:{i}", row, f"{i + 1}  {SURE[i]}", chance_told(i)):
                desk.ask(act.Squawk(item=self.item, cause=self.cause, confidence=i + 1))
                desk.page = "page-squawks"
                desk.close_slip(ui)


def chance_told(step: int) -> str:
    """Return the chance that a step of sureness states, and what it earns and costs."""
    chance = shipped().sureness[step]
    return (
        f"{100 * chance:.0f} %: +{100 * earned(chance):.0f} if so, −{100 * cost(chance):.0f} if not"
    )


def squawk_items() -> list[tuple[str, str]]:
    """Return (family, item) of everything a squawk can be about."""
    return sorted({(f.family, f.item) for f in CATALOGUE.values()})


def squawk_causes(family: str, item: str) -> list[FaultId]:
    """Return the causes to choose from: those of the item first, then of its family."""
    causes = [f for f in CATALOGUE.values() if f.family == family]
    return [f.id for f in sorted(causes, key=lambda f: f.item != item)]


class FinishSlip:
    """Asks once before the drill is over."""

    act: ClassVar = "finish"
    first: ClassVar = "finish:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the question."""
        inner, back = laid(ui, desk, rect, "Finish?")
        words = "That ends the drill and leads to the debrief. Nothing can be done after it."
        used = paragraph(ui.canvas, inner, words, SMALL)
        scroll = ui.scroll("finish", inner.below(used + 8 * ui.unit), 2)
        for i, row in scroll:
            if ui.row(f"finish:{i}", row, ("Finish", "Not yet")[i]):
                if i == 0:
                    desk.ask(act.Finish())
                back = True
        if back:
            desk.close_slip(ui)


class WordSlip:
    """The last word before, or instead of, the hop."""

    act: ClassVar = "word"
    first: ClassVar = "reason"

    def __init__(self) -> None:
        self.reason = ""

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the reason and the two words."""
        inner, back = laid(ui, desk, rect, "The last word")
        if back:
            desk.close_slip(ui)
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
                desk.close_slip(ui)


SLIPS: tuple[type[Slip], ...] = (CarrySlip, SquawkSlip, WordSlip, FinishSlip)
