"""What somebody reported, from its recording to a drill of it, with real keys; run under a display.

A flight of ours with a reversed pitch channel is written as another logger writes it. Somebody opens
files that are none, then this one, answers what is asked of its columns, stops the work, begins it
again, reads the answer and practises it. Prints one JSON line of what came of it; pictures of each
sheet are kept in the folder.
"""

import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pygame

from sim.diagnosis.recordings import Plan, made
from sim.keys import FaultId
from sim.reproduce.importer.confirming import FALLS, GROWS
from sim.window import start
from sim.window.app import App
from sim.window.pixels.loop import Window
from sim.window.practice import Practice
from sim.window.screens.reported.answer import AnswerSheet
from sim.window.screens.reported.brought import BroughtSheet
from sim.window.screens.reported.columns import OPEN_NEXT, UNITS, ColumnsSheet
from sim.window.screens.reported.working import Working
from tests.reproduce.importer.disguises import Disguise, disguised
from tests.window.real_keys import RealKeys

PATIENCE_S = 600.0  # s; own: a first compilation on a busy machine
LOOK_S = 0.02  # s; own: between two looks whether it is worked out
FAULT: FaultId = "pitch-channel-reversed"
SEED = 12
RECORDING = "friday.csv"
BAD = {"empty.csv": "", "letter.csv": "Dear all,\nit flew away.\n", "short.csv": "t,x\n1,2\n2,3\n"}


def laid_down(folder: Path) -> Disguise:
    """Write the recording, the newest of the files, and what is none; return what is true of it."""
    folder.mkdir()
    for n, (name, words) in enumerate(BAD.items()):
        (folder / name).write_text(words)
        os.utime(folder / name, (n, n))
    flight = made(Plan(seed=SEED, faults=((FAULT, 1.0),), rate_hz=100)).flight
    found = disguised(flight, SEED, thinned=False)
    found.write(folder / RECORDING)
    return found


class Reporter:
    """Somebody at the keyboard with a recording; `seen`: which sheets there were."""

    def __init__(self, window: Window, folder: Path, true: Disguise) -> None:
        self.window, self.app, self.ui = window, window.app, window.app.ui
        self.folder, self.true = folder, true
        self.real = RealKeys(window)
        self.seen: list[str] = []

    def strike(self, *keys: str) -> None:
        """Strike keys, and let the frame go by in which what each leads to is drawn."""
        for key in keys:
            self.real.strike(key)
            self.window.frame(0.0)

    def picture(self, name: str) -> None:
        """Keep a picture, and which sheet it is of."""
        self.window.frame(0.0)
        self.seen.append(type(self.app.screen).__name__)
        pygame.image.save(self.window.surface, str(self.folder / f"{name}.png"))

    def wait(self, until: Callable[[], bool]) -> None:
        """Let time go by until something is so."""
        end = time.monotonic() + PATIENCE_S
        while not until():
            assert time.monotonic() < end, (self.app.screen, self.app.notice)
            time.sleep(LOOK_S)
            self.window.frame(LOOK_S)

    def bad_files(self) -> list[str]:
        """Try each file that is no recording, from the oldest up; return what is said of each."""
        sheet = self.app.screen
        assert isinstance(sheet, BroughtSheet)
        self.strike("end")
        said = []
        for _ in BAD:
            self.strike("return")
            said.append(sheet.said)
            self.strike("up")
        return said

    def true_words(self, channel: str, key: str) -> str:
        """Return what is true of a column, as the sheet has it."""
        if key == "attitude":
            return "worked out aboard"
        column, unit, sign = self.true.truth[channel]
        return {"column": column, "unit": UNITS.get(unit, unit)}.get(
            key, GROWS if sign > 0 else FALLS
        )

    def answer_all(self) -> int:
        """Answer one question after the other, as the sheet leads to them; return how many."""
        sheet, n = self.app.screen, 0
        assert isinstance(sheet, ColumnsSheet)
        while self.ui.node("work-out").name == OPEN_NEXT:
            self.strike("c")
            key, left = str(self.ui.focus), len(sheet.sheet.questions)
            true = self.true_words(sheet.channel, key)
            for _ in sheet.sheet.table.names:
                if self.ui.node(key).value == true:
                    break
                self.strike("right")
            assert self.ui.node(key).value == true, (sheet.channel, key, true)
            assert len(sheet.sheet.questions) < left
            n += 1
        return n

    def to(self, name: str) -> None:
        """Go to something by Tab."""
        for _ in self.ui.tree:
            if self.ui.focus == name:
                return
            self.strike("tab")
        raise AssertionError(f"{name} was not reached")


def to_the_answer(who: Reporter) -> dict[str, object]:
    """Open the recording, answer what is asked, stop the work once, and wait for the answer."""
    who.strike("v")
    who.picture("files")
    told: dict[str, object] = {"bad": who.bad_files()}
    who.strike("home", "return")
    who.picture("columns")
    told["asked"] = who.answer_all()
    who.picture("answered")
    who.strike("c")
    who.wait(lambda: isinstance(who.app.screen, Working) and who.app.screen.progress.share > 0.0)
    who.picture("working")
    who.strike("escape")
    who.picture("stopped")
    who.strike("escape", "return")  # back to the files, and to the same one again
    told["kept"] = who.ui.node("work-out").name
    who.strike("c")
    who.wait(lambda: isinstance(who.app.screen, AnswerSheet))
    return told


def to_the_drill(who: Reporter) -> dict[str, object]:
    """Read the answer and its curves, mark the cause that is true, and practise it."""
    sheet = who.app.screen
    assert isinstance(sheet, AnswerSheet)
    who.picture("answer")
    who.strike("f10")
    who.picture("answer-large")
    while who.app.settings.text_scale > 1.0:
        who.strike("f10")
    causes = [one.faults for one in sheet.ranking]
    who.to("cause:0")
    who.strike(*["down"] * causes.index((FAULT,)))
    told: dict[str, object] = {"curves": len(sheet.answer.curves), "marked": sheet.cause.faults}
    who.strike("p")
    who.picture("making")
    who.wait(lambda: who.app.drill is not None and who.app.drill.ready)
    who.picture("drill")
    drill = who.app.drill
    assert isinstance(drill, Practice)
    return told | {"faults": [fault.id for fault in drill.scenario.faults]}


def main(folder: Path) -> None:
    """Go the whole way from the first screen to the drill."""
    true = laid_down(folder / "flights")
    os.chdir(folder / "flights")
    app = App(folder / "window.json")
    app.change(shown_round=True)
    window = Window(app)
    start.first_screen(app)
    window.frame(0.0)
    who = Reporter(window, folder, true)
    told = to_the_answer(who) | to_the_drill(who)
    told |= {"seen": who.seen, "driver": pygame.display.get_driver()}
    sys.stdout.write(json.dumps(told) + "\n")
    who.real.close()
    window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
