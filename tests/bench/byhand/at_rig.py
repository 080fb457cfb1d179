"""A rig in the place of a session, so that a stand-in's routine works a check by hand on it."""

from types import SimpleNamespace
from typing import Any

from sim.aircraft.airframe import Airframe
from sim.aircraft.world import World
from sim.bench import check
from sim.bench.byhand import SCENES
from sim.bench.checklist import CHECKS
from sim.bench.checks.attitude import set_down
from sim.bench.inputs import Inputs
from sim.bench.interlocks import refuse_to_arm
from sim.bench.reading import Reading
from sim.bench.recorded import Recorded, Tape
from sim.bench.rig import HANDS_OFF, Rig
from sim.kernel.radio import Sticks
from sim.keys import CheckKey
from sim.session import actions as act
from sim.session import perceived
from sim.session.inputs import inputs_of
from sim.session.record import Outcome
from sim.session.view import look
from sim.trainees.driver import Hands
from sim.units import RAD_PER_DEG

FRAMES_S = (0.016, 0.017, 0.017)  # s; sixty a second, in whole ticks


class AtRig(Hands):
    """What a routine needs of a session: acts, time, what is seen."""

    def __init__(self, rig: Rig, check: CheckKey) -> None:
        self.rig = rig
        self.tape = rig.tape = Tape(rig)
        scene = SCENES.get(check)
        self._scene = scene.set(rig) if scene else None

    @property
    def airframe(self) -> Airframe:
        """The aircraft as designed."""
        return self.rig.world.airframe

    def do(self, action: act.Action) -> Outcome:
        """Arm, disarm or turn."""
        rig = self.rig
        match action:
            case act.Arm():
                refuse_to_arm(rig)
                rig.put("armed", 1.0)
            case act.Disarm():
                rig.put("armed", 0.0)
            case act.Turn() if rig.world.conduct.hold == "hands":
                rig.turn(action.roll_deg, action.pitch_deg, action.heading_deg)
            case act.Turn():
                set_down(rig, action.heading_deg * RAD_PER_DEG)
                rig.run(HANDS_OFF, 0.5)
            case _:
                raise AssertionError(action)
        return Outcome("")

    def fly(self, inputs: Sticks | Inputs, seconds: float) -> None:
        """Keep the hands as they are, frame by frame as a window does."""
        left, n = seconds, 0
        while left > 1e-9:
            frame = min(FRAMES_S[n % 3], round(left, 3))
            self._pass(inputs_of(inputs), frame)
            left, n = left - frame, n + 1

    def _pass(self, inputs: Inputs, seconds: float) -> None:
        before = self.rig.world
        if self._scene is not None:
            self.rig.change(self._scene(self.rig))
        self.rig.advance(inputs, seconds)
        if self._scene is not None:
            self.rig.change(before)

    def see(self) -> Any:
        """Return the aircraft as it is seen."""
        return SimpleNamespace(aircraft=look(self.rig), motors=perceived.motors(self.rig))

    def recorded(self) -> Recorded:
        """Return what was recorded of it all."""
        self.rig.tape = None
        return self.tape.recorded()


def brought(world: World, key: CheckKey, seed: int = 3) -> Rig:
    """Return a rig brought to where a check is best done, its controller started."""
    return check.brought(world, CHECKS[key], seed)


def worked(rig: Rig, check: CheckKey, routine: Any) -> Reading:
    """Return what a check reads of a routine done on a rig."""
    at = AtRig(rig, check)
    routine(at)
    form = CHECKS[check].by_hand
    assert form is not None
    return form(rig, at.recorded())
