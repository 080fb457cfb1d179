"""Readings of every shipped check, taken once by the careful stand-in, and canvases that remember."""

from typing import Any

import pygame
import pytest

from sim.bench.reading import Reading
from sim.session import scenario
from sim.session.session import Session
from sim.trainees.driver import Hands
from sim.trainees.standins import Attempt
from sim.window.canvas import Point, Rect
from sim.window.pixels.canvas import PixelCanvas
from sim.window.theme import Type

SEED = 7


class Recorder:
    """Drives a session and keeps the last reading of each check."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.readings: dict[str, Reading] = {}

    def do(self, action: Any) -> Any:
        outcome = self.session.do(action)
        if outcome.reading is not None:
            self.readings[outcome.reading.check] = outcome.reading
        return outcome

    def advance(self, held: Any, seconds: float) -> Any:
        return self.session.advance(held, seconds)


@pytest.fixture(scope="session")
def readings() -> dict[str, Reading]:
    session = Session(scenario.load("quiet-morning"), SEED)
    recorder = Recorder(session)
    Attempt(session.scenario, "careful", SEED).perform(Hands(recorder, session))
    return recorder.readings


class Remembering(PixelCanvas):
    """Pixels, and where each line of text stands."""

    def __init__(self, text_scale: float) -> None:
        super().__init__(pygame.Surface((1280, 720)), text_scale)
        self.placed: list[tuple[str, Rect]] = []

    def text(self, at: Point, words: str, style: Type, align: str = "left") -> None:
        super().text(at, words, style, align)
        if words:
            w, h = self.measure(words, style)
            shift = {"left": 0.0, "middle": 0.5, "right": 1.0}[align] * w
            self.placed.append((words, Rect(at[0] - shift, at[1], w, h)))
