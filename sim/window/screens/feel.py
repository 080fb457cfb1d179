"""How a device feels: dead band and softness of each function, with the sticks live beside."""

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.canvas import Rect
from sim.window.layout import Cut, line_in
from sim.window.screens.padparts import drawn_sticks
from sim.window.screens.paper import Column, Roll
from sim.window.sticks.mapping import DeviceMapping, apply
from sim.window.theme import BODY, NUMBER, SMALL
from sim.window.ui import Ui

MOST_DEAD_BAND = 0.3  # 1; own: a stick that needs more wants repair
DEAD_BAND_STEP = 0.01  # 1; own
EXPO_STEP = 0.05  # 1; own
STICKS_SHARE = 0.42  # of the width; own
WHAT = (
    "Dead band: how far a stick may rest from its middle and still count as let go. "
    "Softness: how gently it begins; the ends stay where they are."
)


class Feel:
    """The sliders of one mapping; `mapping` is what they say now."""

    def __init__(self, mapping: DeviceMapping) -> None:
        self.mapping = mapping
        self._roll = Roll()

    def show(self, ui: Ui, rect: Rect, mode: int, axes: tuple[float, ...]) -> None:
        """Draw sliders and live sticks."""
        parts = Cut(rect, ui.unit)
        right = parts.right(rect.w * STICKS_SHARE, 20)
        right = right.top(0.62 * right.w)
        self._roll.show(ui, "feel-roll", parts.rest, "Feel", lambda r: self._sheet(ui, r), False)
        drawn_sticks(ui.canvas, right, mode, apply(self.mapping, axes))

    def _sheet(self, ui: Ui, sheet: Rect) -> float:
        column = Column(ui.canvas, sheet)
        column.small(WHAT, 8)
        for function in CHANNELS:
            self._function(ui, column, function)
        return column.used

    def _function(self, ui: Ui, column: Column, function: ChannelName) -> None:
        axis = self.mapping.axis(function)
        column.write(f"{function.capitalize()}: axis {axis.index + 1}", BODY, 2)
        dead = _slide(
            ui,
            column,
            f"dead-{function}",
            "Dead band",
            axis.dead_band,
            MOST_DEAD_BAND,
            DEAD_BAND_STEP,
        )
        expo = _slide(ui, column, f"expo-{function}", "Softness", axis.expo, 1.0, EXPO_STEP)
        column.gap(8)
        if (dead, expo) != (axis.dead_band, axis.expo):
            changed = axis.model_copy(update={"dead_band": dead, "expo": expo})
            self.mapping = self.mapping.model_copy(update={function: changed})


def _slide(
    ui: Ui, column: Column, id_: str, words: str, value: float, most: float, step: float
) -> float:
    """Draw a slider with its words and value; return the value, unchanged if it was not moved."""
    canvas = ui.canvas
    row = column.top(ui.row_height, 2)
    line_in(canvas, row, words, SMALL, pad=8)
    parts = Cut(row, ui.unit)
    parts.left(canvas.measure("Dead band ", SMALL)[0], 12)
    number = parts.right(canvas.measure("100 %", NUMBER)[0], 10)
    name = f"{words}, {id_.split('-')[1]}"
    found = ui.slider(id_, parts.rest, name, value, 0.0, max(most, value), step)
    shown = f"{found:.0%}".replace("%", " %")
    line_in(canvas, number, shown, NUMBER, "right")
    return value if abs(found - value) < step / 2 else round(found, 3)
