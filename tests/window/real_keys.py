"""A whole drill by hand in a real window, with real key events; run as a program under a display.

The hands are at the keys alone (`keys`), or at a gamepad beside them (`pad`); or they have each check
shown (`shown`), which is quicker. Prints one JSON line: the
scorecard's verdict and points, which checks were read in one act and which worked at, strokes and
presses sent, and what the window was.
"""

import json
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pygame

from sim.session import actions as act
from sim.session import scenario
from sim.trainees import careful
from sim.trainees.driver import Hands
from sim.window import start
from sim.window.app import App
from sim.window.pixels.loop import Window
from sim.window.practice import Practice
from sim.window.screens.debrief import Debrief
from sim.window.screens.ownwords import OwnWordsSheets
from tests.window.keyhands import KeyHands, WindowHands
from tests.window.padhands import PadHands, learned
from tests.window.thumbs import FRAME_S
from tests.window.virtual_pad import VirtualPad

X_NAMES = {
    "return": "Return",
    "tab": "Tab",
    "pagedown": "Next",
    "pageup": "Prior",
    "left": "Left",
    "right": "Right",
    "up": "Up",
    "down": "Down",
    "escape": "Escape",
    "space": "space",
    "backspace": "BackSpace",
    "[": "bracketleft",
    "]": "bracketright",
    ",": "comma",
    ".": "period",
    " ": "space",
    "_": "underscore",
    "-": "minus",
    "+": "plus",
    ":": "colon",
    ";": "semicolon",
    "%": "percent",
    "/": "slash",
    "'": "apostrophe",
    "f2": "F2",
    "f10": "F10",
    "home": "Home",
    "end": "End",
    "(": "parenleft",
    ")": "parenright",
}
PATIENCE = 4000  # frames; own: the debrief is there within a few
LOST_S = 20.0  # s; own: a key arrives within milliseconds
GLANCE_S = 0.0005  # s; own: between two looks whether it has arrived, the machine is left to others
DONE_S = 0.25  # s; own: most acts are done by then, and need no frame meanwhile
DRAWN_EVERY = 10  # own: a drill is long, and its pictures are looked at elsewhere


class RealKeys:
    """Strikes keys through the display server and lets frames go by until they have arrived."""

    def __init__(self, window: Window) -> None:
        self.window = window
        self.held: frozenset[str] = frozenset()
        self.arrived, self.drawn, self._last = 0, 0, ""
        self._take = window.keyboard.inputs
        setattr(window.keyboard, "inputs", self._counting)  # noqa: B010 - counts what arrives
        self._tool = subprocess.Popen(["xdotool", "-"], stdin=subprocess.PIPE, text=True)
        assert self._tool.stdin is not None
        self._orders = self._tool.stdin
        self._say(f"windowfocus --sync {pygame.display.get_wm_info()['window']}")

    def _counting(self, events):
        found = self._take(events)
        self.arrived += sum(not stroke.again for stroke in found.strokes)  # a key kept down is none
        return found

    def _say(self, line):
        if self._tool.poll() is not None:
            raise AssertionError(f"xdotool ended before {line!r}, after {self._last!r}")
        self._last = line
        self._orders.write(line + "\n")
        self._orders.flush()

    def _wait(self, come, wanted):
        """Wait until something has come of what was said to the display server."""
        started = time.monotonic()
        while not come():
            assert time.monotonic() - started < LOST_S, self._lost(wanted)
            time.sleep(GLANCE_S)

    def strike(self, key):
        """Strike a key and give the window a frame when it is there."""
        wanted = self.arrived + 1
        self._say(f"key --delay 0 {X_NAMES.get(key, key)}")
        while self.arrived < wanted:
            self._wait(lambda: pygame.event.peek(pygame.KEYDOWN, pump=True), self.held)
            self.window.frame(0.0)
        # struck again before it is seen let go, it would count as one kept down
        if self.window.keyboard.down != self.held:
            self._wait(lambda: self._down() == self.held, self.held)

    def types(self, words):
        """Write words, a stroke for each letter."""
        for letter in words:
            self.strike(letter)

    def frame(self, held, dt_s):
        """Let a frame go by with keys held; while they are, only some frames are drawn."""
        for key in self.held - held:
            self._say(f"keyup --delay 0 {X_NAMES.get(key, key)}")
        for key in held - self.held:
            self._say(f"keydown --delay 0 {X_NAMES.get(key, key)}")
        if self.window.keyboard.down != held:
            self._wait(lambda: self._down() == held, held)
        self.held = held
        self.drawn += 1
        drill = self.window.app.drill
        assert drill is not None
        drill.wait(DONE_S)
        unseen = dt_s > 0.0 and self.drawn % DRAWN_EVERY > 0  # without time it is there to be seen
        if unseen and isinstance(drill, Practice) and drill.flows:
            self.window.take(dt_s)
        else:
            self.window.frame(dt_s)

    def _down(self):
        """Return which keys the window sees down, after all that has come."""
        self.window.take(0.0)
        return self.window.keyboard.down

    def _lost(self, wanted):
        return f"lost: {self._last!r}; wanted {wanted}, down are {self.window.keyboard.down}"

    def close(self):
        """Let the keyboard go."""
        self._orders.close()
        self._tool.wait(timeout=10)


