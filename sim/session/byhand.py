"""A check done by hand: begun, recorded while it is worked at, read at the end.

While one is open, each second that passes counts as a second of the evening: it takes the time it
took, with what the acts done meanwhile take by themselves. Another check begun or taken as one
act, a calibration, a wait, power switched and any change of aircraft or settings end it unread.
"""

from collections.abc import Callable

from sim.aircraft.world import World
from sim.bench.byhand import SCENES
from sim.bench.checklist import CHECKS
from sim.bench.connection import Board
from sim.bench.inputs import Inputs
from sim.bench.reading import Reading
from sim.bench.recorded import Tape
from sim.bench.rig import HANDS_OFF, History, Rig
from sim.errors import Refusal
from sim.kernel.radio import Sticks
from sim.keys import CheckKey, HazardKey
from sim.procedure import hazards
from sim.session import actions as act
from sim.session.connecting import refuse_unreached

ENDS = (act.Read, act.Calibrate, act.Wait, act.PlugPack, act.UnplugPack, act.Declare, act.Finish)
AT_REST = "The aircraft is not in your hands: take it up first."


class ByHand:
    """The check begun and not yet done, and what has been recorded of it.

    held : the sticks as they were held last.
    """

    def __init__(self, rig: Rig) -> None:
        self._rig = rig
        self._tape: Tape | None = None
        self._scene: Callable[[Rig], World] | None = None
        self._began_s = 0.0
        self.check: CheckKey | None = None
        self.held: Sticks = HANDS_OFF

    @property
    def seconds(self) -> float:
        """The time since it was begun, s; 0 if none is open."""
        return 0.0 if self.check is None else self._rig.time_s - self._began_s

    def begin(self, check: CheckKey) -> float:
        """Begin a check, whatever was open is let go; return what getting there and back takes, min."""
        if CHECKS[check].by_hand is None:
            raise Refusal("This check is one look: there is nothing to begin. Read it.", "one_act")
        self._tape = self._rig.tape = Tape(self._rig)
        scene = SCENES.get(check)
        self._scene = scene.set(self._rig) if scene else None
        self.check, self._began_s = check, self._rig.time_s
        return scene.minutes if scene else 0.0

    def drop(self) -> None:
        """Let go of what is open."""
        self.check = self._tape = self._rig.tape = self._scene = None

    def advance(self, inputs: Inputs, seconds: float) -> History:
        """Let time pass with the hands as they are, in the scene of the check that is open."""
        self.held = inputs.sticks
        if self._scene is None:
            return self._rig.advance(inputs, seconds)
        before = self._rig.world
        self._rig.change(self._scene(self._rig))
        try:
            return self._rig.advance(inputs, seconds)
        finally:
            self._rig.change(before)

    def after(self, action: act.Action, refused: bool, changed: bool) -> None:
        """Notice what an act means for the check that is open."""
        if self._tape is not None and isinstance(action, act.Arm):
            self._tape.arm_try(self.held, refused)
        if not refused and (changed or isinstance(action, ENDS)):
            self.drop()

    def done(self) -> Reading:
        """Return what the open check reads from what was done; refused, it stays open."""
        if self.check is None or self._tape is None:
            raise Refusal("No check has been begun by hand.", "begun")
        read = CHECKS[self.check].by_hand
        assert read is not None
        reading = read(self._rig, self._tape.recorded())
        self.drop()
        return reading


def refuse_hands(inputs: Inputs, rig: Rig, board: Board) -> None:
    """Refuse what hands can't do now: turn an aircraft that is not held, drive without connection."""
    if inputs.turning is not None and rig.world.conduct.hold != "hands":
        raise Refusal(AT_REST, "in_hands")
    if inputs.motor is not None:
        refuse_unreached(board, rig.world)
        if rig.value("armed") > 0.0:
            raise Refusal("Disarm before the motor test.", "disarmed")
        if not rig.world.conduct.pack_plugged:
            raise Refusal("The cable does not power the drives: plug the pack in.", "powered")


def hazards_of(inputs: Inputs, rig: Rig) -> list[HazardKey]:
    """Return the hazards of having a hand at the aircraft as things stand."""
    conduct = rig.world.conduct
    if inputs.turning is None:
        return []
    armed = rig.value("armed") > 0.0
    return hazards.on_reaching("aircraft", conduct, armed) + hazards.on_touching(
        "aircraft", conduct, conduct
    )
