"""The sheet on which a person describes their own aircraft; what follows is written beside it."""

import json
from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from sim.aircraft.fields import plain
from sim.aircraft.textfile import load_json, write_text_atomic
from sim.describe.account import Account, described
from sim.describe.form import Asked, Form
from sim.describe.formulas import FORMULAS
from sim.describe.questions import QUESTIONS, Question
from sim.errors import DryhopError, InputError, line_of
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.screens.own.made import Made, PractiseOn
from sim.window.screens.own.notes import beside, flagged, question_words
from sim.window.screens.paper import (
    Column,
    Roll,
    answer_place,
    foot,
    leading_out,
    lower,
    two_sheets,
)
from sim.window.ui import LONGEST, Ui

FILE = "own-aircraft.json"  # beside the settings: what is written so far
LABEL_SHARE = 0.66  # of a row; own: the question, before its answer
TITLE, BESIDE = "Your own aircraft", "What follows"
WORDS = (
    "Read it off, weigh it, measure it with a rule. Enter goes on to the next line; what you leave "
    "empty is estimated, with formula and source beside it."
)
WORKING = "Working it out: gains, and its sheet as a sound one reads. Some seconds."
SURE = "Really? All of it"
YES_NO = ("yes", "no")
NOT_CHOSEN = "not chosen"