def hands_of(kind: str, window: Window, real: RealKeys) -> KeyHands:
    """Return hands at the keys alone, or at a gamepad too, which is plugged in for it."""
    if kind != "pad":
        return KeyHands(window.app, real.strike, real.types, real.frame)
    pad = VirtualPad()
    window.frame(0.0)
    learned(window.pads)
    return PadHands(window.app, real.strike, real.types, real.frame, pad)


def own_words(window: Window, real: RealKeys, folder: Path) -> None:
    """Write a line to keep and one to change, and go on, with real keys; a picture is kept."""
    window.frame(FRAME_S)
    real.types("read twice")
    for _ in range(3):
        real.strike("return")
    real.types("spotter first")
    pygame.image.save(window.surface, str(folder / "own-words.png"))
    for _ in range(4):
        real.strike("return")


def main(folder: Path, drill: str, seed: int, kind: str) -> None:
    """Do a drill by hand, with real keys and perhaps a pad, from its beginning to the debrief."""
    app = App(folder / "window.json")
    app.change(shown_round=True)
    window = Window(app)
    start.practise(app, drill, seed)
    real = RealKeys(window)
    assert isinstance(app.drill, Practice)
    keys = hands_of(kind, window, real)
    keys.settle()
    practice, began_s = app.drill, time.monotonic()
    hands = Hands(keys, practice.session) if kind == "shown" else WindowHands(keys)
    careful.perform(hands, scenario.load(drill), np.random.default_rng(0))
    for _ in range(PATIENCE):
        if isinstance(app.screen, Debrief):
            break
        if isinstance(app.screen, OwnWordsSheets):
            own_words(window, real, folder)
        window.frame(FRAME_S)
    window.frame(FRAME_S)
    pygame.image.save(window.surface, str(folder / "debrief.png"))
    card = practice.card
    assert card is not None
    done = [event.action for event in practice.session.record().events]
    told = {
        "verdict": card["verdict"],
        "points": card["points"],
        "strokes": keys.struck,
        "presses": keys.presses if isinstance(keys, PadHands) else 0,
        "read": sorted({action.check for action in done if isinstance(action, act.Read)}),
        "begun": sorted({action.check for action in done if isinstance(action, act.Begin)}),
        "frames": real.drawn,
        "session_s": round(practice.session.rig.time_s),
        "took_s": round(time.monotonic() - began_s, 1),
        "driver": pygame.display.get_driver(),
        "screen": type(app.screen).__name__,
        "words": None if practice.words is None else [*practice.words.plus, *practice.words.delta],
    }
    sys.stdout.write(json.dumps(told) + "\n")
    real.close()
    window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), sys.argv[4])
