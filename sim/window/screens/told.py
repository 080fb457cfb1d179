"""The form on which a failure is told in words; which faults explain it stands beside it at once."""

from collections.abc import Callable
from pathlib import Path

from sim.aircraft.fields import plain
from sim.aircraft.textfile import dump_yaml, write_numbered
from sim.diagnosis import table as detection
from sim.errors import line_of
from sim.paths import own_reports
from sim.reproduce.answer.ranking import CAUTION, alike_told, name, ranked, severity_told, verdict
from sim.reproduce.causes import Causes
from sim.reproduce.words import table as symptoms
from sim.reproduce.words.form import Form, Question
from sim.reproduce.words.report import Report
from sim.reproduce.words.weighing import causes
from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
from sim.window.screens.paper import (
    Column,
    Roll,
    answer_place,
    foot,
    leading_out,
    lower,
    tick,
    two_sheets,
)
from sim.window.ui import LONGEST, Ui

LABEL_SHARE = 0.5  # of a row; own: the question, before its answer
MOST_CAUSES = 8  # own: what is read at a glance
TITLE, BESIDE = "A failure, told", "What explains it"
WORDS = (
    "Say what is known and leave the rest. A question that is answered is answered whole: what is not "
    "ticked was not noticed."
)
DONT_KNOW, THIS, NOTHING = "don't know", "this:", "nothing of it"
GoOn = Callable[[Report], None]


class Told:
    """The form. `back` is shown when it is left; `go_on` gets the report to be answered whole."""

    def __init__(self, back: Screen, go_on: GoOn = lambda report: None) -> None:
        self.back, self.go_on = back, go_on
        self.form = Form()
        self.said, self.trouble = "", False
        self._next = self.form.asked[0].key
        self._left, self._right = Roll(), Roll()
        self._answer: tuple[Report, Causes] | None = None

    def mark(self, key: str) -> None:
        """Take a question in hand."""
        self._next = key

    def tell(self, words: str, trouble: bool = False) -> None:
        """Write something below the sheets."""
        self.said, self.trouble = words, trouble

    # --- the frame -----------------------------------------------------------------------------

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the questions and what explains the answers; do what was asked."""
        if self._next:
            ui.focus, self._next = self._next, ""
        notice = self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, BESIDE)
        rest = self._ways(ui, app, left)
        self._left.show(ui, "told-roll", rest, TITLE, lambda r: self._questions(ui, r), read=False)
        self._right.show(ui, "causes-roll", right, BESIDE, lambda r: self._causes(ui.canvas, r))
        lower(ui, low, notice, leading_out(ui), caution=self.trouble or not self.said)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the lower buttons; return what is left above them."""
        there = bool(self.form.data) and not self.form.said
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", "What to check next", there),
                ("keep-file", "Keep the report", there),
                ("blank", "Blank sheet", bool(self.form.data)),
            ),
        )
        if pressed == "pause":
            app.go(self.back)
        elif pressed == "work-out" and self.form.report is not None:
            self.go_on(self.form.report)
        elif pressed == "keep-file":
            self._keep()
        elif pressed == "blank":
            self.form, self.said, self._next = Form(), "", self.form.asked[0].key
        return above

    def _keep(self) -> None:
        """Write the report beside those kept before."""
        if self.form.report is None:
            return
        try:
            path = kept(self.form.report, own_reports())
        except OSError as error:
            self.tell(f"It could not be kept: {line_of(error)}", trouble=True)
        else:
            self.tell(f"Kept: {path}")

    # --- the questions -------------------------------------------------------------------------

    def _questions(self, ui: Ui, sheet: Rect) -> float:
        rows = Column(ui.canvas, sheet)
        rows.small(WORDS, 6)
        for question in self.form.asked:
            self._row(ui, rows, question)
            if question.kind == "several" and self.form.ticked(question.key) is not None:
                self._words(ui, rows, question)
            rows.gap(5)
        return rows.used

    def _row(self, ui: Ui, rows: Column, question: Question) -> None:
        """Draw one question with its answer."""
        below = question.kind == "text"
        place = answer_place(ui, rows, question.words, LABEL_SHARE, 4, below)
        if question.kind == "text":
            self._write(ui, place, question)
        elif question.kind == "one":
            self._choose(ui, place, question)
        else:
            self._know(ui, place, question)

    def _write(self, ui: Ui, place: Rect, question: Question) -> None:
        key = question.key
        text = self.form.chosen(key) or ""
        done = ui.field(key, place, text, "may stay empty", question.words)
        now = plain(done if done is not None else ui.node(key).value, LONGEST)
        if now != text:
            self.form.write(key, now)
        if done is not None:
            order = [one.key for one in self.form.asked]
            self._next = order[order.index(key) + 1]

    def _choose(self, ui: Ui, place: Rect, question: Question) -> None:
        """Draw a choice of one of several words, with what each says."""
        words = {DONT_KNOW: None, **{says: word for word, says in question.says.items()}}
        chosen = self.form.chosen(question.key)
        now = DONT_KNOW if chosen is None else question.says[chosen]
        picked = ui.choice(question.key, place, question.words, tuple(words), now)
        if picked != now:
            self.form.write(question.key, words[picked])
            self.said = ""

    def _know(self, ui: Ui, place: Rect, question: Question) -> None:
        """Draw whether a question is answered, and how briefly that can be said."""
        ticked = self.form.ticked(question.key)
        known = THIS if ticked else NOTHING
        now = DONT_KNOW if ticked is None else known
        picked = ui.choice(question.key, place, question.words, (DONT_KNOW, known), now)
        if picked != now:
            self.form.know(question.key, picked != DONT_KNOW)
            self.said = ""

    def _words(self, ui: Ui, rows: Column, question: Question) -> None:
        """Draw the words to tick, one a line."""
        ticked = self.form.ticked(question.key) or ()
        for word, says in question.says.items():
            if tick(ui, rows, f"{question.key}.{word}", says, word in ticked):
                self.form.tick(question.key, word)
                self.said = ""

    # --- what explains it ----------------------------------------------------------------------

    def answer(self) -> Causes | None:
        """Return what explains the report, worked out when it changes; None while it can't be."""
        report = self.form.report
        if report is None:
            return None
        if self._answer is None or self._answer[0] != report:
            found = causes(report, symptoms.shipped(), detection.shipped().called)
            self._answer = report, found
        return self._answer[1]

    def _causes(self, canvas: Canvas, rect: Rect) -> float:
        column = Column(canvas, rect)
        found = self.answer()
        if found is None:
            column.write(self.form.said, gap=6)
        else:
            _explained(column, found)
            column.thin_rule()
        column.small(CAUTION)
        return column.used


def _explained(column: Column, found: Causes) -> None:
    """Write the likeliest causes, and what can't be told apart."""
    order = ranked(found)
    column.write(verdict(found), gap=6)
    for one in order[:MOST_CAUSES]:
        column.strong(f"{100.0 * one.chance:.0f} in 100: {name(one.faults)}")
        if one.cause is not None and one.cause.faults:
            severity = severity_told(one.cause)
            told = (one.cause.place or "", f"severity {severity}" if severity else "")
            if any(told):
                column.small("; ".join(filter(None, told)), 4)
    for line in alike_told(order[0]):
        column.small(line, 4)


def kept(report: Report, folder: Path) -> Path:
    """Write a report into a folder, under a name that is free; return its file."""
    return write_numbered(
        folder, "report", dump_yaml(report.model_dump(mode="json", exclude_none=True))
    )
