"""The job card in hand: its items, what was written on it, its completion call."""

from typing import ClassVar, Literal

from sim.bench.checklist import CHECKS
from sim.bench.reading import Reading
from sim.keys import CardKey, CheckKey
from sim.procedure.cards import Card, Item
from sim.session import actions as act
from sim.window import theme
from sim.window.action_words import written
from sim.window.answers import best, put, words_of
from sim.window.canvas import Rect, fitted, wrapped
from sim.window.layout import Cut
from sim.window.pictures import paper
from sim.window.said import Said
from sim.window.screens.byhand import may_show, next_step, show_me, step_words
from sim.window.screens.paper import Column, Roll
from sim.window.screens.workplace import Workplace
from sim.window.still_open import is_open, left, next_left, questioned, told, where
from sim.window.theme import BODY, BODY_BOLD, HEAD, NOTE, SMALL
from sim.window.ui import Ui

FIRST = "“First”: a slip here can hurt, so it comes before the rest."


class CardPage:
    """One card at a time; the chosen item's check is told below the list."""

    act: ClassVar = "page-card"
    words: ClassVar = "Card"
    first: ClassVar = "item:0"

    def __init__(self, cards: tuple[Card, ...]) -> None:
        self.cards = cards
        self.at = 0
        self.item = 0
        self.written: dict[tuple[CardKey, str], str] = {}
        self.called: set[str] = set()
        self.doubted = ""  # the card whose call was made too early, and doubted
        self._hops = 0
        self._told = Roll()
        self._noted: dict[tuple[CardKey, str], tuple[Reading | None, list[str]]] = {}

    @property
    def card(self) -> Card:
        """Return the card in hand."""
        return self.cards[self.at]

    def show(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        """Draw the card and do what was asked on it."""
        u = ui.unit
        self._after_hop(ui, desk)
        self._turn(ui, rect.top(ui.row_height))
        heading = rect.below(ui.row_height + 4 * u)
        ui.canvas.text((heading.x, heading.y), self.card.title, HEAD)
        listed = heading.below(ui.canvas.measure("x", HEAD)[1] + 6 * u)
        item_h = 2.0 * ui.canvas.measure("x", BODY)[1] + 6 * u
        rows = len(self.card.items)
        share = 0.58 if ui.canvas.text_scale < 1.7 else 0.4
        room = min(rows * item_h, listed.h * share)
        self._items(ui, desk, listed.top(max(item_h, room // item_h * item_h)), item_h)
        rest = listed.below(max(item_h, room // item_h * item_h) + 6 * u)
        call_h = ui.row_height + 4 * u
        self._item(ui, desk, Rect(rest.x, rest.y, rest.w, rest.h - call_h - 6 * u))
        self._call(ui, desk, Rect(rest.x, rest.bottom - call_h, rest.w, call_h))

    def _after_hop(self, ui: Ui, desk: Workplace) -> None:
        """Take the card for after the hop in hand when it has come down."""
        view = desk.practice.view
        self.cards = view.cards
        if view.hops > self._hops and view.phase != "hop":
            self._hops = view.hops
            self._take(ui, len(self.cards) - 1)

    def _turn(self, ui: Ui, rect: Rect) -> None:
        u = ui.unit
        w = 96 * u * ui.canvas.text_scale
        words = f"Card {self.at + 1} of {len(self.cards)}"
        ui.canvas.text((rect.x, rect.y + 3 * u), words, SMALL)
        before = Rect(rect.right - 2 * w - 6 * u, rect.y, w, rect.h)
        after = Rect(rect.right - w, rect.y, w, rect.h)
        step = 0
        if ui.act("card-before", before, "Previous", self.at > 0):
            step = -1
        if ui.act("card-after", after, "Next", self.at < len(self.cards) - 1):
            step = 1
        if step:
            self._take(ui, self.at + step)

    def _take(self, ui: Ui, at: int) -> None:
        """Take another card in hand, at its first item."""
        self.at, self.item, self.doubted = at, 0, ""
        ui.focus = "item:0"

    def asks_for(self, check: CheckKey | None) -> bool:
        """Tell whether an item of the card in hand asks for a check."""
        return check in [item.check for item in self.card.items]

    def mark(self, desk: Workplace, check: CheckKey, line: str | None) -> None:
        """Write a line as last read beside the item it answers; more lines add to it.

        line : its key; None: only what else the reading tells.
        """
        self.item = [item.check for item in self.card.items].index(check)
        words = words_of(self.written.get(self._slot, ""))
        self._write(desk, words, self._taken(desk) + ([line] if line is not None else []))

    def _taken(self, desk: Workplace) -> list[str]:
        """Return the lines taken for the item, unless it was read again since."""
        reading, lines = self._noted.get(self._slot, (None, []))
        return lines if reading is not None and reading is self._reading(desk) else []

    def _reading(self, desk: Workplace) -> Reading | None:
        return desk.practice.view.readings.get(self.card.items[self.item].check)

    def recall(self, said: Said) -> None:
        """Take note of an answer or a call given before."""
        match said.action:
            case act.Answer(card=card, item="complete") if not said.refused:
                self.called.add(card)
            case act.Answer(card=card, item=item, value=value) if not said.refused:
                self.written[card, item] = value

    @property
    def _slot(self) -> tuple[CardKey, str]:
        return self.card.key, self.card.items[self.item].key

    def _write(self, desk: Workplace, words: str, taken: list[str]) -> None:
        """Write words and lines; what was read stands beside them, whatever was taken of it."""
        card, item = self._slot
        reading, airframe = self._reading(desk), desk.practice.scenario.airframe
        values = {} if reading is None else reading.values
        lines = [*taken, *best(self.card.items[self.item].check, values, airframe)]
        value = put(words, {key: values[key] for key in lines})
        if value and desk.ask(act.Answer(card=card, item=item, value=value)):
            self.written[card, item] = value
            self._noted[card, item] = reading, taken

    def _items(self, ui: Ui, desk: Workplace, rect: Rect, item_h: float) -> None:
        u, canvas = ui.unit, ui.canvas
        card = self.card
        facts = desk.practice.view.facts
        scroll = ui.scroll("item", rect, len(card.items), item_h)
        for i, row in scroll:
            item = card.items[i]
            note = written(self.written.get((card.key, item.key), ""))
            if note and item.check not in facts:
                note = f"{note}  (due again)"
            if self._row(ui, f"item:{i}", row, item, note, i == self.item):
                self.item = i
                if not ui.clicked:
                    self._do(desk)
            if ui.focus == f"item:{i}":
                self.item = i
            box = Rect(row.x + 4 * u, row.y + 5 * u, 14 * u, 14 * u)
            done = (card.key, item.key) in self.written and item.check in facts
            paper.box(canvas, box, done)
        ui.scrollbar(scroll)

    def _row(self, ui: Ui, id_: str, rect: Rect, item: Item, note: str, picked: bool) -> bool:
        u, canvas = ui.unit, ui.canvas
        value = note or "not yet"
        pressed = ui.blank_row(id_, rect, item.asks, value, picked)
        x = rect.x + 26 * u
        words = ("first: " if item.killer else "") + item.asks
        style = BODY_BOLD if item.killer else BODY
        minutes = f"{CHECKS[item.check].minutes:g} min"
        canvas.text((rect.right - 4 * u, rect.y + 3 * u), minutes, SMALL, "right")
        step = canvas.measure("x", BODY)[1]
        place = where(CHECKS[item.check])
        canvas.text((rect.right - 4 * u, rect.y + 2 * u + step), place, SMALL, "right")
        aside = max(canvas.measure(words_, SMALL)[0] for words_ in (minutes, place))
        edge = rect.right - aside - 8 * u
        lines = wrapped(canvas, words, style, edge - x - 4 * u)
        if note:
            lines = [fitted(canvas, words, style, edge - x - 4 * u)]
            canvas.text((x, rect.y + 2 * u + step), fitted(canvas, note, NOTE, edge - x), NOTE)
        elif len(lines) == 1:
            base = rect.bottom - 5 * u
            canvas.line(((x, base), (rect.right - 6 * u, base)), theme.PAPER_LINE, 1)
        for n, line in enumerate(lines[:2]):
            canvas.text((x, rect.y + 2 * u + n * step), line, style)
        return pressed

    def _do(self, desk: Workplace) -> None:
        desk.ask(next_step(self.card.items[self.item].check, desk.practice.view))

    def next_step(self, desk: Workplace) -> None:
        """Begin the item in hand, or be done with the check that was begun."""
        begun = desk.practice.view.doing is not None
        if begun:
            desk.ask(act.Done())
        else:
            self._do(desk)

    def _item(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        u = ui.unit
        item = self.card.items[self.item]
        check = CHECKS[item.check]
        h = ui.row_height
        view, line = desk.practice.view, Cut(rect.top(h), u)
        shows = may_show(check.key, desk.practice.scenario)
        show_me(ui, desk, check.key, line.right(0.38 * rect.w, 6) if shows else None)
        words, short = self._next(desk)
        if ui.act("item", line.rest, words, short=short):
            self._go_on(ui, desk)
        y = h + 4 * u
        reading = desk.reading
        if reading is not None and reading.check == check.key:
            self._answer(ui, desk, rect.below(y).top(h))
            y += h + 4 * u
        texts = [(check.title + ".", SMALL), (told(check.key, view), SMALL.on(theme.INK))]
        if check.caution:
            texts.insert(0, ("Caution: " + check.caution, SMALL.on(theme.INK)))
        if item.killer:
            texts.append((FIRST, SMALL))
        if self._slot in self.written:
            texts.insert(0, (f"Written: {written(self.written[self._slot])}", NOTE))

        def write(sheet: Rect) -> float:
            column = Column(ui.canvas, sheet)
            for said, style in texts:
                column.write(said, style)
            return column.used

        self._told.show(ui, "item-told", rect.below(y), "What the item takes", write)

    def _due(self, desk: Workplace) -> Literal["check", "answer", "onward"]:
        """Return what the item in hand wants next."""
        item, view = self.card.items[self.item], desk.practice.view
        if item.check not in view.facts or view.doing is not None:
            return "check"
        return "answer" if is_open(self.card.items[self.item], self.written, view) else "onward"

    def _next(self, desk: Workplace) -> tuple[str, str]:
        """Return what the item's button says, and the same in short."""
        match self._due(desk):
            case "check":
                check = self.card.items[self.item].check
                return step_words(check, desk.practice.view), "Do it"
            case "answer":
                return "Write what you saw", "Write"
            case "onward":
                return "Next open item", "Next"

    def _go_on(self, ui: Ui, desk: Workplace) -> None:
        """Do what the item wants next: its check, its answer, or the next open item."""
        match self._due(desk):
            case "check":
                self._do(desk)
            case "answer":
                reading = self._reading(desk)
                if reading is not None:
                    desk.lay(reading)
                ui.focus = self._field
            case "onward":
                self._onward(ui, desk)

    @property
    def _field(self) -> str:
        return f"answer-{self._slot[0]}-{self._slot[1]}"

    def _answer(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        hint = "write, or take a line of the sheet"
        shown = words_of(self.written.get(self._slot, ""))
        entered = ui.field(self._field, rect, shown, hint)
        if entered is None:
            return
        ui.focus = f"item:{self.item}"
        if entered and entered != shown:
            self._write(desk, entered, self._taken(desk))
            self._onward(ui, desk)

    def _onward(self, ui: Ui, desk: Workplace) -> None:
        """Take the next open item of the card in hand; with none left, the call is what is next."""
        at = next_left(self.item, self.card, self.written, desk.practice.view)
        if at is None:
            ui.focus = "call"
            return
        self.item, ui.focus = at, f"item:{at}"

    def _call(self, ui: Ui, desk: Workplace, rect: Rect) -> None:
        card = self.card
        said = card.key in self.called
        words = f"“{card.call}”" + (", said" if said else "")
        call = act.Answer(card=card.key, item="complete", value=card.call)
        if not ui.act("call", rect, words):
            return
        open_ = len(left(card, self.written, desk.practice.view))
        if open_ and self.doubted != card.key:
            self.doubted = card.key
            desk.app.notice = questioned(open_)
        elif desk.ask(call):
            self.called.add(card.key)
            if self.at < len(self.cards) - 1:
                self._take(ui, self.at + 1)
