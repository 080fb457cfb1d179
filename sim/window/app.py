"""The whole window but for its pixels: settings, keys, widgets and the screen that is up."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from sim.runs import nothing_else
from sim.session import actions as act
from sim.window import settings as kept
from sim.window.canvas import Canvas, Rect
from sim.window.controls import STOPPED_ITSELF, Controls
from sim.window.debriefing import Pages
from sim.window.drill import Drill
from sim.window.handling import Pull, let_go, turning_of
from sim.window.inputs import Inputs
from sim.window.keys import KeyMap
from sim.window.practice import Practice
from sim.window.settings import Settings
from sim.window.sticks.mapping import DeviceMapping
from sim.window.sticks.positions import Positions
from sim.window.theme import BENCH, SCALES
from sim.window.toosmall import draw_too_small, too_small
from sim.window.ui import Ui

Painter = Callable[[Any, Any, Any], None]  # (target, craft, room): fills a target with the garage


def plain(target: Any, craft: Any, room: Any) -> None:
    """Paint nothing, where there are no pixels."""


def no_page(folder: Path) -> None:
    """Show no page of a run, where there is no browser."""


class Screen(Protocol):
    """Something that fills the window and takes the strokes."""

    def show(self, ui: Ui, app: "App", area: Rect, dt_s: float) -> None:
        """Draw a frame and do what was asked. `dt_s`: time since the last frame, s."""
        ...


class Blank:
    """Nothing, before the first screen."""

    def show(self, ui: Ui, app: "App", area: Rect, dt_s: float) -> None:
        """Draw the bare wood."""
        ui.canvas.fill(area, BENCH)


class App:
    """Everything that outlives a screen. `path`: where the settings are kept."""

    def __init__(self, path: Path, also: Pages = nothing_else) -> None:
        self.path, self.also = path, also
        self.settings, self.notice = kept.loaded(path)
        self.ui = Ui(KeyMap(self.settings.keys))
        self.screen: Screen = Blank()
        self.paint: Painter = plain
        self.show_page: Callable[[Path], None] = no_page
        self.drill: Drill | None = None
        self.controls = Controls()
        self.pad: Any = None
        self.devices: Any = None
        self.at_sticks = False  # whether the keys of the sticks are the sticks
        self.pull = Pull()
        self.calm_s = 0.0  # the least time between frames: a screen on which little moves sets it
        self.silent = ""  # why nothing is heard, if that is so
        self.quits = False

    @property
    def device(self) -> DeviceMapping | None:
        """Return what is known of the device that has the sticks; None: the keys have them."""
        return self.pad.mapping if self.pad is not None else None

    # --- the drill under way ---------------------------------------------------------------------

    def take(self, drill: Drill) -> None:
        """Take up a drill; one that was under way is left."""
        self.leave()
        self.drill = drill
        self.controls = Controls()

    def leave(self) -> None:
        """Leave the drill under way, if there is one."""
        if self.drill is not None:
            self.drill.close()
        self.drill = None

    def move(self, acts: frozenset[str], dt_s: float) -> None:
        """Move sticks and time by a frame. `acts`: held acts whose keys are down."""
        drill = self.drill
        if not isinstance(drill, Practice):
            return
        if drill.news:
            self.notice, drill.news = drill.news, ""
        theirs = self.at_sticks or drill.flying or "hands-on" in acts
        open_ = drill.ready and (drill.moves or drill.view.doing is not None)
        if not theirs and not open_ and self.pad is None:
            self.controls.low()
        positions = self.controls.step(acts if theirs else frozenset(), self.pad, dt_s)
        if drill.ready:
            view = drill.view
            if not drill.busy:
                self._hands(drill, positions, "hands-on" in acts, dt_s)
                self.controls.see(view.armed)
            for action in self.controls.asked(
                self.pad, view.armed, view.conduct.self_level, view.doing == "switches"
            ):
                self.ask(action)
                if isinstance(action, act.Disarm) and not view.armed:
                    self.notice = STOPPED_ITSELF
        if self.pad is not None and "pause" in self.pad.went_on:
            drill.paused = True
        drill.step(dt_s)

    def _hands(self, drill: Practice, positions: Positions, hold: bool, dt_s: float) -> None:
        """Give the sticks to the transmitter, or to the hands on the aircraft. hold : by a key."""
        drill.sticks, drill.turning = positions, self.pull.turning(dt_s)
        if self.pad is not None and self.pad.switches.stop is not None:
            drill.stop = self.pad.switches.stop
        if drill.view.conduct.hold != "hands":
            drill.turning = None
        elif hold or (self.pad is not None and self.pad.switches.hands):
            drill.sticks, drill.turning = let_go(positions), turning_of(positions)

    def ask(self, action: act.Action) -> bool:
        """Ask the drill for something, unless the sticks forbid it; tell whether it was begun."""
        if not isinstance(self.drill, Practice):
            return False
        self.notice = self.controls.refusal(action)
        if self.notice:
            return False
        if isinstance(action, act.Disarm):
            self.controls.put_off()
        return self.drill.ask(action)

    def lost_pad(self, name: str) -> None:
        """Take the loss of the pad in use: the clock stands, the sticks are safe."""
        self.notice = self.controls.lost(name)
        if self.drill is not None:
            self.drill.paused = True

    # --- screens and settings --------------------------------------------------------------------

    def go(self, screen: Screen) -> None:
        """Show another screen from the next frame on."""
        self.screen = screen
        self.calm_s = 0.0
        self.ui.focus = None

    def change(self, **changes: object) -> None:
        """Change settings and keep them at once."""
        self.settings = Settings.model_validate({**self.settings.model_dump(), **changes})
        self.ui.keys = KeyMap(self.settings.keys)
        self.notice = kept.keep(self.path, self.settings)

    def frame(self, canvas: Canvas, inputs: Inputs, dt_s: float) -> None:
        """Draw one frame."""
        canvas.text_scale = self.settings.text_scale
        self.ui.device = self.device
        self.ui.begin(canvas, inputs)
        if too_small(canvas):
            if isinstance(self.drill, Practice) and self.drill.flying:
                self.drill.paused = True
            draw_too_small(canvas, self.ui.keys)
        else:
            self.screen.show(self.ui, self, Rect(0.0, 0.0, canvas.width, canvas.height), dt_s)
        self._usual()
        self.ui.end()

    def _usual(self) -> None:
        """Do the acts that work everywhere."""
        ui = self.ui
        if ui.struck("cut"):
            self.ask(act.Disarm())
        if ui.struck("text-size"):
            larger = [s for s in SCALES if s > self.settings.text_scale + 1e-6]
            self.change(text_scale=larger[0] if larger else SCALES[0])
        if ui.struck("full-screen"):
            self.change(full_screen=not self.settings.full_screen)
        if ui.struck("sound"):
            self.change(volume=0.0 if self.settings.volume > 0.0 else Settings().volume)
