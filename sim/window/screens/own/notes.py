"""What is written beside the questions: the one in hand, what is likely, every estimate."""

from collections.abc import Iterable

from sim.describe.account import CAUTION, Told, told
from sim.describe.form import Form
from sim.describe.plausible import Finding, Level
from sim.describe.questions import Question
from sim.describe.rules import Estimate
from sim.window import theme
from sim.window.canvas import Canvas, Rect
from sim.window.screens.paper import Column, text_height
from sim.window.theme import SMALL

MARKS: dict[Level, str] = {"good": "", "look": "Look again: ", "stop": "Stop: "}
SO_FAR = "Worked out so far"
LIKELY = "What to make of it"


def question_words(question: Question) -> str:
    """Return a question as it is asked where yes and no are chosen."""
    return question.words.removesuffix(" y/n")


def flagged(column: Column, words: str) -> None:
    """Write what asks for attention, dark on the colour of cautions."""
    canvas, u = column.canvas, column.unit
    pad = 6 * u
    tall = text_height(canvas, words, SMALL, column.rest.w - 2 * pad) + pad
    box = column.top(tall, 4)
    canvas.fill(box, theme.CAUTION, 2 * u)
    Column(canvas, box.inset(pad, pad / 2)).write(words, SMALL.on(theme.INK))


def how(column: Column, one: Told) -> None:
    """Write one value with its formula and source."""
    column.write(f"{one.what}: {one.amount}")
    taken = "measured: " if one.measured and one.formula != "measured" else ""
    column.small(f"{taken}{one.formula} ({one.source})", 5)


def measure(column: Column, one: Told) -> None:
    """Write how a value is measured instead, if it is an estimate."""
    if one.measure:
        column.small(f"Measure it: {one.measure}", 2)
    if one.by:
        column.small(f"Then it is {one.by}", 5)


def likely(column: Column, findings: Iterable[Finding]) -> None:
    """Write what there is to say of an aircraft."""
    for finding in findings:
        if finding.level == "good":
            column.write(finding.words, gap=5)
        else:
            flagged(column, f"{MARKS[finding.level]}{finding.words}")


def all_told(column: Column, estimates: Iterable[Estimate]) -> None:
    """Write every estimate."""
    for estimate in estimates:
        how(column, told(estimate))


def beside(canvas: Canvas, rect: Rect, form: Form, marked: tuple[str, Question] | None) -> float:
    """Write what belongs beside the questions; return the height used, px. marked : the one in hand."""
    column = Column(canvas, rect)
    if marked is not None:
        _in_hand(column, form, *marked)
        column.thin_rule()
    if form.said:
        flagged(column, form.said)
    if form.findings:
        column.head(LIKELY)
        likely(column, form.findings)
        column.thin_rule()
    if form.estimates:
        column.head(SO_FAR)
        all_told(column, form.estimates.values())
        column.thin_rule()
    column.small(CAUTION)
    return column.used


def _in_hand(column: Column, form: Form, id_: str, question: Question) -> None:
    column.strong(question_words(question), 4)
    if question.empty and question.kind != "yes":
        column.small(f"If nothing is written: {question.empty}.", 4)
    if form.wrong(id_):
        flagged(column, form.wrong(id_))
    estimate = form.estimates.get(question.estimates)
    if estimate is not None:
        how(column, told(estimate))
        measure(column, told(estimate))
    elif question.estimates:
        measure(column, told(Estimate(question.estimates, 0.0, False)))
