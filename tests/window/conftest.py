"""The media library without a screen or a loudspeaker; readings of every shipped check."""

import os
from typing import Any

import pytest

from sim.bench.reading import Reading
from sim.session import scenario
from sim.session.session import Session
from sim.trainees.craftwork import read
from sim.trainees.driver import Hands
from sim.trainees.standins import Attempt

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"
os.environ["PYGAME_HIDE_SUPPORT_PROMPT"] = "1"

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
    """Return the readings of a quiet drill, taken by the careful stand-in."""
    session = Session(scenario.load("quiet-morning"), SEED)
    recorder = Recorder(session)
    hands = Hands(recorder, session)
    read(hands, "board-list")  # on the cards of a blank board only
    Attempt(session.scenario, "careful", SEED).perform(hands)
    return recorder.readings
