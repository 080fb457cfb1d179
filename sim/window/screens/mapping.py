"""Teaching the sandbox a gamepad or transmitter: choose it, show each stick, set how it feels."""

from collections.abc import Sequence
from typing import Protocol

from sim.window import theme
from sim.window.app import App, Screen
from sim.window.canvas import Rect
from sim.window.padwords import on_sheets, told
from sim.window.screens.feel import Feel
from sim.window.screens.padparts import axis_bars, drawn_sticks
from sim.window.screens.paper import (
    GAP_UNITS,
    Column,
    foot,
    headed,
    leading_out,
    lower,
    taped,
    wood,
)
from sim.window.sticks.helper import Helper
from sim.window.sticks.mapping import SWITCHES, DeviceMapping
from sim.window.theme import BODY, HEAD, SMALL
from sim.window.ui import Ui

NONE = (
    "Nothing is plugged in that has two sticks. Plug a gamepad or a USB transmitter in and it "
    "appears here. The keys alone are enough as well."
)
BARS_UNITS = 640.0  # units; own: width of the axes' bars at 100 % text
STICKS_TALL = 0.62  # of the width; own: height of the drawn transmitter
GONE = "It is gone: it was unplugged, or its battery is empty."
KNOWN, NEW = "known", "new"
BACK = ("pause", "Back", True)


class RawDevice(Protocol):
    """A device plugged in."""

    @property
    def instance(self) -> int:
        """New at every plugging in."""

    @property
    def guid(self) -> str:
        """What kind of device it is."""

    @property
    def name(self) -> str:
        """Its maker's name for it."""

    @property
    def axes_count(self) -> int:
        """How many axes it has."""

    @property
    def buttons_count(self) -> int:
        """How many buttons it has."""


class RawState(Protocol):
    """How the device in use stands in a frame: axes -1..1 and buttons, as the device says them."""

    @property
    def device(self) -> RawDevice:
        """The device."""

    @property
    def axes(self) -> tuple[float, ...]:
        """Its axes."""

    @property
    def buttons(self) -> tuple[bool, ...]:
        """Its buttons."""


class RawPads(Protocol):
    """All devices plugged in, and what is known of them. It is `App.devices`; a state `App.pad`."""

    @property
    def devices(self) -> Sequence[RawDevice]:
        """Every device with two sticks."""

    @property
    def mappings(self) -> Sequence[DeviceMapping]:
        """Every mapping known."""

    def use(self, instance: int) -> None:
        """Use this device from now on."""

    def learn(self, mapping: DeviceMapping) -> None:
        """Keep a mapping and use it at once."""

    def guessed(self) -> DeviceMapping | None:
        """Return a guess for the device in use, if it is a plain pad."""


