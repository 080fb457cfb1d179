"""What follows a run in a real window, with real key events; run as a program under a display.

A stand-in's run is watched from its end to its debrief, from there at a moment of the evening, and
shown to a class that votes. Prints one JSON line of what came of it; pictures are kept in the folder.
"""

import json
import sys
from pathlib import Path

import pygame

from sim.runs import rehearse
from sim.session.scenario import load
from sim.trainees.standins import Attempt
from sim.window import start
from sim.window.app import App
from sim.window.classrun import ClassRun
from sim.window.pixels.loop import Window
from sim.window.screens.watch import Watch
from sim.window.showing import Showing
from tests.window.real_keys import RealKeys

DRILL, SEED = "first-evening", 7
MOST = 200  # strokes of Tab; own: no screen has more on it


class Seat:
    """Somebody at the keyboard who waits until what was asked has been done."""

    def __init__(self, window: Window, folder: Path) -> None:
        self.window, self.app, self.folder = window, window.app, folder
        self.real = RealKeys(window)

    def settle(self) -> None:
        """Let frames go by until nothing is being done."""
        self.window.frame(0.0)
        while (drill := self.app.drill) is not None and (not drill.ready or drill.busy):
            drill.wait(0.25)
            self.window.frame(0.0)
        self.window.frame(0.0)

    def strike(self, *keys: str) -> None:
        """Strike keys one after another."""
        for key in keys:
            self.real.strike(key)
            self.settle()

    def to(self, name: str) -> None:
        """Go to something by Tab."""
        for _ in range(MOST):
            if self.app.ui.focus == name:
                return
            self.strike("tab")
        raise AssertionError(f"{name} was not reached")

    def picture(self, name: str) -> str:
        """Keep a picture; return which screen is up."""
        pygame.image.save(self.window.surface, str(self.folder / f"{name}.png"))
        return type(self.app.screen).__name__


def to_the_debrief(seat: Seat, run: Path) -> None:
    """Watch a run at its end, and go on to its debrief."""
    app = seat.app
    showing = Showing(run, load(DRILL).title, until=10_000)
    app.take(showing)
    app.go(Watch(showing, start.home, start._shown_out))
    seat.settle()
    seat.strike("space")


def from_a_moment(seat: Seat) -> list[int]:
    """Open the run at a line of the evening and go on two acts; return the acts done, before and after."""
    seat.strike("]")
    seat.to("moment:0")
    seat.strike("down", "down", "return")
    showing = seat.app.drill
    assert isinstance(showing, Showing)
    done = [len(showing.log)]
    seat.strike("]", "]")
    return [*done, len(showing.log)]


def votes(seat: Seat) -> list[int]:
    """Count hands for the first choices, see what was done, go on; return the hands."""
    run = seat.app.drill
    assert isinstance(run, ClassRun)
    first = run.decision
    seat.strike("1", "2", "down", "3")
    seat.picture("vote")
    seat.strike("c")
    seat.picture("told")
    seat.strike("c")
    return [*first.hands, run.n]


def main(folder: Path) -> None:
    """Do it all from a run to the class."""
    run = folder / "run"
    rehearse(Attempt(load(DRILL), "partial-75", SEED), DRILL, run)
    app = App(folder / "window.json")
    app.change(shown_round=True)
    window = Window(app)
    seat = Seat(window, folder)
    to_the_debrief(seat, run)
    told = {"debrief": seat.picture("debrief"), "acts": from_a_moment(seat)}
    told |= {"watch": seat.picture("watch")}
    seat.strike("escape")
    told |= {"back": seat.picture("evening")}
    seat.strike("f2")
    told |= {"class": seat.picture("class"), "hands": votes(seat)}
    seat.strike("escape")
    told |= {"left": seat.picture("left"), "driver": pygame.display.get_driver()}
    sys.stdout.write(json.dumps(told) + "\n")
    seat.real.close()
    window.close()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
