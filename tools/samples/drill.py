"""The screens of a drill in all their states, from a real session that is always the same."""

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from sim.bench.inputs import Turning
from sim.runs import rehearse
from sim.session import actions as act
from sim.session.scenario import load
from sim.trainees.standins import Attempt
from sim.window.app import App, Screen
from sim.window.drill import Drill
from sim.window.evidence import Picked
from sim.window.practice import Practice
from sim.window.screens.desk import Desk
from sim.window.screens.flight import Flight
from sim.window.screens.instruments import MotorSlip
from sim.window.screens.pages.helper import HelperPage
from sim.window.screens.propellers import PropellersSlip
from sim.window.screens.slips import CarrySlip, SquawkSlip, WordSlip
from sim.window.screens.watch import Watch
from sim.window.showing import Showing
from sim.window.sticks.positions import SAFE, Positions
from tools.samples.sheets import nothing

DRILL, SEED = "first-evening", 7  # own: any will do
HELPED = "kettle-first"  # own: one in which hints are given
HOVER = Positions(0.05, -0.1, 0.47, 0.0)
TO_THE_PAD: tuple[act.Action, ...] = (
    act.Prepare(what="goggles"),
    act.Prepare(what="spotter"),
    act.Prepare(what="clear-ring"),
    act.FitProps(),
    act.Carry(to="pad", hold="standing"),
    act.PlugPack(),
)


def waited(drill: Drill) -> None:
    """Wait until a drill is there and idle."""
    while drill.busy:
        if isinstance(drill, Practice):
            drill.poll()
        else:
            drill.step(0.0)  # type: ignore[attr-defined]
        time.sleep(0.001)


@contextmanager
def practised(app: App, drill: str = DRILL) -> Iterator[tuple[Desk, Practice]]:
    """Give a desk with a drill just begun, in a folder that goes away."""
    with tempfile.TemporaryDirectory() as folder:
        practice = Practice(load(drill), drill, SEED, "made up", Path(folder) / "run")
        app.take(practice)
        desk = Desk(app, practice, nothing, nothing)
        waited(practice)
        try:
            yield desk, practice
        finally:
            app.leave()


def done(desk: Desk, practice: Practice, *actions: act.Action) -> None:
    """Do things and wait for what comes of them."""
    for action in actions:
        practice.ask(action)
        while practice.busy:
            said = practice.poll()
            if said is not None:
                desk.hear(said)
            time.sleep(0.001)


def carried_out(desk: Desk, practice: Practice) -> None:
    """Carry it to the pad, ready to be armed."""
    power = (act.SwitchTransmitter(on=True), act.PlugPack(), act.UnplugPack())
    done(desk, practice, *power, *TO_THE_PAD)


def bench(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    with practised(app) as (desk, practice):
        yield desk
        done(desk, practice, act.Read(check="people-and-room"))
        yield desk
        squawk = act.Squawk(
            item="people",
            cause="person-in-ring",
            confidence=4,
            check="people-and-room",
            line="people_in_ring",
        )
        done(desk, practice, act.SwitchTransmitter(on=True), act.PlugPack(), squawk)
        done(desk, practice, act.Read(check="settings-sheet"), act.Read(check="hand-tilt"))
        desk.lines.banded = True
        for page in desk.pages:
            if page != HelperPage.act:
                desk.page = page
                yield desk
        desk.page = "page-calibrate"
        done(desk, practice, act.Calibrate(what="compass-start"), act.Turn(pitch_deg=90.0))
        yield desk
        desk.lines.banded = False
        for slip in (CarrySlip(), SquawkSlip(), WordSlip()):
            desk.slip = slip
            yield desk
        causes = SquawkSlip(Picked("hand-tilt", "nose_down_pitch_deg"))
        causes.item, causes.family = "compass", "sensing"
        desk.slip = causes
        yield desk
        causes.cause = "mag-hard-iron-offset"
        yield desk
        desk.slip = None
        done(desk, practice, act.Swap(part="pack"))  # refused: the pack is in
        yield desk
        desk.page = "page-setup"
        done(desk, practice, act.Set(key="setup.controller.idle", value=0.1))
        yield desk
        done(desk, practice, act.UnplugPack())
        yield desk
        yield from by_hand(desk, practice)
        done(desk, practice, act.UnplugPack(), act.Carry(to="bench", hold="standing"))
        desk.slip = PropellersSlip()
        yield desk
        desk.slip, desk.page = None, HelperPage.act
        yield desk
    with practised(app, HELPED) as (desk, practice):
        desk.page = HelperPage.act
        yield desk
        done(desk, practice, *[act.Hint()] * 5)
        yield desk


def by_hand(desk: Desk, practice: Practice) -> Iterator[Screen]:
    """Yield the desk with the display: dark, while a check is done by hand, and with the motor test."""
    desk.page, desk.in_front = "page-card", "display"
    yield desk
    pieces = (
        act.FitProp(place="front_right", piece="front_left"),
        act.FitProp(place="rear_left", piece="rear_left", face="marks-down"),
    )
    done(desk, practice, act.Carry(to="bench", hold="standing"), *pieces, act.Cable(plugged=True))
    yield desk
    done(desk, practice, act.Cable(plugged=False), act.RemoveProps())
    done(desk, practice, act.PlugPack(), act.Carry(to="bench", hold="hands"))
    done(desk, practice, act.Begin(check="stick-display"))
    for i in range(240):
        practice.sticks = Positions(0.9 if i > 120 else 0.0, 0.0, 0.0, 0.0)
        practice.turning = Turning(roll=0.2, pitch=-0.1) if 30 < i < 90 else None
        practice.step(0.02)
    yield desk
    desk.slip = MotorSlip()
    yield desk
    desk.slip, practice.sticks = None, SAFE
    desk.in_front = "reading"
    done(desk, practice, act.Done())
    yield desk


def hop(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    with practised(app) as (desk, practice):
        app.settings = app.settings.model_copy(update={"stick_mode": 2})
        carried_out(desk, practice)
        yield desk
        done(desk, practice, act.Arm())
        practice.sticks = HOVER
        flight = Flight(desk)
        for _ in range(60):
            flight.steps.see(practice.view, 0.02)
            practice.step(0.02)
        yield flight
        practice.paused = True
        yield flight
        practice.paused = False
        leaning(practice)
        yield flight


def leaning(practice: Practice) -> None:
    """Lift it and let it lean until the spotter calls."""
    for k in range(300):
        practice.sticks = (
            Positions(0.0, 0.0, 0.60, 0.0) if k < 60 else Positions(1.0, 0.0, 0.5, 0.0)
        )
        practice.step(0.02)
        if practice.view.shout:
            return
    raise AssertionError("nobody called")


def watch(app: App) -> Iterator[Screen]:
    """Yield the screen in each state."""
    with tempfile.TemporaryDirectory() as folder:
        where = Path(folder) / "run"
        rehearse(Attempt(load(DRILL), "careful", SEED), DRILL, where)
        showing = Showing(where, load(DRILL).title)
        app.take(showing)
        watch = Watch(showing, nothing, nothing)
        waited(showing)
        yield watch
        while len(showing.log) < 40:
            waited(showing)
            showing.step(5.0)
        waited(showing)
        yield watch
        app.leave()
