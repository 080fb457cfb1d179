"""What somebody reported, in the states of its sheets, made up and always the same."""

from collections.abc import Iterator
from pathlib import Path

import numpy as np

from sim.aircraft.library import TRAINER
from sim.diagnosis.reported import Answer, checks_for
from sim.diagnosis.table import shipped
from sim.reproduce.answer.curves import Curve
from sim.reproduce.causes import Cause, Causes
from sim.reproduce.importer.confirming import Sheet
from sim.reproduce.importer.reading import Table
from sim.window.app import App, Screen
from sim.window.screens.reported.answer import AnswerSheet
from sim.window.screens.reported.brought import BroughtSheet
from sim.window.screens.reported.columns import ColumnsSheet
from sim.window.screens.reported.working import Progress, Working
from tools.samples.sheets import nothing

FLOWN_S, STEP_S = 12.0, 0.02  # s; own: long enough for every guess
FILES = ("friday-evening.csv", "it-ran-away.yaml", "second-hop.csv")


def log() -> Table:
    """Return what a logger might have written, invented: a hover with a few nudges."""
    t = np.arange(0.0, FLOWN_S, STEP_S)
    up = np.clip(t - 1.0, 0.0, 1.0) * (t < FLOWN_S - 1.0)
    sway = 0.1 * np.sin(1.7 * t) * up
    columns = {
        "time": 1000.0 * t,
        "rc roll": 1500.0 + 90.0 * np.cos(1.7 * t) * up,
        "rc pitch": 1500.0 + 70.0 * np.sin(1.1 * t) * up,
        "rc throttle": 1000.0 + 520.0 * up,
        "rc yaw": 1500.0 + 0.0 * t,
        "roll": np.degrees(sway),
        "pitch": np.degrees(0.7 * sway),
        "gyro x": np.degrees(np.gradient(sway, t)),
        "gyro y": np.degrees(np.gradient(0.7 * sway, t)),
        "gyro z": 0.0 * t,
        **{f"motor{n}": 1000.0 + (500.0 + 9.0 * n) * up for n in range(1, 5)},
        "battery voltage": 12.4 - 0.6 * up,
    }
    values = np.column_stack(list(columns.values()))
    names = tuple(columns)
    return Table(Path(FILES[0]), names, ("",) * len(names), values, 1, 0)


def curve(words: str, unit: str, at_s: float) -> Curve:
    """Return a channel that speaks for the likeliest cause about one moment."""
    t = np.arange(0.0, FLOWN_S, 0.05)
    near = np.exp(-((t - at_s) ** 2))
    recorded = np.sin(t) + near
    return Curve(words, unit, t, recorded, recorded + 0.05 * np.cos(9.0 * t), np.sin(t), 3.0 * near)


def answer(fits: bool = True, recording: bool = True, none: float = 0.0) -> Answer:
    """Return an answer, invented."""
    causes = Causes(
        (
            Cause((), none),
            Cause(("prop-wrong-hand",), 9.0, "front left", (1.0, 1.0, 1.0), 2),
            Cause(("prop-upside-down",), 6.0, "front left", (0.3, 0.6, 0.9), 2),
            Cause(("motor-spin-reversed",), 4.0, "front left", (1.0, 1.0, 1.0), 2),
            Cause(("cg-offset", "over-mass"), 2.0, None, (0.2, 0.5, 0.9), 0),
        ),
        0.9 if fits else 0.1,
        fits,
    )
    curves = (curve("change of roll rate", "rad/s", 3.0), curve("pack voltage", "V", 8.0))
    blind = ("The yaw stick hardly moved: a reversed yaw channel would look as sound.",)
    return Answer(
        causes,
        TRAINER,
        curves if recording else (),
        checks_for(causes, shipped()),
        blind if recording else (),
        "It rolled over as it left the ground.",
        ("flipped", "rolled-left"),
    )


class Standing(Working):
    """Work that stands where it was left, so that its picture is always the same."""

    def __init__(self, back: Screen) -> None:
        self.back, self.title = back, "Looking for what explains it"
        self.progress = Progress()
        self.progress("Taking 112 aircraft with a fault each through the recording", 0.4)

    def _over(self, app: App) -> None:
        """Stay as it is."""


def files(app: App, said: str = "", *names: str) -> BroughtSheet:
    """Return the list of files with these names."""
    made = BroughtSheet(app.screen, Path("no-such-folder"), nothing)
    made.files = [Path("flights") / name for name in names]
    made.folder = Path("flights")
    made.said = said
    return made


def reported(app: App) -> Iterator[Screen]:
    """Yield the files, the columns, work under way, and answers of every kind."""
    yield files(app)
    yield files(app, "flights/second-hop.csv: too short: 7 rows in which time goes on", *FILES)
    yield ColumnsSheet(app.screen, Path(FILES[0]), Sheet(log()), nothing)
    settled = Sheet(log())
    for stick in ("roll", "pitch", "throttle", "yaw"):
        settled.choose(f"stick_{stick}", "sign", "grows")
    settled.take_attitude("aboard")
    yield ColumnsSheet(app.screen, Path(FILES[0]), settled, nothing)
    yield Standing(app.screen)
    yield AnswerSheet(app.screen, answer(), nothing)
    yield AnswerSheet(app.screen, answer(fits=False), nothing)
    yield AnswerSheet(app.screen, answer(recording=False, none=15.0), nothing)
