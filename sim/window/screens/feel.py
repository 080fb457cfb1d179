"""How a device feels: dead band and softness of each function, with the sticks live beside."""

from sim.aircraft.fields import CHANNELS, ChannelName
from sim.window.canvas import Rect
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
        gap = 20 * ui.unit
        wide = rect.w * STICKS_SHARE
        left = Rect(rect.x, rect.y, rect.w - wide - gap, rect.h)
        right = Rect(left.right + gap, rect.y, wide, min(rect.h, 0.62 * wide))
        self._roll.show(ui, "feel-roll", left, "Feel", lambda r: self._sheet(ui, r), False)
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
    canvas, u = ui.canvas, ui.unit
    row = column.take(ui.row_height, 2)
    label = canvas.measure("Dead band ", SMALL)[0] + 12 * u
    number = canvas.measure("100 %", NUMBER)[0] + 10 * u
    y = row.centre[1]
    canvas.text((row.x + 8 * u, y - canvas.measure("x", SMALL)[1] / 2), words, SMALL)
    place = Rect(row.x + label, row.y, row.w - label - number, row.h)
    name = f"{words}, {id_.split('-')[1]}"
    found = ui.slider(id_, place, name, value, 0.0, max(most, value), step)
    shown = f"{found:.0%}".replace("%", " %")
    canvas.text((row.right, y - canvas.measure("x", NUMBER)[1] / 2), shown, NUMBER, "right")
    return value if abs(found - value) < step / 2 else round(found, 3)