class OwnSheet:
    """The questions. `back` is shown when it is left; `practise` begins a drill on what was made."""

    def __init__(self, back: Screen, practise: PractiseOn) -> None:
        self.back, self.practise = back, practise
        self.form = Form()
        self.said = ""
        self._marked = self.form.asked[0]
        self._next = self._marked[0]
        self._led = ""  # the question that somebody was led back to, as it was open
        self._left, self._right = Roll(), Roll()
        self._kept: dict[str, str] | None = None
        self._sure = False
        self._worker = ThreadPoolExecutor(1, "describe")
        self._work: Future[Account] | None = None

    # --- what is written, between two evenings -----------------------------------------------------

    def fill(self, texts: Mapping[str, str], marked: str = "") -> None:
        """Write answers into the sheet, and take one question in hand."""
        self.form = Form(texts)
        self._kept = dict(self.form.texts)
        self._mark(next((one for one in self.form.asked if one[0] == marked), self.form.asked[0]))
        self._next = self._marked[0]

    def _keep(self, app: App) -> None:
        """Keep what is written; a disk that takes nothing is told."""
        if self.form.texts == self._kept:
            return
        self._kept = dict(self.form.texts)
        path = app.path.with_name(FILE)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_text_atomic(path, json.dumps(self._kept, indent=2) + "\n")
        except OSError as error:
            self.said = f"What is written here could not be kept: {line_of(error)}."

    # --- the frame -----------------------------------------------------------------------------------

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the questions and what follows; do what was asked."""
        if self._kept is None:
            self.fill(written_before(app.path.with_name(FILE)))
        if self._next:
            ui.focus, self._next = self._next, ""
        self._done(app)
        notice = WORKING if self._work is not None else self.said or app.notice
        left, right, low = two_sheets(ui, area, notice, TITLE, BESIDE)
        rest = self._ways(ui, app, left)
        self._left.show(ui, "own-roll", rest, TITLE, lambda r: self._questions(ui, r), read=False)
        self._right.show(
            ui,
            "beside-roll",
            right,
            BESIDE,
            lambda r: beside(ui.canvas, r, self.form, self._marked),
        )
        lower(ui, low, notice, leading_out(ui), caution=self._work is None)
        if ui.focus != self._marked[0]:
            self._keep(app)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> Rect:
        """Draw the lower buttons; return what is left above them."""
        free = self._work is None
        blank = SURE if self._sure else "Blank sheet"
        above, pressed = foot(
            ui,
            rect,
            (
                ("pause", "Back", True),
                ("work-out", "Work it out", free),
                ("blank", blank, free and bool(self.form.texts)),
            ),
        )
        if pressed == "pause":
            self._keep(app)
            app.go(self.back)
        elif pressed == "work-out":
            self._begin()
        elif pressed == "blank" and self._sure:
            self.form, self.said = Form(), ""
            self._mark(self.form.asked[0])
        if pressed:
            self._sure = pressed == "blank" and not self._sure
        return above

    def _begin(self) -> None:
        """Work it out, unless something is open still."""
        form = self.form
        if form.open_:
            self._lead()
        elif form.answers is None or form.said:
            self.said = form.said
        else:
            self.said = ""
            self._work = self._worker.submit(described, form.answers)

    def _lead(self) -> None:
        """Lead to the first question without a good answer, or back to the button if there is none."""
        one = next((one for one in self.form.asked if one[0] == self.form.open_), None)
        if one is None:
            self.said, self._led, self._next = "", "", "work-out"
            return
        id_, question = one
        self.said = f"Still open: {question_words(question)}."
        if self.form.wrong(id_):
            self.said += f" {self.form.wrong(id_)}"
        self._mark(one)
        self._led = self._next = id_

    def _done(self, app: App) -> None:
        """Show what was worked out, once it is."""
        work = self._work
        if work is None or not work.done():
            return
        self._work = None
        try:
            app.go(Made(self, work.result(), self.practise))
        except DryhopError as error:
            self.said = line_of(error)

    # --- the questions -------------------------------------------------------------------------------

    def _mark(self, one: Asked) -> None:
        self._marked, self._right.top = one, 0.0

    def _questions(self, ui: Ui, sheet: Rect) -> float:
        rows = Column(ui.canvas, sheet)
        rows.small(WORDS, 6)
        for title, asked in self.form.parts:
            rows.head(title)
            for one in asked:
                self._row(ui, rows, one)
            rows.gap(8)
        return rows.used

    def _row(self, ui: Ui, rows: Column, one: Asked) -> None:
        """Draw one question with its answer."""
        id_, question = one
        self._answer(ui, answer_place(ui, rows, question_words(question), LABEL_SHARE, 4), one)
        if self.form.wrong(id_) and ui.focus != id_:
            flagged(rows, self.form.wrong(id_))

    def _answer(self, ui: Ui, place: Rect, one: Asked) -> None:
        id_, question = one
        text = self.form.text(id_)
        if question.kind == "yes":
            now = text or question.empty or NOT_CHOSEN
            options = YES_NO if now in YES_NO else (NOT_CHOSEN, *YES_NO)
            chosen = ui.choice(id_, place, question_words(question), options, now)
            if chosen != now:
                self._written(id_, chosen)
        else:
            done = ui.field(id_, place, text, self._hint(question), question_words(question))
            self._written(id_, done if done is not None else ui.node(id_).value)
            if done is not None and id_ == self._led:
                self._lead()
            elif done is not None:
                self._next = self._after(id_)
        if ui.focus == id_ and self._marked[0] != id_:
            self._mark(one)
        if ui.focus == id_ and question.kind != "yes":
            for key, by in (("up", -1), ("down", 1)):
                if ui.inputs.take(key):
                    self._next = self._after(id_, by)

    def _written(self, id_: str, text: str) -> None:
        if text != self.form.text(id_):
            self._sure, self.said = False, ""
            self.form.write(id_, plain(text, LONGEST))

    def _after(self, id_: str, by: int = 1) -> str:
        """Return the question after one, or before; after the last, the button that works it out."""
        order = [*(one for one, _ in self.form.asked), "work-out"]
        return order[max(0, order.index(id_) + by)]

    def _hint(self, question: Question) -> str:
        """Return what stands in an empty line: the estimate, or what it means to leave it so."""
        if question not in QUESTIONS or not question.empty:
            return ""
        if question.kind == "text":
            return "may stay empty"
        estimate = self.form.estimates.get(question.estimates)
        if estimate is None:
            return question.empty
        return f"about {estimate.value * FORMULAS[estimate.key].factor:.3g}"


def written_before(path: Path) -> dict[str, str]:
    """Return the answers kept in a file; none if there is no such file or it can't be read."""
    if not path.exists():
        return {}
    try:
        found = load_json(path)
    except (InputError, OSError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {
        key: plain(text, LONGEST)
        for key, text in found.items()
        if isinstance(key, str) and isinstance(text, str)
    }
