"""The debrief's second sheet: the evening line by line, and what could be known from when on."""

from collections.abc import Sequence

from sim.window import theme
from sim.window.canvas import Rect
from sim.window.debriefing import Moment
from sim.window.screens.paper import Column, text_height
from sim.window.theme import BODY, BODY_BOLD, NUMBER, SMALL, Type
from sim.window.ui import Ui

ABOUT = "Enter on a line, or a click, opens the run there."
SEEN = "From here on it could be seen: {}."
EMPTY = "Nothing was done."


class Evening:
    """The sheet. `asked`: the act that the run is to be watched from, once that was pressed."""

    def __init__(self) -> None:
        self.asked: int | None = None

    def draw(self, ui: Ui, sheet: Rect, moments: Sequence[Moment], may: bool) -> float:
        """Write the sheet; return the height used, px. may : the run can be watched."""
        column = Column(ui.canvas, sheet)
        if may and moments:
            column.small(ABOUT, 6)
        if not moments:
            column.write(EMPTY)
        room = ui.canvas.measure("minute 000", NUMBER)[0] + 12 * ui.unit
        places = [self._place(column, moment, room) for moment in moments]
        self.asked = None
        if may:
            spots = [
                (_whole(one), one.when, place) for one, place in zip(moments, places, strict=True)
            ]
            at = ui.spots("moment", spots)
            self.asked = None if at is None else moments[at].act
        for moment, place in zip(moments, places, strict=True):
            _write(ui, place, moment, room)
        return column.used

    def _place(self, column: Column, moment: Moment, room: float) -> Rect:
        wide = column.rest.w - room
        tall = text_height(column.canvas, moment.words, _style(moment), wide)
        if moment.shown:
            tall += text_height(column.canvas, _seen(moment), BODY_BOLD, wide)
        return column.top(tall + 4 * column.unit, 2)


def _style(moment: Moment) -> Type:
    return BODY if moment.key else SMALL.on(theme.INK)


def _seen(moment: Moment) -> str:
    return SEEN.format(", ".join(moment.shown))


def _whole(moment: Moment) -> str:
    return f"{moment.words} {_seen(moment)}" if moment.shown else moment.words


def _write(ui: Ui, place: Rect, moment: Moment, room: float) -> None:
    u = ui.unit
    ui.canvas.text((place.x + 4 * u, place.y + 2 * u), moment.when, SMALL)
    lines = Column(ui.canvas, Rect(place.x + room, place.y + 2 * u, place.w - room, place.h))
    lines.write(moment.words, _style(moment))
    if moment.shown:
        lines.write(_seen(moment), BODY_BOLD)
