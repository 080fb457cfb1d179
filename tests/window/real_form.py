"""The form of an aircraft of one's own, filled in with real keys; run as a program under a display.

Prints one JSON line: the file kept, strokes, frames, and what the window said below the sheets.
"""

import json
import sys
import time
from pathlib import Path

import pygame

from sim.describe.form import Form
from sim.window import start
from sim.window.app import App
from sim.window.pixels.loop import Window
from sim.window.screens.home import Home
from sim.window.screens.own.made import Made
from sim.window.screens.own.sheet import OwnSheet
from tests.window.real_keys import RealKeys
from tools.samples.own import SWUNG, WRITTEN

PATIENCE_S = 600.0  # s; own: a first compilation on a busy machine
LOOK_S = 0.02  # s; own: between two looks whether it is worked out
SLIPS = {"mass_g": "heavy", "pack.cells": "7"}  # written first, told to be wrong, put right


class FormHands:
    """Hands at the form: what is struck goes through the display server."""

    def __init__(self, window: Window) -> None:
        self.window, self.ui = window, window.app.ui
        self.real = RealKeys(window)
        self.struck = 0

    def strike(self, key: str) -> None:
        """Strike a key, and let the frame go by in which what it leads to is drawn."""
        self.real.strike(key)
        self.window.frame(0.0)
        self.struck += 1

    def types(self, words: str) -> None:
        """Write words."""
        for letter in words:
            self.strike(letter)

    def empty(self, id_: str) -> None:
        """Take away what stands on a line."""
        for _ in self.ui.node(id_).value:
            self.strike("backspace")

    def answer(self, id_: str, text: str) -> None:
        """Answer the question that is in hand, and go on to the next."""
        assert self.ui.focus == id_, (self.ui.focus, id_)
        if text in ("yes", "no"):
            while self.ui.node(id_).value != text:
                self.strike("right")
            self.strike("tab")
            return
        self.types(text)
        self.strike("return")

    def fill(self, texts: dict[str, str]) -> None:
        """Answer every question in turn; some slip the first time."""
        for id_, _ in Form(texts).asked:
            self.answer(id_, SLIPS.get(id_, texts.get(id_, "")))

    def mend(self, texts: dict[str, str]) -> list[str]:
        """Put right what the sheet leads back to; return what it said of each."""
        said = []
        self.strike("return")  # on the button, where the last question has led
        for id_ in SLIPS:
            screen = self.window.app.screen
            assert isinstance(screen, OwnSheet)
            assert self.ui.focus == id_, (self.ui.focus, screen.said)
            said.append(screen.said)
            self.empty(id_)
            self.types(texts[id_])
            self.strike("return")  # leads to what is open next, or back to the button
        return said

    def work_out(self) -> Made:
        """Have it worked out, and wait for it."""
        self.strike("return")
        until = time.monotonic() + PATIENCE_S
        while not isinstance(self.window.app.screen, Made):
            assert time.monotonic() < until, self.window.app.screen
            time.sleep(LOOK_S)
            self.window.frame(LOOK_S)
        self.window.frame(0.0)
        return self.window.app.screen


def main(folder: Path) -> None:
    """Describe an aircraft from the first screen to its file."""
    app = App(folder / "window.json")
    app.change(shown_round=True)
    window = Window(app)
    start.first_screen(app)
    window.frame(0.0)
    assert isinstance(app.screen, Home)
    hands = FormHands(window)
    hands.strike(app.ui.keys.key("own"))
    assert isinstance(app.screen, OwnSheet)
    texts = WRITTEN | SWUNG
    hands.fill(texts)
    said = hands.mend(texts)
    pygame.image.save(window.surface, str(folder / "form.png"))
    made = hands.work_out()
    hands.strike("return")  # keep its file: the button is in hand
    pygame.image.save(window.surface, str(folder / "made.png"))
    told = {
        "file": str(made.file),
        "said": said,
        "kept": made.said,
        "strokes": hands.struck,
        "driver": pygame.display.get_driver(),
    }
    sys.stdout.write(json.dumps(told) + "\n")
    hands.real.close()
    window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
