"""Pages that are lists: all checks, the parts bin, people and place."""

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


class ChecksPage:
    """Every check, to be done whenever wanted."""

    act: ClassVar = "page-checks"
    words: ClassVar = "Checks"
    first: ClassVar = "check:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the list; a press does the check."""
        at = headed(
            ui,
            rect,
            "All checks",
            "Enter does the one marked. Ticked: done, and still true. Right: minutes.",
        )
        checks = sorted(CHECKS.values(), key=lambda c: (c.code, c.key))
        focus = ui.focus or ""
        told = ""
        if focus.startswith("check:"):
            check = checks[min(int(focus[6:]), len(checks) - 1)]
            told = check.title + ". " + (f"Caution: {check.caution}" if check.caution else "")
        listed = foot(ui, at, told, 5)
        done = desk.practice.view.facts
        scroll = ui.scroll("check", listed, len(checks))
        for i, row in scroll:
            check = checks[i]
            name = check.key.replace("-", " ")
            if ui.row(f"check:{i}", row, name, f"{check.minutes:g}", indent=24 * ui.unit):
                desk.ask(next_step(check.key, desk.practice.view))
            if ui.focus == f"check:{i}":
                show_me(ui, desk, check.key)
            u = ui.unit
            box = Rect(row.x + 6 * u, row.centre[1] - 7 * u, 14 * u, 14 * u)
            paper.box(ui.canvas, box, check.key in done)
        ui.scrollbar(scroll)


class PartsPage:
    """The parts bin."""

    act: ClassVar = "page-parts"
    words: ClassVar = "Parts"
    first: ClassVar = "part:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the bin; a press puts in a good part."""
        at = headed(
            ui,
            rect,
            "Parts bin",
            "Good parts, screws, ties and packs. Enter swaps, tightens or moves the one marked; "
            "the pack must be out.",
        )
        parts = list(PARTS)
        scroll = ui.scroll("part", at, len(parts))
        for i, row in scroll:
            if ui.row(f"part:{i}", row, parts[i].replace("-", " ")):
                desk.ask(act.Swap(part=parts[i]))
        ui.scrollbar(scroll)


class PeoplePage:
    """People and place, and waiting."""

    act: ClassVar = "page-people"
    words: ClassVar = "People"
    first: ClassVar = "prepare:0"

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw what can be put to rights; a press does it."""
        at = headed(
            ui, rect, "People and place", "Enter sees to the one marked. Only what you do counts."
        )
        kinds = list(PREPARATIONS)
        told = ""
        focus = ui.focus or ""
        if focus.startswith("prepare:") and int(focus[8:]) < len(kinds):
            told = f"So that: {PREPARATIONS[kinds[int(focus[8:])]][0]}"
        listed = foot(ui, at, told, 3)
        scroll = ui.scroll("prepare", listed, len(kinds) + 1)
        for i, row in scroll:
            if i == len(kinds):
                if ui.row(f"prepare:{i}", row, f"wait {WARM_MIN:g} minutes as it is"):
                    desk.ask(act.Wait(minutes=WARM_MIN))
            elif ui.row(f"prepare:{i}", row, kinds[i].replace("-", " ")):
                desk.ask(act.Prepare.model_validate({"what": kinds[i]}))
        ui.scrollbar(scroll)
