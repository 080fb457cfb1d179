"""The walk round: eight sheets to read and try, about five minutes, left at any time."""

from collections.abc import Callable

from sim.window.app import App, Screen
from sim.window.canvas import Canvas, Rect
from sim.window.layout import Cut
from sim.window.screens.paper import (
    GAP_UNITS,
    Column,
    Roll,
    act_width,
    flow_height,
    flowed,
    headed,
    leading_out,
    lower,
    middle,
    taped,
    wood,
)
from sim.window.screens.sketches import FinalTry, PathTry, Try
from sim.window.screens.tries import (
    CheckTry,
    HandTry,
    PressTry,
    SquawkTry,
    SticksTry,
    StopTry,
)
from sim.window.theme import INK, SMALL, Type
from sim.window.ui import Ui

LARGE = Type("plain", 17, INK)
SHEET_UNITS = (1130.0, 520.0)  # units; own: size of the sheet at 100 % text
WORDS_SHARE = 0.44  # of the sheet's width; own: the words, beside what is to be tried

PAGES: tuple[tuple[str, str, Callable[[], Try]], ...] = (
    (
        "What this is",
        "A small quadrotor is to make its first hop: up one metre, half a minute still, down "
        "again. Something about it may be wrong: wiring, settings, propellers, pack, or the "
        "people round it. Nothing tells you what.\nOn the bench you look, measure, put right and "
        "prove. An hour at the bench is cheap; a fault found in the air never is.\nThis does not "
        "replace your club's rules, local codes or licensed practice.",
        PathTry,
    ),
    (
        "Keys and pointer",
        "Tab goes on to the next thing. The arrow keys go up and down. Enter presses what the "
        "ring is round. A small cap beside a thing is its key, unless you write.\n"
        "The pointer does it all as well. Try it: press something on the right.",
        PressTry,
    ),
    (
        "In your hands",
        "At the bench you can take the aircraft in your hands and turn it: to see which way its "
        "instruments think is up, or to look at a propeller from below.\nThe arrow keys lean it. "
        "Home brings it level.",
        HandTry,
    ),
    (
        "A check shows, you judge",
        "A check costs minutes and shows what an instrument or your eye would show. It never says "
        "good or bad: the build sheet says what should be there.\nMeasure the pack, then write "
        "what you saw and press Enter. What you write is in pencil.",
        CheckTry,
    ),
    (
        "A squawk",
        "When a line of a reading looks wrong, pick it and write a squawk: which item, what you "
        "take for the cause, how sure you are. A squawk that rests on no line does not count as "
        "noticing. A wrong one costs the more the surer you were; you can strike it out again. "
        "What you change without need costs as well, so prove the cause first.",
        SquawkTry,
    ),
    (
        "The sticks",
        "Held keys move the sticks; springs bring them back, but the throttle stays where it is. "
        "A gamepad or a transmitter by cable is better, and can be taught under Settings.\nTry "
        "the keys while the ring is round the sticks. Hold Firm as well and they go all the way.",
        SticksTry,
    ),
    (
        "The key to find with your eyes shut",
        "Cut stops the motors at once, whatever is going on. Falling from one metre breaks a leg "
        "of the aircraft; not cutting can break more.\nPress it a few times now, until your "
        "finger finds it without your eyes.",
        StopTry,
    ),
    (
        "What counts",
        "Each fault has four rungs: noticed, named, cleared, and proved with a check that would "
        "have shown it. Noticed is what a line you picked speaks for. Only rungs climbed before "
        "takeoff count, and the evening ends: the club locks up when its minutes are gone.\nThen comes a verdict that no "
        "points can buy: a dangerous fault unproved, or one grave act, and it stays on the bench. "
        "Saying yourself that it stays on the bench can be the best answer.\nYou find this walk "
        "again on the first sheet and in the pause.",
        FinalTry,
    ),
)


class Walk:
    """The walk round; `back` is shown when it is left, at the end or before."""

    def __init__(self, back: Screen, page: int = 0) -> None:
        self.back = back
        self._turn(page)

    def _turn(self, page: int) -> None:
        self.page = page
        self.tried = PAGES[page][2]()
        self._roll = Roll()
        self._fresh = True

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the page and do what was asked."""
        canvas, u = ui.canvas, ui.unit
        if not app.settings.shown_round:
            app.change(shown_round=True)
        if self._fresh:
            ui.focus, self._fresh = self.tried.first, False
        title, words, _ = PAGES[self.page]
        place, low = wood(ui, area, app.notice)
        sheet = middle(canvas, place, *SHEET_UNITS)
        inside = taped(canvas, sheet)
        rest = headed(canvas, inside, title)
        count(canvas, inside, self.page)
        rest = rest.top(rest.h - self._ways_height(ui, rest) - GAP_UNITS * u)
        parts = Cut(rest, u)
        left, right = parts.left(rest.w * WORDS_SHARE, 26), parts.rest
        self._roll.show(ui, "words", left, title, lambda r: reading(canvas, r, words))
        self.tried.show(ui, app, right, dt_s)
        self._ways(ui, app, inside)
        lower(ui, low, app.notice, leading_out(ui, "leave"))

    def _labels(self) -> tuple[tuple[str, str], ...]:
        last = self.page == len(PAGES) - 1
        return (
            ("page-before", "Previous page"),
            ("page-after", "Done" if last else "Next page"),
            ("pause", "Leave"),
        )

    def _widths(self, ui: Ui) -> list[float]:
        keyed = [act_width(ui, name, words) for name, words in self._labels()]
        return [max(keyed)] * len(keyed)

    def _ways_height(self, ui: Ui, rect: Rect) -> float:
        return flow_height(rect, self._widths(ui), ui.row_height, 8 * ui.unit)

    def _ways(self, ui: Ui, app: App, rect: Rect) -> None:
        tall = self._ways_height(ui, rect)
        low = Rect(rect.x, rect.bottom - tall, rect.w, tall)
        places = flowed(low, self._widths(ui), ui.row_height, 8 * ui.unit)
        before, after, leave = (
            ui.act(name, place, words, name != "page-before" or self.page > 0)
            for (name, words), place in zip(self._labels(), places, strict=True)
        )
        if leave or (after and self.page == len(PAGES) - 1):
            app.go(self.back)
        elif after or before:
            self._turn(self.page + (1 if after else -1))


def count(canvas: Canvas, rect: Rect, page: int) -> None:
    """Write which sheet this is."""
    words = f"{page + 1} of {len(PAGES)}"
    canvas.text((rect.right, rect.y + 4 * canvas.scale), words, SMALL, "right")


def reading(canvas: Canvas, rect: Rect, words: str) -> float:
    """Write paragraphs; return the height used, px."""
    column = Column(canvas, rect)
    for paragraph in words.split("\n"):
        column.write(paragraph, LARGE, 10)
    return column.used
