"""Pages that are lists: all checks, the parts bin, people and room."""

from typing import ClassVar

from sim.bench.checklist import CHECKS
from sim.bench.parts import PARTS
from sim.procedure.preparations import PREPARATIONS
from sim.session import actions as act
from sim.session.connecting import WARM_MIN
from sim.window import theme
from sim.window.canvas import Rect, paragraph
from sim.window.pictures import paper
from sim.window.screens.byhand import next_step, show_me
from sim.window.screens.workplace import Workplace
from sim.window.still_open import told
from sim.window.theme import HEAD, SMALL
from sim.window.ui import Ui


def headed(ui: Ui, rect: Rect, title: str, words: str) -> Rect:
    """Draw a page's heading and its words; return what is left."""
    canvas, u = ui.canvas, ui.unit
    canvas.text((rect.x, rect.y), title, HEAD)
    under = rect.below(canvas.measure("x", HEAD)[1] + 2 * u)
    used = paragraph(canvas, under, words, SMALL)
    return under.below(used + 8 * u)


def foot(ui: Ui, rect: Rect, words: str, lines: int) -> Rect:
    """Write some lines at the foot of a page; return what is left above them."""
    h = ui.canvas.measure("x", SMALL)[1] * lines
    paragraph(
        ui.canvas, Rect(rect.x, rect.bottom - h, rect.w, h), words, SMALL.on(theme.INK), lines
    )
    return Rect(rect.x, rect.y, rect.w, rect.h - h - 6 * ui.unit)


def button(ui: Ui, rect: Rect, words: str, enabled: bool = True) -> tuple[Rect, bool]:
    """Draw the button that does the line marked; return what is left above it, and if it was pressed."""
    h, u = ui.row_height, ui.unit
    pressed = ui.act("item", Rect(rect.x, rect.bottom - h, rect.w, h), words, enabled)
    return Rect(rect.x, rect.y, rect.w, rect.h - h - 6 * u), pressed


class Marked:
    """The line of a list that Enter or the button does; a click, or the focus, only marks it."""

    def __init__(self) -> None:
        self.at = 0

    def see(self, ui: Ui, name: str, rows: int) -> int:
        """Mark the line the focus is on; return which is marked."""
        here, _, number = (ui.focus or "").rpartition(":")
        if here == name:
            self.at = int(number)
        self.at = max(0, min(self.at, rows - 1))
        return self.at

    def done(self, ui: Ui, at: int, do_it: bool) -> bool:
        """Tell whether the line just drawn is to be done. do_it : the button was pressed."""
        return (ui.pressed and not ui.clicked) or (do_it and at == self.at)


class ChecksPage:
    """Every check, to be done whenever wanted."""

    act: ClassVar = "page-checks"
    words: ClassVar = "Checks"
    first: ClassVar = "check:0"

    def __init__(self) -> None:
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the list, and the button that does the check marked."""
        at = headed(
            ui,
            rect,
            "All checks",
            "A click marks one, Enter does it. Ticked: done, and still true. Right: minutes.",
        )
        checks = sorted(CHECKS.values(), key=lambda c: (c.code, c.key))
        check = checks[self.marked.see(ui, "check", len(checks))]
        caution = f" Caution: {check.caution}" if check.caution else ""
        at, do_it = button(ui, at, "Do it")
        listed = foot(ui, at, f"{check.title}. {told(check.key, desk.practice.view)}{caution}", 6)
        done, u = desk.practice.view.facts, ui.unit
        names = [c.key for c in checks]
        scroll = ui.scroll("check", listed, len(checks), names=names)
        for i, row in scroll:
            check = checks[i]
            name, picked = check.key.replace("-", " "), self.marked.at == i
            ui.row(f"check:{i}", row, name, f"{check.minutes:g}", picked, indent=24 * u)
            if self.marked.done(ui, i, do_it):
                desk.ask(next_step(check.key, desk.practice.view))
            if ui.focus == f"check:{i}":
                show_me(ui, desk, check.key)
            box = Rect(row.x + 6 * u, row.centre[1] - 7 * u, 14 * u, 14 * u)
            paper.box(ui.canvas, box, check.key in done)
        ui.scrollbar(scroll)


class PartsPage:
    """The parts bin."""

    act: ClassVar = "page-parts"
    words: ClassVar = "Parts"
    first: ClassVar = "part:0"

    def __init__(self) -> None:
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the bin, and the button that puts in the part marked."""
        at = headed(
            ui,
            rect,
            "Parts bin",
            "Good parts, screws, ties and packs. A click marks one, Enter swaps, tightens or moves it; "
            "the pack must be out.",
        )
        parts = list(PARTS)
        self.marked.see(ui, "part", len(parts))
        at, do_it = button(ui, at, "Put it right")
        scroll = ui.scroll("part", at, len(parts), names=parts)
        for i, row in scroll:
            ui.row(f"part:{i}", row, parts[i].replace("-", " "), picked=self.marked.at == i)
            if self.marked.done(ui, i, do_it):
                desk.ask(act.Swap(part=parts[i]))
        ui.scrollbar(scroll)


class PeoplePage:
    """People and room, and waiting."""

    act: ClassVar = "page-people"
    words: ClassVar = "People"
    first: ClassVar = "prepare:0"

    def __init__(self) -> None:
        self.marked = Marked()

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw what can be put to rights, and the button that sees to what is marked."""
        at = headed(
            ui,
            rect,
            "People and room",
            "A click marks one, Enter sees to it. Only what you do counts.",
        )
        kinds = list(PREPARATIONS)
        here = self.marked.see(ui, "prepare", len(kinds) + 1)
        so = f"So that: {PREPARATIONS[kinds[here]][0]}" if here < len(kinds) else ""
        at, do_it = button(ui, at, "See to it")
        listed = foot(ui, at, so, 3)
        scroll = ui.scroll("prepare", listed, len(kinds) + 1, names=[*kinds, "wait"])
        for i, row in scroll:
            waits = i == len(kinds)
            words = f"wait {WARM_MIN:g} minutes as it is" if waits else kinds[i].replace("-", " ")
            ui.row(f"prepare:{i}", row, words, picked=here == i)
            if self.marked.done(ui, i, do_it):
                wait = act.Wait(minutes=WARM_MIN)
                desk.ask(wait if waits else act.Prepare.model_validate({"what": kinds[i]}))
        ui.scrollbar(scroll)
