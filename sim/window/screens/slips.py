"""Slips of paper laid over the folder: where to carry it, a squawk, the last word."""

from typing import ClassVar, Literal, get_args

from sim.aircraft.site import PlaceName
from sim.faults.catalogue import CATALOGUE
from sim.keys import FaultId
from sim.procedure.rubric import shipped
from sim.scoring.claims import cost, earned
from sim.session import actions as act
from sim.session.actions import Squawk
from sim.window.action_words import SURE, cause_words
from sim.window.canvas import Rect, paragraph
from sim.window.evidence import Picked, rests_on
from sim.window.layout import Cut, line_in
from sim.window.names import HOLDS, PLACES_TOLD
from sim.window.pictures import paper
from sim.window.screens.asked import asked, digit_room, plain_rows
from sim.window.screens.workplace import Slip, Workplace
from sim.window.theme import BODY_BOLD, HEAD, INK, NOTE, NUMBER, SMALL
from sim.window.ui import Ui

FIRST_ITEM, FIRST_CAUSE = "squawk-item:0", "squawk-cause:0"  # where the focus begins
FIRST_SURE = "sure:0"  # the focus begins low: to be surer is a choice
SURE_TOLD = "In hundredths of a right name's worth. To say what you believe pays best."
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
        """Draw the places, and the button that carries it to the one marked."""
        inner, back = laid(ui, desk, rect, "Carry it where, and then?")
        options = [(p, h) for p in get_args(PlaceName) for h in HOLDS]
        conduct = desk.practice.view.conduct
        here = (conduct.place, conduct.hold)
        rows = [
            (f"{PLACES_TOLD[p]}, {HOLDS[h]}", "it is there" if (p, h) == here else "")
            for p, h in options
        ]
        at = asked(ui, "carry", inner, len(rows), plain_rows(ui, rows), "Carry it there")
        if at is not None:
            place, hold = options[at]
            desk.ask(act.Carry(to=place, hold=hold))
            back = True
        if back:
            desk.close_slip(ui)


class SquawkSlip:
    """A claim: which item, which cause, how sure. picked : the line of a reading it rests on."""

    act: ClassVar = "squawk"
    first: ClassVar = FIRST_ITEM

    def __init__(self, picked: Picked | None = None) -> None:
        self.picked = picked
        self.item: str | None = None
        self.family = ""
        self.cause: FaultId | None = None

    @property
    def due(self) -> str:
        """Return where the focus begins at the step that is due."""
        if self.item is None:
            return FIRST_ITEM
        return FIRST_CAUSE if self.cause is None else FIRST_SURE

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the step that is due; the way back leads to the step before."""
        if self.item is None:
            inner, back = laid(ui, desk, rect, "Squawk: which item?")
            self._items(ui, self._ground(ui, desk, inner))
        elif self.cause is None:
            inner, back = laid(ui, desk, rect, f"Squawk: {self.item}. What is wrong?")
            self._causes(ui, self._ground(ui, desk, inner))
        else:
            inner, back = laid(ui, desk, rect, f"Squawk: {self.item}. How sure?")
            self._sure(ui, desk, self._ground(ui, desk, inner))
        if not back:
            return
        if self.item is None:
            desk.close_slip(ui)
        elif self.cause is None:
            self.item, ui.focus = None, FIRST_ITEM
        else:
            self.cause, ui.focus = None, FIRST_CAUSE

    def _ground(self, ui: Ui, desk: Workplace, rect: Rect) -> Rect:
        """Write what the claim rests on; return what is left below."""
        picked, readings = self.picked, desk.practice.view.readings
        value = readings[picked.check].values[picked.line] if picked is not None else None
        words = f"{rests_on(picked, value, desk.units)}."
        if picked is not None:
            used = paragraph(ui.canvas, rect, words, NOTE)
        else:
            used = paragraph(ui.canvas, rect, words, BODY_BOLD)
            told = f"{ui.keys.cap('lines')} or the pointer picks a line of the reading."
            used += paragraph(ui.canvas, rect.below(used), told, SMALL)
        return rect.below(used + 10 * ui.unit)

    def _items(self, ui: Ui, rect: Rect) -> None:
        items = squawk_items()
        rows = [(item, family) for family, item in items]
        names = [item for _, item in items]
        draw = plain_rows(ui, rows)
        at = asked(ui, "squawk-item", rect, len(rows), draw, "This item", names=names)
        if at is not None:
            self.family, self.item = items[at]
            ui.focus = FIRST_CAUSE

    def _causes(self, ui: Ui, rect: Rect) -> None:
        assert self.item is not None
        causes = squawk_causes(self.family, self.item)
        items = [CATALOGUE[c].item for c in causes]
        rows = [
            (cause_words(c), "" if of == self.item else of)
            for c, of in zip(causes, items, strict=True)
        ]
        names = [words for words, _ in rows]
        draw = plain_rows(ui, rows)
        at = asked(ui, "squawk-cause", rect, len(rows), draw, "This cause", names=names)
        if at is not None:
            self.cause, ui.focus = causes[at], FIRST_SURE

    def _sure(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        assert self.cause is not None
        canvas, u = ui.canvas, ui.unit
        at = rect.below(paragraph(canvas, rect, cause_words(self.cause), HEAD) + 8 * u)
        at = at.below(paragraph(canvas, at, SURE_TOLD, SMALL) + 6 * u)
        heights = [canvas.measure("x", style)[1] for style in (BODY_BOLD, SMALL)]

        def draw(id_: str, i: int, row: Rect, marked: bool) -> None:
            chance, worth = chance_told(i)
            ui.blank_row(id_, row, f"{SURE[i]}: {chance}", worth, marked)
            parts = Cut(row, u, 6, 3)
            parts.left(digit_room(ui, len(SURE)))
            top = parts.top(heights[0])
            canvas.text((top.x, top.y), SURE[i].capitalize(), BODY_BOLD)
            line_in(canvas, top, chance, NUMBER, "right")
            canvas.text((parts.rest.x, parts.rest.y), worth, SMALL.on(INK))

        tall = sum(heights) + 8 * u
        step = asked(ui, "sure", at, len(SURE), draw, "Write the squawk", tall)
        if step is not None:
            desk.ask(self._written(step + 1))
            desk.page = "page-squawks"
            desk.close_slip(ui)

    def _written(self, confidence: int) -> Squawk:
        assert self.item is not None
        assert self.cause is not None
        check, line = self.picked if self.picked is not None else (None, "")
        return Squawk(
            item=self.item, cause=self.cause, confidence=confidence, check=check, line=line
        )


def chance_told(step: int) -> tuple[str, str]:
    """Return the chance that a step of sureness states, and what it earns and costs."""
    chance = shipped().sureness[step]
    worth = f"if right, earns {100 * earned(chance):.0f}; if wrong, costs {100 * cost(chance):.0f}"
    return f"{100 * chance:.0f} %", worth


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
        place = inner.below(used + 8 * ui.unit)
        draw = plain_rows(ui, [("Finish", ""), ("Not yet", "")])
        at = asked(ui, "finish", place, 2, draw, "Do as marked")
        if at == 0:
            desk.ask(act.Finish())
        if back or at is not None:
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
        draw = plain_rows(ui, [(verdict.capitalize(), "") for verdict in VERDICTS])
        said = asked(ui, "verdict", at, len(VERDICTS), draw, "Say it")
        if said is not None:
            desk.ask(act.Declare(verdict=VERDICTS[said], reason=self.reason))
            desk.close_slip(ui)


SLIPS: tuple[type[Slip], ...] = (CarrySlip, SquawkSlip, WordSlip, FinishSlip)