class PadSheet:
    """The devices, and the helper for the one chosen. `back` is shown when it is left."""

    def __init__(self, back: Screen) -> None:
        self.back = back
        self.helper: Helper | None = None
        self.feel: Feel | None = None
        self.picked: int | None = None
        self.said = ""
        self._time_s = 0.0

    def show(self, ui: Ui, app: App, area: Rect, dt_s: float) -> None:
        """Draw the step that is due."""
        canvas = ui.canvas
        self._time_s += dt_s
        state = self._state(app)
        notice = self.said or app.notice
        sheet, low = wood(ui, area, notice)
        rest = taped(canvas, sheet)
        if self.feel is not None and state is not None:
            self._feel(ui, app, rest, state, self.feel)
        elif self.helper is not None and state is not None:
            self._help(ui, app, rest, state, self.helper)
        else:
            self._choose(ui, app, rest, state)
        ui.by_pad = self.helper is None and self.feel is None  # else its sticks are shown and tried
        lower(ui, low, notice, leading_out(ui), caution=self.said in ("", GONE))

    def _state(self, app: App) -> RawState | None:
        """Return the state of the device chosen; forget it if it is gone."""
        state: RawState | None = app.pad
        if state is not None and self.picked in (None, state.device.instance):
            return state
        there = [d.instance for d in app.devices.devices] if app.devices is not None else []
        if self.picked is not None and self.picked not in there:
            self.helper = self.feel = self.picked = None
            self.said = GONE
        return None

    # --- choosing --------------------------------------------------------------------------------

    def _choose(self, ui: Ui, app: App, rect: Rect, state: RawState | None) -> None:
        canvas, u = ui.canvas, ui.unit
        pads: RawPads | None = app.devices
        devices = list(pads.devices) if pads is not None else []
        rest = headed(canvas, rect, "Gamepads and transmitters")
        if not devices:
            column = Column(canvas, rest)
            column.write(NONE, BODY, 12)
            free, pressed = foot(ui, column.rest, (BACK,))
            wide = min(free.w, BARS_UNITS * u)
            drawn_sticks(
                canvas,
                Rect(free.x, free.y, wide, min(free.h, STICKS_TALL * wide)),
                app.settings.stick_mode,
                None,
            )
            if pressed:
                app.go(self.back)
            return
        assert pads is not None
        chosen = state.device if state is not None else None
        known = {m.key for m in pads.mappings}
        list_h = min(rest.h * 0.4, len(devices) * ui.row_height + 2 * u)
        scroll = ui.scroll("pad", rest.top(list_h), len(devices))
        for i, row in scroll:
            one = devices[i]
            word = KNOWN if (one.guid, one.name, one.axes_count) in known else NEW
            mine = chosen is not None and chosen.instance == one.instance
            if ui.row(f"pad:{i}", row, one.name, word, mine):
                pads.use(one.instance)
                self.picked, self.said = one.instance, ""
        ui.scrollbar(scroll)
        below = rest.below(list_h + GAP_UNITS * u)
        self._ways(ui, app, pads, below, state)

    def _ways(self, ui: Ui, app: App, pads: RawPads, rect: Rect, state: RawState | None) -> None:
        """Draw what can be done with the device chosen, and how it stands."""
        found = None
        if state is not None:
            found = next((m for m in pads.mappings if m.key == _key(state.device)), None)
        guess = pads.guessed() if state is not None and found is None else None
        ways = [("teach", "Show it each stick", state is not None)]
        ways.append(("feel", "How it feels", found is not None))
        if guess is not None:
            ways.append(("guess", "Try the usual order", True))
        free, pressed = foot(ui, rect, [*ways, BACK])
        if state is not None:
            column = Column(ui.canvas, free)
            if found is not None:
                column.write(f"{told(found)} {on_sheets(found)}", SMALL.on(theme.INK), 8)
            column.write(f"{state.device.name}, as it says itself:", SMALL, 4)
            wide = min(column.rest.w, BARS_UNITS * ui.unit * ui.canvas.text_scale)
            axis_bars(ui.canvas, column.rest._replace(w=wide), state.axes, state.buttons)
        if pressed == "teach" and state is not None:
            one = state.device
            self.helper = Helper(
                one.axes_count,
                one.buttons_count,
                mode=app.settings.stick_mode,
                guid=one.guid,
                name=one.name,
                wanted=SWITCHES if one.buttons_count or one.axes_count > 4 else (),
            )
            self.picked, self.said, ui.focus = one.instance, "", None
        elif pressed in ("feel", "guess"):
            mapping = found or guess
            assert mapping is not None
            self.feel, self.said, ui.focus = Feel(mapping), "", None
        elif pressed == "pause":
            app.go(self.back)

    # --- the helper ------------------------------------------------------------------------------

    def _help(self, ui: Ui, app: App, rect: Rect, state: RawState, helper: Helper) -> None:
        canvas, u = ui.canvas, ui.unit
        helper.feed(self._time_s, state.axes, state.buttons)
        column = Column(canvas, headed(canvas, rect, state.device.name))
        column.write(helper.prompt, HEAD, 6)
        if helper.trouble:
            h = canvas.measure("x", BODY)[1]
            box = Column(canvas, column.rest.inset(10 * u, 4 * u))
            lines_h = h * (1 + canvas.measure(helper.trouble, BODY)[0] // box.rect.w)
            canvas.fill(column.rest.top(lines_h + 8 * u), theme.CAUTION, 3 * u)
            box.write(helper.trouble, BODY)
            column.top(lines_h + 8 * u, 6)
        bar = column.top(14 * u, 10)
        canvas.frame(bar, theme.INK, 1.5 * u)
        canvas.fill(bar.inset(3 * u)._replace(w=(bar.w - 6 * u) * helper.progress), theme.PENCIL)
        ways = [("again", "From the start", True)]
        if helper.may_skip:
            ways.insert(0, ("skip", "Leave this one out", True))
        if helper.live is not None:
            ways.insert(0, ("keep", "Keep this", True))
        free, pressed = foot(ui, column.rest, [*ways, BACK])
        left, right = free.column(0, 2, 18 * u), free.column(1, 2, 18 * u)
        left = left.top(STICKS_TALL * left.w)
        drawn_sticks(canvas, left, app.settings.stick_mode, helper.live, helper.asking)
        axis_bars(canvas, right, state.axes, state.buttons)
        if pressed == "skip":
            helper.skip()
        elif pressed == "again":
            helper.again()
        elif pressed == "keep" and helper.confirm():
            assert helper.mapping is not None
            self.feel, self.helper, ui.focus = Feel(helper.mapping), None, None
        elif pressed == "pause":
            self.helper = None

    # --- how it feels ----------------------------------------------------------------------------

    def _feel(self, ui: Ui, app: App, rect: Rect, state: RawState, feel: Feel) -> None:
        rest = headed(ui.canvas, rect, f"How {state.device.name} feels")
        ways = (("save", "Keep it so", True), BACK)
        free, pressed = foot(ui, rest, ways)
        feel.show(ui, free, app.settings.stick_mode, state.axes)
        if pressed == "save":
            mapping = feel.mapping.model_copy(update={"unconfirmed": False})
            app.devices.learn(mapping)
            others = tuple(m for m in app.settings.devices if m.key != mapping.key)
            app.change(devices=(*others, mapping))
            self.feel, self.said = None, f"{mapping.name} is known from now on."
        elif pressed == "pause":
            self.feel = None


def _key(device: RawDevice) -> tuple[str, str, int]:
    return device.guid, device.name, device.axes_count
