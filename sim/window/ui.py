"""Widgets: drawn and asked each frame, worked by keys alone or by the pointer.

Where the focus is and what was pressed is kept by `sim/window/focus.py`.
"""

from collections.abc import Sequence

from sim.window import theme
from sim.window.canvas import Rect, fitted, tail
from sim.window.focus import Focus
from sim.window.keys import BY_NAME
from sim.window.layout import WAYS, beside
from sim.window.longlist import draw_bar, moved
from sim.window.nodes import Scroll
from sim.window.theme import BODY, KEY, NUMBER, Type

WHEEL_ROWS = 3.0  # rows; own: a notch of the wheel
LONGEST = 200  # letters; own: on a line to write on


class Ui(Focus):
    """The widgets of one window; `begin` and `end` each frame."""

    # --- widgets -------------------------------------------------------------------------------

    def button(
        self,
        id_: str,
        rect: Rect,
        words: str,
        cap: str = "",
        enabled: bool = True,
        style: Type = BODY,
        ground: theme.Colour = theme.TAPE,
    ) -> bool:
        """Draw a button as a strip of tape; tell whether it was pressed."""
        pressed = self._touch(id_, "button", words, rect, enabled=enabled)
        canvas, u = self.canvas, self.unit
        canvas.fill(rect, ground if enabled else theme.PAPER_SHADE, 3 * u)
        ink = style.colour if enabled else theme.INK_SOFT
        left = self.keycap(
            rect.right - 5 * u, rect.centre[1], cap, live=enabled and not self.typing
        )
        h = canvas.measure(words, style)[1]
        shown = fitted(canvas, words, style, left - rect.x - 10 * u)
        canvas.text((rect.x + 8 * u, rect.centre[1] - h / 2), shown, style.on(ink))
        self.ring(id_, rect)
        return pressed and enabled

    def act(
        self,
        name: str,
        rect: Rect,
        words: str = "",
        enabled: bool = True,
        short: str = "",
        style: Type = BODY,
    ) -> bool:
        """Draw the button of an act with its key; tell whether it was pressed or its key struck.

        short : what stands there if the words don't fit.
        """
        cap = self.keys.cap(name)
        room = rect.w - self.canvas.measure(cap, KEY)[0] - 32 * self.unit
        if short and self.canvas.measure(words, style)[0] > room:
            words = short
        if enabled:
            self._lettered.add(self.keys.key(name))
        pressed = self.button(name, rect, words or BY_NAME[name].words, cap, enabled, style)
        return (self.struck(name) and enabled) or pressed

    def row(
        self,
        id_: str,
        rect: Rect,
        left: str,
        right: str = "",
        picked: bool = False,
        enabled: bool = True,
        style: Type = BODY,
        indent: float = 0.0,
    ) -> bool:
        """Draw a line of a list; tell whether it was pressed. indent : px left free before it."""
        pressed = self._touch(id_, "row", left, rect, right, enabled)
        canvas, u = self.canvas, self.unit
        if picked or self.focus == id_:
            canvas.fill(rect, theme.PICKED, 2 * u)
        ink = style if enabled else style.on(theme.INK_SOFT)
        h = canvas.measure("x", style)[1]
        y = rect.centre[1] - h / 2
        at = rect.x + 6 * u + indent
        edge = rect.right - 6 * u
        if right:
            shown = fitted(canvas, right, NUMBER, rect.w * 0.66)
            w, nh = canvas.measure(shown, NUMBER)
            canvas.text((edge - w, rect.centre[1] - nh / 2), shown, NUMBER)
            edge -= w + 8 * u
        canvas.text((at, y), fitted(canvas, left, style, edge - at), ink)
        self.ring(id_, rect.inset(2 * u))
        return pressed and enabled

    def blank_row(self, id_: str, rect: Rect, name: str, value: str, picked: bool) -> bool:
        """Draw the ground of a list's line whose words the caller writes; tell if pressed."""
        pressed = self._touch(id_, "row", name, rect, value)
        if picked or self.focus == id_:
            self.canvas.fill(rect, theme.PICKED, 2 * self.unit)
        self.ring(id_, rect.inset(2 * self.unit))
        return pressed

    def draft(self, id_: str, words: str) -> None:
        """Put words into a field as if they had been typed, to be confirmed or changed."""
        self._drafts[id_] = words

    def field(self, id_: str, rect: Rect, value: str, hint: str = "", name: str = "") -> str | None:
        """Draw a line to write on; return what was written when Enter confirms and leaves it."""
        self._touch(id_, "field", name or hint, rect, self._drafts.get(id_, value))
        canvas, u, inputs = self.canvas, self.unit, self.inputs
        focused = self.focus == id_
        draft, done = self._drafts.get(id_, value), None
        if focused:
            self.typing = True
            draft, done = inputs.write(draft, LONGEST)
        self._drafts[id_] = draft
        if done is not None or not focused:
            self._drafts.pop(id_, None)
        canvas.fill(rect, theme.PAPER if focused else theme.PAPER_SHADE, 2 * u)
        base = rect.bottom - 3 * u
        canvas.line(((rect.x, base), (rect.right, base)), theme.INK_SOFT, 1)
        style = theme.NOTE if draft else theme.SMALL
        h = canvas.measure("x", style)[1]
        room = rect.w - 12 * u
        fit = tail if focused and draft else fitted
        shown = fit(canvas, draft or hint, style, room)
        canvas.text((rect.x + 5 * u, rect.centre[1] - h / 2), shown, style)
        if focused:
            x = rect.x + 6 * u + (canvas.measure(shown, style)[0] if draft else 0.0)
            x = min(x, rect.right - 4 * u)
            canvas.line(((x, rect.y + 4 * u), (x, rect.bottom - 5 * u)), theme.PENCIL, 2 * u)
        self.ring(id_, rect)
        if focused and inputs.take("escape"):
            self._drafts.pop(id_, None)
            self.leave()
            inputs.strokes = []
        elif done is not None:
            self.leave()
        return done

    def slider(
        self, id_: str, rect: Rect, name: str, value: float, low: float, high: float, step: float
    ) -> float:
        """Draw a rule with a slide; return the value after arrows, Home, End or a drag."""
        self._touch(id_, "slider", name, rect, f"{value:g}")
        canvas, u, inputs = self.canvas, self.unit, self.inputs
        if self.focus == id_:
            for key, change in (("left", -step), ("right", step)):
                if inputs.take(key):
                    value += change
            value = low if inputs.take("home") else high if inputs.take("end") else value
        left, length = rect.x + 8 * u, rect.w - 16 * u
        if self._held == id_ and inputs.down:
            share = (inputs.pointer[0] - left) / max(1.0, length)
            value = low + round(share * (high - low) / step) * step
        value = min(high, max(low, value))
        y = rect.centre[1]
        canvas.line(((left, y), (left + length, y)), theme.INK_SOFT, 2 * u)
        x = left + length * (value - low) / (high - low)
        canvas.fill(Rect(x - 5 * u, y - 9 * u, 10 * u, 18 * u), theme.INK, 2 * u)
        self.ring(id_, rect)
        return value

    def choice(self, id_: str, rect: Rect, name: str, options: tuple[str, ...], value: str) -> str:
        """Draw one of several words between arrows; return the word after ←, → or Enter."""
        pressed = self._touch(id_, "choice", name, rect, value)
        canvas, u = self.canvas, self.unit
        at = options.index(value) if value in options else 0
        if self.focus == id_ and self.inputs.take("left"):
            at -= 1
        elif pressed or (self.focus == id_ and self.inputs.take("right")):
            at += 1
        value = options[at % len(options)]
        canvas.fill(rect, theme.PAPER_SHADE, 3 * u)
        h = canvas.measure(value, BODY)[1]
        y = rect.centre[1] - h / 2
        canvas.text((rect.x + 6 * u, y), "‹", BODY)
        canvas.text((rect.right - 6 * u, y), "›", BODY, "right")
        shown = fitted(canvas, value, BODY, rect.w - 36 * u)
        canvas.text((rect.centre[0], y), shown, BODY, "middle")
        self.ring(id_, rect)
        return value

    def spots(self, id_: str, places: Sequence[tuple[str, str, Rect]]) -> int | None:
        """Make places in a picture, each (name, value, rectangle), one list; return the one pressed.

        Up and down go to the nearest place that way, left and right to the one before and after.
        """
        self._lists[id_] = len(places)
        here, _, at = (self.focus or "").rpartition(":")
        if here == id_ and places:
            i = min(int(at), len(places) - 1)
            for way in WAYS:
                if self.inputs.take(way):
                    i = beside([rect for _, _, rect in places], i, way)
            self.focus = f"{id_}:{i}"
        pressed = None
        for i, (name, value, rect) in enumerate(places):
            spot = f"{id_}:{i}"
            self._holding.add(spot)
            if self._touch(spot, "link", name, rect, value):
                pressed = i
            self.ring(spot, rect)
        return pressed

    def tab(self, id_: str, rect: Rect, words: str, cap: str, picked: bool) -> bool:
        """Draw a divider of the folder; tell whether it was pressed."""
        pressed = self._touch(id_, "tab", words, rect, "open" if picked else "")
        canvas, u = self.canvas, self.unit
        canvas.fill(rect, theme.PAPER if picked else theme.PAPER_SHADE, 4 * u)
        style = theme.BODY_BOLD if picked else theme.SMALL
        left = self.keycap(rect.right - 3 * u, rect.centre[1], cap, live=not self.typing)
        self._lettered.add(cap.lower())
        h = canvas.measure("x", style)[1]
        shown = fitted(canvas, words, style, left - rect.x - 5 * u)
        canvas.text((rect.x + 5 * u, rect.centre[1] - h / 2), shown, style)
        self.ring(id_, rect)
        return pressed

    def hand(self, id_: str, rect: Rect, name: str) -> bool:
        """Make a picture something the keys can take; tell whether they have it."""
        self._touch(id_, "picture", name, rect)
        self._holding.add(id_)
        return self.focus == id_

    def dragging(self, id_: str) -> bool:
        """Tell whether the pointer pulls at something."""
        return self._held == id_ and self.inputs.down

    # --- long lists ----------------------------------------------------------------------------

    def scroll(
        self, id_: str, rect: Rect, rows: int, h: float | None = None, names: Sequence[str] = ()
    ) -> Scroll:
        """Return the window on to a list of this many rows; wheel, keys and focus move it.

        h : px a row, if not the usual; names : of the rows: a letter that stands on no cap goes to
        the next row so begun.
        """
        h = h or self.row_height
        room = max(1, int(rect.h // h))
        self._lists[id_] = rows
        top = self._scroll.get(id_, 0.0)
        if rect.holds(self.inputs.pointer) and self.inputs.wheel:
            top -= self.inputs.wheel * WHEEL_ROWS
        prefix = id_ + ":"
        if self.focus is not None and self.focus.startswith(prefix):
            at = moved(self.inputs, int(self.focus[len(prefix) :]), rows, room, names, self._caps)
            if at is not None:
                self.focus, self._moved = f"{prefix}{at}", True
            at = self._marks[id_] = min(int(self.focus[len(prefix) :]), max(0, rows - 1))
            if self._moved:
                top = min(max(top, at - room + 1), at)
        top = max(0.0, min(top, rows - room))
        self._scroll[id_] = top
        return Scroll(rect, int(top), room, rows, h)

    def scrollbar(self, scroll: Scroll) -> None:
        """Draw how much of a list is seen, if not all of it."""
        draw_bar(self.canvas, scroll)
