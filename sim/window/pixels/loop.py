"""The window itself: opened, kept at its pace, closed."""

import gc
import os
import sys
import time
from collections.abc import Callable
from math import dist
from threading import Thread
from typing import Any

import numpy as np
import pygame

from sim.session import actions as act
from sim.window import theme
from sim.window.app import App
from sim.window.canvas import Rect
from sim.window.controls import held_acts
from sim.window.inputs import Inputs
from sim.window.padmoves import PadMoves
from sim.window.pixels.canvas import PixelCanvas
from sim.window.pixels.events import Keyboard
from sim.window.pixels.pads import Lost, Pads, PadState, allow_background
from sim.window.pixels.scene import ScenePainter
from sim.window.pixels.speaker import Speaker
from sim.window.practice import Practice
from sim.window.said import Said
from sim.window.scene.view import MOUTH_M
from sim.window.sound import Mixer, Rotors, SoundFrame
from sim.window.sound.rotors import REFERENCE

SIZE = (1280, 720)  # px; design
EAR_UP_M = 1.6  # m; own: height of the pilot's ear at the pad
AT_HAND_M = 0.6  # m; own: from the ear to what is in the hands or on the bench
SWITCHED = (act.SwitchTransmitter, act.SetMode, act.Arm, act.Disarm, act.PlugPack, act.UnplugPack)
SWITCH_S = 0.001  # s; own: the worker yields to the picture this often
SELDOM = (
    1000  # own: the collector looks through all there is once in some ten minutes of frames, not in
)
# seconds: a look takes 10 ms, much of it for the compiler, which is there once something has flown


def icon() -> pygame.Surface:
    """Return the window's sign: the aircraft from above on a piece of job card."""
    surface = pygame.Surface((64, 64), pygame.SRCALPHA)
    canvas = PixelCanvas(surface)
    canvas.fill(Rect(2, 2, 60, 60), theme.PAPER, 8)
    hubs = ((17, 17), (47, 17), (47, 47), (17, 47))
    for hub in hubs:
        canvas.line(((32, 32), hub), theme.INK_SOFT, 5)
        canvas.disc(hub, 11, theme.INK_SOFT, 2)
    canvas.fill(Rect(25, 25, 14, 16), theme.INK, 3)
    canvas.shape(((32, 12), (39, 24), (25, 24)), theme.INK)
    return surface


class Window:
    """An open window with its app; `frame` does one frame, `run` all of them."""

    def __init__(self, app: App, size: tuple[int, int] = SIZE):
        allow_background()
        os.environ.setdefault("SDL_VIDEO_X11_WMCLASS", "dryhop")  # what a desktop groups it by
        pygame.display.init()
        pygame.key.set_repeat(400, 40)  # ms; own: usual for writing
        pygame.display.set_caption("dryhop")
        pygame.display.set_icon(icon())
        self.app = app
        self._whole = app.settings.full_screen
        self.surface = self._open(size)
        self.canvas = PixelCanvas(self.surface, app.settings.text_scale)
        self.keyboard = Keyboard()
        self.pads = Pads(app.settings.devices, app.settings.stick_mode)
        self._pad_moves = PadMoves()
        self.mixer = Mixer()
        self.speaker = Speaker(self.mixer)
        self._heard: Said | None = None
        self._airframe: object = None
        self._rotors = REFERENCE
        self._painter = ScenePainter()
        self._preparing: Thread | None = None
        self._settled: object = self  # the drill whose things the collector is spared
        app.paint = self._paint
        app.devices = self.pads
        sys.setswitchinterval(SWITCH_S)
        gc.set_threshold(*gc.get_threshold()[:2], SELDOM)

    def _open(self, size: tuple[int, int]) -> pygame.Surface:
        if self.app.settings.full_screen:
            return pygame.display.set_mode((0, 0), pygame.FULLSCREEN)
        return pygame.display.set_mode(size, pygame.RESIZABLE)

    def _paint(self, target: Any, craft: Any, room: Any) -> None:
        """Paint the view if its backdrop is there; else have it made, and let frames go on."""
        size = target.get_size()
        if self._painter.ready(size, craft, room):
            self._painter.paint(target, craft, room)
            return
        target.fill(theme.BENCH_LIGHT)
        if self._preparing is None or not self._preparing.is_alive():
            self._preparing = Thread(
                target=self._painter.prepare, args=(size, craft, room), daemon=True
            )
            self._preparing.start()

    def frame(self, dt_s: float) -> None:
        """Do one frame: events, sticks and time, picture, sound."""
        self.show(self.take(dt_s), dt_s)

    def take(self, dt_s: float) -> Inputs:
        """Take the events since the last frame; move sticks and time."""
        events = pygame.event.get()
        if any(event.type == pygame.QUIT for event in events):
            self.app.quits = True
        pad = self.pads.poll(events)
        inputs = self.keyboard.inputs(events)
        self._move(inputs.held, pad, dt_s)
        ui = self.app.ui
        inputs.strokes += self._pad_moves.strokes(self.app.pad, ui.by_pad, ui.typing, ui.keys, dt_s)
        return inputs

    def show(self, inputs: Inputs, dt_s: float) -> None:
        """Draw the frame and keep the sound filled up."""
        self._fit()
        self.app.frame(self.canvas, inputs, dt_s)
        self._sound()
        pygame.display.flip()

    def _move(self, held: frozenset[str], pad: PadState | Lost | None, dt_s: float) -> None:
        app = self.app
        app.pad = pad if isinstance(pad, PadState) else None
        if isinstance(pad, Lost):
            app.lost_pad(pad.device.name)
        acts = frozenset() if app.ui.typing else held_acts(app.ui.keys, held)
        app.move(acts, dt_s)

    def _fit(self) -> None:
        if self.app.settings.full_screen != self._whole:
            self._whole = self.app.settings.full_screen
            self._open(SIZE)
        surface = pygame.display.get_surface()
        if surface is not None and (
            surface is not self.canvas.surface
            or surface.get_size() != (self.canvas.width, self.canvas.height)
        ):
            self.surface = surface
            self.canvas.target(surface)

    def _sound(self) -> None:
        """Fill the sound up: rotors as far away as they are, the alarm, a click for a switch."""
        drill, volume = self.app.drill, self.app.settings.volume
        self.app.silent = self.speaker.why_silent or ""
        if drill is None or not drill.ready or drill.paused:
            still = np.zeros((1, 4))
            self.speaker.top_up(
                SoundFrame(still, self._rotors, AT_HAND_M, False, False, 0.0, False, volume)
            )
            return
        if isinstance(drill, Practice) and drill.last is not self._heard:
            self._heard = drill.last
            if self._heard is not None and isinstance(self._heard.action, SWITCHED):
                self.mixer.click()
        view = drill.view
        if view.airframe is not self._airframe:
            self._airframe, self._rotors = view.airframe, Rotors.of(view.airframe)
        on_pad = view.conduct.place == "pad" and view.conduct.hold == "standing"
        seen = view.aircraft
        place = (seen.north_m, seen.east_m, seen.height_m)
        ear_m = (view.room.pilot_north_m, 0.0, EAR_UP_M)
        self.speaker.top_up(
            SoundFrame(
                speeds_rad_s=drill.speeds_rad_s,
                rotors=self._rotors,
                distance_m=dist(place, ear_m) if on_pad else AT_HAND_M,
                props_fitted=view.conduct.props_fitted,
                alarm=view.alarm and view.armed,
                shout_m=dist(MOUTH_M, ear_m) if view.shout else 0.0,
                crash=bool(view.crash),
                volume=volume,
            )
        )

    def run(self, each: Callable[[], None] | None = None) -> None:
        """Keep frames coming until the app quits: sleep first, then poll, move, draw, show."""
        next_s = last_s = time.perf_counter()
        while not self.app.quits:
            next_s += max(self.app.calm_s, 1.0 / self.app.settings.frames_per_s)
            wait_s = next_s - time.perf_counter()
            if wait_s > 0.0:
                time.sleep(wait_s)
            now_s = time.perf_counter()
            next_s = max(next_s, now_s - 0.05)  # s; own: frames missed are not made up for
            self.settle()
            self.frame(now_s - last_s)
            last_s = now_s
            if each is not None:
                each()
        self.close()

    def settle(self) -> None:
        """Spare the collector what a drill brought along, once it is there.

        Looking through all of it takes longer than a frame, and none of it goes before the drill does.
        """
        drill = self.app.drill
        if drill is self._settled or (drill is not None and not drill.ready):
            return
        self._settled = drill
        gc.unfreeze()
        gc.collect()
        gc.freeze()

    def close(self) -> None:
        """Close window and sound."""
        self.app.leave()
        self.speaker.close()
        self.pads.close()
        pygame.display.quit()
